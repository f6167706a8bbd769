"""A chain hanging freely between two supports, exactly: its shape, length and tensions.

The shape is y = c cosh(x/c) with the parameter c = H/(w g): horizontal tension over weight per length. Span a and rise
h are the horizontal and vertical distances of the supports. Half the span over the parameter, q = a/(2 c), runs from
zero for a taut chain upwards and is what the solvers look for.
"""

from __future__ import annotations

from math import asinh, cosh, hypot, isfinite, log1p, sinh, sqrt
from typing import TYPE_CHECKING, NamedTuple

from service.core.conversions import FREE_FALL_M_S2
from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import at_most, not_negative, positive
from service.core.roots import bracketed_root

if TYPE_CHECKING:
    from collections.abc import Callable

_STATICS = Source("plane-geometry", "equilibrium of a hanging chain", "derived")
_SERIES_LIMIT = 0.5
_SERIES = (156.0, 110.0, 72.0, 42.0, 20.0)
"""Ratios of neighbouring terms of sinh q - q, in q squared, last term first."""

GREATEST_SAG_RATIO = 100.0
"""Sag or excess over the distance of the supports up to which a chain is computed (ours; strands hang by per cents)."""

GREATEST_HALF_ANGLE = 300.0
"""Half span over parameter beyond which a chain hangs in two all but vertical lines (ours; keeps cosh finite)."""


LEAST_HALF_ANGLE = 1e-12
"""Half span over parameter below which a strand is as good as straight (ours)."""

LEAST_SPAN_MM = 1e-3
"""Below this horizontal distance supports stand straight above each other (ours)."""


class HangingChain(NamedTuple):
    """The shape of a chain at rest; horizontal distances count from the lower support.

    Attributes:
        length_mm: Length of the chain along its curve.
        excess_length_mm: Length less the straight distance of the supports.
        sag_mm: Greatest vertical distance below the straight line between the supports.
        sag_at_mm: Horizontal distance of that place.
        lowest_at_mm: Horizontal distance of the vertex; negative where the chain rises all along.
    """

    length_mm: float
    excess_length_mm: float
    sag_mm: float
    sag_at_mm: float
    lowest_at_mm: float


class EndTensions(NamedTuple):
    """Tension of a hanging chain: its horizontal part, equal everywhere, and the whole at either support."""

    horizontal_n: float
    lower_n: float
    upper_n: float


@equation("catenary.hanging_chain", symbol="s", unit="object", sources=(_STATICS,))
def hanging_chain(*, span_mm: float, rise_mm: float, parameter_mm: float) -> HangingChain:
    """Length and sag of a chain between supports at the same or at different heights.

    Equation:
        q = a/(2 c);  m = asinh(h q/(a sinh q));  s = sqrt(h^2 + (2 c sinh q)^2);  x_lowest = a/2 - c m
        sag where the slope is h/a = sinh u, d = u - m + q:  f = c [2 cosh u sinh^2(d/2) - sinh u (sinh d - d)]

    Args:
        span_mm: Horizontal distance a of the supports, [mm]; a >= 0.001.
        rise_mm: Vertical distance h of the supports, [mm]; h >= 0.
        parameter_mm: Parameter c of the catenary, [mm]; c > 0.

    Returns:
        The shape of the chain.

    Raises:
        OutOfRange: span or parameter is not positive, the rise is negative, or the chain hangs too deep.

    Validity: a chain at rest, long in comparison with its pitch, hanging free.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> hanging_chain(span_mm=2000, rise_mm=0, parameter_mm=12506.661).sag_mm
        40.000
    """
    q, middle = _angles(span_mm, rise_mm, parameter_mm)
    width = 2 * parameter_mm * sinh(q)
    length = hypot(width, rise_mm)
    chord = hypot(span_mm, rise_mm)
    excess = 2 * parameter_mm * _sinh_less_argument(q) * (width + span_mm) / (length + chord)
    place, sag = _deepest(q, rise_mm / span_mm)
    lowest = span_mm / 2 - parameter_mm * middle
    return HangingChain(length, excess, sag * parameter_mm, place * parameter_mm, lowest)


@equation("catenary.end_tensions", symbol="T", unit="object", sources=(_STATICS,))
def end_tensions(*, span_mm: float, rise_mm: float, parameter_mm: float, mass_per_length_kg_m: float) -> EndTensions:
    """Tensions of a chain hanging between supports at the same or at different heights.

    Equation:
        H = w g c;  q = a/(2 c);  m = asinh(h q/(a sinh q));  T = H cosh(m -+ q)

    Args:
        span_mm: Horizontal distance a of the supports, [mm]; a >= 0.001.
        rise_mm: Vertical distance h of the supports, [mm]; h >= 0.
        parameter_mm: Parameter c of the catenary, [mm]; c > 0.
        mass_per_length_kg_m: Mass w of the chain, [kg/m]; w > 0.

    Returns:
        Horizontal part H and both end tensions, which differ by the weight w g h of a chain as long as the rise.

    Raises:
        OutOfRange: span, parameter or mass is not positive, the rise is negative, or the chain hangs too deep.

    Validity: as for ``catenary.hanging_chain``; a running chain has its centrifugal tension besides.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> end_tensions(span_mm=2000, rise_mm=0, parameter_mm=12506.661, mass_per_length_kg_m=6.5).upper_n
        799.7646
    """
    positive("mass_per_length_kg_m", mass_per_length_kg_m)
    q, middle = _angles(span_mm, rise_mm, parameter_mm)
    horizontal = mass_per_length_kg_m * FREE_FALL_M_S2 * parameter_mm / 1000
    return EndTensions(horizontal, horizontal * cosh(middle - q), horizontal * cosh(middle + q))


@equation("catenary.parameter_from_excess", symbol="c", unit="mm", sources=(_STATICS,))
def parameter_from_excess(*, span_mm: float, rise_mm: float, excess_length_mm: float) -> float:
    """Parameter of the catenary of a chain that is longer than the distance of its supports.

    Equation:
        s = sqrt(a^2 + h^2) + E;  sinh q / q = sqrt(s^2 - h^2)/a;  c = a/(2 q)

    Args:
        span_mm: Horizontal distance a of the supports, [mm]; a >= 0.001.
        rise_mm: Vertical distance h of the supports, [mm]; h >= 0.
        excess_length_mm: Length of the chain less the straight distance of its supports, E, [mm]; E > 0.

    Returns:
        Parameter c, [mm].

    Raises:
        OutOfRange: span or excess is not positive, the rise is negative, or the excess is out of all proportion.

    Validity: as for ``catenary.hanging_chain``.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> parameter_from_excess(span_mm=2000, rise_mm=0, excess_length_mm=2.1317428)
        12506.66
    """
    chord = _check_slack(span_mm, rise_mm, "excess_length_mm", excess_length_mm)
    length = chord + excess_length_mm
    width = sqrt((length - rise_mm) * (length + rise_mm))
    surplus = excess_length_mm * (length + chord) / (span_mm * (width + span_mm))
    return _parameter(
        span_mm, min(sqrt(6 * surplus), 2 + 2 * log1p(surplus)), lambda q: _sinh_less_argument(q) / q - surplus
    )


@equation("catenary.parameter_from_sag", symbol="c", unit="mm", sources=(_STATICS,))
def parameter_from_sag(*, span_mm: float, rise_mm: float, sag_mm: float) -> float:
    """Parameter of the catenary of a chain with a given sag.

    Equation:
        the c at which ``catenary.hanging_chain`` has the sag f; with level supports c (cosh(a/(2 c)) - 1) = f

    Args:
        span_mm: Horizontal distance a of the supports, [mm]; a >= 0.001.
        rise_mm: Vertical distance h of the supports, [mm]; h >= 0.
        sag_mm: Greatest vertical distance f below the straight line between the supports, [mm]; f > 0.

    Returns:
        Parameter c, [mm].

    Raises:
        OutOfRange: span or sag is not positive, the rise is negative, or the sag is out of all proportion.

    Validity: as for ``catenary.hanging_chain``.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> parameter_from_sag(span_mm=2000, rise_mm=0, sag_mm=40)
        12506.661
    """
    chord = _check_slack(span_mm, rise_mm, "sag_mm", sag_mm)
    slope, ratio = rise_mm / span_mm, sag_mm / span_mm
    return _parameter(
        span_mm, min(4 * sag_mm / chord, 2 + 2 * log1p(ratio)), lambda q: _deepest(q, slope)[1] / (2 * q) - ratio
    )


@equation("catenary.parameter_from_tension", symbol="c", unit="mm", sources=(_STATICS,))
def parameter_from_tension(*, horizontal_tension_n: float, mass_per_length_kg_m: float) -> float:
    """Parameter of the catenary of a chain under a given horizontal tension.

    Equation:
        c = H/(w g)

    Args:
        horizontal_tension_n: Horizontal part H of the tension, [N]; H > 0.
        mass_per_length_kg_m: Mass w of the chain, [kg/m]; w > 0.

    Returns:
        Parameter c, [mm].

    Raises:
        OutOfRange: tension or mass is not positive.

    Validity: as for ``catenary.hanging_chain``.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> parameter_from_tension(horizontal_tension_n=9.80665, mass_per_length_kg_m=2)
        500.000
    """
    positive("horizontal_tension_n", horizontal_tension_n)
    positive("mass_per_length_kg_m", mass_per_length_kg_m)
    return 1000 * horizontal_tension_n / (mass_per_length_kg_m * FREE_FALL_M_S2)


@equation("catenary.parameter_from_length_and_sag", symbol="c", unit="mm", sources=(_STATICS,))
def parameter_from_length_and_sag(*, length_mm: float, sag_mm: float) -> float:
    """Parameter of the catenary of a chain of known length and sag between level supports.

    Equation:
        c = (s^2/4 - f^2)/(2 f)

    Args:
        length_mm: Length s of the chain, [mm]; s > 2 f.
        sag_mm: Sag f below the supports, [mm]; f > 0.

    Returns:
        Parameter c, [mm].

    Raises:
        OutOfRange: the sag is not positive, or half the length or more.

    Validity: level supports.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> parameter_from_length_and_sag(length_mm=625, sag_mm=25)
        1940.625
    """
    positive("sag_mm", sag_mm)
    if not (isfinite(length_mm) and length_mm > 2 * sag_mm):
        text = f"A chain of {length_mm:g} mm cannot hang {sag_mm:g} mm deep between two supports."
        raise OutOfRange(Issue("sag_mm", "sag_excessive", text, length_mm / 2, sag_mm))
    return (length_mm / 2 - sag_mm) * (length_mm / 2 + sag_mm) / (2 * sag_mm)


@equation("catenary.span_from_length", symbol="a", unit="mm", sources=(_STATICS,))
def span_from_length(*, length_mm: float, parameter_mm: float) -> float:
    """Span that a chain of known length bridges between level supports.

    Equation:
        a = 2 c asinh(s/(2 c))

    Args:
        length_mm: Length s of the chain, [mm]; s > 0.
        parameter_mm: Parameter c of the catenary, [mm]; c > 0.

    Returns:
        Span a, [mm].

    Raises:
        OutOfRange: length or parameter is not positive.

    Validity: level supports.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> span_from_length(length_mm=625, parameter_mm=1940.625)
        622.33
    """
    positive("length_mm", length_mm)
    positive("parameter_mm", parameter_mm)
    return 2 * parameter_mm * asinh(length_mm / (2 * parameter_mm))


@equation("catenary.parabola_tension_error", symbol="dH/H", unit="%", sources=(_STATICS,))
def parabola_tension_error(*, span_mm: float, parameter_mm: float) -> float:
    """By how much the parabola of the same sag misses the tension of the catenary between level supports.

    Equation:
        q = a/(2 c);  f = c (cosh q - 1);  dH/H = a^2/(8 f c) - 1 = q^2/(2 (cosh q - 1)) - 1

    Args:
        span_mm: Span a, [mm]; a > 0.
        parameter_mm: Parameter c of the catenary, [mm]; c > 0.

    Returns:
        Error of the parabola, [%] of the exact tension; negative, near -(4/3) (f/a)^2 of it for a small sag f.

    Raises:
        OutOfRange: an argument is not positive.

    Validity: level supports.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> parabola_tension_error(span_mm=2000, parameter_mm=12506.661)
        -0.053
    """
    positive("span_mm", span_mm)
    positive("parameter_mm", parameter_mm)
    half = span_mm / (4 * parameter_mm)
    return 100 * ((half / sinh(half)) ** 2 - 1)


def _check_supports(span_mm: float, rise_mm: float) -> None:
    not_negative("rise_mm", rise_mm)
    if not (isfinite(span_mm) and span_mm >= LEAST_SPAN_MM):
        text = f"A span of {span_mm:g} mm is none; a strand between supports straight above each other has no sag."
        raise OutOfRange(Issue("span_mm", "must_be_positive", text, LEAST_SPAN_MM, span_mm))


def _angles(span_mm: float, rise_mm: float, parameter_mm: float) -> tuple[float, float]:
    """Half the span, and its middle from the vertex, both over the parameter."""
    _check_supports(span_mm, rise_mm)
    positive("parameter_mm", parameter_mm)
    q = span_mm / (2 * parameter_mm)
    if q < LEAST_HALF_ANGLE:
        text = f"A strand of {span_mm:g} mm under such a tension is taut; its sag is nothing that can be measured."
        raise OutOfRange(
            Issue("parameter_mm", "number_out_of_range", text, span_mm / 2 / LEAST_HALF_ANGLE, parameter_mm)
        )
    if q > GREATEST_HALF_ANGLE:
        text = f"A chain with the parameter {parameter_mm:g} mm hangs far too deep for a span of {span_mm:g} mm."
        least = span_mm / (2 * GREATEST_HALF_ANGLE)
        raise OutOfRange(Issue("parameter_mm", "sag_excessive", text, least, parameter_mm))
    return q, asinh(rise_mm * q / (span_mm * sinh(q)))


def _check_slack(span_mm: float, rise_mm: float, field: str, slack_mm: float) -> float:
    """The straight distance of the supports, once span, rise and slack are in bounds."""
    _check_supports(span_mm, rise_mm)
    positive(field, slack_mm)
    chord = hypot(span_mm, rise_mm)
    at_most(field, slack_mm, GREATEST_SAG_RATIO * chord, code="sag_excessive")
    return chord


def _sinh_less_argument(q: float) -> float:
    """Sinh q - q, by its series near zero where the difference would lose its digits."""
    if q > _SERIES_LIMIT:
        return sinh(q) - q
    total = 1.0
    for ratio in _SERIES:
        total = 1 + q * q / ratio * total
    return q * q * q / 6 * total


def _deepest(q: float, slope: float) -> tuple[float, float]:
    """Horizontal place and depth of the greatest sag over the parameter, without loss of digits for a taut chain."""
    if slope == 0:
        return q, 2 * sinh(q / 2) ** 2
    a, b = slope, slope * q / sinh(q)
    steeper = slope * _sinh_less_argument(q) / sinh(q) * (a + b)
    across = a * sqrt(1 + b * b) + b * sqrt(1 + a * a)
    place = q + (asinh(steeper / across) if across > 0 else 0.0)
    return place, 2 * hypot(1, slope) * sinh(place / 2) ** 2 - slope * _sinh_less_argument(place)


def _parameter(span_mm: float, guess: float, excess: Callable[[float], float]) -> float:
    """Parameter from the half angle q at which a rising function passes zero, near a guess of it."""
    low = high = guess
    while excess(high) < 0:
        high *= 2
    while excess(low) > 0:
        low /= 2
    refusal = Issue("span_mm", "sag_excessive", "No hanging chain fits these supports.", None, span_mm)
    return span_mm / (2 * bracketed_root(excess, low=low, high=high, tolerance=0, refusal=refusal))
