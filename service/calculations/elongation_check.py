"""One wear reading: elongation with its uncertainty, the limit for the case, verdict and next step."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.calculations.measurement import Measured, Measurement, measure
from service.calculations.trace import Outcome, Trace
from service.calculations.wear_basis import basis_of
from service.calculations.wear_limit import ChosenLimit, LimitCase, is_lifting
from service.calculations.wear_verdict import (
    Confidence,
    Ladder,
    NextStep,
    Observed,
    OwnThresholds,
    Verdict,
    confidence_of,
    headline,
    judge,
    next_step,
    note_nearness,
    status_of_bound,
)
from service.core.elongation import length_at
from service.core.readings import Flag, pair_unequal
from service.core.tape_error import thermal_growth
from service.core.wear_limits import limit_used
from service.core.wear_status import NOT_ASSESSABLE
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Container

    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize

TensionState = Literal["measuring_force_applied", "tight_span", "hanging", "slack", "unknown"]

REFERENCE_TEMPERATURE_C = 20.0
"""Temperature at which a tape is true (uk-si-2016-1153, schedule 1I, 1.2)."""

PLAUSIBLE_WITHOUT_LIMIT_PERCENT = 3.0
"""Upper bound of a plausible neighbouring count where no limit is known (project policy)."""


class Conditions(Record, frozen=True, kw_only=True):
    """How it was measured."""

    tension_state: TensionState = "unknown"
    drive_running: bool = False
    offset_link_in_span: bool = False
    chain_temperature_c: float | None = None


class ElongationCheckInput(Record, frozen=True, kw_only=True):
    """One reading of one chain, or of a pair."""

    chain: ChainSize
    family: str | None = None
    measurement: Measurement
    case: LimitCase
    conditions: Conditions
    observed: Observed
    thresholds: OwnThresholds


class ElongationCheckResult(Record, frozen=True, kw_only=True):
    """Elongation, limit, verdict and next step."""

    family: str
    lifting: bool
    measured: Measured
    nominal_length_mm: float | None
    length_at_limit_mm: float | None
    limit: ChosenLimit
    limit_used: float | None
    verdict: Verdict
    confidence: Confidence
    headline: str
    next_step: NextStep


def elongation_check(
    given: ElongationCheckInput, reference: Reference, *, keep_steps: bool = False
) -> Outcome[ElongationCheckResult]:
    """Judge one reading.

    Raises:
        MoreNeeded: a count is missing, or a length fits another unit or another meaning of pitch.
        Inconsistent: inputs contradict each other, or the chain is judged by other measures.
        OutOfRange: no running chain shows such an elongation.
    """
    trace = Trace(keep_steps=keep_steps)
    family = family_of(given.chain, given.family, trace)
    lifting = is_lifting(family)
    limit, steps = basis_of(family, given.case, given.thresholds, reference, trace)
    plausible = limit.percent or PLAUSIBLE_WITHOUT_LIMIT_PERCENT
    measured = measure(given.measurement, given.chain, plausible, reference.wear, trace)
    _warn_of_conditions(given.conditions, measured, reference, trace)
    if lifting and measured.method in {"takeup_travel", "given_percent"}:
        trace.warn(
            "worst_section_missing",
            "On chain that lifts the part that runs over the sheave wears and the rest does not: an average hides it."
            " Measure over the pitches that run there.",
            field="takeup_travel_mm" if measured.method == "takeup_travel" else "elongation_percent",
        )
    statuses = {"wear": _wear_status(measured, limit, given, steps, trace)}
    if (pair := _pair_status(measured, limit, given, steps, trace)) is not None:
        statuses["pair"] = pair
    verdict = judge(statuses, given.observed, steps, reference.wear, trace)
    trace.caution(*CAUTIONS_LIFTING if lifting else CAUTIONS)
    codes = [warning.code for warning in trace.warnings]
    assumed = given.conditions.tension_state == "unknown" or measured.uncertainty_percent is None
    return Outcome(
        ElongationCheckResult(
            family=family,
            lifting=lifting,
            measured=measured,
            nominal_length_mm=None if measured.pitch_count is None else measured.pitch_count * measured.pitch_mm,
            length_at_limit_mm=_length_at_limit(measured, limit, trace),
            limit=limit,
            limit_used=_share(measured.elongation_percent, limit.percent, trace),
            verdict=verdict,
            confidence=confidence_of(codes, assumed=assumed),
            headline=_headline(verdict, measured, limit),
            next_step=next_step(
                verdict=verdict,
                seen=given.observed,
                wear=reference.wear,
                doubt=_doubt(given.conditions, measured, limit, statuses["wear"], codes),
            ),
        ),
        trace,
    )


CAUTIONS = ("isolate_and_lock_off", "stored_energy", "guard_the_drive", "local_codes")
CAUTIONS_LIFTING = (
    "competent_person",
    "hoist_maker_first",
    "overhead_lifting",
    "never_repair_lifting_chain",
    "stored_energy",
    "isolate_and_lock_off",
    "local_codes",
)


def family_of(chain: ChainSize, family: str | None, trace: Trace) -> str:
    """Family to judge by: that of the size, or for a caller's own chain the one sent, roller by default."""
    if chain.row.series != "own":
        return chain.row.family
    if family is None:
        trace.assume("family", "roller", "default", "own_chain without a family")
        return "roller"
    return family


def _warn_of_conditions(conditions: Conditions, measured: Measured, reference: Reference, trace: Trace) -> None:
    by_length = measured.method not in {"takeup_travel", "given_percent"}
    if conditions.drive_running:
        trace.warn(
            "unsafe_method",
            "Never measure on a running drive: isolate it and lock it off first. The reading cannot be relied on.",
            severity="danger",
            field="drive_running",
        )
        trace.caution("isolate_and_lock_off")
    if conditions.tension_state == "slack":
        trace.warn(
            "tension_not_applied",
            "The chain was slack: the true elongation is at least what was read.",
            field="tension_state",
        )
    elif conditions.tension_state == "unknown" and by_length:
        trace.warn(
            "tension_unknown",
            "Was the chain under tension? Slack joints hide wear.",
            severity="info",
            field="tension_state",
        )
    if conditions.offset_link_in_span:
        trace.warn(
            "offset_in_span",
            "An offset link lies in the measured span: it wears otherwise; move the span.",
            field="offset_link_in_span",
        )
    if conditions.chain_temperature_c is not None and by_length:
        _warn_of_warmth(conditions.chain_temperature_c, measured, reference, trace)


def _warn_of_warmth(temperature_c: float, measured: Measured, reference: Reference, trace: Trace) -> None:
    row = reference.wear.thresholds["steel_expansion"]
    growth = trace.take(
        thermal_growth,
        expansion_per_kelvin=row.value,
        temperature_difference_c=temperature_c - REFERENCE_TEMPERATURE_C,
    )
    if abs(growth) <= (measured.uncertainty_percent or 0.0):
        return
    trace.row(row, "expansion of a steel chain")
    trace.warn(
        "thermal_growth",
        f"Against a measure at {REFERENCE_TEMPERATURE_C:g} °C about {growth:+.2f} percentage points of the reading are "
        "warmth and no wear; nothing was taken off.",
        field="chain_temperature_c",
    )


def _share(elongation: float | None, limit: float | None, trace: Trace) -> float | None:
    if elongation is None or limit is None:
        return None
    return trace.take(limit_used, elongation_percent=elongation, limit_percent=limit)


def _wear_status(
    measured: Measured, limit: ChosenLimit, given: ElongationCheckInput, steps: Ladder, trace: Trace
) -> str:
    if limit.percent is None or any(flag.code == "shorter_than_nominal" for flag in measured.flags):
        return NOT_ASSESSABLE
    previous = given.observed.previous_status
    if measured.elongation_percent is None:
        low, high = measured.low_percent, measured.high_percent
        return status_of_bound(
            steps,
            low=float("-inf") if low is None else low / limit.percent,
            high=float("inf") if high is None else high / limit.percent,
        )
    used = limit_used(elongation_percent=measured.elongation_percent, limit_percent=limit.percent)
    status = steps.status(used, previous)
    if measured.uncertainty_percent is not None:
        note_nearness(steps, used, measured.uncertainty_percent / limit.percent, trace)
    if given.conditions.tension_state != "slack":
        return status
    if previous in steps.gravity and steps.gravity.index(previous) > steps.gravity.index(status):
        return previous
    return NOT_ASSESSABLE if status == steps.lowest else status


def _pair_status(
    measured: Measured, limit: ChosenLimit, given: ElongationCheckInput, steps: Ladder, trace: Trace
) -> str | None:
    second = measured.pair_elongation_percent
    if second is None:
        if given.case.parallel_chains:
            trace.warn(
                "pair_reading_missing",
                "Chains that run in parallel are judged together: measure the other one over the same count too.",
                field="pair_length_mm",
            )
        return None
    flag = unequal_pair(measured, second)
    if flag is not None:
        trace.warn(flag.code, flag.message, field="pair_length_mm")
    if limit.percent is None:
        return NOT_ASSESSABLE
    return steps.status(limit_used(elongation_percent=second, limit_percent=limit.percent))


def unequal_pair(measured: Measured, second: float) -> Flag | None:
    """The flag of two chains of a pair that differ by more than the error of their readings."""
    if measured.elongation_percent is None or measured.uncertainty_percent is None:
        return None
    # The same measure reads both: only the error of each reading, the square root of two of them, parts the two.
    return pair_unequal(
        elongations_percent=(measured.elongation_percent, second),
        uncertainty_percent=2**0.5 * measured.uncertainty_percent,
    )


def _length_at_limit(measured: Measured, limit: ChosenLimit, trace: Trace) -> float | None:
    if measured.length_mm is None or measured.pitch_count is None or limit.percent is None:
        return None
    return trace.take(
        length_at,
        elongation_percent=limit.percent,
        pitch_count=measured.pitch_count,
        pitch_mm=measured.pitch_mm,
    )


def _headline(verdict: Verdict, measured: Measured, limit: ChosenLimit) -> str:
    if measured.elongation_percent is not None:
        return headline(
            status=verdict.status, elongation_percent=measured.elongation_percent, limit_percent=limit.percent
        )
    bound = measured.low_percent if measured.low_percent is not None else measured.high_percent
    words = "Over" if measured.low_percent is not None else "Under"
    return headline(status=verdict.status, elongation_percent=bound, limit_percent=limit.percent, prefix=f"{words} ")


ENTER_LIMIT = NextStep(
    "enter_limit", "Send limit_percent from the maker of the chain or machine, or what the limit depends on."
)

_CHECK_FIRST = {
    "fraction_or_percent_suspect": NextStep(
        "check_percentages", "Check the percentages before acting: is a fraction written for per cent?"
    ),
    "nominal_exact_suspect": NextStep(
        "measure_again", "Measure again: the reading is the nominal length itself, as from a table."
    ),
}
"""What comes before any verdict on such a reading."""


def _doubt(
    conditions: Conditions, measured: Measured, limit: ChosenLimit, wear_status: str, codes: Container[str]
) -> NextStep | None:
    """What to do first because the reading is in doubt."""
    counts = [dict(flag.numbers) for flag in measured.flags if "other_count" in dict(flag.numbers)]
    if conditions.drive_running:
        return NextStep("measure_again", "Stop and lock off the drive, then measure at rest under tension.")
    if counts:
        would = f"{counts[-1]['other_count']:.0f} pitches would give {counts[-1]['other_percent']:+.2f} %."
        return NextStep("count_again", f"Count again from pin to pin before acting: {would}")
    if any(flag.code == "shorter_than_nominal" for flag in measured.flags):
        return NextStep("count_again", "Take up the slack, count the pitches from pin to pin and measure again.")
    first = next((step for code, step in _CHECK_FIRST.items() if code in codes), None)
    if first is None and limit.percent is None:
        first = ENTER_LIMIT
    if first is not None or wear_status != NOT_ASSESSABLE:
        return first
    if measured.method == "gauge":
        return NextStep("measure_again", "The gauge does not settle it: measure a length over at least ten pitches.")
    return NextStep("measure_again", "Put the chain under tension and measure again.")
