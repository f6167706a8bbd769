"""Verdict on worn chain: status, what governs it, and the next step in plain words for a small screen."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.core.wear_status import (
    DRIVE_GRAVITY,
    LIFTING_GRAVITY,
    NOT_ASSESSABLE,
    Rung,
    check_ladder,
    governing,
    gravest_in_band,
    held_rung,
    rung,
)
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from service.calculations.trace import Trace
    from service.calculations.wear_limit import ChosenLimit
    from service.reference.wear import Finding, SprocketState, WearReference

HEADLINE_LENGTH = 60
NEXT_STEP_LENGTH = 140

Part = Literal["chain", "all_wheels_of_the_loop", "parallel_chain", "both_chains_of_the_pair", "anchor_pins"]
Confidence = Literal["high", "medium", "low"]

NextStepCode = Literal[
    "keep_interval",
    "shorten_interval",
    "order_and_book",
    "replace_at_next_stop",
    "stop_and_replace",
    "set_replacement_date",
    "remove_from_service",
    "judge_finding",
    "measure_now",
    "measure_again",
    "count_again",
    "check_percentages",
    "enter_limit",
    "look_for_cause",
]
"""What to do now, for rules of a maintenance system; the words of an answer say more."""

WORDS = {
    "ok": "ok",
    "watch": "watch",
    "plan": "plan renewal",
    "replace": "replace",
    "stop": "stop",
    "within_entered_limits": "within entered limits",
    "approaching_limit": "approaching limit",
    "remove_from_service": "remove from service",
    NOT_ASSESSABLE: "no verdict",
}

STEPS = {
    "ok": "Measure again at the usual interval and keep up lubrication.",
    "watch": "Shorten the measuring interval; look at lubrication and alignment.",
    "plan": "Order the chain and book a stop; look at the teeth when you measure next.",
    "replace": "Replace the chain at the next stop; inspect the wheels before fitting it.",
    "stop": "Isolate the drive and replace the chain before it runs again; inspect the wheels.",
    "within_entered_limits": "Keep to the inspection interval; a competent person decides on use.",
    "approaching_limit": "Have a competent person set a date for replacement, at most three months ahead.",
    "remove_from_service": "Take it out of service; replace the chains as a set, with new anchor pins.",
}


STEP_CODES: dict[str, NextStepCode] = {
    "ok": "keep_interval",
    "watch": "shorten_interval",
    "plan": "order_and_book",
    "replace": "replace_at_next_stop",
    "stop": "stop_and_replace",
    "within_entered_limits": "keep_interval",
    "approaching_limit": "set_replacement_date",
    "remove_from_service": "remove_from_service",
    NOT_ASSESSABLE: "judge_finding",
}
"""What a status alone calls for."""


class NextStep(Record, frozen=True):
    """What to do now, as a code and in plain words."""

    code: NextStepCode
    text: str


class Ladder(Record, frozen=True, kw_only=True):
    """Thresholds of one kind of chain, with the statuses from light to grave."""

    rungs: tuple[Rung, ...]
    lowest: str
    gravity: tuple[str, ...]
    hysteresis: float

    def status(self, limit_used: float, previous: str | None = None) -> str:
        """The status of a share of the limit, unrounded, held against flapping."""
        return held_rung(
            limit_used=limit_used,
            ladder=self.rungs,
            lowest=self.lowest,
            previous=previous,
            hysteresis=self.hysteresis,
        )


class OwnThresholds(Record, frozen=True, kw_only=True):
    """The caller's own shares of the limit at which a status begins."""

    watch: float | None = None
    plan: float | None = None
    stop: float | None = None
    hysteresis: float | None = None


class Observed(Record, frozen=True, kw_only=True):
    """What was seen on chain and wheels, beside the measurement."""

    findings: tuple[Finding, ...] = ()
    sprocket_state: SprocketState | None = None
    parallel_chains: bool = False
    previous_status: str | None = None


class Verdict(Record, frozen=True, kw_only=True):
    """Status with what governs it, and what to replace together."""

    status: str
    governed_by: str
    replace_together: tuple[Part, ...]


def ladder(*, lifting: bool, own: OwnThresholds, limit: ChosenLimit, wear: WearReference, trace: Trace) -> Ladder:
    """The thresholds to judge by: those of this service, unless the caller sets others.

    Raises:
        Inconsistent: the thresholds do not rise.
    """

    def figure(name: str, given: float | None, field: str) -> float:
        if given is not None:
            return given
        row = wear.thresholds[name]
        trace.row(row, f"threshold {name}")
        trace.assume(field, row.value, "default", "policy of this service; send your own to change it")
        return row.value

    hysteresis = figure("hysteresis", own.hysteresis, "thresholds.hysteresis_fraction")
    if lifting:
        near = wear.thresholds["lifting_approaching"].value
        if limit.approaching_percent is not None and limit.percent is not None:
            near = min(limit.approaching_percent / limit.percent, 1.0)
        rungs = (Rung("approaching_limit", near), Rung("remove_from_service", wear.thresholds["lifting_remove"].value))
        return Ladder(rungs=rungs, lowest="within_entered_limits", gravity=LIFTING_GRAVITY, hysteresis=hysteresis)
    rungs_ = (
        Rung("watch", figure("drive_watch", own.watch, "thresholds.watch_fraction")),
        Rung("plan", figure("drive_plan", own.plan, "thresholds.plan_fraction")),
        Rung("replace", wear.thresholds["drive_replace"].value),
        Rung("stop", figure("drive_stop", own.stop, "thresholds.stop_fraction")),
    )
    check_ladder(rungs_)
    return Ladder(rungs=rungs_, lowest="ok", gravity=DRIVE_GRAVITY, hysteresis=hysteresis)


def note_nearness(steps: Ladder, limit_used: float, uncertainty: float, trace: Trace) -> None:
    """Warn where the uncertainty of the reading reaches the next threshold."""
    near = gravest_in_band(limit_used=limit_used, uncertainty=uncertainty, ladder=steps.rungs)
    if near is not None:
        trace.warn(
            "near_threshold",
            f"Within the reading error the status may already be {near.status}: measure over more pitches.",
            severity="info",
        )


def judge(
    wear_statuses: Mapping[str, str], seen: Observed, steps: Ladder, wear: WearReference, trace: Trace
) -> Verdict:
    """The gravest of wear, pair and findings, and the parts that belong together.

    Args:
        wear_statuses: ``wear`` and, where a second chain was measured, ``pair``, each with its status.
        seen: Findings and state of the wheels.
        steps: Ladder of this kind of chain.
        wear: Wear tables.
        trace: Takes warnings and sources.
    """
    previous = seen.previous_status
    if previous is not None and previous not in (*steps.gravity, NOT_ASSESSABLE):
        known = ", ".join(steps.gravity)
        message = f"previous_status had no effect: {previous} is no status of this kind of chain, which has {known}."
        trace.warn("not_used", message, severity="info", field="previous_status")
    lifting = steps.gravity is LIFTING_GRAVITY
    statuses = dict(wear_statuses)
    for finding in seen.findings:
        row = wear.findings[finding]
        trace.row(row, f"finding {finding}")
        statuses[f"finding {finding}"] = row.lifting_status if lifting else row.drive_status
    name, status = governing(statuses, steps.gravity)
    due = status in {"replace", "stop", "remove_from_service"}
    return Verdict(
        status=status,
        governed_by=name.partition(" ")[0],
        replace_together=_parts(seen, wear, trace, lifting=lifting) if due else (),
    )


def _parts(seen: Observed, wear: WearReference, trace: Trace, *, lifting: bool) -> tuple[Part, ...]:
    if lifting:
        return ("chain", "both_chains_of_the_pair", "anchor_pins")
    parts: list[Part] = ["chain"]
    if seen.sprocket_state is None:
        trace.warn(
            "sprocket_not_inspected",
            "A chain is due and the teeth were not looked at; new chain on worn teeth wears fast. Send sprocket_state.",
            field="sprocket_state",
        )
    else:
        row = wear.sprocket_states[seen.sprocket_state]
        trace.row(row, f"state of the teeth {seen.sprocket_state}")
        if row.action == "renew":
            parts.append("all_wheels_of_the_loop")
    if seen.parallel_chains:
        parts.append("parallel_chain")
    return tuple(parts)


def headline(*, status: str, elongation_percent: float | None, limit_percent: float | None, prefix: str = "") -> str:
    """One line of at most 60 characters."""
    words = WORDS[status]
    if elongation_percent is None:
        text = f"{prefix or 'Elongation not known'}: {words}"
    elif limit_percent is None:
        text = f"{prefix}{elongation_percent:.2f} % elongation, no limit: {words}"
    else:
        text = f"{prefix}{elongation_percent:.2f} % of a {limit_percent:.2f} % limit: {words}"
    return text[:HEADLINE_LENGTH]


def next_step(*, verdict: Verdict, seen: Observed, wear: WearReference, doubt: NextStep | None) -> NextStep:
    """What to do now, in words of at most 140 characters.

    Args:
        verdict: The verdict.
        seen: Findings and state of the wheels.
        wear: Wear tables.
        doubt: What has to be done first because the reading is in doubt.
    """
    grave = verdict.status in {"stop", "remove_from_service"}
    if verdict.governed_by == "finding" and (grave or doubt is None):
        return NextStep(STEP_CODES[verdict.status], _clipped(_finding_step(verdict, seen, wear)))
    if doubt is not None:
        return NextStep(doubt.code, _clipped(doubt.text))
    return NextStep(STEP_CODES[verdict.status], _plain_step(verdict, grave=grave))


def _plain_step(verdict: Verdict, *, grave: bool) -> str:
    if "all_wheels_of_the_loop" in verdict.replace_together:
        when = "before it runs again" if grave else "at the next stop"
        return f"Replace the chain together with all wheels of the loop {when}; isolate first."
    if verdict.governed_by == "pair":
        return f"The second chain governs. {STEPS[verdict.status]}"
    return STEPS[verdict.status]


def _finding_step(verdict: Verdict, seen: Observed, wear: WearReference) -> str:
    column = "lifting_status" if verdict.status in LIFTING_GRAVITY else "drive_status"
    found = next((f for f in seen.findings if getattr(wear.findings[f], column) == verdict.status), seen.findings[0])
    what = wear.findings[found].meaning
    if verdict.status == NOT_ASSESSABLE:
        return f"{what.capitalize()}: measure it and have a competent person judge it."
    return f"{what.capitalize()}. {STEPS[verdict.status]}"


def _clipped(text: str) -> str:
    return text if len(text) <= NEXT_STEP_LENGTH else text[: NEXT_STEP_LENGTH - 1].rsplit(" ", 1)[0] + "…"


def status_of_bound(steps: Ladder, *, low: float, high: float) -> str:
    """Status where only bounds of the share of the limit are known: that of both ends if they agree, else none.

    A gauge that says only "more than" settles what its threshold already reaches; one that says only "less than"
    settles what its threshold does not reach.
    """
    if high == float("inf"):
        return rung(limit_used=low, ladder=steps.rungs, lowest=steps.lowest) if low >= 1 else NOT_ASSESSABLE
    if high > 1:
        return NOT_ASSESSABLE
    return rung(limit_used=high * (1 - 1e-9), ladder=steps.rungs, lowest=steps.lowest)


def confidence_of(codes: Sequence[str], *, assumed: bool) -> Confidence:
    """How far a verdict can be trusted: low on doubtful data, medium where measuring left something open."""
    if any(code in DOUBTS for code in codes):
        return "low"
    return "medium" if assumed or "near_threshold" in codes else "high"


DOUBTS = {
    "pitch_count_suspect",
    "pins_not_pitches_suspect",
    "shorter_than_nominal",
    "nominal_exact_suspect",
    "fraction_or_percent_suspect",
    "tension_not_applied",
    "unsafe_method",
    "offset_in_span",
    "too_few_pitches",
    "roller_play_included",
    "pitches_removed_unknown",
    "takeup_reads_low",
    "outlier",
    "conflicting_reading",
    "repeated_value",
    "timestamp_suspect",
    "measurement_overdue",
}
"""Warnings after which a verdict rests on doubtful data."""
