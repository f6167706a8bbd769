"""What a layout of attachments answers: how each set closes, what to order for each strand, and the positions."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.attachments import AttachmentWelding, welding_of
from service.api.chain_sheets import Provenance, provenance
from service.api.quantities import Presenter, Quantity
from service.calculations.attachment_layout import AttachmentLayoutResult, SetLayout
from service.calculations.attachment_orders import StrandOrder
from service.calculations.attachment_sets import AskedHand, Hand, LinkKind
from service.calculations.length_tolerance import NewLength
from service.reference.attachments import LinkPattern

if TYPE_CHECKING:
    from service.api.answers import Context


class ClosingCount(msgspec.Struct, frozen=True, kw_only=True):
    """A pitch count at which every set closes, and the length of chain that it makes."""

    pitch_count: int
    length: Quantity


class AttachmentSetLayout(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One set: its spacing, how it comes over the joint, how many there are."""

    kind: str
    name: str
    every: int
    start: int
    hand: AskedHand
    strands: list[int]
    count_on_each_strand: int
    count_on_all_strands: int
    spacing: Quantity
    worn_spacing: Annotated[Quantity, Meta(description="Mean at the elongation sent.")] | UnsetType = UNSET
    closes: bool | UnsetType = UNSET
    pitches_at_joint: Annotated[int, Meta(description="From the last one over the joint to the first.")] | UnsetType = (
        UNSET
    )
    joint_difference: (
        Annotated[Quantity, Meta(description="Space at the joint less the spacing; negative where it is short.")]
        | UnsetType
    ) = UNSET
    rim_clearance: Annotated[Quantity, Meta(description="Negative where it strikes the wheel.")] | UnsetType = UNSET


class AttachmentOrderLine(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Attachments of one strand that are alike."""

    set_index: Annotated[int, Meta(description="Place in `attachments` of the request, from zero.")]
    kind: str
    hand: Hand
    on: LinkKind | UnsetType = UNSET
    count: int
    first_link: Annotated[int, Meta(description="Link that carries the first of them.")]
    every: Annotated[int, Meta(description="Pitches from one of them to the next.")]


class AttachmentStrand(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What to order for one strand."""

    strand: int
    order: Annotated[str, Meta(description="The strand in words.")]
    lines: list[AttachmentOrderLine]
    attachment_count: int
    links_with_attachments: int
    plain_links: int
    connecting_link_carries: Annotated[
        bool, Meta(description="Every outer link carries an attachment, so a connecting link has to.")
    ]
    first_plain_outer_link: Annotated[int, Meta(description="Where a plain connecting link fits.")] | UnsetType = UNSET
    added_mass: Annotated[Quantity, Meta(description="Left out where a mass is not sent.")] | UnsetType = UNSET
    added_mass_per_length: Quantity | UnsetType = UNSET


class AttachmentPosition(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One attachment."""

    strand: int
    link: int
    on: LinkKind | UnsetType = UNSET
    kind: str
    hand: Hand
    distance: Annotated[Quantity, Meta(description="From the middle of link 1, new chain.")]


class NewChainLength(msgspec.Struct, frozen=True, kw_only=True):
    """How long new chain with attachments may be; it is never shorter than nominal."""

    over_percent: float
    longest: Quantity
    provenance: Provenance


class AttachmentLayout(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """The layout of attachments on every strand."""

    pitch: Quantity
    pitch_count: Annotated[int, Meta(description="Of one strand.")]
    length: Quantity
    worn_length: Quantity | UnsetType = UNSET
    family: str | UnsetType = UNSET
    link_pattern: LinkPattern
    outer_link: Annotated[str, Meta(description="Trade name.")] | UnsetType = UNSET
    inner_link: str | UnsetType = UNSET
    closes: (
        Annotated[bool, Meta(description="Every set is evenly spaced over the joint, without an offset link.")]
        | UnsetType
    ) = UNSET
    evenly_spaced: bool | UnsetType = UNSET
    joins_without_offset_link: bool | UnsetType = UNSET
    closing_multiple: Annotated[int, Meta(description="A loop closes at every multiple of this number of pitches.")]
    nearest_closing: Annotated[list[ClosingCount], Meta(description="Below and above, or the count itself.")]
    sets: list[AttachmentSetLayout]
    strands: list[AttachmentStrand]
    strands_in_step: Annotated[bool, Meta(description="Attachments of all strands stand on the same links.")]
    pattern_repeats_after: Annotated[int, Meta(description="Pitches, kinds of link and hands included.")]
    positions: list[AttachmentPosition]
    position_count: Annotated[int, Meta(description="Attachments of all strands, listed or not.")]
    new_length: NewChainLength | UnsetType = UNSET
    welding: AttachmentWelding | UnsetType = UNSET


def present_layout(result: AttachmentLayoutResult, presenter: Presenter, context: Context) -> AttachmentLayout:
    """The layout in the units of a presenter."""
    links = result.links
    names = links.alternating
    evenly, plain = result.evenly_spaced, result.joins_without_offset_link
    return AttachmentLayout(
        pitch=presenter.length(result.pitch_mm),
        pitch_count=links.pitch_count,
        length=presenter.length(result.length_mm),
        worn_length=presenter.known_length(result.worn_length_mm),
        family=links.family or UNSET,
        link_pattern="alternating" if links.alternating else "identical",
        outer_link=links.outer_name if names else UNSET,
        inner_link=links.inner_name if names else UNSET,
        closes=UNSET if evenly is None else bool(evenly and plain),
        evenly_spaced=UNSET if evenly is None else evenly,
        joins_without_offset_link=UNSET if plain is None else plain,
        closing_multiple=result.closing_multiple,
        nearest_closing=[
            ClosingCount(pitch_count=count, length=presenter.length(count * result.pitch_mm))
            for count in result.nearest_closing
        ],
        sets=[_presented(layout, result.pitch_mm, presenter) for layout in result.sets],
        strands=[_strand(order, links.pitch_count, presenter) for order in result.strands],
        strands_in_step=result.in_step,
        pattern_repeats_after=result.closing_multiple,
        positions=[
            AttachmentPosition(
                strand=position.strand,
                link=position.link,
                on=position.on or UNSET,
                kind=position.kind,
                hand=position.hand,
                distance=presenter.length(position.distance_mm),
            )
            for position in result.positions
        ],
        position_count=result.position_count,
        new_length=UNSET if result.new_length is None else _new_length(result.new_length, presenter),
        welding=UNSET if links.family is None else welding_of(links.family, context),
    )


def _presented(layout: SetLayout, pitch_mm: float, presenter: Presenter) -> AttachmentSetLayout:
    asked, space = layout.asked, layout.space_at_joint
    return AttachmentSetLayout(
        kind=asked.kind.name,
        name=asked.kind.letter.name,
        every=asked.every,
        start=asked.start,
        hand=asked.hand,
        strands=list(asked.strands),
        count_on_each_strand=len(asked.links),
        count_on_all_strands=layout.all_strands_count,
        spacing=presenter.length(layout.spacing_mm),
        worn_spacing=presenter.known_length(layout.worn_spacing_mm),
        closes=UNSET if layout.closes is None else layout.closes,
        pitches_at_joint=UNSET if space is None else space,
        joint_difference=UNSET if space is None else presenter.length((space - asked.every) * pitch_mm),
        rim_clearance=presenter.known_length(layout.rim_clearance_mm),
    )


def _strand(order: StrandOrder, pitch_count: int, presenter: Presenter) -> AttachmentStrand:
    mass, per_length = order.added_mass_kg, order.added_mass_kg_m
    return AttachmentStrand(
        strand=order.strand,
        order=order.sentence,
        lines=[
            AttachmentOrderLine(
                set_index=line.place,
                kind=line.kind,
                hand=line.group.hand,
                on=line.group.on or UNSET,
                count=line.group.count,
                first_link=line.group.first_link,
                every=line.group.every,
            )
            for line in order.lines
        ],
        attachment_count=order.attachment_count,
        links_with_attachments=order.links_with_attachments,
        plain_links=pitch_count - order.links_with_attachments,
        connecting_link_carries=order.joint_carries,
        first_plain_outer_link=UNSET if order.joint_link is None else order.joint_link,
        added_mass=presenter.known(mass, "mass"),
        added_mass_per_length=presenter.known(per_length, "mass_per_length"),
    )


def _new_length(found: NewLength, presenter: Presenter) -> NewChainLength:
    return NewChainLength(
        over_percent=found.over_percent,
        longest=presenter.length(found.longest_mm),
        provenance=provenance(found.row),
    )
