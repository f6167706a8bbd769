"""``POST /v1/chain-sags``: slack of a strand in every measure, its tension, and what is advised."""

from typing import Annotated

import msgspec
from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, CalculationRequest, Context, common
from service.api.body import json_body
from service.api.chain_input import ChainName, OwnChain, read_chain
from service.api.contract import Example, operation
from service.api.quantities import PRESENTERS, Force, Inputs, Length, LengthOrZero, Presenter, Quantity
from service.calculations.chain_sag import ChainSagInput, ChainSagResult, SagAdvice, chain_sag
from service.reference.sags import Measure, Situation


class ChainSagRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Supports of a strand and one measure of its slack; the chain gives its mass and pitch."""

    chain: ChainName | UnsetType = UNSET
    own_chain: OwnChain | UnsetType = UNSET
    span: Annotated[Length, Meta(description="Horizontal distance of the supports.")]
    rise: Annotated[LengthOrZero, Meta(description="Vertical distance of the supports.")] | UnsetType = UNSET
    sag: Annotated[LengthOrZero, Meta(description="Greatest vertical depth below the straight line.")] | UnsetType = (
        UNSET
    )
    excess_length: (
        Annotated[LengthOrZero, Meta(description="Length of chain less the straight distance.")] | UnsetType
    ) = UNSET
    movement: (
        Annotated[LengthOrZero, Meta(description="Movement from side to side at mid-span, by hand.")] | UnsetType
    ) = UNSET
    horizontal_tension: Force | UnsetType = UNSET
    situations: (
        Annotated[list[Situation], Meta(max_length=8, description="What the drive is or does, for the advised slack.")]
        | UnsetType
    ) = UNSET


class SagGuidance(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Slack that one source advises."""

    situation: Situation
    measure: Annotated[Measure, Meta(description="Movement is about 2.3 times the sag of a level strand.")]
    least: Quantity | UnsetType = UNSET
    greatest: Quantity | UnsetType = UNSET
    least_percent: float | UnsetType = UNSET
    greatest_percent: float | UnsetType = UNSET
    source_id: str


class ChainSag(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """The strand in every measure of slack; tensions where the mass is known and the strand is not taut."""

    straight_distance: Quantity
    sag: Quantity
    sag_percent: Annotated[float, Meta(description="Of the straight distance.")]
    excess_length: Quantity
    excess_pitches: float | UnsetType = UNSET
    chain_length: Quantity
    movement: Quantity
    take_up_travel: Annotated[Quantity, Meta(description="Travel of one wheel of two that takes the slack out.")]
    horizontal_tension: Quantity | UnsetType = UNSET
    lower_end_tension: Quantity | UnsetType = UNSET
    upper_end_tension: Quantity | UnsetType = UNSET
    parabola_error_percent: (
        Annotated[float, Meta(description="By how much the parabola misses the tension.")] | UnsetType
    ) = UNSET
    advised: list[SagGuidance]


class ChainSagAnswer(Answer[ChainSag], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/chain-sags`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/chain-sags",
        dto=json_body(ChainSagRequest),
        **operation(
            "calculate_chain_sag",
            tag="layout",
            summary="Sag, slack and tension of a strand",
            description=(
                "Exact catenary between level or uneven supports, from any one of sag, excess length, movement by hand "
                "or horizontal tension to all the others; travel of a take-up that takes the slack out; advised slack "
                "with its sources."
            ),
            examples=EXAMPLES,
        ),
    )
    def calculate_chain_sag(data: JSONBody[ChainSagRequest]) -> ChainSagAnswer:
        inputs = Inputs()
        outcome = chain_sag(_given(data, inputs, context), keep_steps=data.working == "full")
        return ChainSagAnswer(
            result=_present(outcome.result, PRESENTERS[data.units]),
            **common(data, outcome.trace, inputs, context),
        )

    return [calculate_chain_sag]


def _given(data: ChainSagRequest, inputs: Inputs, context: Context) -> ChainSagInput:
    no_chain = isinstance(data.chain, UnsetType) and isinstance(data.own_chain, UnsetType)
    return ChainSagInput(
        chain=None if no_chain else read_chain(data.chain, data.own_chain, inputs, context.reference).size,
        span_mm=inputs.canonical(data.span, "/span"),
        rise_mm=inputs.optional(data.rise, "/rise") or 0.0,
        sag_mm=inputs.optional(data.sag, "/sag"),
        excess_length_mm=inputs.optional(data.excess_length, "/excess_length"),
        movement_mm=inputs.optional(data.movement, "/movement"),
        horizontal_tension_n=inputs.optional(data.horizontal_tension, "/horizontal_tension"),
        situations=() if isinstance(data.situations, UnsetType) else tuple(data.situations),
        sags=context.reference.sags,
    )


def _present(result: ChainSagResult, presenter: Presenter) -> ChainSag:
    sag, excess = (result.shape.sag_mm, result.shape.excess_length_mm) if result.shape else (0.0, 0.0)
    tensions, error = result.tensions, result.parabola_error_percent
    return ChainSag(
        straight_distance=presenter.length(result.chord_mm),
        sag=presenter.length(sag),
        sag_percent=presenter.number(100 * sag / result.chord_mm),
        excess_length=presenter.length(excess),
        excess_pitches=presenter.known_number(result.excess_pitches),
        chain_length=presenter.length(result.chord_mm + excess),
        movement=presenter.length(result.movement_mm),
        take_up_travel=presenter.length(result.take_up_travel_mm),
        horizontal_tension=presenter.force(tensions.horizontal_n) if tensions else UNSET,
        lower_end_tension=presenter.force(tensions.lower_n) if tensions else UNSET,
        upper_end_tension=presenter.force(tensions.upper_n) if tensions else UNSET,
        parabola_error_percent=presenter.known_number(error),
        advised=[_guidance(advice, presenter) for advice in result.advice],
    )


def _guidance(advice: SagAdvice, presenter: Presenter) -> SagGuidance:
    row = advice.row
    return SagGuidance(
        situation=row.situation,
        measure=row.measure,
        least=presenter.known_length(advice.least_mm),
        greatest=presenter.known_length(advice.greatest_mm),
        least_percent=UNSET if row.least_percent is None else row.least_percent,
        greatest_percent=UNSET if row.greatest_percent is None else row.greatest_percent,
        source_id=row.source_id,
    )


EXAMPLES = {
    "slack_strand": Example(
        "The slack strand of an ordinary drive of the invented Lindholm plant, moved by 32 mm at mid-span",
        {
            "chain": "16B",
            "span": {"value": 800, "unit": "mm"},
            "movement": {"value": 32, "unit": "mm"},
        },
    ),
    "steep_strand": Example(
        "A steep strand, longer by 38.4 mm than the straight distance of its supports",
        {
            "own_chain": {"pitch": {"value": 50.8, "unit": "mm"}, "mass_per_length": {"value": 10, "unit": "kg/m"}},
            "span": {"value": 500, "unit": "mm"},
            "rise": {"value": 2, "unit": "m"},
            "excess_length": {"value": 38.4, "unit": "mm"},
            "situations": ["near_vertical"],
        },
    ),
    "two_measures": Example(
        "Two measures of slack at once",
        {
            "chain": "16B",
            "span": {"value": 800, "unit": "mm"},
            "sag": {"value": 16, "unit": "mm"},
            "movement": {"value": 32, "unit": "mm"},
        },
        status=422,
    ),
}
