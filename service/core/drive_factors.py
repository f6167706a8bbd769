"""Factors that carry a rating from reference conditions to a drive: teeth, service, strands."""

from __future__ import annotations

from math import inf

from service.core.equations import Source, equation
from service.core.guards import positive
from service.core.speeds import TEETH_GEOMETRIC_MIN, check_polygon_teeth

REFERENCE_TEETH_OLDER = 17
"""Small wheel to which the tabulated ratings of shigley-9 Table 17-20 belong."""

REFERENCE_TEETH_ISO = 19
"""Small wheel of the rating charts (iso-10823-2004; jiang-2019 p. 156, published)."""


def _ratio(teeth: int, reference: int) -> float:
    if not teeth >= TEETH_GEOMETRIC_MIN:
        check_polygon_teeth("teeth", teeth)
    return teeth / reference


@equation(
    "drive_factors.tooth_factor_link_plate",
    symbol="K1",
    unit="-",
    sources=(
        Source("plane-geometry", "ratio of two ratings of shigley-9 eq. (17-32)", "derived"),
        Source("shigley-9", "Table 17-22, pre-extreme", "memory"),
    ),
)
def tooth_factor_link_plate(*, teeth: int) -> float:
    """Factor on the 17-tooth rating of the older edition, left of the peak where link plates govern.

    Equation:
        K1 = (N/17)^1.08

    Args:
        teeth: Teeth N of the small wheel, [-].

    Returns:
        Factor K1, [-]; multiplies the rating.

    Raises:
        OutOfRange: the tooth count is impossible.

    Validity: older edition only; 11 to 45 teeth as the ratings themselves.
    Deviations: one textbook table prints 1.11 at 19 teeth, which no power of N gives; see the table of tooth factors.
    Sources: plane-geometry [derived]; shigley-9 Table 17-22 [memory].

    Examples:
        >>> tooth_factor_link_plate(teeth=21)
        1.26
    """
    factor: float = _ratio(teeth, REFERENCE_TEETH_OLDER) ** 1.08
    return factor


@equation(
    "drive_factors.tooth_factor_impact",
    symbol="K1",
    unit="-",
    sources=(
        Source("plane-geometry", "ratio of two ratings of shigley-9 eq. (17-33)", "derived"),
        Source("shigley-9", "chapter 17 problem, four strands of No. 40 on 21 and 84 teeth", "secondary"),
    ),
)
def tooth_factor_impact(*, teeth: int) -> float:
    """Factor on the 17-tooth rating right of the peak, where roller impact governs, both editions.

    Equation:
        K1 = (N/17)^1.5

    Args:
        teeth: Teeth N of the small wheel, [-].

    Returns:
        Factor K1, [-]; multiplies the rating.

    Raises:
        OutOfRange: the tooth count is impossible.

    Validity: 11 to 45 teeth as the ratings themselves.
    Deviations: none.
    Sources: plane-geometry [derived]; shigley-9 chapter 17 [secondary].

    Examples:
        >>> tooth_factor_impact(teeth=21)
        1.37
    """
    factor: float = _ratio(teeth, REFERENCE_TEETH_OLDER) ** 1.5
    return factor


@equation(
    "drive_factors.tooth_factor_iso",
    symbol="f2",
    unit="-",
    sources=(Source("iso-10823-2004", "tooth factor f2", "secondary"),),
)
def tooth_factor_iso(*, teeth_small: int) -> float:
    """Tooth factor of the ISO method, which multiplies the power and not the rating.

    Equation:
        f2 = (19/z1)^1.08

    Args:
        teeth_small: Teeth z1 of the small wheel, [-].

    Returns:
        Factor f2, [-].

    Raises:
        OutOfRange: the tooth count is impossible.

    Validity: none stated in what was read.
    Deviations: none.
    Sources: iso-10823-2004 [secondary].

    Examples:
        >>> tooth_factor_iso(teeth_small=25)
        0.7435
    """
    check_polygon_teeth("teeth_small", teeth_small)
    factor: float = (REFERENCE_TEETH_ISO / teeth_small) ** 1.08
    return factor


@equation(
    "drive_factors.corrected_power_iso",
    symbol="Pc",
    unit="kW",
    sources=(Source("iso-10823-2004", "corrected power", "secondary"),),
)
def corrected_power_kw(*, power_kw: float, application_factor: float, tooth_factor: float) -> float:
    """Power of the ISO method with which the rating chart is entered.

    Equation:
        Pc = P f1 f2

    Args:
        power_kw: Power P to be transmitted, [kW]; P > 0.
        application_factor: Factor f1 of driver and driven machine, [-]; f1 > 0.
        tooth_factor: Factor f2 of the small wheel, [-]; f2 > 0.

    Returns:
        Corrected power Pc, [kW].

    Raises:
        OutOfRange: a value is not positive.

    Validity: parallel horizontal shafts, one strand without cranked link, ratio 1:3 to 3:1, 120 links, 15 000 h.
    Deviations: none.
    Sources: iso-10823-2004 [secondary].

    Examples:
        >>> corrected_power_kw(power_kw=10.0, application_factor=1.4, tooth_factor=1.0)
        14.0
    """
    positive("power_kw", power_kw)
    positive("application_factor", application_factor)
    positive("tooth_factor", tooth_factor)
    return power_kw * application_factor * tooth_factor


@equation(
    "drive_factors.required_power",
    symbol="H",
    unit="kW",
    sources=(
        Source("jiang-2019", "eq. (7.24), p. 158", "published"),
        Source("shigley-9", "Example 17-5", "secondary"),
        Source("bhandari-3", "Examples 14.3, 14.4 and 14.6", "secondary"),
    ),
)
def required_power_kw(
    *, power_kw: float, service_factor: float, design_factor: float, tooth_factor: float, strand_factor: float
) -> float:
    """Rating that one strand with the reference wheel must have.

    Equation:
        H = P Ks nd / (K1 K2)

    Args:
        power_kw: Power P to be transmitted, [kW]; P > 0. The relation is homogeneous: hp in, hp out.
        service_factor: Service factor Ks, [-]; > 0.
        design_factor: Further factor nd of the designer, [-]; 1 where none is wanted.
        tooth_factor: Factor K1 on the rating, [-]; 1 where the rating is that of the actual wheel.
        strand_factor: Factor K2 of the number of strands, [-]; 1 for one strand.

    Returns:
        Required rating H, [kW].

    Raises:
        OutOfRange: a value is not positive.

    Validity: none stated.
    Deviations: one source writes the tooth factor as a multiplier of the power, the reciprocal of K1.
    Sources: jiang-2019 eq. (7.24) [published]; shigley-9 Example 17-5 [secondary]; bhandari-3 chapter 14 [secondary].

    Examples:
        >>> required_power_kw(power_kw=5, service_factor=1.3, design_factor=1, tooth_factor=1.26, strand_factor=1)
        5.159
    """
    if not (
        0.0 < power_kw < inf
        and 0.0 < service_factor < inf
        and 0.0 < design_factor < inf
        and 0.0 < tooth_factor < inf
        and 0.0 < strand_factor < inf
    ):
        positive("power_kw", power_kw)
        positive("service_factor", service_factor)
        positive("design_factor", design_factor)
        positive("tooth_factor", tooth_factor)
        positive("strand_factor", strand_factor)
    return power_kw * service_factor * design_factor / (tooth_factor * strand_factor)
