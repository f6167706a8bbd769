"""``POST /v1/chain-loops``: a chain round any number of wheels, with a wheel on a slide if there is one."""

from typing import Annotated, Any, Literal

import msgspec
from litestar import Request, Response, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Context, common
from service.api.body import json_body
from service.api.chain_input import ChainName, OwnChain, read_chain
from service.api.contract import Example, operation
from service.api.drawings import ANSWER_OR_DRAWING, DrawableRequest, answer_or_drawing
from service.api.loop_answers import ChainLoopAnswer, present_loop
from service.api.loop_drawings import draw_loop
from service.api.optional_fields import sent, whole
from service.api.quantities import PRESENTERS, Angle, Inputs, Length, SignedLength
from service.calculations.chain_loop import chain_loop
from service.calculations.loop_input import ChainLoopInput, LoopWheelInput, SlideInput
from service.core.loops import Side, Travel

MAX_WHEELS = 40

WheelIndex = Annotated[float, Meta(ge=0, lt=MAX_WHEELS, multiple_of=1, description="Place in `wheels`, from 0.")]
PitchCount = Annotated[float, Meta(ge=1, le=100_000, multiple_of=1, description="Whole number of pitches.")]


class LoopWheel(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One wheel: toothed by its teeth, plain by its pitch diameter."""

    x: SignedLength
    y: SignedLength
    side: Annotated[
        Side, Meta(description="Inside the loop, or outside where the chain bends back over the wheel.")
    ] = "inside"
    teeth: (
        Annotated[
            float, Meta(ge=3, le=1000, description="Teeth at the pitch of the chain; a half count at double pitch.")
        ]
        | UnsetType
    ) = UNSET
    pitch_diameter: (
        Annotated[Length, Meta(description="Diameter on which the joints lie; needed of a plain wheel.")] | UnsetType
    ) = UNSET
    outside_diameter: Annotated[Length, Meta(description="Over teeth or flanges, for clearances.")] | UnsetType = UNSET


class LoopSlide(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A wheel that can be moved along a line, such as a take-up."""

    wheel: WheelIndex
    direction: Annotated[Angle, Meta(description="Of positive travel, from the x axis towards the y axis.")]
    minimum_travel: Annotated[SignedLength, Meta(description="From the position given with the wheel.")]
    maximum_travel: SignedLength


class ChainLoopRequest(DrawableRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Wheels in the order in which the chain meets them."""

    chain: ChainName | UnsetType = UNSET
    own_chain: OwnChain | UnsetType = UNSET
    wheels: Annotated[list[LoopWheel], Meta(max_length=MAX_WHEELS)]
    travel: (
        Annotated[Travel, Meta(description="Sense in which the chain runs; found from the order if not sent.")]
        | UnsetType
    ) = UNSET
    y_axis: Annotated[Literal["up", "down"], Meta(description="Which way y points on the drawing.")] = "up"
    driver_wheel: WheelIndex = 0
    slide: LoopSlide | UnsetType = UNSET
    pitch_count: PitchCount | UnsetType = UNSET
    offset_link_allowed: Annotated[bool, Meta(description="Whether an odd count with an offset link may be taken.")] = (
        False
    )


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/chain-loops",
        dto=json_body(ChainLoopRequest),
        **operation(
            "calculate_chain_loop",
            tag="layout",
            summary="A chain round two to forty wheels",
            description=(
                "Exact path over wheels inside and outside the loop: length in pitches, wrap and teeth in mesh of each "
                "wheel, strands, clearances; whole even counts, with the travel of a take-up that closes them and the "
                "elongation that is left before it ends. Loops that cross themselves, miss a wheel or run into one are "
                "refused with the reason. The Accept header chooses between these figures and a drawing to scale."
            ),
            examples=EXAMPLES,
            answer=ChainLoopAnswer,
            produces=ANSWER_OR_DRAWING,
            in_thread=None,
        ),
    )
    async def calculate_chain_loop(
        data: JSONBody[ChainLoopRequest], request: Request[Any, Any, Any]
    ) -> ChainLoopAnswer | Response[bytes]:
        inputs = Inputs()
        given = _given(data, inputs, context)
        outcome = chain_loop(given, keep_steps=data.working == "full")
        answer = ChainLoopAnswer(
            result=present_loop(outcome.result, 1 if data.y_axis == "up" else -1, PRESENTERS[data.units]),
            **common(data, outcome.trace, inputs, context),
        )
        return await answer_or_drawing(request, data, answer, lambda _: draw_loop(given, outcome.result, answer))

    return [calculate_chain_loop]


def _given(data: ChainLoopRequest, inputs: Inputs, context: Context) -> ChainLoopInput:
    rules = context.reference.proportions.rows
    return ChainLoopInput(
        chain=read_chain(data.chain, data.own_chain, inputs, context.reference).size,
        wheels=tuple(_wheel(wheel, f"/wheels/{index}", inputs) for index, wheel in enumerate(data.wheels)),
        travel=sent(data.travel),
        y_axis=data.y_axis,
        driver_wheel=int(data.driver_wheel),
        slide=None if isinstance(data.slide, UnsetType) else _slide(data.slide, inputs),
        pitch_count=whole(data.pitch_count),
        offset_link_allowed=data.offset_link_allowed,
        wrap_rule=next(row for row in rules if row.rule == "wrap_min"),
    )


def _wheel(wheel: LoopWheel, pointer: str, inputs: Inputs) -> LoopWheelInput:
    return LoopWheelInput(
        x_mm=inputs.canonical(wheel.x, f"{pointer}/x"),
        y_mm=inputs.canonical(wheel.y, f"{pointer}/y"),
        side=wheel.side,
        teeth=sent(wheel.teeth),
        pitch_diameter_mm=inputs.optional(wheel.pitch_diameter, f"{pointer}/pitch_diameter"),
        outside_diameter_mm=inputs.optional(wheel.outside_diameter, f"{pointer}/outside_diameter"),
    )


def _slide(slide: LoopSlide, inputs: Inputs) -> SlideInput:
    return SlideInput(
        wheel=int(slide.wheel),
        direction_deg=inputs.canonical(slide.direction, "/slide/direction"),
        minimum_travel_mm=inputs.canonical(slide.minimum_travel, "/slide/minimum_travel"),
        maximum_travel_mm=inputs.canonical(slide.maximum_travel, "/slide/maximum_travel"),
    )


def _at(x: float, y: float, **more: object) -> dict[str, object]:
    return {"x": {"value": x, "unit": "mm"}, "y": {"value": y, "unit": "mm"}, **more}


EXAMPLES = {
    "packing_line": Example(
        "A packing line of the invented Lindholm plant: five wheels, two of them bending the chain back",
        {
            "chain": "08B",
            "wheels": [
                _at(0, 0, teeth=24),
                _at(400, -60, teeth=17, side="outside"),
                _at(800, 0, teeth=30),
                _at(850, 500, teeth=19),
                _at(380, 270, teeth=15, side="outside"),
            ],
        },
    ),
    "take_up": Example(
        "A conveyor with its tail wheel on a screw take-up of 150 mm",
        {
            "own_chain": {"pitch": {"value": 101.6, "unit": "mm"}},
            "wheels": [_at(0, 0, teeth=12), _at(6000, 0, teeth=12)],
            "slide": {
                "wheel": 1,
                "direction": {"value": 0, "unit": "deg"},
                "minimum_travel": {"value": 0, "unit": "mm"},
                "maximum_travel": {"value": 150, "unit": "mm"},
            },
        },
    ),
    "wheel_missed": Example(
        "A wheel that the chain does not touch",
        {"chain": "08B", "wheels": [_at(0, 0, teeth=19), _at(300, 0, teeth=13), _at(600, 0, teeth=19)]},
        status=422,
    ),
}
