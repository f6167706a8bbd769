"""``POST /v1/sprocket-geometries``: diameters, tolerances, widths, tooth form and contour of a roller-chain wheel."""

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
from service.api.optional_fields import sent
from service.api.quantities import PRESENTERS, Inputs, Length
from service.api.sprocket_answers import SprocketGeometryAnswer, present_wheel
from service.api.sprocket_drawings import draw_wheel
from service.api.wheel_openings import OpeningsRequest, read_openings
from service.calculations.sprocket_geometry import SprocketGeometryInput, Standard, sprocket_geometry
from service.core.errors import Inconsistent, Issue

StrandCount = Annotated[float, Meta(ge=1, le=24, multiple_of=1, description="Number of strands.")]


class SprocketGeometryRequest(OpeningsRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
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
                "lines and arcs, by ASME B29.1 (standard form) or ISO 606 (minimum or maximum gap form); bore, "
                "keyway, holes, split and the width of the cut, with their walls and the stresses of the key. The "
                "Accept header chooses between these figures and a drawing to scale."
            ),
            examples=EXAMPLES,
            answer=SprocketGeometryAnswer,
            produces=ANSWER_OR_DRAWING,
            in_thread=None,
        ),
    )
    async def calculate_sprocket_geometry(
        data: JSONBody[SprocketGeometryRequest], request: Request[Any, Any, Any]
    ) -> SprocketGeometryAnswer | Response[bytes]:
        inputs = Inputs()
        given = _given(data, inputs, context)
        outcome = sprocket_geometry(given, context.reference, keep_steps=data.working == "full")
        answer = SprocketGeometryAnswer(
            result=present_wheel(given, outcome.result, PRESENTERS[data.units]),
            **common(data, outcome.trace, inputs, context),
        )
        return await answer_or_drawing(
            request, data, answer, lambda upright: draw_wheel(given, outcome.result, answer, upright=upright)
        )

    return [calculate_sprocket_geometry]


def _given(data: SprocketGeometryRequest, inputs: Inputs, context: Context) -> SprocketGeometryInput:
    read = read_chain(data.chain, data.own_chain, inputs, context.reference)
    return SprocketGeometryInput(
        chain=read.size,
        teeth=int(data.teeth),
        strand_count=_strand_count(data.strand_count, read.strand_count),
        standard=sent(data.standard),
        gap_form=data.gap_form,
        tolerance_grade=data.tolerance_grade,
        tip_diameter_mm=inputs.optional(data.tip_diameter, "/tip_diameter"),
        plate_thickness_mm=inputs.optional(data.plate_thickness, "/plate_thickness"),
        gauge_pin_diameter_mm=inputs.optional(data.gauge_pin_diameter, "/gauge_pin_diameter"),
        measured_caliper_diameter_mm=inputs.optional(data.measured_caliper_diameter, "/measured_caliper_diameter"),
        openings=read_openings(data, inputs),
    )


def _strand_count(sent: float | UnsetType, read: int) -> int:
    """The number of strands that the field or the designation says; 1 where neither does."""
    if isinstance(sent, UnsetType):
        return read
    if read not in (1, sent):
        message = f"The designation says {read} strands and strand_count {sent:g}; send one of them."
        raise Inconsistent(Issue("strand_count", "over_determined", message, None, sent))
    return int(sent)


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
    "plate_wheel": Example(
        "A plate wheel with bore, keyway and holes, and what the torque does to its key",
        {
            "chain": "16B",
            "teeth": 24,
            "plate_thickness": {"value": 16, "unit": "mm"},
            "bore": {"value": 50, "unit": "mm"},
            "hub": {"diameter": {"value": 90, "unit": "mm"}, "length": {"value": 63, "unit": "mm"}},
            "keyway": {
                "standard": "iso_r_773",
                "torque": {"value": 600, "unit": "N.m"},
                "allowable_shear_stress": {"value": 60, "unit": "N/mm2"},
                "allowable_bearing_stress": {"value": 120, "unit": "N/mm2"},
            },
            "bolt_circle": {
                "diameter": {"value": 130, "unit": "mm"},
                "hole_count": 6,
                "hole_diameter": {"value": 13, "unit": "mm"},
            },
        },
    ),
    "plate_too_thick": Example(
        "A plate that does not enter the chain",
        {"chain": "40", "teeth": 20, "plate_thickness": {"value": 8, "unit": "mm"}},
        status=422,
    ),
}
