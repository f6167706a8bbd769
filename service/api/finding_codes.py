"""``GET /v1/finding-codes``: what is found on chain and wheels, and what follows from it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any, Literal

import msgspec
from litestar import Request, get
from litestar.handlers import HTTPRouteHandler
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Context, Versions
from service.api.contract import Example, operation
from service.api.paging import Cursor, Limit, page_of
from service.api.query import read_query
from service.api.representations import Reply, Representation
from service.core.wear_status import DriveStatus, LiftingStatus

if TYPE_CHECKING:
    from service.reference.catalogue import Reference
    from service.reference.loader import Row

FindingCodeKind = Literal["finding", "sprocket_state", "lubrication_state", "symptom", "cause", "mechanism"]


class FindingCodeFilter(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """Which codes are wanted."""

    kind: Annotated[FindingCodeKind, Meta(description="What the code tells.")] | UnsetType = UNSET
    limit: Limit = 50
    cursor: Cursor | UnsetType = UNSET


class FindingCode(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A code with its consequence; more codes are added in time, none is renamed."""

    kind: FindingCodeKind
    code: str
    meaning: str
    part: Annotated[str, Meta(description="Where a finding is made.")] | UnsetType = UNSET
    drive_status: Annotated[DriveStatus, Meta(description="Least status of a drive with it.")] | UnsetType = UNSET
    lifting_status: Annotated[LiftingStatus, Meta(description="Least status of lifting chain with it.")] | UnsetType = (
        UNSET
    )
    action: Annotated[str, Meta(description="What is done: keep, renew, lubricate, do_not_oil and so on.")] | (
        UnsetType
    ) = UNSET
    advice: Annotated[str, Meta(description="The same in words; of a cause its fix.")] | UnsetType = UNSET
    mechanism: str | UnsetType = UNSET
    stands_for: Annotated[str, Meta(description="Symptom that another word stands for.")] | UnsetType = UNSET
    source_id: str
    locator: str
    confidence: Literal["published", "secondary", "memory", "practice"]


class FindingCodeList(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Codes in the order of their lists."""

    items: list[FindingCode]
    total: int
    next_cursor: Annotated[str, Meta(description="Left out on the last page.")] | UnsetType = UNSET
    versions: Versions


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""
    codes = finding_codes(context.reference)

    @get(
        "/v1/finding-codes",
        **operation(
            "list_finding_codes",
            tag="wear",
            summary="Codes of findings and what follows from them",
            description=(
                "The closed lists of findings, states of teeth and lubrication, symptoms, causes and mechanisms, as "
                "wear checks and fault findings take and give them, each with its least status or its action."
            ),
            examples=EXAMPLES,
            answer=FindingCodeList,
            query=FindingCodeFilter,
        ),
    )
    def list_finding_codes(request: Request[Any, Any, Any]) -> Reply:
        wanted = read_query(request, FindingCodeFilter)
        found = [code for code in codes if wanted.kind in (UNSET, code.kind)]
        items, next_cursor = page_of(
            found, wanted.cursor, wanted.limit, filters=wanted.kind or 0, data_version=context.versions.data
        )
        answer = FindingCodeList(items=items, total=len(found), next_cursor=next_cursor, versions=context.versions)
        return Representation.of(answer).reply(request)

    return [list_finding_codes]


def finding_codes(reference: Reference) -> list[FindingCode]:
    """Every code of every list, with what follows from it."""
    wear, faults = reference.wear, reference.faults
    codes = [
        _code(
            "finding",
            row.finding,
            row,
            meaning=row.meaning,
            part=row.part,
            drive_status=row.drive_status,
            lifting_status=row.lifting_status,
        )
        for row in wear.findings.values()
    ]
    codes += [
        _code("sprocket_state", state.state, state, meaning=state.advice, action=state.action)
        for state in wear.sprocket_states.values()
    ]
    codes += [
        _code("lubrication_state", row.state, row, meaning=row.meaning, action=row.action, advice=row.advice)
        for row in reference.lubrication_states.rows
    ]
    codes += [
        _code("symptom", row.symptom, row, meaning=row.meaning, stands_for=row.stands_for or UNSET)
        for row in faults.symptoms.values()
    ]
    codes += [
        _code("cause", row.cause, row, meaning=row.meaning, mechanism=row.mechanism, advice=row.fix)
        for row in faults.causes.values()
    ]
    codes += [_code("mechanism", row.mechanism, row, meaning=row.meaning) for row in faults.mechanisms.values()]
    return codes


def _code(kind: FindingCodeKind, code: str, row: Row, **said: Any) -> FindingCode:  # noqa: ANN401 fields of the Struct
    return FindingCode(
        kind=kind, code=code, source_id=row.source_id, locator=row.locator, confidence=row.confidence, **said
    )


EXAMPLES = {
    "lubrication_states": Example(
        "States of lubrication", query={"kind": "lubrication_state", "limit": "2"}, varying=("total", "next_cursor")
    ),
    "kind_unknown": Example("A kind that there is not", query={"kind": "lubrication"}, status=422),
}
