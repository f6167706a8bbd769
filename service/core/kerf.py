"""The path of a cutting jet: an outline set off by half of the kerf, away from the metal that stays."""

from __future__ import annotations

from math import hypot

from service.core.errors import Issue, OutOfRange
from service.core.guards import positive
from service.core.plane_curves import Arc, Line, Piece, Point

_SAME = 1e-9
"""Share of the kerf below which two ends are one point; tangent pieces differ by rounding only."""


def cut_path(pieces: tuple[Piece, ...], next_piece: Piece, *, kerf_mm: float) -> tuple[Piece, ...]:
    """An outline with the metal on its left, set off to the right by half of the kerf.

    Outward corners of the metal get an arc about the corner, which leaves them sharp; at inward corners of two lines
    the path turns where the lines meet.

    Args:
        pieces: The outline or a repeating part of it.
        next_piece: What follows the last piece: the first one of a closed outline, or the beginning of the next part.
            The outline does not begin at an inward corner.
        kerf_mm: Width of the cut, [mm].

    Raises:
        OutOfRange: ``must_be_positive``, or ``kerf_too_wide`` where the jet does not enter a hollow.
    """
    positive("kerf_mm", kerf_mm)
    shift = kerf_mm / 2
    moved = [_set_off(piece, shift) for piece in (*pieces, next_piece)]
    path: list[Piece] = []
    for index, piece in enumerate(pieces):
        following = (*pieces, next_piece)[index + 1]
        here, there = moved[index].end, moved[index + 1].start
        corner = piece.end
        if hypot(there.x - here.x, there.y - here.y) <= _SAME * kerf_mm + 1e-12 * hypot(corner.x, corner.y):
            path.append(moved[index])
        elif _turns_left(piece, following):
            path += [moved[index], Arc("corner", here, there, corner, shift, anticlockwise=True)]
        else:
            meeting = _meeting(moved[index], moved[index + 1])
            path.append(moved[index]._replace(end=meeting))
            moved[index + 1] = moved[index + 1]._replace(start=meeting)
    return tuple(path)


def _set_off(piece: Piece, shift: float) -> Piece:
    if isinstance(piece, Line):
        dx, dy = piece.end.x - piece.start.x, piece.end.y - piece.start.y
        length = hypot(dx, dy)
        right = Point(dy / length * shift, -dx / length * shift)
        return Line(piece.part, _plus(piece.start, right), _plus(piece.end, right))
    radius = piece.radius + (shift if piece.anticlockwise else -shift)
    if not radius > 0:
        message = f"A cut {2 * shift:g} mm wide does not enter a hollow of {2 * piece.radius:.6g} mm."
        raise OutOfRange(Issue("kerf_mm", "kerf_too_wide", message, 2 * piece.radius, 2 * shift))
    start, end = (_from_centre(piece.centre, point, radius / piece.radius) for point in (piece.start, piece.end))
    return piece._replace(start=start, end=end, radius=radius)


def _plus(point: Point, step: Point) -> Point:
    return Point(point.x + step.x, point.y + step.y)


def _from_centre(centre: Point, point: Point, factor: float) -> Point:
    return Point(centre.x + (point.x - centre.x) * factor, centre.y + (point.y - centre.y) * factor)


def _turns_left(piece: Piece, following: Piece) -> bool:
    one, other = _direction(piece, piece.end), _direction(following, following.start)
    return one.x * other.y - one.y * other.x > 0


def _direction(piece: Piece, at: Point) -> Point:
    """The direction of travel, not of unit length."""
    if isinstance(piece, Line):
        return Point(piece.end.x - piece.start.x, piece.end.y - piece.start.y)
    sense = 1.0 if piece.anticlockwise else -1.0
    return Point(-sense * (at.y - piece.centre.y), sense * (at.x - piece.centre.x))


def _meeting(one: Piece, other: Piece) -> Point:
    """Where two set-off lines meet.

    Raises:
        OutOfRange: ``kerf_too_wide`` where they are no lines, or end before they meet.
    """
    along, across = _direction(one, one.end), _direction(other, other.start)
    cross = along.x * across.y - along.y * across.x
    gap = Point(other.start.x - one.start.x, other.start.y - one.start.y)
    share = (gap.x * across.y - gap.y * across.x) / cross
    if not (isinstance(one, Line) and isinstance(other, Line) and share > 0):
        message = "The cut is too wide for an inward corner of the outline."
        raise OutOfRange(Issue("kerf_mm", "kerf_too_wide", message))
    return Point(one.start.x + share * along.x, one.start.y + share * along.y)
