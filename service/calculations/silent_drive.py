"""One silent-chain drive: rating by width, length and centres, pull, and how far the figures can be trusted."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

from service.calculations.drive_layout import Centres, Shafts
from service.calculations.drive_warnings import WarnedFields, warn_of_centres, warn_of_many_teeth, warn_of_wrap
from service.core.conversions import KW_PER_HP, M_S_PER_FT_MIN, MM_PER_INCH
from service.core.forces import effective_pull_n
from service.core.silent_rating import Guide, design_power, guide_rule, rating_per_width, required_width
from service.core.silent_sprocket import radius_over_chain
from service.core.speeds import chain_speed_m_s, chordal_speed_variation, speed_ratio
from service.core.sprocket import pitch_diameter
from service.core.wrap import teeth_engaged, wrap_large_rad, wrap_small_rad
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.drive_relations import Wheels
    from service.calculations.drive_tables import DriveTables
    from service.calculations.silent_tables import SilentTables, SilentWidth
    from service.calculations.trace import Trace

LEAST_TEETH_PREFERRED = 21
"""Fewer teeth on the small wheel run less smoothly (machinerys-27, recalled)."""


class SilentCase(Record, frozen=True):
    """What a silent-chain drive must carry, where its shafts stand, and the tables."""

    power_kw: float
    service_factor: float
    driver_speed_rpm: float
    driven_speed_rpm: float | None
    centres: Centres
    tables: SilentTables
    at: str


class SilentOption(Record, frozen=True):
    """One silent-chain drive with every figure that the tables allow."""

    width: SilentWidth
    wheels: Wheels
    guide_rule: Guide
    ratio: float
    ratio_error_percent: float | None
    driven_speed_rpm: float
    chain_speed_m_s: float
    small_speed_rpm: float
    design_power_kw: float
    rated_hp_per_in: float
    offset_width_factor: float
    required_width_mm: float
    pitch_count: int
    centre_distance_mm: float
    wrap_small_deg: float
    wrap_large_deg: float
    teeth_engaged: float
    chordal_variation_percent: float
    effective_pull_n: float
    small_diameter_over_chain_mm: float
    large_diameter_over_chain_mm: float
    small_pitch_diameter_mm: float
    large_pitch_diameter_mm: float

    @property
    def designation(self) -> str:
        """Number of the chain."""
        return self.width.size.designation

    @property
    def chain_speed_ft_min(self) -> float:
        """Chain speed as the limits of lubrication are printed."""
        return self.chain_speed_m_s / M_S_PER_FT_MIN

    @property
    def rated_power_kw(self) -> float:
        """Rating of the whole width, of which an offset section leaves a part."""
        return self.rated_hp_per_in * self.width.width_in / self.offset_width_factor * KW_PER_HP

    @property
    def utilisation(self) -> float:
        """Design power over rated power."""
        return self.design_power_kw / self.rated_power_kw

    @property
    def offset_section(self) -> bool:
        """Whether the pitch count is odd."""
        return self.pitch_count % 2 == 1


def evaluate_silent(width: SilentWidth, wheels: Wheels, case: SilentCase, trace: Trace) -> SilentOption:
    """Every figure of one drive.

    Raises:
        OutOfRange: teeth or speed lie outside the ratings.
        NoSolution: the chain does not go round the wheels.
    """
    take, pitch = trace.take, case.tables.pitches[width.pitch_in]
    small, large = wheels.small, wheels.large
    ratio = take(speed_ratio, driver_teeth=wheels.driver, driven_teeth=wheels.driven)
    driven_rpm = case.driver_speed_rpm / ratio
    asked = None if case.driven_speed_rpm is None else case.driver_speed_rpm / case.driven_speed_rpm
    small_rpm = case.driver_speed_rpm if wheels.driver <= wheels.driven else driven_rpm
    design_hp = take(design_power, power_hp=case.power_kw / KW_PER_HP, service_factor=case.service_factor)
    rated = take(rating_per_width, teeth=small, speed_rpm=small_rpm, points=pitch.points)
    needed_in = take(required_width, design_power_hp=design_hp, rating_hp_per_in=rated)
    over_mm = [2.0 * MM_PER_INCH * take(radius_over_chain, pitch_in=width.pitch_in, teeth=n) for n in (small, large)]
    layout = Shafts(case.centres, trace).lay_out(width.pitch_mm, small, large, sum(over_mm) / 2.0)
    circles_mm = [take(pitch_diameter, pitch_mm=width.pitch_mm, teeth=n) for n in (small, large)]
    at = {
        "pitch_diameter_small_mm": circles_mm[0],
        "pitch_diameter_large_mm": circles_mm[1],
        "centre_distance_mm": layout.centre_distance_mm,
    }
    wrap = take(wrap_small_rad, **at)
    speed = take(chain_speed_m_s, pitch_mm=width.pitch_mm, teeth=wheels.driver, speed_rpm=case.driver_speed_rpm)
    trace.note(pitch.used)
    offset = 1.0
    if layout.pitch_count % 2:
        offset = case.tables.offset_width_factor
        trace.note(case.tables.offset_used)
    for quantity in ("pitch", "nominal_width"):
        trace.figure(width.size, quantity)
    return SilentOption(
        width=width,
        wheels=wheels,
        guide_rule=take(guide_rule, pitch_in=width.pitch_in, width_in=width.width_in),
        ratio=ratio,
        ratio_error_percent=None if asked is None else 100.0 * (ratio / asked - 1.0),
        driven_speed_rpm=driven_rpm,
        chain_speed_m_s=speed,
        small_speed_rpm=small_rpm,
        design_power_kw=design_hp * KW_PER_HP,
        rated_hp_per_in=rated,
        offset_width_factor=offset,
        required_width_mm=offset * needed_in * MM_PER_INCH,
        pitch_count=layout.pitch_count,
        centre_distance_mm=layout.centre_distance_mm,
        wrap_small_deg=wrap * 180.0 / pi,
        wrap_large_deg=take(wrap_large_rad, **at) * 180.0 / pi,
        teeth_engaged=take(teeth_engaged, wrap_rad=wrap, teeth=small),
        chordal_variation_percent=100.0 * take(chordal_speed_variation, teeth=small),
        effective_pull_n=take(effective_pull_n, power_kw=case.power_kw, chain_speed_m_s=speed),
        small_diameter_over_chain_mm=over_mm[0],
        large_diameter_over_chain_mm=over_mm[1],
        small_pitch_diameter_mm=circles_mm[0],
        large_pitch_diameter_mm=circles_mm[1],
    )


def warn_of_silent(
    option: SilentOption, case: SilentCase, tables: DriveTables, trace: Trace, fields: WarnedFields
) -> None:
    """What an engineer would say of a silent-chain drive, and how far its rating can be trusted."""
    warn_of_generation(case.tables, trace)
    _warn_of_lubrication(option, tables, trace, f"{case.at}.driver_speed_rpm")
    if option.wheels.small < LEAST_TEETH_PREFERRED:
        trace.warn(
            "teeth_few",
            f"{option.wheels.small} teeth on the small wheel: {LEAST_TEETH_PREFERRED} or more are preferred for silent "
            f"chain (recalled); its speed may vary by up to {option.chordal_variation_percent:.1f} % with each tooth.",
            field=fields.small,
        )
    limit_percent = tables.percent_times_teeth / option.wheels.large
    if warn_of_many_teeth(option.wheels.large, limit_percent, tables, trace, fields.large):
        trace.note(tables.large_limit_used)
    warn_of_wrap(option.wrap_small_deg, tables, trace)
    warn_of_centres(option.centre_distance_mm / option.width.pitch_mm, tables, trace)
    if option.offset_section:
        trace.warn(
            "odd_pitch_count",
            f"{option.pitch_count} pitches are an odd number: an offset section is needed, which the standard leaves "
            f"to each maker and for which {option.offset_width_factor:g} times the width is counted.",
            field=fields.pitches,
        )


def warn_of_generation(silent: SilentTables, trace: Trace) -> None:
    """That the ratings are recalled and of the earlier generation."""
    trace.warn(
        "rating_generation_older",
        f"The ratings are those of generation {silent.generation}, recalled; a handbook of 2006 announces higher ones "
        "that were not read. They err low.",
    )


def _warn_of_lubrication(option: SilentOption, tables: DriveTables, trace: Trace, field: str) -> None:
    """The one limit that was read, and that the rest was not."""
    limit, speed = tables.advice("silent_drip_speed_max"), option.chain_speed_ft_min
    trace.note(tables.advice_used("silent_drip_speed_max"))
    drip = "is not for" if speed > limit else "may do for"
    trace.warn(
        "lubrication_not_read",
        f"The bands of lubrication of silent chain were not read. Trade texts end hand or drip oiling at {limit:g} "
        f"ft/min, so that it {drip} this chain at {speed:.0f} ft/min; else ask for an oil bath, and for a stream at "
        "high speed.",
        field=field,
    )
