"""Entries that no chain bears out: what is wrong with them, and what may have been meant."""

from __future__ import annotations

from service.core.errors import Issue

GREATEST_ELONGATION_PERCENT = 20.0
"""More wear than any chain survives; a percentage sent above it is a slip (ours)."""


def implausible_elongations(percent: float | None, field: str = "elongation_percent") -> list[Issue]:
    """The issue of a percentage that cannot be meant, if it is one."""
    if percent is None or percent <= GREATEST_ELONGATION_PERCENT:
        return []
    text = f"An elongation of {percent:g} % is more than any chain survives."
    hint = f"Is {percent / 100:g} % meant?"
    return [Issue(field, "implausible_elongation", text, GREATEST_ELONGATION_PERCENT, percent, hint)]
