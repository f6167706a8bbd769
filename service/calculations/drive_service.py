"""The service factor of a drive: the caller's own, or that of the printed table for load class and prime mover."""

from __future__ import annotations

from difflib import get_close_matches
from typing import TYPE_CHECKING, Literal

from service.calculations.drive_tables import DriveTables, used_of
from service.core.errors import Inconsistent, Issue, MoreNeeded, NotInReference
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Iterable

    from service.calculations.trace import Trace

LoadClass = Literal["smooth", "moderate_shock", "heavy_shock"]
PrimeMover = Literal["engine_fluid_coupled", "electric_motor_or_turbine", "engine_mechanical"]

FACTOR_SUSPECT = 5.0
"""Three times the largest printed factor; from here on a slipped decimal point is likelier."""


class ServiceInput(Record, frozen=True):
    """What the caller says of the load; ``at`` is where the duty stands in the request."""

    service_factor: float | None
    load_class: LoadClass | None
    prime_mover: PrimeMover | None
    driven_machine: str | None
    at: str


def settle_service(sent: ServiceInput, tables: DriveTables, trace: Trace) -> tuple[LoadClass | None, float]:
    """Load class, where one was named, and service factor.

    Raises:
        MoreNeeded: neither a factor nor a load class was sent.
        NotInReference: the driven machine is not among the printed examples.
        Inconsistent: machine and class contradict each other, or the load would count twice.
    """
    load_class = settle_load_class(sent, tables, trace)
    if sent.service_factor is not None:
        if load_class is not None or sent.prime_mover is not None:
            message = "Send service_factor, or load_class with prime_mover, not both: the load would count twice."
            raise Inconsistent(Issue(f"{sent.at}.service_factor", "factor_double_counted", message))
        question_factor(sent.service_factor, sent.at, trace)
        return None, sent.service_factor
    if load_class is None:
        message = "Send load_class (smooth, moderate_shock, heavy_shock) with prime_mover, or your own service_factor."
        raise MoreNeeded(Issue(f"{sent.at}.load_class", "field_required", message))
    mover = sent.prime_mover
    if mover is None:
        mover = "electric_motor_or_turbine"
        trace.assume(f"{sent.at}.prime_mover", mover, "default", "none was sent")
    row = tables.service_factors["asme", load_class, mover]
    trace.note((used_of(row, "service factor"),))
    trace.assume(f"{sent.at}.service_factor", row.factor, "table", f"{load_class}, {mover}")
    return load_class, row.factor


def question_factor(factor: float, at: str, trace: Trace) -> None:
    """Say where a factor of the caller is below every printed one, or far above."""
    if factor < 1.0:
        message = f"A service factor of {factor:g} lowers the load; the printed factors begin at 1."
        trace.warn("factor_below_one", message, field=f"{at}.service_factor")
    if factor > FACTOR_SUSPECT:
        message = (
            f"A service factor of {factor:g} is far above the printed ones (1 to 2): is the decimal point right "
            f"({factor / 10:g})?"
        )
        trace.warn("factor_suspect", message, field=f"{at}.service_factor")


def settle_load_class(sent: ServiceInput, tables: DriveTables, trace: Trace) -> LoadClass | None:
    """The class sent, or that of the driven machine in the printed examples; None where neither was sent.

    Raises:
        NotInReference: the driven machine is not among the printed examples.
        Inconsistent: machine and class contradict each other.
    """
    if sent.driven_machine is None:
        return sent.load_class
    examples = {row.example: row for row in tables.reference.load_classes.rows}
    row = examples[match_example(sent.driven_machine, examples, f"{sent.at}.driven_machine", trace)]
    if sent.load_class is not None and sent.load_class != row.load_class:
        message = f"{row.example} are classed as {row.load_class}, but {sent.load_class} was sent; leave one out."
        raise Inconsistent(Issue(f"{sent.at}.load_class", "over_determined", message))
    trace.note((used_of(row, f"load class of {row.example}"),))
    trace.assume_once(f"{sent.at}.load_class", row.load_class, "table", row.example)
    return row.load_class


def match_example(machine: str, examples: Iterable[str], field: str, trace: Trace) -> str:
    """The printed example that a machine names, or is a slip of the pen away from.

    Raises:
        NotInReference: none is near.
    """
    name = machine.strip().lower()
    spelled = _spellings(examples)
    close = get_close_matches(name, spelled, n=1, cutoff=0.7)
    if not close:
        raise NotInReference(
            Issue(
                field,
                "driven_machine_unknown",
                f"{machine[:60]!r} is not among the printed examples of driven machines.",
                None,
                machine[:60],
                f"Send a class or a factor of your own instead; known machines: {'; '.join(examples)}.",
            ),
            nearest=tuple(get_close_matches(name, examples, n=5, cutoff=0.3)),
        )
    example = spelled[close[0]]
    if close[0] != name:
        trace.warn("matched_by_spelling", f"{machine[:60]!r} was read as {example}.", severity="info", field=field)
    return example


def _spellings(examples: Iterable[str]) -> dict[str, str]:
    """An example under its own name, and a single machine under its plural."""
    spelled = {}
    for example in examples:
        spelled[example] = example
        spelled[example.removesuffix("s")] = example
    return spelled
