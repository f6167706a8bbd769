"""Loading of reference tables: a CSV of printed rows and the card that describes it, checked cell by cell."""

import csv
import hashlib
import sys
from operator import itemgetter
from pathlib import Path
from typing import Annotated, Generic, Literal, TypeVar

import msgspec

from service.reference.errors import BadTable
from service.reference.toml_files import read_toml

TABLES = Path(__file__).parent / "tables"
PROVENANCE = ("source_id", "locator", "confidence", "note")
"""The last columns of every table."""

Confidence = Literal["published", "secondary", "memory", "practice"]
Kind = Literal["rows", "figures", "sizes", "aliases"]
"""``figures``, ``sizes`` and ``aliases`` of chains are found by their card and joined by designation; ``rows`` are
tables of a subject of their own, each with a typed loader."""


Subject = Literal["conveyors", "bulk_materials", "drives", "strength"]
"""What a table of factors is about; tables of sizes, figures and limits have none."""


class Column(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Meaning of one column.

    ``quantity``, ``side`` and ``strand_count`` make the cells figures of a chain size (see ``figures.py``).
    """

    meaning: str
    unit: str = "text"
    required: bool = False
    ascending: bool = False
    quantity: str | None = None
    side: Literal["nominal", "min", "max"] | None = None
    strand_count: int | None = None


class Change(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One entry of a table's history."""

    date: str
    change: str


class Card(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What a table is, how its rows are told apart, and which source is preferred where rows disagree."""

    title: str
    kind: Kind
    key: Annotated[list[str], msgspec.Meta(min_length=1)]
    columns: dict[str, Column]
    sha256: str
    subject: Subject | None = None
    interpolation: Literal["none", "linear"] = "none"
    preferred: list[str] = []
    disagreements: str = ""
    history: list[Change]


class Row(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Provenance that every row carries; tables add their own columns by inheritance."""

    source_id: str
    locator: str
    confidence: Confidence
    note: str = ""


RowType = TypeVar("RowType", bound=Row)


class Table(Generic[RowType]):
    """A loaded table: its card and its rows in printed order."""

    __slots__ = ("card", "name", "rows")

    def __init__(self, name: str, card: Card, rows: tuple[RowType, ...]) -> None:
        self.name = name
        self.card = card
        self.rows = rows

    def preference(self, row: RowType) -> int:
        """Rank of a row's source on the card; 0 is preferred, sources not named there come last."""
        order = self.card.preferred
        return order.index(row.source_id) if row.source_id in order else len(order)

    def where(self, **cells: object) -> tuple[RowType, ...]:
        """Rows whose columns hold these values, the preferred source first."""
        found = (row for row in self.rows if all(getattr(row, name) == value for name, value in cells.items()))
        return tuple(sorted(found, key=self.preference))


def read_card(name: str, folder: Path = TABLES) -> Card:
    """Read the card of a table.

    Raises:
        BadTable: the card is missing or does not fit its form.
    """
    path = folder / f"{name}.toml"
    try:
        return read_toml(path, Card)
    except (OSError, msgspec.DecodeError) as error:
        raise BadTable(f"{path.name}: {error}") from error


def table_names(kind: Kind, folder: Path = TABLES) -> list[str]:
    """Names of all tables whose card says this kind, in alphabetical order."""
    return names_by_kind(folder).get(kind, [])


def names_by_kind(folder: Path = TABLES) -> dict[Kind, list[str]]:
    """Names of all tables by the kind that their card says, in alphabetical order."""
    names: dict[Kind, list[str]] = {}
    for name in sorted(path.stem for path in folder.glob("*.toml")):
        names.setdefault(read_card(name, folder).kind, []).append(name)
    return names


Lines = tuple[tuple[int, tuple[str, ...]], ...]
"""Line numbers and text cells of a table's rows, in the order of ``header_of`` its card; shared by all readers."""


def header_of(card: Card) -> list[str]:
    """Names of a table's columns, as its first line prints them."""
    return [*card.columns, *PROVENANCE]


def read_cells(name: str, card: Card, folder: Path = TABLES) -> list[tuple[int, dict[str, str]]]:
    """Read the CSV of a table as text cells by column, with their line numbers, checked against the card.

    Raises:
        BadTable: hash, header, required cells, keys or order do not hold.
    """
    header = header_of(card)
    return [(line, dict(zip(header, cells, strict=True))) for line, cells in read_lines(name, card, folder)]


def read_lines(name: str, card: Card, folder: Path = TABLES) -> Lines:
    """As ``read_cells``, the cells as a tuple, which is lighter to make and to keep.

    Raises:
        BadTable: as ``read_cells``.
    """
    path = folder / f"{name}.csv"
    raw = path.read_bytes()
    if hashlib.sha256(raw).hexdigest() != card.sha256:
        raise BadTable(f"{path.name}: the file changed and its card did not (python -m service.reference seal)")
    # The card holds the hash of the table, so the same card has the same lines.
    known = _READ.get(id(card))
    if known is None or known[0] is not card:
        known = _READ[id(card)] = (card, _lines(path.name, raw, card))
    return known[1]


_READ: dict[int, tuple[Card, Lines]] = {}
"""Lines that were read and checked, by the identity of their card."""


def _lines(file: str, raw: bytes, card: Card) -> Lines:
    reader = csv.reader(raw.decode("utf-8").splitlines())
    header = next(reader, [])
    if header != header_of(card):
        raise BadTable(f"{file} line 1: columns are {header}, the card says {header_of(card)}")
    rows = []
    for cells in reader:
        if len(cells) != len(header):
            raise BadTable(f"{file} line {reader.line_num}: {len(cells)} cells, {len(header)} columns")
        # Sources, locators and small numbers repeat from row to row: one copy of each is kept.
        rows.append((reader.line_num, tuple(map(sys.intern, cells))))
    _check_rows(file, card, rows)
    return tuple(rows)


def _check_rows(file: str, card: Card, rows: list[tuple[int, tuple[str, ...]]]) -> None:
    header = header_of(card)
    places = {name: place for place, name in enumerate(header)}
    required = [name for name, column in card.columns.items() if column.required]
    wanted = [places[name] for name in (*required, "source_id", "locator", "confidence")]
    filled = itemgetter(*wanted)
    key_of = itemgetter(*(places[name] for name in card.key), places["source_id"])
    seen: dict[tuple[str, ...], int] = {}
    for line, cells in rows:
        if not all(map(str.strip, filled(cells))):
            empty = next(header[place] for place in wanted if not cells[place].strip())
            raise BadTable(f"{file} line {line}: {empty} is empty")
        key = key_of(cells)
        if key in seen:
            raise BadTable(f"{file} line {line}: {' / '.join(key)} stands already on line {seen[key]}")
        seen[key] = line
    for name in (name for name, column in card.columns.items() if column.ascending):
        _check_ascending(file, name, [(line, cells[places[name]]) for line, cells in rows])


def _check_ascending(file: str, name: str, column: list[tuple[int, str]]) -> None:
    previous: float | None = None
    for line, cell in column:
        value = float(cell)
        if previous is not None and value <= previous:
            raise BadTable(f"{file} line {line}: {name} {value:g} does not rise above {previous:g}")
        previous = value


def load_table(name: str, row_type: type[RowType], folder: Path = TABLES) -> Table[RowType]:
    """Load a table into frozen rows.

    Empty cells take the default of their field; numbers are read strictly, so a stray letter stops the start.

    Raises:
        BadTable: anything in the file or its card is wrong.
    """
    card = read_card(name, folder)
    header = header_of(card)
    lines = read_lines(name, card, folder)
    given = [{column: text for column, text in zip(header, cells, strict=True) if text} for _, cells in lines]
    try:
        rows = msgspec.convert(given, list[row_type], strict=False)  # type: ignore[valid-type]
    except msgspec.ValidationError:
        for (line, _), one in zip(lines, given, strict=True):
            try:
                msgspec.convert(one, row_type, strict=False)
            except msgspec.ValidationError as error:
                raise BadTable(f"{name}.csv line {line}: {error}") from error
        raise
    return Table(name, card, tuple(rows))
