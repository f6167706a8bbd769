"""What a calculation used: equations, figures, assumptions, warnings, checks; explicit, nothing global."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from functools import cache
from math import isfinite
from typing import TYPE_CHECKING, Generic, Literal, NamedTuple, ParamSpec, TypeVar

from service.core.equations import entry_of
from service.reference.chains import OWN
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Callable

    from service.core.equations import Confidence, Equation
    from service.reference.chains import ChainSize
    from service.reference.loader import Row

P = ParamSpec("P")
R = TypeVar("R")

Severity = Literal["info", "caution", "danger"]
Origin = Literal["given", "default", "derived", "table", "caller_policy"]
Sense = Literal["at_most", "at_least"]

_TRUST: dict[str, int] = {"published": 0, "secondary": 1, "derived": 2, "practice": 3, "memory": 4}


class Step(Record, frozen=True):
    """One evaluated equation, in the units that its source prints."""

    equation: Equation
    inputs: dict[str, float]
    values: dict[str, float]


class Warning_(Record, frozen=True):  # noqa: N801 the plain name is a builtin
    """What an engineer should know though it does not stop the calculation."""

    code: str
    message: str
    severity: Severity = "caution"
    field: str | None = None


class Assumption(Record, frozen=True):
    """A value that the caller did not send, and where it came from."""

    field: str
    value: float | str
    origin: Origin
    note: str = ""


class Check(Record, frozen=True):
    """An actual value against a limit; ``kind`` is the kind of quantity of both (``-`` for a pure number)."""

    name: str
    actual: float
    limit: float
    kind: str = "-"
    sense: Sense = "at_most"
    note: str = ""

    @property
    def utilisation(self) -> float:
        """Share of the limit that is used; above 1 the check fails."""
        return self.actual / self.limit if self.sense == "at_most" else self.limit / self.actual

    @property
    def passes(self) -> bool:
        """Comparison of the unrounded values; the limit itself passes."""
        return self.actual <= self.limit if self.sense == "at_most" else self.actual >= self.limit


class Used(NamedTuple):
    """A publication that an answer rests on, and what was taken from it; a tuple, since each answer hashes dozens."""

    source_id: str
    locator: str
    confidence: Confidence
    used_for: str


class Trace:
    """Runs catalogue equations and looks up figures, and keeps what went in, what came out and where it is printed."""

    __slots__ = (
        "_equations",
        "_keep_steps",
        "_noted",
        "_used",
        "assumptions",
        "cautions",
        "checks",
        "steps",
        "warnings",
    )

    def __init__(self, *, keep_steps: bool = False) -> None:
        self._keep_steps = keep_steps
        self._equations: dict[object, None] = {}
        self._used: dict[Used, None] = {}
        self._noted: dict[int, tuple[Used, ...]] = {}
        self.steps: list[Step] = []
        self.warnings: list[Warning_] = []
        self.assumptions: list[Assumption] = []
        self.checks: list[Check] = []
        self.cautions: dict[str, None] = {}

    @property
    def keeps_steps(self) -> bool:
        """Whether each evaluated equation is written down."""
        return self._keep_steps

    def take(self, function: Callable[P, R], *args: P.args, **inputs: P.kwargs) -> R:
        """Run a catalogue equation; core errors pass through unchanged."""
        value = function(*args, **inputs)
        self._equations[function] = None
        if self._keep_steps:
            # The catalogue takes keyword arguments only, so ``inputs`` is the whole call.
            numbers = {name: given for name, given in inputs.items() if isinstance(given, (int, float))}
            self.steps.append(Step(entry_of(function), numbers, _numbers(value)))
        return value

    def bind(self, function: Callable[P, R]) -> Callable[P, R]:
        """The function itself, noted as used, where no steps are kept; else one that writes each call down.

        For inner loops: a search that evaluates a relation a thousand times pays for a call of it and no more.
        """
        self._equations[function] = None
        if not self._keep_steps:
            return function

        def recorded(*args: P.args, **inputs: P.kwargs) -> R:
            return self.take(function, *args, **inputs)

        return recorded

    def note(self, used: tuple[Used, ...]) -> None:
        """Note sources that were looked up beforehand; cheap where the same tuple comes again and again."""
        self._noted[id(used)] = used

    def figure(self, size: ChainSize, quantity: str, strand_count: int = 1) -> float:
        """Canonical value of a chain's figure, with its source noted.

        Raises:
            NotInReference: the tables have no such figure.
        """
        found = size.figure(quantity, strand_count)
        used_for = f"{quantity.replace('_', ' ')} of {size.designation}"
        if found.source_id == OWN:
            field = f"{found.locator}.{quantity}"
            self.assume_once(field, found.value, "given", "figure of the caller, canonical units")
            return found.value
        self._used[Used(found.source_id, found.locator, found.confidence, used_for)] = None
        return found.value

    def row(self, row: Row, used_for: str) -> None:
        """Note the source of a table row that was used."""
        self._used[Used(row.source_id, row.locator, row.confidence, used_for)] = None

    def assume(self, field: str, value: float | str, origin: Origin, note: str = "") -> None:
        """Note a value that the caller did not send."""
        self.assumptions.append(Assumption(field, value, origin, note))

    def assume_once(self, field: str, value: float | str, origin: Origin, note: str = "") -> None:
        """As ``assume``, where a calculation meets the same value for each of many readings."""
        if not any(assumption.field == field for assumption in self.assumptions):
            self.assume(field, value, origin, note)

    def warn(self, code: str, message: str, *, severity: Severity = "caution", field: str | None = None) -> None:
        """Note what the caller should know, once."""
        warning = Warning_(code, message, severity, field)
        if warning not in self.warnings:
            self.warnings.append(warning)

    def check(self, check: Check) -> bool:
        """Note a check and tell whether it passes."""
        self.checks.append(check)
        return check.passes

    def caution(self, *codes: str) -> None:
        """Note safety cautions by their code in the register of cautions."""
        self.cautions.update(dict.fromkeys(codes))

    def absorb(self, part: Trace) -> None:
        """Take over what was noted when a part of the calculation was done before and its result kept."""
        self._equations |= part._equations
        self._noted |= part._noted
        self._used |= part._used
        self.steps += part.steps
        self.checks += part.checks
        self.assumptions += part.assumptions
        self.warnings += [warning for warning in part.warnings if warning not in self.warnings]
        self.cautions |= part.cautions

    def used_key(self) -> tuple[object, ...]:
        """What was used as a key: equal keys mean equal lists of ``used``."""
        return tuple(self._equations), tuple(self._noted.values()), tuple(self._used)

    def used(self) -> list[Used]:
        """Every source used: of an equation its most trusted one, of a figure its own."""
        equations = map(_most_trusted, self._equations)
        noted = dict.fromkeys(used for group in self._noted.values() for used in group)
        return list(dict.fromkeys([*equations, *noted, *self._used]))


@cache
def _most_trusted(function: object) -> Used:
    entry = entry_of(function)
    best = min(entry.sources, key=lambda source: _TRUST[source.confidence])
    return Used(best.id, best.locator, best.confidence, f"equation {entry.id}")


class Outcome(Record, Generic[R], frozen=True):
    """Result of a calculation together with everything that it used."""

    result: R
    trace: Trace


def _numbers(value: object) -> dict[str, float]:
    """The figures of an equation's result by name; a single number is called ``value``.

    The open end of an interval (a gauge that only tells above or below, a moment that never comes) is infinite and is
    left out, since JSON has no such number.
    """
    if isinstance(value, (int, float)):
        return {"value": float(value)}
    names = [field.name for field in fields(value)] if is_dataclass(value) else getattr(value, "_fields", ())
    if names:
        named = ((name, getattr(value, name)) for name in names)
        return {name: float(number) for name, number in named if isinstance(number, (int, float)) and isfinite(number)}
    return {}
