"""Rows of CSV (RFC 4180) for Structs and back: the header names are the JSON names, nested fields with dots.

Cells that spreadsheets would run as formulas are made plain text on the way out.
"""

from __future__ import annotations

import csv
import functools
import io
import math
import re
from typing import TYPE_CHECKING, Any, NamedTuple

import msgspec
from msgspec import UNSET
from msgspec import inspect as mi

from service.api.body import BYTE_ORDER_MARK
from service.api.faults import step
from service.api.problems import Fault, Refusal, summary

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

CSV = "text/csv"
CSV_SENT = "text/csv; header=present"
"""Media type of a table that is sent; the framework adds the charset."""
_FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""Beginnings of a cell that a spreadsheet reads as a formula."""
_NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?")
_TRUTH = {"true": True, "false": False}
_WITH_UNIT = re.compile(r"(?P<name>[^\[\]]*?)\s*\[\s*(?P<unit>[^\[\]]*?)\s*\]")
"""A header that states the unit of its whole column once: ``length [mm]``."""


class Column(NamedTuple):
    """A column: the way to its field, and what its cells are."""

    path: tuple[str, ...]
    kind: mi.Type

    @property
    def name(self) -> str:
        """Name in the header."""
        return ".".join(self.path)


class Header(NamedTuple):
    """A column of a table that came, and the unit that its header states for all of its cells."""

    column: Column
    unit: str | None = None


def columns_of(model: type[msgspec.Struct]) -> list[Column]:
    """A column for each field that holds one value or a list of words, in the order of the fields."""
    return list(_columns(mi.type_info(model), ()))


def _columns(info: mi.Type, path: tuple[str, ...]) -> Iterator[Column]:
    if isinstance(info, mi.Metadata):
        yield from _columns(info.type, path)
    elif isinstance(info, mi.UnionType):
        arms = [arm for arm in info.types if not isinstance(arm, mi.NoneType) and type(arm) is not mi.Type]
        yield from _columns(arms[0], path)
    elif isinstance(info, mi.StructType):
        for field in info.fields:
            yield from _columns(field.type, (*path, field.encode_name))
    elif not (isinstance(info, mi.ListType) and isinstance(_bare(info.item_type), mi.StructType)):
        yield Column(path, info)


def _bare(info: mi.Type) -> mi.Type:
    return info.type if isinstance(info, mi.Metadata) else info


def read_items(body: bytes, model: type[msgspec.Struct], most: int) -> list[msgspec.Raw | Refusal]:
    """Each row as the JSON text of one item, or the refusal of a row that has another number of cells.

    A quantity has a column for its value and one for its unit, or one whose header states the unit: ``length [mm]``.
    Empty cells are fields that were not sent; rows without a filled cell are passed over.

    Raises:
        Refusal: the text is no UTF-8 or no CSV, a header is unknown or stands twice, or there are no or too many rows.
    """
    known = {column.name: column for column in columns_of(model)}
    lines = _lines(body)
    header = _read_header([name.strip() for name in next(lines, [])], known)
    items: list[msgspec.Raw | Refusal] = []
    for cells in lines:
        if not any(cell.strip() for cell in cells):
            continue
        if len(items) == most:
            raise _refused("too_many_items", f"The table has more than {most} rows.", f"Split it: at most {most} rows.")
        items.append(_item(cells, header))
    if not items:
        raise _refused("too_few_items", "The table has a header and no rows.", "Send at least one row below it.")
    return items


def _lines(body: bytes) -> Iterator[list[str]]:
    try:
        text = body.removeprefix(BYTE_ORDER_MARK).decode("utf-8")
        yield from csv.reader(io.StringIO(text, newline=""), strict=True)
    except UnicodeDecodeError as bad:
        raise _refused("encoding_invalid", f"The table is not UTF-8 (byte {bad.start}).", "Save it as UTF-8.") from None
    except csv.Error as bad:
        raise _refused("csv_invalid", f"The table is not CSV: {bad}.", "Quote cells as RFC 4180 says.") from None


def _read_header(names: Sequence[str], known: Mapping[str, Column]) -> list[Header]:
    """The columns of a table.

    Raises:
        Refusal: a name or unit is unknown, or a field stands twice; every such column is named.
    """
    found: list[Header] = []
    faults: list[Fault] = []
    taken: set[str] = set()
    for name in names:
        stated = _WITH_UNIT.fullmatch(name)
        plain = name if stated is None else stated["name"]
        pointer, shown = functools.reduce(step, plain[:60].split("."), ""), repr(name[:60])
        filled = {plain} if stated is None else {f"{plain}.value", f"{plain}.unit"}
        if not filled <= known.keys():
            hint = "Separate the columns by commas." if ";" in name or "\t" in name else None
            if f"{plain}.value" in known:
                hint = f"State the unit: '{plain} [{_members(known[f'{plain}.unit'].kind)[0]}]'."
            message = f"{shown} is not a column of this table."
            faults.append(
                Fault(
                    pointer=pointer,
                    code="field_unknown",
                    message=message,
                    allowed=", ".join(known),
                    hint=hint or UNSET,
                )
            )
        elif filled & taken:
            message = f"The column {shown} stands more than once."
            if not any(fault.message == message for fault in faults):
                faults.append(Fault(pointer=pointer, code="csv_column_repeated", message=message))
        elif stated is None:
            found.append(Header(known[name]))
        elif stated["unit"] in (units := _members(known[f"{plain}.unit"].kind)):
            found.append(Header(known[f"{plain}.value"], stated["unit"]))
        else:
            message = f"{stated['unit'][:60]!r} in {shown} is not a unit known here."
            faults.append(Fault(pointer=pointer, code="unit_unknown", message=message, allowed=", ".join(units)))
        taken |= filled
    if faults:
        raise Refusal(422, "unreadable_csv", summary(faults), faults)
    return found


def _members(kind: mi.Type) -> list[str]:
    return [str(value) for value in kind.values] if isinstance(kind, mi.LiteralType) else []


def _item(cells: list[str], header: list[Header]) -> msgspec.Raw | Refusal:
    if len(cells) != len(header):
        return _refused(
            "csv_row_length",
            f"The row has {len(cells)} cells, the header {len(header)}.",
            "Is a comma within a cell not quoted, or a decimal comma?",
        )
    item: dict[str, Any] = {}
    for cell, (column, unit) in zip(cells, header, strict=True):
        if cell.strip():
            place = item
            for name in column.path[:-1]:
                place = place.setdefault(name, {})
            place[column.path[-1]] = _value(cell.strip(), column.kind)
            if unit is not None:
                place["unit"] = unit
    return msgspec.Raw(msgspec.json.encode(item))


def _value(cell: str, kind: mi.Type) -> object:
    """A cell as the JSON value that it stands for; what does not fit stays text and is refused by its field."""
    if isinstance(kind, mi.ListType):
        return cell.replace(";", " ").split()
    if isinstance(kind, mi.BoolType):
        return _TRUTH.get(cell.lower(), cell)
    if isinstance(kind, mi.FloatType | mi.IntType) and _NUMBER.fullmatch(cell):
        number = float(cell)
        return number if math.isfinite(number) else cell
    return cell


def _refused(code: str, message: str, hint: str) -> Refusal:
    return Refusal(422, "unreadable_csv", message, [Fault(pointer="", code=code, message=message, hint=hint)])


def write_rows(names: Sequence[str], rows: Iterable[Mapping[str, object]]) -> bytes:
    """A table of rows by column name; what a row does not hold stays empty."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(names)
    for row in rows:
        writer.writerow([_cell(row.get(name)) for name in names])
    return text.getvalue().encode()


def cells_of(content: object, columns: Iterable[Column]) -> dict[str, object]:
    """The values of a Struct by column name."""
    values = msgspec.to_builtins(content)
    cells: dict[str, object] = {}
    for column in columns:
        value: object = values
        for name in column.path:
            value = value.get(name) if isinstance(value, dict) else None
        cells[column.name] = value
    return cells


def _cell(value: object) -> object:
    if isinstance(value, list):
        value = " ".join(str(item) for item in value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f"'{value}" if value.startswith(_FORMULA) else value
    return "" if value is None else value
