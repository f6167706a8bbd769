"""A wheel for engineering-class chain as it is answered, and how a result fills the Structs."""

from __future__ import annotations

from typing import Annotated

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer
from service.api.quantities import Presenter, Quantity
from service.api.wheel_measured import MeasuredWheelFigures, present_measured
from service.api.wheel_openings import WheelOpenings, present_openings
from service.api.wheel_statements import WheelStatement, present_statements
from service.calculations.engineering_wheel import EngineeringWheelResult, ToothSpacing


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
    blank_diameter: Annotated[Quantity, Meta(description="As sent; none is published.")] | UnsetType = UNSET
    tooth_width: Quantity | UnsetType = UNSET
    measured: MeasuredWheelFigures | UnsetType = UNSET
    openings: WheelOpenings | UnsetType = UNSET
    speed_variation_percent: Annotated[float, Meta(description="By polygon action, of the greatest chain speed.")]
    wheel_group: Annotated[str, Meta(description="Group of chains that share a wheel.")] | UnsetType = UNSET
    same_wheel: Annotated[list[str], Meta(description="Other sizes of this group.")]
    statements: list[WheelStatement]


class EngineeringSprocketAnswer(Answer[EngineeringSprocketGeometry], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/engineering-sprocket-geometries`."""


def present_engineering_wheel(
    teeth: int, result: EngineeringWheelResult, presenter: Presenter
) -> EngineeringSprocketGeometry:
    """The result of a calculation in the units that the caller asked for."""
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
        blank_diameter=presenter.known_length(result.blank_diameter_mm),
        tooth_width=presenter.known_length(result.tooth_width_mm),
        measured=present_measured(result.measured, presenter),
        openings=present_openings(result.openings, None, presenter),
        speed_variation_percent=presenter.number(100 * result.speed_variation),
        wheel_group=UNSET if result.wheel_group is None else result.wheel_group,
        same_wheel=list(result.same_wheel),
        statements=present_statements(result.statements),
    )
