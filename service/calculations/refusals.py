"""Refusals gathered, so that a caller hears of every fault at once and not of the first alone."""

from __future__ import annotations

from typing import TYPE_CHECKING, Generic, ParamSpec, TypeVar

from service.core.errors import EngineeringError

if TYPE_CHECKING:
    from collections.abc import Callable

P = ParamSpec("P")
R = TypeVar("R")


class Part(Generic[R]):
    """The result of one part of a calculation; it has no ``value`` where the part refused."""

    __slots__ = ("value",)
    value: R


class Refusals:
    """Runs the parts of a calculation that do not need each other, and refuses once for all of them."""

    __slots__ = ("_errors",)

    def __init__(self) -> None:
        self._errors: list[EngineeringError] = []

    def attempt(self, function: Callable[P, R], *args: P.args, **inputs: P.kwargs) -> Part[R]:
        """Run one part; a refusal is kept. The result is to be read after ``tell``."""
        part: Part[R] = Part()
        try:
            part.value = function(*args, **inputs)
        except EngineeringError as refusal:
            self._errors.append(refusal)
        return part

    def tell(self) -> None:
        """Refuse if anything was kept.

        Raises:
            EngineeringError: one refusal as it is; several as one of the kind of the first, with the issues of all.
        """
        if len(self._errors) == 1:
            raise self._errors[0]
        if self._errors:
            # Two parts that look at the same input tell its fault once.
            issues = dict.fromkeys(issue for refusal in self._errors for issue in refusal.issues)
            raise type(self._errors[0])(*issues)


def at_field(error: EngineeringError, fields: dict[str, str], prefix: str = "") -> EngineeringError:
    """A refusal of the core told at the input it came from: its arguments renamed where they differ, then prefixed."""
    issues = (issue._replace(field=prefix + fields.get(issue.field, issue.field)) for issue in error.issues)
    return type(error)(*issues)
