"""Smallest toothed wheel whose rating reaches a power: the rating lines solved for the tooth count.

Each line rises with a power of the tooth count, so that its inverse is closed; the last step asks the line itself,
so that both agree to the last bit at the boundary.
"""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from service.core.equations import Source, equation
from service.core.errors import Issue, NoSolution
from service.core.guards import positive
from service.core.roller_rating import TEETH_MAX, TEETH_MIN, ChainClass, impact_power
from service.core.roller_rating_newer import link_plate_power_newer
from service.core.roller_rating_older import link_plate_power_older

if TYPE_CHECKING:
    from collections.abc import Callable


def _fewest(line: Callable[[int], float], exponent: float, power_hp: float, speed_rpm: float) -> int:
    """Fewest rated teeth at which a line proportional to teeth ** exponent reaches a power."""
    positive("power_hp", power_hp)
    most = line(TEETH_MAX)
    if most < power_hp:
        raise NoSolution(
            Issue(
                "power_hp",
                "power_beyond_table",
                f"One strand carries at most {most:.4g} hp at {speed_rpm:g} r/min with {TEETH_MAX} teeth; "
                f"{power_hp:g} hp were asked.",
                most,
                power_hp,
                "Take more strands or a larger pitch.",
            )
        )
    estimate: float = TEETH_MAX * (power_hp / most) ** (1.0 / exponent)
    teeth = max(TEETH_MIN, ceil(estimate))
    if teeth > TEETH_MIN and line(teeth - 1) >= power_hp:
        teeth -= 1
    elif line(teeth) < power_hp:
        teeth += 1
    return teeth


@equation(
    "roller_rating.teeth_for_link_plate_older",
    symbol="N",
    unit="teeth",
    sources=(Source("plane-geometry", "algebra of shigley-9 eq. (17-32)", "derived"),),
)
def teeth_for_link_plate_older(*, power_hp: float, chain_class: ChainClass, pitch_in: float, speed_rpm: float) -> int:
    """Fewest teeth whose link-plate line of the older edition reaches a power.

    Equation:
        N = ceil( [H / (K n^0.9 P^(3 - 0.07 P))]^(1/1.08) ), at least 11

    Args:
        power_hp: Power H that one strand must carry, [hp]; H > 0.
        chain_class: Rating class, [text].
        pitch_in: Pitch P, [in].
        speed_rpm: Speed n of the small wheel, [r/min]; 1 to 10 000.

    Returns:
        Teeth N of the small wheel, [teeth], 11 to 45.

    Raises:
        OutOfRange: a value lies outside the printed ratings.
        NoSolution: 45 teeth do not reach the power.

    Validity: as ``roller_rating.link_plate_power_older``.
    Deviations: none.
    Sources: plane-geometry, the relation of the older edition turned round [derived].

    Examples:
        >>> teeth_for_link_plate_older(power_hp=5.3, chain_class="roller", pitch_in=0.5, speed_rpm=1000)
        17
    """

    def line(teeth: int) -> float:
        return link_plate_power_older(chain_class=chain_class, pitch_in=pitch_in, teeth=teeth, speed_rpm=speed_rpm)

    return _fewest(line, 1.08, power_hp, speed_rpm)


@equation(
    "roller_rating.teeth_for_link_plate_newer",
    symbol="N",
    unit="teeth",
    sources=(Source("plane-geometry", "algebra of the fit to mott-6 Tables 7-14 to 7-16", "derived"),),
)
def teeth_for_link_plate_newer(*, power_hp: float, chain_class: ChainClass, pitch_in: float, speed_rpm: float) -> int:
    """Fewest teeth whose link-plate line of the newer edition reaches a power.

    Equation:
        N = ceil( H / (0.0044 n^0.96 P^(3 - 0.07 P)) ), at least 11

    Args:
        power_hp: Power H that one strand must carry, [hp]; H > 0.
        chain_class: Rating class, [text].
        pitch_in: Pitch P, [in].
        speed_rpm: Speed n of the small wheel, [r/min]; 1 to 10 000.

    Returns:
        Teeth N of the small wheel, [teeth], 11 to 45.

    Raises:
        OutOfRange: a value lies outside the printed ratings.
        NotInReference: No. 41, or a pitch above 1 in.
        NoSolution: 45 teeth do not reach the power.

    Validity: as ``roller_rating.link_plate_power_newer``.
    Deviations: none.
    Sources: plane-geometry, the relation of the newer edition turned round [derived].

    Examples:
        >>> teeth_for_link_plate_newer(power_hp=1.3, chain_class="bush", pitch_in=0.25, speed_rpm=1500)
        17
    """

    def line(teeth: int) -> float:
        return link_plate_power_newer(chain_class=chain_class, pitch_in=pitch_in, teeth=teeth, speed_rpm=speed_rpm)

    return _fewest(line, 1.0, power_hp, speed_rpm)


@equation(
    "roller_rating.teeth_for_impact",
    symbol="N",
    unit="teeth",
    sources=(Source("plane-geometry", "algebra of shigley-9 eq. (17-33)", "derived"),),
)
def teeth_for_impact(*, power_hp: float, chain_class: ChainClass, pitch_in: float, speed_rpm: float) -> int:
    """Fewest teeth whose impact line reaches a power, both editions.

    Equation:
        N = ceil( [H n^1.5 / (1000 K P^0.8)]^(1/1.5) ), at least 11

    Args:
        power_hp: Power H that one strand must carry, [hp]; H > 0.
        chain_class: Rating class, [text].
        pitch_in: Pitch P, [in].
        speed_rpm: Speed n of the small wheel, [r/min]; 1 to 10 000.

    Returns:
        Teeth N of the small wheel, [teeth], 11 to 45.

    Raises:
        OutOfRange: a value lies outside the printed ratings.
        NoSolution: 45 teeth do not reach the power.

    Validity: as ``roller_rating.impact_power``.
    Deviations: none.
    Sources: plane-geometry, the impact relation turned round [derived].

    Examples:
        >>> teeth_for_impact(power_hp=1.1, chain_class="bush", pitch_in=0.25, speed_rpm=4500)
        11
    """

    def line(teeth: int) -> float:
        return impact_power(chain_class=chain_class, pitch_in=pitch_in, teeth=teeth, speed_rpm=speed_rpm)

    return _fewest(line, 1.5, power_hp, speed_rpm)
