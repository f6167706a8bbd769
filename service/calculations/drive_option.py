"""One drive looked at from every side: ratings by failure, length and centres, forces, lubrication, sensitivities."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING, Literal, NamedTuple

from service.calculations.drive_layout import lay_out
from service.core.chain_length import centre_distance_exact, pitches_exact
from service.core.conversions import KW_PER_HP, MM_PER_INCH
from service.core.forces import (
    breaking_safety,
    centrifugal_tension_n,
    effective_pull_n,
    shaft_load_from_tensions_n,
)
from service.core.lubrication import lubrication_type
from service.core.roller_rating import TEETH_MAX, impact_power
from service.core.roller_rating_newer import link_plate_power_newer, table_end_newer
from service.core.roller_rating_older import galling_speed_older, link_plate_power_older
from service.core.slack import sag_tension_n
from service.core.speeds import chain_speed_ft_min, chain_speed_m_s, chordal_speed_variation, speed_ratio
from service.core.sprocket import pitch_diameter
from service.core.sprocket_asme import outside_diameter
from service.core.wrap import teeth_engaged, wrap_large_rad, wrap_small_rad

if TYPE_CHECKING:
    from service.calculations.drive_tables import DriveTables, Edition, Lubrication, RatedChain
    from service.calculations.trace import Trace

Failure = Literal["link_plate_fatigue", "roller_bushing_impact", "range_end"]

DEFAULT_SAG_SHARE = 0.02
"""Sag of the slack strand as a share of its span where none is sent (recommended for level drives)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DriveLoad:
    """What a drive must carry, the factors applied, and where its shafts stand."""

    edition: Edition
    power_kw: float
    service_factor: float
    driver_speed_rpm: float
    driven_speed_rpm: float | None
    centre_distance_mm: float | None
    centre_range_mm: tuple[float, float] | None = None
    offset_link_allowed: bool = False


class Wheels(NamedTuple):
    """Teeth of both wheels; the small one sets the rating, whichever drives."""

    driver: int
    driven: int
    small: int
    large: int

    @classmethod
    def of(cls, driver: int, driven: int) -> Wheels:
        """The wheels of a driver and a driven tooth count."""
        return cls(driver, driven, min(driver, driven), max(driver, driven))


class DriveOption(NamedTuple):
    """One drive with every figure that a quotation needs; a tuple, since a sizing makes ten in a fraction of a ms."""

    chain: RatedChain
    strand_count: int
    wheels: Wheels
    ratio: float
    ratio_error_percent: float | None
    driven_speed_rpm: float
    chain_speed_m_s: float
    strand_factor: float
    design_power_kw: float
    link_plate_kw: float
    impact_kw: float
    range_end_rpm: float
    small_speed_rpm: float
    governed_by: Failure
    utilisation: float
    lubrication: Lubrication | None
    pitch_count: int
    centre_distance_mm: float
    centre_distance_growth_mm: float
    wrap_small_deg: float
    wrap_large_deg: float
    teeth_engaged: float
    chordal_variation_percent: float
    effective_pull_n: float
    centrifugal_tension_n: float | None
    shaft_load_n: float | None
    tensile_strength_n: float | None
    breaking_safety: float | None
    chain_mass_kg: float | None
    small_outside_diameter_mm: float
    large_outside_diameter_mm: float
    utilisation_one_tooth_more: float | None
    utilisation_one_strand_more: float | None

    @property
    def designation(self) -> str:
        """Size and strands as they are ordered."""
        return f"{self.chain.designation}-{self.strand_count}"

    @property
    def rated_power_kw(self) -> float:
        """Rating of all strands: the lower of both failures."""
        return min(self.link_plate_kw, self.impact_kw)

    @property
    def offset_link(self) -> bool:
        """Whether the pitch count is odd."""
        return self.pitch_count % 2 == 1


WEAR_AT_TAKE_UP_PERCENT = 3.0
"""Elongation for which the adjustment is stated; the limit of the general rule (table ``elongation_limits``)."""


class DriveRelations:
    """The relations of drives bound to a trace, so that inner loops call them at their bare cost.

    Holds besides what every drive of one request shares: the load, the tables and the trace.
    """

    __slots__ = (
        "breaking",
        "centre",
        "centrifugal",
        "chordal",
        "edition",
        "engaged",
        "galling",
        "impact",
        "length",
        "link_plate",
        "load",
        "lubrication",
        "outside",
        "pitch_circle",
        "pull",
        "range_end",
        "ratio",
        "sag",
        "shaft_load",
        "speed",
        "speed_inch",
        "tables",
        "trace",
        "wrap_large",
        "wrap_small",
    )

    def __init__(self, load: DriveLoad, tables: DriveTables, trace: Trace) -> None:
        bind = trace.bind
        self.load = load
        self.tables = tables
        self.trace = trace
        self.edition = load.edition
        self.link_plate = bind(link_plate_power_older if load.edition == "older" else link_plate_power_newer)
        self.impact = bind(impact_power)
        if load.edition == "older":
            self.galling = bind(galling_speed_older)
        else:
            self.range_end = bind(table_end_newer)
        self.speed = bind(chain_speed_m_s)
        self.speed_inch = bind(chain_speed_ft_min)
        self.ratio = bind(speed_ratio)
        self.chordal = bind(chordal_speed_variation)
        self.length = bind(pitches_exact)
        self.centre = bind(centre_distance_exact)
        self.pitch_circle = bind(pitch_diameter)
        self.outside = bind(outside_diameter)
        self.wrap_small = bind(wrap_small_rad)
        self.wrap_large = bind(wrap_large_rad)
        self.engaged = bind(teeth_engaged)
        self.pull = bind(effective_pull_n)
        self.centrifugal = bind(centrifugal_tension_n)
        self.sag = bind(sag_tension_n)
        self.shaft_load = bind(shaft_load_from_tensions_n)
        self.breaking = bind(breaking_safety)
        self.lubrication = bind(lubrication_type)

    def rated_strand_hp(self, chain: RatedChain, teeth: int, speed_rpm: float) -> tuple[float, float]:
        """Link-plate and impact rating of one strand."""
        plate = self.link_plate(
            chain_class=chain.chain_class, pitch_in=chain.pitch_in, teeth=teeth, speed_rpm=speed_rpm
        )
        impact = self.impact(chain_class=chain.chain_class, pitch_in=chain.pitch_in, teeth=teeth, speed_rpm=speed_rpm)
        return plate, impact

    def range_end_rpm(self, chain: RatedChain, teeth: int, strand_hp: float, speed_rpm: float) -> float:
        """Speed of the small wheel at which the published ratings end because pins and bushings would gall."""
        if self.edition == "newer":
            return speed_at(self.range_end(teeth=teeth), chain, teeth)
        pull_lbf = 396_000.0 * strand_hp / (chain.pitch_in * teeth * speed_rpm)
        return self.galling(pitch_in=chain.pitch_in, teeth=teeth, tension_lbf=pull_lbf)

    def lubrication_of(self, chain: RatedChain, speed_ft_min: float, small_speed_rpm: float) -> Lubrication | None:
        """Least lubrication for a chain speed; None where the edition's boundary was not read."""
        limits = chain.limits
        if limits is None:
            return None
        if limits.manual_or_drip_max_ft_min is not None and limits.bath_or_disc_max_ft_min is not None:
            kind: Lubrication = self.lubrication(
                chain_speed_ft_min=speed_ft_min,
                manual_or_drip_limit_ft_min=limits.manual_or_drip_max_ft_min,
                bath_or_disc_limit_ft_min=limits.bath_or_disc_max_ft_min,
            )
            return kind
        slowest = limits.manual_or_drip_max_rpm
        return "manual_or_drip" if slowest is not None and small_speed_rpm <= slowest else None


def speed_at(chain_speed_ft_min: float, chain: RatedChain, teeth: int) -> float:
    """Speed of a wheel, in r/min, at which the chain runs that fast."""
    return 12.0 * chain_speed_ft_min / (chain.pitch_in * teeth)


def unloaded_end_rpm(chain: RatedChain, teeth: int, edition: Edition) -> float:
    """Speed at which the ratings of an edition end for a chain that carries nothing."""
    if edition == "newer":
        return speed_at(table_end_newer(teeth=teeth), chain, teeth)
    return galling_speed_older(pitch_in=chain.pitch_in, teeth=teeth, tension_lbf=0.0)


def evaluate(chain: RatedChain, strand_count: int, wheels: Wheels, relations: DriveRelations) -> DriveOption:
    """Every figure of one drive.

    Raises:
        OutOfRange: the wheels or the speed lie outside the printed ratings.
        NoSolution: the chain does not go round the wheels.
    """
    r, load = relations, relations.load
    small, large = wheels.small, wheels.large
    ratio = r.ratio(driver_teeth=wheels.driver, driven_teeth=wheels.driven)
    driven_rpm = load.driver_speed_rpm / ratio
    asked = None if load.driven_speed_rpm is None else load.driver_speed_rpm / load.driven_speed_rpm
    small_rpm = load.driver_speed_rpm if wheels.driver <= wheels.driven else driven_rpm
    factor = r.tables.strand_factors[strand_count].factor
    r.trace.note(r.tables.strand_factor_used[strand_count])
    design_kw = load.power_kw * load.service_factor
    need_hp = design_kw / KW_PER_HP / factor
    plate, impact = r.rated_strand_hp(chain, small, small_rpm)
    # A load beyond the rating says nothing of galling; the range is taken to where it ends at the rating.
    end_rpm = r.range_end_rpm(chain, small, min(need_hp, plate, impact), small_rpm)
    governed_by, utilisation = _governing(need_hp, plate, impact, small_rpm, end_rpm)
    speed = r.speed(pitch_mm=chain.pitch_mm, teeth=wheels.driver, speed_rpm=load.driver_speed_rpm)
    speed_ft_min = r.speed_inch(pitch_in=chain.pitch_in, teeth=small, speed_rpm=small_rpm)
    small_tip_mm = r.outside(pitch_in=chain.pitch_in, teeth=small) * MM_PER_INCH
    large_tip_mm = r.outside(pitch_in=chain.pitch_in, teeth=large) * MM_PER_INCH
    pitch_count, centre_mm = lay_out(chain, small, large, (small_tip_mm + large_tip_mm) / 2.0, r)
    small_mm = r.pitch_circle(pitch_mm=chain.pitch_mm, teeth=small)
    large_mm = r.pitch_circle(pitch_mm=chain.pitch_mm, teeth=large)
    circles = {
        "pitch_diameter_small_mm": small_mm,
        "pitch_diameter_large_mm": large_mm,
        "centre_distance_mm": centre_mm,
    }
    wrap = r.wrap_small(**circles)
    pull = r.pull(power_kw=load.power_kw, chain_speed_m_s=speed)
    forces = _forces(chain, strand_count, r, pull=pull, speed=speed, centre_mm=centre_mm, wrap=wrap)
    r.trace.note(chain.used)
    r.trace.note(chain.tensile_used[strand_count - 1])
    return DriveOption(
        chain=chain,
        strand_count=strand_count,
        wheels=wheels,
        ratio=ratio,
        ratio_error_percent=None if asked is None else 100.0 * (ratio / asked - 1.0),
        driven_speed_rpm=driven_rpm,
        chain_speed_m_s=speed,
        strand_factor=factor,
        design_power_kw=design_kw,
        link_plate_kw=plate * factor * KW_PER_HP,
        impact_kw=impact * factor * KW_PER_HP,
        range_end_rpm=end_rpm,
        small_speed_rpm=small_rpm,
        governed_by=governed_by,
        utilisation=utilisation,
        lubrication=r.lubrication_of(chain, speed_ft_min, small_rpm),
        pitch_count=pitch_count,
        centre_distance_mm=centre_mm,
        centre_distance_growth_mm=WEAR_AT_TAKE_UP_PERCENT / 100.0 * pitch_count * chain.pitch_mm / 2.0,
        wrap_small_deg=wrap * 180.0 / pi,
        wrap_large_deg=r.wrap_large(**circles) * 180.0 / pi,
        teeth_engaged=r.engaged(wrap_rad=wrap, teeth=small),
        chordal_variation_percent=100.0 * r.chordal(teeth=small),
        effective_pull_n=pull,
        centrifugal_tension_n=forces.centrifugal_n,
        shaft_load_n=forces.shaft_load_n,
        tensile_strength_n=forces.tensile_n,
        breaking_safety=forces.safety,
        chain_mass_kg=None if forces.mass_kg_m is None else forces.mass_kg_m * pitch_count * chain.pitch_mm / 1000.0,
        small_outside_diameter_mm=small_tip_mm,
        large_outside_diameter_mm=large_tip_mm,
        utilisation_one_tooth_more=_one_tooth_more(chain, small, need_hp, small_rpm, r),
        utilisation_one_strand_more=_one_strand_more(chain, strand_count, factor * utilisation, r),
    )


def _governing(need: float, plate: float, impact: float, speed: float, end: float) -> tuple[Failure, float]:
    """The failure that is nearest, and how much of its limit is used."""
    if speed > end:
        return "range_end", speed / end
    return ("link_plate_fatigue", need / plate) if plate <= impact else ("roller_bushing_impact", need / impact)


class _Forces(NamedTuple):
    mass_kg_m: float | None
    centrifugal_n: float | None
    shaft_load_n: float | None
    tensile_n: float | None
    safety: float | None


def _forces(
    chain: RatedChain, strand_count: int, r: DriveRelations, *, pull: float, speed: float, centre_mm: float, wrap: float
) -> _Forces:
    mass = None if chain.mass_kg_m is None else chain.mass_kg_m * strand_count
    tensile = chain.tensile_n[strand_count - 1]
    centrifugal = shaft = None
    tight = pull
    if mass is not None:
        centrifugal = r.centrifugal(mass_per_length_kg_m=mass, chain_speed_m_s=speed)
        span_m = centre_mm / 1000.0
        slack = r.sag(mass_per_length_kg_m=mass, span_m=span_m, sag_m=DEFAULT_SAG_SHARE * span_m)
        shaft = r.shaft_load(tight_tension_n=pull + slack, slack_tension_n=slack, wrap_rad=wrap)
        tight = pull + slack + centrifugal
    safety = None
    if tensile is not None:
        safety = r.breaking(breaking_load_n=tensile, tension_n=tight, service_factor=r.load.service_factor)
    return _Forces(mass, centrifugal, shaft, tensile, safety)


def _one_tooth_more(chain: RatedChain, small: int, need_hp: float, speed_rpm: float, r: DriveRelations) -> float | None:
    if small >= TEETH_MAX:
        return None
    plate, impact = r.rated_strand_hp(chain, small + 1, speed_rpm)
    return need_hp / (min(plate, impact))


def _one_strand_more(
    chain: RatedChain, strand_count: int, one_strand_utilisation: float, r: DriveRelations
) -> float | None:
    if strand_count >= chain.max_strand_count:
        return None
    row = r.tables.strand_factors.get(strand_count + 1)
    return None if row is None else one_strand_utilisation / row.factor
