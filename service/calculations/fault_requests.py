"""What is asked beside the cause of a fault: what is not answered here, and work that must not be done."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.core.errors import Issue, OutOfRange
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.trace import Trace

Question = Literal["cause", "probability", "liability", "price", "stock", "lead_time", "brand"]
IntendedWork = Literal[
    "weld_lifting_chain",
    "join_lifting_chain",
    "measure_while_running",
    "adjust_while_running",
    "remove_guard_for_good",
]

_OUT_OF_SCOPE: dict[Question, str] = {
    "liability": "Who is liable is a question for law and contract; the causes and their checks can be had here.",
    "price": "Prices are not held here; the answer names the parts that are renewed together.",
    "stock": "Stock is not held here; the answer names the parts that are renewed together.",
    "lead_time": "Delivery times are not held here; the answer names the parts that are renewed together.",
    "brand": "No maker is advised here; chain is described by its standard.",
}
_UNSAFE: dict[IntendedWork, str] = {
    "weld_lifting_chain": "Welding a link of lifting chain is not permitted: take the chain out of service and replace "
    "the whole of it.",
    "join_lifting_chain": "Joining pieces of lifting chain is not permitted: replace the whole chain, all chains of a "
    "set together.",
}
_MOVING: dict[IntendedWork, str] = {
    "measure_while_running": "Never measure on a running chain: isolate the drive, lock it off and prove that it "
    "cannot start; then measure at rest under light tension.",
    "adjust_while_running": "Never adjust, oil by hand or clean a running chain: isolate the drive and lock it off "
    "first.",
}


class Asked(Record, frozen=True, kw_only=True):
    """Questions and intended work, as codes."""

    questions: tuple[Question, ...] = ()
    intended_work: tuple[IntendedWork, ...] = ()


def tell_requests(asked: Asked, trace: Trace) -> None:
    """Refuse what is out of scope or unsafe, and tell what a guard is for.

    Raises:
        OutOfRange: every question that is not answered here and every work that must not be done.
    """
    issues = [
        Issue(f"questions.{index}", "out_of_scope", _OUT_OF_SCOPE[question], None, question)
        for index, question in enumerate(asked.questions)
        if question in _OUT_OF_SCOPE
    ]
    for index, work in enumerate(asked.intended_work):
        field = f"intended_work.{index}"
        if work in _UNSAFE:
            issues.append(Issue(field, "unsafe_request", _UNSAFE[work], None, work))
        if work in _MOVING:
            issues.append(Issue(field, "unsafe_method", _MOVING[work], None, work, None, "cfr-29-1910-147"))
    if issues:
        raise OutOfRange(*issues)
    if "probability" in asked.questions:
        trace.warn(
            "likelihood_is_a_class",
            "The publications name causes and do not count them: classes of likelihood are given and no percentage.",
            severity="info",
            field="questions",
        )
    if "remove_guard_for_good" in asked.intended_work:
        trace.warn(
            "guarding_note",
            "Chain and wheels have to be enclosed unless they are guarded by their position; a guard is put back "
            "before the drive runs.",
            severity="danger",
            field="intended_work",
        )
