"""Status ladders of worn chain: which rung a share of the limit stands on, and which of several findings governs."""

from __future__ import annotations

from itertools import pairwise
from math import isclose
from typing import TYPE_CHECKING, Literal, NamedTuple

from service.core.errors import Inconsistent, Issue

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

DriveStatus = Literal["ok", "watch", "plan", "replace", "stop", "not_assessable"]
"""Rungs for drives and conveyors, and the want of a verdict, which is never read as ``ok``."""

LiftingStatus = Literal["within_entered_limits", "approaching_limit", "remove_from_service", "not_assessable"]
"""Rungs for lifting chain; none of them says that a chain may lift."""

NOT_ASSESSABLE: Literal["not_assessable"] = "not_assessable"

DRIVE_GRAVITY: tuple[str, ...] = ("ok", "watch", "plan", "not_assessable", "replace", "stop")
LIFTING_GRAVITY: tuple[str, ...] = (
    "within_entered_limits",
    "approaching_limit",
    "not_assessable",
    "remove_from_service",
)
"""From light to grave. What cannot be judged outweighs every rung that lets the chain run on."""

BINARY_NOISE = 1e-12
"""Relative difference below which two figures are the same: what decimal fractions lose as floats."""


class Rung(NamedTuple):
    """A status and the share of the limit from which it holds."""

    status: str
    from_fraction: float


def reaches(value: float, threshold: float) -> bool:
    """Whether a value is at or above a threshold, unrounded; binary noise on the threshold counts as at it."""
    return value >= threshold or isclose(value, threshold, rel_tol=BINARY_NOISE, abs_tol=0)


def check_ladder(ladder: Sequence[Rung]) -> None:
    """Refuse thresholds that do not rise.

    Raises:
        Inconsistent: code ``thresholds_not_rising``.
    """
    for lower, upper in pairwise(ladder):
        if not lower.from_fraction < upper.from_fraction:
            raise Inconsistent(
                Issue(
                    f"thresholds.{upper.status}",
                    "thresholds_not_rising",
                    f"The threshold of {upper.status} must lie above that of {lower.status}.",
                    lower.from_fraction,
                    upper.from_fraction,
                )
            )


def rung(*, limit_used: float, ladder: Sequence[Rung], lowest: str) -> str:
    """The status of a share of the limit.

    Args:
        limit_used: Elongation over its limit, unrounded.
        ladder: Rungs above the lowest, thresholds rising; each holds from its threshold on.
        lowest: Status below the first threshold.
    """
    status = lowest
    for step in ladder:
        if reaches(limit_used, step.from_fraction):
            status = step.status
    return status


def held_rung(
    *, limit_used: float, ladder: Sequence[Rung], lowest: str, previous: str | None, hysteresis: float
) -> str:
    """The status of a share of the limit that does not flap back by a hair.

    A status rises as soon as its threshold is reached. It falls only when the share lies below the threshold of the
    previous status by more than the hysteresis.

    Args:
        limit_used: Elongation over its limit, unrounded.
        ladder: Rungs above the lowest, thresholds rising.
        lowest: Status below the first threshold.
        previous: Status that the caller was told last; None if there was none.
        hysteresis: Share of the limit that a fall must exceed.
    """
    order = [lowest, *(step.status for step in ladder)]
    now = rung(limit_used=limit_used, ladder=ladder, lowest=lowest)
    if previous is None or previous not in order:
        return now
    held = rung(limit_used=limit_used + hysteresis, ladder=ladder, lowest=lowest)
    return max(now, min(previous, held, key=order.index), key=order.index)


def gravest_in_band(*, limit_used: float, uncertainty: float, ladder: Sequence[Rung]) -> Rung | None:
    """The highest rung above a share of the limit that its uncertainty reaches, or None."""
    for step in reversed(ladder):
        if reaches(limit_used + uncertainty, step.from_fraction):
            return None if reaches(limit_used, step.from_fraction) else step
    return None


def governing(statuses: Mapping[str, str], gravity: Sequence[str]) -> tuple[str, str]:
    """The gravest of several statuses and what it comes from; the first named wins a tie.

    Args:
        statuses: What was judged (``wear``, ``findings``, ``pair``) to its status; at least one.
        gravity: Statuses from light to grave.
    """
    name = max(statuses, key=lambda key: gravity.index(statuses[key]))
    return name, statuses[name]
