"""Figures of chain sizes: each cell of a figure table becomes one figure with its side, source and confidence."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import msgspec

from service.core.conversions import KG_PER_POUND, MM_PER_FOOT, MM_PER_INCH, N_PER_LBF
from service.reference.errors import BadTable
from service.reference.loader import TABLES, Card, Column, Confidence, read_card, read_cells
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
    figures: dict[str, list[Figure]] = {}
    for line, cells in read_cells(name, card, folder):
        at = f"{name}.csv line {line}"
        figures.setdefault(cells["designation"], []).extend(_row_figures(name, at, card, cells))
    return figures


def _check_column(at: str, column: Column, quantities: dict[str, Quantity]) -> None:
    if column.quantity is None:
        return
    if column.quantity not in quantities:
        raise BadTable(f"{at} is called {column.quantity}, which is not in quantities.toml")
    units = _CANONICAL[quantities[column.quantity].kind]
    if column.unit not in units or column.side is None:
        raise BadTable(f"{at} needs a side and one of the units {sorted(units)}")


def _row_figures(name: str, at: str, card: Card, cells: dict[str, str]) -> list[Figure]:
    source_id = cells["source_id"]
    rank = card.preferred.index(source_id) if source_id in card.preferred else len(card.preferred)
    return [
        _figure(name, column, cells, _printed(f"{at}: {column_name}", cells[column_name]), rank)
        for column_name, column in card.columns.items()
        if column.quantity is not None and cells[column_name] != ""
    ]


def _printed(at: str, text: str) -> float:
    try:
        printed = float(text)
    except ValueError as error:
        raise BadTable(f"{at} is not a number: {text!r}") from error
    if not 0 < printed < float("inf"):
        raise BadTable(f"{at} is {printed:g}; a figure is above zero")
    return printed


def _figure(name: str, column: Column, cells: dict[str, str], printed: float, rank: int) -> Figure:
    unit, factor = _UNITS[column.unit]
    strands = column.strand_count
    if strands is None and cells.get("strand_count"):
        strands = int(cells["strand_count"])
    return msgspec.convert(
        {
            "quantity": column.quantity,
            "value": printed * factor,
            "unit": unit,
            "printed_value": printed,
            "printed_unit": column.unit,
            "side": column.side,
            "strand_count": strands,
            "source_id": cells["source_id"],
            "locator": cells["locator"],
            "confidence": cells["confidence"],
            "note": cells["note"],
            "table": name,
            "rank": rank,
        },
        Figure,
    )
