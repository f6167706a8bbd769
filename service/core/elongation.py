"""Elongation of worn chain: from what was measured to per cent, and from a limit back to a length."""

from __future__ import annotations

from math import isclose
from typing import NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import positive

_TRADE = "trade-chain-wear"

BINARY_NOISE = 1e-12
"""Relative difference below which two lengths are the same: what decimal fractions lose as floats."""


def _at_least_one(field: str, count: int) -> None:
    if count < 1:
        raise OutOfRange(
            Issue(field, "must_be_positive", f"{field} is {count}; at least one pitch has to be measured.", 1, count)
        )


@equation(
    "elongation.from_length",
    symbol="e",
    unit="%",
    sources=(
        Source(_TRADE, "elongation in per cent of the nominal length", "secondary"),
        Source("plane-geometry", "increase over nominal length, in per cent of it", "derived"),
    ),
)
def from_length(*, length_mm: float, pitch_count: int, pitch_mm: float) -> float:
    """Elongation from the length over a number of pitches.

    Equation:
        e = 100 (L - n p)/(n p)

    Args:
        length_mm: Measured length L, pin centre to pin centre or between like edges, [mm]; L > 0.
        pitch_count: Pitches n within the length, not pins, [pitches]; n >= 1.
        pitch_mm: Nominal pitch p, [mm]; p > 0.

    Returns:
        Elongation e, [%] of the nominal length; negative if the chain reads shorter than nominal.

    Raises:
        OutOfRange: length, count or pitch is not positive.

    Validity: chain under tension; whatever slack is in the span is missing from L.
    Deviations: lengths that agree to twelve digits are equal, since n p is not exact in binary (24 x 12.7 mm).
    Sources: trade-chain-wear, in-service measuring [secondary]; plane-geometry [derived].

    Examples:
        >>> from_length(length_mm=24.75 * 25.4, pitch_count=24, pitch_mm=25.4)
        3.125
    """
    positive("length_mm", length_mm)
    _at_least_one("pitch_count", pitch_count)
    positive("pitch_mm", pitch_mm)
    nominal_mm = pitch_count * pitch_mm
    if isclose(length_mm, nominal_mm, rel_tol=BINARY_NOISE):
        return 0.0
    return 100 * (length_mm - nominal_mm) / nominal_mm


@equation(
    "elongation.between_lengths",
    symbol="e",
    unit="%",
    sources=(Source("doe-std-1090-96", "load chain inspection, used against unused length", "published"),),
)
def between_lengths(*, used_length_mm: float, unused_length_mm: float) -> float:
    """Elongation of a used stretch against the same number of unused links.

    Equation:
        e = 100 (L - L0)/L0

    Args:
        used_length_mm: Length L over the links that work, [mm]; L > 0.
        unused_length_mm: Length L0 over as many unworn links, measured the same way, [mm]; L0 > 0.

    Returns:
        Elongation e, [%] of the unused length.

    Raises:
        OutOfRange: a length is not positive.

    Validity: both lengths over the same number of links and between the same faces, inside or outside.
    Deviations: none.
    Sources: doe-std-1090-96, welded-link load chain [published].

    Examples:
        >>> between_lengths(used_length_mm=309.6, unused_length_mm=305.0)
        1.51
    """
    positive("used_length_mm", used_length_mm)
    positive("unused_length_mm", unused_length_mm)
    return 100 * (used_length_mm - unused_length_mm) / unused_length_mm


@equation(
    "elongation.pitches_between_pins",
    symbol="n",
    unit="pitches",
    sources=(
        Source("tm-10-3930-671-24", "lift chain wear criteria: span is pins counted, the first included", "published"),
        Source("plane-geometry", "gaps between posts", "derived"),
    ),
)
def pitches_between_pins(*, pins_counted: int) -> int:
    """Pitches spanned by a number of pins, the first and the last counted.

    Equation:
        n = z - 1

    Args:
        pins_counted: Pins z from one end of the measured length to the other, [-]; z >= 2.

    Returns:
        Pitches n, [pitches].

    Raises:
        OutOfRange: fewer than two pins.

    Validity: every chain whose pins are all counted, the first and last included.
    Deviations: the source gives the span in pins; taking one off is plain counting.
    Sources: tm-10-3930-671-24 [published]; plane-geometry [derived].

    Examples:
        >>> pitches_between_pins(pins_counted=13)
        12
    """
    if pins_counted < 2:
        raise OutOfRange(
            Issue("pins_counted", "pins_below_two", f"{pins_counted} pins span no pitch.", 2, pins_counted)
        )
    return pins_counted - 1


@equation(
    "elongation.mean_of_roller_lengths",
    symbol="L",
    unit="mm",
    sources=(Source(_TRADE, "length as mean of inside and outside of the rollers", "secondary"),),
)
def mean_of_roller_lengths(*, inner_length_mm: float, outer_length_mm: float) -> float:
    """Length between pin centres from the lengths inside and outside the end rollers.

    Equation:
        L = (L1 + L2)/2

    Args:
        inner_length_mm: Length L1 between the facing sides of the end rollers, [mm]; L1 > 0.
        outer_length_mm: Length L2 over the far sides of the end rollers, [mm]; L2 > L1.

    Returns:
        Length L, [mm]; roller diameter and roller play drop out.

    Raises:
        OutOfRange: a length is not positive, or the inner is not the shorter (code ``fields_swapped``).

    Validity: both lengths between the same two rollers.
    Deviations: none.
    Sources: trade-chain-wear, two texts [secondary].

    Examples:
        >>> mean_of_roller_lengths(inner_length_mm=146.2, outer_length_mm=162.0)
        154.1
    """
    positive("inner_length_mm", inner_length_mm)
    positive("outer_length_mm", outer_length_mm)
    if not inner_length_mm < outer_length_mm:
        raise OutOfRange(
            Issue(
                "inner_length_mm",
                "fields_swapped",
                "The length inside the rollers must be shorter than the length over them.",
                outer_length_mm,
                inner_length_mm,
                "Exchange the two lengths if they were entered the wrong way round.",
            )
        )
    return (inner_length_mm + outer_length_mm) / 2


@equation(
    "elongation.from_takeup",
    symbol="e",
    unit="%",
    sources=(Source("plane-geometry", "growth of a loop by take-up travel and removed pitches", "derived"),),
)
def from_takeup(
    *,
    takeup_travel_mm: float,
    runs: int,
    loop_pitch_count: int,
    pitches_removed: int,
    pitches_on_wheels: float,
    pitch_mm: float,
) -> float:
    """Elongation from the travel of the take-up since the chain was new.

    Equation:
        e = 100 (r s + k p)/[(X - k - Y) p]

    Args:
        takeup_travel_mm: Travel s of the take-up since the chain was new, outwards positive, [mm].
        runs: Runs of chain r that the travel lengthens, 2 for a tail shaft between two runs, [-]; r >= 1.
        loop_pitch_count: Pitches X of the loop when new, [pitches].
        pitches_removed: Pitches k taken out since, [pitches]; k >= 0.
        pitches_on_wheels: Pitches Y that lie on toothed wheels, [pitches]; 0 <= Y < X - k. Of two toothed wheels
            Y = X - 2 C/p with the centre distance C on the day the chain was new, or nearly half of their teeth
            together. Worn chain rides out on the teeth and lies on them with as many pitches as before, so that they
            do not move the take-up. On plain wheels it does: they do not count here.
        pitch_mm: Nominal pitch p, [mm]; p > 0.

    Returns:
        Mean elongation e of the whole loop, [%]. The worn part that bends under load may be longer.

    Raises:
        OutOfRange: pitch, runs or counts are impossible.

    Validity: frame and wheels unmoved otherwise, the same sag as when new; the loop had X p on the day it was new.
        Exact for two toothed wheels by Y = X - 2 C/p and k = 0, since the whole drive grows in proportion; half of the
        teeth in its place reads 2.4 % of its value low between 12 and 60 teeth 35 pitches apart, nothing between equal
        wheels.
    Deviations: none.
    Sources: plane-geometry: (X - k - Y) p (1 + e) = (X - Y) p + r s, the strands now and then [derived].

    Examples:
        >>> chain = {"runs": 2, "loop_pitch_count": 200, "pitches_removed": 0, "pitch_mm": 101.6}
        >>> from_takeup(takeup_travel_mm=85, pitches_on_wheels=0, **chain)
        0.8366
        >>> from_takeup(takeup_travel_mm=85, pitches_on_wheels=12, **chain)
        0.8900
    """
    positive("pitch_mm", pitch_mm)
    positive("runs", runs)
    if not 0 <= pitches_removed < loop_pitch_count:
        raise OutOfRange(
            Issue(
                "pitches_removed",
                "pitches_removed_impossible",
                f"{pitches_removed} pitches cannot be taken out of a loop of {loop_pitch_count}.",
                loop_pitch_count,
                pitches_removed,
            )
        )
    left = loop_pitch_count - pitches_removed
    if not 0 <= pitches_on_wheels < left:
        text = f"{pitches_on_wheels:g} pitches cannot lie on the wheels of a loop of {left}."
        raise OutOfRange(Issue("pitches_on_wheels", "pitches_on_wheels_impossible", text, left, pitches_on_wheels))
    growth_mm = runs * takeup_travel_mm + pitches_removed * pitch_mm
    return 100 * growth_mm / ((left - pitches_on_wheels) * pitch_mm)


@equation(
    "elongation.links_outside_length",
    symbol="L",
    unit="mm",
    sources=(Source("plane-geometry", "links of a round-link chain pulled straight", "derived"),),
)
def links_outside_length(*, pitch_mm: float, wire_diameter_mm: float, link_count: int) -> float:
    """Nominal length over the outside of a number of round links.

    Equation:
        L = n p + 2 d

    Args:
        pitch_mm: Pitch p, the inside length of a link, [mm]; p > 0.
        wire_diameter_mm: Nominal diameter d of the wire, [mm]; d > 0.
        link_count: Links n, [-]; n >= 1.

    Returns:
        Length L, [mm]. The length inside the end links is n p.

    Raises:
        OutOfRange: a size or the count is not positive.

    Validity: links pulled straight, crown on crown, unworn.
    Deviations: none.
    Sources: plane-geometry: each link rests inside the next, so that only the two end crowns are added [derived].

    Examples:
        >>> links_outside_length(pitch_mm=30, wire_diameter_mm=10, link_count=11)
        350
    """
    positive("pitch_mm", pitch_mm)
    positive("wire_diameter_mm", wire_diameter_mm)
    positive("link_count", link_count)
    return link_count * pitch_mm + 2 * wire_diameter_mm


@equation(
    "elongation.length_at",
    symbol="L",
    unit="mm",
    sources=(Source("plane-geometry", "inverse of the elongation in per cent", "derived"),),
)
def length_at(*, elongation_percent: float, pitch_count: int, pitch_mm: float) -> float:
    """Length that a number of pitches has at a given elongation, such as a limit.

    Equation:
        L = n p (1 + e/100)

    Args:
        elongation_percent: Elongation e, [%].
        pitch_count: Pitches n, [pitches]; n >= 1.
        pitch_mm: Nominal pitch p, [mm]; p > 0.

    Returns:
        Length L, [mm].

    Raises:
        OutOfRange: count or pitch is not positive.

    Validity: the exact inverse of ``elongation.from_length``.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> length_at(elongation_percent=3, pitch_count=24, pitch_mm=25.4) / 25.4
        24.72
    """
    _at_least_one("pitch_count", pitch_count)
    positive("pitch_mm", pitch_mm)
    return pitch_count * pitch_mm * (1 + elongation_percent / 100)


class Miscount(NamedTuple):
    """Elongation as counted and as it would be with one pitch fewer or more, in per cent."""

    one_fewer_percent: float | None
    as_counted_percent: float
    one_more_percent: float


@equation(
    "elongation.miscount",
    symbol="e",
    unit="object",
    sources=(Source("plane-geometry", "the same length over n - 1, n and n + 1 pitches", "derived"),),
)
def miscount(*, length_mm: float, pitch_count: int, pitch_mm: float) -> Miscount:
    """What the elongation would be if the count were out by one.

    Equation:
        e(i) = 100 (L - i p)/(i p) for i = n - 1, n, n + 1

    Args:
        length_mm: Measured length L, [mm]; L > 0.
        pitch_count: Pitches n as counted, [pitches]; n >= 1.
        pitch_mm: Nominal pitch p, [mm]; p > 0.

    Returns:
        The three figures, [object] of per cents; none for one fewer where only one pitch was counted.

    Raises:
        OutOfRange: length, count or pitch is not positive.

    Validity: as for ``elongation.from_length``. One pitch in n is worth about 100/n per cent.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> miscount(length_mm=314.325, pitch_count=13, pitch_mm=25.4).one_fewer_percent
        3.125
    """
    fewer = None
    if pitch_count > 1:
        fewer = from_length(length_mm=length_mm, pitch_count=pitch_count - 1, pitch_mm=pitch_mm)
    return Miscount(
        one_fewer_percent=fewer,
        as_counted_percent=from_length(length_mm=length_mm, pitch_count=pitch_count, pitch_mm=pitch_mm),
        one_more_percent=from_length(length_mm=length_mm, pitch_count=pitch_count + 1, pitch_mm=pitch_mm),
    )
