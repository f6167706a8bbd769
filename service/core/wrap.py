"""Wrap of the chain on two wheels and the teeth that share the load."""

from __future__ import annotations

from math import asin, inf, pi

from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import positive
from service.core.speeds import check_polygon_teeth

WRAP_MIN_DEG = 120.0
"""Least wrap recommended on the small wheel (mott-4, section 7-4 guideline, published)."""


def _half_difference(small_mm: float, large_mm: float, centres_mm: float) -> float:
    """Angle between the tangent and the line of centres."""
    if 0.0 < small_mm <= large_mm < inf and large_mm - small_mm < 2.0 * centres_mm < inf:
        return asin((large_mm - small_mm) / (2.0 * centres_mm))
    positive("pitch_diameter_small_mm", small_mm)
    positive("pitch_diameter_large_mm", large_mm)
    positive("centre_distance_mm", centres_mm)
    if large_mm < small_mm:
        raise OutOfRange(
            Issue(
                "pitch_diameter_small_mm",
                "range_reversed",
                f"The small wheel has {small_mm:g} mm, the large {large_mm:g} mm: exchange them.",
                large_mm,
                small_mm,
            )
        )
    raise OutOfRange(
        Issue(
            "centre_distance_mm",
            "centres_overlap",
            f"A centre distance of {centres_mm:g} mm leaves one wheel inside the other.",
            (large_mm - small_mm) / 2.0,
            centres_mm,
        )
    )


@equation(
    "wrap.small_wheel",
    symbol="theta1",
    unit="rad",
    sources=(Source("mott-4", "section 7-4, angle of wrap, p. 295", "published"),),
)
def wrap_small_rad(
    *, pitch_diameter_small_mm: float, pitch_diameter_large_mm: float, centre_distance_mm: float
) -> float:
    """Wrap of the chain on the small wheel.

    Equation:
        theta1 = 180° - 2 asin[(D2 - D1)/(2 C)]

    Args:
        pitch_diameter_small_mm: Pitch diameter D1, [mm]; D1 <= D2.
        pitch_diameter_large_mm: Pitch diameter D2, [mm].
        centre_distance_mm: Centre distance C, [mm]; 2 C > D2 - D1.

    Returns:
        Wrap theta1, [rad].

    Raises:
        OutOfRange: a value is not positive, the wheels are exchanged, or one lies inside the other.

    Validity: open chain on two wheels; at least 120° is recommended.
    Deviations: none. A course notebook writes the sine for its inverse, which is an error.
    Sources: mott-4 section 7-4 [published].

    Examples:
        >>> wrap_small_rad(pitch_diameter_small_mm=100.0, pitch_diameter_large_mm=100.0, centre_distance_mm=400.0)
        3.14159
    """
    return pi - 2.0 * _half_difference(pitch_diameter_small_mm, pitch_diameter_large_mm, centre_distance_mm)


@equation(
    "wrap.large_wheel",
    symbol="theta2",
    unit="rad",
    sources=(Source("mott-4", "section 7-4, angle of wrap, p. 295", "published"),),
)
def wrap_large_rad(
    *, pitch_diameter_small_mm: float, pitch_diameter_large_mm: float, centre_distance_mm: float
) -> float:
    """Wrap of the chain on the large wheel.

    Equation:
        theta2 = 180° + 2 asin[(D2 - D1)/(2 C)]

    Args:
        pitch_diameter_small_mm: Pitch diameter D1, [mm]; D1 <= D2.
        pitch_diameter_large_mm: Pitch diameter D2, [mm].
        centre_distance_mm: Centre distance C, [mm]; 2 C > D2 - D1.

    Returns:
        Wrap theta2, [rad].

    Raises:
        OutOfRange: a value is not positive, the wheels are exchanged, or one lies inside the other.

    Validity: open chain on two wheels.
    Deviations: none.
    Sources: mott-4 section 7-4 [published].

    Examples:
        >>> wrap_large_rad(pitch_diameter_small_mm=100.0, pitch_diameter_large_mm=100.0, centre_distance_mm=400.0)
        3.14159
    """
    return pi + 2.0 * _half_difference(pitch_diameter_small_mm, pitch_diameter_large_mm, centre_distance_mm)


@equation(
    "wrap.teeth_engaged",
    symbol="Ne",
    unit="teeth",
    sources=(Source("plane-geometry", "share of the pitch circle that the chain covers", "derived"),),
)
def teeth_engaged(*, wrap_rad: float, teeth: int) -> float:
    """Teeth in mesh with the chain.

    Equation:
        Ne = N theta / (2 pi)

    Args:
        wrap_rad: Wrap theta, [rad]; 0 < theta <= 2 pi.
        teeth: Teeth N of the wheel, [-].

    Returns:
        Teeth engaged Ne, [teeth], not rounded; the count changes by one within a pitch.

    Raises:
        OutOfRange: the wrap is not within one turn, or the tooth count is impossible.

    Validity: exact as a mean.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> teeth_engaged(wrap_rad=2.0943951, teeth=18)
        6.0
    """
    positive("wrap_rad", wrap_rad)
    check_polygon_teeth("teeth", teeth)
    if wrap_rad > 2.0 * pi:
        raise OutOfRange(
            Issue(
                "wrap_rad", "angle_out_of_range", f"A wrap of {wrap_rad:g} rad is more than a turn.", 2 * pi, wrap_rad
            )
        )
    return teeth * wrap_rad / (2.0 * pi)
