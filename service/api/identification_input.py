"""What a request for identification says of the piece: dimensions with uncertainties, counts, and what is seen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import CalculationRequest, PlainText
from service.api.chain_input import Teeth
from service.api.optional_fields import whole
from service.api.quantities import Inputs, Length
from service.calculations.identification_doubts import HowMeasured
from service.calculations.identification_index import QUANTITIES, Dimension, GuideType, Kind, PlateEdges
from service.calculations.identification_ranking import Compared, Condition, Measured, Sample
from service.calculations.identification_wheel import Wheel, comparison
from service.calculations.trace import Trace
from service.core.errors import Inconsistent, Issue, MoreNeeded
from service.reference.chains import Family
from service.reference.families import Making

USUAL_UNCERTAINTY_MM = 0.1
"""A calliper on a dirty chain, taken where no uncertainty is sent; common practice."""
USUAL_LENGTH_UNCERTAINTY_MM = 0.5
"""A tape or calliper over several pitches."""
LEAST_UNCERTAINTY_MM = 0.02
"""No calliper is better in a workshop."""


class MeasuredLength(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A measured length and how well it is known, both in one unit."""

    value: Annotated[float, Meta(gt=0, le=100_000, description="Magnitude, above zero.")]
    unit: Literal["mm", "cm", "m", "in", "ft"]
    uncertainty: (
        Annotated[
            float,
            Meta(ge=0, le=1000, description="Standard uncertainty; left out, that of a calliper or tape is taken."),
        ]
        | UnsetType
    ) = UNSET


class MeasuredRoller(MeasuredLength, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """As a measured length; zero says that there is no roller, and is asked back for what meets the tooth."""

    value: Annotated[float, Meta(ge=0, le=100_000, description="Magnitude.")]


Count = Annotated[float, Meta(ge=1, le=100_000, multiple_of=1)]
Dimensioned = MeasuredLength | UnsetType


class MeasuredSprocket(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A wheel of roller chain; teeth, and at least one dimension."""

    teeth: Teeth
    outside_diameter: Annotated[MeasuredLength, Meta(description="Over the tooth tips.")] | UnsetType = UNSET
    caliper_diameter: (
        Annotated[MeasuredLength, Meta(description="Across the bottoms of two gaps as nearly opposite as may be.")]
        | UnsetType
    ) = UNSET
    tooth_width: Annotated[MeasuredLength, Meta(description="Of one row of teeth.")] | UnsetType = UNSET


class IdentificationRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Any subset of what can be measured or seen; at least one dimension of the chain or a wheel."""

    pitch: Annotated[MeasuredLength, Meta(description="Of one joint; a length over several says more.")] | UnsetType = (
        UNSET
    )
    length: Annotated[MeasuredLength, Meta(description="Pin to pin over `pitch_count` pitches.")] | UnsetType = UNSET
    pitch_count: Annotated[Count, Meta(description="Pitches in the length.")] | UnsetType = UNSET
    pins_counted: Annotated[Count, Meta(description="Pins in the length, first and last included.")] | UnsetType = UNSET
    roller_diameter: (
        Annotated[MeasuredRoller, Meta(description="Of the roller, or of the bush or barrel that meets the tooth.")]
        | UnsetType
    ) = UNSET
    inner_width: Annotated[MeasuredLength, Meta(description="Between the inner plates.")] | UnsetType = UNSET
    pin_diameter: Dimensioned = UNSET
    plate_height: Annotated[MeasuredLength, Meta(description="Of the inner or higher plate.")] | UnsetType = UNSET
    outer_plate_height: Dimensioned = UNSET
    plate_thickness: Dimensioned = UNSET
    transverse_pitch: Annotated[MeasuredLength, Meta(description="Between strand centres.")] | UnsetType = UNSET
    width_over_pins: Dimensioned = UNSET
    chain_width: Annotated[MeasuredLength, Meta(description="Of silent chain, over the links.")] | UnsetType = UNSET
    wire_diameter: Annotated[MeasuredLength, Meta(description="Of a round link.")] | UnsetType = UNSET
    link_width: Annotated[MeasuredLength, Meta(description="Outside width of a link.")] | UnsetType = UNSET
    barrel_length: Annotated[MeasuredLength, Meta(description="Of mill and drag chain.")] | UnsetType = UNSET
    pin_link_plates: Annotated[Count, Meta(description="Of leaf chain.")] | UnsetType = UNSET
    articulating_plates: Annotated[Count, Meta(description="Of leaf chain.")] | UnsetType = UNSET
    strand_count: Annotated[float, Meta(ge=1, le=30, multiple_of=1, description="Parallel strands.")] = 1
    condition: Annotated[Condition, Meta(description="`unknown` allows for wear.")] = "unknown"
    families: (
        Annotated[list[Family], Meta(min_length=1, max_length=21, description="Kinds that it can be by its looks.")]
        | UnsetType
    ) = UNSET
    made_by: Annotated[Making, Meta(description="How it is made, by its looks.")] | UnsetType = UNSET
    plate_edges: Annotated[PlateEdges, Meta(description="Of double pitch chain.")] | UnsetType = UNSET
    guide_type: Annotated[GuideType, Meta(description="Of silent chain.")] | UnsetType = UNSET
    stamp: Annotated[PlainText, Meta(description="What is stamped on the plates.")] | UnsetType = UNSET
    sprocket: MeasuredSprocket | UnsetType = UNSET


WheelComparison = Callable[[Kind], "tuple[Compared, ...] | None"]


def read_sample(
    data: IdentificationRequest, inputs: Inputs, trace: Trace
) -> tuple[Sample, HowMeasured, WheelComparison | None]:
    """The piece in millimetres, how its pitch was found, and how its wheel compares.

    Raises:
        Inconsistent: the pitch was sent in two ways, or pins and pitches do not agree.
        MoreNeeded: nothing was measured, a length came without its count, or a roller of nothing was measured.
    """
    if not isinstance(data.roller_diameter, UnsetType) and data.roller_diameter.value == 0:
        raise MoreNeeded(_no_roller(data))
    reader = _Reader(inputs, trace)
    values: dict[Dimension, Measured] = {}
    for dimension in QUANTITIES:
        sent = getattr(data, dimension)
        if not isinstance(sent, UnsetType):
            values[dimension] = reader.measured(sent, dimension, USUAL_UNCERTAINTY_MM)
    pitches = _pitches(data)
    if not isinstance(data.length, UnsetType) and pitches is not None:
        over = reader.measured(data.length, "length", USUAL_LENGTH_UNCERTAINTY_MM)
        values["pitch"] = Measured(
            over.value_mm / pitches, max(over.uncertainty_mm / pitches, LEAST_UNCERTAINTY_MM / 2)
        )
    wheel = None if isinstance(data.sprocket, UnsetType) else comparison(_wheel(data.sprocket, reader))
    if not values and wheel is None:
        message = "Nothing was measured: send at least one dimension of the chain, or a sprocket."
        raise MoreNeeded(Issue("", "field_required", message, None, None, "Begin with the roller, then ten pitches."))
    counts = {
        name: int(count)
        for name, count in (
            ("pin_link_plates", data.pin_link_plates),
            ("articulating_plates", data.articulating_plates),
        )
        if not isinstance(count, UnsetType)
    }
    sample = Sample(
        values=values,
        counts=counts,
        condition=data.condition,
        families=frozenset(data.families or ()),
        edges=data.plate_edges or None,
        guide=data.guide_type or None,
        made_by=data.made_by or None,
        strand_count=int(data.strand_count),
    )
    single = not isinstance(data.pitch, UnsetType)
    return sample, HowMeasured(single, pitches), wheel


def _no_roller(data: IdentificationRequest) -> Issue:
    message = "A roller of 0 is no roller: which kind of chain without rollers is it?"
    hint = "Leave roller_diameter out, and send families: silent, leaf or round_link; of bush chain measure the bush."
    if not isinstance(data.families, UnsetType):
        message, hint = "A roller of 0 is no dimension.", "Leave roller_diameter out for chain without rollers."
    return Issue("roller_diameter", "family_needed", message, None, 0.0, hint)


def _pitches(data: IdentificationRequest) -> int | None:
    pitches = whole(data.pitch_count)
    pins = whole(data.pins_counted)
    if pitches is not None and pins is not None and pins != pitches + 1:
        message = f"{pins} pins stand over {pins - 1} pitches, not over {pitches}."
        raise Inconsistent(Issue("pins_counted", "over_determined", message, None, None, "Send one of the two counts."))
    if isinstance(data.length, UnsetType):
        if pitches is not None or pins is not None:
            raise MoreNeeded(Issue("length", "field_required", "A count came without the length that it divides."))
        return None
    if not isinstance(data.pitch, UnsetType):
        message = "The pitch came twice: alone, and as a length over several pitches."
        raise Inconsistent(Issue("pitch", "over_determined", message, None, None, "Send the length and its count."))
    if pitches is None and pins is None:
        message = "The length needs its number of pitches, or of pins."
        raise MoreNeeded(Issue("pitch_count", "field_required", message))
    found = pitches if pitches is not None else (pins or 0) - 1
    if found < 1:
        raise Inconsistent(Issue("pins_counted", "pins_below_two", "A length lies between two pins at least."))
    return found


def _wheel(sprocket: MeasuredSprocket, reader: _Reader) -> Wheel:
    def measured(sent: MeasuredLength | UnsetType, name: str) -> Measured | None:
        if isinstance(sent, UnsetType):
            return None
        return reader.measured(sent, f"sprocket.{name}", USUAL_UNCERTAINTY_MM)

    wheel = Wheel(
        teeth=int(sprocket.teeth),
        outside=measured(sprocket.outside_diameter, "outside_diameter"),
        across_gaps=measured(sprocket.caliper_diameter, "caliper_diameter"),
        tooth_width=measured(sprocket.tooth_width, "tooth_width"),
    )
    if wheel.outside is None and wheel.across_gaps is None:
        message = "The teeth alone fit any chain: send the outside diameter or the diameter across the gaps."
        raise MoreNeeded(Issue("sprocket.outside_diameter", "field_required", message))
    return wheel


class _Reader:
    """Converts measured lengths and notes what was taken for their uncertainty."""

    def __init__(self, inputs: Inputs, trace: Trace) -> None:
        self._inputs = inputs
        self._trace = trace

    def measured(self, sent: MeasuredLength, name: str, usual_mm: float) -> Measured:
        """Value and uncertainty in millimetres."""
        pointer = f"/{name.replace('.', '/')}"
        value = self._inputs.canonical(Length(value=sent.value, unit=sent.unit), pointer)
        if isinstance(sent.uncertainty, UnsetType):
            note = "of a calliper on a dirty chain" if usual_mm < USUAL_LENGTH_UNCERTAINTY_MM else "of a tape"
            self._trace.assume(f"{name}.uncertainty", f"{usual_mm:g} mm", "default", note)
            return Measured(value, usual_mm)
        uncertainty = sent.uncertainty * value / sent.value
        if uncertainty < LEAST_UNCERTAINTY_MM:
            message = f"No workshop measurement is better than {LEAST_UNCERTAINTY_MM:g} mm; that was taken."
            self._trace.warn("uncertainty_floor_applied", message, severity="info", field=name)
        return Measured(value, max(uncertainty, LEAST_UNCERTAINTY_MM))
