"""Length of a chain over two wheels, and the centre distance that a whole number of pitches gives."""

from __future__ import annotations

from math import asin, cos, isfinite, pi, sin, sqrt

from service.core.equations import Source, equation
from service.core.errors import Issue, NoSolution, OutOfRange
from service.core.guards import positive


def _pitch_radius(teeth: int) -> float:
    """Pitch-circle radius in pitches."""
    return 0.5 / sin(pi / teeth)


def _check_wheels(teeth_small: int, teeth_large: int) -> None:
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


@equation(
    "chain_length.pitches_approximate",
    symbol="L",
    unit="pitches",
    sources=(
        Source("mott-4", "section 7-4, chain length equation", "published"),
        Source("shigley-9", "eq. (17-34)", "secondary"),
    ),
)
def pitches_approximate(*, centre_distance_pitches: float, teeth_small: int, teeth_large: int) -> float:
    """Handbook approximation of the chain length for a given centre distance.

    Equation:
        L = 2 C + (N1 + N2)/2 + (N2 - N1)^2 / (4 pi^2 C)

    Args:
        centre_distance_pitches: Centre distance C, [pitches]; C > 0.
        teeth_small: Teeth N1 of the small wheel, [-]; 3 <= N1 <= N2.
        teeth_large: Teeth N2 of the large wheel, [-].

    Returns:
        Length L, [pitches], not rounded to whole pitches.

    Raises:
        OutOfRange: the centre distance is not positive, or a tooth count is impossible.

    Validity: none stated; a series cut after the second term, short of the tangent geometry by less than a
        hundredth of a pitch at usual proportions.
    Deviations: none.
    Sources: mott-4 section 7-4 [published]; shigley-9 eq. (17-34) [secondary].

    Examples:
        >>> pitches_approximate(centre_distance_pitches=30, teeth_small=17, teeth_large=65)
        102.9
    """
    positive("centre_distance_pitches", centre_distance_pitches)
    _check_wheels(teeth_small, teeth_large)
    difference = (teeth_large - teeth_small) / (2 * pi)
    return (
        2 * centre_distance_pitches
        + (teeth_small + teeth_large) / 2
        + difference * difference / centre_distance_pitches
    )


@equation(
    "chain_length.pitches_exact",
    symbol="L",
    unit="pitches",
    sources=(Source("plane-geometry", "two pitch circles and their outer tangents", "derived"),),
)
def pitches_exact(*, centre_distance_pitches: float, teeth_small: int, teeth_large: int) -> float:
    """Chain length by tangent geometry on the pitch circles.

    Equation:
        R = 1/(2 sin(pi/N));  sin a = (R2 - R1)/C;  L = 2 C cos a + (N1 + N2)/2 + (N2 - N1) a/pi

    Args:
        centre_distance_pitches: Centre distance C, [pitches]; C > R2 - R1.
        teeth_small: Teeth N1 of the small wheel, [-]; 3 <= N1 <= N2.
        teeth_large: Teeth N2 of the large wheel, [-].

    Returns:
        Length L, [pitches], not rounded to whole pitches. A wheel's share is its wrap angle over the angle of one
        tooth, so that arcs are counted in pitches and not in the length of the circle.

    Raises:
        OutOfRange: the centre distance is not positive or the circles have no outer tangent.

    Validity: none stated; exact where the tangent meets a wheel at a pin position, and within the polygon effect
        of a fraction of a tooth elsewhere.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> pitches_exact(centre_distance_pitches=25, teeth_small=17, teeth_large=34)
        75.7931
    """
    positive("centre_distance_pitches", centre_distance_pitches)
    _check_wheels(teeth_small, teeth_large)
    offset = _pitch_radius(teeth_large) - _pitch_radius(teeth_small)
    if not centre_distance_pitches > offset:
        raise OutOfRange(
            Issue(
                "centre_distance_pitches",
                "centres_overlap",
                f"A centre distance of {centre_distance_pitches:g} pitches leaves one wheel inside the other.",
                offset,
                centre_distance_pitches,
            )
        )
    angle = asin(offset / centre_distance_pitches)
    return (
        2 * centre_distance_pitches * cos(angle)
        + (teeth_small + teeth_large) / 2
        + (teeth_large - teeth_small) * angle / pi
    )


@equation(
    "chain_length.touching_centre_distance",
    symbol="C",
    unit="pitches",
    sources=(Source("plane-geometry", "sum of two pitch radii", "derived"),),
)
def touching_centre_distance(*, teeth_small: int, teeth_large: int) -> float:
    """Centre distance at which the pitch circles of two wheels touch.

    Equation:
        C = R1 + R2 = 1/(2 sin(pi/N1)) + 1/(2 sin(pi/N2))

    Args:
        teeth_small: Teeth N1 of the small wheel, [-]; 3 <= N1 <= N2.
        teeth_large: Teeth N2 of the large wheel, [-].

    Returns:
        Centre distance C, [pitches]; a drive needs more, since the tooth tips stand outside the pitch circles.

    Raises:
        OutOfRange: a tooth count is impossible.

    Validity: none stated.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> touching_centre_distance(teeth_small=6, teeth_large=6)
        2.0
    """
    _check_wheels(teeth_small, teeth_large)
    return _pitch_radius(teeth_small) + _pitch_radius(teeth_large)


@equation(
    "chain_length.centre_distance_approximate",
    symbol="C",
    unit="pitches",
    sources=(
        Source("mott-4", "section 7-4, centre distance equation", "published"),
        Source("bhandari-3", "eq. (14.8)", "secondary"),
    ),
)
def centre_distance_approximate(*, pitch_count: float, teeth_small: int, teeth_large: int) -> float:
    """Handbook approximation of the centre distance that a chain length gives.

    Equation:
        C = 1/4 { L - (N1 + N2)/2 + sqrt( [L - (N1 + N2)/2]^2 - 8 (N2 - N1)^2/(4 pi^2) ) }

    Args:
        pitch_count: Chain length L, [pitches].
        teeth_small: Teeth N1 of the small wheel, [-]; 3 <= N1 <= N2.
        teeth_large: Teeth N2 of the large wheel, [-].

    Returns:
        Centre distance C, [pitches].

    Raises:
        NoSolution: the chain is too short to go round the wheels.

    Validity: none stated; the exact inverse of ``chain_length.pitches_approximate``.
    Deviations: none.
    Sources: mott-4 section 7-4 [published]; bhandari-3 eq. (14.8) [secondary].

    Examples:
        >>> centre_distance_approximate(pitch_count=104, teeth_small=17, teeth_large=65)
        30.54
    """
    _check_wheels(teeth_small, teeth_large)
    straight = pitch_count - (teeth_small + teeth_large) / 2
    under_root = straight * straight - 2 * ((teeth_large - teeth_small) / pi) ** 2
    if not (isfinite(straight) and straight > 0 and under_root >= 0):
        raise NoSolution(_too_short(pitch_count, teeth_small, teeth_large))
    return (straight + sqrt(under_root)) / 4


@equation(
    "chain_length.centre_distance_exact",
    symbol="C",
    unit="pitches",
    sources=(Source("plane-geometry", "root of the tangent length in the centre distance", "derived"),),
)
def centre_distance_exact(*, pitch_count: float, teeth_small: int, teeth_large: int) -> float:
    """Centre distance by tangent geometry for a given chain length.

    Equation:
        the C for which 2 C cos a + (N1 + N2)/2 + (N2 - N1) a/pi = L, sin a = (R2 - R1)/C, by Newton's method;
        dL/dC = [2 - (N2 - N1) sin a/(pi C)] / cos a, positive wherever the wheels do not overlap

    Args:
        pitch_count: Chain length L, [pitches].
        teeth_small: Teeth N1 of the small wheel, [-]; 3 <= N1 <= N2.
        teeth_large: Teeth N2 of the large wheel, [-].

    Returns:
        Centre distance C, [pitches], to 1e-12 of itself.

    Raises:
        NoSolution: the chain is too short to go round the wheels.

    Validity: as for ``chain_length.pitches_exact``.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> centre_distance_exact(pitch_count=75.7931, teeth_small=17, teeth_large=34)
        25.000
    """
    _check_wheels(teeth_small, teeth_large)
    wheels = (teeth_small + teeth_large) / 2
    if teeth_small == teeth_large:
        if not (isfinite(pitch_count) and pitch_count > wheels):
            raise NoSolution(_too_short(pitch_count, teeth_small, teeth_large))
        return (pitch_count - wheels) / 2
    offset = _pitch_radius(teeth_large) - _pitch_radius(teeth_small)
    difference = (teeth_large - teeth_small) / pi
    if not (isfinite(pitch_count) and pitch_count > wheels + difference * pi / 2):
        raise NoSolution(_too_short(pitch_count, teeth_small, teeth_large))
    # The handbook approximation starts within a hundredth of a pitch of the root, where it exists.
    straight = pitch_count - wheels
    under_root = straight * straight - 2 * difference * difference
    centre = max((straight + sqrt(under_root)) / 4 if under_root > 0 else straight / 2, offset * 1.001)
    for _ in range(60):
        sine = offset / centre
        cosine = sqrt(1 - sine * sine)
        angle = asin(sine)
        excess = 2 * centre * cosine + wheels + difference * angle - pitch_count
        slope = 2 / cosine - difference * sine / (centre * cosine)
        step = excess / slope
        if centre - step <= offset:
            step = (centre - offset) / 2
        centre -= step
        # The next step would be about the square of this one.
        if abs(step) <= 1e-8 * centre:
            return centre
    raise ArithmeticError(f"no convergence for {pitch_count} pitches over {teeth_small} and {teeth_large} teeth")


def _too_short(pitch_count: float, teeth_small: int, teeth_large: int) -> Issue:
    return Issue(
        "pitch_count",
        "chain_too_short",
        f"{pitch_count:g} pitches do not go round wheels of {teeth_small} and {teeth_large} teeth.",
        None,
        pitch_count,
        "Take a longer chain or smaller wheels.",
    )
