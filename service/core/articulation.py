"""How often and how far the joints of a chain turn, what that costs, and where a free span sings."""

from __future__ import annotations

from math import gcd, inf, pi, sqrt
from typing import NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import at_least, not_negative, positive


class Repeat(NamedTuple):
    """When a tooth meets the same link again."""

    common_factor: int
    pitches_before_repeat: int
    wheel_turns: int
    chain_laps: int


@equation(
    "articulation.repeat",
    symbol="lcm",
    unit="object",
    sources=(Source("plane-geometry", "least common multiple of teeth and pitches", "derived"),),
)
def repeat(*, teeth: int, pitch_count: int) -> Repeat:
    """Course of a tooth through the links before it meets the same link again.

    Equation:
        pitches = N X/gcd(N, X);  turns = X/gcd;  laps = N/gcd

    Args:
        teeth: Teeth N, [-]; N >= 3.
        pitch_count: Chain length X, [pitches]; X >= 3.

    Returns:
        Common factor, pitches, wheel turns and chain laps before the meeting repeats, [object]; a common factor of
        one spreads wear best.

    Raises:
        OutOfRange: a count is below three.

    Validity: every tooth engages every link.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> repeat(teeth=16, pitch_count=96)
        Repeat(common_factor=16, pitches_before_repeat=96, wheel_turns=6, chain_laps=1)
    """
    at_least("teeth", teeth, 3, code="teeth_below_minimum")
    at_least("pitch_count", pitch_count, 3, code="chain_too_short")
    common = gcd(teeth, pitch_count)
    return Repeat(
        common_factor=common,
        pitches_before_repeat=teeth * pitch_count // common,
        wheel_turns=pitch_count // common,
        chain_laps=teeth // common,
    )


@equation(
    "articulation.laps_per_hour",
    symbol="u",
    unit="1/h",
    sources=(Source("plane-geometry", "way in an hour over the length of the chain", "derived"),),
)
def laps_per_hour(*, chain_speed_m_s: float, pitch_count: float, pitch_mm: float) -> float:
    """Laps of a chain round its path in an hour.

    Equation:
        u = 3 600 000 v/(X p)

    Args:
        chain_speed_m_s: Chain speed v, [m/s]; v >= 0.
        pitch_count: Chain length X, [pitches]; X > 0.
        pitch_mm: Chain pitch p, [mm]; p > 0.

    Returns:
        Laps u, [1/h].

    Raises:
        OutOfRange: a value is outside its range.

    Validity: none stated.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> laps_per_hour(chain_speed_m_s=1, pitch_count=100, pitch_mm=25.4)
        1417.3
    """
    if not (0 <= chain_speed_m_s < inf and 0 < pitch_count < inf and 0 < pitch_mm < inf):
        not_negative("chain_speed_m_s", chain_speed_m_s)
        positive("pitch_count", pitch_count)
        positive("pitch_mm", pitch_mm)
    return 3_600_000 * chain_speed_m_s / (pitch_count * pitch_mm)


@equation(
    "articulation.flexings_per_hour",
    symbol="i",
    unit="1/h",
    sources=(Source("plane-geometry", "a joint turns on entry to and exit from each wheel", "derived"),),
)
def flexings_per_hour(*, laps_per_hour: float, wheel_count: int) -> float:
    """Turnings of one joint in an hour.

    Equation:
        i = 2 z u

    Args:
        laps_per_hour: Laps of the chain u, [-] an hour; u >= 0.
        wheel_count: Wheels that the chain bends round z, idlers included, [-]; z >= 1.

    Returns:
        Turnings i, [1/h].

    Raises:
        OutOfRange: a value is outside its range.

    Validity: a wheel that the chain bends round by at least one pitch.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> flexings_per_hour(laps_per_hour=1500, wheel_count=2)
        6000
    """
    not_negative("laps_per_hour", laps_per_hour)
    at_least("wheel_count", wheel_count, 1, code="must_be_positive")
    return 2 * wheel_count * laps_per_hour


@equation(
    "articulation.slide_per_flexing",
    symbol="s",
    unit="mm",
    sources=(Source("plane-geometry", "turning of one tooth angle on the pin radius", "derived"),),
)
def slide_per_flexing(*, pin_diameter_mm: float, teeth: int) -> float:
    """Way that pin and bush slide on each other when a joint enters or leaves a wheel.

    Equation:
        s = (d/2) (2 pi/N) = pi d/N

    Args:
        pin_diameter_mm: Pin diameter d, [mm]; d > 0.
        teeth: Teeth N, [-]; N >= 3.

    Returns:
        Sliding way s, [mm].

    Raises:
        OutOfRange: a value is outside its range.

    Validity: plain pin joint; a rocker joint rolls.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> slide_per_flexing(pin_diameter_mm=8, teeth=20)
        1.2566
    """
    positive("pin_diameter_mm", pin_diameter_mm)
    at_least("teeth", teeth, 3, code="teeth_below_minimum")
    return pi * pin_diameter_mm / teeth


@equation(
    "articulation.wear_index",
    symbol="W",
    unit="N/mm/h",
    sources=(Source("plane-geometry", "pressure times sliding way of a joint, added up over its laps", "derived"),),
)
def wear_index(
    *,
    tight_pressure_n_mm2: float,
    slack_pressure_n_mm2: float,
    slide_small_mm: float,
    slide_large_mm: float,
    laps_per_hour: float,
) -> float:
    """Pressure times sliding way of a joint in an hour, by which two duties of a chain are compared.

    Equation:
        W = u (p1 + p2) (s1 + s2)

    Args:
        tight_pressure_n_mm2: Pressure of the joint in the tight strand p1, [N/mm2]; p1 >= 0.
        slack_pressure_n_mm2: Pressure of the joint in the slack strand p2, [N/mm2]; p2 >= 0.
        slide_small_mm: Sliding way when the joint meets or leaves the small wheel s1, [mm]; s1 >= 0.
        slide_large_mm: Sliding way at the large wheel s2, [mm]; s2 >= 0.
        laps_per_hour: Laps of the chain u, [-] an hour; u >= 0.

    Returns:
        Wear index W, [N/mm/h].

    Raises:
        OutOfRange: a value is outside its range.

    Validity: two wheels; on each, a joint turns once in the tight and once in the slack strand. Says nothing of dirt
        and oil, so that only its ratio between duties of one chain has a meaning.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> wear_index(tight_pressure_n_mm2=10, slack_pressure_n_mm2=1, slide_small_mm=2, slide_large_mm=1,
        ...     laps_per_hour=100)
        3300
    """
    not_negative("tight_pressure_n_mm2", tight_pressure_n_mm2)
    not_negative("slack_pressure_n_mm2", slack_pressure_n_mm2)
    not_negative("slide_small_mm", slide_small_mm)
    not_negative("slide_large_mm", slide_large_mm)
    not_negative("laps_per_hour", laps_per_hour)
    return laps_per_hour * (tight_pressure_n_mm2 + slack_pressure_n_mm2) * (slide_small_mm + slide_large_mm)


@equation(
    "articulation.joint_loss",
    symbol="1 - eta",
    unit="-",
    sources=(Source("plane-geometry", "friction work of the joints over the work of the drive", "derived"),),
)
def joint_loss(
    *,
    joint_friction: float,
    pin_diameter_mm: float,
    pitch_mm: float,
    teeth_driver: int,
    teeth_driven: int,
    tight_tension_n: float,
    slack_tension_n: float,
) -> float:
    """Share of the power that the joints of a two-wheel drive turn into heat.

    Equation:
        1 - eta = mu pi (d/p) (1/N1 + 1/N2) (T1 + T2)/(T1 - T2)

    Args:
        joint_friction: Friction between pin and bush mu, [-]; mu >= 0.
        pin_diameter_mm: Pin diameter d, [mm]; d > 0.
        pitch_mm: Chain pitch p, [mm]; p > 0.
        teeth_driver: Teeth of the driver N1, [-]; N1 >= 3.
        teeth_driven: Teeth of the driven wheel N2, [-]; N2 >= 3.
        tight_tension_n: Tension of the tight strand T1, [N]; T1 > T2.
        slack_tension_n: Tension of the slack strand T2, [N]; T2 >= 0.

    Returns:
        Lost share 1 - eta, [-]; the efficiency is one less it.

    Raises:
        OutOfRange: a value is outside its range.

    Validity: joints only; shaft bearings, oil and tooth contact come on top. Small friction.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> joint_loss(joint_friction=0.1, pin_diameter_mm=8, pitch_mm=25.4, teeth_driver=20, teeth_driven=40,
        ...     tight_tension_n=1000, slack_tension_n=0)
        0.0074
    """
    not_negative("joint_friction", joint_friction)
    positive("pin_diameter_mm", pin_diameter_mm)
    positive("pitch_mm", pitch_mm)
    at_least("teeth_driver", teeth_driver, 3, code="teeth_below_minimum")
    at_least("teeth_driven", teeth_driven, 3, code="teeth_below_minimum")
    not_negative("slack_tension_n", slack_tension_n)
    if not tight_tension_n > slack_tension_n:
        message = f"The tight strand of {tight_tension_n:g} N carries no more than the slack of {slack_tension_n:g} N."
        raise OutOfRange(Issue("tight_tension_n", "no_effective_pull", message, slack_tension_n, tight_tension_n))
    turning = joint_friction * pi * pin_diameter_mm / pitch_mm * (1 / teeth_driver + 1 / teeth_driven)
    return turning * (tight_tension_n + slack_tension_n) / (tight_tension_n - slack_tension_n)


@equation(
    "articulation.span_frequency",
    symbol="f",
    unit="Hz",
    sources=(
        Source("plane-geometry", "waves down and up a moving string", "derived"),
        Source("mahalingam-1957", "transverse vibration of power transmission chains", "secondary"),
    ),
)
def span_frequency(
    *, order: int, span_m: float, strand_tension_n: float, mass_kg_m: float, chain_speed_m_s: float
) -> float:
    """Natural frequency of a free span across its length.

    Equation:
        c = sqrt(T/m);  f = k (c^2 - v^2)/(2 L c)

    Args:
        order: Number of the frequency k, [-]; k >= 1.
        span_m: Free span L, [m]; L > 0.
        strand_tension_n: Whole tension of the strand T, centrifugal part m v^2 included, [N]; T > m v^2.
        mass_kg_m: Mass per length m, [kg/m]; m > 0.
        chain_speed_m_s: Chain speed v, [m/s]; v >= 0.

    Returns:
        Natural frequency f, [Hz].

    Raises:
        OutOfRange: a value is outside its range, or code ``tension_below_centrifugal``.

    Validity: a span taut enough that its sag does not matter.
    Deviations: none.
    Sources: plane-geometry [derived]; mahalingam-1957 transverse vibration [secondary].

    Examples:
        >>> span_frequency(order=1, span_m=0.9, strand_tension_n=1500, mass_kg_m=2.6, chain_speed_m_s=5)
        12.7657722616833
    """
    if not (order >= 1 and 0 < span_m < inf and 0 < strand_tension_n < inf and 0 < mass_kg_m < inf):
        at_least("order", order, 1, code="must_be_positive")
        positive("span_m", span_m)
        positive("strand_tension_n", strand_tension_n)
        positive("mass_kg_m", mass_kg_m)
    not_negative("chain_speed_m_s", chain_speed_m_s)
    centrifugal = mass_kg_m * chain_speed_m_s * chain_speed_m_s
    if not strand_tension_n > centrifugal:
        message = f"A strand of {strand_tension_n:g} N is below its own centrifugal tension of {centrifugal:g} N."
        raise OutOfRange(Issue("strand_tension_n", "tension_below_centrifugal", message, centrifugal, strand_tension_n))
    wave = sqrt(strand_tension_n / mass_kg_m)
    return order * (wave * wave - chain_speed_m_s * chain_speed_m_s) / (2 * span_m * wave)
