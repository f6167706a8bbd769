"""Sprockets for silent chain of 3/16 in pitch, whose links have working faces at 70 degrees; all recalled only."""

from __future__ import annotations

from math import cos, pi, sin, tan

from service.core.equations import Source, equation
from service.core.guards import at_least, at_most
from service.core.sprocket import MOST_TEETH

PITCH_IN = 0.1875
"""The one pitch of this class (asme-b29.2m-2007 para. 1.3, published)."""

LEAST_TEETH = 11
"""From here on the faces of a tooth, at 35° - 360°/N to its centre line, converge outwards (derived)."""

LINK_HALF_ANGLE_DEG = 35.0
TIP_DEPTH = 0.032
PIN_RATIO = 0.667
PIN_CIRCLE_RATIO = 0.160
GROOVE_DEPTH = 1.20

_FORMULAS = (Source("machinerys-27", "3/16 in pitch silent chain sprockets, formulas", "memory"),)


def _check(teeth: int) -> None:
    at_least("teeth", teeth, LEAST_TEETH, code="teeth_below_minimum")
    at_most("teeth", teeth, MOST_TEETH, code="teeth_above_limit")


@equation("silent_sprocket_small.outside_diameter", symbol="OD", unit="in", sources=_FORMULAS)
def outside_diameter(*, teeth: int) -> float:
    """Outside diameter of a sprocket for 3/16 in pitch.

    Equation:
        OD = P (cot(180/N) - 0.032); P = 3/16 in

    Args:
        teeth: Teeth N, [-]; 11 <= N <= 1000.

    Returns:
        Outside diameter OD, [in].

    Raises:
        OutOfRange: too few or too many teeth.

    Validity: 3/16 in pitch.
    Deviations: none known; weakly recalled.
    Sources: machinerys-27 3/16 in pitch silent chain sprockets [memory].

    Examples:
        >>> outside_diameter(teeth=21)
        1.238
    """
    _check(teeth)
    return PITCH_IN * (1 / tan(pi / teeth) - TIP_DEPTH)


@equation("silent_sprocket_small.measurement_over_pins", symbol="M", unit="in", sources=_FORMULAS)
def measurement_over_pins(*, teeth: int) -> float:
    """Diameter over measuring pins of 0.667 P in opposite tooth gaps.

    Equation:
        even N: M = PD - 0.160 P csc(35 - 180/N) + 0.667 P;
        odd N: M = cos(90/N) [PD - 0.160 P csc(35 - 180/N)] + 0.667 P; PD = P/sin(180/N); P = 3/16 in

    Args:
        teeth: Teeth N, [-]; 11 <= N <= 1000.

    Returns:
        Diameter over pins M, [in].

    Raises:
        OutOfRange: too few or too many teeth.

    Validity: 3/16 in pitch.
    Deviations: none known; weakly recalled.
    Sources: machinerys-27 3/16 in pitch silent chain sprockets [memory].

    Examples:
        >>> measurement_over_pins(teeth=21)
        1.312
    """
    _check(teeth)
    pin_circle = 1 / sin(pi / teeth) - PIN_CIRCLE_RATIO / sin(pi * LINK_HALF_ANGLE_DEG / 180 - pi / teeth)
    opposite = 1.0 if teeth % 2 == 0 else cos(pi / (2 * teeth))
    return PITCH_IN * (opposite * pin_circle + PIN_RATIO)


@equation("silent_sprocket_small.guide_groove_diameter", symbol="G", unit="in", sources=_FORMULAS)
def guide_groove_diameter(*, teeth: int) -> float:
    """Greatest diameter at the bottom of the guide groove, and of the hub, for 3/16 in pitch.

    Equation:
        G = P (cot(180/N) - 1.20); P = 3/16 in

    Args:
        teeth: Teeth N, [-]; 11 <= N <= 1000.

    Returns:
        Groove diameter G at most, [in]; the same figure bounds the hub.

    Raises:
        OutOfRange: too few or too many teeth.

    Validity: 3/16 in pitch.
    Deviations: none known; weakly recalled.
    Sources: machinerys-27 3/16 in pitch silent chain sprockets [memory].

    Examples:
        >>> guide_groove_diameter(teeth=21)
        1.019
    """
    _check(teeth)
    return PITCH_IN * (1 / tan(pi / teeth) - GROOVE_DEPTH)
