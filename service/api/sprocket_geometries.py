"""``POST /v1/sprocket-geometries``: diameters, tolerances, widths, tooth form and contour of a roller-chain wheel."""

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
from service.api.quantities import PRESENTERS, Inputs, Length, Presenter, Quantity
from service.calculations.sprocket_geometry import SprocketGeometryInput, SprocketGeometryResult, sprocket_geometry
from service.calculations.sprocket_wheels import Rim, Wheel, Width
from service.core.errors import Inconsistent, Issue
from service.core.plane_curves import Arc, Piece, Point

Standard = Literal["asme_b29_1", "iso_606"]
StrandCount = Annotated[float, Meta(ge=1, le=24, multiple_of=1, description="Number of strands.")]


class SprocketGeometryRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A wheel for one chain; measured sizes are compared with the computed ones."""

    chain: ChainName | UnsetType = UNSET
    own_chain: OwnChain | UnsetType = UNSET
    teeth: Teeth
    strand_count: StrandCount | UnsetType = UNSET
    standard: (
        Annotated[Standard, Meta(description="Standard of the tooth form; the chain's own where it is not sent.")]
        | UnsetType
    ) = UNSET
    gap_form: Annotated[
        Literal["minimum", "maximum"], Meta(description="ISO 606: which of the two limiting tooth gaps is drawn.")
    ] = "minimum"
    tolerance_grade: Annotated[
        Literal["precision", "commercial"], Meta(description="ASME B29.1: grade of the caliper tolerance.")
    ] = "commercial"
    tip_diameter: (
        Annotated[Length, Meta(description="Outside diameter of the blank, where it is not the standard's.")]
        | UnsetType
    ) = UNSET
    plate_thickness: (
        Annotated[Length, Meta(description="Thickness of the plate that the wheel is cut from.")] | UnsetType
    ) = UNSET
    gauge_pin_diameter: Annotated[Length, Meta(description="Diameter of the gauge pins at hand.")] | UnsetType = UNSET
    measured_caliper_diameter: (
        Annotated[Length, Meta(description="Caliper diameter measured on a wheel.")] | UnsetType
    ) = UNSET


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


class ContourPoint(msgspec.Struct, frozen=True, kw_only=True):
    """A point in wheel coordinates, in the unit of the contour."""

    x: float
    y: float


class ContourPiece(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A straight line or an arc; centre, radius and direction belong to arcs only."""

    kind: Literal["line", "arc"]
    part: Annotated[str, Meta(description="What the piece is: seating, working, straight, topping, flank or tip.")]
    start: ContourPoint
    end: ContourPoint
    centre: ContourPoint | UnsetType = UNSET
    radius: float | UnsetType = UNSET
    direction: Literal["clockwise", "anticlockwise"] | UnsetType = UNSET


class Contour(msgspec.Struct, frozen=True, kw_only=True):
    """One gap and one tip as true lines and arcs, anticlockwise.

    The centre of the wheel is the origin and the gap lies on the +y axis; turned about the origin by `step_angle`,
    `repeats` times in all, the pieces close to the whole wheel.
    """

    unit: Literal["mm", "in"]
    repeats: int
    step_angle: Quantity
    pieces: list[ContourPiece]


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


class SprocketGeometryAnswer(Answer[SprocketGeometry], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/sprocket-geometries`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/sprocket-geometries",
        dto=json_body(SprocketGeometryRequest),
        **operation(
            "calculate_sprocket_geometry",
            tag="wheels",
            summary="Geometry of a roller-chain wheel",
            description=(
                "Diameters, tolerances, widths, every constant of the tooth form and the contour of one tooth gap as "
                "lines and arcs, by ASME B29.1 (standard form) or ISO 606 (minimum or maximum gap form). Bores, "
                "keyways and cutting allowances are not part of it."
            ),
            examples=EXAMPLES,
        ),
    )
    def calculate_sprocket_geometry(data: JSONBody[SprocketGeometryRequest]) -> SprocketGeometryAnswer:
        inputs = Inputs()
        given = _given(data, inputs, context)
        outcome = sprocket_geometry(given, context.reference, keep_steps=data.working == "full")
        return SprocketGeometryAnswer(
            result=_present(given, outcome.result, PRESENTERS[data.units]),
            **common(data, outcome.trace, inputs, context),
        )

    return [calculate_sprocket_geometry]


def _given(data: SprocketGeometryRequest, inputs: Inputs, context: Context) -> SprocketGeometryInput:
    read = read_chain(data.chain, data.own_chain, inputs, context.reference)
    return SprocketGeometryInput(
        chain=read.size,
        teeth=int(data.teeth),
        strand_count=_strand_count(data.strand_count, read.strand_count),
        standard=None if isinstance(data.standard, UnsetType) else data.standard,
        gap_form=data.gap_form,
        tolerance_grade=data.tolerance_grade,
        tip_diameter_mm=inputs.optional(data.tip_diameter, "/tip_diameter"),
        plate_thickness_mm=inputs.optional(data.plate_thickness, "/plate_thickness"),
        gauge_pin_diameter_mm=inputs.optional(data.gauge_pin_diameter, "/gauge_pin_diameter"),
        measured_caliper_diameter_mm=inputs.optional(data.measured_caliper_diameter, "/measured_caliper_diameter"),
    )


def _strand_count(sent: float | UnsetType, read: int) -> int:
    """The number of strands that the field or the designation says; 1 where neither does."""
    if isinstance(sent, UnsetType):
        return read
    if read not in (1, sent):
        message = f"The designation says {read} strands and strand_count {sent:g}; send one of them."
        raise Inconsistent(Issue("strand_count", "over_determined", message, None, sent))
    return int(sent)


def _present(given: SprocketGeometryInput, result: SprocketGeometryResult, presenter: Presenter) -> SprocketGeometry:
    wheel, length = result.wheel, presenter.length
    return SprocketGeometry(
        standard=result.standard,
        teeth=given.teeth,
        strand_count=given.strand_count,
        pitch=length(result.pitch_mm),
        roller_diameter=length(result.roller_diameter_mm),
        pitch_diameter=length(wheel.pitch_diameter_mm),
        tip_diameter=length(wheel.tip_diameter_mm),
        tip_diameter_min=_optional(wheel.tip_diameter_min_mm, presenter),
        tip_diameter_max=length(wheel.tip_diameter_max_mm),
        root_diameter=length(wheel.root_diameter_mm),
        caliper_diameter=length(wheel.caliper_diameter_mm),
        minus_tolerance=_optional(wheel.minus_tolerance_mm, presenter),
        over_pins=length(wheel.over_pins_mm),
        hub_diameter_max=_optional(wheel.hub_diameter_max_mm, presenter),
        width=UNSET if wheel.width is None else _width(wheel.width, presenter),
        rim=UNSET if wheel.rim is None else _rim(wheel.rim, presenter),
        form_constants=[
            FormConstant(name=c.name, symbol=c.symbol, quantity=presenter.quantity(c.value, c.kind))
            for c in wheel.constants
        ],
        contour=_contour(given.teeth, wheel, presenter),
    )


def _optional(value_mm: float | None, presenter: Presenter) -> Quantity | UnsetType:
    return UNSET if value_mm is None else presenter.length(value_mm)


def _width(width: Width, presenter: Presenter) -> WheelWidth:
    return WheelWidth(
        tooth_width=presenter.length(width.tooth_width_mm),
        minus_tolerance=_optional(width.minus_tolerance_mm, presenter),
        overall_width=presenter.length(width.overall_width_mm),
    )


def _rim(rim: Rim, presenter: Presenter) -> WheelRim:
    return WheelRim(
        side_radius_min=presenter.length(rim.side_radius_min_mm),
        side_relief_least=_optional(rim.side_relief_least_mm, presenter),
        side_relief_greatest=_optional(rim.side_relief_greatest_mm, presenter),
        radial_run_out=presenter.length(rim.radial_run_out_mm),
        axial_run_out=presenter.length(rim.axial_run_out_mm),
    )


def _contour(teeth: int, wheel: Wheel, presenter: Presenter) -> Contour:
    return Contour(
        unit="in" if presenter.length(1.0).unit == "in" else "mm",
        repeats=teeth,
        step_angle=presenter.quantity(360 / teeth, "angle"),
        pieces=[_piece(piece, presenter) for piece in wheel.gap],
    )


def _piece(piece: Piece, presenter: Presenter) -> ContourPiece:
    def point(at: Point) -> ContourPoint:
        return ContourPoint(x=presenter.length(at.x).value, y=presenter.length(at.y).value)

    if not isinstance(piece, Arc):
        return ContourPiece(kind="line", part=piece.part, start=point(piece.start), end=point(piece.end))
    return ContourPiece(
        kind="arc",
        part=piece.part,
        start=point(piece.start),
        end=point(piece.end),
        centre=point(piece.centre),
        radius=presenter.length(piece.radius).value,
        direction="anticlockwise" if piece.anticlockwise else "clockwise",
    )


EXAMPLES = {
    "head_wheel": Example(
        "A new wheel for the sorting line of the invented Lindholm plant: chain 80, 17 teeth, in inches",
        {"chain": "80", "teeth": 17, "tolerance_grade": "precision", "units": "inch"},
    ),
    "duplex_wheel": Example(
        "A wheel for two strands of 12B, by the widest tooth gap that ISO 606 allows",
        {"chain": "12B-2", "teeth": 25, "gap_form": "maximum"},
    ),
    "worn_wheel": Example(
        "A wheel measured across its gaps and compared",
        {"chain": "08B", "teeth": 19, "measured_caliper_diameter": {"value": 66.9, "unit": "mm"}},
    ),
    "plate_too_thick": Example(
        "A plate that does not enter the chain",
        {"chain": "40", "teeth": 20, "plate_thickness": {"value": 8, "unit": "mm"}},
        status=422,
    ),
}
