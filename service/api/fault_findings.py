"""``POST /v1/fault-findings``: from symptoms and data to ranked causes, each with the check that tells it."""

from typing import Annotated, TypeVar

import msgspec
from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, CalculationRequest, Context, common
from service.api.body import json_body
from service.api.chain_input import ChainName, OwnChain, Teeth, read_chain
from service.api.contract import Example, operation
from service.api.optional_fields import sent, whole
from service.api.quantities import Angle, Inputs, Length
from service.api.wear_input import (
    ChainFamily,
    MeasuringInstrument,
    Percent,
    PinCount,
    PitchCount,
    read_instrument,
)
from service.calculations.fault_figures import FigureInput
from service.calculations.fault_finding import (
    Cause,
    FaultFindingInput,
    FaultFindingResult,
    Likelihood,
    Load,
    LubricationMethod,
    Machine,
    RecentChange,
    Surrounding,
    fault_finding,
)
from service.calculations.fault_requests import Asked, IntendedWork, Question
from service.calculations.measurement import Measurement
from service.calculations.wear_limit import CentreType, LimitCase
from service.core.errors import Inconsistent, Issue
from service.reference.fault_finding import Mechanism, RenewedPart, Symptom, Weight
from service.reference.lubrication import LubricationState
from service.reference.sags import Situation
from service.reference.wear import Finding, SprocketState

Item = TypeVar("Item")

SAFETY_FIRST = "isolate_and_lock_off"
"""Caution whose words stand first in every answer."""


class FaultFindingRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What was noticed, and whatever was found and measured; every datum sharpens the answer and none is needed."""

    symptoms: (
        Annotated[list[Symptom], Meta(max_length=19, description="What was noticed; synonyms are read as symptoms.")]
        | UnsetType
    ) = UNSET
    machine: Annotated[Machine, Meta(description="What the chain drives or carries.")] = "drive"
    chain: ChainName | UnsetType = UNSET
    own_chain: OwnChain | UnsetType = UNSET
    family: Annotated[ChainFamily, Meta(description="Family of `own_chain`; roller if left out.")] | UnsetType = UNSET
    length: Annotated[Length, Meta(description="Pin centre to pin centre over the pitches counted.")] | UnsetType = (
        UNSET
    )
    pitch_count: PitchCount | UnsetType = UNSET
    pins_counted: PinCount | UnsetType = UNSET
    pair_length: Annotated[Length, Meta(description="The other chain of a pair over the same count.")] | UnsetType = (
        UNSET
    )
    instrument: MeasuringInstrument = MeasuringInstrument()
    elongation_percent: (
        Annotated[float, Meta(ge=-100, le=1000, description="An elongation known already, instead of a length.")]
        | UnsetType
    ) = UNSET
    limit_percent: Annotated[Percent, Meta(description="The caller's own limit of elongation.")] | UnsetType = UNSET
    large_wheel_teeth: Annotated[Teeth, Meta(description="Teeth of the largest wheel of the loop.")] | UnsetType = UNSET
    small_wheel_teeth: Annotated[Teeth, Meta(description="Teeth of the smallest wheel.")] | UnsetType = UNSET
    centre_type: Annotated[CentreType, Meta(description="Whether slack can be taken up.")] | UnsetType = UNSET
    parallel_chains: Annotated[bool, Meta(description="Whether two or more chains run side by side as one.")] = False
    centre_distance: Length | UnsetType = UNSET
    wrap: Annotated[Angle, Meta(description="On the small wheel; or worked out from teeth and centres.")] | (
        UnsetType
    ) = UNSET
    mid_span_movement: (
        Annotated[Length, Meta(description="Of the slack strand from side to side by hand, locked off.")] | UnsetType
    ) = UNSET
    span: Annotated[Length, Meta(description="Free length of the slack strand.")] | UnsetType = UNSET
    slack_situations: (
        Annotated[list[Situation], Meta(max_length=8, description="What decides on the slack that is advised.")]
        | UnsetType
    ) = UNSET
    findings: Annotated[list[Finding], Meta(max_length=25, description="What was found on the chain.")] | UnsetType = (
        UNSET
    )
    sprocket_state: Annotated[SprocketState, Meta(description="What the teeth look like.")] | UnsetType = UNSET
    lubrication_state: LubricationState | UnsetType = UNSET
    lubrication_method: LubricationMethod | UnsetType = UNSET
    recent_changes: (
        Annotated[list[RecentChange], Meta(max_length=7, description="What was changed before it began.")] | UnsetType
    ) = UNSET
    loads: Annotated[list[Load], Meta(max_length=4, description="How the load comes on.")] | UnsetType = UNSET
    surroundings: Annotated[list[Surrounding], Meta(max_length=5, description="Where the chain runs.")] | UnsetType = (
        UNSET
    )
    questions: (
        Annotated[
            list[Question],
            Meta(max_length=7, description="What a person asked; `probability` is answered by classes, others not."),
        ]
        | UnsetType
    ) = UNSET
    intended_work: (
        Annotated[list[IntendedWork], Meta(max_length=5, description="Work in mind; what endangers is refused.")]
        | UnsetType
    ) = UNSET


class Evidence(msgspec.Struct, frozen=True, kw_only=True):
    """What one datum says of a cause."""

    field: Annotated[str, Meta(description="A field of the request, or what was worked out of figures.")]
    value: str
    weight: Weight
    reason: str


class FaultCause(msgspec.Struct, frozen=True, kw_only=True):
    """One cause: how likely, what it explains, how it is told from the others, and what is done about it."""

    cause: str
    meaning: str
    likelihood: Likelihood
    mechanism: Mechanism
    explains: list[Symptom]
    source_count: Annotated[int, Meta(description="Publications and practice that name it for these symptoms.")]
    evidence: list[Evidence]
    check: Annotated[str, Meta(description="What tells it from the other causes.")]
    fix: str
    replace_together: list[RenewedPart]


class FaultFinding(msgspec.Struct, frozen=True, kw_only=True):
    """The safety line, the symptoms as read, and the causes, the likeliest first."""

    safety_first: str
    symptoms: list[Symptom]
    causes: list[FaultCause]
    next_step: Annotated[str, Meta(description="The check of the first cause that the data have not shown yet.")]


class FaultFindingAnswer(Answer[FaultFinding], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/fault-findings`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/fault-findings",
        dto=json_body(FaultFindingRequest),
        **operation(
            "find_faults",
            tag="wear",
            summary="From symptoms to ranked causes",
            description=(
                "Symptoms of a closed list, with whatever was found and measured, are turned into causes by rules that "
                "are data (`fault_causes`, `symptom_causes` and `fault_evidence` at `GET /v1/tables`). Each has a "
                "class of likelihood, the check that tells it from the others, the fix, and what is renewed together. "
                "Elongation, wrap and slack are set against their limits where they are sent. Synonyms are read as "
                "the symptom that they stand for."
            ),
            examples=EXAMPLES,
        ),
    )
    def find_faults(data: JSONBody[FaultFindingRequest]) -> FaultFindingAnswer:
        inputs = Inputs()
        outcome = fault_finding(_given(data, inputs, context), context.reference, keep_steps=data.working == "full")
        return FaultFindingAnswer(
            result=_present(outcome.result, context),
            **common(data, outcome.trace, inputs, context),
        )

    return [find_faults]


def _given(data: FaultFindingRequest, inputs: Inputs, context: Context) -> FaultFindingInput:
    return FaultFindingInput(
        symptoms=_items(data.symptoms),
        machine=data.machine,
        figures=_figures(data, inputs, context),
        findings=_items(data.findings),
        sprocket_state=sent(data.sprocket_state),
        lubrication_state=sent(data.lubrication_state),
        lubrication_method=sent(data.lubrication_method),
        recent_changes=_items(data.recent_changes),
        loads=_items(data.loads),
        surroundings=_items(data.surroundings),
        asked=Asked(questions=_items(data.questions), intended_work=_items(data.intended_work)),
    )


def _items(values: list[Item] | UnsetType) -> tuple[Item, ...]:
    """The items of a list, each once; none where it was not sent."""
    return () if isinstance(values, UnsetType) else tuple(dict.fromkeys(values))


def _figures(data: FaultFindingRequest, inputs: Inputs, context: Context) -> FigureInput:
    chain = None
    if not (isinstance(data.chain, UnsetType) and isinstance(data.own_chain, UnsetType)):
        chain = read_chain(data.chain, data.own_chain, inputs, context.reference).size
    return FigureInput(
        chain=chain,
        family=sent(data.family),
        measurement=_measurement(data, inputs),
        case=LimitCase(
            large_wheel_teeth=whole(data.large_wheel_teeth),
            small_wheel_teeth=whole(data.small_wheel_teeth),
            centre_type=sent(data.centre_type),
            parallel_chains=data.parallel_chains,
            limit_percent=sent(data.limit_percent),
        ),
        wrap_deg=inputs.optional(data.wrap, "/wrap"),
        centre_distance_mm=inputs.optional(data.centre_distance, "/centre_distance"),
        mid_span_movement_mm=inputs.optional(data.mid_span_movement, "/mid_span_movement"),
        span_mm=inputs.optional(data.span, "/span"),
        slack_situations=_items(data.slack_situations),
    )


def _measurement(data: FaultFindingRequest, inputs: Inputs) -> Measurement | None:
    counts = (data.pitch_count, data.pins_counted, data.pair_length)
    measured = not isinstance(data.length, UnsetType) or not isinstance(data.elongation_percent, UnsetType)
    if not measured:
        if any(not isinstance(count, UnsetType) for count in counts):
            raise Inconsistent(
                Issue("length_mm", "field_required", "A count or a second chain needs the length that belongs to it.")
            )
        return None
    return Measurement(
        length_mm=inputs.optional(data.length, "/length"),
        pitch_count=whole(data.pitch_count),
        pins_counted=whole(data.pins_counted),
        pair_length_mm=inputs.optional(data.pair_length, "/pair_length"),
        elongation_percent=sent(data.elongation_percent),
        instrument=read_instrument(data.instrument, inputs, data.length),
    )


def _present(result: FaultFindingResult, context: Context) -> FaultFinding:
    first = next((cause for cause in result.causes if cause.likelihood != "shown_by_data"), result.causes[0])
    return FaultFinding(
        safety_first=context.reference.cautions.get(SAFETY_FIRST).text,
        symptoms=list(result.symptoms),
        causes=[_cause(cause, context) for cause in result.causes],
        next_step=first.row.check,
    )


def _cause(cause: Cause, context: Context) -> FaultCause:
    row = cause.row
    return FaultCause(
        cause=row.cause,
        meaning=row.meaning,
        likelihood=cause.likelihood,
        mechanism=row.mechanism,
        explains=list(cause.explains),
        source_count=cause.source_count,
        evidence=[
            Evidence(field=one.field, value=one.value, weight=one.weight, reason=one.reason) for one in cause.evidence
        ],
        check=row.check,
        fix=row.fix,
        replace_together=list(context.reference.faults.parts[row.cause]),
    )


EXAMPLES = {
    "new_chain_jumps": Example(
        "Invented Lindholm plant: a new chain jumps under load, the teeth are hooked",
        {
            "symptoms": ["jumps_teeth"],
            "chain": "80",
            "recent_changes": ["new_chain"],
            "sprocket_state": "hooked",
            "small_wheel_teeth": 17,
            "large_wheel_teeth": 57,
            "centre_distance": {"value": 700, "unit": "mm"},
            "mid_span_movement": {"value": 25, "unit": "mm"},
        },
    ),
    "several_symptoms": Example(
        "Noise and fast growing slack with a wear reading and dry joints",
        {
            "symptoms": ["noisy", "chain_stretched"],
            "chain": "16B",
            "length": {"value": 1562.1, "unit": "mm"},
            "pitch_count": 60,
            "lubrication_state": "reddish_brown_at_joints",
        },
    ),
    "belt_word": Example("A word that belongs to belts", {"symptoms": ["squeals"]}, status=422),
    "weld_a_link": Example(
        "Work that is not permitted",
        {"symptoms": ["broken_part"], "machine": "lifting", "intended_work": ["weld_lifting_chain"]},
        status=422,
    ),
}
