"""Diameters, gap forms and widths of roller-chain sprockets by ISO 606, in millimetres."""

from __future__ import annotations

from typing import NamedTuple

from service.core.equations import Source, equation
from service.core.guards import positive
from service.core.sprocket import across_factor, check_form, check_roller, pitch_diameter_factor

_DIAMETERS = Source("gb-sprocket-sheet", "formulas and figures for 06B to 20A", "secondary")


@equation(
    "sprocket_iso.root_diameter",
    symbol="df",
    unit="mm",
    sources=(Source("iso-606-2015", "clause 5.3.2", "secondary"), _DIAMETERS),
)
def root_diameter(*, pitch_mm: float, roller_diameter_mm: float, teeth: int) -> float:
    """Diameter of the circle that touches the bottoms of the tooth gaps.

    Equation:
        df = d - d1

    Args:
        pitch_mm: Chain pitch p, [mm].
        roller_diameter_mm: Largest roller diameter d1, of a bush chain the bush diameter, [mm]; d1 < p.
        teeth: Number of teeth z, [-]; 3 <= z <= 1000.

    Returns:
        Root diameter df, [mm].

    Raises:
        OutOfRange: a dimension is not positive, or the number of teeth makes no wheel.
        Inconsistent: the roller is not smaller than the pitch.

    Validity: none stated.
    Deviations: one textbook takes d - 2 ri with the seating radius ri, which is smaller by 0.01 d1 or more; the
        standard has the roller itself on the bottom of the gap.
    Sources: iso-606-2015 clause 5.3.2 [secondary]; gb-sprocket-sheet [secondary].

    Examples:
        >>> root_diameter(pitch_mm=19.05, roller_diameter_mm=11.91, teeth=17)
        91.76
    """
    check_roller(pitch_mm, roller_diameter_mm, "mm")
    return pitch_mm * pitch_diameter_factor(teeth) - roller_diameter_mm


@equation(
    "sprocket_iso.caliper_diameter",
    symbol="caliper",
    unit="mm",
    sources=(
        Source("plane-geometry", "bottoms of two gaps as nearly opposite as may be", "derived"),
        Source("jis-tooth-form-pages", "distance of tooth roots", "secondary"),
    ),
)
def caliper_diameter(*, pitch_mm: float, roller_diameter_mm: float, teeth: int) -> float:
    """Distance across the bottoms of two gaps as nearly opposite as may be.

    Equation:
        even z: d - d1;  odd z: d cos(90°/z) - d1

    Args:
        pitch_mm: Chain pitch p, [mm].
        roller_diameter_mm: Largest roller diameter d1, of a bush chain the bush diameter, [mm]; d1 < p.
        teeth: Number of teeth z, [-]; 3 <= z <= 1000.

    Returns:
        Distance across the gaps, [mm].

    Raises:
        OutOfRange: a dimension is not positive, or the number of teeth makes no wheel.
        Inconsistent: the roller is not smaller than the pitch.

    Validity: none stated.
    Deviations: none.
    Sources: plane-geometry [derived]; jis-tooth-form-pages distance of tooth roots [secondary].

    Examples:
        >>> caliper_diameter(pitch_mm=19.05, roller_diameter_mm=11.91, teeth=17)
        91.32
    """
    check_roller(pitch_mm, roller_diameter_mm, "mm")
    return pitch_mm * pitch_diameter_factor(teeth) * across_factor(teeth) - roller_diameter_mm


@equation(
    "sprocket_iso.over_pins",
    symbol="MR",
    unit="mm",
    sources=(_DIAMETERS, Source("iso-606-2015", "clause 5.3.2", "secondary")),
)
def over_pins(*, pitch_mm: float, roller_diameter_mm: float, teeth: int) -> float:
    """Distance over two gauge pins in gaps as nearly opposite as may be.

    Equation:
        even z: MR = d + dR min;  odd z: MR = d cos(90°/z) + dR min, with dR = d1 (+0.01 / 0)

    Args:
        pitch_mm: Chain pitch p, [mm].
        roller_diameter_mm: Largest roller diameter d1, which is the least diameter dR of the pins, [mm]; d1 < p.
        teeth: Number of teeth z, [-]; 3 <= z <= 1000.

    Returns:
        Measurement over pins MR, [mm]; it has the tolerance of the root diameter.

    Raises:
        OutOfRange: a dimension is not positive, or the number of teeth makes no wheel.
        Inconsistent: the roller is not smaller than the pitch.

    Validity: pins of the roller diameter, +0.01 mm at most.
    Deviations: none.
    Sources: gb-sprocket-sheet [secondary]; iso-606-2015 clause 5.3.2 [secondary].

    Examples:
        >>> over_pins(pitch_mm=19.05, roller_diameter_mm=11.91, teeth=17)
        115.14
    """
    return 2 * roller_diameter_mm + caliper_diameter(
        pitch_mm=pitch_mm, roller_diameter_mm=roller_diameter_mm, teeth=teeth
    )


@equation(
    "sprocket_iso.tip_diameter_max",
    symbol="da max",
    unit="mm",
    sources=(Source("bhandari-3", "Example 14.5", "secondary"), _DIAMETERS),
)
def tip_diameter_max(*, pitch_mm: float, roller_diameter_mm: float, teeth: int) -> float:
    """Largest tip diameter.

    Equation:
        da max = d + 1.25 p - d1

    Args:
        pitch_mm: Chain pitch p, [mm].
        roller_diameter_mm: Largest roller diameter d1, of a bush chain the bush diameter, [mm]; d1 < p.
        teeth: Number of teeth z, [-]; 3 <= z <= 1000.

    Returns:
        Largest tip diameter, [mm].

    Raises:
        OutOfRange: a dimension is not positive, or the number of teeth makes no wheel.
        Inconsistent: the roller is not smaller than the pitch.

    Validity: may be asked of both gap forms, as far as the cutter allows; in the maximum gap form the flanks of a tooth
        often meet below it (see ``tooth_form.iso_pointed_diameter``).
    Deviations: none.
    Sources: bhandari-3 Example 14.5 [secondary]; gb-sprocket-sheet [secondary].

    Examples:
        >>> tip_diameter_max(pitch_mm=19.05, roller_diameter_mm=11.91, teeth=17)
        115.58
    """
    check_roller(pitch_mm, roller_diameter_mm, "mm")
    return pitch_mm * pitch_diameter_factor(teeth) + 1.25 * pitch_mm - roller_diameter_mm


@equation(
    "sprocket_iso.tip_diameter_min",
    symbol="da min",
    unit="mm",
    sources=(Source("bhandari-3", "Example 14.5", "secondary"), _DIAMETERS),
)
def tip_diameter_min(*, pitch_mm: float, roller_diameter_mm: float, teeth: int) -> float:
    """Smallest tip diameter.

    Equation:
        da min = d + p (1 - 1.6/z) - d1

    Args:
        pitch_mm: Chain pitch p, [mm].
        roller_diameter_mm: Largest roller diameter d1, of a bush chain the bush diameter, [mm]; d1 < p.
        teeth: Number of teeth z, [-]; 3 <= z <= 1000.

    Returns:
        Smallest tip diameter, [mm].

    Raises:
        OutOfRange: a dimension is not positive, or the number of teeth makes no wheel.
        Inconsistent: the roller is not smaller than the pitch.

    Validity: both gap forms.
    Deviations: none.
    Sources: bhandari-3 Example 14.5 [secondary]; gb-sprocket-sheet [secondary].

    Examples:
        >>> tip_diameter_min(pitch_mm=19.05, roller_diameter_mm=11.91, teeth=17)
        109.02
    """
    check_roller(pitch_mm, roller_diameter_mm, "mm")
    return pitch_mm * pitch_diameter_factor(teeth) + pitch_mm * (1 - 1.6 / teeth) - roller_diameter_mm


class IsoGapForm(NamedTuple):
    """One of the two limiting tooth gap forms.

    Attributes:
        seating_radius_mm: Roller seating radius ri.
        seating_angle_deg: Roller seating angle, from flank to flank.
        flank_radius_mm: Tooth flank radius re.
    """

    seating_radius_mm: float
    seating_angle_deg: float
    flank_radius_mm: float


@equation(
    "sprocket_iso.minimum_gap_form",
    symbol="ri, seating angle, re",
    unit="object",
    sources=(
        Source("trade-sprockets-metric", "formula list, tooth pocket dimensions", "secondary"),
        Source("bhandari-3", "Example 14.5", "secondary"),
        Source("iso-606-2015", "clause 5.4.2", "secondary"),
    ),
)
def minimum_gap_form(*, roller_diameter_mm: float, teeth: int) -> IsoGapForm:
    """Narrowest tooth gap that the standard allows.

    Equation:
        ri = 0.505 d1;  seating angle = 140° - 90°/z;  re = 0.12 d1 (z + 2)

    Args:
        roller_diameter_mm: Largest roller diameter d1, of a bush chain the bush diameter, [mm].
        teeth: Number of teeth z, [-]; 5 <= z <= 1000.

    Returns:
        Radii, [mm], and seating angle, [°].

    Raises:
        OutOfRange: the roller is not positive, or no usable form exists with so few teeth.

    Validity: none stated.
    Deviations: the standard files this angle and radius under "maximum" and "minimum" each for itself; here the form is
        named by its gap, since the actual form must lie between the two gaps.
    Sources: trade-sprockets-metric tooth pocket dimensions [secondary]; bhandari-3 Example 14.5 [secondary];
        iso-606-2015 clause 5.4.2 [secondary].

    Examples:
        >>> minimum_gap_form(roller_diameter_mm=12.07, teeth=17).flank_radius_mm
        27.52
    """
    positive("roller_diameter_mm", roller_diameter_mm)
    check_form(teeth)
    return IsoGapForm(
        seating_radius_mm=0.505 * roller_diameter_mm,
        seating_angle_deg=140 - 90 / teeth,
        flank_radius_mm=0.12 * roller_diameter_mm * (teeth + 2),
    )


@equation(
    "sprocket_iso.maximum_gap_form",
    symbol="ri, seating angle, re",
    unit="object",
    sources=(
        Source("trade-sprockets-metric", "formula list, tooth pocket dimensions", "secondary"),
        Source("bhandari-3", "Example 14.5", "secondary"),
        Source("iso-606-2015", "clause 5.4.2", "secondary"),
    ),
)
def maximum_gap_form(*, roller_diameter_mm: float, teeth: int) -> IsoGapForm:
    """Widest tooth gap that the standard allows.

    Equation:
        ri = 0.505 d1 + 0.069 d1^(1/3);  seating angle = 120° - 90°/z;  re = 0.008 d1 (z^2 + 180)

    Args:
        roller_diameter_mm: Largest roller diameter d1, of a bush chain the bush diameter, [mm].
        teeth: Number of teeth z, [-]; 5 <= z <= 1000.

    Returns:
        Radii, [mm], and seating angle, [°].

    Raises:
        OutOfRange: the roller is not positive, or no usable form exists with so few teeth.

    Validity: none stated.
    Deviations: as for ``sprocket_iso.minimum_gap_form``.
    Sources: trade-sprockets-metric tooth pocket dimensions [secondary]; bhandari-3 Example 14.5 [secondary];
        iso-606-2015 clause 5.4.2 [secondary].

    Examples:
        >>> maximum_gap_form(roller_diameter_mm=12.07, teeth=17).flank_radius_mm
        45.29
    """
    positive("roller_diameter_mm", roller_diameter_mm)
    check_form(teeth)
    return IsoGapForm(
        seating_radius_mm=0.505 * roller_diameter_mm + 0.069 * roller_diameter_mm ** (1 / 3),
        seating_angle_deg=120 - 90 / teeth,
        flank_radius_mm=0.008 * roller_diameter_mm * (teeth * teeth + 180),
    )
