"""A pocket wheel as it is answered, and how a result fills the Structs."""

from __future__ import annotations

from typing import Annotated

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer
from service.api.quantities import Presenter, Quantity
from service.api.wheel_openings import WheelOpenings, present_openings
from service.api.wheel_statements import WheelStatement, present_statements
from service.calculations.pocket_wheel import PocketWheelResult


class PocketWheelGeometry(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A pocket wheel by the circles that its links lie on."""

    pockets: int
    pitch: Quantity
    wire_diameter: Quantity
    pitch_diameter: Annotated[Quantity, Meta(description="Through the points where the axes of two links meet.")]
    inscribed_diameter: Annotated[Quantity, Meta(description="Touching the axes of the flat links.")]
    travel_per_turn: Quantity
    pocket_angle: Quantity
    body_diameter: Annotated[Quantity, Meta(description="As sent; none is published.")] | UnsetType = UNSET
    openings: WheelOpenings | UnsetType = UNSET
    statements: list[WheelStatement]


class PocketWheelAnswer(Answer[PocketWheelGeometry], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/pocket-wheel-geometries`."""


def present_pocket_wheel(pockets: int, result: PocketWheelResult, presenter: Presenter) -> PocketWheelGeometry:
    """The result of a calculation in the units that the caller asked for."""
    return PocketWheelGeometry(
        pockets=pockets,
        pitch=presenter.length(result.pitch_mm),
        wire_diameter=presenter.length(result.wire_diameter_mm),
        pitch_diameter=presenter.length(result.pitch_diameter_mm),
        inscribed_diameter=presenter.length(result.inscribed_diameter_mm),
        travel_per_turn=presenter.length(result.travel_per_turn_mm),
        pocket_angle=presenter.quantity(result.pocket_angle_deg, "angle"),
        body_diameter=presenter.known_length(result.body_diameter_mm),
        openings=present_openings(result.openings, None, presenter),
        statements=present_statements(result.statements),
    )
