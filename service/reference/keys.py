"""Sizes of parallel keys by shaft diameter: the metric and the inch standard."""

from pathlib import Path
from typing import Annotated, Literal

from msgspec import Meta

from service.core.errors import Issue, NotInReference
from service.reference.loader import TABLES, Row, Table, load_table
from service.reference.records import Record

KeyShape = Literal["square", "rectangular"]


class MetricKeyRow(Row, frozen=True, kw_only=True):
    """One row of table ``key_sizes_metric``."""

    shaft_over_mm: Annotated[float, Meta(gt=0)]
    shaft_up_to_mm: Annotated[float, Meta(gt=0)]
    width_mm: Annotated[float, Meta(gt=0)]
    height_mm: Annotated[float, Meta(gt=0)]
    shaft_depth_mm: Annotated[float, Meta(gt=0)]
    hub_depth_mm: Annotated[float, Meta(gt=0)]


class InchKeyRow(Row, frozen=True, kw_only=True):
    """One row of table ``key_sizes_inch``."""

    shaft_over_in: Annotated[float, Meta(gt=0)]
    shaft_up_to_in: Annotated[float, Meta(gt=0)]
    width_in: Annotated[float, Meta(gt=0)]
    square_height_in: Annotated[float, Meta(gt=0)]
    rectangular_height_in: Annotated[float, Meta(gt=0)] | None = None
    preferred_shape: KeyShape


class KeySizes(Record, frozen=True):
    """Both tables; a shaft on the upper limit of a row belongs to that row."""

    metric: Table[MetricKeyRow]
    inch: Table[InchKeyRow]

    def metric_key(self, field: str, shaft_mm: float) -> MetricKeyRow:
        """The key of a shaft by ISO/R 773.

        Raises:
            NotInReference: ``diameter_beyond_table``.
        """
        for row in self.metric.rows:
            if row.shaft_over_mm < shaft_mm <= row.shaft_up_to_mm:
                return row
        first, last = self.metric.rows[0].shaft_over_mm, self.metric.rows[-1].shaft_up_to_mm
        raise _beyond(field, f"above {first:g} to {last:g} mm", shaft_mm, last)

    def inch_key(self, field: str, shaft_in: float) -> InchKeyRow:
        """The key of a shaft by ANSI B17.1.

        Raises:
            NotInReference: ``diameter_beyond_table``.
        """
        for row in self.inch.rows:
            if row.shaft_over_in < shaft_in <= row.shaft_up_to_in:
                return row
        first, last = self.inch.rows[0].shaft_over_in, self.inch.rows[-1].shaft_up_to_in
        raise _beyond(field, f"above {first:g} to {last:g} in", shaft_in, last)


def load_key_sizes(folder: Path = TABLES) -> KeySizes:
    """Read both tables."""
    return KeySizes(
        metric=load_table("key_sizes_metric", MetricKeyRow, folder),
        inch=load_table("key_sizes_inch", InchKeyRow, folder),
    )


def _beyond(field: str, words: str, shaft: float, limit: float) -> NotInReference:
    return NotInReference(
        Issue(
            field,
            "diameter_beyond_table",
            f"Keys are tabulated for shafts {words}; a shaft of {shaft:.6g} lies beyond.",
            limit,
            shaft,
            "Send width and hub_depth of your own keyway instead of a standard.",
        )
    )
