"""Keyways of parallel keys, and what the torque does to the key."""

from __future__ import annotations

from math import hypot, sqrt

from service.core.equations import Source, equation
from service.core.errors import Inconsistent, Issue
from service.core.guards import not_negative, positive

HUB_ALLOWANCE_IN = 0.005
"""Room over a parallel key in the hub (machinerys-31, Table 2 of ANSI B17.1: its depths are met with this figure)."""


def check_key_in_shaft(width: float, diameter: float, unit: str) -> None:
    """Refuse a key that is as wide as its shaft or wider, both in the unit that ends the names of the fields.

    Raises:
        OutOfRange: a dimension is not positive.
        Inconsistent: ``geometry_impossible``.
    """
    field = f"key_width_{unit}"
    positive(f"shaft_diameter_{unit}", diameter)
    positive(field, width)
    if not width < diameter:
        message = f"A key {width:g} {unit} wide does not fit a shaft of {diameter:g} {unit}."
        raise Inconsistent(Issue(field, "geometry_impossible", message, diameter, width))


@equation(
    "keyways.shaft_depth_control",
    symbol="S",
    unit="in",
    sources=(
        Source("plane-geometry", "chord of the keyseat in the circle of the shaft", "derived"),
        Source("machinerys-31", "p. 2552, Table 2", "published"),
    ),
)
def shaft_depth_control(*, shaft_diameter_in: float, key_width_in: float, key_height_in: float) -> float:
    """From the bottom of the keyseat in the shaft to the opposite side of the shaft.

    Equation:
        Y = (D - sqrt(D^2 - W^2))/2;  S = D - Y - H/2

    Args:
        shaft_diameter_in: Diameter of the shaft D, [in].
        key_width_in: Width of the key W, [in]; W < D.
        key_height_in: Height of the key H, [in].

    Returns:
        Depth control S, [in].

    Raises:
        OutOfRange: a dimension is not positive.
        Inconsistent: the key is not narrower than the shaft.

    Validity: parallel keys, half of whose height lies in the shaft at its side.
    Deviations: none; all 33 printed depths up to 2 1/2 in are met.
    Sources: plane-geometry [derived]; machinerys-31 Table 2 [published].

    Examples:
        >>> shaft_depth_control(shaft_diameter_in=2, key_width_in=0.5, key_height_in=0.5)
        1.718
    """
    check_key_in_shaft(key_width_in, shaft_diameter_in, "in")
    positive("key_height_in", key_height_in)
    return shaft_diameter_in - _chord_height(shaft_diameter_in, key_width_in) - key_height_in / 2


@equation(
    "keyways.hub_depth_control",
    symbol="T",
    unit="in",
    sources=(
        Source("plane-geometry", "chord of the keyseat in the circle of the bore", "derived"),
        Source("machinerys-31", "p. 2552, Table 2", "published"),
    ),
)
def hub_depth_control(*, shaft_diameter_in: float, key_width_in: float, key_height_in: float) -> float:
    """From the bottom of the keyseat in the hub to the opposite side of the bore.

    Equation:
        Y = (D - sqrt(D^2 - W^2))/2;  T = D - Y + H/2 + 0.005 in

    Args:
        shaft_diameter_in: Diameter of shaft and bore D, [in].
        key_width_in: Width of the key W, [in]; W < D.
        key_height_in: Height of the key H, [in].

    Returns:
        Depth control T, [in].

    Raises:
        OutOfRange: a dimension is not positive.
        Inconsistent: the key is not narrower than the shaft.

    Validity: parallel keys; taper keys have no room over the key.
    Deviations: none; all 33 printed depths up to 2 1/2 in are met.
    Sources: plane-geometry [derived]; machinerys-31 Table 2 [published].

    Examples:
        >>> hub_depth_control(shaft_diameter_in=2, key_width_in=0.5, key_height_in=0.5)
        2.223
    """
    check_key_in_shaft(key_width_in, shaft_diameter_in, "in")
    positive("key_height_in", key_height_in)
    chord_height = _chord_height(shaft_diameter_in, key_width_in)
    return shaft_diameter_in - chord_height + key_height_in / 2 + HUB_ALLOWANCE_IN


@equation(
    "keyways.corner_reach",
    symbol="reach",
    unit="mm",
    sources=(Source("plane-geometry", "distance of the far corners of a keyway from the centre", "derived"),),
)
def corner_reach(*, bore_diameter_mm: float, keyway_width_mm: float, depth_to_opposite_side_mm: float) -> float:
    """Distance from the centre of the bore to the corners at the bottom of the keyway.

    Equation:
        sqrt[(W/2)^2 + (T - D/2)^2]

    Args:
        bore_diameter_mm: Diameter of the bore D, [mm].
        keyway_width_mm: Width of the keyway W, [mm]; W < D.
        depth_to_opposite_side_mm: From the bottom of the keyway to the opposite side of the bore T, [mm].

    Returns:
        Distance, [mm], of the place where the wall of the wheel is thinnest.

    Raises:
        OutOfRange: a dimension is not positive.
        Inconsistent: the keyway is not narrower than the bore.

    Validity: sharp corners; rounded ones leave a little more wall.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> corner_reach(bore_diameter_mm=50, keyway_width_mm=14, depth_to_opposite_side_mm=53.8)
        29.64
    """
    check_key_in_shaft(keyway_width_mm, bore_diameter_mm, "mm")
    positive("depth_to_opposite_side_mm", depth_to_opposite_side_mm)
    return hypot(keyway_width_mm / 2, depth_to_opposite_side_mm - bore_diameter_mm / 2)


@equation(
    "keyways.shear_stress",
    symbol="tau",
    unit="N/mm2",
    sources=(
        Source("mott-4", "eq. (11-1)", "published"),
        Source("plane-geometry", "force at the side of the shaft over the area between shaft and hub", "derived"),
    ),
)
def shear_stress_n_mm2(
    *, torque_n_m: float, shaft_diameter_mm: float, key_width_mm: float, key_length_mm: float
) -> float:
    """Shear stress of a parallel key.

    Equation:
        tau = 2 T / (D W L)

    Args:
        torque_n_m: Torque T, [N·m]; T >= 0.
        shaft_diameter_mm: Diameter of the shaft D, [mm].
        key_width_mm: Width of the key W, [mm]; W < D.
        key_length_mm: Bearing length of the key L, [mm].

    Returns:
        Shear stress, [N/mm2].

    Raises:
        OutOfRange: the torque is negative, or a dimension is not positive.
        Inconsistent: the key is not narrower than the shaft.

    Validity: torque taken by the key alone and evenly along it.
    Deviations: the print states no units; here 1 N·m = 1000 N·mm.
    Sources: mott-4 eq. (11-1) [published]; plane-geometry [derived].

    Examples:
        >>> shear_stress_n_mm2(torque_n_m=500, shaft_diameter_mm=50, key_width_mm=14, key_length_mm=50)
        28.6
    """
    check_key_in_shaft(key_width_mm, shaft_diameter_mm, "mm")
    not_negative("torque_n_m", torque_n_m)
    positive("key_length_mm", key_length_mm)
    return 2000 * torque_n_m / (shaft_diameter_mm * key_width_mm * key_length_mm)


@equation(
    "keyways.bearing_stress",
    symbol="sigma",
    unit="N/mm2",
    sources=(
        Source("mott-4", "eq. (11-3)", "published"),
        Source("plane-geometry", "force at the side of the shaft over the side of the key in the hub", "derived"),
    ),
)
def bearing_stress_n_mm2(
    *, torque_n_m: float, shaft_diameter_mm: float, bearing_depth_mm: float, key_length_mm: float
) -> float:
    """Pressure between the side of a parallel key and the hub.

    Equation:
        sigma = 2 T / (D t L);  by the print t = H/2, so that sigma = 4 T / (D H L)

    Args:
        torque_n_m: Torque T, [N·m]; T >= 0.
        shaft_diameter_mm: Diameter of the shaft D, [mm].
        bearing_depth_mm: Height t of the side of the key that bears on the hub, [mm].
        key_length_mm: Bearing length of the key L, [mm].

    Returns:
        Pressure, [N/mm2].

    Raises:
        OutOfRange: the torque is negative, or a dimension is not positive.

    Validity: torque taken by the key alone and evenly along it.
    Deviations: the print takes half of the height of the key on either side; metric keys stand deeper in the shaft, so
        the depth in the hub is an argument of its own.
    Sources: mott-4 eq. (11-3) [published]; plane-geometry [derived].

    Examples:
        >>> bearing_stress_n_mm2(torque_n_m=500, shaft_diameter_mm=50, bearing_depth_mm=3.5, key_length_mm=50)
        114.3
    """
    not_negative("torque_n_m", torque_n_m)
    positive("shaft_diameter_mm", shaft_diameter_mm)
    positive("bearing_depth_mm", bearing_depth_mm)
    positive("key_length_mm", key_length_mm)
    return 2000 * torque_n_m / (shaft_diameter_mm * bearing_depth_mm * key_length_mm)


def _chord_height(diameter: float, width: float) -> float:
    """Height of the circle over the chord that a keyway cuts off."""
    return (diameter - sqrt((diameter - width) * (diameter + width))) / 2
