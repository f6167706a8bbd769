"""``POST /v1/chain-lengths``: whole pitches and centres of a two-wheel drive."""

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
from service.api.quantities import PRESENTERS, Inputs, Length, LengthOrZero, Presenter, Quantity
from service.calculations.chain_length import ChainLengthInput, ChainLengthResult, chain_length
from service.calculations.chain_slack import Slack, SlackInput

PitchCount = Annotated[float, Meta(ge=1, le=100_000, multiple_of=1, description="Whole number of pitches.")]


class ChainLengthRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Two wheels of one chain, and one of: a centre distance, a range of it, or a pitch count."""

    chain: ChainName | UnsetType = UNSET
    own_chain: OwnChain | UnsetType = UNSET
    driver_teeth: Annotated[Teeth, Meta(description="Teeth of the driving wheel.")]
    driven_teeth: Annotated[Teeth, Meta(description="Teeth of the driven wheel.")]
    centre_distance: Length | UnsetType = UNSET
    minimum_centre_distance: Length | UnsetType = UNSET
    maximum_centre_distance: Length | UnsetType = UNSET
    pitch_count: PitchCount | UnsetType = UNSET
    rounding: Annotated[
        Literal["nearest", "up", "down"], Meta(description="How a length becomes whole even pitches.")
    ] = "nearest"
    sag: Annotated[LengthOrZero, Meta(description="Depth at mid-span of the slack strand.")] | UnsetType = UNSET
    sag_percent: Annotated[float, Meta(ge=0, le=100, description="The same in per cent of the span.")] | UnsetType = (
        UNSET
    )
    offset_link_allowed: Annotated[bool, Meta(description="Whether an odd count with an offset link may be taken.")] = (
        False
    )


class ChainSlack(msgspec.Struct, frozen=True, kw_only=True):
    """Sag of the slack strand as a catenary, and the centre distance that leaves it."""

    sag: Quantity
    sag_percent: Annotated[float, Meta(description="Of the span.")]
    excess_length: Annotated[Quantity, Meta(description="Chain in the slack strand beyond the straight span.")]
    movement: Annotated[Quantity, Meta(description="Total movement at mid-span when pushed by hand to either side.")]
    installed_centre_distance: Annotated[Quantity, Meta(description="Centres at which the strand hangs so.")]
    take_off_centre_distance: Annotated[
        Quantity, Meta(description="Textbook rule for comparison: 0.2 % off the exact centres.")
    ]


class ChainLengthFit(msgspec.Struct, frozen=True, kw_only=True):
    """A whole number of pitches and the centre distance that it gives."""

    pitch_count: int
    centre_distance: Quantity
    offset_link: bool


class ChainLength(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Chosen pitch count and centre distance, the length before rounding, and the even neighbours."""

    pitch: Quantity
    length_exact_pitches: Annotated[float, Meta(description="Tangent geometry.")] | UnsetType = UNSET
    length_approximate_pitches: Annotated[float, Meta(description="Handbook approximation.")] | UnsetType = UNSET
    pitch_count: int
    offset_link: bool
    chain_length: Quantity
    centre_distance: Annotated[Quantity, Meta(description="Exact, for the whole pitch count.")]
    centre_distance_approximate: Annotated[Quantity, Meta(description="Handbook approximation of the same.")]
    span: Annotated[Quantity, Meta(description="Straight strand between the wheels.")]
    wrap_small_wheel: Quantity
    wrap_large_wheel: Quantity
    teeth_engaged: Annotated[float, Meta(description="Teeth of the small wheel in the chain.")]
    slack: ChainSlack | UnsetType = UNSET
    alternatives: list[ChainLengthFit]


class ChainLengthAnswer(Answer[ChainLength], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/chain-lengths`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/chain-lengths",
        dto=json_body(ChainLengthRequest),
        **operation(
            "calculate_chain_length",
            tag="layout",
            summary="Chain length and centre distance of two wheels",
            description=(
                "Exact tangent geometry and the handbook approximation side by side, rounded to whole even pitches, "
                "with the exact centre distance that results; or the inverse, from a pitch count to the centres."
            ),
            examples=EXAMPLES,
        ),
    )
    def calculate_chain_length(data: JSONBody[ChainLengthRequest]) -> ChainLengthAnswer:
        inputs = Inputs()
        outcome = chain_length(_given(data, inputs, context), keep_steps=data.working == "full")
        return ChainLengthAnswer(
            result=_present(outcome.result, PRESENTERS[data.units]),
            **common(data, outcome.trace, inputs, context),
        )

    return [calculate_chain_length]


def _given(data: ChainLengthRequest, inputs: Inputs, context: Context) -> ChainLengthInput:
    centres = data.centre_distance
    return ChainLengthInput(
        sent_in_inches=not isinstance(centres, UnsetType) and centres.unit == "in",
        chain=read_chain(data.chain, data.own_chain, inputs, context.reference).size,
        driver_teeth=int(data.driver_teeth),
        driven_teeth=int(data.driven_teeth),
        centre_distance_mm=inputs.optional(data.centre_distance, "/centre_distance"),
        minimum_centre_distance_mm=inputs.optional(data.minimum_centre_distance, "/minimum_centre_distance"),
        maximum_centre_distance_mm=inputs.optional(data.maximum_centre_distance, "/maximum_centre_distance"),
        pitch_count=whole(data.pitch_count),
        rounding=data.rounding,
        offset_link_allowed=data.offset_link_allowed,
        slack=SlackInput(
            sag_mm=inputs.optional(data.sag, "/sag"),
            sag_percent=sent(data.sag_percent),
            advice=context.reference.sags.advice(()),
        ),
    )


def _present(result: ChainLengthResult, presenter: Presenter) -> ChainLength:
    exact, approximate = result.length_exact_pitches, result.length_approximate_pitches
    return ChainLength(
        pitch=presenter.length(result.pitch_mm),
        length_exact_pitches=presenter.known_number(exact),
        length_approximate_pitches=presenter.known_number(approximate),
        pitch_count=result.pitch_count,
        offset_link=result.offset_link,
        chain_length=presenter.length(result.chain_length_mm),
        centre_distance=presenter.length(result.centre_distance_mm),
        centre_distance_approximate=presenter.length(result.centre_distance_approximate_mm),
        span=presenter.length(result.span_mm),
        wrap_small_wheel=presenter.quantity(result.wrap_small_deg, "angle"),
        wrap_large_wheel=presenter.quantity(result.wrap_large_deg, "angle"),
        teeth_engaged=presenter.number(result.teeth_engaged),
        slack=UNSET if result.slack is None else _slack(result.slack, presenter),
        alternatives=[
            ChainLengthFit(
                pitch_count=fit.pitch_count,
                centre_distance=presenter.length(fit.centre_distance_mm),
                offset_link=fit.offset_link,
            )
            for fit in result.alternatives
        ],
    )


def _slack(slack: Slack, presenter: Presenter) -> ChainSlack:
    return ChainSlack(
        sag=presenter.length(slack.sag_mm),
        sag_percent=presenter.number(slack.sag_percent),
        excess_length=presenter.length(slack.excess_length_mm),
        movement=presenter.length(slack.movement_mm),
        installed_centre_distance=presenter.length(slack.installed_centre_distance_mm),
        take_off_centre_distance=presenter.length(slack.take_off_centre_distance_mm),
    )


EXAMPLES = {
    "belt_dryer": Example(
        "The dryer drive of the invented Lindholm plant: 19 and 57 teeth about 800 mm apart",
        {
            "chain": "16B",
            "driver_teeth": 19,
            "driven_teeth": 57,
            "centre_distance": {"value": 800, "unit": "mm"},
            "sag_percent": 2,
        },
    ),
    "centres_from_pitches": Example(
        "Centres of a chain of 104 pitches, in inches",
        {"chain": "40", "driver_teeth": 17, "driven_teeth": 65, "pitch_count": 104, "units": "inch"},
    ),
    "wheels_overlap": Example(
        "Wheels that do not fit at this centre distance",
        {
            "own_chain": {"pitch": {"value": 25.4, "unit": "mm"}},
            "driver_teeth": 19,
            "driven_teeth": 76,
            "centre_distance": {"value": 300, "unit": "mm"},
        },
        status=422,
    ),
}
