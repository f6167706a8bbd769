"""A silent-chain wheel as it is answered, and how a result fills the Structs."""

from typing import Annotated

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer
from service.api.quantities import Presenter, Quantity
from service.api.wheel_contours import Contour, present_contour
from service.api.wheel_measured import MeasuredWheelFigures, present_measured
from service.api.wheel_openings import WheelOpenings, present_openings
from service.api.wheel_statements import WheelStatement, present_statements
from service.calculations.silent_wheel import (
    GuideForm,
    SilentDiameters,
    SilentWheelInput,
    SilentWheelResult,
    Toleranced,
    WheelFace,
)


class ToleratedLength(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A dimension; lower and upper deviation where the standard's were read."""

    nominal: Quantity
    lower_deviation: Quantity | UnsetType = UNSET
    upper_deviation: Quantity | UnsetType = UNSET


class SilentFace(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """The face of the wheel, with the letters of the standard's drawing."""

    guide_form: GuideForm
    face_width: Annotated[ToleratedLength, Meta(description="F; of side guide W.")] | UnsetType = UNSET
    groove_width: Annotated[ToleratedLength, Meta(description="C.")] | UnsetType = UNSET
    groove_spacing: Annotated[ToleratedLength, Meta(description="D, between two grooves.")] | UnsetType = UNSET
    groove_offsets: Annotated[list[Quantity], Meta(description="Middle of each groove from mid-face.")]
    chamfer_depth: Annotated[ToleratedLength, Meta(description="H, of side guide.")] | UnsetType = UNSET
    corner_radius: Annotated[ToleratedLength, Meta(description="R.")] | UnsetType = UNSET
    guide_offset: Annotated[Quantity, Meta(description="A, as printed; its meaning is recalled.")] | UnsetType = UNSET
    chain_width_max: Annotated[Quantity, Meta(description="M, over the whole chain.")] | UnsetType = UNSET


class SilentSprocketGeometry(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A wheel for silent chain; what is missing has no formula in the reference data."""

    teeth: int
    tooth_count: Annotated[int, Meta(description="Teeth that are cut.")]
    pitch: Quantity
    pitch_diameter: Quantity
    outside_diameter: Quantity | UnsetType = UNSET
    over_pins: Quantity | UnsetType = UNSET
    over_pins_minus_tolerance: Quantity | UnsetType = UNSET
    gauge_pin_diameter: Quantity | UnsetType = UNSET
    working_face_base_diameter: Quantity | UnsetType = UNSET
    face_to_tooth_axis: Annotated[Quantity, Meta(description="Working face to the tooth's centre line.")] | (
        UnsetType
    ) = UNSET
    gap_angle: Annotated[Quantity, Meta(description="Between the two working faces of a gap.")] | UnsetType = UNSET
    groove_diameter_max: Quantity | UnsetType = UNSET
    hub_diameter_max: Quantity | UnsetType = UNSET
    radius_over_chain_max: Annotated[Quantity, Meta(description="Over a new chain, for the casing.")] | (
        UnsetType
    ) = UNSET
    face: SilentFace | UnsetType = UNSET
    contour: Contour | UnsetType = UNSET
    measured: MeasuredWheelFigures | UnsetType = UNSET
    openings: WheelOpenings | UnsetType = UNSET
    statements: list[WheelStatement]


class SilentSprocketAnswer(Answer[SilentSprocketGeometry], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/silent-sprocket-geometries`."""


def present_silent_wheel(
    given: SilentWheelInput, result: SilentWheelResult, presenter: Presenter
) -> SilentSprocketGeometry:
    """The result of a calculation in the units that the caller asked for."""
    shown = SilentSprocketGeometry(
        teeth=given.teeth,
        tooth_count=result.tooth_count,
        pitch=presenter.length(result.pitch_mm),
        pitch_diameter=presenter.length(result.pitch_diameter_mm),
        face=UNSET if result.face is None else _face(result.face, presenter),
        contour=UNSET if result.contour is None else present_contour(result.contour.gap, given.teeth, presenter),
        measured=present_measured(result.measured, presenter),
        openings=present_openings(result.openings, given.teeth if result.contour else None, presenter),
        statements=present_statements(result.statements),
    )
    return shown if result.diameters is None else _with_diameters(shown, result.diameters, presenter)


def _with_diameters(
    shown: SilentSprocketGeometry, found: SilentDiameters, presenter: Presenter
) -> SilentSprocketGeometry:
    angles = found.angles
    return msgspec.structs.replace(
        shown,
        outside_diameter=presenter.length(found.outside_diameter_mm),
        over_pins=presenter.length(found.over_pins_mm),
        over_pins_minus_tolerance=presenter.known_length(found.over_pins_minus_tolerance_mm),
        gauge_pin_diameter=presenter.length(found.pin_diameter_mm),
        working_face_base_diameter=presenter.known_length(found.base_diameter_mm),
        face_to_tooth_axis=UNSET if angles is None else presenter.quantity(angles.face_to_tooth_axis_deg, "angle"),
        gap_angle=UNSET if angles is None else presenter.quantity(angles.gap_angle_deg, "angle"),
        groove_diameter_max=presenter.length(found.groove_diameter_max_mm),
        hub_diameter_max=presenter.length(found.hub_diameter_max_mm),
        radius_over_chain_max=presenter.known_length(found.radius_over_chain_mm),
    )


def _face(face: WheelFace, presenter: Presenter) -> SilentFace:
    def tolerated(found: Toleranced | None) -> ToleratedLength | UnsetType:
        if found is None:
            return UNSET
        return ToleratedLength(
            nominal=presenter.length(found.value_mm),
            lower_deviation=presenter.known_length(found.lower_mm),
            upper_deviation=presenter.known_length(found.upper_mm),
        )

    return SilentFace(
        guide_form=face.guide_form,
        face_width=tolerated(face.face_width),
        groove_width=tolerated(face.groove_width),
        groove_spacing=tolerated(face.groove_spacing),
        groove_offsets=[presenter.length(offset) for offset in face.groove_offsets_mm],
        chamfer_depth=tolerated(face.chamfer_depth),
        corner_radius=tolerated(face.corner_radius),
        guide_offset=presenter.known_length(face.guide_offset_mm),
        chain_width_max=presenter.known_length(face.chain_width_max_mm),
    )
