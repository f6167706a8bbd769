"""``POST /v1/identifications``: which size a measured piece of chain, or a wheel alone, belongs to."""

from typing import Annotated

import msgspec
from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, Context, common
from service.api.body import json_body
from service.api.chain_sheets import Provenance, figure_quantity, provenance
from service.api.contract import Example, operation
from service.api.identification_input import IdentificationRequest, read_sample
from service.api.quantities import PRESENTERS, Inputs, Presenter, Quantity
from service.calculations.identification import Identification, Outcome, identify
from service.calculations.identification_doubts import check_geometry, doubts
from service.calculations.identification_index import IdentificationIndex, Kind
from service.calculations.identification_ranking import Candidate, Compared
from service.calculations.trace import Trace
from service.core.errors import EngineeringError
from service.reference.chain_notes import LIFTING_FAMILIES
from service.reference.chains import ChainSize, Family
from service.reference.designations import read_designation
from service.reference.figures import Figure, Side

MOST_APART = 20
"""Sizes named apart at most, because too little of them is printed to compare them."""


class ComparedDimension(msgspec.Struct, frozen=True, kw_only=True):
    """One measurement against one size."""

    dimension: str
    measured: Quantity
    printed: Annotated[Quantity, Meta(description="Figure that the comparison rests on.")]
    side: Side
    expected: Annotated[Quantity, Meta(description="Printed figure, or what a wheel of this chain would measure.")]
    least: Annotated[Quantity, Meta(description="Least plausible actual value, making and wear considered.")]
    greatest: Annotated[Quantity, Meta(description="Greatest plausible actual value.")]
    misfit: Annotated[float, Meta(description="Distance outside these bounds, in uncertainties; above 2 is no fit.")]
    fits: bool
    provenance: Provenance


class DifferingFigure(msgspec.Struct, frozen=True, kw_only=True):
    """A figure that is not the same for all chains of equal dimensions."""

    quantity: Annotated[str, Meta(description="Name of the quantity, explained at `GET /v1/quantities`.")]
    value: Quantity
    side: Side
    provenance: Provenance


class EqualChain(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One of several chains with equal printed dimensions, with what tells it from the others."""

    designation: str
    also_listed_as: Annotated[list[str], Meta(description="The same chain in other standards.")]
    standard: str
    series: str
    figures: Annotated[list[DifferingFigure], Meta(description="Printed figures that are not the same for all.")] = []


class CandidateSize(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A size that the piece can be, or that comes nearest: one set of printed dimensions."""

    designation: str
    also_listed_as: Annotated[list[str], Meta(description="The same size in other standards.")]
    family: Family
    series: str
    fits: bool
    score: Annotated[float, Meta(description="0 is a perfect fit; ranks the candidates.")]
    elongation_percent: Annotated[float, Meta(description="Elongation, if the piece is this size.")] | UnsetType = UNSET
    counts_agree: Annotated[bool, Meta(description="Whether the plates counted are those of the lacing.")]
    equal_chains: Annotated[
        list[EqualChain], Meta(description="All chains of these dimensions, where there are several.")
    ] = []
    dimensions: list[ComparedDimension]


class OpenSize(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A size that the measurements cannot tell from the best."""

    designation: str
    equal_chains: Annotated[
        list[str], Meta(description="All chains of these dimensions, where there are several.")
    ] = []


class DecisiveDimension(msgspec.Struct, frozen=True, kw_only=True):
    """A measurement that alone ruled sizes out."""

    dimension: str
    sizes_excluded: int


class ExpectedValue(msgspec.Struct, frozen=True, kw_only=True):
    """What the next measurement would show, were the piece this size."""

    designation: str
    expected: Quantity | UnsetType = UNSET


class NextMeasurementAdvice(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """The one further measurement that parts most of the sizes that remain."""

    dimension: str
    how: str
    pairs_parted: int
    pairs: int
    expected: list[ExpectedValue] = []


class IdentificationResult(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What the piece can be.

    A size is one set of printed dimensions. `not_separable` names every size that the measurements cannot tell from
    the best; `equal_dimensions` leaves one size under which several chains are made, see its `equal_chains`;
    `no_match` shows the nearest and what fails in each.
    """

    outcome: Outcome
    designation: Annotated[str, Meta(description="Where only one size and one chain of it remains.")] | UnsetType = (
        UNSET
    )
    not_separable: Annotated[list[OpenSize], Meta(description="The best first.")]
    candidates: Annotated[list[CandidateSize], Meta(description="The best first.")]
    not_comparable: Annotated[
        list[str], Meta(description="Sizes that fit as far as printed figures go, too few to rank them.")
    ]
    decided_by: Annotated[list[DecisiveDimension], Meta(description="What ruled other sizes out, the most first.")]
    next_measurement: NextMeasurementAdvice | UnsetType = UNSET
    missing: Annotated[list[str], Meta(description="What must be known before silent chain is replaced.")]


class IdentificationAnswer(Answer[IdentificationResult], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/identifications`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""
    index = IdentificationIndex(context.reference)

    @post(
        "/v1/identifications",
        dto=json_body(IdentificationRequest),
        **operation(
            "identify_chain",
            tag="catalogue",
            summary="Which size a measured piece of chain, or a wheel, belongs to",
            description=(
                "Any subset of the dimensions of a piece of chain, new or worn, or a wheel alone. Every size is "
                "compared in every dimension; the answer ranks the sizes, says which measurements decided, how long "
                "the chain has worn, which sizes cannot be told apart by these measurements, and which one more "
                "would part them. How far an actual chain lies from the printed figures is common practice, in the "
                "table `identification_bands`."
            ),
            examples=EXAMPLES,
        ),
    )
    def identify_chain(data: JSONBody[IdentificationRequest]) -> IdentificationAnswer:
        inputs, trace = Inputs(), Trace(keep_steps=data.working == "full")
        sample, how, wheel = read_sample(data, inputs, trace)
        check_geometry(sample)
        found = identify(index, sample, wheel)
        doubts(index, sample, how, found, trace)
        _note(found, data, trace, context)
        return IdentificationAnswer(
            result=_present(found, data, PRESENTERS[data.units]), **common(data, trace, inputs, context)
        )

    return [identify_chain]


def _note(found: Identification, data: IdentificationRequest, trace: Trace, context: Context) -> None:
    """Sources of the best candidate and of what tells equal chains apart, cautions, and the stamp."""
    for compared in found.candidates[0].compared if found.candidates else ():
        figure = compared.band.figure
        if not compared.dimension.startswith("wheel"):
            trace.figure(_holder(found.candidates[0].kind, compared), figure.quantity)
    for candidate in found.candidates:
        for equals in candidate.kind.equal_chains:
            for figure in _differing(candidate.kind, equals[0]):
                trace.figure(equals[0], figure.quantity)
    for row in context.reference.identification_bands.rows[:1]:
        trace.row(row, "how far an actual chain lies from printed figures")
    if any(candidate.kind.size.row.family in LIFTING_FAMILIES for candidate in found.candidates):
        trace.caution(*(caution.code for caution in context.reference.cautions.for_topic("lifting")))
    if not isinstance(data.stamp, UnsetType):
        _note_stamp(found, data.stamp, trace, context)


def _note_stamp(found: Identification, stamp: str, trace: Trace, context: Context) -> None:
    """Whether the stamp agrees with the measurements."""
    try:
        stamped = read_designation(context.reference.chains, stamp, "stamp").size.designation
    except EngineeringError as error:
        trace.warn("stamp_unread", f"The stamp says nothing certain here: {error}", field="stamp")
        return
    fitting = [
        size.designation
        for candidate in found.candidates
        if candidate.fits
        for equals in candidate.kind.chains
        for size in equals
    ]
    if stamped not in fitting:
        message = f"The stamp reads {stamped}, the measurements do not: a mark of the maker, or a mixed chain."
        trace.warn("stamp_conflict", message, field="stamp")


def _holder(kind: Kind, compared: Compared) -> ChainSize:
    """The size, among equal ones, whose figure was compared."""
    return next(size for size in kind.sizes if compared.band.figure in size.figures)


def _present(found: Identification, data: IdentificationRequest, presenter: Presenter) -> IdentificationResult:
    silent = any(candidate.kind.size.row.family == "silent" for candidate in found.candidates)
    return IdentificationResult(
        outcome=found.outcome,
        designation=found.candidates[0].kind.size.designation if found.outcome == "identified" else UNSET,
        not_separable=[_open_size(kind) for kind in found.not_separable],
        candidates=[_candidate(candidate, presenter) for candidate in found.candidates],
        not_comparable=[kind.size.designation for kind in found.not_comparable[:MOST_APART]],
        decided_by=[
            DecisiveDimension(dimension=decisive.dimension, sizes_excluded=decisive.excluded)
            for decisive in found.decisive
        ],
        next_measurement=_advice(found, presenter),
        missing=[name for name in _SILENT if name != "guide_type" or isinstance(data.guide_type, UnsetType)]
        if silent and found.outcome != "no_match"
        else [],
    )


def _open_size(kind: Kind) -> OpenSize:
    equal = [equals[0].designation for equals in kind.equal_chains]
    return OpenSize(designation=kind.size.designation, equal_chains=equal)


def _candidate(candidate: Candidate, presenter: Presenter) -> CandidateSize:
    size = candidate.kind.size
    elongation = candidate.elongation_percent
    return CandidateSize(
        designation=size.designation,
        also_listed_as=[other.designation for other in candidate.kind.sizes[1:]],
        family=size.row.family,
        series=size.row.series,
        fits=candidate.fits,
        score=presenter.number(candidate.score),
        elongation_percent=presenter.known_number(elongation),
        counts_agree=candidate.counts_agree,
        equal_chains=_equal_chains(candidate.kind, presenter),
        dimensions=[
            ComparedDimension(
                dimension=compared.dimension,
                measured=presenter.length(compared.measured.value_mm),
                printed=presenter.length(compared.band.figure.value),
                side=compared.band.figure.side,
                expected=presenter.length(compared.band.expected),
                least=presenter.length(compared.low_mm),
                greatest=presenter.length(compared.high_mm),
                misfit=presenter.number(compared.misfit),
                fits=compared.fits,
                provenance=provenance(compared.band.figure),
            )
            for compared in candidate.compared
        ],
    )


def _equal_chains(kind: Kind, presenter: Presenter) -> list[EqualChain]:
    """Chains of equal dimensions, each with the figures that are not the same for all."""
    return [
        EqualChain(
            designation=equals[0].designation,
            also_listed_as=[other.designation for other in equals[1:]],
            standard=equals[0].row.standard,
            series=equals[0].row.series,
            figures=[
                DifferingFigure(
                    quantity=figure.quantity,
                    value=figure_quantity(figure, presenter),
                    side=figure.side,
                    provenance=provenance(figure),
                )
                for figure in _differing(kind, equals[0])
            ],
        )
        for equals in kind.equal_chains
    ]


def _differing(kind: Kind, size: ChainSize) -> list[Figure]:
    """Figures of one of several chains that are not the same for all."""
    own = dict.fromkeys(figure.quantity for figure in size.figures)
    found = [figure for quantity in own if (figure := size.find(quantity)) is not None]
    others = [equals[0] for equals in kind.chains]
    return [
        figure
        for figure in found
        if any((other := size.find(figure.quantity)) is None or other.value != figure.value for size in others)
    ]


def _advice(found: Identification, presenter: Presenter) -> NextMeasurementAdvice | UnsetType:
    following = found.next_measurement
    if following is None:
        return UNSET
    expected: list[ExpectedValue] = []
    if following.dimension is not None:
        for kind in found.not_separable:
            bands = kind.bands.get(following.dimension, ())
            expected.append(
                ExpectedValue(
                    designation=kind.size.designation,
                    expected=presenter.length(bands[0].expected) if bands else UNSET,
                )
            )
    return NextMeasurementAdvice(
        dimension=following.name,
        how=_HOW[following.name],
        pairs_parted=following.pairs_parted,
        pairs=following.pairs,
        expected=expected,
    )


_SILENT = ("guide_type", "joint_type", "link_form", "plates_across")
_HOW = {
    "pitch": "Pull the chain tight and measure from pin to pin over ten pitches or more.",
    "roller_diameter": "Calliper over one roller, turned to where it is widest, else over bush or barrel.",
    "inner_width": "Calliper between the inner plates, where the tooth enters.",
    "pin_diameter": "Calliper over the end of a pin where it has not worn.",
    "plate_height": "Calliper over the height of an inner plate at its ends.",
    "outer_plate_height": "Calliper over the height of an outer plate at its ends.",
    "plate_thickness": "Calliper over one plate at its edge.",
    "transverse_pitch": "From the left edge of one strand's roller to the left edge of the next.",
    "width_over_pins": "Calliper over the ends of a riveted pin.",
    "chain_width": "Calliper over the links only, not over the pin heads.",
    "wire_diameter": "Calliper over the unworn flank of a link.",
    "link_width": "Calliper over the outside of a link.",
    "barrel_length": "Between the side bars, along the barrel.",
    "families": "See which kinds of chain it can be, and send families; GET /v1/families describes each.",
    "guide_type": "See whether guide plates stand at the sides, in the middle or in two rows within the width.",
    "plate_edges": "See whether the plates are straight along their edges or waisted like an eight.",
}
EXAMPLES = {
    "sorting_line": Example(
        "A dirty sample from a sorting line of the invented Lindholm plant: ten pitches, roller and width",
        {
            "length": {"value": 129.0, "unit": "mm", "uncertainty": 0.5},
            "pitch_count": 10,
            "roller_diameter": {"value": 8.4, "unit": "mm"},
            "inner_width": {"value": 7.7, "unit": "mm"},
        },
    ),
    "wheel_alone": Example(
        "A wheel without its chain, in inches",
        {
            "sprocket": {
                "teeth": 17,
                "outside_diameter": {"value": 5.98, "unit": "in"},
                "caliper_diameter": {"value": 4.79, "unit": "in"},
                "tooth_width": {"value": 0.575, "unit": "in"},
            },
            "units": "inch",
        },
    ),
    "roller_wider_than_pitch": Example(
        "A roller that cannot be",
        {"pitch": {"value": 12.7, "unit": "mm"}, "roller_diameter": {"value": 15.9, "unit": "mm"}},
        status=422,
    ),
}
