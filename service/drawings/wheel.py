"""The sheet of one wheel: the view to scale, its sizes beside it or below, and notes."""

from __future__ import annotations

from itertools import groupby
from math import cos, pi, sin
from typing import TYPE_CHECKING, NamedTuple

from service.core.plane_curves import Arc, Point, moved_along
from service.core.tooth_form import whole_wheel
from service.drawings.sheet import Circle, Outline, Run, Stroke, Words
from service.drawings.wheel_frame import MARGIN_SHARE, Writing, framed, letter_height

if TYPE_CHECKING:
    from service.core.plane_curves import Piece
    from service.drawings.sheet import Layer, Shape, Sheet

CENTRE = Point(0.0, 0.0)

_LAYERS: dict[str, Layer] = {"bore": "BORE", "keyway": "KEY", "corner": "KEY", "hole": "HOLES"}

CALIPER_DEG = 40.0
"""About where the caliper dimension is drawn, from the vertical, so that it keeps clear of the axes."""


class Cuts(NamedTuple):
    """What is cut into a wheel beside its teeth, the hub behind it, and the line of a split."""

    outlines: tuple[tuple[Piece, ...], ...] = ()
    hub_diameter_mm: float | None = None
    hole_circle_mm: float | None = None
    split_rad: float | None = None


class WheelView(NamedTuple):
    """What is drawn of a wheel: one gap with its tip on +y, and what is written beside it."""

    writing: Writing
    gap: tuple[Piece, ...]
    teeth: int
    tip_diameter_mm: float
    pitch_diameter_mm: float
    root_diameter_mm: float
    cuts: Cuts = Cuts()


def wheel_sheet(view: WheelView, *, upright: bool = False) -> Sheet:
    """The drawing of a wheel, its centre at the origin; ``upright`` sets the sizes below it, for narrow pictures."""
    size = view.tip_diameter_mm
    caliper, letter = caliper_dimension(
        view.teeth, view.root_diameter_mm, letter_height(size, view.writing, upright=upright)
    )
    contour = Outline((Run("CUT", whole_wheel(view.gap, view.teeth)),))
    pitch_circle = Circle("PITCH_CIRCLE", CENTRE, view.pitch_diameter_mm / 2)
    shapes = (contour, *openings(view.cuts, size), pitch_circle, *axes(size), *caliper)
    return framed(view.writing, size, shapes, (letter,), upright=upright)


def openings(cuts: Cuts, size: float) -> tuple[Shape, ...]:
    """Bore, keyway and holes with their circle, the hub behind them, and the line of the split."""
    shapes = [_opening(outline) for outline in cuts.outlines]
    if cuts.hub_diameter_mm is not None:
        shapes.append(Circle("HUB", CENTRE, cuts.hub_diameter_mm / 2))
    if cuts.hole_circle_mm is not None:
        shapes.append(Circle("AXES", CENTRE, cuts.hole_circle_mm / 2))
    if cuts.split_rad is not None:
        reach = size / 2 * (1 + MARGIN_SHARE)
        x, y = -sin(cuts.split_rad) * reach, cos(cuts.split_rad) * reach
        shapes.append(Stroke("SPLIT", Point(x, y), Point(-x, -y)))
    return tuple(shapes)


def _opening(outline: tuple[Piece, ...]) -> Shape:
    """A round hole is a circle; of a bore with its keyway each piece goes to its layer."""
    first = outline[0]
    if isinstance(first, Arc) and all(isinstance(piece, Arc) and piece.centre == first.centre for piece in outline):
        return Circle(_LAYERS[first.part], first.centre, first.radius)
    groups = groupby(outline, key=lambda piece: _LAYERS[piece.part])
    return Outline(tuple(Run(layer, tuple(pieces)) for layer, pieces in groups))


def axes(size: float) -> tuple[Shape, ...]:
    """The two axes of a wheel, a little beyond its outside."""
    reach = size / 2 * (1 + MARGIN_SHARE)
    return (
        Stroke("AXES", Point(-reach, 0.0), Point(reach, 0.0)),
        Stroke("AXES", Point(0.0, -reach), Point(0.0, reach)),
    )


def caliper_dimension(teeth: int, root_diameter_mm: float, height: float) -> tuple[tuple[Shape, ...], Words]:
    """The caliper dimension from the bottom of a gap to that of the gap opposite, or nearest to it, and its letter."""
    gap = round(teeth * CALIPER_DEG / 360)
    opposite = gap + (teeth + 1) // 2
    start, end = (_on_gap(number, teeth, root_diameter_mm) for number in (gap, opposite))
    length = ((end.x - start.x) ** 2 + (end.y - start.y) ** 2) ** 0.5
    along = Point((end.x - start.x) / length, (end.y - start.y) / length)
    across = Point(-along.y, along.x)
    strokes = [Stroke("DIMENSIONS", start, end)]
    for point, inwards in ((start, 1.0), (end, -1.0)):
        back = moved_along(point, along, inwards * height)
        strokes += [Stroke("DIMENSIONS", point, moved_along(back, across, side * height / 4)) for side in (1.0, -1.0)]
    beside = moved_along(moved_along(start, along, 2 * height), across, height)
    return tuple(strokes), Words(Point(beside.x, beside.y - height / 3), height, "C", "middle")


def _on_gap(number: int, teeth: int, root_diameter_mm: float) -> Point:
    angle = 2 * pi * number / teeth
    return Point(-sin(angle) * root_diameter_mm / 2, cos(angle) * root_diameter_mm / 2)
