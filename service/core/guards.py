"""Guards that refuse a value before it enters a relation; comparisons follow the print (``<`` or ``<=``)."""

from __future__ import annotations

from math import inf

from service.core.errors import Issue, OutOfRange


def positive(field: str, value: float) -> None:
    """Refuse a value that is not a finite number above zero.

    Raises:
        OutOfRange: code ``must_be_positive``.
    """
    if not 0.0 < value < inf:
        raise OutOfRange(
            Issue(field, "must_be_positive", f"{field} is {value:g}; a finite value above zero is needed.", 0.0, value)
        )


def not_negative(field: str, value: float) -> None:
    """Refuse a value that is not a finite number at or above zero.

    Raises:
        OutOfRange: code ``must_not_be_negative``.
    """
    if not 0.0 <= value < inf:
        raise OutOfRange(
            Issue(field, "must_not_be_negative", f"{field} is {value:g}; zero or more is needed.", 0.0, value)
        )


def at_least(field: str, value: float, limit: float, *, code: str, source_id: str | None = None) -> None:
    """Refuse a value below a limit; the limit itself is allowed.

    Raises:
        OutOfRange: the caller's code, with the limit and its source.
    """
    if not value >= limit:
        raise OutOfRange(
            Issue(field, code, f"{field} is {value:g}; at least {limit:g} is needed.", limit, value, None, source_id)
        )


def at_most(field: str, value: float, limit: float, *, code: str, source_id: str | None = None) -> None:
    """Refuse a value above a limit; the limit itself is allowed.

    Raises:
        OutOfRange: the caller's code, with the limit and its source.
    """
    if not value <= limit:
        raise OutOfRange(
            Issue(field, code, f"{field} is {value:g}; at most {limit:g} is allowed.", limit, value, None, source_id)
        )
