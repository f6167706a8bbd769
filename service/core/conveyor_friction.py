"""Friction of a conveyor: rollers on a track, material against trough walls, and losses in wheels and curves."""

from __future__ import annotations

from math import exp, pi, sin

from service.core.conversions import FREE_FALL_M_S2
from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import at_least, at_most, not_negative, positive


@equation(
    "conveyor_friction.rolling_by_bush",
    symbol="f1",
    unit="-",
    sources=(Source("trade-conveyor-method", "Table 2, chain running on rollers", "secondary"),),
)
def rolling_by_bush(*, bush_friction: float, bush_diameter_mm: float, roller_diameter_mm: float) -> float:
    """Friction of a chain on plain-bored rollers, referred to the track.

    Equation:
        f1 = fr d/D

    Args:
        bush_friction: Friction of the roller on its bush fr, [-]; fr >= 0.
        bush_diameter_mm: Outside diameter of the bush d, [mm]; 0 < d < D.
        roller_diameter_mm: Diameter of the roller D, [mm].

    Returns:
        Friction f1, [-].

    Raises:
        OutOfRange: a value is not finite, or the bush is no smaller than the roller.

    Validity: rolling resistance on the track left out; the source advises D >= 2.5 d.
    Deviations: none.
    Sources: trade-conveyor-method Table 2 [secondary].

    Examples:
        >>> rolling_by_bush(bush_friction=0.5, bush_diameter_mm=20, roller_diameter_mm=50)
        0.2
    """
    not_negative("bush_friction", bush_friction)
    positive("bush_diameter_mm", bush_diameter_mm)
    if not bush_diameter_mm < roller_diameter_mm:
        message = f"A bush of {bush_diameter_mm:g} mm does not fit into a roller of {roller_diameter_mm:g} mm."
        raise OutOfRange(
            Issue("bush_diameter_mm", "geometry_impossible", message, roller_diameter_mm, bush_diameter_mm)
        )
    return bush_friction * bush_diameter_mm / roller_diameter_mm


@equation(
    "conveyor_friction.rolling",
    symbol="f1",
    unit="-",
    sources=(
        Source("plane-geometry", "moments about the axle of a loaded roller", "derived"),
        Source("teaching-lifting-transport", "apron and scraper conveyors, running rollers", "secondary"),
    ),
)
def rolling(
    *,
    axle_friction: float,
    axle_diameter_mm: float,
    roller_diameter_mm: float,
    rolling_arm_mm: float,
    flange_factor: float,
) -> float:
    """Friction of a chain on rollers with rolling resistance and flange rub.

    Equation:
        f1 = c (mu d + 2 k)/D

    Args:
        axle_friction: Friction of the roller on its axle, bush or bearing mu, [-]; mu >= 0.
        axle_diameter_mm: Diameter of that axle d, [mm]; 0 < d < D.
        roller_diameter_mm: Diameter of the roller D, [mm].
        rolling_arm_mm: Arm of rolling resistance k, [mm]; k >= 0.
        flange_factor: Allowance for flanges and misalignment c, [-]; c >= 1.

    Returns:
        Friction f1, [-].

    Raises:
        OutOfRange: a value is not finite or below its lower limit.

    Validity: the teaching text gives k = 0.5 to 2 mm and c = 1.1 to 1.4; its unit of k is read as metres.
    Deviations: none.
    Sources: plane-geometry [derived]; teaching-lifting-transport running rollers [secondary].

    Examples:
        >>> rolling(axle_friction=0.2, axle_diameter_mm=20, roller_diameter_mm=80, rolling_arm_mm=1, flange_factor=1.2)
        0.09
    """
    not_negative("rolling_arm_mm", rolling_arm_mm)
    at_least("flange_factor", flange_factor, 1, code="factor_below_minimum")
    plain = rolling_by_bush(
        bush_friction=axle_friction, bush_diameter_mm=axle_diameter_mm, roller_diameter_mm=roller_diameter_mm
    )
    return flange_factor * (plain + 2 * rolling_arm_mm / roller_diameter_mm)


@equation(
    "conveyor_friction.lateral_pressure_ratio",
    symbol="K",
    unit="-",
    sources=(Source("plane-geometry", "active earth pressure of a cohesionless heap", "derived"),),
)
def lateral_pressure_ratio(*, internal_friction_rad: float) -> float:
    """Ratio of sideways to downward pressure in loose material that can give way.

    Equation:
        K = (1 - sin phi)/(1 + sin phi)

    Args:
        internal_friction_rad: Angle of internal friction phi, [rad]; 0 <= phi <= pi/2.

    Returns:
        Ratio K, [-].

    Raises:
        OutOfRange: the angle is outside its range.

    Validity: cohesionless material with a level surface at rest against a wall that yields; packed material
        presses harder.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> lateral_pressure_ratio(internal_friction_rad=0.5235987755982988)
        0.333
    """
    not_negative("internal_friction_rad", internal_friction_rad)
    at_most("internal_friction_rad", internal_friction_rad, pi / 2, code="angle_out_of_range")
    return (1 - sin(internal_friction_rad)) / (1 + sin(internal_friction_rad))


@equation(
    "conveyor_friction.wall_resistance",
    symbol="s",
    unit="N/m",
    sources=(Source("plane-geometry", "sideways pressure integrated over two walls", "derived"),),
)
def wall_resistance(*, density_kg_m3: float, lateral_ratio: float, wall_friction: float, depth_m: float) -> float:
    """Resistance of material against two side walls or skirts, per length.

    Equation:
        s = mu K rho g h^2

    Args:
        density_kg_m3: Bulk density rho, [kg/m3]; rho > 0.
        lateral_ratio: Ratio of sideways to downward pressure K, [-]; K >= 0.
        wall_friction: Friction of the material on the wall mu, [-]; mu >= 0.
        depth_m: Depth of the material at the wall h, [m]; h >= 0.

    Returns:
        Resistance per length s, [N/m].

    Raises:
        OutOfRange: a value is not finite or below its lower limit.

    Validity: pressure rising evenly with depth on both walls of a level trough; on an incline times its cosine, as in
        ``conveyor_friction.dragged_pull``, which takes the horizontal projection.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> wall_resistance(density_kg_m3=800, lateral_ratio=0.27, wall_friction=0.6, depth_m=0.3)
        114.3847656
    """
    positive("density_kg_m3", density_kg_m3)
    for name, value in (("lateral_ratio", lateral_ratio), ("wall_friction", wall_friction), ("depth_m", depth_m)):
        not_negative(name, value)
    return wall_friction * lateral_ratio * density_kg_m3 * FREE_FALL_M_S2 * depth_m * depth_m


@equation(
    "conveyor_friction.wall_load_by_constant",
    symbol="s",
    unit="kg/m",
    sources=(Source("trade-conveyor-method", "Table 1, dragged material, and Table 3, constant c", "secondary"),),
)
def wall_load_by_constant(*, depth_m: float, wall_constant: float) -> float:
    """Side-wall resistance per length by the tabulated constant of a material, as a load.

    Equation:
        s = 1000 h^2/c

    Args:
        depth_m: Depth of the material at the wall h, [m]; h >= 0.
        wall_constant: Constant c of the material, [-]; c > 0.

    Returns:
        Resistance as a load per length s, [kg/m]; times g a force.

    Raises:
        OutOfRange: a value is not finite or below its lower limit.

    Validity: materials of the table.
    Deviations: none.
    Sources: trade-conveyor-method Table 1 [secondary].

    Examples:
        >>> wall_load_by_constant(depth_m=0.3, wall_constant=9)
        10.0
    """
    not_negative("depth_m", depth_m)
    positive("wall_constant", wall_constant)
    return 1000 * depth_m * depth_m / wall_constant


@equation(
    "conveyor_friction.curve_ratio",
    symbol="T2/T1",
    unit="-",
    sources=(
        Source("plane-geometry", "sliding on a curve, integrated round the arc", "derived"),
        Source("complete-guide-chain", "back tension, wrap friction", "secondary"),
    ),
)
def curve_ratio(*, friction: float, wrap_rad: float) -> float:
    """Ratio of the tensions after and before a curve on which the chain slides.

    Equation:
        T2/T1 = e^(mu b)

    Args:
        friction: Friction in the curve mu, [-]; mu >= 0.
        wrap_rad: Angle of the curve b, [rad]; b >= 0.

    Returns:
        Ratio T2/T1, [-].

    Raises:
        OutOfRange: a value is not finite or negative.

    Validity: weight and centrifugal force left out; also the greatest ratio that a smooth traction wheel holds.
    Deviations: none.
    Sources: plane-geometry [derived]; complete-guide-chain back tension [secondary].

    Examples:
        >>> 100 * curve_ratio(friction=0.3, wrap_rad=3.141592653589793)
        256.6
    """
    not_negative("friction", friction)
    not_negative("wrap_rad", wrap_rad)
    return exp(friction * wrap_rad)


@equation(
    "conveyor_friction.wheel_ratio",
    symbol="T2/T1",
    unit="-",
    sources=(
        Source("plane-geometry", "work of joints and bearing against the pull on the rim", "derived"),
        Source("meade-1921", "p. 339, frictional loss on terminal sprocket", "published"),
    ),
)
def wheel_ratio(
    *,
    joint_friction: float,
    pin_diameter_mm: float,
    bearing_friction: float,
    shaft_diameter_mm: float,
    wheel_radius_mm: float,
    wrap_rad: float,
) -> float:
    """Ratio of the tensions after and before an idle wheel, from joint and bearing friction.

    Equation:
        k = [mu_p d_p + mu_b d_s sin(b/2)]/(2 R);  T2/T1 = (1 + k)/(1 - k)

    Args:
        joint_friction: Friction in the chain joint mu_p, [-]; mu_p >= 0.
        pin_diameter_mm: Pin or bush diameter on which the joint turns d_p, [mm]; d_p >= 0.
        bearing_friction: Friction of the shaft in its bearing mu_b, [-]; mu_b >= 0.
        shaft_diameter_mm: Shaft diameter in the bearing d_s, [mm]; d_s >= 0.
        wheel_radius_mm: Pitch radius R, [mm]; R > 0.
        wrap_rad: Wrap of the chain b, [rad]; 0 <= b <= 2 pi.

    Returns:
        Ratio T2/T1, [-].

    Raises:
        OutOfRange: a value is outside its range, or code ``self_locking``: the friction takes the whole pull.

    Validity: wheel weight left out.
    Deviations: the print takes both tensions equal, which gives 2 k in place of (1 + k)/(1 - k) - 1.
    Sources: plane-geometry [derived]; meade-1921 p. 339 [published].

    Examples:
        >>> wheel_ratio(joint_friction=0, pin_diameter_mm=0, bearing_friction=0.25, shaft_diameter_mm=60,
        ...     wheel_radius_mm=300, wrap_rad=3.141592653589793)
        1.05
    """
    for name, value in (
        ("joint_friction", joint_friction),
        ("pin_diameter_mm", pin_diameter_mm),
        ("bearing_friction", bearing_friction),
        ("shaft_diameter_mm", shaft_diameter_mm),
        ("wrap_rad", wrap_rad),
    ):
        not_negative(name, value)
    positive("wheel_radius_mm", wheel_radius_mm)
    at_most("wrap_rad", wrap_rad, 2 * pi, code="angle_out_of_range")
    joints = joint_friction * pin_diameter_mm
    k = (joints + bearing_friction * shaft_diameter_mm * sin(wrap_rad / 2)) / (2 * wheel_radius_mm)
    if not k < 1:
        raise OutOfRange(Issue("wheel_radius_mm", "self_locking", "Friction takes the whole pull of this wheel."))
    return (1 + k) / (1 - k)


@equation(
    "conveyor_friction.dragged_pull",
    symbol="T",
    unit="kgf",
    sources=(Source("trade-conveyor-method", "Table 1, chain and material dragged", "secondary"),),
)
def dragged_pull(
    *,
    horizontal_m: float,
    rise_m: float,
    moving_mass_kg_m: float,
    load_mass_kg_m: float,
    chain_friction: float,
    load_friction: float,
    wall_load_kg_m: float,
) -> float:
    """Pull of a straight trough conveyor that drags its load, in the two forms of the print.

    Equation:
        V <= f1 H: T = (2 f1 w + f2 q + s) H + q V;  V > f1 H: T = (f1 w + f2 q + s) H + (w + q) V

    Args:
        horizontal_m: Horizontal projection of the length H, [m]; H > 0.
        rise_m: Rise V, [m]; V >= 0.
        moving_mass_kg_m: Moving parts per length w, [kg/m]; w >= 0.
        load_mass_kg_m: Material per length q, [kg/m]; q >= 0.
        chain_friction: Friction of the chain on its track f1, [-]; f1 >= 0.
        load_friction: Friction of the material on the trough f2, [-]; f2 >= 0.
        wall_load_kg_m: Side-wall resistance as a load s, [kg/m]; s >= 0.

    Returns:
        Pull T, [kgf].

    Raises:
        OutOfRange: a value is not finite or below its lower limit.

    Validity: as for ``conveyor_pull.inclined_carried``.
    Deviations: none.
    Sources: trade-conveyor-method Table 1 [secondary].

    Examples:
        >>> dragged_pull(horizontal_m=10, rise_m=0, moving_mass_kg_m=10, load_mass_kg_m=20, chain_friction=0.3,
        ...     load_friction=0.6, wall_load_kg_m=4)
        220.0
    """
    positive("horizontal_m", horizontal_m)
    for name, value in (("rise_m", rise_m), ("moving_mass_kg_m", moving_mass_kg_m), ("load_mass_kg_m", load_mass_kg_m)):
        not_negative(name, value)
    for name, value in (("chain_friction", chain_friction), ("load_friction", load_friction)):
        not_negative(name, value)
    not_negative("wall_load_kg_m", wall_load_kg_m)
    one_strand = chain_friction * moving_mass_kg_m + load_friction * load_mass_kg_m + wall_load_kg_m
    if rise_m <= chain_friction * horizontal_m:
        return (one_strand + chain_friction * moving_mass_kg_m) * horizontal_m + load_mass_kg_m * rise_m
    return one_strand * horizontal_m + (moving_mass_kg_m + load_mass_kg_m) * rise_m
