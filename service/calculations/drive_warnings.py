"""What an engineer would say of a drive that is computed: few teeth, small wrap, long centres, weak chain."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.core.speeds import chordal_speed_variation
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.drive_option import DriveOption
    from service.calculations.drive_running import Running
    from service.calculations.drive_service import LoadClass
    from service.calculations.drive_tables import DriveTables
    from service.calculations.trace import Trace

POWER_SUSPECT_KW = 1000.0
"""From here on watts sent as kilowatts are likelier than a chain drive; only said where nothing fits or carries."""

UTILISATION_SUSPECT = 10.0
"""A chain loaded so many times its rating makes the unit of a large power doubtful."""

RESONANCE_BAND = 0.1
"""Share by which the frequencies of meshing and of a strand must differ before nothing is said (our choice)."""


class WarnedFields(Record, frozen=True):
    """Where in a request the small wheel, the large wheel and the pitch count stand."""

    small: str
    large: str
    pitches: str


IN_SIZINGS = WarnedFields("constraints.minimum_small_teeth", "constraints.maximum_large_teeth", "offset_link_allowed")
"""The fields of a sizing that bound what a drawn drive states."""


def warn_of(option: DriveOption, tables: DriveTables, trace: Trace, fields: WarnedFields, load_field: str) -> None:
    """Warnings about one drive of roller chain, each with the figure and the usual limit."""
    warn_of_few_teeth(option.wheels.small, option.small_speed_rpm, tables, trace, fields.small)
    warn_of_many_teeth(option.wheels.large, option.elongation_limit_percent, tables, trace, fields.large)
    warn_of_wrap(option.wrap_small_deg, tables, trace)
    warn_of_centres(option.centre_distance_mm / option.chain.pitch_mm, tables, trace)
    if option.offset_link:
        trace.warn(
            "odd_pitch_count",
            f"{option.pitch_count} pitches are an odd number: an offset link is needed, which lowers the capacity.",
            field=fields.pitches,
        )
    if option.forces.safety is not None and option.forces.safety < 1.0:
        warn_of_tension(option.forces.pull_n, option.forces.tensile_n or 0.0, trace, load_field)
    if option.lubrication is None:
        trace.warn(
            "lubrication_not_read",
            f"The boundary of bath and stream lubrication of chain {option.chain.designation} in this edition was not "
            "read: ask for an oil bath at least.",
        )


def warn_of_few_teeth(teeth: int, speed_rpm: float, tables: DriveTables, trace: Trace, field: str) -> None:
    """Few teeth on a small wheel that is not slow."""
    fewest, slow = tables.advice("small_wheel_teeth_min"), tables.advice("slow_speed_below")
    if teeth < fewest and speed_rpm >= slow:
        trace.note(tables.advice_used("small_wheel_teeth_min"))
        variation_percent = 100.0 * chordal_speed_variation(teeth=teeth)
        trace.warn(
            "teeth_few",
            f"{teeth} teeth on the small wheel: {fewest:g} or more are usual above {slow:g} r/min; the chain "
            f"speed varies by {variation_percent:.1f} % with each tooth.",
            field=field,
        )


def warn_of_many_teeth(teeth: int, limit_percent: float, tables: DriveTables, trace: Trace, field: str) -> bool:
    """More teeth on the large wheel than a chain that lengthens stays on for long; whether anything was said."""
    most = tables.advice("large_wheel_teeth_max")
    if teeth > most:
        trace.note(tables.advice_used("large_wheel_teeth_max"))
        trace.warn(
            "teeth_many",
            f"{teeth} teeth on the large wheel: {most:g} are the usual most, since the chain climbs off after "
            f"an elongation of only {limit_percent:.2f} %.",
            field=field,
        )
    return teeth > most


def warn_of_shock(load_class: LoadClass | None, teeth: int, tables: DriveTables, trace: Trace, field: str) -> None:
    """What heavy shock asks of a drive beside a higher service factor."""
    if load_class != "heavy_shock":
        return
    trace.note(tables.advice_used("small_wheel_teeth_min_heavy_shock"))
    least = tables.advice("small_wheel_teeth_min_heavy_shock")
    trace.warn(
        "heavy_shock",
        f"Heavy shock: {least:g} or more hardened teeth on the small wheel are advised, which has {teeth} here, and a "
        "shear pin or torque limiter that gives way before the chain does.",
        field=field,
    )


def warn_of_wrap(wrap_deg: float, tables: DriveTables, trace: Trace) -> None:
    """Too small an arc of contact on the small wheel."""
    least = tables.advice("wrap_min")
    if wrap_deg < least:
        trace.note(tables.advice_used("wrap_min"))
        trace.warn(
            "wrap_small",
            f"The chain wraps {wrap_deg:.0f} degrees of the small wheel; {least:g} are the usual least: lengthen the "
            "centres or set an idler.",
            field="centre_distance_mm",
        )


def warn_of_centres(pitches: float, tables: DriveTables, trace: Trace) -> None:
    """Centres so far apart that the strands hang."""
    longest = tables.advice("centre_distance_max_unguided")
    if pitches > longest:
        trace.note(tables.advice_used("centre_distance_max_unguided"))
        trace.warn(
            "centres_long",
            f"The centres are {pitches:.0f} pitches apart; beyond {longest:g} the strands need guides or idlers.",
            field="centre_distance_mm",
        )


def warn_of_tension(pull_n: float, tensile_n: float, trace: Trace, field: str) -> None:
    """A pull with its factors above the breaking strength."""
    trace.warn(
        "tension_too_high",
        f"The chain pull of {pull_n / 1000:.1f} kN with its factors is above the breaking strength of "
        f"{tensile_n / 1000:.1f} kN: take a larger chain.",
        severity="danger",
        field=field,
    )


def question_power(power_kw: float, utilisation: float, trace: Trace, field: str) -> None:
    """Ask whether watts were meant where a large power is far beyond the chain."""
    if power_kw >= POWER_SUSPECT_KW and utilisation > UTILISATION_SUSPECT:
        message = f"{power_kw:g} kW is far beyond this chain: were {power_kw / 1000:g} kW meant?"
        trace.warn("power_suspect", message, field=field)


def warn_of_running(running: Running, trace: Trace) -> None:
    """Warning about teeth that meet rollers at the pace at which the tight strand swings."""
    own, mesh = running.span_frequency_hz, running.mesh_frequency_hz
    if own is not None and abs(mesh / own - 1.0) < RESONANCE_BAND:
        trace.warn(
            "strand_resonance",
            f"Rollers meet teeth {mesh:.1f} times a second, and the tight strand swings at {own:.1f} Hz: it may whip. "
            "Other teeth, centres or a guide move them apart.",
        )
