"""Every reference table as it is printed: its card and its cells, for readers who want to see the rows."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from service.reference.loader import TABLES, Card, read_card, read_cells


class PrintedTable(NamedTuple):
    """A table with the line number and the text cells of each row."""

    name: str
    card: Card
    rows: tuple[tuple[int, dict[str, str]], ...]


def load_printed_tables(folder: Path = TABLES) -> dict[str, PrintedTable]:
    """Read every table by name, in alphabetical order.

    Raises:
        BadTable: a table breaks its card.
    """
    tables = {}
    for path in sorted(folder.glob("*.csv")):
        card = read_card(path.stem, folder)
        tables[path.stem] = PrintedTable(path.stem, card, tuple(read_cells(path.stem, card, folder)))
    return tables
