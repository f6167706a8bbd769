"""Figures that wear is judged by: classes of tapes, thresholds of status, limits of leaf, load and conveyor chain."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from service.reference.errors import BadTable
from service.reference.loader import TABLES, Row, Table, load_table

WearAction = Literal["approaching", "replace"]
Comparison = Literal["reaches", "exceeds"]
AccuracyClass = Literal["I", "II", "III"]


class TapeClassRow(Row, frozen=True, kw_only=True):
    """Permissible error of one accuracy class of tapes and rules."""

    accuracy_class: AccuracyClass
    error_mm: float
    error_per_metre: float
    end_surface_error_mm: float


class ThresholdRow(Row, frozen=True, kw_only=True):
    """One threshold of status or forecast."""

    name: str
    value: float
    unit: str


class WearLimitRow(Row, frozen=True, kw_only=True):
    """One limit of wear as printed."""

    family: str
    duty: str
    criterion: str
    action: WearAction
    value: float
    unit: str
    comparison: Comparison
    over: str = ""

    @property
    def percent(self) -> float:
        """The limit in per cent; a limit in inches is taken over the length it is printed for."""
        if self.unit == "%":
            return self.value
        if self.unit == "in" and self.over.endswith(" in"):
            return 100 * self.value / float(self.over.removesuffix(" in"))
        raise BadTable(f"wear_limits.csv: {self.family} {self.criterion} is no percentage")


class WearReference:
    """The wear tables, looked up by name."""

    def __init__(
        self, tapes: Table[TapeClassRow], thresholds: Table[ThresholdRow], limits: Table[WearLimitRow]
    ) -> None:
        self.tape_classes = {row.accuracy_class: row for row in tapes.rows}
        self.thresholds = {row.name: row for row in thresholds.rows}
        self._limits: dict[tuple[str, str, str, str], WearLimitRow] = {}
        for row in sorted(limits.rows, key=limits.preference):
            self._limits.setdefault((row.family, row.duty, row.criterion, row.action), row)

    def limit(
        self, family: str, criterion: str, *, duty: str = "any", action: WearAction = "replace"
    ) -> WearLimitRow | None:
        """The preferred limit of a family for one criterion; None where no limit was found in print."""
        return self._limits.get((family, duty, criterion, action))


def load_wear(folder: Path = TABLES) -> WearReference:
    """Load the three tables.

    Raises:
        BadTable: a file breaks its card.
    """
    return WearReference(
        load_table("tape_classes", TapeClassRow, folder),
        load_table("wear_thresholds", ThresholdRow, folder),
        load_table("wear_limits", WearLimitRow, folder),
    )
