"""What a conveyor asks of its drive and its chains: power, torque, starting, jam, share of parallel chains."""

from __future__ import annotations

from math import cos, pi, sin

from service.core.equations import Source, equation
from service.core.guards import at_least, at_most, not_negative, positive


@equation(
    "conveyor_power.power",
    symbol="P",
    unit="kW",
    sources=(Source("plane-geometry", "force times speed", "derived"),),
)
def power(*, effective_pull_n: float, chain_speed_m_s: float, efficiency: float) -> float:
    """Power that an effective pull needs at the motor side of a drive.

    Equation:
        P = T v/(1000 eta)

    Args:
        effective_pull_n: Tight less slack tension T, [N].
        chain_speed_m_s: Chain speed v, [m/s]; v > 0.
        efficiency: Efficiency of the drive between head shaft and the place asked for eta, [-]; 0 < eta <= 1.

    Returns:
        Power P, [kW]; negative for a pull that must be held back, where losses help and eta is to be taken as one.

    Raises:
        OutOfRange: the speed is not above zero or the efficiency is outside its range.

    Validity: steady speed.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> power(effective_pull_n=3182.54795, chain_speed_m_s=0.5, efficiency=1)
        1.591273975
    """
    positive("chain_speed_m_s", chain_speed_m_s)
    positive("efficiency", efficiency)
    at_most("efficiency", efficiency, 1, code="efficiency_above_one")
    return effective_pull_n * chain_speed_m_s / (1000 * efficiency)


@equation(
    "conveyor_power.whole_conveyor",
    symbol="H.P.",
    unit="hp",
    sources=(Source("meade-1921", "p. 338, examples (a) and (b)", "published"),),
)
def whole_conveyor(
    *, material_lb: float, moving_lb: float, speed_ft_min: float, friction: float, incline_deg: float
) -> float:
    """Horse-power of a whole conveyor from the weights on both strands, before losses in wheels and drive.

    Equation:
        H.P. = [M S sin a + K S (M + W) cos a]/33 000

    Args:
        material_lb: Material on the conveyor M, [lb]; M >= 0.
        moving_lb: Moving parts of both strands W, [lb]; W >= 0.
        speed_ft_min: Speed S, [ft/min]; S > 0.
        friction: Friction K of moving parts and material alike, [-]; K >= 0.
        incline_deg: Rise above the horizontal a, [deg]; 0 <= a <= 90.

    Returns:
        Power H.P., [hp].

    Raises:
        OutOfRange: a value is not finite or outside its range.

    Validity: the return strand must not drive itself: tan a <= K.
    Deviations: none.
    Sources: meade-1921 p. 338 [published].

    Examples:
        >>> whole_conveyor(material_lb=1867, moving_lb=10_000, speed_ft_min=40, friction=0.45, incline_deg=0)
        6.5
    """
    not_negative("material_lb", material_lb)
    not_negative("moving_lb", moving_lb)
    positive("speed_ft_min", speed_ft_min)
    not_negative("friction", friction)
    not_negative("incline_deg", incline_deg)
    at_most("incline_deg", incline_deg, 90, code="angle_out_of_range")
    angle = incline_deg * pi / 180
    pull = material_lb * sin(angle) + friction * (material_lb + moving_lb) * cos(angle)
    return pull * speed_ft_min / 33_000


@equation(
    "conveyor_power.torque",
    symbol="M",
    unit="N·m",
    sources=(Source("plane-geometry", "force on the pitch circle", "derived"),),
)
def torque(*, effective_pull_n: float, pitch_diameter_mm: float) -> float:
    """Torque on the head shaft.

    Equation:
        M = T D/2000

    Args:
        effective_pull_n: Tight less slack tension T, [N].
        pitch_diameter_mm: Pitch diameter of the head wheel D, [mm]; D > 0.

    Returns:
        Torque M, [N·m].

    Raises:
        OutOfRange: the diameter is not above zero.

    Validity: mean over a tooth; polygon action makes it swing.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> torque(effective_pull_n=10_000, pitch_diameter_mm=400)
        2000.0
    """
    positive("pitch_diameter_mm", pitch_diameter_mm)
    return effective_pull_n * pitch_diameter_mm / 2000


@equation(
    "conveyor_power.pull_of_torque",
    symbol="T",
    unit="N",
    sources=(Source("plane-geometry", "torque through the gear to the pitch circle", "derived"),),
)
def pull_of_torque(*, torque_n_m: float, gear_ratio: float, efficiency: float, pitch_diameter_mm: float) -> float:
    """Pull that a torque brings on the chain: of a stalled motor, a limiter or a coupling.

    Equation:
        T = 2000 M i eta/D

    Args:
        torque_n_m: Torque at the motor, coupling or limiter M, [N·m]; M >= 0.
        gear_ratio: Speed of that shaft over speed of the head shaft i, [-]; i > 0.
        efficiency: Efficiency between the two; one gives the greatest pull eta, [-]; 0 < eta <= 1.
        pitch_diameter_mm: Pitch diameter of the head wheel D, [mm]; D > 0.

    Returns:
        Effective pull T, [N].

    Raises:
        OutOfRange: a value is not finite or outside its range.

    Validity: slow standstill; a sudden stop adds the energy of the turning parts.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> pull_of_torque(torque_n_m=100, gear_ratio=40, efficiency=0.9, pitch_diameter_mm=400)
        18000.0
    """
    not_negative("torque_n_m", torque_n_m)
    positive("gear_ratio", gear_ratio)
    positive("efficiency", efficiency)
    at_most("efficiency", efficiency, 1, code="efficiency_above_one")
    positive("pitch_diameter_mm", pitch_diameter_mm)
    return 2000 * torque_n_m * gear_ratio * efficiency / pitch_diameter_mm


@equation(
    "conveyor_power.acceleration_pull",
    symbol="T",
    unit="N",
    sources=(
        Source("plane-geometry", "mass times even acceleration", "derived"),
        Source("complete-guide-chain", "section 2.3.2, T1 = M dv/dt", "published"),
    ),
)
def acceleration_pull(*, moved_mass_kg: float, chain_speed_m_s: float, start_time_s: float) -> float:
    """Pull that brings the moved mass to speed in a given time.

    Equation:
        T = m v/t

    Args:
        moved_mass_kg: Chain, moving parts and load on the whole path, turning parts reduced to the chain m, [kg];
            m >= 0.
        chain_speed_m_s: Chain speed v, [m/s]; v > 0.
        start_time_s: Time of the start t, [s]; t > 0.

    Returns:
        Pull T, [N], on top of the pull by starting friction.

    Raises:
        OutOfRange: a value is not finite or outside its range.

    Validity: even acceleration; a direct-on-line start peaks above it.
    Deviations: none.
    Sources: plane-geometry [derived]; complete-guide-chain section 2.3.2 [published].

    Examples:
        >>> acceleration_pull(moved_mass_kg=4000, chain_speed_m_s=0.5, start_time_s=2)
        1000.0
    """
    not_negative("moved_mass_kg", moved_mass_kg)
    positive("chain_speed_m_s", chain_speed_m_s)
    positive("start_time_s", start_time_s)
    return moved_mass_kg * chain_speed_m_s / start_time_s


@equation(
    "conveyor_power.chain_share",
    symbol="Fn",
    unit="-",
    sources=(Source("trade-engineering-factors", "design chain pull, multiple strand factor", "secondary"),),
)
def chain_share(*, chain_count: int) -> float:
    """Share of the whole pull that one of several parallel chains is designed for.

    Equation:
        Fn = 1 for one chain;  Fn = 1.2/n for two and more

    Args:
        chain_count: Parallel chains n, [-]; n >= 1.

    Returns:
        Share of one chain Fn, [-].

    Raises:
        OutOfRange: there is no chain.

    Validity: chains of one matched set on wheels with aligned teeth.
    Deviations: none.
    Sources: trade-engineering-factors design chain pull [secondary].

    Examples:
        >>> chain_share(chain_count=2)
        0.6
    """
    at_least("chain_count", chain_count, 1, code="must_be_positive")
    return 1.0 if chain_count == 1 else 1.2 / chain_count


@equation(
    "conveyor_power.design_pull",
    symbol="Pd",
    unit="N",
    sources=(Source("trade-engineering-factors", "design chain pull", "secondary"),),
)
def design_pull(*, pull_n: float, speed_factor: float, service_factor: float, chain_share: float) -> float:
    """Pull that one chain is chosen on, to be set against its working load.

    Equation:
        Pd = P Fs Fp Fn

    Args:
        pull_n: Whole chain pull P, [N]; P >= 0.
        speed_factor: Factor of speed and teeth Fs, [-]; Fs > 0.
        service_factor: Product of the service factors Fp, [-]; Fp >= 1.
        chain_share: Share of one chain Fn, [-]; 0 < Fn <= 1.

    Returns:
        Design pull of one chain Pd, [N].

    Raises:
        OutOfRange: a value is not finite or outside its range.

    Validity: a speed factor below one lowers the design pull and never the static check.
    Deviations: none.
    Sources: trade-engineering-factors design chain pull [secondary].

    Examples:
        >>> design_pull(pull_n=10_000, speed_factor=1.1, service_factor=1.2, chain_share=0.6)
        7920.0
    """
    not_negative("pull_n", pull_n)
    positive("speed_factor", speed_factor)
    at_least("service_factor", service_factor, 1, code="factor_below_minimum")
    positive("chain_share", chain_share)
    at_most("chain_share", chain_share, 1, code="share_above_one")
    return pull_n * speed_factor * service_factor * chain_share
