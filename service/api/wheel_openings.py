"""Bore, keyway, hub, holes, split and cut of a wheel: how they are asked for and how they are answered."""

from math import degrees
from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.drawings import DrawableRequest
from service.api.optional_fields import sent
from service.api.quantities import Inputs, Length, LengthOrZero, Presenter, Quantity, Stress, Torque
from service.api.wheel_contours import (
    Contour,
    ContourPiece,
    ContourPoint,
    present_contour,
    present_pieces,
    present_point,
)
from service.calculations.wheel_keyways import Keyway, KeywayInput
from service.calculations.wheel_openings import BoltCircleInput, Holes, Openings, OpeningsInput

KeyStandard = Annotated[
    Literal["iso_r_773", "asme_b17_1"],
    Meta(description="ISO/R 773 and DIN 6885-1 (metric), or ANSI B17.1 (inch); none is assumed."),
]


class WheelKeyway(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A keyway by a standard, or by its own width and depth; with a torque the stresses of the key are computed."""

    standard: KeyStandard | UnsetType = UNSET
    shape: (
        Annotated[Literal["square", "rectangular"], Meta(description="ANSI B17.1; the preferred one by default.")]
        | UnsetType
    ) = UNSET
    width: Length | UnsetType = UNSET
    hub_depth: Annotated[Length, Meta(description="Depth in the hub beyond the circle of the bore.")] | UnsetType = (
        UNSET
    )
    in_line_with: Annotated[Literal["gap", "tooth"], Meta(description="What the keyway stands in line with.")] = "gap"
    torque: Torque | UnsetType = UNSET
    key_length: (
        Annotated[Length, Meta(description="Length over which the key bears; that of the hub by default.")] | UnsetType
    ) = UNSET
    allowable_shear_stress: Stress | UnsetType = UNSET
    allowable_bearing_stress: Stress | UnsetType = UNSET


class WheelHub(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A hub on one or both sides of the teeth."""

    diameter: Length
    length: Length | UnsetType = UNSET


class BoltCircle(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Evenly spread round holes; they stand half a step off the keyway, of split wheels where the split leaves most."""

    diameter: Length
    hole_count: Annotated[float, Meta(ge=1, le=120, multiple_of=1, description="Number of holes.")]
    hole_diameter: Length


class OpeningsRequest(DrawableRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is cut into a wheel beside its teeth."""

    bore: Annotated[LengthOrZero, Meta(description="Diameter of the bore; zero is a blank wheel.")] | UnsetType = UNSET
    keyway: WheelKeyway | UnsetType = UNSET
    hub: WheelHub | UnsetType = UNSET
    bolt_circle: BoltCircle | UnsetType = UNSET
    least_wall: (
        Annotated[Length, Meta(description="Wall that you want between the bore or keyway and the outside.")]
        | UnsetType
    ) = UNSET
    split: Annotated[bool, Meta(description="Whether the wheel is cut in two, where it has gaps through one.")] = False
    kerf: (
        Annotated[
            Length,
            Meta(
                description="Width of the cut. Where it is sent, outlines are set off by half of it: the contour "
                "outwards, bore and holes inwards. Leave it out where the cutting machine compensates."
            ),
        ]
        | UnsetType
    ) = UNSET


class KeywayResult(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A keyway in the hub, and the stresses of its key where a torque was sent."""

    standard: Literal["iso_r_773", "asme_b17_1", "own"]
    width: Quantity
    key_height: Quantity | UnsetType = UNSET
    depth_to_opposite_side: Annotated[Quantity, Meta(description="From its bottom to the other side of the bore.")]
    bearing_depth: Annotated[Quantity, Meta(description="Height of the side of the key that bears on the hub.")]
    shear_stress: Quantity | UnsetType = UNSET
    bearing_stress: Quantity | UnsetType = UNSET


class HolesResult(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Holes of a bolt circle in wheel coordinates, in the unit of the contour, and what is left round them."""

    circle_diameter: Quantity
    hole_diameter: Quantity
    centres: list[ContourPoint]
    outer_wall: Annotated[Quantity, Meta(description="To the bottoms of the gaps, or to the rim of a plain wheel.")]
    inner_wall: Annotated[Quantity, Meta(description="To the bore or its keyway.")]
    wall_between: Quantity | UnsetType = UNSET


class CutOutline(msgspec.Struct, frozen=True, kw_only=True):
    """A closed outline as it is cut, in the unit of the contour."""

    pieces: list[ContourPiece]


class WheelOpenings(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What is cut into the wheel; outlines hold the kerf where one was sent."""

    bore_diameter: Quantity | UnsetType = UNSET
    wall: (
        Annotated[Quantity, Meta(description="Least wall between bore or keyway and tooth gaps or hub.")] | UnsetType
    ) = UNSET
    keyway: KeywayResult | UnsetType = UNSET
    holes: HolesResult | UnsetType = UNSET
    split_angle: Annotated[Quantity, Meta(description="Of the split, from the drawn gap.")] | UnsetType = UNSET
    kerf: Quantity | UnsetType = UNSET
    cut_contour: Annotated[Contour, Meta(description="The contour set off by half of the kerf.")] | UnsetType = UNSET
    outlines: list[CutOutline]


def read_openings(data: OpeningsRequest, inputs: Inputs) -> OpeningsInput:
    """The openings of a request in canonical units."""
    hub = sent(data.hub)
    return OpeningsInput(
        bore_mm=inputs.optional(data.bore, "/bore"),
        keyway=None if isinstance(data.keyway, UnsetType) else _read_keyway(data.keyway, inputs),
        hub_diameter_mm=None if hub is None else inputs.canonical(hub.diameter, "/hub/diameter"),
        hub_length_mm=None if hub is None else inputs.optional(hub.length, "/hub/length"),
        bolt_circle=None if isinstance(data.bolt_circle, UnsetType) else _read_circle(data.bolt_circle, inputs),
        least_wall_mm=inputs.optional(data.least_wall, "/least_wall"),
        split=data.split,
        kerf_mm=inputs.optional(data.kerf, "/kerf"),
    )


def _read_keyway(keyway: WheelKeyway, inputs: Inputs) -> KeywayInput:
    return KeywayInput(
        standard=sent(keyway.standard),
        shape=sent(keyway.shape),
        width_mm=inputs.optional(keyway.width, "/keyway/width"),
        hub_depth_mm=inputs.optional(keyway.hub_depth, "/keyway/hub_depth"),
        in_line_with=keyway.in_line_with,
        torque_n_m=inputs.optional(keyway.torque, "/keyway/torque"),
        key_length_mm=inputs.optional(keyway.key_length, "/keyway/key_length"),
        allowable_shear_n_mm2=inputs.optional(keyway.allowable_shear_stress, "/keyway/allowable_shear_stress"),
        allowable_bearing_n_mm2=inputs.optional(keyway.allowable_bearing_stress, "/keyway/allowable_bearing_stress"),
    )


def _read_circle(circle: BoltCircle, inputs: Inputs) -> BoltCircleInput:
    return BoltCircleInput(
        diameter_mm=inputs.canonical(circle.diameter, "/bolt_circle/diameter"),
        hole_count=int(circle.hole_count),
        hole_diameter_mm=inputs.canonical(circle.hole_diameter, "/bolt_circle/hole_diameter"),
    )


def present_openings(openings: Openings | None, teeth: int | None, presenter: Presenter) -> WheelOpenings | UnsetType:
    """The openings of a wheel; nothing where nothing is cut into it and no kerf was sent.

    ``teeth`` is None where no contour is known.
    """
    if openings is None or (not openings.outlines and openings.split_rad is None and openings.kerf_mm is None):
        return UNSET
    kerf = openings.kerf_mm
    return WheelOpenings(
        bore_diameter=presenter.known_length(openings.bore_diameter_mm),
        wall=presenter.known_length(openings.wall_mm),
        keyway=UNSET if openings.keyway is None else _present_keyway(openings.keyway, presenter),
        holes=UNSET if openings.holes is None else _present_holes(openings.holes, presenter),
        split_angle=UNSET if openings.split_rad is None else presenter.quantity(degrees(openings.split_rad), "angle"),
        kerf=presenter.known_length(kerf),
        cut_contour=UNSET if kerf is None or teeth is None else present_contour(openings.gap, teeth, presenter),
        outlines=[CutOutline(pieces=present_pieces(outline, presenter)) for outline in openings.outlines],
    )


def _present_keyway(keyway: Keyway, presenter: Presenter) -> KeywayResult:
    shear, bearing = keyway.shear_stress_n_mm2, keyway.bearing_stress_n_mm2
    return KeywayResult(
        standard=keyway.standard or "own",
        width=presenter.length(keyway.width_mm),
        key_height=presenter.known_length(keyway.key_height_mm),
        depth_to_opposite_side=presenter.length(keyway.depth_to_opposite_side_mm),
        bearing_depth=presenter.length(keyway.bearing_depth_mm),
        shear_stress=presenter.known(shear, "stress"),
        bearing_stress=presenter.known(bearing, "stress"),
    )


def _present_holes(holes: Holes, presenter: Presenter) -> HolesResult:
    return HolesResult(
        circle_diameter=presenter.length(holes.circle_diameter_mm),
        hole_diameter=presenter.length(holes.diameter_mm),
        centres=[present_point(centre, presenter) for centre in holes.centres],
        outer_wall=presenter.length(holes.outer_wall_mm),
        inner_wall=presenter.length(holes.inner_wall_mm),
        wall_between=presenter.known_length(holes.between_mm),
    )
