"""Every reference table as it is printed: its card and its cells, for readers who want to see the rows."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from service.reference.loader import TABLES, Card, Lines, header_of, read_card, read_lines


class PrintedTable(NamedTuple):
    """A table with the line number and the text cells of each row, in the order of its columns."""

    name: str
    card: Card
    lines: Lines

    @property
    def rows(self) -> list[dict[str, str]]:
        """Text cells of each row by column."""
        header = header_of(self.card)
        return [dict(zip(header, cells, strict=True)) for _, cells in self.lines]

    def column(self, name: str) -> list[str]:
        """Text cells of one column."""
        place = header_of(self.card).index(name)
        return [cells[place] for _, cells in self.lines]


def load_printed_tables(folder: Path = TABLES) -> dict[str, PrintedTable]:
    """Read every table by name, in alphabetical order.

    Raises:
        BadTable: a table breaks its card.
    """
    tables = {}
    for name in sorted(path.stem for path in folder.glob("*.csv")):
        card = read_card(name, folder)
        tables[name] = PrintedTable(name, card, read_lines(name, card, folder))
    return tables
