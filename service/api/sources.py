"""``GET /v1/sources``: the publications that every figure and relation names."""

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
from service.api.query import read_query
from service.api.representations import Reply, Representation, Representations
from service.core.equations import load_catalogue
from service.reference.register import Publication, SourceKind


class SourceFilter(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """Which publications are wanted."""

    kind: Annotated[SourceKind, Meta(description="Kind of publication.")] | UnsetType = UNSET
    limit: Limit = 50
    cursor: Cursor | UnsetType = UNSET


class SourceSummary(msgspec.Struct, frozen=True, kw_only=True):
    """A publication in one line."""

    id: str
    title: str
    issuer: str
    edition: str
    kind: SourceKind


class SourceList(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Publications in the order of their ids."""

    items: list[SourceSummary]
    total: int
    next_cursor: Annotated[str, Meta(description="Left out on the last page.")] | UnsetType = UNSET
    versions: Versions


class PublicationSheet(msgspec.Struct, frozen=True, kw_only=True):
    """A publication, how it was seen, and what rests on it."""

    id: str
    title: str
    issuer: str
    edition: str
    kind: SourceKind
    seen: Annotated[str, Meta(description="Whether it was read itself, quoted elsewhere, or recalled.")]
    used_for: str
    tables: Annotated[list[str], Meta(description="Reference tables with rows from it, `GET /v1/tables/{name}`.")]
    equations: Annotated[list[str], Meta(description="Relations printed in it, `GET /v1/equations/{id}`.")]
    versions: Versions


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""
    publications = dict(sorted(context.reference.publications.items()))
    known = Representations()

    @get(
        "/v1/sources",
        **operation(
            "list_sources",
            tag="provenance",
            summary="Publications that figures and relations name",
            description="Standards, handbooks, textbooks and other publications, in the order of their ids.",
            examples=LIST_EXAMPLES,
            answer=SourceList,
            query=SourceFilter,
        ),
    )
    def list_sources(request: Request[Any, Any, Any]) -> Reply:
        wanted = read_query(request, SourceFilter)
        found = [entry for entry in publications.values() if wanted.kind in (UNSET, entry.kind)]
        entries, next_cursor = page_of(
            found, wanted.cursor, wanted.limit, filters=wanted.kind or 0, data_version=context.versions.data
        )
        answer = SourceList(
            items=[msgspec.convert(entry, SourceSummary, from_attributes=True) for entry in entries],
            total=len(found),
            next_cursor=next_cursor,
            versions=context.versions,
        )
        return Representation.of(answer).reply(request)

    @get(
        "/v1/sources/{source_id:str}",
        **operation(
            "get_source",
            tag="provenance",
            summary="A publication, how it was seen and what rests on it",
            description="Which edition, whether it was read or recalled, and the tables and relations that use it.",
            examples=EXAMPLES,
            answer=PublicationSheet,
            errors=(404,),
        ),
    )
    def get_source(request: Request[Any, Any, Any], source_id: FromPath[str]) -> Reply:
        entry = publications.get(source_id)
        if entry is None:
            raise unknown_entry("publication", source_id, publications)
        return known.get(source_id, lambda: _sheet(entry, context)).reply(request)

    return [list_sources, get_source]


def _sheet(entry: Publication, context: Context) -> PublicationSheet:
    tables = context.reference.printed_tables.values()
    return PublicationSheet(
        **msgspec.structs.asdict(entry),
        tables=[table.name for table in tables if entry.id in table.column("source_id")],
        equations=[
            equation.id
            for equation in load_catalogue().values()
            if any(source.id == entry.id for source in equation.sources)
        ],
        versions=context.versions,
    )


LIST_EXAMPLES = {
    "regulations": Example("Regulations", query={"kind": "regulation", "limit": "1"}, varying=("total", "next_cursor")),
    "kind_unknown": Example("A kind that there is not", query={"kind": "leaflet"}, status=422),
}
EXAMPLES = {
    "guarding_rule": Example("The rule on guarding", path={"source_id": "cfr-29-1910-219"}),
    "not_registered": Example("An id with a slip of the key", path={"source_id": "cfr-29-1910-291"}, status=404),
}
