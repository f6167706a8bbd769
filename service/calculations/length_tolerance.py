"""How long new chain with attachments may be: the tolerance that the tables hold for its family."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.core.attachment_patterns import attachment_spacing
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.trace import Trace
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize
    from service.reference.loader import Row

WITH_ATTACHMENTS = "chain with attachments"
_SCHEMES = {"roller": "iso", "double_pitch": "double_pitch"}


class NewLength(Record, frozen=True, kw_only=True):
    """The tolerance, and what it comes to over the chain; new chain is not shorter than nominal."""

    over_percent: float
    longest_mm: float
    row: Row


def new_length(
    size: ChainSize, family: str | None, *, pitch_count: int, pitch_mm: float, reference: Reference, trace: Trace
) -> NewLength | None:
    """The longest that new chain with attachments may be; None where no tolerance of the family is held."""
    found = _tolerance(size, family, reference)
    if found is None:
        return None
    over, row = found
    trace.row(row, "length tolerance of new chain with attachments")
    longest = trace.take(attachment_spacing, every=pitch_count, pitch_mm=pitch_mm, elongation_percent=over)
    return NewLength(over_percent=over, longest_mm=longest, row=row)


def _tolerance(size: ChainSize, family: str | None, reference: Reference) -> tuple[float, Row] | None:
    if family in _SCHEMES:
        rows = reference.length_tolerances.where(scheme=_SCHEMES[family], applies_to=WITH_ATTACHMENTS)
        return (rows[0].over, rows[0]) if rows else None
    group = "conveyor_fv" if size.designation.startswith("FV") else family
    for row in reference.engineering.length_tolerances.rows:
        if row.chain == group:
            return 100 * row.over / row.per_length, row
    return None
