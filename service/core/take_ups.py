"""A loop with one wheel on a slide: where it has to stand for a chain length, and what wear its travel takes up.

The length of a taut loop is a convex function of the position of any of its wheels, so that along a line it falls,
rises, or falls and then rises. This gives each bracket below its one root.
"""

from __future__ import annotations

from math import copysign, cos, isfinite, sin
from typing import TYPE_CHECKING, NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Issue, NoSolution, OutOfRange
from service.core.loops import Loop, Travel, Wheel, path, turns_once
from service.core.roots import bracketed_root

if TYPE_CHECKING:
    from collections.abc import Sequence

_GEOMETRY = "plane-geometry"
_TRAVEL_TOLERANCE_MM = 1e-10
_ELONGATION_TOLERANCE_PERCENT = 1e-12

GREATEST_ELONGATION_PERCENT = 20.0
"""Elongation up to which a reserve is worked out: no chain is run so far (ours)."""


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


class LengthRange(NamedTuple):
    """Least and greatest length of a loop within the travel of a slide, and the travel at which each is reached."""

    least_pitches: float
    least_at_mm: float
    greatest_pitches: float
    greatest_at_mm: float


def moved(*, wheels: Sequence[Wheel], slide: Slide, travel_mm: float) -> tuple[Wheel, ...]:
    """The wheels with the one on the slide moved from its given position."""
    wheel = wheels[slide.wheel]
    x = wheel.x_mm + travel_mm * cos(slide.direction_rad)
    y = wheel.y_mm + travel_mm * sin(slide.direction_rad)
    return (*wheels[: slide.wheel], wheel._replace(x_mm=x, y_mm=y), *wheels[slide.wheel + 1 :])


@equation(
    "take_ups.length_slope",
    symbol="dX/ds",
    unit="pitches/mm",
    sources=(Source(_GEOMETRY, "derivative of tangents and wraps by the position of a wheel", "derived"),),
)
def length_slope(*, loop: Loop, slide: Slide, pitch_mm: float) -> float:
    """Pitches of chain that a loop takes up for each millimetre that one of its wheels moves.

    Equation:
        for the strand before and the strand after the wheel, with relative motion e of its ends, u along and n to the
        left of it: dt = u e + rho dphi, dphi = n e/t, rho = r2 - r1;  dX = sum dt/p + (s1/tau1 - s2/tau2) dphi

    Args:
        loop: The loop at the position in question, [object].
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
        >>> pair = [Wheel(x_mm=0, **wheel), Wheel(x_mm=300, **wheel)]
        >>> along = Slide(wheel=1, direction_rad=0, minimum_travel_mm=0, maximum_travel_mm=9)
        >>> length_slope(loop=path(wheels=pair, pitch_mm=10, travel="clockwise"), slide=along, pitch_mm=10)
        0.200
    """
    count = len(loop.spans)
    total = 0.0
    for index, sign in (((slide.wheel - 1) % count, 1), (slide.wheel, -1)):
        span, start, end = loop.spans[index], loop.contacts[index], loop.contacts[(index + 1) % count]
        angle = slide.direction_rad - span.direction_rad
        along, across = sign * cos(angle), sign * sin(angle)
        turned = across / span.length_mm
        step = end.signed_radius_mm - start.signed_radius_mm
        wrapped = copysign(1 / start.pitch_angle_rad, start.signed_radius_mm)
        wrapped -= copysign(1 / end.pitch_angle_rad, end.signed_radius_mm)
        total += (along + step * turned) / pitch_mm + wrapped * turned
    return total


@equation(
    "take_ups.length_range",
    symbol="X",
    unit="object",
    sources=(Source(_GEOMETRY, "least and greatest of a convex function on an interval", "derived"),),
)
def length_range(*, wheels: Sequence[Wheel], pitch_mm: float, travel: Travel, slide: Slide) -> LengthRange:
    """Least and greatest length of a loop while one wheel moves over its travel.

    Equation:
        X(s) is convex: greatest at one end, least where dX/ds = 0 or at the other end

    Args:
        wheels: The wheels in path order, [object].
        pitch_mm: Pitch of the chain, [mm].
        travel: Sense in which the chain runs round the loop, [text].
        slide: The wheel that moves, its direction and the ends of its travel, [object].

    Returns:
        Both lengths and the travels at which they are reached.

    Raises:
        OutOfRange: ``range_reversed``; or the wheel leaves the loop within its travel, ``travel_leaves_loop``.

    Validity: as for ``loops.path``. Neighbouring parts that the moving wheel may foul are not looked at.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> wheel = {"pitch_radius_mm": 50, "outside_radius_mm": 55, "teeth": None, "side": "inside", "y_mm": 0}
        >>> pair = [Wheel(x_mm=0, **wheel), Wheel(x_mm=300, **wheel)]
        >>> along = Slide(wheel=1, direction_rad=0, minimum_travel_mm=0, maximum_travel_mm=20)
        >>> length_range(wheels=pair, pitch_mm=10, travel="clockwise", slide=along).greatest_at_mm
        20
    """
    line = _Line(wheels, pitch_mm, travel, slide)
    return _range(line, line.brackets())


@equation(
    "take_ups.travels_for_pitches",
    symbol="s",
    unit="object",
    sources=(Source(_GEOMETRY, "roots of the loop length in the travel of a wheel", "derived"),),
)
def travels_for_pitches(
    *, wheels: Sequence[Wheel], pitch_mm: float, travel: Travel, slide: Slide, pitch_count: float
) -> tuple[float, ...]:
    """Travels at which a loop takes a given number of pitches.

    Equation:
        X(s) = n, by bracketing between the ends of the travel and the s of dX/ds = 0 where that lies between them

    Args:
        wheels: The wheels in path order, [object].
        pitch_mm: Pitch of the chain, [mm].
        travel: Sense in which the chain runs round the loop, [text].
        slide: The wheel that moves, its direction and the ends of its travel, [object].
        pitch_count: Pitches n of the chain, [pitches].

    Returns:
        One travel in millimetres, or two, in ascending order.

    Raises:
        OutOfRange: ``range_reversed`` or ``travel_leaves_loop``.
        NoSolution: ``chain_too_short`` or ``chain_too_long``, with the nearest length that the travel allows.

    Validity: as for ``take_ups.length_range``.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> wheel = {"pitch_radius_mm": 50, "outside_radius_mm": 55, "teeth": None, "side": "inside", "y_mm": 0}
        >>> pair = [Wheel(x_mm=0, **wheel), Wheel(x_mm=300, **wheel)]
        >>> here = path(wheels=pair, pitch_mm=10, travel="clockwise").length_pitches
        >>> along = Slide(wheel=1, direction_rad=0, minimum_travel_mm=-20, maximum_travel_mm=20)
        >>> set_up = {"wheels": pair, "pitch_mm": 10, "travel": "clockwise", "slide": along}
        >>> travels_for_pitches(**set_up, pitch_count=here + 3)[0]
        15.000
    """
    line = _Line(wheels, pitch_mm, travel, slide)
    found: set[float] = set()
    brackets = line.brackets()
    refusal = _no_travel(_range(line, brackets), pitch_count)
    for low, high in brackets:
        try:
            root = bracketed_root(
                lambda s: line.length(s) - pitch_count,
                low=low,
                high=high,
                tolerance=_TRAVEL_TOLERANCE_MM,
                refusal=refusal,
            )
        except NoSolution:
            continue
        found.add(root)
    if not found:
        raise NoSolution(refusal)
    return tuple(sorted(found))


def _range(line: _Line, brackets: Sequence[tuple[float, float]]) -> LengthRange:
    """Least and greatest length among the ends of the brackets."""
    at = sorted(((line.length(s), s) for s in {s for bracket in brackets for s in bracket}), key=lambda pair: pair[0])
    return LengthRange(*at[0], *at[-1])


def _no_travel(lengths: LengthRange, pitch_count: float) -> Issue:
    if pitch_count < lengths.least_pitches:
        text = f"{pitch_count:g} pitches do not go round; within the travel at least {lengths.least_pitches:.6g} do."
        return Issue("pitch_count", "chain_too_short", text, lengths.least_pitches, pitch_count)
    text = f"{pitch_count:g} pitches stay slack; the travel tightens no more than {lengths.greatest_pitches:.6g}."
    return Issue("pitch_count", "chain_too_long", text, lengths.greatest_pitches, pitch_count)


class _Line:
    """The loop as a function of the travel of its slide."""

    def __init__(self, wheels: Sequence[Wheel], pitch_mm: float, travel: Travel, slide: Slide) -> None:
        least, greatest = slide.minimum_travel_mm, slide.maximum_travel_mm
        if not (isfinite(least) and isfinite(greatest) and least <= greatest):
            text = f"The travel runs from {least:g} to {greatest:g} mm; the first must be the smaller."
            raise OutOfRange(Issue("slide.minimum_travel_mm", "range_reversed", text, greatest, least))
        self.wheels = wheels
        self.pitch_mm = pitch_mm
        self.travel: Travel = travel
        self.slide = slide

    def loop(self, travel_mm: float) -> Loop:
        """The loop at a travel.

        Raises:
            OutOfRange: the chain does not pass all wheels there.
        """
        wheels = moved(wheels=self.wheels, slide=self.slide, travel_mm=travel_mm)
        loop = path(wheels=wheels, pitch_mm=self.pitch_mm, travel=self.travel)
        if not turns_once(loop, self.travel):
            text = f"At a travel of {travel_mm:g} mm the chain does not pass all wheels on the sides told."
            hint = "Narrow the travel to where the chain touches every wheel."
            raise OutOfRange(Issue("slide", "travel_leaves_loop", text, None, travel_mm, hint))
        return loop

    def length(self, travel_mm: float) -> float:
        return self.loop(travel_mm).length_pitches

    def slope(self, travel_mm: float) -> float:
        return length_slope(loop=self.loop(travel_mm), slide=self.slide, pitch_mm=self.pitch_mm)

    def brackets(self) -> list[tuple[float, float]]:
        """The travel cut where the length is least, so that it falls or rises all along each part."""
        low, high = self.slide.minimum_travel_mm, self.slide.maximum_travel_mm
        if not (self.slope(low) < 0 < self.slope(high)):
            return [(low, high)]
        refusal = Issue("slide", "travel_leaves_loop", "The length of the loop has no least value within the travel.")
        turn = bracketed_root(self.slope, low=low, high=high, tolerance=_TRAVEL_TOLERANCE_MM, refusal=refusal)
        return [(low, turn), (turn, high)]


def _with_worn_chain(wheels: Sequence[Wheel], pitch_mm: float, travel: Travel, elongation_percent: float) -> Loop:
    """The loop as a worn chain runs: on toothed wheels it rides out to where its longer pitch spans one tooth."""
    factor = 1 + elongation_percent / 100
    worn = [
        wheel if wheel.teeth is None else wheel._replace(pitch_radius_mm=wheel.pitch_radius_mm * factor)
        for wheel in wheels
    ]
    return path(wheels=worn, pitch_mm=pitch_mm * factor, travel=travel)


@equation(
    "take_ups.wear_reserve",
    symbol="e",
    unit="%",
    sources=(Source(_GEOMETRY, "pitch at which the loop at the end of its travel takes the chain", "derived"),),
)
def wear_reserve(*, wheels: Sequence[Wheel], pitch_mm: float, travel: Travel, slide: Slide, pitch_count: int) -> float:
    """Elongation of a chain at which its take-up comes to the end of its travel.

    Equation:
        X(s_end; p (1 + e/100)) = n, with toothed wheels at R (1 + e/100), since the worn chain rides out on the teeth

    Args:
        wheels: The wheels in path order, at the nominal pitch, [object].
        pitch_mm: Nominal pitch p of the chain, [mm].
        travel: Sense in which the chain runs round the loop, [text].
        slide: The wheel of the take-up, its direction and the ends of its travel, [object].
        pitch_count: Pitches n of the chain, [pitches].

    Returns:
        Mean elongation e, [%] of the nominal pitch; zero where new chain already needs the whole travel, and
        20 where there is more than that.

    Raises:
        OutOfRange: ``range_reversed`` or ``travel_leaves_loop``.
        NoSolution: ``chain_too_long``: new chain is longer than the loop at the end of the travel.

    Validity: taut strands, wear equal on all joints. Slack that is left in and stretch under load use the reserve too.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> from service.core.pitch_circles import pitch_radius
        >>> r = pitch_radius(teeth=20, pitch_mm=10)
        >>> wheel = {"pitch_radius_mm": r, "outside_radius_mm": r + 3, "teeth": 20, "side": "inside", "y_mm": 0}
        >>> pair = [Wheel(x_mm=0, **wheel), Wheel(x_mm=300, **wheel)]
        >>> along = Slide(wheel=1, direction_rad=0, minimum_travel_mm=0, maximum_travel_mm=6)
        >>> wear_reserve(wheels=pair, pitch_mm=10, travel="clockwise", slide=along, pitch_count=80)
        2.00
    """
    lengths = length_range(wheels=wheels, pitch_mm=pitch_mm, travel=travel, slide=slide)
    refusal = _no_travel(lengths, pitch_count)
    if lengths.greatest_pitches < pitch_count:
        raise NoSolution(refusal)
    at_end = moved(wheels=wheels, slide=slide, travel_mm=lengths.greatest_at_mm)

    def room(elongation_percent: float) -> float:
        try:
            worn = _with_worn_chain(at_end, pitch_mm, travel, elongation_percent)
        except OutOfRange:
            return -1.0  # riding out so far, the chain of one wheel meets the next
        return worn.length_pitches - pitch_count

    if room(GREATEST_ELONGATION_PERCENT) >= 0:
        return GREATEST_ELONGATION_PERCENT
    return bracketed_root(
        room,
        low=0.0,
        high=GREATEST_ELONGATION_PERCENT,
        tolerance=_ELONGATION_TOLERANCE_PERCENT,
        refusal=refusal,
    )
