"""``GET /v1/codes``: what each code of a problem, fault or warning means; problem types point here."""

from typing import Annotated, Any, Literal

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
from service.reference.codes import Code

CodeKind = Literal["problem", "fault", "warning", "fault_or_warning"]


class CodeFilter(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """Which codes are wanted."""

    kind: Annotated[CodeKind, Meta(description="Where the code stands.")] | UnsetType = UNSET
    limit: Limit = 50
    cursor: Cursor | UnsetType = UNSET


class CodeEntry(msgspec.Struct, frozen=True, kw_only=True):
    """A code; never renamed, and more are added in time: treat one that you do not know by the kind of its place."""

    id: str
    kind: Annotated[
        CodeKind,
        Meta(description="`problem` heads a refusal, `fault` is one of its errors, `warning` stands beside an answer."),
    ]
    title: str
    meaning: str


class CodeList(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Codes in alphabetical order."""

    items: list[CodeEntry]
    total: int
    next_cursor: Annotated[str, Meta(description="Left out on the last page.")] | UnsetType = UNSET
    versions: Versions


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""
    codes = {name: _entry(code) for name, code in sorted(context.reference.codes.items())}
    known = Representations()

    @get(
        "/v1/codes",
        **operation(
            "list_codes",
            tag="provenance",
            summary="Codes of problems, faults and warnings",
            description="Each code with what it means to a programmer and to a technician, in alphabetical order.",
            examples=LIST_EXAMPLES,
            answer=CodeList,
            query=CodeFilter,
        ),
    )
    def list_codes(request: Request[Any, Any, Any]) -> Reply:
        wanted = read_query(request, CodeFilter)
        found = [entry for entry in codes.values() if wanted.kind in (UNSET, entry.kind)]
        items, next_cursor = page_of(
            found, wanted.cursor, wanted.limit, filters=wanted.kind or 0, data_version=context.versions.data
        )
        answer = CodeList(items=items, total=len(found), next_cursor=next_cursor, versions=context.versions)
        return Representation.of(answer).reply(request)

    @get(
        "/v1/codes/{code:str}",
        **operation(
            "get_code",
            tag="provenance",
            summary="What a code means",
            description="The page to which the `type` of a problem document points.",
            examples=EXAMPLES,
            answer=CodeEntry,
            errors=(404,),
        ),
    )
    def get_code(request: Request[Any, Any, Any], code: FromPath[str]) -> Reply:
        entry = codes.get(code)
        if entry is None:
            raise unknown_entry("code", code, codes)
        return known.get(code, lambda: entry).reply(request)

    return [list_codes, get_code]


def _entry(code: Code) -> CodeEntry:
    return CodeEntry(id=code.id, kind=code.kind, title=code.title, meaning=code.meaning)


LIST_EXAMPLES = {
    "problems": Example("Heads of refusals", query={"kind": "problem", "limit": "2"}, varying=("total", "next_cursor")),
    "kind_unknown": Example("A kind that there is not", query={"kind": "error"}, status=422),
}
EXAMPLES = {
    "ambiguous": Example("A code of a fault", path={"code": "designation_ambiguous"}),
    "not_registered": Example("A code that there is not", path={"code": "designation_ambigous"}, status=404),
}
