"""Standard tolerance grades of ISO 286 by nominal size."""

from pathlib import Path
from typing import Annotated

from msgspec import Meta

from service.core.errors import Issue, NotInReference
from service.reference.loader import TABLES, Row, Table, load_table


class ToleranceRow(Row, frozen=True, kw_only=True):
    """One row of table ``standard_tolerances``: the grades of one step of nominal sizes."""

    size_over_mm: Annotated[float, Meta(ge=0)]
    size_up_to_mm: Annotated[float, Meta(gt=0)]
    it11_mm: Annotated[float, Meta(gt=0)]
    it14_mm: Annotated[float, Meta(gt=0)] | None = None


def load_standard_tolerances(folder: Path = TABLES) -> Table[ToleranceRow]:
    """Read the table."""
    return load_table("standard_tolerances", ToleranceRow, folder)


def tolerance_row(table: Table[ToleranceRow], field: str, size_mm: float) -> ToleranceRow:
    """The row whose step holds a nominal size; a size on the upper limit belongs to the step below.

    Raises:
        NotInReference: code ``diameter_beyond_table``.
    """
    for row in table.rows:
        if row.size_over_mm < size_mm <= row.size_up_to_mm:
            return row
    last = table.rows[-1].size_up_to_mm
    raise NotInReference(
        Issue(
            field,
            "diameter_beyond_table",
            f"Standard tolerances are tabulated up to {last:g} mm; {size_mm:g} mm lies beyond.",
            last,
            size_mm,
            source_id="iso-286-1",
        )
    )
