"""Wheels of chain that seats with a barrel, bush or roller and has no tooth form in the reference: plain geometry."""

from __future__ import annotations

from math import asin, pi, sqrt

from service.core.equations import Source, equation
from service.core.errors import Inconsistent, Issue, OutOfRange
from service.core.guards import not_negative, positive
from service.core.sprocket import across_factor, check_polygon

LEAST_INNER_WIDTH_MM = 10 / 9
"""Inner width at which the recalled tooth width of conveyor chain, 0.9 b1 - 1, comes to nothing (derived)."""


def _geometry(locator: str) -> tuple[Source, ...]:
    return (Source("plane-geometry", locator, "derived"),)


def _check_circle(pitch_diameter_mm: float, pitch_mm: float) -> None:
    positive("pitch_mm", pitch_mm)
    positive("pitch_diameter_mm", pitch_diameter_mm)
    if not pitch_diameter_mm > pitch_mm:
        message = f"A pitch of {pitch_mm:g} mm does not go round a circle of {pitch_diameter_mm:g} mm."
        raise OutOfRange(Issue("pitch_diameter_mm", "wheel_too_small", message, pitch_mm, pitch_diameter_mm))


@equation("barrel_sprocket.bottom_diameter", symbol="BD", unit="mm", sources=_geometry("seat concentric with barrel"))
def bottom_diameter(*, pitch_diameter_mm: float, seating_diameter_mm: float, bottom_clearance_mm: float) -> float:
    """Diameter at the bottom of the tooth gaps.

    Equation:
        BD = PD - d - 2 c

    Args:
        pitch_diameter_mm: Pitch diameter PD, [mm].
        seating_diameter_mm: Diameter d of the barrel, bush or roller that sits in the gap, [mm]; d > 0.
        bottom_clearance_mm: Bottom clearance c, radius of the seat less that of the barrel, [mm]; c >= 0.

    Returns:
        Bottom diameter BD, [mm].

    Raises:
        OutOfRange: a dimension is outside its range.
        Inconsistent: the barrel and its clearance leave no wheel.

    Validity: the joints lie on the pitch circle.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> bottom_diameter(pitch_diameter_mm=164.63, seating_diameter_mm=25, bottom_clearance_mm=0)
        139.63
    """
    positive("pitch_diameter_mm", pitch_diameter_mm)
    positive("seating_diameter_mm", seating_diameter_mm)
    not_negative("bottom_clearance_mm", bottom_clearance_mm)
    bottom = pitch_diameter_mm - seating_diameter_mm - 2 * bottom_clearance_mm
    if not bottom > 0:
        message = f"A seat of {seating_diameter_mm:g} mm leaves nothing of a {pitch_diameter_mm:.4g} mm pitch circle."
        raise Inconsistent(
            Issue("seating_diameter_mm", "geometry_impossible", message, pitch_diameter_mm, seating_diameter_mm)
        )
    return bottom


@equation("barrel_sprocket.caliper_diameter", symbol="CD", unit="mm", sources=_geometry("gaps most nearly opposite"))
def caliper_diameter(
    *, pitch_diameter_mm: float, seating_diameter_mm: float, bottom_clearance_mm: float, teeth: int
) -> float:
    """Dimension over the bottoms of two gaps as nearly opposite as may be.

    Equation:
        even N: CD = PD - d - 2 c; odd N: CD = PD cos(90°/N) - d - 2 c

    Args:
        pitch_diameter_mm: Pitch diameter PD, [mm].
        seating_diameter_mm: Diameter d of the barrel, bush or roller that sits in the gap, [mm]; d > 0.
        bottom_clearance_mm: Bottom clearance c, radius of the seat less that of the barrel, [mm]; c >= 0.
        teeth: Gaps N cut in the wheel, [-]; 3 <= N <= 1000.

    Returns:
        Caliper diameter CD, [mm].

    Raises:
        OutOfRange: a dimension or the number of gaps is outside its range.
        Inconsistent: the barrel and its clearance leave no wheel.

    Validity: one gap for each tooth, equally spaced.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> caliper_diameter(pitch_diameter_mm=540.94, seating_diameter_mm=38.1, bottom_clearance_mm=0, teeth=11)
        497.3
    """
    check_polygon(teeth)
    return bottom_diameter(
        pitch_diameter_mm=pitch_diameter_mm * across_factor(teeth),
        seating_diameter_mm=seating_diameter_mm,
        bottom_clearance_mm=bottom_clearance_mm,
    )


@equation("barrel_sprocket.equivalent_teeth", symbol="n", unit="-", sources=_geometry("chords of one pitch"))
def equivalent_teeth(*, pitch_diameter_mm: float, pitch_mm: float) -> float:
    """Pitches that go round a pitch circle; seldom a whole number on a plain wheel.

    Equation:
        n = 180°/arcsin(P/PD)

    Args:
        pitch_diameter_mm: Diameter PD of the circle through the joints, [mm]; PD > P.
        pitch_mm: Chain pitch P, [mm]; P > 0.

    Returns:
        Pitches in a turn n, [-].

    Raises:
        OutOfRange: a dimension is not positive, or the circle is no larger than a pitch.

    Validity: joints on one circle, as on a toothed or a plain wheel.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> equivalent_teeth(pitch_diameter_mm=300, pitch_mm=100)
        9.24
    """
    _check_circle(pitch_diameter_mm, pitch_mm)
    return pi / asin(pitch_mm / pitch_diameter_mm)


@equation("barrel_sprocket.speed_variation", symbol="dv/vmax", unit="-", sources=_geometry("apothem of the polygon"))
def speed_variation(*, pitch_diameter_mm: float, pitch_mm: float) -> float:
    """Speed variation of the chain by polygon action, as a share of its greatest speed.

    Equation:
        1 - sqrt(1 - (P/PD)^2), which is 1 - cos(180°/N) on a wheel of N pitches

    Args:
        pitch_diameter_mm: Diameter PD of the circle through the joints, [mm]; PD > P.
        pitch_mm: Chain pitch P, of two pitches the longer, [mm]; P > 0.

    Returns:
        Variation, [-].

    Raises:
        OutOfRange: a dimension is not positive, or the circle is no larger than a pitch.

    Validity: constant speed of the wheel; half a tooth counts, as on a wheel with two teeth to a pitch.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> speed_variation(pitch_diameter_mm=200, pitch_mm=100)
        0.134
    """
    _check_circle(pitch_diameter_mm, pitch_mm)
    return 1 - sqrt(1 - (pitch_mm / pitch_diameter_mm) ** 2)


@equation("barrel_sprocket.hub_diameter_max", symbol="hub", unit="mm", sources=_geometry("side bar at mid-pitch"))
def hub_diameter_max(*, pitch_diameter_mm: float, pitch_mm: float, plate_height_mm: float) -> float:
    """Diameter that the lower edges of straight side bars touch at mid-pitch.

    Equation:
        sqrt(PD^2 - P^2) - H

    Args:
        pitch_diameter_mm: Diameter PD of the circle through the joints, [mm]; PD > P.
        pitch_mm: Chain pitch P, of two pitches the longer, [mm]; P > 0.
        plate_height_mm: Height H of the side bar or plate, its centre line through the joints, [mm]; H > 0.

    Returns:
        Diameter, [mm]; a hub or rim beside the teeth must stay below it by the clearance of the maker.

    Raises:
        OutOfRange: a dimension is not positive, or the circle is no larger than a pitch.
        Inconsistent: the bars reach the axis.

    Validity: straight bars; offset bars come nearer to the axis on one side.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> hub_diameter_max(pitch_diameter_mm=500, pitch_mm=140, plate_height_mm=30)
        450.0
    """
    _check_circle(pitch_diameter_mm, pitch_mm)
    positive("plate_height_mm", plate_height_mm)
    hub = sqrt(pitch_diameter_mm**2 - pitch_mm**2) - plate_height_mm
    if not hub > 0:
        message = f"Bars {plate_height_mm:g} mm high reach the axis of a {pitch_diameter_mm:.4g} mm pitch circle."
        raise Inconsistent(Issue("plate_height_mm", "geometry_impossible", message, None, plate_height_mm))
    return hub


@equation("barrel_sprocket.tooth_width", symbol="b", unit="mm", sources=_geometry("room between bars, less clearance"))
def tooth_width(*, inner_width_mm: float, side_clearance_mm: float) -> float:
    """Width of the tooth from the clear width of the chain and a chosen clearance.

    Equation:
        b = b1 - s

    Args:
        inner_width_mm: Clear width b1 between the bars, of drag chain the length of the barrel, [mm]; b1 > 0.
        side_clearance_mm: Clearance s of both sides together, [mm]; 0 <= s < b1.

    Returns:
        Tooth width b, [mm].

    Raises:
        OutOfRange: a dimension is outside its range; ``clearance_too_large``.

    Validity: the narrower of two kinds of link counts.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> tooth_width(inner_width_mm=50, side_clearance_mm=3)
        47
    """
    positive("inner_width_mm", inner_width_mm)
    not_negative("side_clearance_mm", side_clearance_mm)
    if not side_clearance_mm < inner_width_mm:
        message = f"A clearance of {side_clearance_mm:g} mm leaves no tooth in a width of {inner_width_mm:g} mm."
        raise OutOfRange(Issue("side_clearance_mm", "clearance_too_large", message, inner_width_mm, side_clearance_mm))
    return inner_width_mm - side_clearance_mm


@equation(
    "barrel_sprocket.tooth_width_conveyor",
    symbol="bf",
    unit="mm",
    sources=(Source("iso-1977", "tooth width for plain rollers", "memory"),),
)
def tooth_width_conveyor(*, inner_width_mm: float) -> float:
    """Tooth width of a wheel for conveyor chain with plain rollers.

    Equation:
        bf = 0.9 b1 - 1

    Args:
        inner_width_mm: Least width b1 between the inner plates, [mm]; b1 > 10/9.

    Returns:
        Tooth width bf, [mm].

    Raises:
        OutOfRange: the width is too small to leave a tooth.

    Validity: conveyor chain of ISO 1977 with plain rollers.
    Deviations: none known; recalled.
    Sources: iso-1977 tooth width [memory].

    Examples:
        >>> tooth_width_conveyor(inner_width_mm=32)
        27.8
    """
    width = 0.9 * inner_width_mm - 1
    positive("inner_width_mm", min(inner_width_mm, width))
    return width
