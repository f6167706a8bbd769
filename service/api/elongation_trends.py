"""``POST /v1/elongation-trends``: the course of wear of one chain, and when each threshold is reached."""

from typing import Annotated, cast

import msgspec
from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, Context, PlainText, common
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
    MeasuredEnvelope,
    each_item,
    length_in_batch,
    read_batch,
)
from service.api.body import json_body
from service.api.chain_input import ChainName, OwnChain
from service.api.contract import Example, operation
from service.api.optional_fields import sent, whole
from service.api.quantities import PRESENTERS, Inputs, Length
from service.api.quantities import Value as Magnitude
from service.api.trend_answers import ElongationTrend, present_trend
from service.api.wear_input import (
    MeasuringInstrument,
    Percent,
    PinCount,
    PitchCount,
    WearRequest,
    read_case,
    read_instrument,
    read_observed,
    read_thresholds,
    read_worn_chain,
)
from service.api.wear_verdicts import Basis, BasisKeeper, BatchVerdicts, Short, TrendVerdict, WearTally, trend_verdict
from service.calculations.elongation_trend import (
    ElongationTrendInput,
    ElongationTrendResult,
    elongation_trend,
)
from service.calculations.trace import Outcome
from service.calculations.trend_readings import GivenReading, UsageUnit

MOST_READINGS = 200

Timestamp = Annotated[
    str, Meta(min_length=1, max_length=40, description="RFC 3339 date, or date and time.", examples=["2025-02-01"])
]


class Usage(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What the counter showed."""

    value: Annotated[float, Meta(ge=0, le=1e12, description="Reading of the counter.")]
    unit: UsageUnit


class TrendReading(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One reading: a percentage, or a length with its count; with its date, or the use at that time, or both."""

    at: Timestamp | UnsetType = UNSET
    usage: Usage | UnsetType = UNSET
    elongation_percent: Annotated[float, Meta(ge=-100, le=1000, description="Per cent, not a fraction.")] | (
        UnsetType
    ) = UNSET
    length: Length | UnsetType = UNSET
    pitch_count: PitchCount | UnsetType = UNSET
    pins_counted: PinCount | UnsetType = UNSET
    section: Annotated[PlainText, Meta(description="Where along the chain; sections are judged apart.")] | (
        UnsetType
    ) = UNSET
    chain: Annotated[ChainName, Meta(description="What the chain was called then; a change parts the series.")] | (
        UnsetType
    ) = UNSET
    slack: Annotated[bool, Meta(description="Whether the chain was slack.")] = False


class ElongationTrendRequest(WearRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The readings of one chain, in any order, with what decides on the limit."""

    chain: ChainName | UnsetType = UNSET
    own_chain: OwnChain | UnsetType = UNSET
    readings: Annotated[list[TrendReading], Meta(max_length=MOST_READINGS, description="In any order.")]
    as_of: Annotated[Timestamp, Meta(description="Instant of evaluation; the last reading if left out.")] | (
        UnsetType
    ) = UNSET
    installed_at: Annotated[Timestamp, Meta(description="When the chain that runs now was fitted.")] | UnsetType = UNSET
    instrument: MeasuringInstrument = MeasuringInstrument()
    uncertainty_percent: Annotated[Percent, Meta(description="Half-width of the band of each percentage.")] | (
        UnsetType
    ) = UNSET
    horizon_years: Annotated[float, Meta(gt=0, le=50, description="How far ahead a date is named.")] | UnsetType = UNSET
    inspection_interval_days: Annotated[float, Meta(gt=0, le=3660, description="Longest interval allowed.")] | (
        UnsetType
    ) = UNSET
    order_lead_days: Annotated[float, Meta(ge=0, le=3660, description="Time from order to delivery.")] | UnsetType = (
        UNSET
    )


class ElongationTrendAnswer(Answer[ElongationTrend], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/elongation-trends`."""


class TrendReadingEntry(TrendReading, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One reading of a batch, whose length may be a plain number in the unit of the batch."""

    length_value: Annotated[Magnitude, Meta(description="Instead of `length`, in `length_unit` of the batch.")] | (
        UnsetType
    ) = UNSET


class ElongationTrendEntry(ElongationTrendRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The history of one chain in a batch."""

    # Entries are readings; the list is only ever read, so that its invariance does not matter.
    readings: Annotated[  # type: ignore[assignment]
        list[TrendReadingEntry], Meta(max_length=MOST_READINGS, description="In any order.")
    ]


class ElongationTrendBatchRequest(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Histories of many chains; the unit of their lengths may be stated once."""

    length_unit: BatchLengthUnit | UnsetType = UNSET
    detail: BatchDetail = "full"
    items: Annotated[list[ElongationTrendEntry], Meta(min_length=1, max_length=MOST_ITEMS)]


class ElongationTrendBatchItem(BatchItem[ElongationTrendAnswer], frozen=True, kw_only=True, omit_defaults=True):
    """Answer, or verdict in short, or problem of one history."""

    verdict: TrendVerdict | UnsetType = UNSET


class ElongationTrendBatchAnswer(BatchAnswer[ElongationTrendBatchItem, BatchVerdicts], frozen=True, kw_only=True):
    """Answer of `POST /v1/elongation-trends/batch`."""

    basis: Annotated[Basis, Meta(description="Beside verdicts in short.")] | UnsetType = UNSET


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/elongation-trends",
        dto=json_body(ElongationTrendRequest),
        **operation(
            "forecast_elongation",
            tag="wear",
            summary="Course of wear of a chain and when it reaches its limit",
            description=(
                "The whole history of one chain in any order, by date or by use. Readings are screened, and parted "
                "where the chain was replaced, never corrected; the rate is the median of the slopes of all pairs, so "
                "that wild readings do not move it. Each status gets an earliest, an expected and a latest moment at "
                "90 per cent, joined with the error of a reading. Wear that does not rise is not extrapolated. Dates "
                "follow from as_of, never from the clock of the server."
            ),
            examples=EXAMPLES,
            in_thread=True,
        ),
    )
    def forecast_elongation(data: JSONBody[ElongationTrendRequest]) -> ElongationTrendAnswer:
        return answer(data, context)

    @post(
        "/v1/elongation-trends/batch",
        dto=BatchBody,
        request_max_body_size=context.most_batch_bytes,
        **operation(
            "forecast_elongations",
            tag="wear",
            summary="Course of wear of many chains",
            description=(
                "As the single forecast, for up to 1,000 chains in one body. Answers keep the order of the "
                "items; one that is refused carries its problem and spoils no other; `detail` `verdicts` keeps each to "
                "its status, figures and codes."
            ),
            examples=BATCH_EXAMPLES,
            answer=ElongationTrendBatchAnswer,
            in_thread=None,
        ),
    )
    async def forecast_elongations(data: JSONBody[ElongationTrendBatchRequest]) -> PiecewiseResponse:
        return await in_pool(lambda: answer_batch(cast("BatchText", data), context))

    return [forecast_elongation, forecast_elongations]


_ITEM = (ElongationTrendEntry, msgspec.json.Decoder(ElongationTrendEntry))


def answer_batch(text: BatchText, context: Context) -> PiecewiseResponse:
    """The answer to a batch, from its bytes to bytes.

    Raises:
        Refusal: the body as a whole cannot be read.
    """
    batch = read_batch(text.body, MeasuredEnvelope)
    keeper = BasisKeeper(context) if batch.short else None

    def one(entry: ElongationTrendEntry) -> ElongationTrendAnswer | Short:
        data = _with_unit(entry, batch.length_unit)
        return answer(data, context) if keeper is None else keeper.verdict(data, evaluate, trend_verdict)

    answers = each_item(batch.items, _ITEM, one)
    return json_answer(answers, ElongationTrendBatchItem, ElongationTrendBatchAnswer, WearTally(), keeper)


def _with_unit(entry: ElongationTrendEntry, unit: LengthUnit | UnsetType) -> ElongationTrendRequest:
    if all(isinstance(reading.length_value, UnsetType) for reading in entry.readings):
        return entry
    readings = [
        msgspec.structs.replace(
            reading,
            length=length_in_batch(reading.length, reading.length_value, unit, f"readings.{index}.length_value"),
        )
        for index, reading in enumerate(entry.readings)
    ]
    return msgspec.structs.replace(entry, readings=readings)


def answer(data: ElongationTrendRequest, context: Context) -> ElongationTrendAnswer:
    """The answer to one request."""
    inputs = Inputs()
    outcome = evaluate(data, inputs, context)
    return ElongationTrendAnswer(
        result=present_trend(outcome.result, PRESENTERS[data.units]),
        **common(data, outcome.trace, inputs, context),
    )


def evaluate(data: ElongationTrendRequest, inputs: Inputs, context: Context) -> Outcome[ElongationTrendResult]:
    """The calculation that a request asks for."""
    return elongation_trend(_given(data, inputs, context), context.reference, keep_steps=data.working == "full")


def _given(data: ElongationTrendRequest, inputs: Inputs, context: Context) -> ElongationTrendInput:
    first = next((one.length for one in data.readings if not isinstance(one.length, UnsetType)), UNSET)
    return ElongationTrendInput(
        chain=read_worn_chain(data.chain, data.own_chain, inputs, context.reference),
        family=sent(data.family),
        readings=tuple(_reading(one, inputs, f"/readings/{index}") for index, one in enumerate(data.readings)),
        as_of=sent(data.as_of),
        installed_at=sent(data.installed_at),
        instrument=read_instrument(data.instrument, inputs, first),
        uncertainty_percent=sent(data.uncertainty_percent),
        case=read_case(data),
        observed=read_observed(data),
        thresholds=read_thresholds(data),
        horizon_years=sent(data.horizon_years),
        inspection_interval_days=sent(data.inspection_interval_days),
        order_lead_days=sent(data.order_lead_days),
    )


def _reading(one: TrendReading, inputs: Inputs, pointer: str) -> GivenReading:
    usage = sent(one.usage)
    return GivenReading(
        at=sent(one.at),
        usage=None if usage is None else usage.value,
        usage_unit=None if usage is None else usage.unit,
        elongation_percent=sent(one.elongation_percent),
        length_mm=inputs.optional(one.length, f"{pointer}/length"),
        pitch_count=whole(one.pitch_count),
        pins_counted=whole(one.pins_counted),
        section=sent(one.section) or "",
        chain=sent(one.chain) or "",
        slack=one.slack,
    )


EXAMPLES = {
    "elevator_by_hours": Example(
        "Bucket elevator drive of the invented Lindholm plant: running hours, one reading far off",
        {
            "chain": "80",
            "centre_type": "adjustable",
            "large_wheel_teeth": 57,
            "as_of": "2025-07-01",
            "uncertainty_percent": 0.1,
            "readings": [
                {"at": f"2025-0{month}-01", "usage": {"value": hours, "unit": "h"}, "elongation_percent": percent}
                for month, hours, percent in (
                    (1, 500, 0.31),
                    (2, 1000, 0.52),
                    (3, 1500, 0.71),
                    (4, 2000, 4.70),
                    (5, 2500, 1.15),
                    (6, 3000, 1.34),
                )
            ],
        },
    ),
    "chain_replaced": Example(
        "A chain that was replaced between two readings",
        {
            "chain": "16B",
            "centre_type": "fixed",
            "as_of": "2025-05-01",
            "readings": [
                {"at": "2024-06-01", "elongation_percent": 0.9},
                {"at": "2024-09-01", "elongation_percent": 1.3},
                {"at": "2025-01-01", "elongation_percent": 0.05},
                {"at": "2025-05-01", "elongation_percent": 0.2},
            ],
        },
    ),
    "date_exchanged": Example(
        "A date with day and month exchanged",
        {"chain": "80", "readings": [{"at": "2025-13-01", "elongation_percent": 0.9}]},
        status=422,
    ),
}

BATCH_EXAMPLES = {
    "two_chains": Example(
        "Two chains, one without readings",
        {
            "items": [
                {"client_ref": "E-7 drive", **(EXAMPLES["elevator_by_hours"].body or {})},
                {"client_ref": "E-8 drive", "chain": "80", "readings": []},
            ]
        },
    ),
    "empty": Example("A batch without items", {"items": []}, status=422),
}
