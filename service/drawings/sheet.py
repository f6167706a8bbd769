"""What a drawing is made of before it becomes SVG, DXF or PNG: outlines, circles, strokes and words on named layers.

Millimetres throughout; the centre of the wheel, or of the driving wheel, is the origin and y points upwards.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple, TypeAlias

if TYPE_CHECKING:
    from service.core.plane_curves import Piece, Point

Layer = Literal[
    "CUT",
    "BORE",
    "KEY",
    "HOLES",
    "HUB",
    "SPLIT",
    "CHAIN",
    "WHEELS",
    "ENVELOPE",
    "SEATS",
    "CIRCLES",
    "BLANK",
    "PITCH_CIRCLE",
    "AXES",
    "DIMENSIONS",
    "TEXT",
]
Anchor = Literal["start", "middle", "end"]


class Run(NamedTuple):
    """Pieces of an outline that lie on one layer, end to start."""

    layer: Layer
    pieces: tuple[Piece, ...]


class Outline(NamedTuple):
    """Pieces end to start, closed or open; a bore with its keyway is one outline on two layers."""

    runs: tuple[Run, ...]
    closed: bool = True


class Circle(NamedTuple):
    """A whole circle."""

    layer: Layer
    centre: Point
    radius: float


class Stroke(NamedTuple):
    """A straight line that bounds nothing."""

    layer: Layer
    start: Point
    end: Point


Shape: TypeAlias = Outline | Circle | Stroke


class Words(NamedTuple):
    """One line of text; ``at`` is the left end, middle or right end of its base line."""

    at: Point
    height: float
    text: str
    anchor: Anchor = "start"


class Sheet(NamedTuple):
    """A drawing with its frame; ``title`` and ``description`` tell a reader who does not see it what it shows."""

    title: str
    description: str
    shapes: tuple[Shape, ...]
    words: tuple[Words, ...]
    left: float
    bottom: float
    width: float
    height: float
