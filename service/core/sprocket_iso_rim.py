"""Rim profile and tolerances of roller-chain sprockets by ISO 606, in millimetres."""

from __future__ import annotations

from math import pi, tan
from typing import NamedTuple

from service.core.equations import Source, equation
from service.core.guards import at_least, at_most, positive
from service.core.sprocket import check_polygon

WIDTH_PITCH_STEP_MM = 12.7
"""Up to and including this pitch the tooth is the narrower share of the inner width (ISO 606 clause 5.6.2)."""

MOST_STRANDS = 3
"""ISO 606 draws rims for simplex, duplex and triplex chain (clause 5.6, memory)."""

TOLERANCE_STEP_MM = 127.0
"""Up to and including this root diameter the tolerance is the smaller one (ISO 606 clause 5.3.2, memory)."""

TOLERANCE_END_MM = 250.0
"""Above this root diameter the tolerance is h11 of ISO 286 (ISO 606 clause 5.3.2, memory)."""

_WIDTHS = Source("trade-sprockets-metric", "table of tooth widths, 03B to 72B", "secondary")
_RUN_OUT = Source("iso-606-2015", "clauses 5.7 and 5.8", "memory")


@equation(
    "sprocket_iso.tooth_width_single",
    symbol="bf1",
    unit="mm",
    sources=(_WIDTHS, Source("bhandari-3", "Example 14.5", "secondary")),
)
def tooth_width_single(*, inner_width_mm: float, pitch_mm: float) -> float:
    """Tooth width of a wheel for one strand, tolerance h14.

    Equation:
        p <= 12.7: bf1 = 0.93 b1;  p > 12.7: bf1 = 0.95 b1

    Args:
        inner_width_mm: Least width b1 between the inner plates, [mm].
        pitch_mm: Chain pitch p, [mm].

    Returns:
        Tooth width bf1, [mm].

    Raises:
        OutOfRange: a dimension is not positive.

    Validity: none stated; the limit itself belongs to the smaller pitches.
    Deviations: none; a trade table of DIN 8196 widths agrees in all its sizes up to 2 in pitch.
    Sources: trade-sprockets-metric tooth widths [secondary]; bhandari-3 Example 14.5 [secondary].

    Examples:
        >>> tooth_width_single(inner_width_mm=11.68, pitch_mm=19.05)
        11.1
    """
    return _width(inner_width_mm, pitch_mm, 0.93, 0.95)


@equation("sprocket_iso.tooth_width_two_three", symbol="bf1", unit="mm", sources=(_WIDTHS,))
def tooth_width_two_three(*, inner_width_mm: float, pitch_mm: float) -> float:
    """Width of each row of teeth of a wheel for two or three strands, tolerance h14.

    Equation:
        p <= 12.7: bf1 = 0.91 b1;  p > 12.7: bf1 = 0.93 b1

    Args:
        inner_width_mm: Least width b1 between the inner plates, [mm].
        pitch_mm: Chain pitch p, [mm].

    Returns:
        Tooth width bf1, [mm].

    Raises:
        OutOfRange: a dimension is not positive.

    Validity: none stated; the limit itself belongs to the smaller pitches.
    Deviations: none.
    Sources: trade-sprockets-metric tooth widths [secondary].

    Examples:
        >>> tooth_width_two_three(inner_width_mm=17.02, pitch_mm=25.4)
        15.8
    """
    return _width(inner_width_mm, pitch_mm, 0.91, 0.93)


@equation("sprocket_iso.width_over_teeth", symbol="bf2, bf3", unit="mm", sources=(_WIDTHS,))
def width_over_teeth(*, tooth_width_mm: float, transverse_pitch_mm: float, strand_count: int) -> float:
    """Width over the rows of teeth of a wheel for several strands.

    Equation:
        bfn = (n - 1) pt + bf1

    Args:
        tooth_width_mm: Width bf1 of one row of teeth, [mm].
        transverse_pitch_mm: Transverse pitch pt, [mm].
        strand_count: Number of strands n, [-]; 1 <= n <= 3.

    Returns:
        Width over the teeth bfn, [mm].

    Raises:
        OutOfRange: a dimension is not positive, or the standard draws no rim for so many strands.

    Validity: one to three strands.
    Deviations: none.
    Sources: trade-sprockets-metric tooth widths [secondary].

    Examples:
        >>> width_over_teeth(tooth_width_mm=10.86, transverse_pitch_mm=19.46, strand_count=3)
        49.8
    """
    positive("tooth_width_mm", tooth_width_mm)
    positive("transverse_pitch_mm", transverse_pitch_mm)
    at_least("strand_count", strand_count, 1, code="strands_out_of_range", source_id="iso-606-2015")
    at_most("strand_count", strand_count, MOST_STRANDS, code="strands_out_of_range", source_id="iso-606-2015")
    return (strand_count - 1) * transverse_pitch_mm + tooth_width_mm


@equation(
    "sprocket_iso.side_radius_min",
    symbol="rx",
    unit="mm",
    sources=(
        Source("bhandari-3", "Example 14.5", "secondary"),
        Source("trade-sprockets-metric", "formula list, tooth width", "secondary"),
    ),
)
def side_radius_min(*, pitch_mm: float) -> float:
    """Smallest radius of the rounded side of a tooth.

    Equation:
        rx >= p

    Args:
        pitch_mm: Chain pitch p, [mm].

    Returns:
        Smallest side radius, [mm].

    Raises:
        OutOfRange: the pitch is not positive.

    Validity: none stated.
    Deviations: none.
    Sources: bhandari-3 Example 14.5 [secondary]; trade-sprockets-metric formula list [secondary].

    Examples:
        >>> side_radius_min(pitch_mm=19.05)
        19.05
    """
    positive("pitch_mm", pitch_mm)
    return pitch_mm


class SideRelief(NamedTuple):
    """Range of the side relief of a tooth."""

    least_mm: float
    greatest_mm: float


@equation(
    "sprocket_iso.side_relief",
    symbol="ba",
    unit="object",
    sources=(
        Source("bhandari-3", "Example 14.5", "secondary"),
        Source("trade-sprockets-metric", "formula list, tooth width", "secondary"),
    ),
)
def side_relief(*, pitch_mm: float) -> SideRelief:
    """Range of the side relief, by which the tooth is narrowed at its tip.

    Equation:
        ba = 0.10 p to 0.15 p

    Args:
        pitch_mm: Chain pitch p, [mm].

    Returns:
        Least and greatest side relief, [mm].

    Raises:
        OutOfRange: the pitch is not positive.

    Validity: roller chain except the light half-inch sizes 081, 083, 084 and 085.
    Deviations: ISO 606 since 2004 is recalled to give one nominal value, 0.13 p, and 0.06 p for the light half-inch
        sizes; only the older range was seen in print.
    Sources: bhandari-3 Example 14.5 [secondary]; trade-sprockets-metric formula list [secondary].

    Examples:
        >>> side_relief(pitch_mm=19.05)
        SideRelief(least_mm=1.905, greatest_mm=2.8575)
    """
    positive("pitch_mm", pitch_mm)
    return SideRelief(least_mm=0.10 * pitch_mm, greatest_mm=0.15 * pitch_mm)


@equation(
    "sprocket_iso.shroud_diameter_max",
    symbol="dg",
    unit="mm",
    sources=(Source("gb-sprocket-sheet", "formulas and figures for 06B to 20A", "secondary"),),
)
def shroud_diameter_max(*, pitch_mm: float, inner_plate_height_mm: float, teeth: int) -> float:
    """Largest diameter of a shoulder beside the teeth that clears the link plates.

    Equation:
        dg = p cot(180°/z) - 1.04 h2 - 0.76

    Args:
        pitch_mm: Chain pitch p, [mm].
        inner_plate_height_mm: Largest height h2 of the inner plates, [mm].
        teeth: Number of teeth z, [-]; 3 <= z <= 1000.

    Returns:
        Absolute maximum shroud diameter dg, [mm]; negative for very few teeth, when no shoulder clears the plates.

    Raises:
        OutOfRange: a dimension is not positive, or the number of teeth makes no wheel.

    Validity: none stated.
    Deviations: none.
    Sources: gb-sprocket-sheet [secondary].

    Examples:
        >>> shroud_diameter_max(pitch_mm=19.05, inner_plate_height_mm=18.08, teeth=17)
        82.35
    """
    positive("pitch_mm", pitch_mm)
    positive("inner_plate_height_mm", inner_plate_height_mm)
    check_polygon(teeth)
    return pitch_mm / tan(pi / teeth) - 1.04 * inner_plate_height_mm - 0.76


@equation(
    "sprocket_iso.root_diameter_tolerance",
    symbol="tolerance of df",
    unit="mm",
    sources=(Source("iso-606-2015", "clause 5.3.2", "memory"),),
)
def root_diameter_tolerance(*, root_diameter_mm: float) -> float:
    """Minus tolerance on the root diameter up to 250 mm; the plus tolerance is nil.

    Equation:
        df <= 127: 0.25;  127 < df <= 250: 0.30

    Args:
        root_diameter_mm: Root diameter df, [mm]; df <= 250.

    Returns:
        Amount by which the root diameter may be small, [mm].

    Raises:
        OutOfRange: the diameter is not positive, or above 250 mm, where h11 of ISO 286 holds.

    Validity: root diameters up to 250 mm.
    Deviations: none known.
    Sources: iso-606-2015 clause 5.3.2 [memory].

    Examples:
        >>> root_diameter_tolerance(root_diameter_mm=127)
        0.25
    """
    positive("root_diameter_mm", root_diameter_mm)
    at_most(
        "root_diameter_mm", root_diameter_mm, TOLERANCE_END_MM, code="diameter_beyond_table", source_id="iso-606-2015"
    )
    return 0.25 if root_diameter_mm <= TOLERANCE_STEP_MM else 0.30


@equation("sprocket_iso.radial_run_out", symbol="radial run-out", unit="mm", sources=(_RUN_OUT,))
def radial_run_out(*, root_diameter_mm: float) -> float:
    """Largest radial run-out of the root circle against the bore, full indicator reading.

    Equation:
        0.0008 df + 0.08, but at most 0.76

    Args:
        root_diameter_mm: Root diameter df, [mm].

    Returns:
        Largest run-out, [mm].

    Raises:
        OutOfRange: the diameter is not positive.

    Validity: none stated.
    Deviations: none known.
    Sources: iso-606-2015 clauses 5.7 and 5.8 [memory].

    Examples:
        >>> radial_run_out(root_diameter_mm=100)
        0.16
    """
    positive("root_diameter_mm", root_diameter_mm)
    return min(0.0008 * root_diameter_mm + 0.08, 0.76)


@equation("sprocket_iso.axial_run_out", symbol="axial run-out", unit="mm", sources=(_RUN_OUT,))
def axial_run_out(*, root_diameter_mm: float) -> float:
    """Largest axial run-out (wobble) of the flat part of the teeth, full indicator reading.

    Equation:
        0.0009 df + 0.08, but at most 1.14

    Args:
        root_diameter_mm: Root diameter df, [mm].

    Returns:
        Largest run-out, [mm].

    Raises:
        OutOfRange: the diameter is not positive.

    Validity: none stated.
    Deviations: none known.
    Sources: iso-606-2015 clauses 5.7 and 5.8 [memory].

    Examples:
        >>> axial_run_out(root_diameter_mm=100)
        0.17
    """
    positive("root_diameter_mm", root_diameter_mm)
    return min(0.0009 * root_diameter_mm + 0.08, 1.14)


def _width(inner_width_mm: float, pitch_mm: float, share_small: float, share_large: float) -> float:
    positive("inner_width_mm", inner_width_mm)
    positive("pitch_mm", pitch_mm)
    return inner_width_mm * (share_small if pitch_mm <= WIDTH_PITCH_STEP_MM else share_large)
