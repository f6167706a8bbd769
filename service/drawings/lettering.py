"""Text set in blocks: labels with their values, and notes broken into lines."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from service.core.plane_curves import Point
from service.drawings.sheet import Words

if TYPE_CHECKING:
    from collections.abc import Iterable

LETTER_WIDTH = 0.58
"""Mean width of a letter in letter heights; wide enough for the usual sans-serif faces (measured)."""

LEADING = 1.55
"""Distance of base lines in letter heights."""


def block(lines: Iterable[str], *, left: float, top: float, height: float) -> list[Words]:
    """Lines below each other; ``top`` is where the letters of the first one end upwards."""
    return [
        Words(Point(left, top - height - row * height * LEADING), height, line)
        for row, line in enumerate(lines)
        if line
    ]


def block_depth(line_count: int, height: float) -> float:
    """How far a block of lines reaches down."""
    return height + (line_count - 1) * height * LEADING if line_count else 0.0


def rows_of(
    facts: Iterable[tuple[str, str]], *, width: float, height: float, label_width: float | None = None
) -> tuple[list[str], list[str]]:
    """Labels and values line by line; what is too long for its width goes on below."""
    labels, values = [], []
    for label, value in facts:
        left = [label] if label_width is None else wrapped(label, width=label_width, height=height)
        right = wrapped(value, width=width, height=height)
        rows = max(len(left), len(right))
        labels += left + [""] * (rows - len(left))
        values += right + [""] * (rows - len(right))
    return labels, values


def wrapped(text: str, *, width: float, height: float) -> list[str]:
    """A text in lines that fit into a width."""
    letters = max(int(width / (height * LETTER_WIDTH)), 8)
    return textwrap.wrap(text, letters) or [""]
