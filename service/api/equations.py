"""``GET /v1/equations``: every relation that the service computes with, as its docstring states it."""

import inspect
import re
from collections.abc import Iterator
from textwrap import dedent
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
from service.core.equations import Confidence, Equation, load_catalogue


class EquationFilter(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """Which relations are wanted."""

    subject: (
        Annotated[str, Meta(min_length=1, max_length=60, description="First part of the id, such as `chain_length`.")]
        | UnsetType
    ) = UNSET
    source_id: (
        Annotated[str, Meta(min_length=1, max_length=60, description="Publication that prints them.")] | UnsetType
    ) = UNSET
    limit: Limit = 50
    cursor: Cursor | UnsetType = UNSET


class PrintedIn(msgspec.Struct, frozen=True, kw_only=True):
    """Where a relation is printed, and how it was seen."""

    source_id: str
    locator: str
    confidence: Confidence


class EquationSummary(msgspec.Struct, frozen=True, kw_only=True):
    """A relation in one line."""

    id: str
    symbol: Annotated[str, Meta(description="Symbol of the result in the first source.")]
    unit: Annotated[str, Meta(description="Unit of the result as printed; `object` for several figures.")]
    summary: str
    sources: list[PrintedIn]


class EquationList(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Relations in the order of their ids."""

    items: list[EquationSummary]
    total: int
    next_cursor: Annotated[str, Meta(description="Left out on the last page.")] | UnsetType = UNSET
    versions: Versions


class EquationArgument(msgspec.Struct, frozen=True, kw_only=True):
    """One input of a relation."""

    name: str
    unit: str
    meaning: str


class EquationSheet(msgspec.Struct, frozen=True, kw_only=True):
    """A relation: what it states, for what it holds, and where the service departs from the print."""

    id: str
    symbol: str
    unit: str
    summary: str
    relation: Annotated[str, Meta(description="The relation in the symbols of its source.")]
    arguments: list[EquationArgument]
    returns: str
    refusals: Annotated[str, Meta(description="When there is no result.")]
    validity: str
    deviations: Annotated[str, Meta(description="Where the service departs from the print.")]
    sources: list[PrintedIn]
    example: Annotated[str, Meta(description="A call with printed digits.")]
    versions: Versions


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""
    catalogue = dict(sorted(load_catalogue().items()))
    known = Representations()

    @get(
        "/v1/equations",
        **operation(
            "list_equations",
            tag="provenance",
            summary="Relations that the service computes with",
            description="Each with its symbol, unit and the publications that print it, in the order of their ids.",
            examples=LIST_EXAMPLES,
            answer=EquationList,
            query=EquationFilter,
        ),
    )
    def list_equations(request: Request[Any, Any, Any]) -> Reply:
        wanted = read_query(request, EquationFilter)
        found = [entry for entry in catalogue.values() if _meets(entry, wanted)]
        entries, next_cursor = page_of(
            found,
            wanted.cursor,
            wanted.limit,
            filters=[wanted.subject or 0, wanted.source_id or 0],
            data_version=context.versions.data,
        )
        answer = EquationList(
            items=[_summary(entry) for entry in entries],
            total=len(found),
            next_cursor=next_cursor,
            versions=context.versions,
        )
        return Representation.of(answer).reply(request)

    @get(
        "/v1/equations/{equation_id:str}",
        **operation(
            "get_equation",
            tag="provenance",
            summary="A relation with its validity, deviations and sources",
            description=(
                "What `working` names: the relation in the symbols of its source, its inputs with their units, "
                "and its limits."
            ),
            examples=EXAMPLES,
            answer=EquationSheet,
            errors=(404,),
        ),
    )
    def get_equation(request: Request[Any, Any, Any], equation_id: FromPath[str]) -> Reply:
        entry = catalogue.get(equation_id)
        if entry is None:
            raise unknown_entry("equation", equation_id, catalogue)
        return known.get(equation_id, lambda: _sheet(entry, context)).reply(request)

    return [list_equations, get_equation]


def _meets(entry: Equation, wanted: EquationFilter) -> bool:
    return wanted.subject in (UNSET, entry.id.partition(".")[0]) and (
        wanted.source_id is UNSET or any(source.id == wanted.source_id for source in entry.sources)
    )


def _summary(entry: Equation) -> EquationSummary:
    return EquationSummary(
        id=entry.id, symbol=entry.symbol, unit=entry.unit, summary=entry.summary, sources=_printed_in(entry)
    )


def _sheet(entry: Equation, context: Context) -> EquationSheet:
    sections = _sections(inspect.getdoc(entry.function) or "")
    return EquationSheet(
        id=entry.id,
        symbol=entry.symbol,
        unit=entry.unit,
        summary=entry.summary,
        relation=sections["Equation"],
        arguments=list(_arguments(sections["Args"])),
        returns=sections["Returns"],
        refusals=sections["Raises"],
        validity=sections["Validity"],
        deviations=sections["Deviations"],
        sources=_printed_in(entry),
        example=sections["Examples"],
        versions=context.versions,
    )


def _printed_in(entry: Equation) -> list[PrintedIn]:
    return [
        PrintedIn(source_id=source.id, locator=source.locator, confidence=source.confidence) for source in entry.sources
    ]


def _sections(text: str) -> dict[str, str]:
    """The sections of a docstring by their head; a test of the architecture holds their form."""
    parts = re.split(r"^([A-Z][a-z]+):", text, flags=re.MULTILINE)
    return {name: dedent(body).strip() for name, body in zip(parts[1::2], parts[2::2], strict=True)}


def _arguments(text: str) -> Iterator[EquationArgument]:
    parts = re.split(r"^(\w+):", text, flags=re.MULTILINE)
    for name, described in zip(parts[1::2], parts[2::2], strict=True):
        meaning = " ".join(described.split())
        unit = re.search(r"\[([^\]]+)\]", meaning)
        yield EquationArgument(name=name, unit=unit[1] if unit else "-", meaning=meaning)


LIST_EXAMPLES = {
    "of_a_subject": Example(
        "Relations of chain length", query={"subject": "chain_length", "limit": "1"}, varying=("total", "next_cursor")
    ),
    "limit_zero": Example("A page without items", query={"limit": "0"}, status=422),
}
EXAMPLES = {
    "chain_length": Example(
        "The handbook approximation of chain length", path={"equation_id": "chain_length.pitches_approximate"}
    ),
    "not_catalogued": Example("An id that there is not", path={"equation_id": "chain_length.links"}, status=404),
}
