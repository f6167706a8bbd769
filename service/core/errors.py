"""Typed refusals of the engineering core; they know nothing of transport."""

from __future__ import annotations

from typing import NamedTuple


class Issue(NamedTuple):
    """One reason why there is no answer.

    Attributes:
        field: Name of the argument at fault, with its unit suffix, or a dotted path such as ``driver.teeth``.
        code: Stable snake_case code, registered in ``service/reference/codes.toml``.
        message: One sentence for a technician: what was got, what is allowed.
        limit: The limit that was passed, in the unit of ``field``, where there is one.
        received: The value that was refused, where it is one number or text.
        hint: What to do instead.
        source_id: Register id of the publication that sets the limit.
    """

    field: str
    code: str
    message: str
    limit: float | None = None
    received: float | str | None = None
    hint: str | None = None
    source_id: str | None = None


class EngineeringError(Exception):
    """A request that has no valid engineering answer, with every issue found."""

    code = "engineering"

    def __init__(self, *issues: Issue) -> None:
        if not issues:
            raise ValueError("an engineering error needs at least one issue")
        super().__init__("; ".join(issue.message for issue in issues))
        self.issues = issues


class OutOfRange(EngineeringError):
    """A value lies outside the validity of a relation or table."""

    code = "out_of_range"


class NotInReference(EngineeringError):
    """The reference tables hold no such row or figure."""

    code = "not_in_reference"

    def __init__(self, *issues: Issue, nearest: tuple[str, ...] = ()) -> None:
        super().__init__(*issues)
        self.nearest = nearest


class Inconsistent(EngineeringError):
    """Two or more inputs cannot hold together."""

    code = "inconsistent"


class MoreNeeded(EngineeringError):
    """The question is sound but cannot be answered without a further fact."""

    code = "more_needed"

    def __init__(self, *issues: Issue, candidates: tuple[str, ...] = ()) -> None:
        super().__init__(*issues)
        self.candidates = candidates


class NoSolution(EngineeringError):
    """The relation has no root for these inputs."""

    code = "no_solution"
