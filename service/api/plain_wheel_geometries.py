"""``POST /v1/plain-wheel-geometries``: sheaves of leaf chain and traction wheels of barrel chain."""

from __future__ import annotations

from typing import Annotated

import msgspec
from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, Context, common
from service.api.body import json_body
from service.api.contract import Example, operation
from service.api.engineering_sprocket_geometries import BarrelChainRequest, read_seat
from service.api.quantities import PRESENTERS, Inputs, Length, Presenter, Quantity
from service.api.wheel_statements import WheelStatement, present_statements
from service.calculations.plain_wheel import (
    PlainWheelInput,
    PlainWheelResult,
    SheaveResult,
    TractionResult,
    plain_wheel,
)


class PlainWheelRequest(BarrelChainRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A wheel without teeth: leaf chain takes a sheave, barrel chain a traction wheel."""

    tread_diameter: (
        Annotated[Length, Meta(description="Diameter on which the chain runs; of a sheave the least by default.")]
        | UnsetType
    ) = UNSET


class Sheave(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A sheave for leaf chain, by the practice of the trade."""

    tread_diameter: Quantity
    tread_diameter_min: Quantity
    width_between_flanges_min: Quantity | UnsetType = UNSET
    flange_diameter_min: Quantity | UnsetType = UNSET


class TractionWheel(msgspec.Struct, frozen=True, kw_only=True):
    """A plain rim under barrel chain."""

    tread_diameter: Quantity
    pitch_diameter: Annotated[Quantity, Meta(description="Through the joints of the chain on the rim.")]
    pitches_per_turn: Annotated[float, Meta(description="Seldom a whole number; the chain may creep on the rim.")]
    travel_per_turn: Quantity
    speed_variation_percent: Annotated[float, Meta(description="By polygon action, of the greatest chain speed.")]


class PlainWheelGeometry(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A sheave or a traction wheel, as the chain needs it."""

    pitch: Quantity
    sheave: Sheave | UnsetType = UNSET
    traction_wheel: TractionWheel | UnsetType = UNSET
    statements: list[WheelStatement]


class PlainWheelAnswer(Answer[PlainWheelGeometry], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/plain-wheel-geometries`."""


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
                "barrel chain the pitch circle and the travel of a turn of a traction wheel. The chain decides which."
            ),
            examples=EXAMPLES,
        ),
    )
    def calculate_plain_wheel_geometry(data: JSONBody[PlainWheelRequest]) -> PlainWheelAnswer:
        inputs = Inputs()
        given = PlainWheelInput(
            seat=read_seat(data, inputs, context),
            tread_diameter_mm=inputs.optional(data.tread_diameter, "/tread_diameter"),
        )
        outcome = plain_wheel(given, context.reference, keep_steps=data.working == "full")
        return PlainWheelAnswer(
            result=_present(outcome.result, PRESENTERS[data.units]),
            **common(data, outcome.trace, inputs, context),
        )

    return [calculate_plain_wheel_geometry]


def _present(result: PlainWheelResult, presenter: Presenter) -> PlainWheelGeometry:
    return PlainWheelGeometry(
        pitch=presenter.length(result.pitch_mm),
        sheave=UNSET if result.sheave is None else _sheave(result.sheave, presenter),
        traction_wheel=UNSET if result.traction is None else _traction(result.traction, presenter),
        statements=present_statements(result.statements),
    )


def _sheave(sheave: SheaveResult, presenter: Presenter) -> Sheave:
    return Sheave(
        tread_diameter=presenter.length(sheave.tread_diameter_mm),
        tread_diameter_min=presenter.length(sheave.tread_diameter_min_mm),
        width_between_flanges_min=presenter.known_length(sheave.width_between_flanges_min_mm),
        flange_diameter_min=presenter.known_length(sheave.flange_diameter_min_mm),
    )


def _traction(wheel: TractionResult, presenter: Presenter) -> TractionWheel:
    return TractionWheel(
        tread_diameter=presenter.length(wheel.tread_diameter_mm),
        pitch_diameter=presenter.length(wheel.pitch_diameter_mm),
        pitches_per_turn=presenter.number(wheel.pitches_per_turn),
        travel_per_turn=presenter.length(wheel.travel_per_turn_mm),
        speed_variation_percent=presenter.number(100 * wheel.speed_variation),
    )


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
