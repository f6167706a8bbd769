"""Figures of chain sizes: each cell of a figure table becomes one figure with its side, source and confidence."""

from pathlib import Path
from typing import Literal, cast, get_args

import msgspec

from service.core.conversions import KG_PER_POUND, MM_PER_FOOT, MM_PER_INCH, N_PER_LBF
from service.reference.errors import BadTable
from service.reference.loader import TABLES, Card, Column, Confidence, header_of, read_card, read_lines
from service.reference.quantities import Quantity, QuantityKind, load_quantities

Side = Literal["nominal", "min", "max"]

_CANONICAL: dict[QuantityKind, dict[str, tuple[str, float]]] = {
    "length": {"mm": ("mm", 1.0), "in": ("mm", MM_PER_INCH)},
    "force": {"N": ("N", 1.0), "kN": ("N", 1000.0), "lbf": ("N", N_PER_LBF)},
    "mass_per_length": {"kg/m": ("kg/m", 1.0), "lb/ft": ("kg/m", KG_PER_POUND / (MM_PER_FOOT / 1000.0))},
    "area": {"mm2": ("mm2", 1.0), "in2": ("mm2", MM_PER_INCH * MM_PER_INCH)},
    "number": {"-": ("-", 1.0)},
}
"""Printed unit to canonical unit and factor, for each kind of quantity."""
_UNITS = {printed: canonical for units in _CANONICAL.values() for printed, canonical in units.items()}

_CONFIDENCES = frozenset(get_args(Confidence))


class Figure(msgspec.Struct, frozen=True, kw_only=True):
    """One figure of one chain size.

    ``value`` is in the canonical ``unit``; ``printed_value`` and ``printed_unit`` are as the source prints them.
    ``strand_count`` is None where the figure holds for any number of strands. ``rank`` 0 is the preferred source.
    """

    quantity: str
    value: float
    unit: str
    printed_value: float
    printed_unit: str
    side: Side
    strand_count: int | None
    source_id: str
    locator: str
    confidence: Confidence
    note: str
    table: str
    rank: int


def load_figures(name: str, folder: Path = TABLES) -> dict[str, list[Figure]]:
    """Load a figure table: designation to its figures.

    Raises:
        BadTable: the first key column is not ``designation``, a quantity is not on the list, its unit is not of its
            kind, or a cell is not a positive number.
    """
    card = read_card(name, folder)
    if card.key[0] != "designation":
        raise BadTable(f"{name}.toml: the key of a figure table starts with designation")
    quantities = load_quantities()
    for column_name, column in card.columns.items():
        _check_column(f"{name}.toml: {column_name}", column, quantities)
    header = header_of(card)
    columns = [
        (place, column_name, card.columns[column_name])
        for place, column_name in enumerate(card.columns)
        if card.columns[column_name].quantity is not None
    ]
    figures: dict[str, list[Figure]] = {}
    for line, texts in read_lines(name, card, folder):
        row = _Row(name, f"{name}.csv line {line}", card, dict(zip(header, texts, strict=True)))
        figures.setdefault(row.designation, []).extend(
            row.figure(column, row.printed(column_name, texts[place]))
            for place, column_name, column in columns
            if texts[place]
        )
    return figures


def _check_column(at: str, column: Column, quantities: dict[str, Quantity]) -> None:
    if column.quantity is None:
        return
    if column.quantity not in quantities:
        raise BadTable(f"{at} is called {column.quantity}, which is not in quantities.toml")
    units = _CANONICAL[quantities[column.quantity].kind]
    if column.unit not in units or column.side is None:
        raise BadTable(f"{at} needs a side and one of the units {sorted(units)}")


class _Row:
    """One row of a figure table, from which each of its cells becomes a figure."""

    __slots__ = ("_at", "_cells", "_confidence", "_name", "_rank", "_strands", "designation")

    def __init__(self, name: str, at: str, card: Card, cells: dict[str, str]) -> None:
        confidence = cells["confidence"]
        if confidence not in _CONFIDENCES:
            raise BadTable(f"{at}: confidence {confidence!r} is none of {sorted(_CONFIDENCES)}")
        self._name = name
        self._at = at
        self._cells = cells
        self._confidence = cast("Confidence", confidence)
        source_id = cells["source_id"]
        self._rank = card.preferred.index(source_id) if source_id in card.preferred else len(card.preferred)
        self._strands = int(cells["strand_count"]) if cells.get("strand_count") else None
        self.designation = cells["designation"]

    def printed(self, column: str, text: str) -> float:
        """The number of a cell."""
        try:
            printed = float(text)
        except ValueError as error:
            raise BadTable(f"{self._at}: {column} is not a number: {text!r}") from error
        if not 0 < printed < float("inf"):
            raise BadTable(f"{self._at}: {column} is {printed:g}; a figure is above zero")
        return printed

    def figure(self, column: Column, printed: float) -> Figure:
        """The figure of a cell, its value in the canonical unit."""
        assert column.quantity is not None  # noqa: S101 the caller asks for no other column
        assert column.side is not None  # noqa: S101 checked with the card
        unit, factor = _UNITS[column.unit]
        return Figure(
            quantity=column.quantity,
            value=printed * factor,
            unit=unit,
            printed_value=printed,
            printed_unit=column.unit,
            side=column.side,
            strand_count=self._strands if column.strand_count is None else column.strand_count,
            source_id=self._cells["source_id"],
            locator=self._cells["locator"],
            confidence=self._confidence,
            note=self._cells["note"],
            table=self._name,
            rank=self._rank,
        )
