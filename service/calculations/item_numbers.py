"""Numbers in item descriptions settled by the words beside them: counts, feet with inches, and names in the choice."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from service.core.conversions import MM_PER_INCH
from service.reference.records import replace

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.calculations.item_reading import Part

INCHES_PER_FOOT = 12
PITCH_AGREEMENT = 0.02
"""Inches behind feet that differ less from the pitch of the named size are rather that pitch."""
LEAST_LINKS = 5
"""A smaller number before LK is rather a kind of link."""
_PIECES = frozenset({"EA", "EACH", "PC", "PCS", "PIECE", "PIECES", "SET", "STK", "STUCK", "UDS", "PZ", "PZS", "PZAS"})
"""Packing words that the number before them counts."""
_WORDS_OF_DIMENSION = ("pitch_word", "width_word", "bore_word")


def numbers_settled(parts: list[Part]) -> list[Part]:
    """The same parts with every number read together with the words beside it."""
    if len(parts) > 1:
        sizes = sum(part.size is not None for part in parts)
        parts = _counted(parts, sizes)
        if sizes > 1:
            parts = _in_the_choice(parts)
        if any(part.value == "ft" for part in parts):
            parts = _feet_and_inches(parts)
    return parts


def _counted(parts: list[Part], sizes: int) -> list[Part]:
    """Parts in which a bare number that something else is counted or measured by is no size any more."""
    settled = list(parts)
    for at, part in enumerate(parts):
        if not (part.text.isdigit() and part.meaning in ("size", "leftover")):
            continue
        before = settled[at - 1] if at else None
        after = parts[at + 1] if at + 1 < len(parts) else None
        links = sizes > 1 and at and _counts_links(parts, at, after)
        if links:
            settled[at] = replace(
                part, meaning="measure", value="links", numbers=(float(part.text),), size=None, how=""
            )
            settled[at + 1] = replace(parts[at + 1], meaning="filler", value="-")
        elif _is_count(before, after, sizes):
            settled[at] = replace(part, meaning="count", size=None, how="")
    return settled


def _counts_links(parts: Sequence[Part], at: int, after: Part | None) -> bool:
    """Whether a number behind the size stands before LK, in a description of chain and not of a link."""
    if after is None or after.value != "link" or after.text not in ("LK", "LNK", "LINK"):
        return False
    named_before = any(part.size is not None for part in parts[:at])
    others = (part for part in parts if part is not after and part.meaning == "component")
    return named_before and int(parts[at].text) >= LEAST_LINKS and all(part.value == "chain" for part in others)


def _is_count(before: Part | None, after: Part | None, sizes: int) -> bool:
    if (before is not None and before.meaning == "counted") or (after is not None and after.meaning == "other_unit"):
        return True
    if sizes < 2:
        return False
    if after is not None and (after.text in _PIECES or after.meaning == "pitch_word"):
        return True
    return before is not None and (
        before.meaning == "pitch_word" or (before.meaning == "packing" and before.text not in _PIECES)
    )


def _in_the_choice(parts: list[Part]) -> list[Part]:
    """Sizes with OR, AND or a stroke between them marked: neither of them is the one that is meant."""
    settled = list(parts)
    for at in range(1, len(parts) - 1):
        left, word, right = parts[at - 1 : at + 2]
        between = word.meaning in ("or", "with") or word.text in ("/", "&")
        if between and left.size is not None and right.size is not None:
            settled[at - 1], settled[at + 1] = replace(left, how="choice"), replace(right, how="choice")
    return settled


def _feet_and_inches(parts: list[Part]) -> list[Part]:
    """Feet with the inches behind them as one measure, ``6' 3"`` and ``6FT-3IN``."""
    pitch = next((found.value for part in parts if part.size and (found := part.size.find("pitch"))), None)
    settled: list[Part] = []
    for at, part in enumerate(parts):
        last = settled[-1] if settled else None
        if last is None or not _goes_on(last, part) or (at + 1 < len(parts) and _asks_for_dimension(parts[at + 1])):
            settled.append(part)
            continue
        inches = part.numbers[0]
        if pitch is None or abs(inches * MM_PER_INCH - pitch) > PITCH_AGREEMENT * pitch:
            feet = last.numbers[0] + inches / INCHES_PER_FOOT
            settled[-1] = replace(last, text=f"{last.text} {part.text}", numbers=(feet,))
        else:
            settled.append(part)
    return settled


def _goes_on(last: Part, part: Part) -> bool:
    if last.meaning != "measure" or last.value != "ft" or part.meaning != "measure" or part.value != "in":
        return False
    return last.numbers[0].is_integer() and re.search(r"\d$", last.text) is None and part.numbers[0] < INCHES_PER_FOOT


def _asks_for_dimension(part: Part) -> bool:
    return part.meaning in _WORDS_OF_DIMENSION
