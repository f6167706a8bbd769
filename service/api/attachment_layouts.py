"""``POST /v1/attachment-layouts``: attachments on a chain, whether their pattern closes, and what to order."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec
from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, CalculationRequest, Context, PlainText, common
from service.api.attachment_answers import AttachmentLayout, present_layout
from service.api.body import json_body
from service.api.chain_input import ChainName, OwnChain, Teeth, read_chain
from service.api.contract import Example, operation
from service.api.optional_fields import sent, whole
from service.api.quantities import PRESENTERS, Inputs, Length, Mass, SignedLength
from service.calculations.attachment_layout import (
    MOST_PITCHES,
    MOST_POSITIONS,
    AttachmentLayoutInput,
    Pairing,
    WheelInput,
    attachment_layout,
)
from service.calculations.attachment_sets import AskedHand, LinkKind, SetInput
from service.reference.attachments import LinkPattern

MOST_STRANDS = 20
MOST_SETS = 12

Strand = Annotated[float, Meta(ge=1, le=MOST_STRANDS, multiple_of=1, description="Number of a strand, from one.")]
Spacing = Annotated[
    float, Meta(ge=1, le=MOST_PITCHES, multiple_of=1, description="Pitches from one attachment to the next.")
]
FirstLink = Annotated[
    float,
    Meta(ge=1, le=MOST_PITCHES, multiple_of=1, description="Link of the first attachment, counted from one."),
]


class AttachmentSetAsked(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Attachments that are alike and follow each other at one spacing."""

    kind: Annotated[
        PlainText,
        Meta(description="Letter and number as at `GET /v1/attachments`, such as `A1`; `SPECIAL` for a drawing."),
    ]
    every: Spacing
    start: FirstLink | UnsetType = UNSET
    on: (
        Annotated[LinkKind, Meta(description="Kind of link, where the links are of two kinds by turns.")] | UnsetType
    ) = UNSET
    hand: (
        Annotated[AskedHand, Meta(description="Side of the chain, seen in the direction of travel, on strand 1.")]
        | UnsetType
    ) = UNSET
    strands: Annotated[list[Strand], Meta(min_length=1, max_length=MOST_STRANDS)] | UnsetType = UNSET
    mass: Annotated[Mass, Meta(description="Of one attachment, what it carries and bolts included.")] | UnsetType = (
        UNSET
    )
    underside_height: (
        Annotated[SignedLength, Meta(description="Of its underside over the line of the pins, from the drawing.")]
        | UnsetType
    ) = UNSET


class WheelUnderAttachments(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The smallest wheel that the attachments pass."""

    teeth: Teeth
    rim_diameter: Annotated[Length, Meta(description="Of what lies under the attachments: tips, flange or hub.")]


class AttachmentLayoutRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A chain, its length, and the attachments on it."""

    chain: ChainName | UnsetType = UNSET
    own_chain: OwnChain | UnsetType = UNSET
    family: (
        Annotated[
            str, Meta(min_length=1, max_length=60, description="Family of `own_chain`, as at `GET /v1/families`.")
        ]
        | UnsetType
    ) = UNSET
    link_pattern: (
        Annotated[LinkPattern, Meta(description="Of `own_chain` without a family; alternating unless sent.")]
        | UnsetType
    ) = UNSET
    pitch_count: (
        Annotated[float, Meta(ge=1, le=MOST_PITCHES, multiple_of=1, description="Pitches of one strand.")] | UnsetType
    ) = UNSET
    length: Annotated[Length, Meta(description="Of one strand, instead of pitch_count.")] | UnsetType = UNSET
    endless: Annotated[bool, Meta(description="Whether the ends are joined to a loop.")] = True
    first_link: Annotated[LinkKind, Meta(description="Kind of link 1.")] = "outer"
    strand_count: Annotated[float, Meta(ge=1, le=MOST_STRANDS, multiple_of=1, description="Chains side by side.")] = 1
    strand_pairing: (
        Annotated[Pairing, Meta(description="`mirrored`: strands 2, 4, ... have the other hand.")] | UnsetType
    ) = UNSET
    attachments: Annotated[list[AttachmentSetAsked], Meta(min_length=1, max_length=MOST_SETS)]
    elongation_percent: (
        Annotated[float, Meta(ge=0, le=1000, description="Mean elongation at which spacings are wanted.")] | UnsetType
    ) = UNSET
    wheel: WheelUnderAttachments | UnsetType = UNSET
    positions: Annotated[
        Literal["pattern", "all"],
        Meta(description=f"Until the pattern repeats, or to the end; at most {MOST_POSITIONS} are listed."),
    ] = "pattern"


class AttachmentLayoutAnswer(Answer[AttachmentLayout], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/attachment-layouts`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/attachment-layouts",
        dto=json_body(AttachmentLayoutRequest),
        **operation(
            "lay_out_attachments",
            tag="layout",
            summary="Attachments every n-th pitch on one strand or several, and whether the pattern closes",
            description=(
                "Where attachments stand, on which kind of link and of which hand; whether every set closes round the "
                "loop, the space left at the joint where it does not, and the nearest pitch counts that close; "
                "spacings new and worn, strands as a mirrored pair, added mass, and what to order for each strand. "
                "Chain of alternating links closes at even counts only; chain of identical offset links at any."
            ),
            examples=EXAMPLES,
        ),
    )
    def lay_out_attachments(data: JSONBody[AttachmentLayoutRequest]) -> AttachmentLayoutAnswer:
        inputs = Inputs()
        outcome = attachment_layout(_given(data, inputs, context), context.reference, keep_steps=data.working == "full")
        return AttachmentLayoutAnswer(
            result=present_layout(outcome.result, PRESENTERS[data.units], context),
            **common(data, outcome.trace, inputs, context),
        )

    return [lay_out_attachments]


def _given(data: AttachmentLayoutRequest, inputs: Inputs, context: Context) -> AttachmentLayoutInput:
    wheel = None
    if not isinstance(data.wheel, UnsetType):
        rim = inputs.canonical(data.wheel.rim_diameter, "/wheel/rim_diameter")
        wheel = WheelInput(teeth=int(data.wheel.teeth), rim_diameter_mm=rim)
    worn = data.elongation_percent
    return AttachmentLayoutInput(
        chain=read_chain(data.chain, data.own_chain, inputs, context.reference).size,
        family=data.family or None,
        link_pattern=data.link_pattern or None,
        pitch_count=whole(data.pitch_count),
        length_mm=inputs.optional(data.length, "/length"),
        endless=data.endless,
        first_link=data.first_link,
        strand_count=int(data.strand_count),
        pairing=data.strand_pairing or None,
        sets=tuple(_set(one, f"/attachments/{place}", inputs) for place, one in enumerate(data.attachments)),
        elongation_percent=sent(worn),
        wheel=wheel,
        every_position=data.positions == "all",
    )


def _set(asked: AttachmentSetAsked, place: str, inputs: Inputs) -> SetInput:
    strands = () if isinstance(asked.strands, UnsetType) else asked.strands
    return SetInput(
        kind=asked.kind,
        every=int(asked.every),
        start=whole(asked.start),
        on=asked.on or None,
        hand=asked.hand or None,
        strands=tuple(sorted({int(strand) for strand in strands})),
        mass_kg=inputs.optional(asked.mass, f"{place}/mass"),
        underside_height_mm=inputs.optional(asked.underside_height, f"{place}/underside_height"),
    )


EXAMPLES = {
    "slats_between_two_chains": Example(
        "Slats of the invented Lindholm plant between a mirrored pair of chains, on outer links",
        {
            "own_chain": {"pitch": {"value": 6, "unit": "in"}},
            "family": "bushed_steel",
            "pitch_count": 214,
            "strand_count": 2,
            "strand_pairing": "mirrored",
            "attachments": [
                {"kind": "A-2", "every": 4, "on": "outer", "hand": "right", "mass": {"value": 1.2, "unit": "kg"}}
            ],
            "elongation_percent": 1.5,
        },
    ),
    "fingers_by_turns": Example(
        "Straight lugs left and right by turns on every third pitch, upright lugs between them",
        {
            "chain": "C2060H",
            "length": {"value": 36, "unit": "ft"},
            "attachments": [
                {"kind": "SA1", "every": 3, "hand": "alternating"},
                {"kind": "SK1", "every": 6, "start": 3},
            ],
            "units": "inch",
        },
    ),
    "offset_links": Example(
        "Chain of identical links needs no even count",
        {"chain": "WR78", "pitch_count": 85, "attachments": [{"kind": "H1", "every": 5}]},
    ),
    "hand_not_said": Example(
        "A lug on one side without its side",
        {"chain": "60", "pitch_count": 120, "attachments": [{"kind": "A1", "every": 4}]},
        status=422,
    ),
}
