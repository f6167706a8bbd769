"""Contours on the wire: true lines and arcs in wheel coordinates."""

from collections.abc import Sequence
from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.quantities import Presenter, Quantity
from service.core.plane_curves import Arc, Piece, Point

NOISE_MM = 1e-11


class ContourPoint(msgspec.Struct, frozen=True, kw_only=True):
    """A point in wheel coordinates, in the unit of the contour."""

    x: float
    y: float


class ContourPiece(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A straight line or an arc; centre, radius and direction belong to arcs only."""

    kind: Literal["line", "arc"]
    part: Annotated[
        str,
        Meta(description="Seating, working, straight, topping, flank, root, tip, bore, keyway, hole or corner."),
    ]
    start: ContourPoint
    end: ContourPoint
    centre: ContourPoint | UnsetType = UNSET
    radius: float | UnsetType = UNSET
    direction: Literal["clockwise", "anticlockwise"] | UnsetType = UNSET


class Contour(msgspec.Struct, frozen=True, kw_only=True):
    """One gap and one tip as true lines and arcs, anticlockwise.

    The centre of the wheel is the origin and the gap lies on the +y axis; turned about the origin by `step_angle`,
    `repeats` times in all, the pieces close to the whole wheel.
    """

    unit: Literal["mm", "in"]
    repeats: int
    step_angle: Quantity
    pieces: list[ContourPiece]


def present_contour(gap: Sequence[Piece], teeth: int, presenter: Presenter) -> Contour:
    """The contour of a wheel by the pieces of one gap and one tip."""
    return Contour(
        unit="in" if presenter.length(1.0).unit == "in" else "mm",
        repeats=teeth,
        step_angle=presenter.quantity(360 / teeth, "angle"),
        pieces=present_pieces(gap, presenter),
    )


def present_pieces(run: Sequence[Piece], presenter: Presenter) -> list[ContourPiece]:
    """Lines and arcs in the unit of the contour; where one begins in the end of the one before, so does its answer."""
    shown: list[ContourPiece] = []
    before: Point | None = None
    for piece in run:
        start = shown[-1].end if piece.start == before else present_point(piece.start, presenter)
        shown.append(_present_piece(piece, start, presenter))
        before = piece.end
    return shown


def _present_piece(piece: Piece, start: ContourPoint, presenter: Presenter) -> ContourPiece:
    end = present_point(piece.end, presenter)
    if not isinstance(piece, Arc):
        return ContourPiece(kind="line", part=piece.part, start=start, end=end)
    return ContourPiece(
        kind="arc",
        part=piece.part,
        start=start,
        end=end,
        centre=present_point(piece.centre, presenter),
        radius=presenter.length(piece.radius).value,
        direction="anticlockwise" if piece.anticlockwise else "clockwise",
    )


def present_point(at: Point, presenter: Presenter) -> ContourPoint:
    """A point in the unit of the contour."""
    return ContourPoint(x=_coordinate(at.x, presenter), y=_coordinate(at.y, presenter))


def _coordinate(value_mm: float, presenter: Presenter) -> float:
    """A length of which nothing but the noise of a turn is left is none."""
    return 0.0 if abs(value_mm) < NOISE_MM else presenter.length(value_mm).value
