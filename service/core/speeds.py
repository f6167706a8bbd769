"""Speeds of a chain and its wheels: chain speed, ratio, unevenness from polygon action, frequency of tooth mesh."""

from __future__ import annotations

from math import cos, inf, pi

from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import positive

TEETH_GEOMETRIC_MIN = 3
"""Fewest teeth with which a pitch polygon closes."""


def _check(size_field: str, size: float, teeth: int, speed_rpm: float) -> None:
    if size > 0.0 and teeth >= TEETH_GEOMETRIC_MIN and speed_rpm > 0.0 and size < inf and speed_rpm < inf:
        return
    positive(size_field, size)
    positive("speed_rpm", speed_rpm)
    check_polygon_teeth("teeth", teeth)


def check_polygon_teeth(field: str, teeth: int) -> None:
    """Refuse a tooth count that closes no pitch polygon.

    Raises:
        OutOfRange: code ``teeth_below_minimum``.
    """
    if not teeth >= TEETH_GEOMETRIC_MIN:
        raise OutOfRange(
            Issue(
                field,
                "teeth_below_minimum",
                f"{teeth} teeth: a wheel needs at least {TEETH_GEOMETRIC_MIN}.",
                TEETH_GEOMETRIC_MIN,
                teeth,
            )
        )


@equation(
    "speeds.chain_speed",
    symbol="v",
    unit="m/s",
    sources=(
        Source("bhandari-3", "Example 14.7", "secondary"),
        Source("jindal-2010", "Example 30-3, p. 779", "secondary"),
    ),
)
def chain_speed_m_s(*, pitch_mm: float, teeth: int, speed_rpm: float) -> float:
    """Mean speed of a chain from the speed of one of its wheels.

    Equation:
        v = z n p / 60 000

    Args:
        pitch_mm: Pitch p, [mm]; p > 0.
        teeth: Teeth z of the wheel, [-]; z >= 3.
        speed_rpm: Speed n of the same wheel, [r/min]; n > 0.

    Returns:
        Chain speed v, [m/s].

    Raises:
        OutOfRange: a value is not positive, or the tooth count is impossible.

    Validity: none stated; exact for the mean over one tooth.
    Deviations: none.
    Sources: bhandari-3 Example 14.7 [secondary]; jindal-2010 Example 30-3 [secondary].

    Examples:
        >>> chain_speed_m_s(pitch_mm=9.52, teeth=21, speed_rpm=1000)
        3.332
    """
    _check("pitch_mm", pitch_mm, teeth, speed_rpm)
    return teeth * speed_rpm * pitch_mm / 60_000.0


@equation(
    "speeds.chain_speed_inch",
    symbol="V",
    unit="ft/min",
    sources=(Source("wentzell-2004", "Example 14.4, p. 321", "secondary"),),
)
def chain_speed_ft_min(*, pitch_in: float, teeth: int, speed_rpm: float) -> float:
    """Mean speed of a chain in inch units.

    Equation:
        V = N P n / 12

    Args:
        pitch_in: Pitch P, [in]; P > 0.
        teeth: Teeth N of the wheel, [-]; N >= 3.
        speed_rpm: Speed n of the same wheel, [r/min]; n > 0.

    Returns:
        Chain speed V, [ft/min].

    Raises:
        OutOfRange: a value is not positive, or the tooth count is impossible.

    Validity: none stated; exact for the mean over one tooth.
    Deviations: none.
    Sources: wentzell-2004 Example 14.4 [secondary].

    Examples:
        >>> chain_speed_ft_min(pitch_in=0.5, teeth=12, speed_rpm=1800)
        900.0
    """
    _check("pitch_in", pitch_in, teeth, speed_rpm)
    return teeth * pitch_in * speed_rpm / 12.0


@equation(
    "speeds.ratio",
    symbol="i",
    unit="-",
    sources=(Source("plane-geometry", "equal chain speed at both wheels", "derived"),),
)
def speed_ratio(*, driver_teeth: int, driven_teeth: int) -> float:
    """True ratio of a drive: speed of the driver over speed of the driven wheel.

    Equation:
        i = n1/n2 = z2/z1

    Args:
        driver_teeth: Teeth z1 of the driver, [teeth]; z1 >= 3.
        driven_teeth: Teeth z2 of the driven wheel, [teeth]; z2 >= 3.

    Returns:
        Ratio i, [-]; below 1 where the driven wheel runs faster.

    Raises:
        OutOfRange: a tooth count is impossible.

    Validity: exact for mean speeds.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> speed_ratio(driver_teeth=25, driven_teeth=96)
        3.84
    """
    check_polygon_teeth("driver_teeth", driver_teeth)
    check_polygon_teeth("driven_teeth", driven_teeth)
    return driven_teeth / driver_teeth


@equation(
    "speeds.chordal_variation",
    symbol="dv/vmax",
    unit="-",
    sources=(Source("plane-geometry", "pitch polygon turning at constant speed", "derived"),),
)
def chordal_speed_variation(*, teeth: int) -> float:
    """Speed variation of the chain from the polygon action of one wheel, as a share of its greatest speed.

    Equation:
        (vmax - vmin)/vmax = 1 - cos(pi/N)

    Args:
        teeth: Teeth N of the wheel, [-]; N >= 3.

    Returns:
        Variation, [-].

    Raises:
        OutOfRange: the tooth count is impossible.

    Validity: constant speed of the wheel and a span long against the pitch.
    Deviations: some books divide by the mean instead of the greatest speed; for 17 teeth 1.712 instead of 1.703 %.
    Sources: plane-geometry [derived].

    Examples:
        >>> chordal_speed_variation(teeth=17)
        0.01703
    """
    check_polygon_teeth("teeth", teeth)
    return 1.0 - cos(pi / teeth)


@equation(
    "speeds.mesh_frequency",
    symbol="f",
    unit="Hz",
    sources=(Source("plane-geometry", "teeth that pass in one second", "derived"),),
)
def mesh_frequency_hz(*, teeth: int, speed_rpm: float) -> float:
    """Frequency at which rollers meet teeth.

    Equation:
        f = N n / 60

    Args:
        teeth: Teeth N of the wheel, [-]; N >= 3.
        speed_rpm: Speed n of the same wheel, [r/min]; n > 0.

    Returns:
        Frequency f, [Hz], the same at every wheel of the chain.

    Raises:
        OutOfRange: the speed is not positive, or the tooth count is impossible.

    Validity: exact.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> mesh_frequency_hz(teeth=17, speed_rpm=900)
        255.0
    """
    _check("teeth", float(teeth), teeth, speed_rpm)
    return teeth * speed_rpm / 60.0
