"""``GET /v1/factors``: the tables of factors by subject, with what their sources disagree on and which is preferred."""

from typing import Annotated, Any

import msgspec
from litestar import Request, get
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Context, Versions
from service.api.contract import Example, operation
from service.api.problems import unknown_entry
from service.api.query import read_query
from service.api.representations import Reply, Representations
from service.reference.loader import PROVENANCE, Subject
from service.reference.printed_tables import PrintedTable
from service.reference.register import Publication


class FactorFilter(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """Which tables are wanted."""

    subject: Subject | UnsetType = UNSET


class FactorColumn(msgspec.Struct, frozen=True, kw_only=True):
    """A column of a table of factors."""

    name: str
    meaning: str
    unit: str


class FactorSource(msgspec.Struct, frozen=True, kw_only=True):
    """A publication that a table is printed in."""

    id: str
    title: str


class FactorTable(msgspec.Struct, frozen=True, kw_only=True):
    """A table of factors in brief; its entries stand at `GET /v1/factors/{table}`."""

    name: str
    subject: Subject
    title: str
    columns: list[FactorColumn]
    row_count: int
    conflict_count: Annotated[int, Meta(description="Entries on which sources disagree.")]
    sources: list[FactorSource]
    preferred: Annotated[list[str], Meta(description="Sources in the order of preference where they disagree.")]
    disagreements: str


class FactorTableList(msgspec.Struct, frozen=True, kw_only=True):
    """Tables of factors by subject, then name."""

    items: list[FactorTable]
    versions: Versions


class FactorEntry(msgspec.Struct, frozen=True, kw_only=True):
    """What the sources print for one condition; the first row is the one that calculations use."""

    key: dict[str, str]
    preferred_source_id: str
    disagree: Annotated[bool, Meta(description="Whether the rows differ in more than their source.")]
    rows: Annotated[list[dict[str, str]], Meta(description="Cells as printed, the preferred source first.")]


class FactorSheet(msgspec.Struct, frozen=True, kw_only=True):
    """A table of factors with its entries."""

    table: FactorTable
    entries: list[FactorEntry]
    versions: Versions


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""
    publications = context.reference.publications
    printed = [table for table in context.reference.printed_tables.values() if table.card.subject is not None]
    tables = {table.name: table for table in sorted(printed, key=lambda table: (str(table.card.subject), table.name))}
    known = Representations()

    @get(
        "/v1/factors",
        **operation(
            "list_factors",
            tag="provenance",
            summary="Tables of factors by subject",
            description=(
                "What each table of factors means, its columns, its sources, and where they disagree. A calculation "
                "takes the row of the preferred source, says so, and lets the caller send another value."
            ),
            examples=LIST_EXAMPLES,
            answer=FactorTableList,
            query=FactorFilter,
        ),
    )
    def list_factors(request: Request[Any, Any, Any]) -> Reply:
        wanted = read_query(request, FactorFilter).subject

        def made() -> FactorTableList:
            found = [table for table in tables.values() if wanted in (UNSET, table.card.subject)]
            return FactorTableList(items=[_brief(table, publications) for table in found], versions=context.versions)

        return known.get(("list", wanted), made).reply(request)

    @get(
        "/v1/factors/{table:str}",
        **operation(
            "get_factor_table",
            tag="provenance",
            summary="A table of factors, entry by entry",
            description=(
                "Every printed row under the condition it belongs to. Where sources disagree all rows are shown, the "
                "preferred one first; a cell that no source prints is not there, and no calculation fills it."
            ),
            examples=EXAMPLES,
            answer=FactorSheet,
            errors=(404,),
        ),
    )
    def get_factor_table(request: Request[Any, Any, Any], table: FromPath[str]) -> Reply:
        found = tables.get(table)
        if found is None:
            raise unknown_entry("table of factors", table, tables)
        return known.get(
            table,
            lambda: FactorSheet(table=_brief(found, publications), entries=_entries(found), versions=context.versions),
        ).reply(request)

    return [list_factors, get_factor_table]


def _brief(table: PrintedTable, publications: dict[str, Publication]) -> FactorTable:
    card = table.card
    ids = dict.fromkeys(table.column("source_id"))
    return FactorTable(
        name=table.name,
        subject=card.subject or "conveyors",
        title=card.title,
        columns=[
            FactorColumn(name=name, meaning=column.meaning, unit=column.unit) for name, column in card.columns.items()
        ],
        row_count=len(table.lines),
        conflict_count=sum(entry.disagree for entry in _entries(table)),
        sources=[FactorSource(id=source_id, title=publications[source_id].title) for source_id in ids],
        preferred=card.preferred,
        disagreements=card.disagreements,
    )


def _entries(table: PrintedTable) -> list[FactorEntry]:
    """Rows by the key of the card, the preferred source first; the order of print decides where none is named."""
    grouped: dict[tuple[str, ...], list[dict[str, str]]] = {}
    for cells in table.rows:
        grouped.setdefault(tuple(cells[name] for name in table.card.key), []).append(cells)
    values = [name for name in table.card.columns if name not in table.card.key]
    preferred = table.card.preferred
    entries = []
    for key, rows in grouped.items():
        rows.sort(
            key=lambda cells: preferred.index(cells["source_id"]) if cells["source_id"] in preferred else len(preferred)
        )
        entries.append(
            FactorEntry(
                key=dict(zip(table.card.key, key, strict=True)),
                preferred_source_id=rows[0]["source_id"],
                disagree=len({tuple(cells[name] for name in values) for cells in rows}) > 1,
                rows=[{name: cells[name] for name in (*values, *PROVENANCE)} for cells in rows],
            )
        )
    return entries


LIST_EXAMPLES = {
    "strength": Example("Factors of strength", query={"subject": "strength"}),
    "subject_unknown": Example("A subject that there is not", query={"subject": "belts"}, status=422),
}
EXAMPLES = {
    "track_frictions": Example("Friction of chain on its track", path={"table": "track_frictions"}),
    "not_there": Example("A table that there is not", path={"table": "track_friction"}, status=404),
}
