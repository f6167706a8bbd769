"""One drive judged by its chain pull: engineering-class chain, and roller chain slower than its ratings."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING, Literal, NamedTuple

from service.calculations.drive_layout import Centres, Shafts
from service.calculations.drive_tables import used_of
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

if TYPE_CHECKING:
    from service.calculations.drive_relations import Wheels
    from service.calculations.drive_tables import DriveTables
    from service.calculations.trace import Trace
    from service.reference.chains import ChainSize

Basis = Literal["allowable_load", "share_of_tensile_strength"]

ENGINEERING_FAMILIES = frozenset(
    {
        "engineering_steel",
        "welded_steel_mill",
        "combination",
        "cast_pintle",
        "steel_pintle",
        "cast_mill",
        "rivetless",
        "detachable",
        "agricultural",
    }
)
"""Families that drive shafts and have no power ratings in the tables."""


class PullCase(NamedTuple):
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
        """Whether the chain has an allowable load and a factor of speed and teeth."""
        return self.size.row.family in ENGINEERING_FAMILIES


class PullOption(NamedTuple):
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
    joint_pressure_n_mm2: float | None
    pitch_count: int
    centre_distance_mm: float
    wrap_small_deg: float
    wrap_large_deg: float
    chordal_variation_percent: float
    holes: tuple[str, ...]

    @property
    def utilisation(self) -> float:
        """Needed working load, or the pull with its service factor alone where that is more, over the allowable."""
        return max(self.needed_working_load_n, self.static_load_n) / self.allowable_load_n

    @property
    def static_load_n(self) -> float:
        """Pull with its service factor, without the factor of speed and teeth."""
        return self.pull_n * self.case.service_factor


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
    speed = take(chain_speed_m_s, pitch_mm=pitch_mm, teeth=wheels.driver, speed_rpm=case.driver_speed_rpm)
    pull_n = take(effective_pull_n, power_kw=case.power_kw, chain_speed_m_s=speed)
    factor = _speed_factor(case, pitch_mm, tables, trace) if case.engineering else None
    allowable_n, basis = _allowable(case, tables, trace)
    needed_lbf = take(
        needed_working_load,
        pull_lbf=pull_n / N_PER_LBF,
        speed_factor=factor or 1.0,
        service_factor=case.service_factor,
    )
    power_hp = take(
        power_at_working_load,
        working_load_lbf=allowable_n / N_PER_LBF,
        pitch_in=pitch_mm / MM_PER_INCH,
        teeth=wheels.driver,
        speed_rpm=case.driver_speed_rpm,
        speed_factor=factor or 1.0,
    )
    tensile = case.size.find("minimum_tensile_strength", case.strand_count)
    tensile_n = None if tensile is None else trace.figure(case.size, "minimum_tensile_strength", case.strand_count)
    safety = None
    if tensile_n is not None:
        safety = take(breaking_safety, breaking_load_n=tensile_n, tension_n=pull_n, service_factor=case.service_factor)
    pressure, holes = _joint(case, pull_n, trace)
    layout = Shafts(case.centres, trace).lay_out(pitch_mm, wheels.small, wheels.large, 0.0)
    circles_mm = [take(pitch_diameter, pitch_mm=pitch_mm, teeth=teeth) for teeth in (wheels.small, wheels.large)]
    at = {
        "pitch_diameter_small_mm": circles_mm[0],
        "pitch_diameter_large_mm": circles_mm[1],
        "centre_distance_mm": layout.centre_distance_mm,
    }
    return PullOption(
        case=case,
        ratio=ratio,
        driven_speed_rpm=driven_rpm,
        chain_speed_m_s=speed,
        pull_n=pull_n,
        speed_factor=factor,
        needed_working_load_n=needed_lbf * N_PER_LBF,
        allowable_load_n=allowable_n,
        basis=basis,
        power_at_allowable_kw=power_hp * KW_PER_HP / case.service_factor,
        tensile_strength_n=tensile_n,
        breaking_safety=safety,
        joint_pressure_n_mm2=pressure,
        pitch_count=layout.pitch_count,
        centre_distance_mm=layout.centre_distance_mm,
        wrap_small_deg=take(wrap_small_rad, **at) * 180.0 / pi,
        wrap_large_deg=take(wrap_large_rad, **at) * 180.0 / pi,
        chordal_variation_percent=100.0 * take(chordal_speed_variation, teeth=wheels.small),
        holes=(*holes, *(() if tensile_n is not None else ("minimum_tensile_strength",))),
    )


def _allowable(case: PullCase, tables: DriveTables, trace: Trace) -> tuple[float, Basis]:
    """The printed allowable load of engineering-class chain; a share of the strength of roller chain."""
    if case.engineering:
        return trace.figure(case.size, "allowable_load"), "allowable_load"
    strength_n = trace.figure(case.size, "minimum_tensile_strength", case.strand_count)
    fractions = tables.reference.factors.strength.fractions
    row = fractions.where(family="roller", quantity="service_over_ultimate_max")[0]
    trace.note((used_of(row, "share of the tensile strength in service"),))
    return row.fraction_max * strength_n, "share_of_tensile_strength"


def _speed_factor(case: PullCase, pitch_mm: float, tables: DriveTables, trace: Trace) -> float:
    """Factor of speed and teeth; below the slowest and above the largest printed, theirs, which is an upper bound."""
    factors = tables.reference.factors.conveyor
    points = factors.speed_factor_points()
    wheels = case.wheels
    small_rpm = case.driver_speed_rpm * wheels.driver / wheels.small
    speed = trace.take(chain_speed_ft_min, pitch_in=pitch_mm / MM_PER_INCH, teeth=wheels.small, speed_rpm=small_rpm)
    slowest, most = min(point.speed_ft_min for point in points), max(point.teeth for point in points)
    teeth, at_speed = min(wheels.small, most), max(speed, slowest)
    if (teeth, at_speed) != (wheels.small, speed):
        trace.warn(
            "speed_factor_bounded",
            f"The factors of speed and teeth begin at {slowest:g} ft/min and end at {most} teeth; that of {teeth} "
            f"teeth at {at_speed:.4g} ft/min is taken, which is no less than the true one.",
            severity="info",
        )
    try:
        factor = trace.take(speed_factor, teeth=teeth, speed_ft_min=at_speed, points=points)
    except OutOfRange as refusal:
        raise OutOfRange(*(_in_words(issue, case, teeth, at_speed) for issue in refusal.issues)) from refusal
    trace.note((used_of(factors.speed_factors.rows[0], "factor of speed and teeth"),))
    return factor


def _in_words(issue: Issue, case: PullCase, teeth: int, speed_ft_min: float) -> Issue:
    """The refusal of the table in the caller's fields."""
    if issue.field == "teeth":
        field = "driver_teeth" if case.wheels.driver == case.wheels.small else "driven_teeth"
        message = f"{teeth} teeth are fewer than the factors of speed and teeth list; they begin at {issue.limit:g}."
        return Issue(field, "teeth_few", message, issue.limit, teeth)
    message = (
        f"{speed_ft_min:.4g} ft/min is faster than the factors of speed and teeth list for {teeth} teeth; they end at "
        f"{issue.limit:g} ft/min."
    )
    return Issue(f"{case.at}.driver_speed_rpm", "speed_beyond_table", message, issue.limit, speed_ft_min)


def _joint(case: PullCase, pull_n: float, trace: Trace) -> tuple[float | None, tuple[str, ...]]:
    """Pressure in the joints where the tables hold pin and bearing length, and what they do not hold."""
    names = ("pin_diameter", "bearing_length")
    missing = tuple(name for name in names if case.size.find(name) is None)
    # No table of pressures that a pair of materials bears was found in print.
    holes = (*missing, "allowable_joint_pressure")
    if missing:
        return None, holes
    pin_mm, length_mm = (trace.figure(case.size, name) for name in names)
    pressure = trace.take(
        joint_pressure, tension_n=pull_n / case.strand_count, pin_diameter_mm=pin_mm, bush_length_mm=length_mm
    )
    return pressure, holes
