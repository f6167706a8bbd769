"""Pocket wheels for calibrated round-link chain: circles of the polygon in which flat and upright links alternate."""

from __future__ import annotations

from math import cos, hypot, pi, sin, tan

from service.core.equations import Source, equation
from service.core.errors import Inconsistent, Issue
from service.core.guards import at_least, at_most, positive
from service.core.sprocket import MOST_TEETH

FEWEST_POCKETS = 4
"""Least number of pockets (lueger-1907 vol. 5 p. 459, published)."""

USUAL_POCKETS = 5
"""Mostly so many pockets or more (lueger-1907 vol. 5 p. 459, published)."""

PITCH_RATIO_MIN = 2.6
PITCH_RATIO_MAX = 3.7
"""Pitch in wire diameters of the chains of its time (lueger-1907 vol. 5 p. 459, published)."""

_LUEGER = Source("lueger-1907", "vol. 5, p. 459", "published")


def _check(wire_diameter_mm: float, pitch_mm: float, pockets: int) -> None:
    positive("wire_diameter_mm", wire_diameter_mm)
    positive("pitch_mm", pitch_mm)
    at_least("pockets", pockets, FEWEST_POCKETS, code="pockets_below_minimum", source_id="lueger-1907")
    at_most("pockets", pockets, MOST_TEETH, code="teeth_above_limit")
    if not pitch_mm > 2 * wire_diameter_mm:
        message = f"A link of {wire_diameter_mm:g} mm wire and {pitch_mm:g} mm inside length lets no other link in."
        raise Inconsistent(Issue("wire_diameter_mm", "geometry_impossible", message, pitch_mm / 2, wire_diameter_mm))


@equation("pocket_wheel.pitch_diameter", symbol="D", unit="mm", sources=(_LUEGER,))
def pitch_diameter(*, wire_diameter_mm: float, pitch_mm: float, pockets: int) -> float:
    """Diameter of the pitch circle of a pocket wheel.

    Equation:
        D = sqrt((p/sin(90°/N))^2 + (d/cos(90°/N))^2)

    Args:
        wire_diameter_mm: Wire diameter d of the chain, [mm]; 2 d < p.
        pitch_mm: Inside length p of a link, [mm].
        pockets: Pockets N, each for one flat and one upright link, [-]; 4 <= N <= 1000.

    Returns:
        Pitch diameter D, [mm].

    Raises:
        OutOfRange: a dimension is not positive, or there are too few or too many pockets.
        Inconsistent: no link enters another.

    Validity: calibrated chain; the print names chains with p/d of 2.6 to 3.7.
    Deviations: none.
    Sources: lueger-1907 vol. 5, p. 459 [published].

    Examples:
        >>> pitch_diameter(wire_diameter_mm=10, pitch_mm=30, pockets=5)
        97.65
    """
    _check(wire_diameter_mm, pitch_mm, pockets)
    half = pi / (2 * pockets)
    return hypot(pitch_mm / sin(half), wire_diameter_mm / cos(half))


@equation("pocket_wheel.inscribed_diameter", symbol="D0", unit="mm", sources=(_LUEGER,))
def inscribed_diameter(*, wire_diameter_mm: float, pitch_mm: float, pockets: int) -> float:
    """Diameter of the circle that touches the axes of the flat links on a pocket wheel.

    Equation:
        D0 = p cot(90°/N) - d tan(90°/N)

    Args:
        wire_diameter_mm: Wire diameter d of the chain, [mm]; 2 d < p.
        pitch_mm: Inside length p of a link, [mm].
        pockets: Pockets N, each for one flat and one upright link, [-]; 4 <= N <= 1000.

    Returns:
        Diameter D0, [mm].

    Raises:
        OutOfRange: a dimension is not positive, or there are too few or too many pockets.
        Inconsistent: no link enters another.

    Validity: as ``pocket_wheel.pitch_diameter``.
    Deviations: none.
    Sources: lueger-1907 vol. 5, p. 459 [published].

    Examples:
        >>> inscribed_diameter(wire_diameter_mm=10, pitch_mm=30, pockets=5)
        89.08
    """
    _check(wire_diameter_mm, pitch_mm, pockets)
    half = pi / (2 * pockets)
    return pitch_mm / tan(half) - wire_diameter_mm * tan(half)


@equation(
    "pocket_wheel.travel_per_turn",
    symbol="s",
    unit="mm",
    sources=(Source("plane-geometry", "two links to a pocket", "derived"),),
)
def travel_per_turn(*, pitch_mm: float, pockets: int) -> float:
    """Chain that one turn of a pocket wheel takes in.

    Equation:
        s = 2 N p

    Args:
        pitch_mm: Inside length p of a link, [mm]; p > 0.
        pockets: Pockets N, [-]; 4 <= N <= 1000.

    Returns:
        Travel s, [mm].

    Raises:
        OutOfRange: the pitch is not positive, or there are too few or too many pockets.

    Validity: exact for whole turns; within a pocket the speed varies. The pitch circle times pi is no measure of it.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> travel_per_turn(pitch_mm=30, pockets=5)
        300
    """
    _check(pitch_mm / 4, pitch_mm, pockets)
    return 2 * pockets * pitch_mm
