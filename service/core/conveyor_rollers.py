"""Load on the rollers of a conveyor chain: the weight that they carry along a track, and the pull in a curve."""

from __future__ import annotations

from math import cos, pi

from service.core.conversions import FREE_FALL_M_S2
from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import at_most, not_negative, positive

_GUIDE = "section 2.3.3, forces on conveyor rollers"


@equation(
    "conveyor_rollers.load_on_track",
    symbol="Fr",
    unit="N",
    sources=(
        Source("plane-geometry", "weight normal to the track, shared by the rollers", "derived"),
        Source("complete-guide-chain", _GUIDE, "published"),
    ),
)
def load_on_track(*, resting_mass_kg_m: float, angle_rad: float, roller_spacing_mm: float, share: float) -> float:
    """Load on one roller of a chain that runs on its track.

    Equation:
        Fr = m g cos a t Fn

    Args:
        resting_mass_kg_m: Chains, moving parts and what rides on them per length m, [kg/m]; m >= 0.
        angle_rad: Angle of the run to the horizontal a, [rad]; -pi/2 <= a <= pi/2.
        roller_spacing_mm: From one roller of a chain to the next t, [mm]; t > 0.
        share: Share of one chain Fn, [-]; 0 < Fn <= 1.

    Returns:
        Load on one roller Fr, [N].

    Raises:
        OutOfRange: a value is not finite or outside its range.

    Validity: a load spread evenly; a piece shorter than the spacing rests on one roller with its whole weight.
    Deviations: the guide names the forces and prints no relation.
    Sources: plane-geometry [derived]; complete-guide-chain section 2.3.3 [published].

    Examples:
        >>> load_on_track(resting_mass_kg_m=100, angle_rad=0, roller_spacing_mm=200, share=0.5)
        98.0665
    """
    not_negative("resting_mass_kg_m", resting_mass_kg_m)
    at_most("angle_rad", abs(angle_rad), pi / 2, code="angle_out_of_range")
    positive("roller_spacing_mm", roller_spacing_mm)
    positive("share", share)
    at_most("share", share, 1, code="share_above_one")
    return resting_mass_kg_m * FREE_FALL_M_S2 * cos(angle_rad) * roller_spacing_mm / 1000.0 * share


@equation(
    "conveyor_rollers.load_in_curve",
    symbol="Fr",
    unit="N",
    sources=(
        Source("plane-geometry", "two equal pulls that turn by one spacing round the curve", "derived"),
        Source("complete-guide-chain", _GUIDE, "published"),
    ),
)
def load_in_curve(*, tension_n: float, roller_spacing_mm: float, radius_mm: float) -> float:
    """Load on one roller of a chain that is pulled round a curve.

    Equation:
        Fr = 2 T sin(b/2) = T t/R, sin(b/2) = t/(2 R)

    Args:
        tension_n: Tension of one chain T, [N]; T >= 0.
        roller_spacing_mm: From one roller to the next t, [mm]; 0 < t <= 2 R.
        radius_mm: Radius of the curve on which the roller axes run R, [mm]; R > 0.

    Returns:
        Load on one roller Fr, [N].

    Raises:
        OutOfRange: a value is not finite or outside its range, or the curve is tighter than a spacing.

    Validity: weight of the chain left out.
    Deviations: the guide names the forces and prints no relation.
    Sources: plane-geometry [derived]; complete-guide-chain section 2.3.3 [published].

    Examples:
        >>> load_in_curve(tension_n=10_000, roller_spacing_mm=150, radius_mm=1500)
        1000.0
    """
    not_negative("tension_n", tension_n)
    positive("roller_spacing_mm", roller_spacing_mm)
    positive("radius_mm", radius_mm)
    if roller_spacing_mm > 2 * radius_mm:
        message = f"Rollers {roller_spacing_mm:g} mm apart do not get round a curve of {radius_mm:g} mm radius."
        raise OutOfRange(Issue("radius_mm", "geometry_impossible", message, roller_spacing_mm / 2, radius_mm))
    return tension_n * roller_spacing_mm / radius_mm


@equation(
    "conveyor_rollers.bore_pressure",
    symbol="pr",
    unit="N/mm2",
    sources=(Source("plane-geometry", "load over the projected area of the bore", "derived"),),
)
def bore_pressure(*, roller_load_n: float, bush_diameter_mm: float, roller_width_mm: float) -> float:
    """Pressure of a roller on the bush that it turns on.

    Equation:
        pr = Fr/(d b)

    Args:
        roller_load_n: Load on the roller Fr, [N]; Fr >= 0.
        bush_diameter_mm: Outside diameter of the bush d, [mm]; d > 0.
        roller_width_mm: Length of the bore b, [mm]; b > 0.

    Returns:
        Pressure pr, [N/mm2].

    Raises:
        OutOfRange: a value is not finite or not above its lower limit.

    Validity: even over the bore; a flanged roller tilts under side load.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> bore_pressure(roller_load_n=1000, bush_diameter_mm=20, roller_width_mm=25)
        2.0
    """
    not_negative("roller_load_n", roller_load_n)
    positive("bush_diameter_mm", bush_diameter_mm)
    positive("roller_width_mm", roller_width_mm)
    return roller_load_n / (bush_diameter_mm * roller_width_mm)
