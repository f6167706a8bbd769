"""Polygon action of a toothed head wheel: how it jerks the chain, and the pull that the jerk may add."""

from __future__ import annotations

from math import pi

from service.core.equations import Source, equation
from service.core.guards import not_negative, positive
from service.core.speeds import check_polygon_teeth


@equation(
    "conveyor_surge.peak_acceleration",
    symbol="a",
    unit="m/s2",
    sources=(Source("plane-geometry", "speed of the pitch polygon differentiated by time", "derived"),),
)
def peak_acceleration(*, chain_speed_m_s: float, teeth: int, pitch_mm: float) -> float:
    """Greatest acceleration of the chain along its path at a wheel that turns evenly.

    Equation:
        a = w^2 R sin(pi/N) = w^2 p/2 = 2 pi^2 v^2/(N^2 p), w = 2 pi v/(N p)

    Args:
        chain_speed_m_s: Mean chain speed v, [m/s]; v > 0.
        teeth: Teeth of the wheel N, [-]; N >= 3.
        pitch_mm: Chain pitch p, [mm]; p > 0.

    Returns:
        Acceleration a, [m/s2]; the chain is slowed by as much before the next tooth takes over.

    Raises:
        OutOfRange: a value is not above zero, or the tooth count is impossible.

    Validity: every tooth meets the chain (no pitch skipped); elastic chain and wheel soften it.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> peak_acceleration(chain_speed_m_s=0.5, teeth=6, pitch_mm=200)
        0.6854
    """
    positive("chain_speed_m_s", chain_speed_m_s)
    check_polygon_teeth("teeth", teeth)
    positive("pitch_mm", pitch_mm)
    return 2000.0 * pi * pi * chain_speed_m_s * chain_speed_m_s / (teeth * teeth * pitch_mm)


@equation(
    "conveyor_surge.surge_pull",
    symbol="Pd",
    unit="N",
    sources=(
        Source(
            "plane-geometry", "jump of the acceleration at the change of teeth, doubled as a sudden load", "derived"
        ),
        Source("spivakovsky-dyachkov", "dynamic load of chain conveyors", "memory"),
    ),
)
def surge_pull(*, moved_mass_kg: float, peak_acceleration_m_s2: float) -> float:
    """Pull that polygon action may add for a moment, if the whole moved mass followed the jerk.

    Equation:
        Pd = -m a + 2 (2 m a) = 3 m a

    Args:
        moved_mass_kg: Chain, moving parts and load on the whole path m, [kg]; m >= 0.
        peak_acceleration_m_s2: Peak acceleration a, [m/s2]; a >= 0.

    Returns:
        Added pull Pd, [N]; an upper bound.

    Raises:
        OutOfRange: a value is not finite or negative.

    Validity: at the change of teeth the acceleration jumps by 2 a from -a, and a load that comes on at once stretches
        the chain twice as far as one that rests. Chain that is long enough to stretch lets only a part of its mass
        follow.
    Deviations: the textbook is recalled to count a share of the moving parts that falls with the length; the whole
        mass is counted here.
    Sources: plane-geometry [derived]; spivakovsky-dyachkov dynamic load of chain conveyors [memory].

    Examples:
        >>> surge_pull(moved_mass_kg=1000, peak_acceleration_m_s2=0.5)
        1500.0
    """
    not_negative("moved_mass_kg", moved_mass_kg)
    not_negative("peak_acceleration_m_s2", peak_acceleration_m_s2)
    return 3.0 * moved_mass_kg * peak_acceleration_m_s2
