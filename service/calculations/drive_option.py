"""One drive looked at from every side: ratings by failure, length and centres, forces, lubrication, sensitivities."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING, Literal

from service.calculations.drive_ratings import RATING_POWERS
from service.calculations.drive_running import Forces, Strands, forces_of
from service.core.conversions import KW_PER_HP
from service.core.roller_rating import TEETH_MAX
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.drive_relations import DriveRelations, Wheels
    from service.calculations.drive_tables import Edition, Lubrication, RatedChain

Failure = Literal["link_plate_fatigue", "roller_bushing_impact", "range_end"]


class DriveOption(Record, frozen=True, kw_only=True):
    """One drive with every figure that a quotation needs."""

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
    elongation_limit_percent: float
    centre_distance_growth_mm: float
    wrap_small_deg: float
    wrap_large_deg: float
    teeth_engaged: float
    chordal_variation_percent: float
    forces: Forces
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

    @property
    def chain_mass_kg(self) -> float | None:
        """Mass of the whole chain."""
        mass = self.forces.mass_kg_m
        return None if mass is None else mass * self.pitch_count * self.chain.pitch_mm / 1000.0


class Known(Record, frozen=True):
    """What a search found out of a drive that carries its load: the end of its ratings, and its lubrication."""

    range_end_rpm: float
    lubrication: Lubrication | None


def evaluate(
    chain: RatedChain, strand_count: int, wheels: Wheels, relations: DriveRelations, known: Known | None = None
) -> DriveOption:
    """Every figure of one drive; what is known already is not computed again.

    Raises:
        OutOfRange: the wheels or the speed lie outside the printed ratings.
        NoSolution: the chain does not go round the wheels.
    """
    r, load = relations, relations.load
    small, large = wheels.small, wheels.large
    small_wheel, large_wheel = r.wheel(chain, small), r.wheel(chain, large)
    ratio = r.ratio(driver_teeth=wheels.driver, driven_teeth=wheels.driven)
    driven_rpm = load.driver_speed_rpm / ratio
    asked = None if load.driven_speed_rpm is None else load.driver_speed_rpm / load.driven_speed_rpm
    small_rpm = load.driver_speed_rpm if wheels.driver <= wheels.driven else driven_rpm
    factor = r.tables.strand_factors[strand_count].factor
    design_kw = load.power_kw * load.service_factor
    need_hp = design_kw / KW_PER_HP / factor
    plate, impact = r.rated_strand_hp(chain, small, small_rpm)
    if known is None:
        # A load beyond the rating says nothing of galling; the range is taken to where it ends at the rating.
        end_rpm = r.range_end_rpm(chain, small, min(need_hp, plate, impact), small_rpm)
        known = Known(end_rpm, r.lubrication_of(chain, small, small_rpm))
    end_rpm, lubrication = known.range_end_rpm, known.lubrication
    governed_by, utilisation = _governing(need_hp, plate, impact, small_rpm, end_rpm)
    speed = r.speed(pitch_mm=chain.pitch_mm, teeth=wheels.driver, speed_rpm=load.driver_speed_rpm)
    tips_mm = (small_wheel.outside_diameter_mm + large_wheel.outside_diameter_mm) / 2.0
    pitch_count, centre_mm = r.shafts.lay_out(chain.pitch_mm, small, large, tips_mm)
    small_mm, large_mm = small_wheel.pitch_diameter_mm, large_wheel.pitch_diameter_mm
    wrap = r.wrap_small(
        pitch_diameter_small_mm=small_mm, pitch_diameter_large_mm=large_mm, centre_distance_mm=centre_mm
    )
    wrap_large = r.wrap_large(
        pitch_diameter_small_mm=small_mm, pitch_diameter_large_mm=large_mm, centre_distance_mm=centre_mm
    )
    strands = Strands(strand_count, speed, centre_mm, wrap)
    forces = forces_of(chain, strands, r)
    limit = large_wheel.elongation_limit_percent
    _note(chain, strand_count, limit, r)
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
        lubrication=lubrication,
        pitch_count=pitch_count,
        centre_distance_mm=centre_mm,
        elongation_limit_percent=limit,
        centre_distance_growth_mm=limit / 100.0 * pitch_count * chain.pitch_mm / 2.0,
        wrap_small_deg=wrap * 180.0 / pi,
        wrap_large_deg=wrap_large * 180.0 / pi,
        teeth_engaged=r.engaged(wrap_rad=wrap, teeth=small),
        chordal_variation_percent=small_wheel.chordal_variation_percent,
        forces=forces,
        small_outside_diameter_mm=small_wheel.outside_diameter_mm,
        large_outside_diameter_mm=large_wheel.outside_diameter_mm,
        utilisation_one_tooth_more=_one_tooth_more(small, need_hp, plate, impact, r.edition),
        utilisation_one_strand_more=_one_strand_more(chain, strand_count, factor * utilisation, r),
    )


def _note(chain: RatedChain, strand_count: int, limit_percent: float, r: DriveRelations) -> None:
    note, tables = r.trace.note, r.tables
    note(tables.strand_factor_used[strand_count])
    note(chain.used)
    note(chain.tensile_used[strand_count - 1])
    note(tables.general_limit_used if limit_percent == tables.general_limit_percent else tables.large_limit_used)


def _governing(need: float, plate: float, impact: float, speed: float, end: float) -> tuple[Failure, float]:
    """The failure that is nearest, and how much of its limit is used."""
    if speed > end:
        return "range_end", speed / end
    return ("link_plate_fatigue", need / plate) if plate <= impact else ("roller_bushing_impact", need / impact)


def _one_tooth_more(small: int, need_hp: float, plate_hp: float, impact_hp: float, edition: Edition) -> float | None:
    """Utilisation on a small wheel with a tooth more, by the powers of teeth in the rating lines."""
    if small >= TEETH_MAX:
        return None
    powers, more = RATING_POWERS[edition], (small + 1) / small
    used: float = need_hp / min(plate_hp * more**powers.plate_teeth, impact_hp * more**powers.impact)
    return used


def _one_strand_more(
    chain: RatedChain, strand_count: int, one_strand_utilisation: float, r: DriveRelations
) -> float | None:
    if strand_count >= chain.max_strand_count:
        return None
    row = r.tables.strand_factors.get(strand_count + 1)
    return None if row is None else one_strand_utilisation / row.factor
