"""The elongation of a chain read from the travel of its take-up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.core import elongation as core
from service.core.errors import Issue, MoreNeeded

if TYPE_CHECKING:
    from service.calculations.measurement import Measurement
    from service.calculations.trace import Trace

UNSAID_PITCHES = 10
"""Chain on the wheels by which the size of what is left out is told (ours)."""


def elongation_by_takeup(given: Measurement, pitch_mm: float, trace: Trace) -> float:
    """Elongation in per cent by the travel of a take-up; what is not said of the loop is assumed and told.

    Raises:
        MoreNeeded: the pitches of the loop or the runs are not given.
        OutOfRange: counts that cannot be.
    """
    if given.loop_pitch_count is None:
        raise MoreNeeded(
            Issue("loop_pitch_count", "pitches_missing", "Pitches of the whole loop when new are needed.", None, None)
        )
    if given.runs is None:
        raise MoreNeeded(
            Issue(
                "runs",
                "runs_unknown",
                "How many runs of chain does the take-up lengthen? In a simple loop over two shafts there are two, and "
                "the chain grew by twice the travel.",
                None,
                None,
                "Send runs, 2 for a tail shaft between two runs.",
            )
        )
    removed = given.pitches_removed
    if removed is None:
        removed = 0
        trace.assume("pitches_removed", 0, "default", "none taken out since the chain was new")
        trace.warn(
            "pitches_removed_unknown",
            "No pitches were taken to have been removed since the chain was new; each one counts as growth.",
            field="pitches_removed",
        )
    on_wheels = given.pitches_on_wheels
    if on_wheels is None:
        on_wheels = 0.0
        trace.assume("pitches_on_wheels", 0.0, "default", "as if all of the chain lay in the strands")
        share = 100 * UNSAID_PITCHES / given.loop_pitch_count
        trace.warn(
            "takeup_reads_low",
            "Chain that lies on toothed wheels does not move the take-up, so the elongation reads low by their share: "
            f"{UNSAID_PITCHES} pitches on teeth of the {given.loop_pitch_count} are {share:.2g} % of it. Send "
            "pitches_on_wheels, of two wheels about half of their teeth together.",
            field="pitches_on_wheels",
        )
    return trace.take(
        core.from_takeup,
        takeup_travel_mm=given.takeup_travel_mm or 0.0,
        runs=given.runs,
        loop_pitch_count=given.loop_pitch_count,
        pitches_removed=removed,
        pitches_on_wheels=on_wheels,
        pitch_mm=pitch_mm,
    )
