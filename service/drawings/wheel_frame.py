"""What stands round the view of a wheel: its sizes in two columns beside it, or below it on narrow sheets, notes."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from service.drawings.lettering import LEADING, LETTER_WIDTH, block, block_depth, rows_of, wrapped
from service.drawings.sheet import Sheet

if TYPE_CHECKING:
    from service.drawings.sheet import Shape, Words

MARGIN_SHARE = 0.07
COLUMN_SHARE = 0.95
VALUE_SHARE = 0.48
"""Shares of the wheel's diameter: margin round the view, column beside it; and where in the column values begin."""

LEAST_LINES = 30
"""Letters are not larger than lets so many lines stand beside the wheel."""

LETTERS_ACROSS = 52
"""Letters that a line of an upright sheet has room for, so that they can be read on a narrow screen."""

NOTE_SHARE = 0.85
"""Height of the letters of notes in those of the column."""


class Writing(NamedTuple):
    """What is written on a sheet; title and description also tell a reader who does not see it what it shows."""

    title: str
    description: str
    facts: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]


def letter_height(size: float, writing: Writing, *, upright: bool) -> float:
    """Height of letters beside a view of a size, or below it."""
    if upright:
        return size / (LETTERS_ACROSS * LETTER_WIDTH)
    return size / (LEADING * max(LEAST_LINES, len(writing.facts) + 3))


def framed(
    writing: Writing, size: float, shapes: tuple[Shape, ...], words: tuple[Words, ...], *, upright: bool
) -> Sheet:
    """The sheet of a view whose centre is the origin and whose outside has a diameter ``size``."""
    height = letter_height(size, writing, upright=upright)
    margin = size * MARGIN_SHARE
    column = size if upright else size * COLUMN_SHARE
    column_left = -size / 2 if upright else size / 2 + margin
    facts_room = column if upright else column - margin
    title = wrapped(writing.title, width=facts_room, height=1.3 * height)
    title_top = -size / 2 - 2 * margin if upright else size / 2
    facts_top = title_top - block_depth(len(title), 1.3 * height) - 1.5 * height
    labels, values = rows_of(
        writing.facts, width=facts_room - column * VALUE_SHARE, height=height, label_width=column * VALUE_SHARE
    )
    text = block(title, left=column_left, top=title_top, height=1.3 * height)
    text += block(labels, left=column_left, top=facts_top, height=height)
    text += block(values, left=column_left + column * VALUE_SHARE, top=facts_top, height=height)
    width = size + 2 * margin + (0.0 if upright else column)
    note_height = height if upright else height * NOTE_SHARE
    notes = [line for note in writing.notes for line in wrapped(note, width=width - 2 * margin, height=note_height)]
    view_bottom = min(-size / 2, facts_top - block_depth(len(values), height)) - margin
    text += block(notes, left=-size / 2, top=view_bottom, height=note_height)
    bottom = view_bottom - (block_depth(len(notes), note_height) + margin if notes else 0.0)
    return Sheet(
        title=writing.title,
        description=writing.description,
        shapes=shapes,
        words=(*text, *words),
        left=-size / 2 - margin,
        bottom=bottom,
        width=width,
        height=size / 2 + margin - bottom,
    )
