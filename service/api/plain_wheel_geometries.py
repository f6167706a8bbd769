"""``POST /v1/plain-wheel-geometries``: sheaves of leaf chain and traction wheels of barrel chain."""

from typing import Annotated, Any

from litestar import Request, Response, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Context, common
from service.api.body import json_body
from service.api.contract import Example, operation
from service.api.drawings import ANSWER_OR_DRAWING, answer_or_drawing
from service.api.engineering_sprocket_geometries import BarrelChainRequest, read_seat
from service.api.plain_wheel_answers import PlainWheelAnswer, present_plain_wheel
from service.api.quantities import PRESENTERS, Inputs, Length
from service.api.setting_out_drawings import draw_plain_wheel
from service.api.wheel_openings import read_openings
from service.calculations.plain_wheel import (
    PlainWheelInput,
    plain_wheel,
)


class PlainWheelRequest(BarrelChainRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A wheel without teeth: leaf chain takes a sheave, barrel chain a traction wheel."""

    tread_diameter: (
        Annotated[Length, Meta(description="Diameter on which the chain runs; of a sheave the least by default.")]
        | UnsetType
    ) = UNSET


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/plain-wheel-geometries",
        dto=json_body(PlainWheelRequest),
        **operation(
            "calculate_plain_wheel_geometry",
            tag="wheels",
            summary="A wheel without teeth: sheave or traction wheel",
            description=(
                "For leaf chain the least diameter, width and flange of a sheave, by the practice of the trade; for "
                "barrel chain the pitch circle and the travel of a turn of a traction wheel. The chain decides which. "
                "Bore, keyway and holes with their walls; a drawing shows the circles to turn the wheel to."
            ),
            examples=EXAMPLES,
            answer=PlainWheelAnswer,
            produces=ANSWER_OR_DRAWING,
            in_thread=None,
        ),
    )
    async def calculate_plain_wheel_geometry(
        data: JSONBody[PlainWheelRequest], request: Request[Any, Any, Any]
    ) -> PlainWheelAnswer | Response[bytes]:
        inputs = Inputs()
        given = PlainWheelInput(
            seat=read_seat(data, inputs, context),
            tread_diameter_mm=inputs.optional(data.tread_diameter, "/tread_diameter"),
            openings=read_openings(data, inputs),
        )
        outcome = plain_wheel(given, context.reference, keep_steps=data.working == "full")
        answer = PlainWheelAnswer(
            result=present_plain_wheel(outcome.result, PRESENTERS[data.units]),
            **common(data, outcome.trace, inputs, context),
        )
        return await answer_or_drawing(
            request, data, answer, lambda upright: draw_plain_wheel(given, outcome.result, answer, upright=upright)
        )

    return [calculate_plain_wheel_geometry]


EXAMPLES = {
    "mast_sheave": Example("Sheave for leaf chain BL834 of a truck of the invented Lindholm plant", {"chain": "BL834"}),
    "traction_wheel": Example(
        "Traction wheel of an ash elevator, chain SBS856 on a rim of 24 in",
        {"chain": "SBS856", "tread_diameter": {"value": 24, "unit": "in"}, "units": "inch"},
    ),
    "roller_chain": Example(
        "Roller chain runs on a toothed wheel",
        {"chain": "80", "tread_diameter": {"value": 24, "unit": "in"}},
        status=422,
    ),
}
