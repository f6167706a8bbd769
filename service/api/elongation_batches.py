"""``POST /v1/elongation-checks/batch``: many wear readings, as JSON or as a table in CSV."""

from __future__ import annotations

from typing import Annotated, Any

import msgspec
from litestar import Request, Response, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import Meta

from service.api.answers import Context
from service.api.batches import MOST_ITEMS, BatchAnswer, BatchItem, answer_items
from service.api.contract import Example, operation
from service.api.csv_batches import batch_or_csv_body, csv_answer
from service.api.csv_rows import CSV
from service.api.elongation_checks import (
    EXAMPLES,
    ElongationCheck,
    ElongationCheckAnswer,
    ElongationCheckRequest,
    answer,
)
from service.api.protocol import JSON, media_type_of


class ElongationCheckBatchRequest(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Readings of many chains."""

    items: Annotated[list[ElongationCheckRequest], Meta(min_length=1, max_length=MOST_ITEMS)]


class ElongationCheckBatchItem(BatchItem[ElongationCheckAnswer], frozen=True, kw_only=True, omit_defaults=True):
    """Answer or problem of one reading."""


class ElongationCheckBatchAnswer(BatchAnswer[ElongationCheckBatchItem], frozen=True, kw_only=True):
    """Answer of `POST /v1/elongation-checks/batch`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""
    item = (ElongationCheckRequest, msgspec.json.Decoder(ElongationCheckRequest))

    @post(
        "/v1/elongation-checks/batch",
        dto=batch_or_csv_body(ElongationCheckRequest),
        **operation(
            "check_elongations",
            tag="wear",
            summary="Elongation of many worn chains",
            description=(
                "As the single check, for up to 500 readings. Answers keep the order of the items and echo their "
                "references; an item that is refused carries its problem and spoils no other. The body may be CSV "
                "(RFC 4180, UTF-8, decimal point) with the JSON names as header, nested ones with dots as in "
                "`length.value`, words of a list apart by blanks; `Accept: text/csv` gives the answers so. A cell of "
                "text that a spreadsheet would run as a formula gets an apostrophe in front."
            ),
            examples=BATCH_EXAMPLES,
            answer=ElongationCheckBatchAnswer,
            produces=(JSON, CSV),
            reads=(JSON, CSV),
            in_thread=True,
        ),
    )
    def check_elongations(
        request: Request[Any, Any, Any], data: JSONBody[ElongationCheckBatchRequest]
    ) -> ElongationCheckBatchAnswer | Response[bytes]:
        answered = ElongationCheckBatchAnswer(
            **answer_items(data, item, ElongationCheckBatchItem, lambda one: answer(one, context))
        )
        return answered if media_type_of(request) == JSON else csv_answer(answered.items, ElongationCheck)

    return [check_elongations]


BATCH_EXAMPLES = {
    "two_of_three": Example(
        "Three readings of the invented Lindholm plant, one without its count",
        {
            "items": [
                {"client_ref": "C-104 head", **(EXAMPLES["conveyor_drive"].body or {})},
                {"client_ref": "C-105 head", "chain": "80", "length": {"value": 617.2, "unit": "mm"}},
                {"client_ref": "F-12 mast left", **(EXAMPLES["lift_chain_by_pins"].body or {})},
            ]
        },
    ),
    "table": Example(
        "The same readings as a table",
        text=(
            CSV,
            (
                "client_ref,chain,length.value,length.unit,pitch_count,pins_counted,tension_state\r\n"
                "C-104 head,80,625.4,mm,24,,tight_span\r\n"
                "C-105 head,80,617.2,mm,,,\r\n"
                "F-12 mast left,BL834,12.375,in,,13,tight_span\r\n"
            ),
        ),
    ),
    "empty": Example("A batch without items", {"items": []}, status=422),
}
