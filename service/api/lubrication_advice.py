"""``POST /v1/lubrication-advice``: method, grade, interval and quantities of lubrication, and when not to oil."""

from typing import Annotated, Literal

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
from service.api.quantities import PRESENTERS, Inputs, Presenter, Quantity, RotationalSpeed, Speed, Temperature
from service.calculations.lubrication_advice import (
    Application,
    Edition,
    EditionMethod,
    LubricationInput,
    LubricationResult,
    MethodGroup,
    Oil,
    lubrication_advice,
)
from service.core.conversions import M_S_PER_FT_MIN, MM_PER_FOOT, MM_PER_INCH
from service.reference.lubrication import (
    Case,
    LubricationAction,
    LubricationQuantityRow,
    LubricationState,
    Method,
)

Confidence = Literal["published", "secondary", "memory", "practice"]


FigureUnit = Literal["h", "drops/min", "mm", "in", "m/s", "m/min", "ft/min", "ISO VG"]


class LubricationAdviceRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A chain with what is known of its speed and place."""

    chain: ChainName | UnsetType = UNSET
    own_chain: OwnChain | UnsetType = UNSET
    application: Annotated[Application, Meta(description="Whether it drives or carries.")] = "drive"
    chain_speed: Annotated[Speed, Meta(description="Or send speed and teeth of the small wheel.")] | UnsetType = UNSET
    speed: Annotated[RotationalSpeed, Meta(description="Of the small wheel.")] | UnsetType = UNSET
    teeth: Annotated[Teeth, Meta(description="Of the small wheel.")] | UnsetType = UNSET
    ambient_temperature: Temperature | UnsetType = UNSET
    cases: (
        Annotated[list[Case], Meta(max_length=9, description="Places and chains where lubrication differs.")]
        | UnsetType
    ) = UNSET
    lubrication_state: Annotated[LubricationState, Meta(description="What is seen on the chain now.")] | UnsetType = (
        UNSET
    )


class EditionAdvice(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Least method by one edition of the ratings."""

    edition: Edition
    method: Annotated[MethodGroup | Literal["not_known"], Meta(description="`not_known`: see holes.")]
    or_better: Annotated[bool, Meta(description="Whether the boundary to the next method was not read.")] = False
    manual_or_drip_up_to: Quantity | UnsetType = UNSET
    bath_or_disc_up_to: Quantity | UnsetType = UNSET


class SpeedAdvice(msgspec.Struct, frozen=True, kw_only=True):
    """A text that goes by chain speed alone, and whether it admits this method at this speed."""

    method: Method
    admits: bool
    condition: str
    source_id: str


class LubricationFigure(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """An interval or quantity; texts that differ stand side by side."""

    method: Method
    quantity: str
    least: float | UnsetType = UNSET
    greatest: float | UnsetType = UNSET
    unit: FigureUnit
    condition: str
    source_id: str
    confidence: Confidence


class LubricationCase(msgspec.Struct, frozen=True, kw_only=True):
    """What a place or kind of chain changes."""

    case: Case
    oil: Oil
    advice: str
    source_id: str
    confidence: Confidence


class StateAdvice(msgspec.Struct, frozen=True, kw_only=True):
    """What is done about the state that was seen."""

    state: LubricationState
    action: LubricationAction
    advice: str


class LubricationAdvice(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Whether to oil, how, with what and how much; `holes` say what was not found in print."""

    oil: Annotated[Oil, Meta(description="`special`: read the cases first; `no`: do not oil.")]
    chain_speed: Quantity | UnsetType = UNSET
    method: Annotated[MethodGroup, Meta(description="The better one where editions differ.")] | UnsetType = UNSET
    editions: list[EditionAdvice] = []
    by_speed_alone: list[SpeedAdvice] = []
    sae_grade: str | UnsetType = UNSET
    quantities: list[LubricationFigure] = []
    cases: list[LubricationCase] = []
    state: StateAdvice | UnsetType = UNSET
    holes: list[str] = []


class LubricationAdviceAnswer(Answer[LubricationAdvice], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/lubrication-advice`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/lubrication-advice",
        dto=json_body(LubricationAdviceRequest),
        **operation(
            "advise_lubrication",
            tag="wear",
            summary="Method, grade and quantities of lubrication",
            description=(
                "Least method by chain size and speed in each edition of the ratings, grade of oil by ambient "
                "temperature and pitch, intervals and quantities with their sources, and what differs in water, grit, "
                "food, heat and on chain that is not oiled. What was not found in print is named as a hole."
            ),
            examples=EXAMPLES,
        ),
    )
    def advise_lubrication(data: JSONBody[LubricationAdviceRequest]) -> LubricationAdviceAnswer:
        inputs = Inputs()
        outcome = lubrication_advice(
            _given(data, inputs, context), context.reference, keep_steps=data.working == "full"
        )
        return LubricationAdviceAnswer(
            result=_present(outcome.result, data, PRESENTERS[data.units]),
            **common(data, outcome.trace, inputs, context),
        )

    return [advise_lubrication]


def _given(data: LubricationAdviceRequest, inputs: Inputs, context: Context) -> LubricationInput:
    return LubricationInput(
        chain=read_chain(data.chain, data.own_chain, inputs, context.reference).size,
        application=data.application,
        chain_speed_m_s=inputs.optional(data.chain_speed, "/chain_speed"),
        teeth=whole(data.teeth),
        speed_rpm=inputs.optional(data.speed, "/speed"),
        ambient_c=inputs.optional(data.ambient_temperature, "/ambient_temperature"),
        cases=() if isinstance(data.cases, UnsetType) else tuple(data.cases),
        lubrication_state=sent(data.lubrication_state),
    )


def _present(result: LubricationResult, data: LubricationAdviceRequest, presenter: Presenter) -> LubricationAdvice:
    state, speed = result.state, result.chain_speed_m_s
    return LubricationAdvice(
        oil=result.oil,
        chain_speed=UNSET if speed is None else presenter.speed(speed),
        method=result.method or UNSET,
        editions=[_edition(edition, presenter) for edition in result.editions],
        by_speed_alone=[
            SpeedAdvice(
                method=text.row.method,
                admits=text.admits,
                condition=text.row.condition,
                source_id=text.row.source_id,
            )
            for text in result.by_speed_alone
        ],
        sae_grade=UNSET if result.viscosity is None else result.viscosity.sae_grade,
        quantities=[_figure(row, data.units, presenter) for row in result.quantities],
        cases=[
            LubricationCase(
                case=row.case, oil=row.oil, advice=row.advice, source_id=row.source_id, confidence=row.confidence
            )
            for row in result.cases
        ],
        state=UNSET if state is None else StateAdvice(state=state.state, action=state.action, advice=state.advice),
        holes=list(result.holes),
    )


def _edition(edition: EditionMethod, presenter: Presenter) -> EditionAdvice:
    limits = edition.limits

    def speed(feet_per_minute: float | None) -> Quantity | UnsetType:
        return UNSET if feet_per_minute is None else presenter.speed(feet_per_minute * M_S_PER_FT_MIN)

    rpm = limits.manual_or_drip_max_rpm
    return EditionAdvice(
        edition=edition.edition,
        method=edition.method or "not_known",
        or_better=edition.or_better,
        manual_or_drip_up_to=(
            speed(limits.manual_or_drip_max_ft_min) if rpm is None else presenter.quantity(rpm, "rotational_speed")
        ),
        bath_or_disc_up_to=speed(limits.bath_or_disc_max_ft_min),
    )


_INCH_UNITS: dict[str, tuple[FigureUnit, float]] = {
    "mm": ("in", 1 / MM_PER_INCH),
    "m/min": ("ft/min", 1000 / MM_PER_FOOT),
}


def _figure(row: LubricationQuantityRow, units: Literal["metric", "inch"], presenter: Presenter) -> LubricationFigure:
    unit: FigureUnit = row.unit
    factor = 1.0
    if units == "inch" and row.unit in _INCH_UNITS:
        unit, factor = _INCH_UNITS[row.unit]

    def show(value: float | None) -> float | UnsetType:
        return UNSET if value is None else presenter.number(value * factor)

    return LubricationFigure(
        method=row.method,
        quantity=row.quantity,
        least=show(row.least),
        greatest=show(row.greatest),
        unit=unit,
        condition=row.condition,
        source_id=row.source_id,
        confidence=row.confidence,
    )


EXAMPLES = {
    "mixer_drive": Example(
        "Mixer drive of the invented Lindholm plant: 17 teeth at 750 r/min in a warm hall",
        {
            "chain": "60",
            "speed": {"value": 750, "unit": "r/min"},
            "teeth": 17,
            "ambient_temperature": {"value": 35, "unit": "degC"},
        },
    ),
    "wet_ash": Example(
        "A chain under water in ash",
        {"chain": "16B", "application": "conveyor", "cases": ["grit_under_water"], "lubrication_state": "dry"},
    ),
    "speed_without_teeth": Example(
        "A speed of rotation without its wheel",
        {"chain": "80", "speed": {"value": 300, "unit": "r/min"}},
        status=422,
    ),
}
