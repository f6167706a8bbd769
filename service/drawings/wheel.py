"""The sheet of one wheel: the view to scale, a column of its sizes, and notes below."""

from __future__ import annotations

from itertools import groupby
from math import cos, pi, sin
from typing import TYPE_CHECKING, NamedTuple

from service.core.plane_curves import Arc, Point, moved_along
from service.core.tooth_form import whole_wheel
from service.drawings.lettering import LEADING, block, block_depth, rows_of, wrapped
from service.drawings.sheet import Circle, Outline, Run, Sheet, Stroke, Words

if TYPE_CHECKING:
    from service.core.plane_curves import Piece
    from service.drawings.sheet import Layer, Shape

CENTRE = Point(0.0, 0.0)

_LAYERS: dict[str, Layer] = {"bore": "BORE", "keyway": "KEY", "corner": "KEY", "hole": "HOLES"}

MARGIN_SHARE = 0.07
COLUMN_SHARE = 0.95
VALUE_SHARE = 0.48
"""Shares of the wheel's diameter: margin round the view, column beside it; and where in the column values begin."""

LEAST_LINES = 30
"""Letters are not larger than lets so many lines stand beside the wheel."""

NOTE_SHARE = 0.85
"""Height of the letters of notes in those of the column."""

CALIPER_DEG = 40.0
"""About where the caliper dimension is drawn, from the vertical, so that it keeps clear of the axes."""


class WheelView(NamedTuple):
    """What is drawn of a wheel: one gap with its tip on +y, and what is written beside it."""

    title: str
    description: str
    gap: tuple[Piece, ...]
    teeth: int
    tip_diameter_mm: float
    pitch_diameter_mm: float
    root_diameter_mm: float
    facts: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    outlines: tuple[tuple[Piece, ...], ...] = ()
    hub_diameter_mm: float | None = None
    hole_circle_mm: float | None = None
    split_rad: float | None = None


def wheel_sheet(view: WheelView) -> Sheet:
    """The drawing of a wheel, its centre at the origin."""
    size = view.tip_diameter_mm
    margin, column = size * MARGIN_SHARE, size * COLUMN_SHARE
    left, top = -size / 2 - margin, size / 2 + margin
    height = size / (LEADING * max(LEAST_LINES, len(view.facts) + 3))
    column_left = size / 2 + margin
    title = wrapped(view.title, width=column - margin, height=1.3 * height)
    words = block(title, left=column_left, top=size / 2, height=1.3 * height)
    facts_top = size / 2 - block_depth(len(title), 1.3 * height) - 1.5 * height
    values_left = column_left + column * VALUE_SHARE
    labels, values = rows_of(view.facts, width=column * (1 - VALUE_SHARE) - margin, height=height)
    words += block(labels, left=column_left, top=facts_top, height=height)
    words += block(values, left=values_left, top=facts_top, height=height)
    width = size + 2 * margin + column
    note_height = height * NOTE_SHARE
    notes = [line for note in view.notes for line in wrapped(note, width=width - 2 * margin, height=note_height)]
    view_bottom = min(-size / 2, facts_top - block_depth(len(values), height)) - margin
    words += block(notes, left=-size / 2, top=view_bottom, height=note_height)
    bottom = view_bottom - (block_depth(len(notes), note_height) + margin if notes else 0.0)
    caliper, letter = _caliper(view, height)
    contour = Outline((Run("CUT", whole_wheel(view.gap, view.teeth)),))
    pitch_circle = Circle("PITCH_CIRCLE", CENTRE, view.pitch_diameter_mm / 2)
    return Sheet(
        title=view.title,
        description=view.description,
        shapes=(contour, *_openings(view), pitch_circle, *_axes(size), *caliper),
        words=(*words, letter),
        left=left,
        bottom=bottom,
        width=width,
        height=top - bottom,
    )


def _openings(view: WheelView) -> tuple[Shape, ...]:
    """Bore, keyway and holes with their circle, the hub behind them, and the line of the split."""
    shapes = [_opening(outline) for outline in view.outlines]
    if view.hub_diameter_mm is not None:
        shapes.append(Circle("HUB", CENTRE, view.hub_diameter_mm / 2))
    if view.hole_circle_mm is not None:
        shapes.append(Circle("AXES", CENTRE, view.hole_circle_mm / 2))
    if view.split_rad is not None:
        reach = view.tip_diameter_mm / 2 * (1 + MARGIN_SHARE)
        x, y = -sin(view.split_rad) * reach, cos(view.split_rad) * reach
        shapes.append(Stroke("SPLIT", Point(x, y), Point(-x, -y)))
    return tuple(shapes)


def _opening(outline: tuple[Piece, ...]) -> Shape:
    """A round hole is a circle; of a bore with its keyway each piece goes to its layer."""
    first = outline[0]
    if isinstance(first, Arc) and all(isinstance(piece, Arc) and piece.centre == first.centre for piece in outline):
        return Circle(_LAYERS[first.part], first.centre, first.radius)
    groups = groupby(outline, key=lambda piece: _LAYERS[piece.part])
    return Outline(tuple(Run(layer, tuple(pieces)) for layer, pieces in groups))


def _axes(size: float) -> tuple[Shape, ...]:
    reach = size / 2 * (1 + MARGIN_SHARE)
    return (
        Stroke("AXES", Point(-reach, 0.0), Point(reach, 0.0)),
        Stroke("AXES", Point(0.0, -reach), Point(0.0, reach)),
    )


def _caliper(view: WheelView, height: float) -> tuple[tuple[Shape, ...], Words]:
    """The caliper dimension from the bottom of a gap to that of the gap opposite, or nearest to it, and its letter."""
    gap = round(view.teeth * CALIPER_DEG / 360)
    opposite = gap + (view.teeth + 1) // 2
    start, end = (_on_gap(number, view) for number in (gap, opposite))
    length = ((end.x - start.x) ** 2 + (end.y - start.y) ** 2) ** 0.5
    along = Point((end.x - start.x) / length, (end.y - start.y) / length)
    across = Point(-along.y, along.x)
    strokes = [Stroke("DIMENSIONS", start, end)]
    for point, inwards in ((start, 1.0), (end, -1.0)):
        back = moved_along(point, along, inwards * height)
        strokes += [Stroke("DIMENSIONS", point, moved_along(back, across, side * height / 4)) for side in (1.0, -1.0)]
    beside = moved_along(moved_along(start, along, 2 * height), across, height)
    return tuple(strokes), Words(Point(beside.x, beside.y - height / 3), height, "C", "middle")


def _on_gap(number: int, view: WheelView) -> Point:
    angle = 2 * pi * number / view.teeth
    return Point(-sin(angle) * view.root_diameter_mm / 2, cos(angle) * view.root_diameter_mm / 2)
