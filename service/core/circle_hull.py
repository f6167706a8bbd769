"""The tightest convex outline round circles: what a band tight over discs would show."""

from __future__ import annotations

from itertools import pairwise
from math import acos, atan2, cos, hypot, inf, pi, sin
from typing import TYPE_CHECKING, NamedTuple

from service.core.plane_curves import Arc, Line, Piece, Point

if TYPE_CHECKING:
    from collections.abc import Sequence

_NO_TURN = 1e-12
"""Angles nearer than this are one direction."""


class Disc(NamedTuple):
    """A circle to be enclosed."""

    centre: Point
    radius: float


def hull(discs: Sequence[Disc], part: str) -> tuple[Piece, ...]:
    """The outline, anticlockwise and closed, of arcs on the outer discs and the lines that touch two of them.

    Args:
        discs: At least one.
        part: Name of the pieces.
    """
    # A direction is named by the angle of the outward normal; the walk begins where the outline is lowest.
    angle, end = -pi / 2, 3 * pi / 2
    first = disc = max(discs, key=lambda one: (one.radius - one.centre.y, one.radius, one.centre.x))
    pieces: list[Piece] = []
    while True:
        turn, following = min(
            ((_turn(disc, other, angle), other) for other in discs if _reaches_past(disc, other)),
            key=lambda step: (step[0], -_distance(disc, step[1])),
            default=(inf, disc),
        )
        pieces += _arcs(disc, angle, min(turn, end - angle), part)
        angle = min(angle + turn, end)
        # A line may lie along the lowest direction itself: it then ends the walk where it began.
        if disc is first and pieces and end - angle <= _NO_TURN:
            return tuple(pieces)
        pieces.append(Line(part, _on(disc, angle), _on(following, angle)))
        disc = following


def _distance(disc: Disc, other: Disc) -> float:
    return hypot(other.centre.x - disc.centre.x, other.centre.y - disc.centre.y)


def _reaches_past(disc: Disc, other: Disc) -> bool:
    """Whether some of the other disc lies outside this one."""
    return _distance(disc, other) + other.radius > disc.radius


def _turn(disc: Disc, other: Disc, angle: float) -> float:
    """How far the normal turns on from an angle until the line that touches both discs; just behind counts as there."""
    towards = atan2(other.centre.y - disc.centre.y, other.centre.x - disc.centre.x)
    rise = max((disc.radius - other.radius) / _distance(disc, other), -1.0)
    turn = (towards - acos(rise) - angle) % (2 * pi)
    return 0.0 if turn > 2 * pi - _NO_TURN else turn


def _on(disc: Disc, angle: float) -> Point:
    return Point(disc.centre.x + disc.radius * cos(angle), disc.centre.y + disc.radius * sin(angle))


def _arcs(disc: Disc, angle: float, turn: float, part: str) -> list[Piece]:
    """The arc on a disc, halved where it is more than half a circle; none where nothing turns."""
    if turn <= _NO_TURN:
        return []
    halves = 2 if turn > pi else 1
    angles = [angle + turn * step / halves for step in range(halves + 1)]
    return [
        Arc(part, _on(disc, begin), _on(disc, end), disc.centre, disc.radius, anticlockwise=True)
        for begin, end in pairwise(angles)
    ]
