"""``POST /v1/pocket-wheel-geometries``: the circles of a pocket wheel for calibrated round-link chain."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec
from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, CalculationRequest, Context, common
from service.api.body import json_body
from service.api.chain_input import ChainName
from service.api.contract import Example, operation
from service.api.load_chain_wear_checks import OwnLink, read_link
from service.api.quantities import PRESENTERS, Inputs, Presenter, Quantity
from service.api.wheel_statements import WheelStatement, present_statements
from service.calculations.pocket_wheel import PocketWheelInput, PocketWheelResult, pocket_wheel


class PocketWheelRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A pocket wheel for one chain."""

    chain: ChainName | UnsetType = UNSET
    own_link: OwnLink | UnsetType = UNSET
    pockets: Annotated[
        float,
        Meta(ge=1, le=10_000, multiple_of=1, description="Pockets; each takes a flat and an upright link."),
    ]
    contour: Annotated[
        Literal["not_needed", "required"],
        Meta(description="`required` refuses, since no form of the pockets is in the reference data."),
    ] = "not_needed"


class PocketWheelGeometry(msgspec.Struct, frozen=True, kw_only=True):
    """A pocket wheel by the circles that its links lie on."""

    pockets: int
    pitch: Quantity
    wire_diameter: Quantity
    pitch_diameter: Annotated[Quantity, Meta(description="Through the points where the axes of two links meet.")]
    inscribed_diameter: Annotated[Quantity, Meta(description="Touching the axes of the flat links.")]
    travel_per_turn: Quantity
    pocket_angle: Quantity
    statements: list[WheelStatement]


class PocketWheelAnswer(Answer[PocketWheelGeometry], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/pocket-wheel-geometries`."""


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
                "published relation. The form of the pockets is not in the reference data. The answer says nothing of "
                "whether a wheel or chain may lift."
            ),
            examples=EXAMPLES,
        ),
    )
    def calculate_pocket_wheel_geometry(data: JSONBody[PocketWheelRequest]) -> PocketWheelAnswer:
        inputs = Inputs()
        given = PocketWheelInput(
            chain=read_link(data.chain, data.own_link, inputs, context),
            pockets=int(data.pockets),
            contour_required=data.contour == "required",
        )
        outcome = pocket_wheel(given, context.reference, keep_steps=data.working == "full")
        return PocketWheelAnswer(
            result=_present(given.pockets, outcome.result, PRESENTERS[data.units]),
            **common(data, outcome.trace, inputs, context),
        )

    return [calculate_pocket_wheel_geometry]


def _present(pockets: int, result: PocketWheelResult, presenter: Presenter) -> PocketWheelGeometry:
    return PocketWheelGeometry(
        pockets=pockets,
        pitch=presenter.length(result.pitch_mm),
        wire_diameter=presenter.length(result.wire_diameter_mm),
        pitch_diameter=presenter.length(result.pitch_diameter_mm),
        inscribed_diameter=presenter.length(result.inscribed_diameter_mm),
        travel_per_turn=presenter.length(result.travel_per_turn_mm),
        pocket_angle=presenter.quantity(result.pocket_angle_deg, "angle"),
        statements=present_statements(result.statements),
    )


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
