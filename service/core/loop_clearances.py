"""Gaps of a chain loop: between wheels with chain on them, strands and wheels that they pass, and strands."""

from __future__ import annotations

from math import atan2, cos, hypot, inf, pi, sin
from typing import TYPE_CHECKING, NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Issue
from service.core.guards import not_negative

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from service.core.loops import Contact, Loop, Span, Wheel


class Gap(NamedTuple):
    """Room between two parts that must not touch; below zero they foul each other.

    ``issue`` says so in words where they do, and is None otherwise.
    """

    gap_mm: float
    issue: Issue | None


class _Obstacle(NamedTuple):
    """A wheel with the chain that lies on it."""

    x_mm: float
    y_mm: float
    outside_mm: float
    largest_mm: float
    arc_start_rad: float
    wrap_rad: float

    def extent_mm(self, direction_rad: float) -> float:
        """Radius that teeth, and chain where there is some, fill in a direction seen from the centre."""
        on_arc = (direction_rad - self.arc_start_rad) % (2 * pi) <= self.wrap_rad
        return self.largest_mm if on_arc else self.outside_mm


@equation(
    "loop_clearances.gaps",
    symbol="gap",
    unit="object",
    sources=(Source("plane-geometry", "distances between circles, arcs and segments", "derived"),),
)
def gaps(*, wheels: Sequence[Wheel], loop: Loop, half_height_mm: float) -> tuple[Gap, ...]:
    """Least gap of a loop and every gap below zero.

    Equation:
        gap = distance of the centres or pitch lines, less what wheel and chain fill on either side

    Args:
        wheels: The wheels in path order, [object].
        loop: Their path without crossings, [object].
        half_height_mm: Half the plate height of the chain, zero to look at its pitch line alone, [mm].

    Returns:
        All gaps below zero, or the one least gap where there is none.

    Raises:
        OutOfRange: the half height is negative.

    Validity: all wheels in one plane, strands taut: a sagging strand needs its sag as well. Chain on a wheel counts
        where it faces the other part. A strand and the two wheels that it joins are not held against each other.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> from service.core.loops import Wheel, path
        >>> wheel = {"y_mm": 0, "pitch_radius_mm": 50, "outside_radius_mm": 55, "teeth": None, "side": "inside"}
        >>> pair = [Wheel(x_mm=0, **wheel), Wheel(x_mm=300, **wheel)]
        >>> gaps(wheels=pair, loop=path(wheels=pair, pitch_mm=10, travel="clockwise"), half_height_mm=5)[0].gap_mm
        190.000
    """
    not_negative("half_height_mm", half_height_mm)
    obstacles = [_obstacle(wheel, i, loop, half_height_mm) for i, wheel in enumerate(wheels)]
    least = Gap(inf, None)
    fouled = []
    for found in (
        _between_wheels(obstacles),
        _between_strands_and_wheels(loop.spans, obstacles, half_height_mm),
        _between_strands(loop.spans, loop.contacts, half_height_mm),
    ):
        for gap in found:
            if gap.issue:
                fouled.append(gap)
            elif gap.gap_mm < least.gap_mm:
                least = gap
    return tuple(fouled) or (least,)


def _obstacle(wheel: Wheel, index: int, loop: Loop, half_height_mm: float) -> _Obstacle:
    """A wheel with its chain; the arc begins where the chain, followed counter-clockwise, meets the wheel."""
    contact, before, after = loop.contacts[index], loop.spans[index - 1], loop.spans[index]
    if contact.turns == "counter_clockwise":
        begin = atan2(before.end_y_mm - wheel.y_mm, before.end_x_mm - wheel.x_mm)
    else:
        begin = atan2(after.start_y_mm - wheel.y_mm, after.start_x_mm - wheel.x_mm)
    outside = wheel.outside_radius_mm
    largest = max(outside, wheel.pitch_radius_mm + half_height_mm)
    return _Obstacle(wheel.x_mm, wheel.y_mm, outside, largest, begin, contact.wrap_rad)


def _between_wheels(obstacles: Sequence[_Obstacle]) -> Iterator[Gap]:
    least = inf
    discs = [(wheel.x_mm, wheel.y_mm, wheel.largest_mm) for wheel in obstacles]
    for second, (x, y, largest) in enumerate(discs):
        for first in range(second):
            other_x, other_y, other = discs[first]
            dx, dy = x - other_x, y - other_y
            distance = hypot(dx, dy)
            room = distance - other - largest
            if room >= least and room >= 0:
                continue
            needed = obstacles[first].extent_mm(atan2(dy, dx)) + obstacles[second].extent_mm(atan2(-dy, -dx))
            least = min(least, distance - needed)
            yield Gap(distance - needed, _wheels_close(first, second, distance, needed) if distance < needed else None)


def _between_strands_and_wheels(
    spans: Sequence[Span], obstacles: Sequence[_Obstacle], half_height_mm: float
) -> Iterator[Gap]:
    # What is so far away is no nearer than what was found before, and does not touch.
    reach = inf
    discs = [(wheel.x_mm, wheel.y_mm, wheel.largest_mm + half_height_mm) for wheel in obstacles]
    for index, span in enumerate(spans):
        after = (index + 1) % len(spans)
        start_x, start_y = span.start_x_mm, span.start_y_mm
        ux, uy = cos(span.direction_rad), sin(span.direction_rad)
        for place, (x, y, fills) in enumerate(discs):
            # Neither the line through the strand nor its ends along it are farther away than the strand itself.
            dx, dy = start_x - x, start_y - y
            bound = fills + reach
            if abs(dx * uy - dy * ux) >= bound or place in (index, after):
                continue
            along = -dx * ux - dy * uy
            if -along >= bound or along - span.length_mm >= bound:
                continue
            dx, dy = _shortest(span, x, y)
            distance = hypot(dx, dy)
            needed = obstacles[place].extent_mm(atan2(dy, dx)) + half_height_mm
            reach = min(reach, max(distance - needed, 0.0))
            yield Gap(
                distance - needed, _strand_fouls((index, after), place, distance, needed) if distance < needed else None
            )


def _between_strands(spans: Sequence[Span], contacts: Sequence[Contact], half_height_mm: float) -> Iterator[Gap]:
    least = inf
    needed = 2 * half_height_mm
    # Strands whose boxes are so far apart are no nearer than those found before, and do not touch.
    bound = inf
    boxes = [span.box_mm for span in spans]
    for second, b in enumerate(spans):
        left, right, low, high = boxes[second]
        for first, a in enumerate(spans[:second]):
            a_left, a_right, a_low, a_high = boxes[first]
            if left - a_right >= bound or a_left - right >= bound or low - a_high >= bound or a_low - high >= bound:
                continue
            if _open_apart(first, second, contacts):
                continue
            distance = min(_end_distance(a, b), _end_distance(b, a))
            least = min(least, distance - needed)
            bound = max(least, 0.0) + needed
            yield Gap(
                distance - needed,
                _strands_close(first, (second, (second + 1) % len(spans)), distance, needed)
                if distance < needed
                else None,
            )


def _wheels_close(first: int, second: int, distance: float, needed: float) -> Issue:
    text = (
        f"Wheels {first + 1} and {second + 1} are {distance:.5g} mm apart and the chain on them would foul; "
        f"{needed:.5g} mm is needed."
    )
    return Issue(f"wheels.{second}", "wheels_too_close", text, needed, distance)


def _strand_fouls(strand: tuple[int, int], place: int, distance: float, needed: float) -> Issue:
    text = (
        f"The strand from wheel {strand[0] + 1} to {strand[1] + 1} passes {distance:.5g} mm from the centre of wheel "
        f"{place + 1}, which it does not touch; {needed:.5g} mm is needed."
    )
    return Issue(f"wheels.{place}", "strand_fouls_wheel", text, needed, distance)


def _strands_close(first: int, second: tuple[int, int], distance: float, needed: float) -> Issue:
    text = (
        f"The strands from wheel {first + 1} to {first + 2} and from {second[0] + 1} to {second[1] + 1} pass "
        f"{distance:.5g} mm from each other; {needed:.5g} mm is needed."
    )
    return Issue("wheels", "strands_would_touch", text, needed, distance)


def _open_apart(first: int, second: int, contacts: Sequence[Contact]) -> bool:
    """Whether two strands leave a wheel that they share without closing in behind it."""
    count = len(contacts)
    if second - first == 1:
        return count == 2 or contacts[second].wrap_rad <= pi
    return second - first == count - 1 and contacts[first].wrap_rad <= pi


def _shortest(span: Span, x_mm: float, y_mm: float) -> tuple[float, float]:
    """Vector from a point to the nearest point of a strand."""
    ux = (span.end_x_mm - span.start_x_mm) / span.length_mm
    uy = (span.end_y_mm - span.start_y_mm) / span.length_mm
    dx, dy = span.start_x_mm - x_mm, span.start_y_mm - y_mm
    along = min(max(-(dx * ux + dy * uy), 0.0), span.length_mm)
    return dx + along * ux, dy + along * uy


def _end_distance(a: Span, b: Span) -> float:
    """Distance of the nearer end of one strand from another."""
    return min(hypot(*_shortest(b, a.start_x_mm, a.start_y_mm)), hypot(*_shortest(b, a.end_x_mm, a.end_y_mm)))
