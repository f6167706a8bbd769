"""Chain loops over any number of wheels in one plane: tangents, wraps and length by exact geometry.

Signs: angles turn counter-clockwise positive, with x to the right and y up. A wheel that the chain goes round
counter-clockwise has a positive signed radius, one that it goes round clockwise a negative one; with signed radii one
relation holds for the outer tangent between wheels of the same sense and the inner tangent between opposite ones.
"""

from __future__ import annotations

from math import asin, atan2, cos, degrees, hypot, pi, sin, sqrt
from typing import TYPE_CHECKING, Literal, NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Inconsistent, Issue, OutOfRange
from service.core.pitch_circles import pitch_angle, pitch_radius

if TYPE_CHECKING:
    from collections.abc import Sequence

Side = Literal["inside", "outside"]
"""Inside the loop (the chain goes round the wheel in the sense of travel) or outside (the chain bends back)."""

Travel = Literal["counter_clockwise", "clockwise"]
"""Sense in which the chain runs round the loop, with y up."""

_GEOMETRY = "plane-geometry"
_RADIUS_AGREEMENT = 1e-4
"""How far a stated pitch radius may lie from pitch and teeth, relative: the last printed digit of wheel tables."""

_SAME_LENGTH = 1e-9
"""Lengths of the two senses of travel nearer than this, relative, are taken as equal."""


class Wheel(NamedTuple):
    """A wheel of the loop, in path order with the others.

    Attributes:
        x_mm: Centre, to the right.
        y_mm: Centre, upwards.
        pitch_radius_mm: Radius of the circle on which the chain joints lie.
        outside_radius_mm: Radius over the teeth or flanges, whatever passing chain must clear.
        teeth: Teeth at the pitch of the chain (half a count for every second tooth used); None for a plain wheel.
        side: Whether the wheel lies inside or outside the loop.
    """

    x_mm: float
    y_mm: float
    pitch_radius_mm: float
    outside_radius_mm: float
    teeth: float | None
    side: Side


class Span(NamedTuple):
    """A free strand between two wheels, from where the chain leaves one to where it meets the next."""

    start_x_mm: float
    start_y_mm: float
    end_x_mm: float
    end_y_mm: float
    length_mm: float
    direction_rad: float

    @property
    def box_mm(self) -> tuple[float, float, float, float]:
        """Least and greatest x, least and greatest y."""
        x = (self.start_x_mm, self.end_x_mm)
        y = (self.start_y_mm, self.end_y_mm)
        return min(x), max(x), min(y), max(y)


class Contact(NamedTuple):
    """The chain on one wheel.

    Attributes:
        wrap_rad: Angle of contact.
        pitches: Chain on the wheel, in pitches; on a toothed wheel this is the number of teeth in mesh.
        pitch_angle_rad: Angle that one pitch takes up.
        signed_radius_mm: Pitch radius, negative where the wheel turns clockwise.
    """

    wrap_rad: float
    pitches: float
    pitch_angle_rad: float
    signed_radius_mm: float

    @property
    def turns(self) -> Travel:
        """Sense in which the wheel turns."""
        return "counter_clockwise" if self.signed_radius_mm > 0 else "clockwise"

    @property
    def wrap_deg(self) -> float:
        """Angle of contact in degrees."""
        return degrees(self.wrap_rad)


class Loop(NamedTuple):
    """A closed loop; span i leads from wheel i to wheel i + 1, the last back to the first.

    ``length_pitches`` counts the chain on a wheel as wrap over pitch angle, since the chain lies on a polygon;
    ``length_along_circles_mm`` follows the pitch circles and serves for drawing only.
    """

    spans: tuple[Span, ...]
    contacts: tuple[Contact, ...]
    length_pitches: float
    length_along_circles_mm: float


@equation(
    "loops.tangent",
    symbol="t",
    unit="object",
    sources=(Source(_GEOMETRY, "common tangent of two circles with signed radii", "derived"),),
)
def tangent(
    *,
    start_x_mm: float,
    start_y_mm: float,
    start_signed_radius_mm: float,
    end_x_mm: float,
    end_y_mm: float,
    end_signed_radius_mm: float,
) -> Span:
    """Strand from one wheel to the next.

    Equation:
        D, d = distance and direction of the centres;  sin a = (r2 - r1)/D;  t = D cos a;  phi = d - a
        touching points c + r (sin phi, -cos phi)

    Args:
        start_x_mm: Centre of the wheel that the chain leaves, [mm].
        start_y_mm: The same, [mm].
        start_signed_radius_mm: Its pitch radius r1, negative where the chain goes round it clockwise, [mm].
        end_x_mm: Centre of the wheel that the chain meets, [mm].
        end_y_mm: The same, [mm].
        end_signed_radius_mm: Its pitch radius r2 with its sign, [mm].

    Returns:
        The strand: touching points, length t and direction phi of travel.

    Raises:
        OutOfRange: the centres are no farther apart than abs(r2 - r1), so that there is no such tangent.

    Validity: exact. Radii of the same sign give the outer tangent, of opposite signs the inner one.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> centres = {"start_x_mm": 0, "start_y_mm": 0, "end_x_mm": 13, "end_y_mm": 0}
        >>> tangent(**centres, start_signed_radius_mm=3, end_signed_radius_mm=-2).length_mm
        12.000
    """
    dx, dy = end_x_mm - start_x_mm, end_y_mm - start_y_mm
    step = end_signed_radius_mm - start_signed_radius_mm
    distance = hypot(dx, dy)
    if not distance > abs(step):
        text = f"Centres {distance:g} mm apart leave no room for a strand; more than {abs(step):g} mm is needed."
        raise OutOfRange(Issue("end_x_mm", "centres_overlap", text, abs(step), distance))
    direction = atan2(dy, dx) - asin(step / distance)
    sine, cosine = sin(direction), cos(direction)
    return Span(
        start_x_mm + start_signed_radius_mm * sine,
        start_y_mm - start_signed_radius_mm * cosine,
        end_x_mm + end_signed_radius_mm * sine,
        end_y_mm - end_signed_radius_mm * cosine,
        sqrt((distance - step) * (distance + step)),
        direction,
    )


def turning_sign(wheel: Wheel, travel: Travel) -> int:
    """+1 where the chain goes round the wheel counter-clockwise, -1 where clockwise."""
    return 1 if (wheel.side == "inside") == (travel == "counter_clockwise") else -1


def _angle_of(wheel: Wheel, index: int, pitch_mm: float) -> float:
    """Pitch angle of a wheel, checked against its teeth."""
    field = f"wheels.{index}.pitch_radius_mm"
    try:
        if wheel.teeth is None:
            return pitch_angle(pitch_radius_mm=wheel.pitch_radius_mm, pitch_mm=pitch_mm)
        expected = pitch_radius(teeth=wheel.teeth, pitch_mm=pitch_mm)
    except OutOfRange as refusal:
        raise _placed(refusal, field, f"Wheel {index + 1}") from None
    if not abs(wheel.pitch_radius_mm - expected) <= _RADIUS_AGREEMENT * expected:
        text = (
            f"Wheel {index + 1} has a pitch radius of {wheel.pitch_radius_mm:g} mm; {wheel.teeth:g} teeth of "
            f"{pitch_mm:g} mm pitch give {expected:g} mm. All wheels of a loop have the pitch of its chain."
        )
        raise Inconsistent(Issue(field, "pitch_mismatch", text, expected, wheel.pitch_radius_mm))
    return 2 * pi / wheel.teeth


def _placed(refusal: OutOfRange, field: str, name: str) -> OutOfRange:
    """A refusal of one relation with the place of the wheel in the loop."""
    issue = refusal.issues[0]
    return OutOfRange(issue._replace(field=field, message=f"{name}: {issue.message}"))


@equation(
    "loops.path",
    symbol="X",
    unit="object",
    sources=(Source(_GEOMETRY, "closed path of tangents and wraps over signed circles", "derived"),),
)
def path(*, wheels: Sequence[Wheel], pitch_mm: float, travel: Travel) -> Loop:
    """Closed path of a chain over wheels in path order, and its length.

    Equation:
        wrap_i = s_i (phi_i - phi_(i-1)) mod 2 pi;  X = sum t_i/p + sum wrap_i/tau_i

    Args:
        wheels: Two wheels or more in the order in which the chain meets them, [object].
        pitch_mm: Pitch p of the chain, [mm]; p > 0.
        travel: Sense in which the chain runs round the loop, [text].

    Returns:
        Strands, contacts and length X of the loop. A path that crosses itself is returned as it is: see
        ``loop_clearances.checked_loop`` for a loop that can be built.

    Raises:
        OutOfRange: fewer than two wheels, or two neighbours too close for a strand.
        Inconsistent: a pitch radius does not fit the teeth and the pitch.

    Validity: the mean length as the chain runs; a real chain varies about it by a fraction of a tooth's polygon effect,
        since strands are seldom whole pitches.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> r = pitch_radius(teeth=20, pitch_mm=10)
        >>> small = {"y_mm": 0, "pitch_radius_mm": r, "outside_radius_mm": r, "teeth": 20, "side": "inside"}
        >>> pair = [Wheel(x_mm=0, **small), Wheel(x_mm=300, **small)]
        >>> path(wheels=pair, pitch_mm=10, travel="clockwise").length_pitches
        80.000
    """
    _check_count(wheels)
    signs = [turning_sign(wheel, travel) for wheel in wheels]
    angles = [_angle_of(wheel, index, pitch_mm) for index, wheel in enumerate(wheels)]
    spans = tuple(strand(wheels, signs, index) for index in range(len(wheels)))
    contacts = []
    along_circles = 0.0
    for index, (wheel, sign, angle) in enumerate(zip(wheels, signs, angles, strict=True)):
        wrap = sign * (spans[index].direction_rad - spans[index - 1].direction_rad) % (2 * pi)
        along_circles += wrap * wheel.pitch_radius_mm
        contacts.append(Contact(wrap, wrap / angle, angle, sign * wheel.pitch_radius_mm))
    straight = sum(span.length_mm for span in spans)
    pitches = straight / pitch_mm + sum(contact.pitches for contact in contacts)
    return Loop(spans, tuple(contacts), pitches, straight + along_circles)


def _check_count(wheels: Sequence[Wheel]) -> None:
    if len(wheels) < 2:
        text = f"A loop needs two wheels or more; {len(wheels)} given."
        raise OutOfRange(Issue("wheels", "two_wheels_needed", text, 2, len(wheels)))


def strand(wheels: Sequence[Wheel], signs: Sequence[int], index: int) -> Span:
    """Strand from one wheel to the next, with the wheels' places in any refusal; ``signs`` by ``turning_sign``.

    Raises:
        OutOfRange: ``centres_overlap``.
    """
    start, after = wheels[index], (index + 1) % len(wheels)
    end = wheels[after]
    try:
        return tangent(
            start_x_mm=start.x_mm,
            start_y_mm=start.y_mm,
            start_signed_radius_mm=signs[index] * start.pitch_radius_mm,
            end_x_mm=end.x_mm,
            end_y_mm=end.y_mm,
            end_signed_radius_mm=signs[after] * end.pitch_radius_mm,
        )
    except OutOfRange as refusal:
        raise _placed(refusal, f"wheels.{after}", f"Wheels {index + 1} and {after + 1}") from None


def travel_of(*, wheels: Sequence[Wheel], pitch_mm: float) -> Travel:
    """The sense of travel in which the path closes after one turn in all; the shorter path if both do.

    A closed path that does not cross itself turns by exactly one revolution. Wheels listed anticlockwise give
    counter-clockwise travel. Where neither sense closes, the sense of the polygon of centres is returned, and the check
    of the loop says what is wrong.
    """
    lengths: dict[Travel, float] = {}
    senses: tuple[Travel, Travel] = ("counter_clockwise", "clockwise")
    for travel in senses:
        try:
            loop = path(wheels=wheels, pitch_mm=pitch_mm, travel=travel)
        except OutOfRange:
            continue
        if turns_once(loop, travel):
            lengths[travel] = loop.length_pitches
    if len(lengths) == 2:
        shorter = lengths["clockwise"] < lengths["counter_clockwise"] * (1 - _SAME_LENGTH)
        return "clockwise" if shorter else "counter_clockwise"
    if lengths:
        return next(iter(lengths))
    area = sum(wheels[i - 1].x_mm * wheels[i].y_mm - wheels[i].x_mm * wheels[i - 1].y_mm for i in range(len(wheels)))
    return "counter_clockwise" if area >= 0 else "clockwise"


def turns_once(loop: Loop, travel: Travel) -> bool:
    """Whether the path turns by one revolution in the sense of travel, as a path without crossings must."""
    turned = sum(contact.wrap_rad if contact.turns == travel else -contact.wrap_rad for contact in loop.contacts)
    return abs(turned - 2 * pi) < 1


@equation(
    "loops.speed_ratio",
    symbol="i",
    unit="-",
    sources=(Source(_GEOMETRY, "pitches passing each wheel in the same time are equal", "derived"),),
)
def speed_ratio(*, driver: Contact, driven: Contact) -> float:
    """Speed of the driver over speed of another wheel of the loop, negative where the two turn opposite ways.

    Equation:
        i = +- tau_driver/tau_driven = +- N_driven/N_driver

    Args:
        driver: Contact of the chain with the wheel that drives, [object].
        driven: Contact of the chain with the other wheel, [object].

    Returns:
        Speed ratio i, [-].

    Raises:
        Nothing.

    Validity: mean speeds; a plain wheel slips, so that its ratio is that of rolling without slip.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> speed_ratio(driver=Contact(3, 9, 2 * pi / 19, 77), driven=Contact(3, 27, 2 * pi / 57, -231))
        -3.000
    """
    sign = 1 if driver.turns == driven.turns else -1
    return sign * driver.pitch_angle_rad / driven.pitch_angle_rad
