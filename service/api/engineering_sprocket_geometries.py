"""``POST /v1/engineering-sprocket-geometries``: diameters of wheels whose tooth form is not published here."""

from __future__ import annotations

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
from service.api.quantities import PRESENTERS, Inputs, Length, LengthOrZero, Presenter, Quantity
from service.api.wear_input import sent
from service.api.wheel_statements import WheelStatement, present_statements
from service.calculations.chain_seat import Seat, SeatInput
from service.calculations.engineering_wheel import (
    EngineeringWheelInput,
    EngineeringWheelResult,
    ToothSpacing,
    engineering_wheel,
)

FamilyId = Annotated[
    str,
    Meta(
        min_length=1,
        max_length=40,
        pattern=r"^[a-z0-9_]+$",
        description="Family of `own_chain`, as listed at `GET /v1/families`.",
        examples=["mill_welded"],
    ),
]


class BarrelChainRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A chain without a published tooth form, and what of it meets the wheel."""

    chain: ChainName | UnsetType = UNSET
    own_chain: OwnChain | UnsetType = UNSET
    family: FamilyId | UnsetType = UNSET
    pitch: Annotated[Length, Meta(description="Pitch, of a size that is made in several.")] | UnsetType = UNSET
    seat: Annotated[Seat, Meta(description="The part of the chain that meets the wheel.")] | UnsetType = UNSET
    seating_diameter: (
        Annotated[Length, Meta(description="Diameter of the part that meets the wheel, new.")] | UnsetType
    ) = UNSET


class EngineeringSprocketRequest(BarrelChainRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A toothed wheel for one chain."""

    teeth: Teeth
    tooth_spacing: (
        Annotated[
            ToothSpacing,
            Meta(
                description="`half_pitch`: gaps at half the pitch, as of hunting-tooth and double-pitch wheels; "
                "`two_pitches`: one tooth for a pair of links, as of rivetless chain."
            ),
        ]
        | UnsetType
    ) = UNSET
    second_pitch: Annotated[Length, Meta(description="Pitch of every second link, where it differs.")] | UnsetType = (
        UNSET
    )
    bottom_clearance: (
        Annotated[LengthOrZero, Meta(description="Radius of the seat less that of the barrel.")] | UnsetType
    ) = UNSET
    side_clearance: (
        Annotated[LengthOrZero, Meta(description="Clear width of the chain less the tooth width.")] | UnsetType
    ) = UNSET
    contour: Annotated[
        Literal["not_needed", "required"],
        Meta(description="`required` refuses, since no tooth form of these chains is in the reference data."),
    ] = "not_needed"


class EngineeringSprocketGeometry(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A wheel by its diameters; what is missing is not given by the figures at hand. No contour is published."""

    family: str | UnsetType = UNSET
    teeth: int
    tooth_spacing: ToothSpacing
    pitches_per_turn: Annotated[float, Meta(description="Effective teeth, where gaps lie at half the pitch.")]
    pitch: Quantity
    second_pitch: Quantity | UnsetType = UNSET
    pitch_diameter: Quantity
    pitch_diameter_in_pitches: float
    seating_diameter: Quantity | UnsetType = UNSET
    bottom_diameter: Quantity | UnsetType = UNSET
    caliper_diameter: Annotated[Quantity, Meta(description="Over two gaps as nearly opposite as may be.")] | (
        UnsetType
    ) = UNSET
    hub_diameter_limit: Annotated[Quantity, Meta(description="Where the bars touch a hub or rim at mid-pitch.")] | (
        UnsetType
    ) = UNSET
    tooth_width: Quantity | UnsetType = UNSET
    speed_variation_percent: Annotated[float, Meta(description="By polygon action, of the greatest chain speed.")]
    wheel_group: Annotated[str, Meta(description="Group of chains that share a wheel.")] | UnsetType = UNSET
    same_wheel: Annotated[list[str], Meta(description="Other sizes of this group.")]
    statements: list[WheelStatement]


class EngineeringSprocketAnswer(Answer[EngineeringSprocketGeometry], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/engineering-sprocket-geometries`."""


def read_seat(data: BarrelChainRequest, inputs: Inputs, context: Context) -> SeatInput:
    """What a request says of its chain and of what meets the wheel."""
    return SeatInput(
        chain=read_chain(data.chain, data.own_chain, inputs, context.reference).size,
        family=sent(data.family),
        pitch_mm=inputs.optional(data.pitch, "/pitch"),
        seat=sent(data.seat),
        seating_diameter_mm=inputs.optional(data.seating_diameter, "/seating_diameter"),
    )


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/engineering-sprocket-geometries",
        dto=json_body(EngineeringSprocketRequest),
        **operation(
            "calculate_engineering_sprocket_geometry",
            tag="wheels",
            summary="Diameters of a wheel for engineering-class chain",
            description=(
                "Mill, drag, pintle, combination, bushed, rivetless, conveyor, agricultural, detachable, flat-top and "
                "double-pitch chain, and block, draw-bench and bar-loop chain of your own figures: pitch circle, "
                "bottom and caliper diameter, tooth width, hub limit, and how such wheels are made. No tooth form of "
                "these chains is in the reference data, so there is no contour."
            ),
            examples=EXAMPLES,
        ),
    )
    def calculate_engineering_sprocket_geometry(
        data: JSONBody[EngineeringSprocketRequest],
    ) -> EngineeringSprocketAnswer:
        inputs = Inputs()
        given = EngineeringWheelInput(
            seat=read_seat(data, inputs, context),
            teeth=int(data.teeth),
            tooth_spacing=sent(data.tooth_spacing),
            second_pitch_mm=inputs.optional(data.second_pitch, "/second_pitch"),
            bottom_clearance_mm=inputs.optional(data.bottom_clearance, "/bottom_clearance"),
            side_clearance_mm=inputs.optional(data.side_clearance, "/side_clearance"),
            contour_required=data.contour == "required",
        )
        outcome = engineering_wheel(given, context.reference, keep_steps=data.working == "full")
        return EngineeringSprocketAnswer(
            result=_present(given.teeth, outcome.result, PRESENTERS[data.units]),
            **common(data, outcome.trace, inputs, context),
        )

    return [calculate_engineering_sprocket_geometry]


def _present(teeth: int, result: EngineeringWheelResult, presenter: Presenter) -> EngineeringSprocketGeometry:
    return EngineeringSprocketGeometry(
        family=UNSET if result.family is None else result.family,
        teeth=teeth,
        tooth_spacing=result.tooth_spacing,
        pitches_per_turn=presenter.number(result.pitches_per_turn),
        pitch=presenter.length(result.pitch_mm),
        second_pitch=presenter.known_length(result.second_pitch_mm),
        pitch_diameter=presenter.length(result.pitch_diameter_mm),
        pitch_diameter_in_pitches=presenter.number(result.pitch_diameter_mm / result.pitch_mm),
        seating_diameter=presenter.known_length(result.seating_diameter_mm),
        bottom_diameter=presenter.known_length(result.bottom_diameter_mm),
        caliper_diameter=presenter.known_length(result.caliper_diameter_mm),
        hub_diameter_limit=presenter.known_length(result.hub_diameter_limit_mm),
        tooth_width=presenter.known_length(result.tooth_width_mm),
        speed_variation_percent=presenter.number(100 * result.speed_variation),
        wheel_group=UNSET if result.wheel_group is None else result.wheel_group,
        same_wheel=list(result.same_wheel),
        statements=present_statements(result.statements),
    )


EXAMPLES = {
    "head_wheel": Example(
        "Head wheel of the ash conveyor of the invented Lindholm plant: chain WR132, 12 teeth, in inches",
        {"chain": "WR132", "teeth": 12, "bottom_clearance": {"value": 0.03125, "unit": "in"}, "units": "inch"},
    ),
    "conveyor_wheel": Example(
        "A wheel of 8 teeth for conveyor chain M112 at 160 mm, its carrying roller in the gap",
        {"chain": "M112", "pitch": {"value": 160, "unit": "mm"}, "seat": "carrying_roller", "teeth": 8},
    ),
    "hunting_tooth": Example(
        "Eleven gaps at half the pitch of a drag chain of one's own",
        {
            "own_chain": {"pitch": {"value": 6, "unit": "in"}, "roller_diameter": {"value": 1.25, "unit": "in"}},
            "family": "drag_bent_bar",
            "teeth": 11,
            "tooth_spacing": "half_pitch",
        },
    ),
    "contour_asked": Example(
        "The tooth form of a mill chain is not published here",
        {"chain": "WR132", "teeth": 12, "contour": "required"},
        status=422,
    ),
}
