"""The pitch polygon of a chain whose links are alternately of two lengths."""

from __future__ import annotations

from math import cos, pi, sin, sqrt

from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import positive
from service.core.sprocket import MOST_TEETH


@equation(
    "pair_pitch.pitch_diameter",
    symbol="D",
    unit="mm",
    sources=(Source("plane-geometry", "polygon of 2N sides, alternately of two lengths, in a circle", "derived"),),
)
def pitch_diameter(*, first_pitch_mm: float, second_pitch_mm: float, teeth: int) -> float:
    """Diameter of the circle through the joints, where one tooth takes a pair of links of two pitches.

    Equation:
        D = sqrt(a^2 + b^2 + 2 a b cos(180°/N)) / sin(180°/N)

    Args:
        first_pitch_mm: Pitch a of one kind of link, [mm]; a > 0.
        second_pitch_mm: Pitch b of the other kind, [mm]; b > 0.
        teeth: Teeth N, one for each pair of links, [-]; 2 <= N <= 1000.

    Returns:
        Pitch diameter D, [mm].

    Raises:
        OutOfRange: a pitch is not positive, or the number of teeth makes no wheel.

    Validity: any chain whose joints lie on one circle; equal pitches give P/sin(90°/N).
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> pitch_diameter(first_pitch_mm=40, second_pitch_mm=20, teeth=5)
        97.65
    """
    positive("first_pitch_mm", first_pitch_mm)
    positive("second_pitch_mm", second_pitch_mm)
    if not 2 <= teeth <= MOST_TEETH:
        low = teeth < 2
        code, limit = ("teeth_below_minimum", 2) if low else ("teeth_above_limit", MOST_TEETH)
        raise OutOfRange(
            Issue("teeth", code, f"A wheel of {teeth} teeth for pairs of links is not made.", limit, teeth)
        )
    half = pi / teeth
    pair = sqrt(first_pitch_mm**2 + second_pitch_mm**2 + 2 * first_pitch_mm * second_pitch_mm * cos(half))
    return pair / sin(half)
