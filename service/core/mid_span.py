"""Movement of a slack strand at mid-span, as a hand finds it, and the excess length that it comes from."""

from __future__ import annotations

from math import hypot, sqrt

from service.core.equations import Source, equation
from service.core.guards import positive

_TRIANGLES = Source("plane-geometry", "two right-angled triangles with half the chain as hypotenuse", "derived")


@equation("mid_span.movement_from_excess", symbol="M", unit="mm", sources=(_TRIANGLES,))
def movement_from_excess(*, span_mm: float, excess_length_mm: float) -> float:
    """Total movement of a strand at mid-span, pushed to either side until both halves are straight.

    Equation:
        M = sqrt((a + E)^2 - a^2)

    Args:
        span_mm: Straight distance a of the supports, [mm]; a > 0.
        excess_length_mm: Length of the strand less that distance, E, [mm]; E > 0.

    Returns:
        Movement M from side to side, [mm], square to the strand; 2.3 times the sag of a level strand.

    Raises:
        OutOfRange: an argument is not positive.

    Validity: strand long in comparison with its pitch.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> movement_from_excess(span_mm=120, excess_length_mm=10)
        50.000
    """
    positive("span_mm", span_mm)
    positive("excess_length_mm", excess_length_mm)
    return sqrt(excess_length_mm * (2 * span_mm + excess_length_mm))


@equation("mid_span.excess_from_movement", symbol="E", unit="mm", sources=(_TRIANGLES,))
def excess_from_movement(*, span_mm: float, movement_mm: float) -> float:
    """Excess length of a strand from its total movement at mid-span.

    Equation:
        E = sqrt(a^2 + M^2) - a

    Args:
        span_mm: Straight distance a of the supports, [mm]; a > 0.
        movement_mm: Movement M from side to side, square to the strand, [mm]; M > 0.

    Returns:
        Excess E, [mm].

    Raises:
        OutOfRange: an argument is not positive.

    Validity: as for ``mid_span.movement_from_excess``, whose inverse it is.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> excess_from_movement(span_mm=120, movement_mm=50)
        10.000
    """
    positive("span_mm", span_mm)
    positive("movement_mm", movement_mm)
    return movement_mm * movement_mm / (hypot(span_mm, movement_mm) + span_mm)
