"""``POST /v1/inspection-sheets``: a round of wear checks on one sheet, as data or as a page to print and sign."""

from typing import Annotated, Any, Literal, cast

import msgspec
from litestar import Request, Response, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import AnswerCaution, AnswerWarning, Context, Versions
from service.api.body import json_body
from service.api.contract import Example, operation
from service.api.drawings import plain_name
from service.api.elongation_checks import ElongationCheckRequest
from service.api.inspection_page import HTML, POLICY, Sheet, inspection_page
from service.api.inspection_rows import CHAINS, LOAD_CHAINS, SheetRow, rows_of
from service.api.load_chain_wear_checks import LoadChainWearRequest
from service.api.protocol import JSON, media_type_of

MOST_ROWS = 100
"""Most items of one kind: a few printed pages."""

Title = Annotated[str, Meta(min_length=1, max_length=120, pattern=r"^[^\x00-\x1f\x7f]*$")]

NOTICE = (
    "Calculated from the figures entered. This sheet is no certificate and no permission to run or to lift: a "
    "competent person inspects, decides and signs."
)
CAUTIONS = ("isolate_and_lock_off", "stored_energy", "local_codes")


class SheetFields(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is said of the sheet as a whole."""

    title: Annotated[Title, Meta(description="Heading of the sheet; shown as plain text.")] = "Inspection of chains"
    place: Annotated[Title, Meta(description="Where the round is made.")] | UnsetType = UNSET
    reference: Annotated[Title, Meta(description="Order or round, as the caller names it.")] | UnsetType = UNSET
    blank_rows: Annotated[float, Meta(ge=0, le=60, multiple_of=1, description="Empty rows at the end.")] = 0
    dual_units: Annotated[bool, Meta(description="Whether the page shows mm and inches side by side.")] = False
    paper: Annotated[Literal["a4", "letter"], Meta(description="Paper of the page, laid across.")] = "a4"


class InspectionSheetRequest(SheetFields, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Checks as their own paths take them; an item without a measure becomes a row to fill in by hand."""

    chain_items: (
        Annotated[list[ElongationCheckRequest], Meta(max_length=MOST_ROWS, description="Chains by their elongation.")]
        | UnsetType
    ) = UNSET
    load_chain_items: (
        Annotated[list[LoadChainWearRequest], Meta(max_length=MOST_ROWS, description="Round-link load chains.")]
        | UnsetType
    ) = UNSET


class _RawSheet(SheetFields, frozen=True, kw_only=True, forbid_unknown_fields=True):
    chain_items: Annotated[list[msgspec.Raw], Meta(max_length=MOST_ROWS)] | UnsetType = UNSET
    load_chain_items: Annotated[list[msgspec.Raw], Meta(max_length=MOST_ROWS)] | UnsetType = UNSET


class SheetCounts(msgspec.Struct, frozen=True, kw_only=True):
    """Rows by what became of them."""

    measured: int
    refused: int
    not_measured: int
    blank: int


class InspectionSheet(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """The rows of a round with what has to be read beside them."""

    title: str
    place: str | UnsetType = UNSET
    reference: str | UnsetType = UNSET
    notice: str
    rows: list[SheetRow]
    counts: SheetCounts
    warnings: list[AnswerWarning]
    cautions: list[AnswerCaution]
    versions: Versions


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/inspection-sheets",
        dto=json_body(_RawSheet),
        **operation(
            "make_inspection_sheet",
            tag="wear",
            summary="A round of wear checks on one sheet to print",
            description=(
                "Up to 100 chains and 100 load chains, each checked as by its own path, with the same figures. With "
                "`Accept: text/html` the sheet is a page for A4 or Letter in black and white, without scripts or "
                "foreign addresses, with empty cells for what was not measured and room for signatures. It is no "
                "certificate."
            ),
            examples=EXAMPLES,
            answer=InspectionSheet,
            produces=(JSON, HTML),
            in_thread=True,
        ),
    )
    def make_inspection_sheet(
        request: Request[Any, Any, Any], data: JSONBody[InspectionSheetRequest]
    ) -> InspectionSheet | Response[bytes]:
        sheet = _sheet(cast("_RawSheet", data), context)
        if media_type_of(request) == JSON:
            return sheet
        page = inspection_page(
            Sheet(
                title=sheet.title,
                heading=[("Place", data.place), ("Reference", data.reference)],
                notice=sheet.notice,
                rows=sheet.rows,
                warnings=[warning.message for warning in sheet.warnings],
                cautions=[caution.text for caution in sheet.cautions],
                versions=sheet.versions,
                dual_units=data.dual_units,
                paper=data.paper,
            )
        )
        return Response(
            page,
            media_type=HTML,
            headers={
                "content-security-policy": POLICY,
                "content-language": "en",
                "content-disposition": f'inline; filename="{plain_name(sheet.title)}.html"',
                "vary": "accept",
            },
        )

    return [make_inspection_sheet]


def _sheet(data: _RawSheet, context: Context) -> InspectionSheet:
    rows = [
        *rows_of(data.chain_items, CHAINS, context),
        *rows_of(data.load_chain_items, LOAD_CHAINS, context),
        *[SheetRow(number=0, kind="blank", state="blank")] * int(data.blank_rows),
    ]
    rows = [msgspec.structs.replace(row, number=number) for number, row in enumerate(rows, start=1)]
    states = [row.state for row in rows]
    return InspectionSheet(
        title=data.title,
        place=data.place,
        reference=data.reference,
        notice=NOTICE,
        rows=rows,
        counts=SheetCounts(
            measured=states.count("measured"),
            refused=states.count("refused"),
            not_measured=states.count("not_measured"),
            blank=states.count("blank"),
        ),
        warnings=_warnings(rows),
        cautions=_cautions(rows, context),
        versions=context.versions,
    )


def _warnings(rows: list[SheetRow]) -> list[AnswerWarning]:
    if any(row.kind != "blank" for row in rows):
        return []
    message = "No item was sent: there is nothing to report."
    return [AnswerWarning(code="sheet_empty", severity="info", message=message)]


def _cautions(rows: list[SheetRow], context: Context) -> list[AnswerCaution]:
    """Every caution of the checks, once each."""
    codes = dict.fromkeys(CAUTIONS)
    for row in rows:
        for answer in (row.check, row.load_chain_check):
            if not isinstance(answer, UnsetType):
                codes.update(dict.fromkeys(caution.code for caution in answer.cautions))
    return [
        AnswerCaution(code=caution.code, severity=caution.severity, text=caution.text)
        for caution in context.reference.cautions.named(*codes)
    ]


EXAMPLES = {
    "mast_round": Example(
        "Lift trucks of the invented Lindholm plant: one chain measured, one left to measure, and a hoist",
        {
            "title": "Lift chains, spring round",
            "place": "Lindholm plant, hall 3",
            "chain_items": [
                {
                    "client_ref": "F-12 mast left",
                    "chain": "BL834",
                    "length": {"value": 12.25, "unit": "in"},
                    "pins_counted": 13,
                    "tension_state": "tight_span",
                    "units": "inch",
                },
                {"client_ref": "F-12 mast right", "chain": "BL834"},
            ],
            "load_chain_items": [
                {
                    "client_ref": "H-3",
                    "chain": "EN 818-7 10x30",
                    "hoist_drive": "hand",
                    "link_count": 11,
                    "inside_length": {"value": 335.2, "unit": "mm"},
                }
            ],
            "blank_rows": 2,
        },
    ),
    "blank_form": Example(
        "Empty rows to fill in by hand, on Letter paper", {"title": "Chain round", "blank_rows": 12, "paper": "letter"}
    ),
    "title_too_long": Example("A title of 121 characters", {"title": "x" * 121}, status=422),
}
