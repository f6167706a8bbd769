"""A wheel as it is answered: the Structs of ``POST /v1/sprocket-geometries`` and how a result fills them."""

from typing import Annotated

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer
from service.api.quantities import Presenter, Quantity
from service.api.wheel_contours import Contour, present_contour
from service.api.wheel_openings import WheelOpenings, present_openings
from service.calculations.sprocket_geometry import SprocketGeometryInput, SprocketGeometryResult, Standard
from service.calculations.sprocket_wheels import Rim, Width


class WheelWidth(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Largest tooth width, its minus tolerance where the standard states one, and the width over all rows."""

    tooth_width: Quantity
    minus_tolerance: Quantity | UnsetType = UNSET
    overall_width: Quantity


class WheelRim(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Sides of the teeth and run-out (ISO 606)."""

    side_radius_min: Quantity
    side_relief_least: Quantity | UnsetType = UNSET
    side_relief_greatest: Quantity | UnsetType = UNSET
    radial_run_out: Quantity
    axial_run_out: Quantity


class FormConstant(msgspec.Struct, frozen=True, kw_only=True):
    """One constant of the tooth form, with the symbol of the standard's drawing."""

    name: str
    symbol: str
    quantity: Quantity


class SprocketGeometry(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A wheel. `minus_tolerance` is that of root and caliper diameter, by ISO 606 of the size over pins too."""

    standard: Standard
    teeth: int
    strand_count: int
    pitch: Quantity
    roller_diameter: Quantity
    pitch_diameter: Quantity
    tip_diameter: Quantity
    tip_diameter_min: Quantity | UnsetType = UNSET
    tip_diameter_max: Annotated[Quantity, Meta(description="ISO 606: largest allowed; ASME: where teeth are pointed.")]
    root_diameter: Quantity
    caliper_diameter: Quantity
    minus_tolerance: Quantity | UnsetType = UNSET
    over_pins: Annotated[Quantity, Meta(description="Over two gauge pins of the roller diameter.")]
    hub_diameter_max: (
        Annotated[Quantity, Meta(description="Largest hub, groove or shroud that clears the plates.")] | UnsetType
    ) = UNSET
    width: WheelWidth | UnsetType = UNSET
    rim: WheelRim | UnsetType = UNSET
    form_constants: list[FormConstant]
    contour: Contour
    openings: WheelOpenings | UnsetType = UNSET


class SprocketGeometryAnswer(Answer[SprocketGeometry], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/sprocket-geometries`."""


def present_wheel(
    given: SprocketGeometryInput, result: SprocketGeometryResult, presenter: Presenter
) -> SprocketGeometry:
    """The result of a calculation in the units that the caller asked for."""
    wheel, length = result.wheel, presenter.length
    return SprocketGeometry(
        standard=result.standard,
        teeth=given.teeth,
        strand_count=given.strand_count,
        pitch=length(result.pitch_mm),
        roller_diameter=length(result.roller_diameter_mm),
        pitch_diameter=length(wheel.pitch_diameter_mm),
        tip_diameter=length(wheel.tip_diameter_mm),
        tip_diameter_min=presenter.known_length(wheel.tip_diameter_min_mm),
        tip_diameter_max=length(wheel.tip_diameter_max_mm),
        root_diameter=length(wheel.root_diameter_mm),
        caliper_diameter=length(wheel.caliper_diameter_mm),
        minus_tolerance=presenter.known_length(wheel.minus_tolerance_mm),
        over_pins=length(wheel.over_pins_mm),
        hub_diameter_max=presenter.known_length(wheel.hub_diameter_max_mm),
        width=UNSET if wheel.width is None else _width(wheel.width, presenter),
        rim=UNSET if wheel.rim is None else _rim(wheel.rim, presenter),
        form_constants=[
            FormConstant(name=c.name, symbol=c.symbol, quantity=presenter.quantity(c.value, c.kind))
            for c in wheel.constants
        ],
        contour=present_contour(wheel.gap, given.teeth, presenter),
        openings=present_openings(result.openings, given.teeth, presenter),
    )


def _width(width: Width, presenter: Presenter) -> WheelWidth:
    return WheelWidth(
        tooth_width=presenter.length(width.tooth_width_mm),
        minus_tolerance=presenter.known_length(width.minus_tolerance_mm),
        overall_width=presenter.length(width.overall_width_mm),
    )


def _rim(rim: Rim, presenter: Presenter) -> WheelRim:
    return WheelRim(
        side_radius_min=presenter.length(rim.side_radius_min_mm),
        side_relief_least=presenter.known_length(rim.side_relief_least_mm),
        side_relief_greatest=presenter.known_length(rim.side_relief_greatest_mm),
        radial_run_out=presenter.length(rim.radial_run_out_mm),
        axial_run_out=presenter.length(rim.axial_run_out_mm),
    )
