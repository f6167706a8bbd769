"""Centre distance of a whole number of links by the factor f4 of the ISO method, in closed form."""

from __future__ import annotations

from math import cos, inf, pi, sin, tan

from service.core.equations import Source, equation
from service.core.errors import Issue, NoSolution, OutOfRange
from service.core.guards import positive


@equation(
    "centre_factor.f4",
    symbol="f4",
    unit="-",
    sources=(
        Source("plane-geometry", "wheels taken as circles of circumference z p, tangent eliminated", "derived"),
        Source("iso-10823-2004", "table of f4", "memory"),
    ),
)
def centre_factor(*, link_ratio: float) -> float:
    """Factor that gives the centre distance from the number of links.

    Equation:
        (X - z1)/(z2 - z1) = 1/2 + (cot u + u)/pi;  f4 = 1 / [4 (cos u + u sin u)]

    Args:
        link_ratio: Ratio (X - z1)/(z2 - z1), [-]; above 1, where the large wheel fills the whole chain.

    Returns:
        Factor f4, [-], below 1/4.

    Raises:
        NoSolution: the ratio is 1 or less: the chain does not go round both wheels.

    Validity: treats the pitch polygons as circles of circumference z p, as the table of the standard does.
    Deviations: computed for every ratio where the standard prints a table to interpolate in.
    Sources: plane-geometry [derived]; iso-10823-2004 [memory].

    Examples:
        >>> centre_factor(link_ratio=5.0)
        0.24937
    """
    if not 1.0 < link_ratio < inf:
        raise NoSolution(
            Issue(
                "link_ratio",
                "chain_too_short",
                f"(X - z1)/(z2 - z1) is {link_ratio:g}; it must exceed 1 for the chain to go round both wheels.",
                1.0,
                link_ratio,
                "Take a longer chain.",
            )
        )
    angle = _tangent_angle(pi * (link_ratio - 0.5))
    return 1.0 / (4.0 * (cos(angle) + angle * sin(angle)))


def _tangent_angle(target: float) -> float:
    """Root u of cot u + u = target in (0, pi/2), where the left side falls steadily from infinity to pi/2.

    Newton's method from a point left of the root: the function is convex there, so that each step goes to the right
    and stays left of the root, until rounding ends it.
    """
    angle = step = min(1.0 / target, 1.0)
    while step > 1e-15 * angle:
        cotangent = 1.0 / tan(angle)
        step = (cotangent + angle - target) / (cotangent * cotangent)
        angle += step
    return angle


@equation(
    "centre_factor.centre_distance",
    symbol="a",
    unit="mm",
    sources=(Source("iso-10823-2004", "largest centre distance of a number of links", "memory"),),
)
def centre_distance_by_factor_mm(*, pitch_mm: float, pitch_count: int, teeth_small: int, teeth_large: int) -> float:
    """Largest centre distance that a whole number of links allows, by the ISO method.

    Equation:
        a = p f4 [2 X - (z1 + z2)]; for z1 = z2: a = p (X - z)/2

    Args:
        pitch_mm: Pitch p, [mm]; p > 0.
        pitch_count: Number of links X, [pitches].
        teeth_small: Teeth z1 of the small wheel, [-]; 3 <= z1 <= z2.
        teeth_large: Teeth z2 of the large wheel, [-].

    Returns:
        Centre distance a, [mm], for a chain without sag.

    Raises:
        OutOfRange: the pitch is not positive, or a tooth count is impossible.
        NoSolution: the chain is too short to go round the wheels.

    Validity: within a hundredth of a pitch of ``chain_length.centre_distance_exact`` at usual proportions.
    Deviations: f4 is computed, not read from the table.
    Sources: iso-10823-2004 [memory].

    Examples:
        >>> centre_distance_by_factor_mm(pitch_mm=12.7, pitch_count=120, teeth_small=19, teeth_large=19)
        641.35
    """
    positive("pitch_mm", pitch_mm)
    if not 3 <= teeth_small <= teeth_large:
        raise OutOfRange(
            Issue(
                "teeth_small",
                "teeth_below_minimum",
                f"{teeth_small} and {teeth_large} teeth: the small wheel needs at least 3 and no more than the large.",
                3,
                teeth_small,
            )
        )
    if not pitch_count > teeth_large:
        raise NoSolution(
            Issue(
                "pitch_count",
                "chain_too_short",
                f"{pitch_count} links do not go round wheels of {teeth_small} and {teeth_large} teeth.",
                teeth_large,
                pitch_count,
                "Take a longer chain or smaller wheels.",
            )
        )
    if teeth_small == teeth_large:
        return pitch_mm * (pitch_count - teeth_small) / 2.0
    factor = centre_factor(link_ratio=(pitch_count - teeth_small) / (teeth_large - teeth_small))
    return pitch_mm * factor * (2 * pitch_count - (teeth_small + teeth_large))
