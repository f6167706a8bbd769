"""A plain wheel as it is answered, and how a result fills the Structs."""

from __future__ import annotations

from typing import Annotated

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer
from service.api.quantities import Presenter, Quantity
from service.api.wheel_openings import WheelOpenings, present_openings
from service.api.wheel_statements import WheelStatement, present_statements
from service.calculations.plain_wheel import PlainWheelResult, SheaveResult, TractionResult


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
    openings: WheelOpenings | UnsetType = UNSET
    statements: list[WheelStatement]


class PlainWheelAnswer(Answer[PlainWheelGeometry], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/plain-wheel-geometries`."""


def present_plain_wheel(result: PlainWheelResult, presenter: Presenter) -> PlainWheelGeometry:
    """The result of a calculation in the units that the caller asked for."""
    return PlainWheelGeometry(
        pitch=presenter.length(result.pitch_mm),
        sheave=UNSET if result.sheave is None else _sheave(result.sheave, presenter),
        traction_wheel=UNSET if result.traction is None else _traction(result.traction, presenter),
        openings=present_openings(result.openings, None, presenter),
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
