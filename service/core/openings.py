"""Outlines of what is cut out of a wheel: the bore with its keyway, and circles of holes.

The outlines run clockwise, so that the metal lies left of them as it does of the anticlockwise contour of the wheel.
"""

from __future__ import annotations

from math import cos, pi, sin, sqrt

from service.core.keyways import check_key_in_shaft
from service.core.plane_curves import Arc, Line, Piece, Point, rotated

CENTRE = Point(0.0, 0.0)


def round_hole(*, centre: Point, diameter_mm: float, part: str) -> tuple[Piece, ...]:
    """A circle as two half circles, clockwise."""
    radius = diameter_mm / 2
    left, right = Point(centre.x - radius, centre.y), Point(centre.x + radius, centre.y)
    return (
        Arc(part, left, right, centre, radius, anticlockwise=False),
        Arc(part, right, left, centre, radius, anticlockwise=False),
    )


def keyed_bore(
    *, bore_diameter_mm: float, keyway_width_mm: float, depth_to_opposite_side_mm: float, angle_rad: float
) -> tuple[Piece, ...]:
    """A bore with one keyway, clockwise from where the keyway ends; the angle is that of the keyway from +y.

    Raises:
        OutOfRange: a dimension is not positive.
        Inconsistent: the keyway is not narrower than the bore.
    """
    check_key_in_shaft(keyway_width_mm, bore_diameter_mm, "mm")
    radius, half = bore_diameter_mm / 2, keyway_width_mm / 2
    mouth = sqrt((radius - half) * (radius + half))
    bottom = depth_to_opposite_side_mm - radius
    right, left = Point(half, mouth), Point(-half, mouth)
    pieces: tuple[Piece, ...] = (
        Arc("bore", right, left, CENTRE, radius, anticlockwise=False),
        Line("keyway", left, Point(-half, bottom)),
        Line("keyway", Point(-half, bottom), Point(half, bottom)),
        Line("keyway", Point(half, bottom), right),
    )
    return tuple(rotated(piece, angle_rad) for piece in pieces)


def hole_centres(*, circle_diameter_mm: float, hole_count: int, first_rad: float) -> tuple[Point, ...]:
    """Centres of evenly spread holes, anticlockwise; the angle of the first is measured from +y."""
    radius = circle_diameter_mm / 2
    angles = [first_rad + 2 * pi * hole / hole_count for hole in range(hole_count)]
    return tuple(Point(-radius * sin(angle), radius * cos(angle)) for angle in angles)
