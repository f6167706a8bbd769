"""``POST /v1/elongation-checks/batch``: many wear readings, as JSON or as a table in CSV."""

from typing import Annotated, Any, cast

import msgspec
from litestar import Request, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Context
from service.api.batch_answers import PiecewiseResponse, in_pool, json_answer
from service.api.batches import (
    MOST_ITEMS,
    BatchAnswer,
    BatchBody,
    BatchDetail,
    BatchItem,
    BatchLengthUnit,
    BatchText,
    LengthUnit,
    each_item,
    length_in_batch,
)
from service.api.contract import Example, operation
from service.api.csv_batches import csv_answer, read_batch_or_table
from service.api.csv_rows import CSV
from service.api.elongation_checks import (
    EXAMPLES,
    ElongationCheck,
    ElongationCheckAnswer,
    ElongationCheckRequest,
    answer,
    evaluate,
)
from service.api.protocol import JSON, media_type_of
from service.api.quantities import Value
from service.api.wear_verdicts import (
    Basis,
    BasisKeeper,
    BatchVerdicts,
    ElongationVerdict,
    Short,
    WearTally,
    check_verdict,
)


class ElongationCheckEntry(ElongationCheckRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One reading of a batch, whose length may be a plain number in the unit of the batch."""

    length_value: Annotated[Value, Meta(description="Instead of `length`, in `length_unit` of the batch.")] | (
        UnsetType
    ) = UNSET
    inner_length_value: Annotated[Value, Meta(description="Likewise instead of `inner_length`.")] | UnsetType = UNSET
    outer_length_value: Annotated[Value, Meta(description="Likewise instead of `outer_length`.")] | UnsetType = UNSET
    pair_length_value: Annotated[Value, Meta(description="Likewise instead of `pair_length`.")] | UnsetType = UNSET


class ElongationCheckBatchRequest(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Readings of many chains; the unit of their lengths may be stated once."""

    length_unit: BatchLengthUnit | UnsetType = UNSET
    detail: BatchDetail = "full"
    items: Annotated[list[ElongationCheckEntry], Meta(min_length=1, max_length=MOST_ITEMS)]


class ElongationCheckBatchItem(BatchItem[ElongationCheckAnswer], frozen=True, kw_only=True, omit_defaults=True):
    """Answer, or verdict in short, or problem of one reading."""

    verdict: ElongationVerdict | UnsetType = UNSET


class ElongationCheckBatchAnswer(BatchAnswer[ElongationCheckBatchItem, BatchVerdicts], frozen=True, kw_only=True):
    """Answer of `POST /v1/elongation-checks/batch`."""

    basis: Annotated[Basis, Meta(description="Beside verdicts in short.")] | UnsetType = UNSET


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/elongation-checks/batch",
        dto=BatchBody,
        request_max_body_size=context.most_batch_bytes,
        **operation(
            "check_elongations",
            tag="wear",
            summary="Elongation of many worn chains",
            description=(
                "As the single check, for up to 1,000 readings in one body. Answers keep the order of the items and "
                "echo their references; an item that is refused carries its problem and spoils no other; `detail` "
                "`verdicts` keeps each to its status, figures and codes. The body may be CSV (RFC 4180, UTF-8, decimal "
                "point) with the JSON names as header, nested ones with dots as in `length.value`, or with the unit of "
                "the whole column as in `length [mm]`, words of a list apart by blanks; `Accept: text/csv` gives the "
                "answers so. A cell of text that a spreadsheet would run as a formula gets an apostrophe in front."
            ),
            examples=BATCH_EXAMPLES,
            answer=ElongationCheckBatchAnswer,
            produces=(JSON, CSV),
            reads=(JSON, CSV),
            in_thread=None,
        ),
    )
    async def check_elongations(
        request: Request[Any, Any, Any], data: JSONBody[ElongationCheckBatchRequest]
    ) -> PiecewiseResponse:
        text, as_json = cast("BatchText", data), media_type_of(request) == JSON
        return await in_pool(lambda: answer_batch(text, context, as_json=as_json))

    return [check_elongations]


_ITEM = (ElongationCheckEntry, msgspec.json.Decoder(ElongationCheckEntry))


def answer_batch(text: BatchText, context: Context, *, as_json: bool) -> PiecewiseResponse:
    """The answer to a batch, from its bytes to bytes.

    Raises:
        Refusal: the body as a whole cannot be read.
    """
    batch = read_batch_or_table(text, ElongationCheckRequest)
    keeper = BasisKeeper(context) if batch.short else None

    def one(entry: ElongationCheckEntry) -> ElongationCheckAnswer | Short:
        data = _with_unit(entry, batch.length_unit)
        return answer(data, context) if keeper is None else keeper.verdict(data, evaluate, check_verdict)

    answers = each_item(batch.items, _ITEM, one)
    if as_json:
        return json_answer(answers, ElongationCheckBatchItem, ElongationCheckBatchAnswer, WearTally(), keeper)
    return csv_answer(answers, ElongationVerdict if batch.short else ElongationCheck)


def _with_unit(entry: ElongationCheckEntry, unit: LengthUnit | UnsetType) -> ElongationCheckRequest:
    plain = {name: value for name in _LENGTHS if (value := getattr(entry, f"{name}_value")) is not UNSET}
    if not plain:
        return entry
    lengths = {
        name: length_in_batch(getattr(entry, name), value, unit, f"{name}_value") for name, value in plain.items()
    }
    return msgspec.structs.replace(entry, **lengths)


_LENGTHS = ("length", "inner_length", "outer_length", "pair_length")
"""Lengths that an entry may give as plain numbers."""


BATCH_EXAMPLES = {
    "unit_stated_once": Example(
        "Two readings in millimetres and one in inches",
        {
            "length_unit": "mm",
            "items": [
                {"client_ref": "C-104 head", "chain": "80", "length_value": 625.4, "pitch_count": 24},
                {"client_ref": "C-105 head", "chain": "80", "length_value": 617.2, "pitch_count": 24},
                {"client_ref": "C-106", "chain": "40", "length": {"value": 12.1, "unit": "in"}, "pitch_count": 24},
            ],
        },
    ),
    "verdicts_in_short": Example(
        "What to do with each of three chains, and once for all what that rests on",
        {
            "detail": "verdicts",
            "length_unit": "mm",
            "items": [
                {"client_ref": "C-104 head", "chain": "80", "length_value": 625.4, "pitch_count": 24},
                {"client_ref": "C-105 head", "chain": "80", "length_value": 617.2},
                {"client_ref": "F-12 mast left", "chain": "BL834", "length_value": 314.3, "pins_counted": 13},
            ],
        },
    ),
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
    "table_with_the_unit_in_the_header": Example(
        "A table whose units stand once, in the header: one reading over pitches, one inside and over the rollers",
        text=(
            CSV,
            (
                "client_ref,chain,length [mm],inner_length [mm],outer_length [mm],pitch_count,tension_state\r\n"
                "C-104 head,80,625.4,,,24,tight_span\r\n"
                "C-107 head,40,,301.4,317.4,24,tight_span\r\n"
            ),
        ),
    ),
    "empty": Example("A batch without items", {"items": []}, status=422),
}
