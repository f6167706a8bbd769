"""Forces in a chain drive: pull, centrifugal and sag tension, torque, load on the shaft, safety on breaking load."""

from __future__ import annotations

from math import cos, inf, pi, sqrt

from service.core.conversions import FREE_FALL_M_S2
from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import not_negative, positive


@equation(
    "forces.effective_pull",
    symbol="Fe",
    unit="N",
    sources=(
        Source("jiang-2019", "eq. (7.15)", "published"),
        Source("bhandari-3", "Example 14.7", "secondary"),
    ),
)
def effective_pull_n(*, power_kw: float, chain_speed_m_s: float) -> float:
    """Pull of the chain that carries the power.

    Equation:
        Fe = 1000 P / v

    Args:
        power_kw: Power P, [kW]; P > 0.
        chain_speed_m_s: Chain speed v, [m/s]; v > 0.

    Returns:
        Pull Fe, [N], the difference of the tensions in the two strands.

    Raises:
        OutOfRange: a value is not positive.

    Validity: steady running.
    Deviations: none. Some data books print 1020 P/v, which mixes units of force.
    Sources: jiang-2019 eq. (7.15) [published]; bhandari-3 Example 14.7 [secondary].

    Examples:
        >>> effective_pull_n(power_kw=2.5578, chain_speed_m_s=3.332)
        767.6
    """
    if not (0.0 < power_kw < inf and 0.0 < chain_speed_m_s < inf):
        positive("power_kw", power_kw)
        positive("chain_speed_m_s", chain_speed_m_s)
    return 1000.0 * power_kw / chain_speed_m_s


@equation(
    "forces.effective_pull_inch",
    symbol="F",
    unit="lbf",
    sources=(Source("plane-geometry", "one horsepower is 33 000 ft lbf/min", "derived"),),
)
def effective_pull_lbf(*, power_hp: float, chain_speed_ft_min: float) -> float:
    """Pull of the chain in inch units.

    Equation:
        F = 33 000 H / V

    Args:
        power_hp: Power H, [hp]; H > 0.
        chain_speed_ft_min: Chain speed V, [ft/min]; V > 0.

    Returns:
        Pull F, [lbf].

    Raises:
        OutOfRange: a value is not positive.

    Validity: steady running.
    Deviations: books that go through the torque with 63 000 instead of 63 025 differ in the fourth figure.
    Sources: plane-geometry [derived].

    Examples:
        >>> effective_pull_lbf(power_hp=5.31, chain_speed_ft_min=900.0)
        194.7
    """
    positive("power_hp", power_hp)
    positive("chain_speed_ft_min", chain_speed_ft_min)
    return 33_000.0 * power_hp / chain_speed_ft_min


@equation(
    "forces.centrifugal_tension",
    symbol="Fc",
    unit="N",
    sources=(
        Source("jiang-2019", "eq. (7.16)", "published"),
        Source("psg-design-data", "chain drives, total load on the driving side", "secondary"),
    ),
)
def centrifugal_tension_n(*, mass_per_length_kg_m: float, chain_speed_m_s: float) -> float:
    """Tension that the moving chain adds to all its links and to no shaft.

    Equation:
        Fc = q v^2

    Args:
        mass_per_length_kg_m: Mass of the chain q, [kg/m]; q > 0.
        chain_speed_m_s: Chain speed v, [m/s]; v >= 0.

    Returns:
        Tension Fc, [N].

    Raises:
        OutOfRange: the mass is not positive, or the speed is negative.

    Validity: none stated.
    Deviations: none.
    Sources: jiang-2019 eq. (7.16) [published]; psg-design-data [secondary].

    Examples:
        >>> centrifugal_tension_n(mass_per_length_kg_m=0.5, chain_speed_m_s=10.0)
        50.0
    """
    if not (0.0 < mass_per_length_kg_m < inf and 0.0 <= chain_speed_m_s < inf):
        positive("mass_per_length_kg_m", mass_per_length_kg_m)
        not_negative("chain_speed_m_s", chain_speed_m_s)
    return mass_per_length_kg_m * chain_speed_m_s * chain_speed_m_s


@equation(
    "forces.sag_tension_coefficient",
    symbol="Ps",
    unit="N",
    sources=(Source("psg-design-data", "chain drives, tension due to sagging", "secondary"),),
)
def sag_tension_from_coefficient_n(
    *, mass_per_length_kg_m: float, centre_distance_m: float, sag_coefficient: float
) -> float:
    """Tension of the slack strand by the coefficient of the data books.

    Equation:
        Ps = k q g a

    Args:
        mass_per_length_kg_m: Mass of the chain q, [kg/m]; q > 0.
        centre_distance_m: Centre distance a, [m]; a > 0.
        sag_coefficient: Coefficient k of the position, [-]; recalled as 6 level, 4 inclined, 1 vertical.

    Returns:
        Tension Ps, [N].

    Raises:
        OutOfRange: a value is not positive.

    Validity: a sag of about 2 % of the centre distance; the parabola gives k = 6.25 there for a level strand.
    Deviations: none.
    Sources: psg-design-data [secondary].

    Examples:
        >>> sag_tension_from_coefficient_n(mass_per_length_kg_m=1.0, centre_distance_m=1.0, sag_coefficient=6.0)
        58.84
    """
    positive("mass_per_length_kg_m", mass_per_length_kg_m)
    positive("centre_distance_m", centre_distance_m)
    positive("sag_coefficient", sag_coefficient)
    return sag_coefficient * mass_per_length_kg_m * FREE_FALL_M_S2 * centre_distance_m


@equation(
    "forces.torque",
    symbol="M",
    unit="N·m",
    sources=(Source("plane-geometry", "power is torque times angular speed", "derived"),),
)
def torque_n_m(*, power_kw: float, speed_rpm: float) -> float:
    """Torque of a shaft.

    Equation:
        M = 30 000 P / (pi n)

    Args:
        power_kw: Power P, [kW]; P > 0.
        speed_rpm: Speed n of the shaft, [r/min]; n > 0.

    Returns:
        Torque M, [N·m].

    Raises:
        OutOfRange: a value is not positive.

    Validity: exact.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> torque_n_m(power_kw=1.0, speed_rpm=9549.297)
        1.0000
    """
    positive("power_kw", power_kw)
    positive("speed_rpm", speed_rpm)
    return 30_000.0 * power_kw / (pi * speed_rpm)


@equation(
    "forces.power_from_torque",
    symbol="P",
    unit="kW",
    sources=(Source("plane-geometry", "power of a rotating shaft", "derived"),),
)
def power_from_torque_kw(*, torque_n_m: float, speed_rpm: float) -> float:
    """Power of a shaft from torque and speed.

    Equation:
        P = 2 pi n T / 60 000

    Args:
        torque_n_m: Torque T, [N·m]; T > 0.
        speed_rpm: Speed n, [r/min]; n > 0.

    Returns:
        Power P, [kW].

    Raises:
        OutOfRange: a value is not positive.

    Validity: exact.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> power_from_torque_kw(torque_n_m=9549.2966, speed_rpm=1.0)
        1.0000
    """
    positive("torque_n_m", torque_n_m)
    positive("speed_rpm", speed_rpm)
    return 2.0 * pi * speed_rpm * torque_n_m / 60_000.0


@equation(
    "forces.shaft_load_factor",
    symbol="FQ",
    unit="N",
    sources=(Source("jiang-2019", "section 7.2.3, factor K_Q", "memory"),),
)
def shaft_load_from_factor_n(*, effective_pull_n: float, shaft_load_factor: float) -> float:
    """Load on the shaft by the factor of the position of the drive.

    Equation:
        FQ = K_Q Fe

    Args:
        effective_pull_n: Pull Fe of the chain, [N]; Fe > 0.
        shaft_load_factor: Factor K_Q, [-]; recalled as 1.15 for horizontal and 1.05 for vertical drives.

    Returns:
        Load FQ on the shaft, [N].

    Raises:
        OutOfRange: the pull is not positive, or the factor is below 1.

    Validity: none stated; without the weight of the wheel and without service factor.
    Deviations: none; the factor is recalled, ``forces.shaft_load_statics`` needs none.
    Sources: jiang-2019 section 7.2.3 [memory].

    Examples:
        >>> shaft_load_from_factor_n(effective_pull_n=1000.0, shaft_load_factor=1.15)
        1150.0
    """
    positive("effective_pull_n", effective_pull_n)
    if not 1.0 <= shaft_load_factor < inf:
        raise OutOfRange(
            Issue(
                "shaft_load_factor",
                "factor_below_minimum",
                f"A shaft load factor of {shaft_load_factor:g} is below 1: the shaft carries at least the pull.",
                1.0,
                shaft_load_factor,
            )
        )
    return shaft_load_factor * effective_pull_n


@equation(
    "forces.shaft_load_statics",
    symbol="FQ",
    unit="N",
    sources=(Source("plane-geometry", "sum of the two strand tensions as vectors", "derived"),),
)
def shaft_load_from_tensions_n(*, tight_tension_n: float, slack_tension_n: float, wrap_rad: float) -> float:
    """Load on the shaft from the tensions of both strands and the wrap.

    Equation:
        FQ = sqrt(F1^2 + F2^2 - 2 F1 F2 cos theta)

    Args:
        tight_tension_n: Tension F1 of the tight strand without the centrifugal part, [N]; F1 > 0.
        slack_tension_n: Tension F2 of the slack strand without the centrifugal part, [N]; F2 >= 0.
        wrap_rad: Wrap theta of the wheel, [rad].

    Returns:
        Load FQ on the shaft, [N], without the weight of the wheel.

    Raises:
        OutOfRange: a tension is negative, or the wrap is not positive.

    Validity: exact statics; centrifugal tension turns the chain and loads no shaft.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> shaft_load_from_tensions_n(tight_tension_n=1000.0, slack_tension_n=100.0, wrap_rad=3.14159265)
        1100.0
    """
    if not (0.0 < tight_tension_n < inf and 0.0 <= slack_tension_n < inf and 0.0 < wrap_rad < inf):
        positive("tight_tension_n", tight_tension_n)
        not_negative("slack_tension_n", slack_tension_n)
        positive("wrap_rad", wrap_rad)
    square = (
        tight_tension_n * tight_tension_n
        + slack_tension_n * slack_tension_n
        - 2.0 * tight_tension_n * slack_tension_n * cos(wrap_rad)
    )
    return sqrt(square)


@equation(
    "forces.breaking_safety",
    symbol="S",
    unit="-",
    sources=(
        Source("jiang-2019", "eq. (7.25), p. 158", "published"),
        Source("jindal-2010", "Example 30-3, p. 779", "secondary"),
    ),
)
def breaking_safety(*, breaking_load_n: float, tension_n: float, service_factor: float) -> float:
    """Safety of the chain against breaking.

    Equation:
        S = Q / (K_A F1)

    Args:
        breaking_load_n: Minimum tensile strength Q of all strands together, [N]; Q > 0.
        tension_n: Tension F1 of the tight strand, [N]; F1 > 0.
        service_factor: Service factor K_A, [-]; 1 where the tension is a peak already.

    Returns:
        Safety S, [-].

    Raises:
        OutOfRange: a value is not positive.

    Validity: the criterion of slow drives, below 0.6 m/s, where 4 to 8 is asked; faster drives are limited by rating.
        A breaking load is no working load.
    Deviations: none.
    Sources: jiang-2019 eq. (7.25) [published]; jindal-2010 Example 30-3 [secondary].

    Examples:
        >>> breaking_safety(breaking_load_n=10700.0, tension_n=767.6, service_factor=1.0)
        13.94
    """
    if not (0.0 < breaking_load_n < inf and 0.0 < tension_n < inf and 0.0 < service_factor < inf):
        positive("breaking_load_n", breaking_load_n)
        positive("tension_n", tension_n)
        positive("service_factor", service_factor)
    return breaking_load_n / (service_factor * tension_n)
