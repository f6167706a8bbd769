"""What an engineer would say of a drive that is computed: few teeth, small wrap, long centres, weak chain."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from service.calculations.drive_option import DriveOption
    from service.calculations.drive_running import Running
    from service.calculations.drive_tables import DriveTables
    from service.calculations.trace import Trace

POWER_SUSPECT_KW = 1000.0
"""From here on watts sent as kilowatts are likelier than a chain drive; only said where nothing fits or carries."""


RESONANCE_BAND = 0.1
"""Share by which the frequencies of meshing and of a strand must differ before nothing is said (our choice)."""


def warn_of(option: DriveOption, tables: DriveTables, trace: Trace) -> None:
    """Warnings about one drive, each with the figure and the usual limit."""
    wheels = option.wheels
    fewest, most = tables.advice("small_wheel_teeth_min"), tables.advice("large_wheel_teeth_max")
    slow = tables.advice("slow_speed_below")
    if wheels.small < fewest and option.small_speed_rpm >= slow:
        trace.note(tables.advice_used("small_wheel_teeth_min"))
        trace.warn(
            "teeth_few",
            f"{wheels.small} teeth on the small wheel: {fewest:g} or more are usual above {slow:g} r/min; the chain "
            f"speed varies by {option.chordal_variation_percent:.1f} % with each tooth.",
        )
    if wheels.large > most:
        trace.note(tables.advice_used("large_wheel_teeth_max"))
        trace.warn(
            "teeth_many",
            f"{wheels.large} teeth on the large wheel: {most:g} are the usual most, since the chain climbs off after "
            f"an elongation of only {option.elongation_limit_percent:.2f} %.",
        )
    least_wrap = tables.advice("wrap_min")
    if option.wrap_small_deg < least_wrap:
        trace.note(tables.advice_used("wrap_min"))
        trace.warn(
            "wrap_small",
            f"The chain wraps {option.wrap_small_deg:.0f} degrees of the small wheel; {least_wrap:g} are the usual "
            "least: lengthen the centres or set an idler.",
            field="centre_distance_mm",
        )
    longest = tables.advice("centre_distance_max_unguided")
    if option.centre_distance_mm > longest * option.chain.pitch_mm:
        trace.note(tables.advice_used("centre_distance_max_unguided"))
        trace.warn(
            "centres_long",
            f"The centres are {option.centre_distance_mm / option.chain.pitch_mm:.0f} pitches apart; beyond "
            f"{longest:g} the strands need guides or idlers.",
            field="centre_distance_mm",
        )
    if option.offset_link:
        trace.warn(
            "odd_pitch_count",
            f"{option.pitch_count} pitches are an odd number: an offset link is needed, which lowers the capacity.",
        )
    if option.forces.safety is not None and option.forces.safety < 1.0:
        trace.warn(
            "tension_too_high",
            f"The chain pull of {option.forces.pull_n / 1000:.1f} kN with its factors is above the breaking "
            f"strength of {(option.forces.tensile_n or 0) / 1000:.1f} kN: take a larger chain.",
            severity="danger",
        )
    if option.lubrication is None:
        trace.warn(
            "lubrication_not_read",
            f"The boundary of bath and stream lubrication of chain {option.chain.designation} in this edition was not "
            "read: ask for an oil bath at least.",
        )


def warn_of_running(running: Running, trace: Trace) -> None:
    """Warning about teeth that meet rollers at the pace at which the tight strand swings."""
    own, mesh = running.span_frequency_hz, running.mesh_frequency_hz
    if own is not None and abs(mesh / own - 1.0) < RESONANCE_BAND:
        trace.warn(
            "strand_resonance",
            f"Rollers meet teeth {mesh:.1f} times a second, and the tight strand swings at {own:.1f} Hz: it may whip. "
            "Other teeth, centres or a guide move them apart.",
        )
