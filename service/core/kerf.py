"""The path of a cutting jet: an outline set off by half of the kerf, away from the metal that stays."""

from __future__ import annotations

from math import atan2, hypot, pi, sqrt

from service.core.errors import Issue, OutOfRange
from service.core.guards import positive
from service.core.plane_curves import Arc, Line, Piece, Point

_SAME = 1e-9
"""Share of the kerf below which two ends are one point; tangent pieces differ by rounding only."""


def cut_path(pieces: tuple[Piece, ...], next_piece: Piece, *, kerf_mm: float) -> tuple[Piece, ...]:
    """An outline with the metal on its left, set off to the right by half of the kerf.

    Outward corners of the metal get an arc about the corner, which leaves them sharp; at inward corners of two lines or
    a line and an arc the path turns where they meet once they are set off.

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
            meeting = _meeting(moved[index], moved[index + 1], corner)
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


def _meeting(one: Piece, other: Piece, corner: Point) -> Point:
    """Where two set-off pieces meet: of the places where their lines or circles do, the one next to the corner.

    Raises:
        OutOfRange: ``kerf_too_wide`` where they do not meet, or end before they do.
    """
    found = [place for place in _crossings(one, other) if _reaches(one, place) and _reaches(other, place)]
    if not found:
        message = "The cut is too wide for an inward corner of the outline."
        raise OutOfRange(Issue("kerf_mm", "kerf_too_wide", message))
    return min(found, key=lambda place: hypot(place.x - corner.x, place.y - corner.y))


def _crossings(one: Piece, other: Piece) -> list[Point]:
    """Where a line and a line or a circle, each continued beyond its ends, cross; two circles are not looked at."""
    if isinstance(one, Line) and isinstance(other, Line):
        along, across = _direction(one, one.end), _direction(other, other.start)
        cross = along.x * across.y - along.y * across.x
        gap = Point(other.start.x - one.start.x, other.start.y - one.start.y)
        share = (gap.x * across.y - gap.y * across.x) / cross
        return [Point(one.start.x + share * along.x, one.start.y + share * along.y)]
    line, arc = (one, other) if isinstance(one, Line) else (other, one)
    if not (isinstance(line, Line) and isinstance(arc, Arc)):
        return []
    step = _direction(line, line.start)
    length = hypot(step.x, step.y)
    x, y = step.x / length, step.y / length
    to_x, to_y = arc.centre.x - line.start.x, arc.centre.y - line.start.y
    middle, off = to_x * x + to_y * y, to_x * y - to_y * x
    room = (arc.radius - off) * (arc.radius + off)
    if room < 0:
        return []
    half = sqrt(room)
    return [Point(line.start.x + share * x, line.start.y + share * y) for share in (middle - half, middle + half)]


def _reaches(piece: Piece, place: Point) -> bool:
    """Whether a place on the line or circle of a piece lies between its ends."""
    if isinstance(piece, Line):
        along = _direction(piece, piece.start)
        share = (place.x - piece.start.x) * along.x + (place.y - piece.start.y) * along.y
        return 0 < share < along.x**2 + along.y**2
    sense = 1 if piece.anticlockwise else -1
    begin, end, here = (
        atan2(point.y - piece.centre.y, point.x - piece.centre.x) for point in (piece.start, piece.end, place)
    )
    return 0 < sense * (here - begin) % (2 * pi) < sense * (end - begin) % (2 * pi)
