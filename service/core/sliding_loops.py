"""A loop with one wheel on a slide, as a function of its travel and of the wear of its chain.

A wheel that moves carries with it the two strands that meet it and the wraps of three wheels, itself and its two
neighbours; all else of the loop stays as it is. So a loop is worked out once, at the beginning of the travel, and then
only those parts are, together with the slope of the length, which leads a search to its root in a few steps.
"""

from __future__ import annotations

from math import asin, atan2, copysign, cos, hypot, isfinite, pi, sin, sqrt
from typing import TYPE_CHECKING, NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.loops import Contact, Loop, Span, Travel, Wheel, path, strand, turning_sign

if TYPE_CHECKING:
    from collections.abc import Sequence


class Slide(NamedTuple):
    """The line along which one wheel can be moved.

    Attributes:
        wheel: Index of the wheel in path order, from 0.
        direction_rad: Direction of positive travel, counter-clockwise from the x axis.
        minimum_travel_mm: Travel at one end, counted from the position given with the wheel.
        maximum_travel_mm: Travel at the other end.
    """

    wheel: int
    direction_rad: float
    minimum_travel_mm: float
    maximum_travel_mm: float


class Sloped(NamedTuple):
    """A length in pitches, and how much it grows for each millimetre of travel or each hundredth of wear."""

    length: float
    slope: float


def moved(*, wheels: Sequence[Wheel], slide: Slide, travel_mm: float) -> tuple[Wheel, ...]:
    """The wheels with the one on the slide moved from its given position."""
    wheel = wheels[slide.wheel]
    x = wheel.x_mm + travel_mm * cos(slide.direction_rad)
    y = wheel.y_mm + travel_mm * sin(slide.direction_rad)
    return (*wheels[: slide.wheel], wheel._replace(x_mm=x, y_mm=y), *wheels[slide.wheel + 1 :])


@equation(
    "sliding_loops.length_slope",
    symbol="dX/ds",
    unit="pitches/mm",
    sources=(Source("plane-geometry", "derivative of tangents and wraps by the position of a wheel", "derived"),),
)
def length_slope(*, spans: Sequence[Span], contacts: Sequence[Contact], slide: Slide, pitch_mm: float) -> float:
    """Pitches of chain that a loop takes up for each millimetre that one of its wheels moves.

    Equation:
        for the strand before and the strand after the wheel, with relative motion e of its ends, u along and n to the
        left of it: dt = u e + rho dphi, dphi = n e/t, rho = r2 - r1;  dX = sum dt/p + (s1/tau1 - s2/tau2) dphi

    Args:
        spans: Strands of the loop at the position in question, [object].
        contacts: The chain on its wheels there, [object].
        slide: The slide; only its wheel and direction count, [object].
        pitch_mm: Pitch p of the chain, [mm].

    Returns:
        Slope dX/ds, [pitches/mm]; for wheels of many teeth near u_before e/p - u_after e/p.

    Raises:
        Nothing.

    Validity: exact.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> wheel = {"pitch_radius_mm": 50, "outside_radius_mm": 55, "teeth": None, "side": "inside", "y_mm": 0}
        >>> loop = path(wheels=[Wheel(x_mm=x, **wheel) for x in (0, 300)], pitch_mm=10, travel="clockwise")
        >>> along = Slide(wheel=1, direction_rad=0, minimum_travel_mm=0, maximum_travel_mm=9)
        >>> length_slope(spans=loop.spans, contacts=loop.contacts, slide=along, pitch_mm=10)
        0.200
    """
    count = len(spans)
    total = 0.0
    for index, sign in (((slide.wheel - 1) % count, 1), (slide.wheel, -1)):
        span, start, end = spans[index], contacts[index], contacts[(index + 1) % count]
        angle = slide.direction_rad - span.direction_rad
        along, across = sign * cos(angle), sign * sin(angle)
        turned = across / span.length_mm
        step = end.signed_radius_mm - start.signed_radius_mm
        wrapped = copysign(1 / start.pitch_angle_rad, start.signed_radius_mm)
        wrapped -= copysign(1 / end.pitch_angle_rad, end.signed_radius_mm)
        total += (along + step * turned) / pitch_mm + wrapped * turned
    return total


class SlidingLoop:
    """The loop as a function of the travel of its slide.

    Raises:
        OutOfRange: ``range_reversed``; or the wheel leaves the loop at the beginning of its travel,
            ``centres_overlap`` or ``travel_leaves_loop``.
        Inconsistent: a pitch radius does not fit the teeth and the pitch.
    """

    def __init__(self, *, wheels: Sequence[Wheel], pitch_mm: float, travel: Travel, slide: Slide) -> None:
        least, greatest = slide.minimum_travel_mm, slide.maximum_travel_mm
        if not (isfinite(least) and isfinite(greatest) and least <= greatest):
            text = f"The travel runs from {least:g} to {greatest:g} mm; the first must be the smaller."
            raise OutOfRange(Issue("slide.minimum_travel_mm", "range_reversed", text, greatest, least))
        self.wheels = tuple(wheels)
        self.pitch_mm = pitch_mm
        self.travel: Travel = travel
        self.slide = slide
        count = len(wheels)
        self._signs = [turning_sign(wheel, travel) for wheel in wheels]
        before = (slide.wheel - 1) % count
        self._strands = (before, slide.wheel)
        # The wheels at the ends of the two strands; of two wheels in all the neighbours are one.
        self._wrapped = tuple({before: None, slide.wheel: None, (slide.wheel + 1) % count: None})
        first = self.loop(least)
        self._spans, self._contacts = list(first.spans), list(first.contacts)
        self._known: dict[float, Sloped] = {}
        self._worn: tuple[float, WornLoop] | None = None
        # What the moving wheel does not change.
        self._rest_pitches = sum(
            span.length_mm for index, span in enumerate(first.spans) if index not in self._strands
        ) / pitch_mm + sum(
            contact.pitches for index, contact in enumerate(first.contacts) if index not in self._wrapped
        )
        self._rest_turn = sum(
            self._turn(contact) for index, contact in enumerate(first.contacts) if index not in self._wrapped
        )

    def loop(self, travel_mm: float) -> Loop:
        """The whole loop at a travel.

        Raises:
            OutOfRange: the chain does not pass all wheels there.
        """
        wheels = moved(wheels=self.wheels, slide=self.slide, travel_mm=travel_mm)
        loop = path(wheels=wheels, pitch_mm=self.pitch_mm, travel=self.travel)
        self._check_turn(sum(self._turn(contact) for contact in loop.contacts), travel_mm)
        return loop

    def at(self, travel_mm: float) -> Sloped:
        """Length of the loop at a travel and its slope, by what the moving wheel changes.

        Raises:
            OutOfRange: the chain does not pass all wheels there.
        """
        known = self._known.get(travel_mm)
        if known is None:
            known = self._known[travel_mm] = self._worked_out(travel_mm)
        return known

    def _worked_out(self, travel_mm: float) -> Sloped:
        wheels = moved(wheels=self.wheels, slide=self.slide, travel_mm=travel_mm)
        spans, contacts = self._spans, self._contacts
        for index in self._strands:
            spans[index] = strand(wheels, self._signs, index)
        turn = self._rest_turn
        pitches = self._rest_pitches + sum(spans[index].length_mm for index in self._strands) / self.pitch_mm
        for index in self._wrapped:
            wrap = self._signs[index] * (spans[index].direction_rad - spans[index - 1].direction_rad) % (2 * pi)
            known = contacts[index]
            contact = Contact(wrap, wrap / known.pitch_angle_rad, known.pitch_angle_rad, known.signed_radius_mm)
            contacts[index] = contact
            pitches += contact.pitches
            turn += self._turn(contact)
        self._check_turn(turn, travel_mm)
        slope = length_slope(spans=spans, contacts=contacts, slide=self.slide, pitch_mm=self.pitch_mm)
        return Sloped(pitches, slope)

    def worn(self, travel_mm: float) -> WornLoop:
        """The loop at a travel as its chain wears."""
        if self._worn is None or self._worn[0] != travel_mm:
            wheels = moved(wheels=self.wheels, slide=self.slide, travel_mm=travel_mm)
            self._worn = travel_mm, WornLoop(wheels=wheels, pitch_mm=self.pitch_mm, travel=self.travel)
        return self._worn[1]

    def _turn(self, contact: Contact) -> float:
        return contact.wrap_rad if contact.turns == self.travel else -contact.wrap_rad

    def _check_turn(self, turned: float, travel_mm: float) -> None:
        """Refuse a path that does not turn by one revolution, as ``loops.turns_once``."""
        if not abs(turned - 2 * pi) < 1:
            text = f"At a travel of {travel_mm:g} mm the chain does not pass all wheels on the sides told."
            hint = "Narrow the travel to where the chain touches every wheel."
            raise OutOfRange(Issue("slide", "travel_leaves_loop", text, None, travel_mm, hint))


class _WornStrand(NamedTuple):
    """What a strand between two fixed wheels is worked out from; ``grows`` is how its step changes with the pitch."""

    distance_mm: float
    direction_rad: float
    step_mm: float
    grows_mm: float


class WornLoop:
    """The loop of fixed wheels as a function of the growth of its pitch.

    On toothed wheels worn chain rides out to where its longer pitch spans one tooth, so that their radii grow as the
    pitch does; plain wheels keep theirs.
    """

    def __init__(self, *, wheels: Sequence[Wheel], pitch_mm: float, travel: Travel) -> None:
        self._pitch_mm = pitch_mm
        self._wheels = wheels
        self._known: dict[float, Sloped | None] = {}
        self._signs = [turning_sign(wheel, travel) for wheel in wheels]
        radii = [sign * wheel.pitch_radius_mm for sign, wheel in zip(self._signs, wheels, strict=True)]
        growing = [0.0 if wheel.teeth is None else radius for radius, wheel in zip(radii, wheels, strict=True)]
        self._strands = []
        for index, start in enumerate(wheels):
            after = (index + 1) % len(wheels)
            dx, dy = wheels[after].x_mm - start.x_mm, wheels[after].y_mm - start.y_mm
            self._strands.append(
                _WornStrand(hypot(dx, dy), atan2(dy, dx), radii[after] - radii[index], growing[after] - growing[index])
            )

    def at(self, elongation_percent: float) -> Sloped | None:
        """Length in pitches at an elongation and its slope for each per cent; None where two wheels meet."""
        if elongation_percent not in self._known:
            self._known[elongation_percent] = self._worked_out(elongation_percent)
        return self._known[elongation_percent]

    def _worked_out(self, elongation_percent: float) -> Sloped | None:
        grown = elongation_percent / 100
        pitch = self._pitch_mm * (1 + grown)
        straight = straight_slope = 0.0
        directions, turning = [], []
        for part in self._strands:
            step = part.step_mm + grown * part.grows_mm
            room = (part.distance_mm - step) * (part.distance_mm + step)
            if not room > 0:
                return None
            length = sqrt(room)
            straight += length
            straight_slope -= step * part.grows_mm / length
            directions.append(part.direction_rad - asin(step / part.distance_mm))
            turning.append(-part.grows_mm / length)
        pitches = straight / pitch
        slope = straight_slope / pitch - pitches / (1 + grown)
        for index, (sign, wheel) in enumerate(zip(self._signs, self._wheels, strict=True)):
            wrap = sign * (directions[index] - directions[index - 1]) % (2 * pi)
            change = sign * (turning[index] - turning[index - 1])
            if wheel.teeth is not None:
                angle, wider = 2 * pi / wheel.teeth, 0.0
            else:
                half = pitch / (2 * wheel.pitch_radius_mm)
                if not half < 1:
                    return None
                angle, wider = 2 * asin(half), 2 * half / (1 + grown) / sqrt(1 - half * half)
            pitches += wrap / angle
            slope += (change - wrap * wider / angle) / angle
        return Sloped(pitches, slope / 100)
