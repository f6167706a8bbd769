"""One drive judged by its chain pull: engineering-class chain, and roller chain slower than its ratings."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING, Literal, NamedTuple

from service.calculations.drive_layout import Centres, Shafts
from service.calculations.drive_running import JointMeasures, joint_measures
from service.calculations.drive_tables import used_of
from service.calculations.pull_tables import ENGINEERING_FAMILIES
from service.core.chain_pull_drive import (
    joint_pressure,
    needed_working_load,
    power_at_working_load,
    speed_factor,
)
from service.core.conversions import KW_PER_HP, MM_PER_INCH, N_PER_LBF
from service.core.errors import Issue, OutOfRange
from service.core.forces import breaking_safety, effective_pull_n
from service.core.speeds import chain_speed_ft_min, chain_speed_m_s, chordal_speed_variation, speed_ratio
from service.core.sprocket import pitch_diameter
from service.core.wrap import wrap_large_rad, wrap_small_rad
from service.reference.chains import OWN
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.drive_relations import Wheels
    from service.calculations.drive_tables import DriveTables
    from service.calculations.pull_tables import Doubtful
    from service.calculations.trace import Trace
    from service.reference.chains import ChainSize

Basis = Literal["allowable_load", "share_of_tensile_strength"]

ALTERNATE_LINKS = frozenset({"roller", "double_pitch_roller", "combination", "rivetless", "agricultural"})
ALTERNATE_SERIES = frozenset({"bushed_rollerless"})
"""Families and series of alternately inner and outer, or block and bar links: an odd count of pitches needs a link of
another kind (construction of the chains, practice)."""


class PullCase(Record, frozen=True):
    """A drive by its pull, and what it must carry."""

    size: ChainSize
    strand_count: int
    wheels: Wheels
    power_kw: float
    service_factor: float
    driver_speed_rpm: float
    centres: Centres
    at: str

    @property
    def engineering(self) -> bool:
        """Whether the chain has an allowable load and a factor of speed and teeth; a chain of the caller's own has."""
        return self.size.row.family in ENGINEERING_FAMILIES or self.size.row.source_id == OWN

    @property
    def alternate_links(self) -> bool:
        """Whether its links differ by turns."""
        row = self.size.row
        return row.source_id != OWN and (row.family in ALTERNATE_LINKS or row.series in ALTERNATE_SERIES)


class PullOption(Record, frozen=True):
    """One drive with every figure that the tables allow; ``holes`` names those that they do not."""

    case: PullCase
    ratio: float
    driven_speed_rpm: float
    chain_speed_m_s: float
    pull_n: float
    speed_factor: float | None
    needed_working_load_n: float
    allowable_load_n: float
    basis: Basis
    power_at_allowable_kw: float
    tensile_strength_n: float | None
    breaking_safety: float | None
    joint: JointMeasures | None
    joint_pressure_n_mm2: float | None
    pitch_count: int
    centre_distance_mm: float
    wrap_small_deg: float
    wrap_large_deg: float
    chordal_variation_percent: float
    small_pitch_diameter_mm: float
    large_pitch_diameter_mm: float
    chain_mass_kg: float | None
    holes: tuple[str, ...]

    @property
    def designation(self) -> str:
        """Size, and strands where there are several."""
        name, strands = self.case.size.designation, self.case.strand_count
        return name if strands == 1 else f"{name}-{strands}"

    @property
    def small_speed_rpm(self) -> float:
        """Speed of the small wheel."""
        wheels = self.case.wheels
        return self.case.driver_speed_rpm * wheels.driver / wheels.small

    @property
    def odd_link(self) -> bool:
        """Whether the pitch count is odd and the links alternate, so that one of another kind is needed."""
        return self.pitch_count % 2 == 1 and self.case.alternate_links

    @property
    def governed_by(self) -> Literal["working_load", "static_load"]:
        """The load that comes nearer to the allowable one."""
        return "working_load" if (self.speed_factor or 0.0) >= 1.0 else "static_load"

    @property
    def utilisation(self) -> float:
        """Needed working load, or the pull with its service factor alone where that is more, over the allowable."""
        return max(self.needed_working_load_n, self.static_load_n) / self.allowable_load_n

    @property
    def static_load_n(self) -> float:
        """Pull with its service factor, without the factor of speed and teeth."""
        return self.pull_n * self.case.service_factor


class PullLoads(NamedTuple):
    """What a drive asks of its chain; the factor of speed and teeth is None for roller chain."""

    chain_speed_m_s: float
    pull_n: float
    speed_factor: float | None
    needed_working_load_n: float
    static_load_n: float


def pull_loads(case: PullCase, pitch_mm: float, tables: DriveTables, trace: Trace) -> PullLoads:
    """Pull, factor of speed and teeth, and both loads that are compared with the allowable one.

    Raises:
        OutOfRange: too few teeth or too high a speed for the table of factors.
    """
    take = trace.take
    speed = take(chain_speed_m_s, pitch_mm=pitch_mm, teeth=case.wheels.driver, speed_rpm=case.driver_speed_rpm)
    pull_n = take(effective_pull_n, power_kw=case.power_kw, chain_speed_m_s=speed)
    factor = _speed_factor(case, pitch_mm, tables, trace) if case.engineering else None
    needed_lbf = take(
        needed_working_load,
        pull_lbf=pull_n / N_PER_LBF,
        speed_factor=factor or 1.0,
        service_factor=case.service_factor,
    )
    return PullLoads(speed, pull_n, factor, needed_lbf * N_PER_LBF, pull_n * case.service_factor)


def evaluate_pull(case: PullCase, tables: DriveTables, trace: Trace) -> PullOption:
    """Every figure of one drive.

    Raises:
        NotInReference: the allowable load, or the strength that stands for it, is not in the tables.
        OutOfRange: too few teeth or too high a speed for the table of factors.
    """
    take, wheels = trace.take, case.wheels
    pitch_mm = trace.figure(case.size, "pitch")
    ratio = take(speed_ratio, driver_teeth=wheels.driver, driven_teeth=wheels.driven)
    driven_rpm = case.driver_speed_rpm / ratio
    loads = pull_loads(case, pitch_mm, tables, trace)
    pull_n, factor = loads.pull_n, loads.speed_factor
    allowable_n, basis = _allowable(case, tables, trace)
    power_hp = take(
        power_at_working_load,
        working_load_lbf=allowable_n / N_PER_LBF,
        pitch_in=pitch_mm / MM_PER_INCH,
        teeth=wheels.driver,
        speed_rpm=case.driver_speed_rpm,
        # A factor below one would let the static load exceed the allowable one.
        speed_factor=max(factor or 1.0, 1.0),
    )
    tensile = case.size.find("minimum_tensile_strength", case.strand_count)
    tensile_n = None if tensile is None else trace.figure(case.size, "minimum_tensile_strength", case.strand_count)
    safety = None
    if tensile_n is not None:
        safety = take(breaking_safety, breaking_load_n=tensile_n, tension_n=pull_n, service_factor=case.service_factor)
    joint, pressure, holes = _joint(case, pull_n, trace)
    circles_mm = [take(pitch_diameter, pitch_mm=pitch_mm, teeth=teeth) for teeth in (wheels.small, wheels.large)]
    layout = Shafts(case.centres, trace).lay_out(pitch_mm, wheels.small, wheels.large, sum(circles_mm) / 2.0)
    at = {
        "pitch_diameter_small_mm": circles_mm[0],
        "pitch_diameter_large_mm": circles_mm[1],
        "centre_distance_mm": layout.centre_distance_mm,
    }
    return PullOption(
        case=case,
        ratio=ratio,
        driven_speed_rpm=driven_rpm,
        chain_speed_m_s=loads.chain_speed_m_s,
        pull_n=pull_n,
        speed_factor=factor,
        needed_working_load_n=loads.needed_working_load_n,
        allowable_load_n=allowable_n,
        basis=basis,
        power_at_allowable_kw=power_hp * KW_PER_HP / case.service_factor,
        tensile_strength_n=tensile_n,
        breaking_safety=safety,
        joint=joint,
        joint_pressure_n_mm2=pressure,
        pitch_count=layout.pitch_count,
        centre_distance_mm=layout.centre_distance_mm,
        wrap_small_deg=take(wrap_small_rad, **at) * 180.0 / pi,
        wrap_large_deg=take(wrap_large_rad, **at) * 180.0 / pi,
        chordal_variation_percent=100.0 * take(chordal_speed_variation, teeth=wheels.small),
        small_pitch_diameter_mm=circles_mm[0],
        large_pitch_diameter_mm=circles_mm[1],
        chain_mass_kg=_mass_kg(case, layout.pitch_count * pitch_mm, trace),
        holes=(*holes, *(() if tensile_n is not None else ("minimum_tensile_strength",))),
    )


def _allowable(case: PullCase, tables: DriveTables, trace: Trace) -> tuple[float, Basis]:
    """The printed allowable load of engineering-class chain; a share of the strength of roller chain.

    Strands share a load unevenly, so that several count by their factor and not by their number.
    """
    if case.engineering:
        return trace.figure(case.size, "allowable_load"), "allowable_load"
    strength_n = trace.figure(case.size, "minimum_tensile_strength")
    if case.strand_count > 1:
        strength_n *= tables.strand_factors[case.strand_count].factor
        trace.note(tables.strand_factor_used[case.strand_count])
    fractions = tables.reference.factors.strength.fractions
    press_fit = fractions.where(family="roller", quantity="service_over_ultimate_max")[0]
    slip_fit = fractions.where(family="roller", quantity="service_over_ultimate_offset_max")[0]
    # An offset link, which an odd count needs, is the weaker of both.
    row = slip_fit if case.centres.offset_link_allowed else press_fit
    trace.note((used_of(row, "share of the tensile strength in service"),))
    note = (
        f"share of the tensile strength; {press_fit.fraction_max:g} is for press-fit connecting links, "
        f"{slip_fit.fraction_max:g} for slip-fit ones and offset links"
    )
    trace.assume_once("allowable_load", row.fraction_max, "table", note)
    return row.fraction_max * strength_n, "share_of_tensile_strength"


def _speed_factor(case: PullCase, pitch_mm: float, tables: DriveTables, trace: Trace) -> float:
    """Factor of speed and teeth; below the slowest and above the largest printed, theirs, which is an upper bound."""
    printed, wheels = tables.pull, case.wheels
    small_rpm = case.driver_speed_rpm * wheels.driver / wheels.small
    speed = trace.take(chain_speed_ft_min, pitch_in=pitch_mm / MM_PER_INCH, teeth=wheels.small, speed_rpm=small_rpm)
    slowest, most = printed.slowest_ft_min, printed.listed[-1]
    teeth, at_speed = min(wheels.small, most), max(speed, slowest)
    if (teeth, at_speed) != (wheels.small, speed):
        trace.warn(
            "speed_factor_bounded",
            f"The factors of speed and teeth begin at {slowest:g} ft/min and end at {most} teeth; that of {teeth} "
            f"teeth at {at_speed:.4g} ft/min is taken, which is no less than the true one.",
            severity="info",
        )
    try:
        factor = trace.take(speed_factor, teeth=teeth, speed_ft_min=at_speed, points=printed.lines(teeth).points)
    except OutOfRange as refusal:
        raise OutOfRange(*(_in_words(issue, case, teeth, at_speed) for issue in refusal.issues)) from refusal
    _tell_doubtful(teeth, at_speed, printed.doubtful, trace)
    trace.note((used_of(printed.factor_row, "factor of speed and teeth"),))
    return factor


def _tell_doubtful(teeth: int, speed_ft_min: float, doubtful: tuple[Doubtful, ...], trace: Trace) -> None:
    """Say where the factor lies beside a printed one that is left out of use."""
    for row, before, after in ((left.row, left.before_ft_min, left.after_ft_min) for left in doubtful):
        if row.teeth == teeth and before < speed_ft_min < after:
            trace.warn(
                "doubtful_figure_left_out",
                f"The factor printed for {teeth} teeth at {row.speed_ft_min:g} ft/min, {row.factor:g}, breaks the run "
                f"of its neighbours and was left out; the straight line from {before:g} to "
                f"{after:g} ft/min stands for it.",
            )


def _in_words(issue: Issue, case: PullCase, teeth: int, speed_ft_min: float) -> Issue:
    """The refusal of the table in the caller's fields."""
    if issue.field == "teeth":
        field = "driver_teeth" if case.wheels.driver == case.wheels.small else "driven_teeth"
        message = f"{teeth} teeth are fewer than the factors of speed and teeth list; they begin at {issue.limit:g}."
        return Issue(field, "teeth_few", message, issue.limit, teeth)
    message = (
        f"{speed_ft_min:.6g} ft/min is faster than the factors of speed and teeth list for {teeth} teeth; they end at "
        f"{issue.limit:g} ft/min."
    )
    hint = "Take more teeth, a smaller pitch, or precision roller chain, which has power ratings."
    return Issue(f"{case.at}.driver_speed_rpm", "speed_beyond_table", message, issue.limit, speed_ft_min, hint)


def _joint(case: PullCase, pull_n: float, trace: Trace) -> tuple[JointMeasures | None, float | None, tuple[str, ...]]:
    """Measures of the joint and the pressure in it, where the tables hold them, and what they do not hold."""
    measures, missing = joint_measures(case.size, trace)
    # No table of pressures that a pair of materials bears was found in print.
    holes = (*missing, "allowable_joint_pressure")
    if measures is None:
        return None, None, holes
    pressure = trace.take(
        joint_pressure,
        tension_n=pull_n / case.strand_count,
        pin_diameter_mm=measures.pin_mm,
        bush_length_mm=measures.bush_mm,
    )
    return measures, pressure, holes


def _mass_kg(case: PullCase, length_mm: float, trace: Trace) -> float | None:
    """Mass of the whole chain where the tables hold one."""
    if case.size.find("mass_per_length") is None:
        return None
    return trace.figure(case.size, "mass_per_length") * case.strand_count * length_mm / 1000.0
