"""Chain that lifts: load of one chain, strength it must have, sheaves for leaf chain, hand chain of a hoist."""

from __future__ import annotations

from service.core.conversions import FREE_FALL_M_S2
from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import at_least, at_most, not_negative, positive

SHEAVE_PITCHES = 5
FLANGE_WIDTH_RATIO = 1.05
HAND_CHAIN_FACTOR = 3


@equation(
    "lifting.load_per_chain",
    symbol="F",
    unit="N",
    sources=(Source("plane-geometry", "balance of a load hung from several falls", "derived"),),
)
def load_per_chain(*, mass_kg: float, acceleration_m_s2: float, falls: int, efficiency: float) -> float:
    """Tension of one chain or fall that lifts a mass.

    Equation:
        F = m (g + a)/(z eta)

    Args:
        mass_kg: Mass lifted m, carriage and attachments included, [kg]; m > 0.
        acceleration_m_s2: Greatest upward acceleration a, braking of a descent included, [m/s2]; a >= 0.
        falls: Chains or falls that share the load evenly z, [-]; z >= 1.
        efficiency: Efficiency of the wheels between load and the chain asked for eta, [-]; 0 < eta <= 1.

    Returns:
        Tension F, [N].

    Raises:
        OutOfRange: a value is outside its range.

    Validity: even shares, which two chains keep only with an equaliser; without one count each with the whole load.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> load_per_chain(mass_kg=2000, acceleration_m_s2=0, falls=2, efficiency=1)
        9806.65
    """
    positive("mass_kg", mass_kg)
    not_negative("acceleration_m_s2", acceleration_m_s2)
    at_least("falls", falls, 1, code="must_be_positive")
    positive("efficiency", efficiency)
    at_most("efficiency", efficiency, 1, code="efficiency_above_one")
    return mass_kg * (FREE_FALL_M_S2 + acceleration_m_s2) / (falls * efficiency)


@equation(
    "lifting.required_tensile_strength",
    symbol="Fu",
    unit="N",
    sources=(Source("trade-leaf-practice", "selection: load, service factor, safety factor", "secondary"),),
)
def required_tensile_strength(*, tension_n: float, service_factor: float, safety_factor: float) -> float:
    """Minimum tensile strength that a lifting chain must have.

    Equation:
        Fu = F f S

    Args:
        tension_n: Greatest tension of one chain F, attachments and inertia included, [N]; F > 0.
        service_factor: Allowance for shock f, [-]; f >= 1.
        safety_factor: Factor that the rule of the machine asks for S, [-]; S > 1.

    Returns:
        Minimum tensile strength Fu, [N].

    Raises:
        OutOfRange: a value is outside its range; ``factor_below_minimum`` for a safety factor of one or less.

    Validity: the factor comes from the machine's own standard; there is no general one.
    Deviations: none.
    Sources: trade-leaf-practice selection [secondary].

    Examples:
        >>> required_tensile_strength(tension_n=10_000, service_factor=1.3, safety_factor=9)
        117000.0
    """
    positive("tension_n", tension_n)
    at_least("service_factor", service_factor, 1, code="factor_below_minimum")
    _check_safety_factor(safety_factor)
    return tension_n * service_factor * safety_factor


def _check_safety_factor(safety_factor: float) -> None:
    if not safety_factor > 1:
        message = f"A safety factor of {safety_factor:g} leaves nothing in hand; lifting needs the factor of its rule."
        raise OutOfRange(
            Issue("safety_factor", "factor_below_minimum", message, 1, safety_factor, "Enter the factor of your rule.")
        )


@equation(
    "lifting.breaking_force_for_limit",
    symbol="BF",
    unit="kN",
    sources=(
        Source("directive-2006-42-ec", "annex I, 4.1.2.5, working coefficient", "published"),
        Source("plane-geometry", "weight of a mass", "derived"),
    ),
)
def breaking_force_for_limit(*, working_load_limit_kg: float, working_coefficient: float) -> float:
    """Breaking force that a working load limit and a working coefficient call for.

    Equation:
        BF = S g WLL/1000

    Args:
        working_load_limit_kg: Working load limit WLL, [kg]; WLL > 0.
        working_coefficient: Working coefficient S, [-]; S > 1.

    Returns:
        Breaking force BF, [kN].

    Raises:
        OutOfRange: a value is outside its range.

    Validity: none stated.
    Deviations: none.
    Sources: directive-2006-42-ec annex I [published]; plane-geometry [derived].

    Examples:
        >>> breaking_force_for_limit(working_load_limit_kg=1000, working_coefficient=4)
        39.2266
    """
    positive("working_load_limit_kg", working_load_limit_kg)
    _check_safety_factor(working_coefficient)
    return working_coefficient * FREE_FALL_M_S2 * working_load_limit_kg / 1000


@equation(
    "lifting.sheave_diameter",
    symbol="D",
    unit="mm",
    sources=(Source("trade-leaf-practice", "sheaves: diameter on the plate edge", "secondary"),),
)
def sheave_diameter(*, pitch_mm: float) -> float:
    """Least diameter of a sheave on which the plate edges of leaf chain run.

    Equation:
        D = 5 p

    Args:
        pitch_mm: Chain pitch p, [mm]; p > 0.

    Returns:
        Sheave diameter D at least, [mm].

    Raises:
        OutOfRange: the pitch is not a finite number above zero.

    Validity: practice of the trade; the standard's own sheave table was not read.
    Deviations: none.
    Sources: trade-leaf-practice sheaves [secondary].

    Examples:
        >>> sheave_diameter(pitch_mm=25.4)
        127.0
    """
    positive("pitch_mm", pitch_mm)
    return SHEAVE_PITCHES * pitch_mm


@equation(
    "lifting.sheave_width",
    symbol="B",
    unit="mm",
    sources=(Source("trade-leaf-practice", "sheaves: width between flanges", "secondary"),),
)
def sheave_width(*, pin_length_mm: float) -> float:
    """Least width between the flanges of a sheave for leaf chain.

    Equation:
        B = 1.05 l

    Args:
        pin_length_mm: Length over the pin ends l, [mm]; l > 0.

    Returns:
        Width B at least, [mm].

    Raises:
        OutOfRange: the length is not a finite number above zero.

    Validity: practice of the trade; the standard's own sheave table was not read.
    Deviations: none.
    Sources: trade-leaf-practice sheaves [secondary].

    Examples:
        >>> sheave_width(pin_length_mm=40)
        42.0
    """
    positive("pin_length_mm", pin_length_mm)
    return FLANGE_WIDTH_RATIO * pin_length_mm


@equation(
    "lifting.hand_chain_strength",
    symbol="Fh",
    unit="N",
    sources=(Source("mil-h-904j", "paragraph 3.3.2", "published"),),
)
def hand_chain_strength(*, hand_pull_n: float) -> float:
    """Rated strength that the hand chain of a hoist must have.

    Equation:
        Fh = 3 P

    Args:
        hand_pull_n: Greatest pull on the hand chain P, [N]; P > 0.

    Returns:
        Rated strength Fh at least, [N].

    Raises:
        OutOfRange: the pull is not a finite number above zero.

    Validity: hand-operated hoists.
    Deviations: none.
    Sources: mil-h-904j paragraph 3.3.2 [published].

    Examples:
        >>> hand_chain_strength(hand_pull_n=300)
        900
    """
    positive("hand_pull_n", hand_pull_n)
    return HAND_CHAIN_FACTOR * hand_pull_n
