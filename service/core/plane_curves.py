"""Lines and arcs of a drawn contour, in one unit of length of the caller's choice."""

from __future__ import annotations

from math import cos, hypot, sin, sqrt
from typing import NamedTuple, TypeAlias


class Point(NamedTuple):
    """A point of the plane."""

    x: float
    y: float


class Line(NamedTuple):
    """A straight piece; ``part`` names what it is on the drawing."""

    part: str
    start: Point
    end: Point


class Arc(NamedTuple):
    """A piece of a circle, run through from start to end in the given sense."""

    part: str
    start: Point
    end: Point
    centre: Point
    radius: float
    anticlockwise: bool


Piece: TypeAlias = Line | Arc


def rotated(piece: Piece, angle_rad: float) -> Piece:
    """The piece turned anticlockwise about the origin."""
    cosine, sine = cos(angle_rad), sin(angle_rad)

    def turn(point: Point) -> Point:
        return Point(point.x * cosine - point.y * sine, point.x * sine + point.y * cosine)

    start, end = turn(piece.start), turn(piece.end)
    if isinstance(piece, Arc):
        return Arc(piece.part, start, end, turn(piece.centre), piece.radius, piece.anticlockwise)
    return Line(piece.part, start, end)


def mirrored(piece: Piece) -> Piece:
    """The piece mirrored in the y axis and run through backwards, so that the sense of an arc stays."""

    def flip(point: Point) -> Point:
        return Point(-point.x, point.y)

    start, end = flip(piece.end), flip(piece.start)
    if isinstance(piece, Arc):
        return Arc(piece.part, start, end, flip(piece.centre), piece.radius, piece.anticlockwise)
    return Line(piece.part, start, end)


def scaled(piece: Piece, factor: float) -> Piece:
    """The piece in another unit of length."""

    def stretch(point: Point) -> Point:
        return Point(point.x * factor, point.y * factor)

    start, end = stretch(piece.start), stretch(piece.end)
    if isinstance(piece, Arc):
        return Arc(piece.part, start, end, stretch(piece.centre), piece.radius * factor, piece.anticlockwise)
    return Line(piece.part, start, end)


def moved_along(point: Point, direction: Point, distance: float) -> Point:
    """The point at a distance in a direction of unit length."""
    return Point(point.x + distance * direction.x, point.y + distance * direction.y)


def crossing_about_origin(centre: Point, radius: float, about_origin: float) -> Point:
    """Where a circle crosses a circle about the origin: the crossing anticlockwise of the line to its centre.

    The caller makes sure that the circles cross.
    """
    distance = hypot(centre.x, centre.y)
    along = (about_origin * about_origin + (distance - radius) * (distance + radius)) / (2 * distance)
    across = sqrt(max(about_origin * about_origin - along * along, 0.0))
    x, y = centre.x / distance, centre.y / distance
    return Point(along * x - across * y, along * y + across * x)
