"""A wheel as evidence for its chain: outside diameter, diameter across the tooth gaps and tooth width."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.identification_index import Band, Dimension, Kind
from service.calculations.identification_ranking import Compared, Measured
from service.core.conversions import MM_PER_INCH
from service.core.errors import EngineeringError
from service.core.sprocket_asme import outside_diameter
from service.core.sprocket_iso import caliper_diameter, tip_diameter_max, tip_diameter_min
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Callable

    from service.reference.figures import Figure

TIP_LOW, TIP_HIGH = 0.97, 1.004
"""Outside diameter over the least and greatest of the standards: tips wear and are turned off, common practice."""
GAP_LOW, GAP_HIGH = 0.99, 1.003
"""Diameter across the gaps over its nominal: gap bottoms wear into the rim, common practice."""
TOOTH_LOW, TOOTH_USUAL, TOOTH_HIGH = 0.80, 0.93, 0.98
"""Tooth width over the width between the inner plates, wheels of several strands included, common practice."""


class Wheel(Record, frozen=True):
    """What was measured on a wheel."""

    teeth: int
    outside: Measured | None = None
    across_gaps: Measured | None = None
    tooth_width: Measured | None = None


def comparison(wheel: Wheel) -> Callable[[Kind], tuple[Compared, ...] | None]:
    """How a wheel compares with one that would run a size; None for a size that runs on no wheel of this form."""

    def compare(kind: Kind) -> tuple[Compared, ...] | None:
        row = kind.size.row
        pitch, roller = kind.size.find("pitch"), kind.size.find("roller_diameter")
        width = kind.size.find("inner_width")
        if row.family != "roller" or pitch is None or roller is None or width is None:
            return None
        try:
            return tuple(_compared(wheel, pitch, roller, width))
        except EngineeringError:
            return None

    return compare


def _compared(wheel: Wheel, pitch: Figure, roller: Figure, width: Figure) -> list[Compared]:
    p, d1, z = pitch.value, roller.value, wheel.teeth
    found = []
    if wheel.outside is not None:
        least = tip_diameter_min(pitch_mm=p, roller_diameter_mm=d1, teeth=z)
        most = tip_diameter_max(pitch_mm=p, roller_diameter_mm=d1, teeth=z)
        usual = MM_PER_INCH * outside_diameter(pitch_in=p / MM_PER_INCH, teeth=z)
        band = _band(pitch, usual, TIP_LOW * min(least, usual), TIP_HIGH * max(most, usual))
        found.append(_one("wheel_outside_diameter", wheel.outside, band))
    if wheel.across_gaps is not None:
        across = caliper_diameter(pitch_mm=p, roller_diameter_mm=d1, teeth=z)
        band = _band(roller, across, GAP_LOW * across, GAP_HIGH * across)
        found.append(_one("wheel_caliper_diameter", wheel.across_gaps, band))
    if wheel.tooth_width is not None:
        usual = TOOTH_USUAL * width.value
        band = _band(width, usual, TOOTH_LOW * width.value, TOOTH_HIGH * width.value)
        found.append(_one("wheel_tooth_width", wheel.tooth_width, band))
    return found


def _band(figure: Figure, expected: float, low: float, high: float) -> Band:
    return Band(figure, expected, low, high, low, high)


def _one(dimension: Dimension, measured: Measured, band: Band) -> Compared:
    return Compared(dimension, measured, band, band.worn_low, band.worn_high)
