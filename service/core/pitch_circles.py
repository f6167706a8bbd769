"""The circle on which the joints of a chain lie when it goes round a wheel."""

from __future__ import annotations

from math import asin, isfinite, pi, sin

from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import positive


@equation(
    "pitch_circles.pitch_radius",
    symbol="R",
    unit="mm",
    sources=(Source("plane-geometry", "regular polygon of N sides p", "derived"),),
)
def pitch_radius(*, teeth: float, pitch_mm: float) -> float:
    """Radius of the circle through the joints of a chain on a toothed wheel.

    Equation:
        R = p/(2 sin(pi/N))

    Args:
        teeth: Teeth N at the pitch of the chain; half of them where the chain uses every second tooth, [teeth]; N > 2.
        pitch_mm: Pitch p of the chain, [mm]; p > 0.

    Returns:
        Pitch radius R, [mm].

    Raises:
        OutOfRange: two teeth or fewer, or a pitch that is not positive.

    Validity: any chain whose joints lie on a circle.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> 2 * pitch_radius(teeth=65, pitch_mm=0.5 * 25.4) / 25.4
        10.349
    """
    positive("pitch_mm", pitch_mm)
    if not (isfinite(teeth) and teeth > 2):
        raise OutOfRange(
            Issue("teeth", "teeth_below_minimum", f"A wheel of {teeth:g} teeth does not exist.", 2, teeth),
        )
    return pitch_mm / (2 * sin(pi / teeth))


@equation(
    "pitch_circles.pitch_angle",
    symbol="tau",
    unit="rad",
    sources=(Source("plane-geometry", "chord of one pitch in the pitch circle", "derived"),),
)
def pitch_angle(*, pitch_radius_mm: float, pitch_mm: float) -> float:
    """Angle that one pitch of chain takes up on a wheel, toothed or plain.

    Equation:
        tau = 2 asin(p/(2 R)), which is 2 pi/N where R = p/(2 sin(pi/N))

    Args:
        pitch_radius_mm: Radius R of the circle on which the joints lie, [mm]; R >= p/2.
        pitch_mm: Pitch p of the chain, [mm]; p > 0.

    Returns:
        Pitch angle tau, [rad].

    Raises:
        OutOfRange: the radius is less than half a pitch.

    Validity: any chain whose joints lie on a circle.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> pitch_angle(pitch_radius_mm=100, pitch_mm=100) * 180 / pi
        60.000
    """
    positive("pitch_mm", pitch_mm)
    if not (isfinite(pitch_radius_mm) and 2 * pitch_radius_mm >= pitch_mm):
        text = f"A pitch radius of {pitch_radius_mm:g} mm is too small for a pitch of {pitch_mm:g} mm."
        raise OutOfRange(Issue("pitch_radius_mm", "wheel_too_small", text, pitch_mm / 2, pitch_radius_mm))
    return 2 * asin(pitch_mm / (2 * pitch_radius_mm))
