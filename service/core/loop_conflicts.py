"""Whether a chain loop can be built: wheels in each other's place, wheels that the chain misses, strands that cross."""

from __future__ import annotations

from math import degrees, hypot, isfinite, pi, radians
from typing import TYPE_CHECKING, NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import positive
from service.core.loop_clearances import gaps
from service.core.loops import Loop, Span, Travel, Wheel, path, turns_once

if TYPE_CHECKING:
    from collections.abc import Sequence

LEAST_WRAP_RAD = radians(0.1)
"""Below this wrap a wheel bends the chain by less than its sag does and is not in the loop (practice, ours)."""

LOOPED_WRAP_RAD = radians(270)
"""Where strands cross behind a wheel wrapped more than this, the chain is on the wrong side of it (practice, ours)."""


class ClearLoop(NamedTuple):
    """A loop without conflict and the least gap between parts that must not touch."""

    loop: Loop
    least_gap_mm: float


@equation(
    "loop_conflicts.clear_loop",
    symbol="X",
    unit="object",
    sources=(Source("plane-geometry", "a closed path without crossings turns once", "derived"),),
)
def clear_loop(*, wheels: Sequence[Wheel], pitch_mm: float, half_height_mm: float, travel: Travel) -> ClearLoop:
    """Path of a chain over wheels, refused with the reasons if it cannot be built in one plane.

    Equation:
        as ``loops.path`` and ``loop_clearances.gaps``; sum of signed wraps = 2 pi; no two strands cross

    Args:
        wheels: Two wheels or more in path order, [object].
        pitch_mm: Pitch of the chain, [mm].
        half_height_mm: Half the plate height of the chain, zero to look at its pitch line alone, [mm].
        travel: Sense in which the chain runs round the loop, [text].

    Returns:
        The loop and its least gap.

    Raises:
        OutOfRange: codes ``two_wheels_needed``, ``must_be_positive``, ``must_be_finite``; then ``wheels_coincide``,
            ``centres_overlap``, ``teeth_would_touch``; then ``wheel_not_wrapped`` or ``path_crosses``; then
            ``wheels_too_close``, ``strand_fouls_wheel``, ``strands_would_touch``: all of the first stage with a fault.
        Inconsistent: a pitch radius does not fit the teeth and the pitch.

    Validity: as for ``loop_clearances.gaps``.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> from service.core.loops import Wheel
        >>> wheel = {"y_mm": 0, "pitch_radius_mm": 50, "outside_radius_mm": 55, "teeth": None, "side": "inside"}
        >>> pair = [Wheel(x_mm=0, **wheel), Wheel(x_mm=300, **wheel)]
        >>> clear_loop(wheels=pair, pitch_mm=10, half_height_mm=5, travel="clockwise").least_gap_mm
        190.000
    """
    _refuse(_wheel_issues(wheels))
    _refuse(_pair_issues(wheels))
    loop = path(wheels=wheels, pitch_mm=pitch_mm, travel=travel)
    crossings = _crossings(loop.spans)
    _refuse(_wrap_issues(loop, wheels, crossings) or _crossing_issues(loop, crossings, travel))
    found = gaps(wheels=wheels, loop=loop, half_height_mm=half_height_mm)
    _refuse([gap.issue for gap in found if gap.issue])
    return ClearLoop(loop, found[0].gap_mm)


def _refuse(issues: list[Issue]) -> None:
    if issues:
        raise OutOfRange(*issues)


def _wheel_issues(wheels: Sequence[Wheel]) -> list[Issue]:
    """Wheels that are none by themselves."""
    issues = []
    for index, wheel in enumerate(wheels):
        if not (isfinite(wheel.x_mm) and isfinite(wheel.y_mm)):
            issues.append(Issue(f"wheels.{index}", "must_be_finite", f"Wheel {index + 1} has no finite position."))
        for name in ("pitch_radius_mm", "outside_radius_mm"):
            try:
                positive(f"wheels.{index}.{name}", getattr(wheel, name))
            except OutOfRange as refusal:
                issues.extend(refusal.issues)
    return issues


def _pair_issues(wheels: Sequence[Wheel]) -> list[Issue]:
    """Pairs of wheels that stand in each other's place."""
    issues = []
    discs = [(wheel.x_mm, wheel.y_mm, wheel.pitch_radius_mm, wheel.outside_radius_mm) for wheel in wheels]
    for second, (x, y, pitch_radius, outside_radius) in enumerate(discs):
        for first in range(second):
            other_x, other_y, other_pitch, other_outside = discs[first]
            distance = hypot(x - other_x, y - other_y)
            pitch, outside = pitch_radius + other_pitch, outside_radius + other_outside
            if distance <= pitch or distance <= outside:
                issues.append(_pair_issue(first, second, distance, pitch, outside))
    return issues


def _pair_issue(first: int, second: int, distance: float, pitch: float, outside: float) -> Issue:
    names = f"Wheels {first + 1} and {second + 1}"
    if distance == 0:
        return Issue(f"wheels.{second}", "wheels_coincide", f"{names} stand at the same point.", pitch, distance)
    if distance <= pitch:
        text = (
            f"{names} are {distance:.5g} mm apart and their pitch circles overlap; more than {pitch:.5g} mm is needed."
        )
        return Issue(f"wheels.{second}", "centres_overlap", text, pitch, distance)
    text = f"{names} are {distance:.5g} mm apart and their teeth would touch; more than {outside:.5g} mm is needed."
    return Issue(f"wheels.{second}", "teeth_would_touch", text, outside, distance)


def _crossings(spans: Sequence[Span]) -> list[tuple[int, int]]:
    """Pairs of strands that cross, the lower index first."""
    boxes = [span.box_mm for span in spans]
    found = []
    for second, (left, right, low, high) in enumerate(boxes):
        for first in range(second):
            a_left, a_right, a_low, a_high = boxes[first]
            apart = left > a_right or a_left > right or low > a_high or a_low > high
            if not apart and _parts(spans[first], spans[second]) and _parts(spans[second], spans[first]):
                found.append((first, second))
    return found


def _parts(line: Span, other: Span) -> bool:
    """Whether the ends of a strand lie on both sides of the line through another."""
    dx, dy = line.end_x_mm - line.start_x_mm, line.end_y_mm - line.start_y_mm
    start = dx * (other.start_y_mm - line.start_y_mm) - dy * (other.start_x_mm - line.start_x_mm)
    end = dx * (other.end_y_mm - line.start_y_mm) - dy * (other.end_x_mm - line.start_x_mm)
    return (start < 0 < end) or (end < 0 < start)


def _wrap_issues(loop: Loop, wheels: Sequence[Wheel], crossings: list[tuple[int, int]]) -> list[Issue]:
    """Wheels that the chain does not touch, or could touch only by going right round them."""
    issues = []
    closed = _closed_behind(crossings, len(wheels))
    for index, (wheel, contact) in enumerate(zip(wheels, loop.contacts, strict=True)):
        full = contact.wrap_rad > 2 * pi - LEAST_WRAP_RAD
        looped = index in closed and contact.wrap_rad > LOOPED_WRAP_RAD
        if not (contact.wrap_rad < LEAST_WRAP_RAD or full or looped):
            continue
        wrap = degrees(contact.wrap_rad)
        text = (
            f"Wheel {index + 1} is not touched: as a wheel {wheel.side} the loop it would be wrapped by "
            f"{wrap:.4g} degrees."
        )
        hint = "Move the wheel into the chain, set it on the other side, or leave it out."
        issues.append(Issue(f"wheels.{index}", "wheel_not_wrapped", text, degrees(LEAST_WRAP_RAD), wrap, hint))
    return issues


def _closed_behind(crossings: list[tuple[int, int]], count: int) -> set[int]:
    """Wheels behind which the arriving strand crosses the leaving one."""
    if count == 2:
        return set()
    next_to = {second for first, second in crossings if second - first == 1}
    return next_to | {0 for first, second in crossings if second - first == count - 1}


def _crossing_issues(loop: Loop, crossings: list[tuple[int, int]], travel: Travel) -> list[Issue]:
    hint = "Check the order of the wheels and which of them lie outside the loop."
    count = len(loop.spans)
    texts = [
        f"The strand from wheel {first + 1} to {first + 2} crosses the strand from wheel {second + 1} to "
        f"{(second + 1) % count + 1}."
        for first, second in crossings
    ]
    if not texts and not turns_once(loop, travel):
        texts = ["The chain cannot close round these wheels without crossing itself."]
    return [Issue("wheels", "path_crosses", text, None, None, hint) for text in texts]
