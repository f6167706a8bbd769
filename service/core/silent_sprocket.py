"""Sprockets for silent chain of 3/8 in pitch and larger: diameters per ASME B29.2M, most of them recalled only."""

from __future__ import annotations

from math import cos, pi, sin, sqrt, tan
from typing import Literal

from service.core.equations import Source, equation
from service.core.guards import at_least, at_most, positive
from service.core.sprocket import MOST_TEETH

LEAST_TEETH = 13
"""The square-tooth formula gives a real figure from here on; the round forms keep the same floor."""
PIN_RATIO = 0.625
PIN_CIRCLE_RATIO = 0.125
GROOVE_DEPTH = 1.16
HUB_DEPTH = {"hobbed": 1.33, "milled": 1.25}
RADIUS_OVER_CHAIN = 0.75

ToothCutting = Literal["hobbed", "milled"]


def check_teeth(teeth: int) -> None:
    """Refuse a number of teeth that has no tooth of this form.

    Raises:
        OutOfRange: ``teeth_below_minimum``, ``teeth_above_limit``.
    """
    at_least("teeth", teeth, LEAST_TEETH, code="teeth_below_minimum")
    at_most("teeth", teeth, MOST_TEETH, code="teeth_above_limit")


def _check(pitch_in: float, teeth: int) -> None:
    positive("pitch_in", pitch_in)
    check_teeth(teeth)


@equation(
    "silent_sprocket.outside_diameter_round_teeth",
    symbol="OD",
    unit="in",
    sources=(Source("machinerys-27", "silent chain sprocket diameters, formulas", "memory"),),
)
def outside_diameter_round_teeth(*, pitch_in: float, teeth: int) -> float:
    """Outside diameter of a sprocket with rounded teeth.

    Equation:
        OD = P (cot(180/N) + 0.08)

    Args:
        pitch_in: Chain pitch P, [in]; P > 0.
        teeth: Teeth N, [-]; N >= 13.

    Returns:
        Outside diameter OD, [in].

    Raises:
        OutOfRange: the pitch is not above zero or there are too few teeth.

    Validity: 3/8 in pitch and larger.
    Deviations: none known; recalled, agrees with a recalled table to 0.0009 P.
    Sources: machinerys-27 silent chain sprocket diameters [memory].

    Examples:
        >>> outside_diameter_round_teeth(pitch_in=1, teeth=21)
        6.715
    """
    _check(pitch_in, teeth)
    return pitch_in * (1 / tan(pi / teeth) + 0.08)


@equation(
    "silent_sprocket.outside_diameter_square_teeth",
    symbol="OD",
    unit="in",
    sources=(Source("machinerys-27", "silent chain sprocket diameters, formulas", "memory"),),
)
def outside_diameter_square_teeth(*, pitch_in: float, teeth: int) -> float:
    """Outside diameter of a sprocket with square-topped teeth.

    Equation:
        a = 30 - 360/N;  Y = P (0.500 - 0.375 sec a) cot a + 0.11 P;
        X = Y cos a - sqrt[(0.15 P)^2 - (Y sin a)^2];  E = P (cot(180/N) - 0.22);  L = Y + E/2;
        OD = 2 sqrt(X^2 + L^2 - 2 X L cos a)

    Args:
        pitch_in: Chain pitch P, [in]; P > 0.
        teeth: Teeth N, [-]; N >= 13.

    Returns:
        Outside diameter OD, [in].

    Raises:
        OutOfRange: the pitch is not above zero or there are too few teeth.

    Validity: 3/8 in pitch and larger; a clearance dimension, good to 0.005 P.
    Deviations: the sign before the root is ours; it is the outer crossing of the flank with the topping circle, as
        ``silent_tooth.gap`` draws it.
    Sources: machinerys-27 silent chain sprocket diameters [memory].

    Examples:
        >>> outside_diameter_square_teeth(pitch_in=1, teeth=21)
        6.60
    """
    _check(pitch_in, teeth)
    a = pi / 6 - 2 * pi / teeth
    y = (0.5 - 0.375 / cos(a)) / tan(a) + 0.11
    x = y * cos(a) - sqrt(0.15**2 - (y * sin(a)) ** 2)
    side = y + (1 / tan(pi / teeth) - 0.22) / 2
    return pitch_in * 2 * sqrt(x * x + side * side - 2 * x * side * cos(a))


@equation(
    "silent_sprocket.measurement_over_pins",
    symbol="M",
    unit="in",
    sources=(Source("machinerys-27", "silent chain sprocket, over-pin diameter, formulas", "memory"),),
)
def measurement_over_pins(*, pitch_in: float, teeth: int) -> float:
    """Diameter over measuring pins of 0.625 P in opposite tooth gaps.

    Equation:
        even N: M = PD - 0.125 P csc(30 - 180/N) + 0.625 P;
        odd N: M = cos(90/N) [PD - 0.125 P csc(30 - 180/N)] + 0.625 P;  PD = P/sin(180/N)

    Args:
        pitch_in: Chain pitch P, [in]; P > 0.
        teeth: Teeth N, [-]; N >= 13.

    Returns:
        Diameter over pins M, [in].

    Raises:
        OutOfRange: the pitch is not above zero or there are too few teeth.

    Validity: 3/8 in pitch and larger.
    Deviations: none known; recalled, agrees with a recalled table to 0.0006 P.
    Sources: machinerys-27 silent chain sprocket [memory].

    Examples:
        >>> measurement_over_pins(pitch_in=1, teeth=21)
        6.975
    """
    _check(pitch_in, teeth)
    pin_circle = 1 / sin(pi / teeth) - PIN_CIRCLE_RATIO / sin(pi / 6 - pi / teeth)
    opposite = 1.0 if teeth % 2 == 0 else cos(pi / (2 * teeth))
    return pitch_in * (opposite * pin_circle + PIN_RATIO)


@equation(
    "silent_sprocket.guide_groove_diameter",
    symbol="G",
    unit="in",
    sources=(Source("machinerys-27", "silent chain sprocket, guide groove, formula", "memory"),),
)
def guide_groove_diameter(*, pitch_in: float, teeth: int) -> float:
    """Greatest diameter at the bottom of the guide groove.

    Equation:
        G = P (cot(180/N) - 1.16)

    Args:
        pitch_in: Chain pitch P, [in]; P > 0.
        teeth: Teeth N, [-]; N >= 13.

    Returns:
        Groove diameter G at most, [in].

    Raises:
        OutOfRange: the pitch is not above zero or there are too few teeth.

    Validity: 3/8 in pitch and larger; the groove keeps its full width down to G.
    Deviations: none known; recalled.
    Sources: machinerys-27 silent chain sprocket [memory].

    Examples:
        >>> guide_groove_diameter(pitch_in=1, teeth=21)
        5.475
    """
    _check(pitch_in, teeth)
    return pitch_in * (1 / tan(pi / teeth) - GROOVE_DEPTH)


@equation(
    "silent_sprocket.hub_diameter",
    symbol="H",
    unit="in",
    sources=(Source("machinerys-27", "silent chain sprocket, maximum hub diameter, formula", "memory"),),
)
def hub_diameter(*, pitch_in: float, teeth: int, cutting: ToothCutting) -> float:
    """Greatest hub diameter that leaves room for cutting the teeth.

    Equation:
        hobbed: H = P (cot(180/N) - 1.33);  milled: H = P (cot(180/N) - 1.25)

    Args:
        pitch_in: Chain pitch P, [in]; P > 0.
        teeth: Teeth N, [-]; N >= 13.
        cutting: How the teeth are cut, [text].

    Returns:
        Hub diameter H at most, [in].

    Raises:
        OutOfRange: the pitch is not above zero or there are too few teeth.

    Validity: 3/8 in pitch and larger.
    Deviations: none known; recalled.
    Sources: machinerys-27 silent chain sprocket [memory].

    Examples:
        >>> hub_diameter(pitch_in=1, teeth=21, cutting="hobbed")
        5.305
    """
    _check(pitch_in, teeth)
    return pitch_in * (1 / tan(pi / teeth) - HUB_DEPTH[cutting])


@equation(
    "silent_sprocket.radius_over_chain",
    symbol="r",
    unit="in",
    sources=(Source("machinerys-27", "silent chain, p. 2955", "published"),),
)
def radius_over_chain(*, pitch_in: float, teeth: int) -> float:
    """Greatest radius over a new chain on its sprocket, for the clearance of a casing.

    Equation:
        r = PD/2 + 0.75 P;  PD = P/sin(180/N)

    Args:
        pitch_in: Chain pitch P, [in]; P > 0.
        teeth: Teeth N, [-]; N >= 13.

    Returns:
        Radius r at most, [in].

    Raises:
        OutOfRange: the pitch is not above zero or there are too few teeth.

    Validity: new chain; a worn chain rides higher.
    Deviations: none.
    Sources: machinerys-27 p. 2955 [published].

    Examples:
        >>> radius_over_chain(pitch_in=0.5, teeth=25)
        2.3697
    """
    _check(pitch_in, teeth)
    return pitch_in * (0.5 / sin(pi / teeth) + RADIUS_OVER_CHAIN)
