"""Where the take-up of a loop has to stand for a chain length, and what wear its travel takes up.

The length of a taut loop is a convex function of the position of any of its wheels, so that along a line it falls,
rises, or falls and then rises. This gives each bracket below its one root.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Issue, NoSolution
from service.core.roots import bracketed_root, sloped_root

if TYPE_CHECKING:
    from service.core.sliding_loops import SlidingLoop

_GEOMETRY = "plane-geometry"
_TRAVEL_TOLERANCE_MM = 1e-10
_ELONGATION_TOLERANCE_PERCENT = 1e-9

GREATEST_ELONGATION_PERCENT = 20.0
"""Elongation up to which a reserve is worked out: no chain is run so far (ours)."""


class LengthRange(NamedTuple):
    """Least and greatest length of a loop within the travel of a slide, and the travel at which each is reached."""

    least_pitches: float
    least_at_mm: float
    greatest_pitches: float
    greatest_at_mm: float


@equation(
    "take_ups.length_range",
    symbol="X",
    unit="object",
    sources=(Source(_GEOMETRY, "least and greatest of a convex function on an interval", "derived"),),
)
def length_range(*, sliding: SlidingLoop) -> LengthRange:
    """Least and greatest length of a loop while one wheel moves over its travel.

    Equation:
        X(s) is convex: greatest at one end, least where dX/ds = 0 or at the other end

    Args:
        sliding: The loop with the wheel that moves, its direction and the ends of its travel, [object].

    Returns:
        Both lengths and the travels at which they are reached.

    Raises:
        OutOfRange: the wheel leaves the loop within its travel, ``travel_leaves_loop``.

    Validity: as for ``loops.path``. Neighbouring parts that the moving wheel may foul are not looked at.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> from service.core.loops import Wheel, path
        >>> from service.core.sliding_loops import Slide, SlidingLoop
        >>> wheel = {"pitch_radius_mm": 50, "outside_radius_mm": 55, "teeth": None, "side": "inside", "y_mm": 0}
        >>> pair = [Wheel(x_mm=0, **wheel), Wheel(x_mm=300, **wheel)]
        >>> along = Slide(wheel=1, direction_rad=0, minimum_travel_mm=0, maximum_travel_mm=20)
        >>> sliding = SlidingLoop(wheels=pair, pitch_mm=10, travel="clockwise", slide=along)
        >>> length_range(sliding=sliding).greatest_at_mm
        20
    """
    lengths = sorted((sliding.at(s).length, s) for s in {s for bracket in _brackets(sliding) for s in bracket})
    return LengthRange(*lengths[0], *lengths[-1])


@equation(
    "take_ups.travels_for_pitches",
    symbol="s",
    unit="object",
    sources=(Source(_GEOMETRY, "roots of the loop length in the travel of a wheel", "derived"),),
)
def travels_for_pitches(*, sliding: SlidingLoop, pitch_count: float) -> tuple[float, ...]:
    """Travels at which a loop takes a given number of pitches.

    Equation:
        X(s) = n, by bracketing between the ends of the travel and the s of dX/ds = 0 where that lies between them

    Args:
        sliding: The loop with the wheel that moves, its direction and the ends of its travel, [object].
        pitch_count: Pitches n of the chain, [pitches].

    Returns:
        One travel in millimetres, or two, in ascending order.

    Raises:
        OutOfRange: ``travel_leaves_loop``.
        NoSolution: ``chain_too_short`` or ``chain_too_long``, with the nearest length that the travel allows.

    Validity: as for ``take_ups.length_range``.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> from service.core.loops import Wheel, path
        >>> from service.core.sliding_loops import Slide, SlidingLoop
        >>> wheel = {"pitch_radius_mm": 50, "outside_radius_mm": 55, "teeth": None, "side": "inside", "y_mm": 0}
        >>> pair = [Wheel(x_mm=0, **wheel), Wheel(x_mm=300, **wheel)]
        >>> here = path(wheels=pair, pitch_mm=10, travel="clockwise").length_pitches
        >>> along = Slide(wheel=1, direction_rad=0, minimum_travel_mm=-20, maximum_travel_mm=20)
        >>> sliding = SlidingLoop(wheels=pair, pitch_mm=10, travel="clockwise", slide=along)
        >>> travels_for_pitches(sliding=sliding, pitch_count=here + 3)[0]
        15.000
    """
    found: set[float] = set()
    for low, high in _brackets(sliding):
        at_low, at_high = sliding.at(low).length - pitch_count, sliding.at(high).length - pitch_count
        if at_low == 0 or at_high == 0:
            found.add(low if at_low == 0 else high)
        elif at_low * at_high < 0:
            root = sloped_root(
                lambda s: (sliding.at(s).length - pitch_count, sliding.at(s).slope),
                low=low,
                high=high,
                start=low + (high - low) * at_low / (at_low - at_high),
                rising=at_low < 0,
                tolerance=_TRAVEL_TOLERANCE_MM,
            )
            found.add(root)
    if not found:
        raise NoSolution(_no_travel(length_range(sliding=sliding), pitch_count))
    return tuple(sorted(found))


def _brackets(sliding: SlidingLoop) -> list[tuple[float, float]]:
    """The travel cut where the length is least, so that it falls or rises all along each part."""
    low, high = sliding.slide.minimum_travel_mm, sliding.slide.maximum_travel_mm
    if not (sliding.at(low).slope < 0 < sliding.at(high).slope):
        return [(low, high)]
    refusal = Issue("slide", "travel_leaves_loop", "The length of the loop has no least value within the travel.")
    turn = bracketed_root(
        lambda s: sliding.at(s).slope, low=low, high=high, tolerance=_TRAVEL_TOLERANCE_MM, refusal=refusal
    )
    return [(low, turn), (turn, high)]


def _no_travel(lengths: LengthRange, pitch_count: float) -> Issue:
    if pitch_count < lengths.least_pitches:
        text = f"{pitch_count:g} pitches do not go round; within the travel at least {lengths.least_pitches:.6g} do."
        return Issue("pitch_count", "chain_too_short", text, lengths.least_pitches, pitch_count)
    text = f"{pitch_count:g} pitches stay slack; the travel tightens no more than {lengths.greatest_pitches:.6g}."
    return Issue("pitch_count", "chain_too_long", text, lengths.greatest_pitches, pitch_count)


@equation(
    "take_ups.wear_reserve",
    symbol="e",
    unit="%",
    sources=(Source(_GEOMETRY, "pitch at which the loop at the end of its travel takes the chain", "derived"),),
)
def wear_reserve(*, sliding: SlidingLoop, pitch_count: int) -> float:
    """Elongation of a chain at which its take-up comes to the end of its travel.

    Equation:
        X(s_end; p (1 + e/100)) = n, with toothed wheels at R (1 + e/100), since the worn chain rides out on the teeth

    Args:
        sliding: The loop at the nominal pitch p, with the wheel of the take-up and the ends of its travel, [object].
        pitch_count: Pitches n of the chain, [pitches].

    Returns:
        Mean elongation e, [%] of the nominal pitch; zero where new chain already needs the whole travel, and
        20 where there is more than that.

    Raises:
        OutOfRange: ``travel_leaves_loop``.
        NoSolution: ``chain_too_long``: new chain is longer than the loop at the end of the travel.

    Validity: taut strands, wear equal on all joints. Slack that is left in and stretch under load use the reserve too.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> from service.core.pitch_circles import pitch_radius
        >>> from service.core.loops import Wheel
        >>> from service.core.sliding_loops import Slide, SlidingLoop
        >>> r = pitch_radius(teeth=20, pitch_mm=10)
        >>> wheel = {"pitch_radius_mm": r, "outside_radius_mm": r + 3, "teeth": 20, "side": "inside", "y_mm": 0}
        >>> pair = [Wheel(x_mm=0, **wheel), Wheel(x_mm=300, **wheel)]
        >>> along = Slide(wheel=1, direction_rad=0, minimum_travel_mm=0, maximum_travel_mm=6)
        >>> sliding = SlidingLoop(wheels=pair, pitch_mm=10, travel="clockwise", slide=along)
        >>> wear_reserve(sliding=sliding, pitch_count=80)
        2.00
    """
    lengths = length_range(sliding=sliding)
    if lengths.greatest_pitches < pitch_count:
        raise NoSolution(_no_travel(lengths, pitch_count))
    worn = sliding.worn(lengths.greatest_at_mm)

    def room(elongation_percent: float) -> tuple[float, float]:
        found = worn.at(elongation_percent)
        # Riding out so far, the chain of one wheel meets the next.
        return (-1.0, 0.0) if found is None else (found.length - pitch_count, found.slope)

    at_most, _ = room(GREATEST_ELONGATION_PERCENT)
    if at_most >= 0:
        return GREATEST_ELONGATION_PERCENT
    return sloped_root(
        room,
        low=0.0,
        high=GREATEST_ELONGATION_PERCENT,
        start=0.0,
        rising=False,
        tolerance=_ELONGATION_TOLERANCE_PERCENT,
    )
