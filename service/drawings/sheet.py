"""What a drawing is made of before it becomes SVG, DXF or PNG: outlines, circles, strokes and words on named layers.

Millimetres throughout; the centre of the wheel, or of the driving wheel, is the origin and y points upwards.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, TypeAlias

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
    "PITCH_CIRCLE",
    "AXES",
    "DIMENSIONS",
    "TEXT",
]
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Run:
    """Pieces of an outline that lie on one layer, end to start."""

    layer: Layer
    pieces: tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class Outline:
    """Pieces end to start, closed or open; a bore with its keyway is one outline on two layers."""

    runs: tuple[Run, ...]
    closed: bool = True


@dataclass(frozen=True, slots=True)
class Circle:
    """A whole circle."""

    layer: Layer
    centre: Point
    radius: float


@dataclass(frozen=True, slots=True)
class Stroke:
    """A straight line that bounds nothing."""

    layer: Layer
    start: Point
    end: Point


Shape: TypeAlias = Outline | Circle | Stroke


@dataclass(frozen=True, slots=True)
class Words:
    """One line of text; ``at`` is the left end, middle or right end of its base line."""

    at: Point
    height: float
    text: str
    anchor: Anchor = "start"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A drawing with its frame; ``title`` and ``description`` tell a reader who does not see it what it shows."""

    title: str
    description: str
    shapes: tuple[Shape, ...]
    words: tuple[Words, ...]
    left: float
    bottom: float
    width: float
    height: float
