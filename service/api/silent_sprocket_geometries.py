"""``POST /v1/silent-sprocket-geometries``: a wheel for silent chain, with its contour where the root is given."""

from typing import Annotated, Any, Literal

from litestar import Request, Response, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Context, common
from service.api.body import json_body
from service.api.chain_input import ChainName, OwnChain, Teeth, read_chain
from service.api.contract import Example, operation
from service.api.drawings import ANSWER_OR_DRAWING, answer_or_drawing
from service.api.quantities import PRESENTERS, Inputs, Length
from service.api.silent_sprocket_answers import SilentSprocketAnswer, present_silent_wheel
from service.api.silent_sprocket_drawings import draw_silent_wheel
from service.api.wheel_openings import OpeningsRequest, read_openings
from service.calculations.silent_wheel import ChainForm, SilentWheelInput, silent_wheel
from service.core.silent_sprocket import ToothCutting
from service.core.silent_tooth import ToothTop


class SilentSprocketRequest(OpeningsRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A wheel for one silent chain."""

    chain: ChainName | UnsetType = UNSET
    own_chain: OwnChain | UnsetType = UNSET
    teeth: Annotated[Teeth, Meta(description="Pitches round the wheel, whether or not every tooth is cut.")]
    chain_form: Annotated[
        ChainForm,
        Meta(
            description="`duplex`: links toothed on both edges; `reversible`: every second link turned over, so that "
            "the wheel has every second tooth missing."
        ),
    ] = "one_sided"
    tooth_top: Annotated[ToothTop, Meta(description="How the teeth end outside.")] = "square"
    cutting: Annotated[ToothCutting, Meta(description="How the teeth are cut; it limits the hub.")] = "hobbed"
    root_diameter: (
        Annotated[Length, Meta(description="Diameter at the bottom of the gap; it closes the contour.")] | UnsetType
    ) = UNSET
    gauge_pin_diameter: Annotated[Length, Meta(description="Diameter of the gauge pins at hand.")] | UnsetType = UNSET
    measured_over_pins: Annotated[Length, Meta(description="Size over pins measured on a wheel.")] | UnsetType = UNSET
    contour: Annotated[
        Literal["if_known", "required"], Meta(description="`required` refuses a wheel whose contour is not known.")
    ] = "if_known"


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/silent-sprocket-geometries",
        dto=json_body(SilentSprocketRequest),
        **operation(
            "calculate_silent_sprocket_geometry",
            tag="wheels",
            summary="Geometry of a silent-chain wheel",
            description=(
                "Pitch, outside and over-pin diameter, working faces, hub and groove limits, and the wheel face by the "
                "guides of the chain. Most diameter formulas are recalled, and the answer says so. The root of the gap "
                "is not published: send `root_diameter` for a closed contour, a drawing, or bore, keyway and holes "
                "with their walls. A measured size over pins is compared with the computed one."
            ),
            examples=EXAMPLES,
            answer=SilentSprocketAnswer,
            produces=ANSWER_OR_DRAWING,
            in_thread=None,
        ),
    )
    async def calculate_silent_sprocket_geometry(
        data: JSONBody[SilentSprocketRequest], request: Request[Any, Any, Any]
    ) -> SilentSprocketAnswer | Response[bytes]:
        inputs = Inputs()
        given = SilentWheelInput(
            chain=read_chain(data.chain, data.own_chain, inputs, context.reference).size,
            teeth=int(data.teeth),
            chain_form=data.chain_form,
            tooth_top=data.tooth_top,
            cutting=data.cutting,
            root_diameter_mm=inputs.optional(data.root_diameter, "/root_diameter"),
            contour_required=data.contour == "required",
            gauge_pin_diameter_mm=inputs.optional(data.gauge_pin_diameter, "/gauge_pin_diameter"),
            measured_over_pins_mm=inputs.optional(data.measured_over_pins, "/measured_over_pins"),
            openings=read_openings(data, inputs),
        )
        outcome = silent_wheel(given, context.reference, keep_steps=data.working == "full")
        presenter = PRESENTERS[data.units]
        answer = SilentSprocketAnswer(
            result=present_silent_wheel(given, outcome.result, presenter),
            **common(data, outcome.trace, inputs, context),
        )
        return await answer_or_drawing(
            request,
            data,
            answer,
            lambda upright: draw_silent_wheel(given, outcome.result, answer, presenter, upright=upright),
        )

    return [calculate_silent_sprocket_geometry]


EXAMPLES = {
    "centre_guide": Example(
        "A wheel for the fan drive of the invented Lindholm plant: SC406 with centre guide, 21 teeth, in inches",
        {"chain": "SC406", "teeth": 21, "units": "inch"},
    ),
    "closed_contour": Example(
        "The same wheel with round teeth and a root diameter from the drawing of the cutter",
        {"chain": "SC406", "teeth": 21, "tooth_top": "round", "root_diameter": {"value": 2.68, "unit": "in"}},
    ),
    "keyed_wheel": Example(
        "The same wheel with bore and keyway, and what the torque does to its key",
        {
            "chain": "SC406",
            "teeth": 21,
            "tooth_top": "round",
            "root_diameter": {"value": 2.68, "unit": "in"},
            "bore": {"value": 30, "unit": "mm"},
            "hub": {"diameter": {"value": 55, "unit": "mm"}, "length": {"value": 45, "unit": "mm"}},
            "keyway": {
                "standard": "iso_r_773",
                "torque": {"value": 90, "unit": "N.m"},
                "allowable_shear_stress": {"value": 60, "unit": "N/mm2"},
                "allowable_bearing_stress": {"value": 120, "unit": "N/mm2"},
            },
        },
    ),
    "reversible": Example(
        "A reversible chain needs an even number of pitches round its wheel",
        {"chain": "SC304", "teeth": 25, "chain_form": "reversible"},
        status=422,
    ),
}
