"""Drives of engineering-class chain by the pull method: speed-and-tooth factor, working load, joint pressure."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from service.core.equations import Source, equation
from service.core.guards import at_least, positive
from service.core.interpolation import between_points

if TYPE_CHECKING:
    from collections.abc import Sequence


class SpeedFactorPoint(NamedTuple):
    """One printed factor of speed and teeth."""

    teeth: int
    speed_ft_min: float
    factor: float


@equation(
    "chain_pull_drive.power_at_working_load",
    symbol="HP",
    unit="hp",
    sources=(Source("trade-engineering-factors", "drive chain selection, horsepower ratings", "secondary"),),
)
def power_at_working_load(
    *, working_load_lbf: float, pitch_in: float, teeth: int, speed_rpm: float, speed_factor: float
) -> float:
    """Power that a chain of a given working load is rated for on a sprocket.

    Equation:
        HP = WL P T R/(396 000 Fs)

    Args:
        working_load_lbf: Working load of the chain WL, [lbf]; WL > 0.
        pitch_in: Chain pitch P, [in]; P > 0.
        teeth: Teeth of the driving sprocket T, [-]; T >= 5.
        speed_rpm: Speed of the driving sprocket R, [r/min]; R > 0.
        speed_factor: Factor of speed and teeth Fs, [-]; Fs > 0.

    Returns:
        Power HP, [hp].

    Raises:
        OutOfRange: a value is not finite or not above its lower limit.

    Validity: chain speeds of the factor table.
    Deviations: none.
    Sources: trade-engineering-factors drive chain selection [secondary].

    Examples:
        >>> power_at_working_load(working_load_lbf=6000, pitch_in=3, teeth=12, speed_rpm=20, speed_factor=1.1)
        9.917
    """
    positive("working_load_lbf", working_load_lbf)
    positive("pitch_in", pitch_in)
    at_least("teeth", teeth, 5, code="teeth_below_minimum")
    positive("speed_rpm", speed_rpm)
    positive("speed_factor", speed_factor)
    return working_load_lbf * pitch_in * teeth * speed_rpm / (396_000 * speed_factor)


@equation(
    "chain_pull_drive.speed_factor",
    symbol="Fs",
    unit="-",
    sources=(Source("plane-geometry", "straight lines between printed factors", "derived"),),
)
def speed_factor(*, teeth: int, speed_ft_min: float, points: Sequence[SpeedFactorPoint]) -> float:
    """Factor of speed and teeth between the printed points of a table.

    Equation:
        linear in speed at the tabulated tooth counts on either side, then linear in 1/N

    Args:
        teeth: Teeth N of the sprocket, [-].
        speed_ft_min: Chain speed, [ft/min].
        points: Printed factors, [object].

    Returns:
        Factor Fs, [-], by which the pull is multiplied.

    Raises:
        OutOfRange: code ``outside_table``; the blank corner of few teeth and high speed is a limit.

    Validity: inside the table; the source prints no rule for places between its points.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> speed_factor(teeth=12, speed_ft_min=175, points=[
        ...     SpeedFactorPoint(teeth=12, speed_ft_min=150, factor=1.10),
        ...     SpeedFactorPoint(teeth=12, speed_ft_min=200, factor=1.21)])
        1.155
    """
    listed = sorted({point.teeth for point in points})
    below = [count for count in listed if count <= teeth]
    above = [count for count in listed if count >= teeth]
    if not (below and above):
        between_points(at=teeth, points=[(count, 0.0) for count in listed], field="teeth")
    chosen = sorted({below[-1], above[0]}, reverse=True)
    by_teeth = [(1 / count, _at_speed(count, speed_ft_min, points)) for count in chosen]
    return between_points(at=1 / teeth, points=by_teeth, field="teeth")


def _at_speed(teeth: int, speed_ft_min: float, points: Sequence[SpeedFactorPoint]) -> float:
    line = sorted((point.speed_ft_min, point.factor) for point in points if point.teeth == teeth)
    return between_points(at=speed_ft_min, points=line, field="speed_ft_min")


@equation(
    "chain_pull_drive.needed_working_load",
    symbol="WL",
    unit="lbf",
    sources=(Source("trade-engineering-factors", "design chain pull", "secondary"),),
)
def needed_working_load(*, pull_lbf: float, speed_factor: float, service_factor: float) -> float:
    """Working load that a chain must have for a pull.

    Equation:
        WL = P Fs Fp

    Args:
        pull_lbf: Chain pull P, [lbf]; P > 0.
        speed_factor: Factor of speed and teeth Fs, [-]; Fs > 0.
        service_factor: Product of the service factors that apply Fp, [-]; Fp >= 1.

    Returns:
        Working load WL, [lbf].

    Raises:
        OutOfRange: a value is not finite or below its lower limit.

    Validity: one chain.
    Deviations: none.
    Sources: trade-engineering-factors design chain pull [secondary].

    Examples:
        >>> needed_working_load(pull_lbf=3300, speed_factor=1.1, service_factor=1.4)
        5082.0
    """
    positive("pull_lbf", pull_lbf)
    positive("speed_factor", speed_factor)
    at_least("service_factor", service_factor, 1, code="factor_below_minimum")
    return pull_lbf * speed_factor * service_factor


@equation(
    "chain_pull_drive.joint_pressure",
    symbol="p",
    unit="N/mm2",
    sources=(Source("plane-geometry", "force over the projected area of the joint", "derived"),),
)
def joint_pressure(*, tension_n: float, pin_diameter_mm: float, bush_length_mm: float) -> float:
    """Bearing pressure between pin and bush.

    Equation:
        p = F/(d b)

    Args:
        tension_n: Tension of one strand F, [N]; F > 0.
        pin_diameter_mm: Pin diameter d, [mm]; d > 0.
        bush_length_mm: Length of the bush or barrel on the pin b, [mm]; b > 0.

    Returns:
        Pressure p, [N/mm2].

    Raises:
        OutOfRange: a value is not a finite number above zero.

    Validity: even over the joint; a bending pin loads the ends more.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> joint_pressure(tension_n=12_000, pin_diameter_mm=20, bush_length_mm=60)
        10.0
    """
    positive("tension_n", tension_n)
    positive("pin_diameter_mm", pin_diameter_mm)
    positive("bush_length_mm", bush_length_mm)
    return tension_n / (pin_diameter_mm * bush_length_mm)
