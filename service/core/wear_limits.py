"""Limits of wear: elongation that a wheel accepts, share of a limit that is used, and loss of a section."""

from __future__ import annotations

from service.core.equations import Source, equation
from service.core.guards import not_negative, positive


@equation(
    "wear_limits.elongation_for_large_wheel",
    symbol="e",
    unit="%",
    sources=(Source("trade-chain-wear", "200/N of the largest wheel, at most the general limit", "secondary"),),
)
def elongation_for_large_wheel(
    *, teeth_large: int, tooth_engagement_percent: float, general_limit_percent: float
) -> float:
    """Elongation at which the chain rides too high on the largest wheel.

    Equation:
        e = min(k/N, e0)

    Args:
        teeth_large: Teeth N of the largest wheel, [-]; N >= 1.
        tooth_engagement_percent: Product k of limit and teeth, 200 in the trade, [%].
        general_limit_percent: Limit e0 for small wheels, [%].

    Returns:
        Limit e, [%].

    Raises:
        OutOfRange: a value is not positive.

    Validity: roller and silent chain on toothed wheels. Texts differ on where the general limit ends, above 66
        or up to 67 teeth; the smaller of the two figures decides here, which is k/N from 67 teeth on.
    Deviations: none.
    Sources: trade-chain-wear, three texts [secondary].

    Examples:
        >>> elongation_for_large_wheel(teeth_large=80, tooth_engagement_percent=200, general_limit_percent=3)
        2.5
    """
    positive("teeth_large", teeth_large)
    positive("tooth_engagement_percent", tooth_engagement_percent)
    positive("general_limit_percent", general_limit_percent)
    return min(tooth_engagement_percent / teeth_large, general_limit_percent)


@equation(
    "wear_limits.limit_used",
    symbol="u",
    unit="-",
    sources=(Source("plane-geometry", "ratio of elongation to its limit", "derived"),),
)
def limit_used(*, elongation_percent: float, limit_percent: float) -> float:
    """Share of the permitted elongation that is used up.

    Equation:
        u = e/e_max

    Args:
        elongation_percent: Elongation e, [%].
        limit_percent: Limit e_max, [%]; e_max > 0.

    Returns:
        Share u, [-]; 1 at the limit, negative for a chain that reads shorter than nominal.

    Raises:
        OutOfRange: the limit is not positive.

    Validity: none stated.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> limit_used(elongation_percent=2.4, limit_percent=3)
        0.8
    """
    positive("limit_percent", limit_percent)
    return elongation_percent / limit_percent


@equation(
    "wear_limits.mean_diameter",
    symbol="dm",
    unit="mm",
    sources=(Source("trade-load-chain-wear", "two diameters at right angles in one section", "secondary"),),
)
def mean_diameter(*, diameter_mm: float, diameter_across_mm: float) -> float:
    """Mean diameter of a worn link from two readings at one section.

    Equation:
        dm = (d1 + d2)/2

    Args:
        diameter_mm: Diameter d1, [mm]; d1 > 0.
        diameter_across_mm: Diameter d2 at right angles to it, [mm]; d2 > 0.

    Returns:
        Mean diameter dm, [mm].

    Raises:
        OutOfRange: a diameter is not positive.

    Validity: both readings at the most worn section of one link; readings of different links are never averaged.
    Deviations: none.
    Sources: trade-load-chain-wear [secondary].

    Examples:
        >>> mean_diameter(diameter_mm=9.1, diameter_across_mm=9.7)
        9.4
    """
    positive("diameter_mm", diameter_mm)
    positive("diameter_across_mm", diameter_across_mm)
    return (diameter_mm + diameter_across_mm) / 2


@equation(
    "wear_limits.size_at_loss",
    symbol="x",
    unit="mm",
    sources=(Source("plane-geometry", "nominal size less a share of it", "derived"),),
)
def size_at_loss(*, nominal_mm: float, loss_percent: float) -> float:
    """Size that remains when a share of the nominal size is worn away.

    Equation:
        x = x0 (1 - w/100)

    Args:
        nominal_mm: Nominal size x0: wire diameter, plate height, wall, [mm]; x0 > 0.
        loss_percent: Loss w, [%] of the nominal size; 0 <= w.

    Returns:
        Remaining size x, [mm].

    Raises:
        OutOfRange: the size is not positive or the loss is negative.

    Validity: none stated.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> size_at_loss(nominal_mm=16, loss_percent=10)
        14.4
    """
    positive("nominal_mm", nominal_mm)
    not_negative("loss_percent", loss_percent)
    return nominal_mm * (1 - loss_percent / 100)


@equation(
    "wear_limits.loss",
    symbol="w",
    unit="%",
    sources=(Source("plane-geometry", "inverse of the remaining size", "derived"),),
)
def loss(*, nominal_mm: float, measured_mm: float) -> float:
    """Loss of a worn size in per cent of the nominal.

    Equation:
        w = 100 (x0 - x)/x0

    Args:
        nominal_mm: Nominal size x0, [mm]; x0 > 0.
        measured_mm: Measured size x, [mm]; x > 0.

    Returns:
        Loss w, [%]; negative if the part measures larger than nominal.

    Raises:
        OutOfRange: a size is not positive.

    Validity: the exact inverse of ``wear_limits.size_at_loss``.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> loss(nominal_mm=10, measured_mm=9.4)
        6.0
    """
    positive("nominal_mm", nominal_mm)
    positive("measured_mm", measured_mm)
    return 100 * (nominal_mm - measured_mm) / nominal_mm
