"""``GET /v1/tables``: every reference table with its card, its rows as printed and their sources."""

import csv
import io
from typing import Annotated, Any

import msgspec
from litestar import Request, get
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Context, Versions
from service.api.contract import Example, operation
from service.api.paging import Cursor, Limit, page_of
from service.api.problems import unknown_entry
from service.api.protocol import JSON, media_type_of
from service.api.query import read_query
from service.api.representations import Reply, Representation, Representations
from service.reference.loader import Kind, header_of
from service.reference.printed_tables import PrintedTable

CSV = "text/csv"


class TableFilter(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """Which tables are wanted."""

    kind: (
        Annotated[Kind, Meta(description="Sizes of chain, their aliases, their figures, or rows of another subject.")]
        | UnsetType
    ) = UNSET
    limit: Limit = 50
    cursor: Cursor | UnsetType = UNSET


class TableSummary(msgspec.Struct, frozen=True, kw_only=True):
    """A table in one line."""

    name: str
    title: str
    kind: Kind
    row_count: int


class TableList(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Tables in alphabetical order."""

    items: list[TableSummary]
    total: int
    next_cursor: Annotated[str, Meta(description="Left out on the last page.")] | UnsetType = UNSET
    versions: Versions


class TableColumn(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A column; `quantity` and `side` say what its cells are as figures of a size."""

    name: str
    meaning: str
    unit: Annotated[str, Meta(description="As printed; `text` for words and names.")]
    quantity: str | UnsetType = UNSET
    side: str | UnsetType = UNSET


class TableChange(msgspec.Struct, frozen=True, kw_only=True):
    """One entry of a table's history."""

    date: str
    change: str


class TableSheet(msgspec.Struct, frozen=True, kw_only=True):
    """A reference table: how to read it, and its rows."""

    name: str
    title: str
    kind: Kind
    key: Annotated[list[str], Meta(description="Columns that tell rows of one source apart.")]
    columns: list[TableColumn]
    interpolation: Annotated[str, Meta(description="Whether values between rows are computed.")]
    preferred: Annotated[list[str], Meta(description="Sources in the order of preference where rows disagree.")]
    disagreements: str
    history: list[TableChange]
    rows: Annotated[
        list[dict[str, str]],
        Meta(
            description="Cells as printed, by column, then source, place, confidence and note; empty where it has none."
        ),
    ]
    versions: Versions


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""
    tables = context.reference.printed_tables
    known = Representations()
    known_csv: dict[str, Representation] = {}

    @get(
        "/v1/tables",
        **operation(
            "list_tables",
            tag="provenance",
            summary="Reference tables",
            description="Every table that the service reads, in alphabetical order.",
            examples=LIST_EXAMPLES,
            answer=TableList,
            query=TableFilter,
        ),
    )
    def list_tables(request: Request[Any, Any, Any]) -> Reply:
        wanted = read_query(request, TableFilter)
        found = [table for table in tables.values() if wanted.kind in (UNSET, table.card.kind)]
        entries, next_cursor = page_of(
            found, wanted.cursor, wanted.limit, filters=wanted.kind or 0, data_version=context.versions.data
        )
        answer = TableList(
            items=[
                TableSummary(name=table.name, title=table.card.title, kind=table.card.kind, row_count=len(table.lines))
                for table in entries
            ],
            total=len(found),
            next_cursor=next_cursor,
            versions=context.versions,
        )
        return Representation.of(answer).reply(request)

    @get(
        "/v1/tables/{name:str}",
        **operation(
            "get_table",
            tag="provenance",
            summary="A reference table with its rows as printed",
            description=(
                "How the table is read and each row with its source, place and confidence. Cells keep the digits of "
                "the print. With `Accept: text/csv` the rows alone, by RFC 4180 with a header."
            ),
            examples=EXAMPLES,
            answer=TableSheet,
            errors=(404,),
            produces=(JSON, CSV),
        ),
    )
    def get_table(request: Request[Any, Any, Any], name: FromPath[str]) -> Reply:
        table = tables.get(name)
        if table is None:
            raise unknown_entry("table", name, tables)
        if media_type_of(request) == JSON:
            return known.get(name, lambda: _sheet(table, context)).reply(request)
        if name not in known_csv:
            known_csv[name] = Representation(_csv(table), f"{CSV}; charset=utf-8; header=present")
        return known_csv[name].reply(request)

    return [list_tables, get_table]


def _sheet(table: PrintedTable, context: Context) -> TableSheet:
    card = table.card
    return TableSheet(
        name=table.name,
        title=card.title,
        kind=card.kind,
        key=card.key,
        columns=[
            TableColumn(
                name=name,
                meaning=column.meaning,
                unit=column.unit,
                quantity=column.quantity or UNSET,
                side=column.side or UNSET,
            )
            for name, column in card.columns.items()
        ],
        interpolation=card.interpolation,
        preferred=card.preferred,
        disagreements=card.disagreements,
        history=[TableChange(date=entry.date, change=entry.change) for entry in card.history],
        rows=table.rows,
        versions=context.versions,
    )


def _csv(table: PrintedTable) -> bytes:
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(header_of(table.card))
    writer.writerows(cells for _, cells in table.lines)
    return text.getvalue().encode()


LIST_EXAMPLES = {
    "sizes": Example("Tables of sizes", query={"kind": "sizes", "limit": "1"}, varying=("total", "next_cursor")),
    "kind_unknown": Example("A kind that there is not", query={"kind": "chart"}, status=422),
}
EXAMPLES = {
    "strand_factors": Example("Factors of several strands", path={"name": "strand_factors"}),
    "not_there": Example("A table that there is not", path={"name": "strand_factor"}, status=404),
}
