"""``POST /v1/pocket-wheel-geometries``: the circles of a pocket wheel for calibrated round-link chain."""

from typing import Annotated, Any, Literal

from litestar import Request, Response, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Context, common
from service.api.body import json_body
from service.api.chain_input import ChainName
from service.api.contract import Example, operation
from service.api.drawings import ANSWER_OR_DRAWING, answer_or_drawing
from service.api.load_chain_wear_checks import OwnLink, read_link
from service.api.pocket_wheel_answers import PocketWheelAnswer, present_pocket_wheel
from service.api.quantities import PRESENTERS, Inputs, Length
from service.api.setting_out_drawings import draw_pocket_wheel
from service.api.wheel_openings import OpeningsRequest, read_openings
from service.calculations.pocket_wheel import PocketWheelInput, pocket_wheel


class PocketWheelRequest(OpeningsRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A pocket wheel for one chain."""

    chain: ChainName | UnsetType = UNSET
    own_link: OwnLink | UnsetType = UNSET
    pockets: Annotated[
        float,
        Meta(ge=1, le=10_000, multiple_of=1, description="Pockets; each takes a flat and an upright link."),
    ]
    body_diameter: (
        Annotated[Length, Meta(description="Of the metal that pockets and grooves leave, from the wheel's drawing.")]
        | UnsetType
    ) = UNSET
    contour: Annotated[
        Literal["not_needed", "required"],
        Meta(description="`required` refuses, since no form of the pockets is in the reference data."),
    ] = "not_needed"


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/pocket-wheel-geometries",
        dto=json_body(PocketWheelRequest),
        **operation(
            "calculate_pocket_wheel_geometry",
            tag="wheels",
            summary="Circles of a pocket wheel for round-link chain",
            description=(
                "Pitch circle, the circle that touches the flat links, and the chain that a turn takes in, by a "
                "published relation, and bore, keyway and holes inside a body that you state. The form of the pockets "
                "is not in the reference data: a drawing sets out circles and links. The answer says nothing of "
                "whether a wheel or chain may lift."
            ),
            examples=EXAMPLES,
            answer=PocketWheelAnswer,
            produces=ANSWER_OR_DRAWING,
            in_thread=None,
        ),
    )
    async def calculate_pocket_wheel_geometry(
        data: JSONBody[PocketWheelRequest], request: Request[Any, Any, Any]
    ) -> PocketWheelAnswer | Response[bytes]:
        inputs = Inputs()
        given = PocketWheelInput(
            chain=read_link(data.chain, data.own_link, inputs, context),
            pockets=int(data.pockets),
            contour_required=data.contour == "required",
            body_diameter_mm=inputs.optional(data.body_diameter, "/body_diameter"),
            openings=read_openings(data, inputs),
        )
        outcome = pocket_wheel(given, context.reference, keep_steps=data.working == "full")
        answer = PocketWheelAnswer(
            result=present_pocket_wheel(given.pockets, outcome.result, PRESENTERS[data.units]),
            **common(data, outcome.trace, inputs, context),
        )
        return await answer_or_drawing(
            request, data, answer, lambda upright: draw_pocket_wheel(given, outcome.result, answer, upright=upright)
        )

    return [calculate_pocket_wheel_geometry]


EXAMPLES = {
    "hoist_wheel": Example(
        "Wheel of five pockets for 10 x 30 chain of a hoist of the invented Lindholm plant",
        {"chain": "EN 818-7 10x30", "pockets": 5},
    ),
    "own_link": Example(
        "A chain by the figures stamped on it",
        {
            "own_link": {"wire_diameter": {"value": 5, "unit": "mm"}, "pitch": {"value": 15.1, "unit": "mm"}},
            "pockets": 6,
        },
    ),
    "sling_chain": Example(
        "Sling chain must not run over a pocket wheel", {"chain": "EN 818-2 8x24", "pockets": 5}, status=422
    ),
}
