"""How sizes relate: the same size in another standard, the heavy or double pitch form, look-alikes."""

from collections.abc import Container
from pathlib import Path
from typing import Literal

from service.reference.errors import BadTable
from service.reference.loader import TABLES, Row, Table, load_table

Relation = Literal[
    "same_size_other_standard",
    "heavy_series_of",
    "double_pitch_of",
    "large_roller_of",
    "conveyor_form_of",
    "look_alike",
]


class EquivalentRow(Row, frozen=True, kw_only=True):
    """One relation, read from left to right: ``80H heavy_series_of 80``."""

    designation: str
    other: str
    relation: Relation


class Equivalents:
    """Relations found from either side."""

    def __init__(self, table: Table[EquivalentRow]) -> None:
        self.rows = table.rows
        self._by_side: dict[str, list[EquivalentRow]] = {}
        for row in table.rows:
            self._by_side.setdefault(row.designation, []).append(row)
            self._by_side.setdefault(row.other, []).append(row)
        self._same_size = {
            designation: tuple(
                row.other if row.designation == designation else row.designation
                for row in rows
                if row.relation == "same_size_other_standard"
            )
            for designation, rows in self._by_side.items()
        }

    def of(self, designation: str) -> tuple[EquivalentRow, ...]:
        """Every relation that names a size, on either side."""
        return tuple(self._by_side.get(designation, ()))

    def same_size(self, designation: str) -> tuple[str, ...]:
        """Canonical designations of the same size in other standards."""
        return self._same_size.get(designation, ())


def load_equivalents(known: Container[str], folder: Path = TABLES) -> Equivalents:
    """Load the relations.

    Raises:
        BadTable: a side is no known designation, or a size is related to itself.
    """
    table = load_table("size_equivalents", EquivalentRow, folder)
    for row in table.rows:
        for side in (row.designation, row.other):
            if side not in known:
                raise BadTable(f"size_equivalents.csv: {side} is in no table of sizes")
        if row.designation == row.other:
            raise BadTable(f"size_equivalents.csv: {row.designation} is related to itself")
    return Equivalents(table)
