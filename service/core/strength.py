"""The three strengths of a chain - ultimate, yield and fatigue - and which of them a load comes nearest to."""

from __future__ import annotations

from typing import Literal, NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Inconsistent, Issue
from service.core.guards import at_most, not_negative, positive

Mode = Literal["fatigue", "yield", "ultimate"]


class Governing(NamedTuple):
    """The strength that is reached first when every load grows in the same measure."""

    mode: Mode
    utilisation: float
    load_multiple: float


@equation(
    "strength.yield_load",
    symbol="Fy",
    unit="N",
    sources=(Source("complete-guide-chain", "section 2.1.1, point A at 70 percent of point B", "published"),),
)
def yield_load(*, minimum_tensile_strength_n: float, yield_fraction: float) -> float:
    """Load at which a chain begins to stretch for good.

    Equation:
        Fy = y Fu

    Args:
        minimum_tensile_strength_n: Minimum tensile strength Fu, [N]; Fu > 0.
        yield_fraction: Elastic limit as a fraction of the ultimate y, [-]; 0 < y <= 1.

    Returns:
        Yield load Fy, [N].

    Raises:
        OutOfRange: a value is outside its range.

    Validity: the fraction is a usual figure for a kind of chain and no guaranteed minimum.
    Deviations: none.
    Sources: complete-guide-chain section 2.1.1 [published].

    Examples:
        >>> yield_load(minimum_tensile_strength_n=100_000, yield_fraction=0.70)
        70000.0
    """
    positive("minimum_tensile_strength_n", minimum_tensile_strength_n)
    positive("yield_fraction", yield_fraction)
    at_most("yield_fraction", yield_fraction, 1, code="fraction_above_one")
    return yield_fraction * minimum_tensile_strength_n


@equation(
    "strength.margin_to_yield",
    symbol="m",
    unit="-",
    sources=(Source("plane-geometry", "distance to a limit as a fraction of it", "derived"),),
)
def margin_to_yield(*, yield_load_n: float, peak_tension_n: float) -> float:
    """Part of the yield load that a peak leaves unused.

    Equation:
        m = 1 - F/Fy

    Args:
        yield_load_n: Yield load Fy, [N]; Fy > 0.
        peak_tension_n: Greatest tension F, [N]; F >= 0.

    Returns:
        Margin m, [-]; negative where the chain is stretched for good.

    Raises:
        OutOfRange: a value is outside its range.

    Validity: none stated.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> margin_to_yield(yield_load_n=70_000, peak_tension_n=35_000)
        0.5
    """
    positive("yield_load_n", yield_load_n)
    not_negative("peak_tension_n", peak_tension_n)
    return 1 - peak_tension_n / yield_load_n


def _check_cycle(greatest_n: float, least_n: float, ultimate_n: float) -> None:
    positive("greatest_tension_n", greatest_n)
    not_negative("least_tension_n", least_n)
    positive("minimum_tensile_strength_n", ultimate_n)
    if least_n > greatest_n:
        message = f"The least tension of {least_n:g} N is above the greatest of {greatest_n:g} N."
        raise Inconsistent(Issue("least_tension_n", "cycle_reversed", message, greatest_n, least_n))
    if not greatest_n < ultimate_n:
        message = f"A tension of {greatest_n:g} N breaks the chain of {ultimate_n:g} N at once."
        raise Inconsistent(Issue("greatest_tension_n", "load_above_ultimate", message, ultimate_n, greatest_n))


@equation(
    "strength.pulsating_equivalent",
    symbol="Ft",
    unit="N",
    sources=(
        Source("plane-geometry", "straight Goodman line through the ultimate", "derived"),
        Source("iso-15654", "conversion of a test to zero minimum force", "memory"),
    ),
)
def pulsating_equivalent(
    *, greatest_tension_n: float, least_tension_n: float, minimum_tensile_strength_n: float
) -> float:
    """Tension pulsating from zero that tires a chain as much as a cycle between two tensions.

    Equation:
        Ft = Fu (Fmax - Fmin)/(Fu - Fmin)

    Args:
        greatest_tension_n: Greatest tension of the cycle Fmax, [N]; Fmin <= Fmax < Fu.
        least_tension_n: Least tension of the cycle Fmin, [N]; Fmin >= 0.
        minimum_tensile_strength_n: Minimum tensile strength Fu, [N].

    Returns:
        Equivalent pulsating tension Ft, [N].

    Raises:
        OutOfRange: a value is not finite or negative.
        Inconsistent: the cycle is reversed or reaches the ultimate.

    Validity: straight line between amplitude at rest and ultimate; amplitude = S (1 - mean/Fu).
    Deviations: none.
    Sources: plane-geometry [derived]; iso-15654 conversion [memory].

    Examples:
        >>> pulsating_equivalent(greatest_tension_n=22_000, least_tension_n=2_000, minimum_tensile_strength_n=100_000)
        20408.2
    """
    _check_cycle(greatest_tension_n, least_tension_n, minimum_tensile_strength_n)
    swing = greatest_tension_n - least_tension_n
    return minimum_tensile_strength_n * swing / (minimum_tensile_strength_n - least_tension_n)


@equation(
    "strength.greatest_tension_at_limit",
    symbol="Fmax",
    unit="N",
    sources=(Source("plane-geometry", "straight Goodman line through the ultimate, inverse", "derived"),),
)
def greatest_tension_at_limit(
    *, pulsating_limit_n: float, least_tension_n: float, minimum_tensile_strength_n: float
) -> float:
    """Greatest tension of a cycle that a fatigue limit from zero allows above a least tension.

    Equation:
        Fmax = [Fd Fu + Fmin (Fu - Fd)]/Fu

    Args:
        pulsating_limit_n: Fatigue limit pulsating from zero Fd, [N]; 0 < Fd < Fu.
        least_tension_n: Least tension of the cycle Fmin, [N]; Fmin >= 0.
        minimum_tensile_strength_n: Minimum tensile strength Fu, [N].

    Returns:
        Greatest tension Fmax, [N].

    Raises:
        OutOfRange: a value is not finite or negative.
        Inconsistent: the fatigue limit reaches the ultimate.

    Validity: as for ``strength.pulsating_equivalent``, whose inverse it is.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> greatest_tension_at_limit(pulsating_limit_n=20_408.163265, least_tension_n=2_000,
        ...     minimum_tensile_strength_n=100_000)
        22000.0
    """
    _check_cycle(pulsating_limit_n, 0.0, minimum_tensile_strength_n)
    not_negative("least_tension_n", least_tension_n)
    return pulsating_limit_n + least_tension_n * (1 - pulsating_limit_n / minimum_tensile_strength_n)


@equation(
    "strength.greatest_tension_of_amplitude",
    symbol="Pmax",
    unit="N",
    sources=(
        Source("plane-geometry", "amplitude and ratio of a cycle", "derived"),
        Source("complete-guide-chain", "section 2.2.2, JIS B 1801 maximum allowable load 2.2 Pa", "published"),
    ),
)
def greatest_tension_of_amplitude(*, amplitude_n: float, tension_ratio: float) -> float:
    """Greatest tension of a cycle of a given amplitude and ratio of least to greatest tension.

    Equation:
        Pmax = 2 Pa/(1 - r)

    Args:
        amplitude_n: Amplitude, half the swing Pa, [N]; Pa > 0.
        tension_ratio: Least over greatest tension r, [-]; 0 <= r < 1.

    Returns:
        Greatest tension Pmax, [N].

    Raises:
        OutOfRange: a value is outside its range.

    Validity: none stated; JIS B 1801 takes r = 1/11 at 5 million cycles.
    Deviations: none.
    Sources: plane-geometry [derived]; complete-guide-chain section 2.2.2 [published].

    Examples:
        >>> greatest_tension_of_amplitude(amplitude_n=1000, tension_ratio=0.0909090909)
        2200.0
    """
    positive("amplitude_n", amplitude_n)
    not_negative("tension_ratio", tension_ratio)
    at_most("tension_ratio", tension_ratio, 0.999, code="ratio_above_limit")
    return 2 * amplitude_n / (1 - tension_ratio)


@equation(
    "strength.governing",
    symbol="u",
    unit="object",
    sources=(Source("plane-geometry", "greatest of the three utilisations", "derived"),),
)
def governing(
    *, fatigue_utilisation: float | None, yield_utilisation: float | None, ultimate_utilisation: float
) -> Governing:
    """Which strength is reached first if the loads grow together, and at what multiple of them.

    Equation:
        u = max(Ft/Fd, F/Fy, F/(Fu/S));  multiple = 1/u

    Args:
        fatigue_utilisation: Equivalent pulsating tension over the fatigue limit, [-]; None where it is unknown.
        yield_utilisation: Peak tension over the yield load, [-]; None where it is unknown.
        ultimate_utilisation: Peak tension over the ultimate divided by its wanted factor, [-]; above 0.

    Returns:
        Mode, its utilisation and the multiple of the loads that reaches it, [object].

    Raises:
        OutOfRange: a utilisation is not a finite number above zero.

    Validity: the multiple is exact for yield and ultimate, and for fatigue from zero; with a least tension above
        zero it errs to the high side by the curve of the Goodman line.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> governing(fatigue_utilisation=0.8, yield_utilisation=0.5, ultimate_utilisation=0.6)
        Governing(mode='fatigue', utilisation=0.8, load_multiple=1.25)
    """
    given: dict[Mode, float | None] = {
        "fatigue": fatigue_utilisation,
        "yield": yield_utilisation,
        "ultimate": ultimate_utilisation,
    }
    utilisations = {name: value for name, value in given.items() if value is not None}
    for name, value in utilisations.items():
        positive(f"{name}_utilisation", value)
    mode = max(utilisations, key=lambda name: utilisations[name])
    return Governing(mode=mode, utilisation=utilisations[mode], load_multiple=1 / utilisations[mode])
