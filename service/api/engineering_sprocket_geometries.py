"""``POST /v1/engineering-sprocket-geometries``: diameters of wheels whose tooth form is not published here."""

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
from service.api.engineering_sprocket_answers import EngineeringSprocketAnswer, present_engineering_wheel
from service.api.optional_fields import sent
from service.api.quantities import PRESENTERS, Inputs, Length, LengthOrZero
from service.api.setting_out_drawings import draw_engineering_wheel
from service.api.wheel_openings import OpeningsRequest, read_openings
from service.calculations.chain_seat import Seat, SeatInput
from service.calculations.engineering_wheel import EngineeringWheelInput, ToothSpacing, engineering_wheel

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


class BarrelChainRequest(OpeningsRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
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
    blank_diameter: (
        Annotated[Length, Meta(description="Outside diameter of the blank, from the drawing of the wheel.")] | UnsetType
    ) = UNSET
    measured_caliper_diameter: (
        Annotated[Length, Meta(description="Caliper diameter measured on a wheel.")] | UnsetType
    ) = UNSET
    contour: Annotated[
        Literal["not_needed", "required"],
        Meta(description="`required` refuses, since no tooth form of these chains is in the reference data."),
    ] = "not_needed"


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
                "bottom and caliper diameter, tooth width, hub limit, bore, keyway and holes, and how such wheels are "
                "made. No tooth form of these chains is in the reference data, so there is no contour: a drawing sets "
                "out circles and seats, and shows nothing to cut but the openings."
            ),
            examples=EXAMPLES,
            answer=EngineeringSprocketAnswer,
            produces=ANSWER_OR_DRAWING,
            in_thread=None,
        ),
    )
    async def calculate_engineering_sprocket_geometry(
        data: JSONBody[EngineeringSprocketRequest], request: Request[Any, Any, Any]
    ) -> EngineeringSprocketAnswer | Response[bytes]:
        inputs = Inputs()
        given = EngineeringWheelInput(
            seat=read_seat(data, inputs, context),
            teeth=int(data.teeth),
            tooth_spacing=sent(data.tooth_spacing),
            second_pitch_mm=inputs.optional(data.second_pitch, "/second_pitch"),
            bottom_clearance_mm=inputs.optional(data.bottom_clearance, "/bottom_clearance"),
            side_clearance_mm=inputs.optional(data.side_clearance, "/side_clearance"),
            contour_required=data.contour == "required",
            blank_diameter_mm=inputs.optional(data.blank_diameter, "/blank_diameter"),
            measured_caliper_diameter_mm=inputs.optional(data.measured_caliper_diameter, "/measured_caliper_diameter"),
            openings=read_openings(data, inputs),
        )
        outcome = engineering_wheel(given, context.reference, keep_steps=data.working == "full")
        answer = EngineeringSprocketAnswer(
            result=present_engineering_wheel(given.teeth, outcome.result, PRESENTERS[data.units]),
            **common(data, outcome.trace, inputs, context),
        )
        return await answer_or_drawing(
            request,
            data,
            answer,
            lambda upright: draw_engineering_wheel(given, outcome.result, answer, upright=upright),
        )

    return [calculate_engineering_sprocket_geometry]


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
    "keyed_wheel": Example(
        "The head wheel with bore, keyway and holes, and a caliper diameter measured on the old one",
        {
            "chain": "WR132",
            "teeth": 12,
            "bore": {"value": 100, "unit": "mm"},
            "hub": {"diameter": {"value": 180, "unit": "mm"}, "length": {"value": 140, "unit": "mm"}},
            "keyway": {"standard": "iso_r_773", "torque": {"value": 6000, "unit": "N.m"}},
            "bolt_circle": {
                "diameter": {"value": 320, "unit": "mm"},
                "hole_count": 8,
                "hole_diameter": {"value": 22, "unit": "mm"},
            },
            "blank_diameter": {"value": 620, "unit": "mm"},
            "measured_caliper_diameter": {"value": 546.5, "unit": "mm"},
        },
    ),
    "contour_asked": Example(
        "The tooth form of a mill chain is not published here",
        {"chain": "WR132", "teeth": 12, "contour": "required"},
        status=422,
    ),
}
