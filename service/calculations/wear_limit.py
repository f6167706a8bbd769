"""The limit of elongation for a case: family, largest wheel, fixed centres, chains in parallel, or the caller's own."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.core.errors import Inconsistent, Issue
from service.core.readings import fraction_or_percent_suspect
from service.core.wear_limits import elongation_for_large_wheel
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.trace import Trace
    from service.reference.catalogue import Reference
    from service.reference.elongation import ElongationLimitRow, ElongationRule
    from service.reference.wear import WearLimitRow

CentreType = Literal["adjustable", "fixed"]
LimitRule = Literal["general", "large_wheel", "fixed_centres", "double_pitch", "family", "own", "none"]

LIFTING_FAMILIES = {"leaf", "hoist_roller"}
FAMILIES_WITH_OWN_ROUTE = {"round_link"}
LIMIT_FAMILY = {"engineering_steel": "conveyor"}
"""Families whose limit stands under another name in the table."""


class LimitCase(Record, frozen=True, kw_only=True):
    """What decides on the limit beside the family."""

    large_wheel_teeth: int | None = None
    small_wheel_teeth: int | None = None
    centre_type: CentreType | None = None
    parallel_chains: bool = False
    smooth_running: bool = False
    limit_percent: float | None = None


class OtherLimit(Record, frozen=True, kw_only=True):
    """A limit that another text gives for the same case."""

    percent: float
    condition: str


class ChosenLimit(Record, frozen=True, kw_only=True):
    """The limit that governs; ``percent`` is None where no limit was found in print and none was entered."""

    percent: float | None
    rule: LimitRule
    condition: str
    approaching_percent: float | None = None
    others: tuple[OtherLimit, ...] = ()


def is_lifting(family: str) -> bool:
    """Whether a family lifts loads, so that its statuses are those of lifting chain."""
    return family in LIFTING_FAMILIES


def round_link_refused(received: str) -> Inconsistent:
    """The refusal of chain that has a resource of its own."""
    return Inconsistent(
        Issue(
            "chain",
            "family_wrong_route",
            "Round-link load chain is judged by links, diameters and the hoist's manual, not by pitches here.",
            None,
            received,
            "Send it to POST /v1/load-chain-wear-checks.",
        )
    )


def choose_limit(family: str, case: LimitCase, reference: Reference, trace: Trace) -> ChosenLimit:
    """The limit for a case, with what should be known about it in the trace.

    Raises:
        Inconsistent: the family is judged by other measures than its length over pitches.
    """
    if family in FAMILIES_WITH_OWN_ROUTE:
        raise round_link_refused(family)
    chosen = _by_table(family, case, reference, trace)
    if case.limit_percent is None:
        return chosen
    return _own(family, case.limit_percent, chosen, reference, trace)


def _by_table(family: str, case: LimitCase, reference: Reference, trace: Trace) -> ChosenLimit:
    if family == "roller":
        return _roller(case, reference, trace)
    if family == "double_pitch_roller":
        row = _rule(reference, "double_pitch")
        trace.row(row, "limit of elongation")
        return ChosenLimit(percent=row.limit_percent, rule="double_pitch", condition=row.condition)
    if family == "silent":
        return _silent(case, reference, trace)
    row_ = reference.wear.limit(LIMIT_FAMILY.get(family, family), "elongation")
    if row_ is None:
        if case.limit_percent is None:
            trace.warn(
                "limit_not_in_reference",
                "No limit of elongation for this family was found in print: enter limit_percent from its maker.",
                field="limit_percent",
            )
        return ChosenLimit(percent=None, rule="none", condition="no limit found in print")
    trace.row(row_, "limit of elongation")
    approaching = reference.wear.limit(family, "elongation", action="approaching")
    if approaching is not None:
        trace.row(approaching, "elongation at which the limit is near")
    return ChosenLimit(
        percent=row_.percent,
        rule="family",
        condition=row_.note or row_.locator,
        approaching_percent=None if approaching is None else approaching.percent,
        others=_others(family, row_, reference),
    )


def _others(family: str, chosen: WearLimitRow, reference: Reference) -> tuple[OtherLimit, ...]:
    return tuple(
        OtherLimit(percent=row.percent, condition=row.note or row.locator)
        for row in reference.wear.limit_rows(LIMIT_FAMILY.get(family, family), "elongation")
        if row.percent != chosen.percent
    )


def _rule(reference: Reference, rule: ElongationRule) -> ElongationLimitRow:
    return next(row for row in reference.elongation_limits.rows if row.rule == rule)


def _percent(row: ElongationLimitRow) -> float:
    if row.limit_percent is None:
        raise ArithmeticError(f"elongation_limits.csv: {row.rule} has no percentage")
    return row.limit_percent


def _roller(case: LimitCase, reference: Reference, trace: Trace) -> ChosenLimit:
    strict = case.centre_type == "fixed" or case.parallel_chains or case.smooth_running
    base = _rule(reference, "fixed_centres" if strict else "general")
    percent = _percent(base)
    trace.row(base, "limit of elongation")
    chosen = ChosenLimit(
        percent=percent,
        rule="fixed_centres" if strict else "general",
        condition=base.condition,
        others=(OtherLimit(percent=_percent(guide := _rule(reference, "european_guide")), condition=guide.condition),),
    )
    asked = case.limit_percent is None
    if case.centre_type is None and not strict and asked:
        trace.warn(
            "centre_type_unknown",
            f"Adjustable centres were taken; with fixed centres the limit is "
            f"{_percent(_rule(reference, 'fixed_centres')):g} %.",
            severity="info",
            field="centre_type",
        )
    if case.large_wheel_teeth is None:
        if asked:
            trace.warn(
                "large_wheel_unknown",
                f"{percent:g} % holds up to about 66 teeth; a larger wheel takes only 200/N per cent. Send the teeth "
                "of the largest wheel.",
                severity="info",
                field="large_wheel_teeth",
            )
        return chosen
    _check_wheels(case, trace)
    wheel = _rule(reference, "large_wheel")
    limit = trace.take(
        elongation_for_large_wheel,
        teeth_large=case.large_wheel_teeth,
        tooth_engagement_percent=wheel.percent_times_teeth or 0.0,
        general_limit_percent=percent,
    )
    if limit >= percent:
        return chosen
    trace.row(wheel, "limit of elongation on a large wheel")
    return ChosenLimit(
        percent=limit,
        rule="large_wheel",
        condition=f"{wheel.percent_times_teeth:g}/{case.large_wheel_teeth} of the largest wheel",
        others=chosen.others,
    )


def _silent(case: LimitCase, reference: Reference, trace: Trace) -> ChosenLimit:
    row = reference.wear.limit("silent", "elongation_times_large_wheel_teeth")
    if row is None:
        raise ArithmeticError("wear_limits.csv: the rule of silent chain is missing")
    if case.large_wheel_teeth is None:
        code = "large_wheel_unknown" if case.limit_percent is None else "limit_family_mismatch"
        trace.warn(
            code,
            f"The limit of silent chain is {row.value:g}/N per cent of its large wheel, not a fixed figure. Send the "
            "teeth of the largest wheel.",
            field="large_wheel_teeth",
        )
        return ChosenLimit(percent=None, rule="none", condition="200/N of the large wheel, whose teeth are not known")
    _check_wheels(case, trace)
    trace.row(row, "limit of elongation")
    percent = trace.take(
        elongation_for_large_wheel,
        teeth_large=case.large_wheel_teeth,
        tooth_engagement_percent=row.value,
        general_limit_percent=row.value,
    )
    return ChosenLimit(
        percent=percent, rule="large_wheel", condition=f"{row.value:g}/{case.large_wheel_teeth} of the large wheel"
    )


def _check_wheels(case: LimitCase, trace: Trace) -> None:
    if (
        case.small_wheel_teeth is not None
        and case.large_wheel_teeth is not None
        and case.small_wheel_teeth > case.large_wheel_teeth
    ):
        trace.warn(
            "fields_swapped_suspect",
            f"The small wheel has {case.small_wheel_teeth} teeth and the large one {case.large_wheel_teeth}: are they "
            "exchanged?",
            field="large_wheel_teeth",
        )


def _own(family: str, own: float, chosen: ChosenLimit, reference: Reference, trace: Trace) -> ChosenLimit:
    if (flag := fraction_or_percent_suspect(field="limit_percent", percent=own)) is not None:
        trace.warn(flag.code, flag.message, field="limit_percent")
    usual = reference.wear.thresholds["usual_limit_span"].value
    if own > usual:
        trace.warn("limit_suspect", f"A limit of {own:g} % lies above usual practice.", field="limit_percent")
    percent = own
    if chosen.percent is not None and own > chosen.percent:
        code = "limit_looser_than_rule"
        tail = "; your own limit is used."
        if is_lifting(family):
            code, percent = "limit_looser_than_published", chosen.percent
            tail = "; for lifting chain the stricter one is used."
        trace.warn(
            code,
            f"Your limit of {own:g} % is looser than {chosen.percent:.3g} % ({chosen.condition}){tail}",
            field="limit_percent",
        )
    if percent != own:
        return chosen
    others = chosen.others
    if chosen.percent is not None:
        others = (OtherLimit(percent=chosen.percent, condition=chosen.condition), *others)
    return ChosenLimit(percent=own, rule="own", condition="the caller's own limit", others=others)
