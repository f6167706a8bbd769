"""``POST /v1/elongation-checks``: one wear reading, its limit, and what to do."""

from typing import Annotated, Literal, cast

import msgspec
from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, Context, common
from service.api.body import json_body
from service.api.chain_input import ChainName, OwnChain
from service.api.contract import Example, operation
from service.api.optional_fields import sent, whole
from service.api.quantities import PRESENTERS, Inputs, Length, Presenter, Quantity, Temperature
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
from service.calculations.elongation_check import (
    Conditions,
    ElongationCheckInput,
    ElongationCheckResult,
    TensionState,
    elongation_check,
)
from service.calculations.measurement import GaugeResult, Measurement, Method
from service.calculations.trace import Outcome
from service.calculations.wear_limit import ChosenLimit, LimitRule
from service.calculations.wear_verdict import HEADLINE_LENGTH, NEXT_STEP_LENGTH, Confidence, NextStepCode, Part
from service.core.wear_status import DriveStatus, LiftingStatus

Governor = Literal["wear", "pair", "finding"]


class ElongationCheckRequest(WearRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One reading by one way of measuring, with what decides on the limit."""

    chain: ChainName | UnsetType = UNSET
    own_chain: OwnChain | UnsetType = UNSET
    length: Annotated[Length, Meta(description="Pin centre to pin centre, or like edge to like edge.")] | UnsetType = (
        UNSET
    )
    pitch_count: PitchCount | UnsetType = UNSET
    pins_counted: PinCount | UnsetType = UNSET
    inner_length: Annotated[Length, Meta(description="Between the facing sides of the end rollers.")] | UnsetType = (
        UNSET
    )
    outer_length: Annotated[Length, Meta(description="Over the far sides of the end rollers.")] | UnsetType = UNSET
    pair_length: Annotated[Length, Meta(description="The other chain of a pair over the same count.")] | UnsetType = (
        UNSET
    )
    takeup_travel: Annotated[Length, Meta(description="Outward travel since the chain was new.")] | UnsetType = UNSET
    runs: Annotated[float, Meta(ge=1, le=20, multiple_of=1, description="Runs that the take-up lengthens.")] | (
        UnsetType
    ) = UNSET
    loop_pitch_count: Annotated[PitchCount, Meta(description="Pitches of the loop when new.")] | UnsetType = UNSET
    pitches_removed: (
        Annotated[float, Meta(ge=0, le=100_000, multiple_of=1, description="Pitches taken out since.")] | UnsetType
    ) = UNSET
    pitches_on_wheels: (
        Annotated[
            float,
            Meta(
                ge=0,
                le=10_000,
                description="Of a loop with a take-up: pitches that lie on toothed wheels. Of two wheels about half of "
                "their teeth together; exactly loop_pitch_count less twice the centre distance in pitches.",
            ),
        ]
        | UnsetType
    ) = UNSET
    elongation_percent: (
        Annotated[float, Meta(ge=-100, le=1000, description="An elongation worked out elsewhere, in per cent.")]
        | UnsetType
    ) = UNSET
    uncertainty_percent: Annotated[Percent, Meta(description="Half-width of its band, in points.")] | UnsetType = UNSET
    gauge_result: Annotated[GaugeResult, Meta(description="What a wear gauge says.")] | UnsetType = UNSET
    gauge_threshold_percent: Annotated[Percent, Meta(description="What the gauge stands for.")] | UnsetType = UNSET
    gauge_resolution_percent: Annotated[Percent, Meta(description="Step of a reading gauge.")] | UnsetType = UNSET
    gauge_pitch: Annotated[Length, Meta(description="Pitch that the gauge is made for.")] | UnsetType = UNSET
    instrument: MeasuringInstrument = MeasuringInstrument()
    tension_state: Annotated[TensionState, Meta(description="How the chain was held.")] = "unknown"
    drive_running: Annotated[bool, Meta(description="Whether the drive ran while measuring; it must not.")] = False
    offset_link_in_span: bool = False
    chain_temperature: Temperature | UnsetType = UNSET
    service_days: Annotated[float, Meta(ge=0, le=100_000, description="Days since the chain was new.")] | (
        UnsetType
    ) = UNSET


class OtherLimitFigure(msgspec.Struct, frozen=True, kw_only=True):
    """A limit that another text gives for the same case."""

    percent: float
    condition: str


class ElongationLimit(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """The limit that governs, and where it comes from; without `percent` none was found in print."""

    percent: float | UnsetType = UNSET
    origin: Literal["table", "given", "none"]
    rule: LimitRule
    condition: str
    other_limits: list[OtherLimitFigure] = []


class MiscountFigures(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """The elongation if the count were out by one."""

    one_fewer_percent: float | UnsetType = UNSET
    one_more_percent: float


class ElongationCheck(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Elongation, limit, verdict and next step; `status` for drives, `lifting_status` for lifting chain."""

    family: str
    method: Method
    pitch: Quantity
    pitch_count: int | UnsetType = UNSET
    nominal_length: Quantity | UnsetType = UNSET
    measured_length: Quantity | UnsetType = UNSET
    difference: Annotated[Quantity, Meta(description="Measured less nominal length.")] | UnsetType = UNSET
    length_at_limit: Annotated[Quantity, Meta(description="Length of the same count at the limit.")] | UnsetType = UNSET
    elongation_percent: float | UnsetType = UNSET
    uncertainty_percent: Annotated[float, Meta(description="Half-width of the band.")] | UnsetType = UNSET
    above_percent: Annotated[float, Meta(description="A gauge says more than this.")] | UnsetType = UNSET
    below_percent: Annotated[float, Meta(description="A gauge says less than this.")] | UnsetType = UNSET
    pair_elongation_percent: float | UnsetType = UNSET
    miscount: MiscountFigures | UnsetType = UNSET
    limit: ElongationLimit
    limit_used_fraction: float | UnsetType = UNSET
    status: DriveStatus | UnsetType = UNSET
    lifting_status: LiftingStatus | UnsetType = UNSET
    governed_by: Governor
    confidence: Confidence
    headline: Annotated[str, Meta(max_length=HEADLINE_LENGTH)]
    next_step: Annotated[str, Meta(max_length=NEXT_STEP_LENGTH)]
    next_step_code: Annotated[NextStepCode, Meta(description="The next step for a rule; its words say more.")]
    replace_together: list[Part] = []


class ElongationCheckAnswer(Answer[ElongationCheck], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/elongation-checks`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/elongation-checks",
        dto=json_body(ElongationCheckRequest),
        **operation(
            "check_elongation",
            tag="wear",
            summary="Elongation of a worn chain, its limit and what to do",
            description=(
                "One reading by length over pitches or pins, inside and outside of the rollers, take-up travel, gauge "
                "or a percentage. The answer gives the elongation with the error of the instrument, the limit for the "
                "case with its origin, a status and the next step. Doubtful readings are flagged and never corrected. "
                "Lifting chain has a status of its own, which never says that it may lift. The thresholds of status "
                "are policy of this service and can be set."
            ),
            examples=EXAMPLES,
        ),
    )
    def check_elongation(data: JSONBody[ElongationCheckRequest]) -> ElongationCheckAnswer:
        return answer(data, context)

    return [check_elongation]


def answer(data: ElongationCheckRequest, context: Context) -> ElongationCheckAnswer:
    """The answer to one request."""
    inputs = Inputs()
    outcome = evaluate(data, inputs, context)
    return ElongationCheckAnswer(
        result=_present(outcome.result, PRESENTERS[data.units]),
        **common(data, outcome.trace, inputs, context),
    )


def evaluate(data: ElongationCheckRequest, inputs: Inputs, context: Context) -> Outcome[ElongationCheckResult]:
    """The calculation that a request asks for."""
    return elongation_check(_given(data, inputs, context), context.reference, keep_steps=data.working == "full")


def _given(data: ElongationCheckRequest, inputs: Inputs, context: Context) -> ElongationCheckInput:
    return ElongationCheckInput(
        chain=read_worn_chain(data.chain, data.own_chain, inputs, context.reference),
        family=sent(data.family),
        measurement=_measurement(data, inputs),
        case=read_case(data),
        conditions=Conditions(
            tension_state=data.tension_state,
            drive_running=data.drive_running,
            offset_link_in_span=data.offset_link_in_span,
            chain_temperature_c=inputs.optional(data.chain_temperature, "/chain_temperature"),
        ),
        observed=read_observed(data),
        thresholds=read_thresholds(data),
    )


def _measurement(data: ElongationCheckRequest, inputs: Inputs) -> Measurement:
    return Measurement(
        length_mm=inputs.optional(data.length, "/length"),
        pitch_count=whole(data.pitch_count),
        pins_counted=whole(data.pins_counted),
        inner_length_mm=inputs.optional(data.inner_length, "/inner_length"),
        outer_length_mm=inputs.optional(data.outer_length, "/outer_length"),
        pair_length_mm=inputs.optional(data.pair_length, "/pair_length"),
        takeup_travel_mm=inputs.optional(data.takeup_travel, "/takeup_travel"),
        runs=whole(data.runs),
        loop_pitch_count=whole(data.loop_pitch_count),
        pitches_removed=whole(data.pitches_removed),
        pitches_on_wheels=sent(data.pitches_on_wheels),
        elongation_percent=sent(data.elongation_percent),
        uncertainty_percent=sent(data.uncertainty_percent),
        gauge_result=sent(data.gauge_result),
        gauge_threshold_percent=sent(data.gauge_threshold_percent),
        gauge_resolution_percent=sent(data.gauge_resolution_percent),
        gauge_pitch_mm=inputs.optional(data.gauge_pitch, "/gauge_pitch"),
        service_days=sent(data.service_days),
        instrument=read_instrument(
            data.instrument, inputs, data.outer_length if isinstance(data.length, UnsetType) else data.length
        ),
    )


def present_limit(limit: ChosenLimit, presenter: Presenter) -> ElongationLimit:
    """The limit on the wire."""
    origin: Literal["table", "given", "none"] = "table"
    if limit.rule in {"own", "none"}:
        origin = "given" if limit.rule == "own" else "none"
    return ElongationLimit(
        percent=presenter.known_number(limit.percent),
        origin=origin,
        rule=limit.rule,
        condition=limit.condition,
        other_limits=[
            OtherLimitFigure(percent=presenter.number(other.percent), condition=other.condition)
            for other in limit.others
        ],
    )


def _present(result: ElongationCheckResult, presenter: Presenter) -> ElongationCheck:
    measured, nominal_mm = result.measured, result.nominal_length_mm
    difference_mm = None
    if measured.length_mm is not None and measured.elongation_percent is not None and nominal_mm is not None:
        difference_mm = nominal_mm * measured.elongation_percent / 100
    miscount: MiscountFigures | UnsetType = UNSET
    if measured.miscount is not None:
        miscount = MiscountFigures(
            one_fewer_percent=presenter.known_number(measured.miscount.one_fewer_percent),
            one_more_percent=presenter.number(measured.miscount.one_more_percent),
        )
    status = result.verdict.status
    return ElongationCheck(
        family=result.family,
        method=measured.method,
        pitch=presenter.length(measured.pitch_mm),
        pitch_count=UNSET if measured.pitch_count is None else measured.pitch_count,
        nominal_length=presenter.known_length(nominal_mm),
        measured_length=presenter.known_length(measured.length_mm),
        difference=presenter.known_length(difference_mm),
        length_at_limit=presenter.known_length(result.length_at_limit_mm),
        elongation_percent=presenter.known_number(measured.elongation_percent),
        uncertainty_percent=presenter.known_number(measured.uncertainty_percent),
        above_percent=presenter.known_number(measured.low_percent),
        below_percent=presenter.known_number(measured.high_percent),
        pair_elongation_percent=presenter.known_number(measured.pair_elongation_percent),
        miscount=miscount,
        limit=present_limit(result.limit, presenter),
        limit_used_fraction=presenter.known_number(result.limit_used),
        status=UNSET if result.lifting else cast("DriveStatus", status),
        lifting_status=cast("LiftingStatus", status) if result.lifting else UNSET,
        governed_by=cast("Governor", result.verdict.governed_by),
        confidence=result.confidence,
        headline=result.headline,
        next_step=result.next_step.text,
        next_step_code=result.next_step.code,
        replace_together=list(result.verdict.replace_together),
    )


EXAMPLES = {
    "conveyor_drive": Example(
        "Head drive of the invented Lindholm plant: 24 pitches measured with a class II tape",
        {
            "chain": "80",
            "length": {"value": 625.4, "unit": "mm"},
            "pitch_count": 24,
            "tension_state": "tight_span",
            "instrument": {"accuracy_class": "II", "division": {"value": 1, "unit": "mm"}},
            "large_wheel_teeth": 57,
            "centre_type": "adjustable",
            "sprocket_state": "polished_symmetric",
        },
    ),
    "lift_chain_by_pins": Example(
        "Leaf chain of a lift truck, 13 pins counted over the part that runs on the sheave",
        {
            "chain": "BL834",
            "length": {"value": 12.375, "unit": "in"},
            "pins_counted": 13,
            "tension_state": "tight_span",
            "units": "inch",
        },
    ),
    "gauge_drops_through": Example(
        "A gauge of 3 per cent drops through",
        {"chain": "16B", "gauge_result": "above", "gauge_threshold_percent": 3, "sprocket_state": "hooked"},
    ),
    "count_missing": Example(
        "A length without its count", {"chain": "80", "length": {"value": 625.4, "unit": "mm"}}, status=422
    ),
}
