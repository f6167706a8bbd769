"""Slack of the idle strand: sag, the chain length that it takes, and the centre distance that gives it."""

from __future__ import annotations

from math import inf, sqrt

from service.core.conversions import FREE_FALL_M_S2
from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import not_negative, positive

SAG_TAKE_OFF_FRACTION = 0.002
"""Share of the computed centre distance taken off to give the slack strand its sag (bhandari-3 Example 14.4,
secondary)."""

PARABOLA_SAG_MAX_FRACTION = 0.1
"""Sag over span above which the parabola is refused: its error in tension, 4/3 (f/a)^2, passes 1.3 % (derived)."""


def _check_span(span_mm: float, sag_mm: float) -> None:
    positive("span_mm", span_mm)
    not_negative("sag_mm", sag_mm)
    if sag_mm > PARABOLA_SAG_MAX_FRACTION * span_mm:
        raise OutOfRange(
            Issue(
                "sag_mm",
                "sag_excessive",
                f"A sag of {sag_mm:g} mm on {span_mm:g} mm is more than a tenth of the span.",
                PARABOLA_SAG_MAX_FRACTION * span_mm,
                sag_mm,
                "Use the catenary for a strand that hangs so deep.",
            )
        )


@equation(
    "slack.centre_distance_take_off",
    symbol="a",
    unit="mm",
    sources=(Source("bhandari-3", "Example 14.4", "secondary"),),
)
def centre_distance_with_take_off_mm(*, centre_distance_mm: float) -> float:
    """Centre distance reduced by the share that gives the slack strand its sag.

    Equation:
        a' = (1 - 0.002) a

    Args:
        centre_distance_mm: Centre distance a of the taut chain, [mm]; a > 0.

    Returns:
        Centre distance a' to set, [mm].

    Raises:
        OutOfRange: the centre distance is not positive.

    Validity: horizontal drive with adjustable centres; other books take 2 to 5 mm instead.
    Deviations: none.
    Sources: bhandari-3 Example 14.4 [secondary].

    Examples:
        >>> centre_distance_with_take_off_mm(centre_distance_mm=1000.0)
        998.0
    """
    positive("centre_distance_mm", centre_distance_mm)
    return (1.0 - SAG_TAKE_OFF_FRACTION) * centre_distance_mm


@equation(
    "slack.excess_length",
    symbol="e",
    unit="mm",
    sources=(Source("plane-geometry", "arc of a flat parabola", "derived"),),
)
def excess_length_mm(*, span_mm: float, sag_mm: float) -> float:
    """Length by which a sagging strand exceeds its span.

    Equation:
        e = 8 f^2 / (3 a)

    Args:
        span_mm: Span a of the strand between its tangent points, [mm]; a > 0.
        sag_mm: Sag f at mid-span, square to the span, [mm]; 0 <= f <= a/10.

    Returns:
        Excess length e, [mm].

    Raises:
        OutOfRange: the span is not positive, or the sag is negative or more than a tenth of the span.

    Validity: sag up to a tenth of the span, where the excess of a catenary is 1.8 % smaller (0.07 % at 2 % sag).
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> excess_length_mm(span_mm=600.0, sag_mm=12.0)
        0.64
    """
    _check_span(span_mm, sag_mm)
    return 8.0 * sag_mm * sag_mm / (3.0 * span_mm)


@equation(
    "slack.sag_of_excess",
    symbol="f",
    unit="mm",
    sources=(Source("plane-geometry", "arc of a flat parabola turned round", "derived"),),
)
def sag_of_excess_mm(*, span_mm: float, excess_length_mm: float) -> float:
    """Sag of a strand that is longer than its span.

    Equation:
        f = sqrt(3 a e / 8)

    Args:
        span_mm: Span a of the strand between its tangent points, [mm]; a > 0.
        excess_length_mm: Excess length e, [mm]; e >= 0.

    Returns:
        Sag f at mid-span, [mm].

    Raises:
        OutOfRange: the span is not positive, the excess is negative, or the sag is more than a tenth of the span.

    Validity: sag up to a tenth of the span.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> sag_of_excess_mm(span_mm=600.0, excess_length_mm=0.64)
        12.0
    """
    positive("span_mm", span_mm)
    not_negative("excess_length_mm", excess_length_mm)
    sag = sqrt(3.0 * span_mm * excess_length_mm / 8.0)
    _check_span(span_mm, sag)
    return sag


@equation(
    "slack.centre_distance_shortening",
    symbol="da",
    unit="mm",
    sources=(Source("plane-geometry", "half of the excess length of one strand", "derived"),),
)
def centre_distance_shortening_mm(*, span_mm: float, sag_mm: float) -> float:
    """Amount by which the centres are brought together to give the slack strand a sag.

    Equation:
        da = 4 f^2 / (3 a)

    Args:
        span_mm: Span a of the slack strand, [mm]; a > 0.
        sag_mm: Sag f at mid-span, [mm]; 0 <= f <= a/10.

    Returns:
        Shortening da of the centre distance, [mm].

    Raises:
        OutOfRange: the span is not positive, or the sag is negative or more than a tenth of the span.

    Validity: two wheels of about equal size, where one unit of centre distance takes up two of chain.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> centre_distance_shortening_mm(span_mm=600.0, sag_mm=12.0)
        0.32
    """
    _check_span(span_mm, sag_mm)
    return 4.0 * sag_mm * sag_mm / (3.0 * span_mm)


@equation(
    "slack.sag_tension",
    symbol="Ff",
    unit="N",
    sources=(Source("plane-geometry", "moment balance of half the strand about its end", "derived"),),
)
def sag_tension_n(*, mass_per_length_kg_m: float, span_m: float, sag_m: float) -> float:
    """Tension of a level strand from its sag.

    Equation:
        Ff = q g a^2 / (8 f)

    Args:
        mass_per_length_kg_m: Mass of the chain q, [kg/m]; q > 0.
        span_m: Span a of the strand, [m]; a > 0.
        sag_m: Sag f at mid-span, [m]; 0 < f <= a/10.

    Returns:
        Horizontal tension Ff, [N].

    Raises:
        OutOfRange: a value is not positive, or the sag is more than a tenth of the span.

    Validity: level strand; 0.05 % below the catenary at 2 % sag, 1.3 % at 10 %.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> sag_tension_n(mass_per_length_kg_m=6.5, span_m=2.0, sag_m=0.04)
        796.79
    """
    if not (0.0 < mass_per_length_kg_m < inf and 0.0 < sag_m <= PARABOLA_SAG_MAX_FRACTION * span_m < inf):
        positive("mass_per_length_kg_m", mass_per_length_kg_m)
        positive("sag_m", sag_m)
        _check_span(1000.0 * span_m, 1000.0 * sag_m)
    return mass_per_length_kg_m * FREE_FALL_M_S2 * span_m * span_m / (8.0 * sag_m)
