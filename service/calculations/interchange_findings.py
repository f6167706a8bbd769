"""What a comparison for interchange finds: figures side by side, reasons, what is missing, and the verdict."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.interchange_sides import Known
    from service.calculations.trace import Trace
    from service.reference.interchange import (
        InterchangeReference,
        MeasurementRow,
        Principle,
        Purpose,
        RuleRow,
        ToleranceRow,
        VerdictRow,
    )

Interface = Literal["wheel", "strands", "joint"]
Agreement = Literal["equal", "differs", "as_printed", "fits", "interferes", "unknown"]


class Dimension(Record, frozen=True):
    """One figure of both sides, and how they compare."""

    name: str
    interface: Interface
    first: Known | None
    second: Known | None
    tolerance: ToleranceRow | None
    agreement: Agreement

    @property
    def difference(self) -> float | None:
        """Second less first."""
        return None if self.first is None or self.second is None else self.second.value - self.first.value

    @property
    def allowed(self) -> float | None:
        """Greatest difference that counts as none."""
        if self.tolerance is None or self.first is None or self.second is None:
            return None
        return self.tolerance.relative * max(self.first.value, self.second.value)


class Findings:
    """Collects what the comparison of one question finds."""

    def __init__(self, purpose: Purpose, tables: InterchangeReference, trace: Trace) -> None:
        self.purpose = purpose
        self.tables = tables
        self.trace = trace
        self.reasons: dict[str, RuleRow] = {}
        self.dimensions: dict[str, Dimension] = {}
        self.missing: dict[str, MeasurementRow] = {}

    @property
    def joining(self) -> bool:
        """Whether parts of one chain are to go into the other."""
        return self.purpose in ("section", "connecting_link")

    def because(self, reason: str) -> None:
        """Note a reason, with its source."""
        row = self.tables.rules[reason]
        if reason not in self.reasons:
            self.reasons[reason] = row
            self.trace.row(row, f"interchange, {reason.replace('_', ' ')}")

    def ask(self, kind: Principle, *codes: str) -> None:
        """Note what has to be found out."""
        for code in codes:
            self.missing.setdefault(code, self.tables.measurements[kind, code])

    def compare(
        self, name: str, first: Known | None, second: Known | None, interface: Interface, *, same_size: bool = False
    ) -> Agreement:
        """Put a figure of both sides beside each other; sizes that are one may differ by rounding of their prints."""
        tolerance = self.tables.tolerances[name]
        agreement: Agreement = "unknown"
        if first is not None and second is not None:
            within = abs(first.value - second.value) <= tolerance.relative * max(first.value, second.value)
            agreement = "equal" if within else "as_printed" if same_size else "differs"
            self.trace.row(tolerance, f"tolerance of {name.replace('_', ' ')}")
        if first is not None or second is not None:
            self.dimensions[name] = Dimension(name, interface, first, second, tolerance, agreement)
        return agreement

    def judge(self, name: str, agreement: Agreement) -> None:
        """Replace the agreement of a figure by what it means for the fit."""
        found = self.dimensions[name]
        self.dimensions[name] = Dimension(name, found.interface, found.first, found.second, found.tolerance, agreement)

    def verdict(self) -> VerdictRow:
        """The gravest verdict of all reasons; what is missing leaves it open unless wheels have to change anyway."""
        scale = self.tables.verdicts
        imposed = [row.verdict(self.purpose) for row in self.reasons.values()]
        found = max((scale[verdict] for verdict in imposed if verdict is not None), key=_rank, default=None)
        if found is None or (self.missing and found.rank < scale["wheel_change_needed"].rank):
            return scale["cannot_say"]
        return found


def _rank(row: VerdictRow) -> int:
    return row.rank
