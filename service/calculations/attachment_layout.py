"""Layout of attachments on a chain: where they stand, whether the pattern closes, what to order for each strand."""

from __future__ import annotations

from heapq import merge
from itertools import islice
from typing import TYPE_CHECKING, Literal

from service.calculations.attachment_orders import StrandOrder, strand_orders
from service.calculations.attachment_sets import AttachmentSet, Hand, LinkKind, Links, SetInput, check_shared_links
from service.calculations.attachment_sets import read_set as read_one
from service.calculations.attachment_warnings import warn_of_layout
from service.calculations.chain_links import family_of
from service.calculations.implausible import implausible_elongations
from service.calculations.length_tolerance import NewLength, new_length
from service.calculations.refusals import Refusals
from service.calculations.trace import Check, Outcome, Trace
from service.core.attachment_patterns import FEWEST_TEETH, attachment_spacing, rim_clearance, space_at_joint
from service.core.errors import Inconsistent, Issue, MoreNeeded, OutOfRange
from service.core.pitch_counts import common_multiple, neighbours, pitches_in_length
from service.reference.chains import OWN
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Iterator

    from service.reference.attachments import FamilyAttachmentRow, LinkPattern, LinkRow
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize

MOST_PITCHES = 100_000
"""Longest chain that is laid out (ours)."""

MOST_POSITIONS = 1000
"""Most positions that one answer lists (ours); the pattern tells the rest."""

Pairing = Literal["alike", "mirrored"]


class WheelInput(Record, frozen=True, kw_only=True):
    """A wheel under the attachments: pitches of the chain round it, and the diameter of what lies under them."""

    teeth: int
    rim_diameter_mm: float


class AttachmentLayoutInput(Record, frozen=True, kw_only=True):
    """The chain, its length, and the sets of attachments on it."""

    chain: ChainSize
    family: str | None
    link_pattern: LinkPattern | None
    pitch_count: int | None
    length_mm: float | None
    endless: bool
    first_link: LinkKind
    strand_count: int
    pairing: Pairing | None
    sets: tuple[SetInput, ...]
    elongation_percent: float | None
    wheel: WheelInput | None
    every_position: bool


class SetLayout(Record, frozen=True, kw_only=True):
    """One set on one strand: how it closes, its spacing, and what it comes to on all its strands."""

    asked: AttachmentSet
    space_at_joint: int | None
    spacing_mm: float
    worn_spacing_mm: float | None
    closes: bool | None
    all_strands_count: int
    rim_clearance_mm: float | None


class Position(Record, frozen=True, kw_only=True):
    """One attachment: strand, link counted from one, and how far along the new chain the middle of the link lies."""

    strand: int
    link: int
    on: LinkKind | None
    kind: str
    hand: Hand
    distance_mm: float


class AttachmentLayoutResult(Record, frozen=True, kw_only=True):
    """The layout; what concerns the joint is None for a length that is not joined."""

    pitch_mm: float
    length_mm: float
    worn_length_mm: float | None
    links: Links
    evenly_spaced: bool | None
    joins_without_offset_link: bool | None
    closing_multiple: int
    nearest_closing: tuple[int, ...]
    sets: tuple[SetLayout, ...]
    strands: tuple[StrandOrder, ...]
    in_step: bool
    positions: tuple[Position, ...]
    position_count: int
    new_length: NewLength | None


def attachment_layout(
    given: AttachmentLayoutInput, reference: Reference, *, keep_steps: bool = False
) -> Outcome[AttachmentLayoutResult]:
    """Lay attachments out on a chain.

    Raises:
        OutOfRange: length, spacing, first link, strand or elongation is impossible.
        NotInReference: the chain has no pitch here, or the family or an attachment is not known.
        Inconsistent: what is said of the links or the hand does not hold together, or two sets share a link.
        MoreNeeded: neither pitches nor a length was sent, or the side of an attachment is not said.
    """
    trace = Trace(keep_steps=keep_steps)
    pitch = trace.figure(given.chain, "pitch")
    refusals = Refusals()
    counted = refusals.attempt(_pitch_count, given, pitch, trace)
    family = refusals.attempt(_family, given, reference)
    refusals.attempt(_check_elongation, given)
    refusals.attempt(_check_wheel, given.wheel)
    refusals.tell()
    links = _links(given, counted.value, family.value, reference, trace)
    sets = _sets(given, links, reference, trace)
    check_shared_links(sets, links.pitch_count, trace)
    mirrored = given.pairing == "mirrored"
    multiple = trace.take(common_multiple, even=links.alternating, spacings=tuple(one.period for one in sets))
    repeats = trace.take(common_multiple, even=False, spacings=tuple(one.period for one in sets))
    layouts = tuple(_layout(one, given, links, pitch, trace) for one in sets)
    orders = strand_orders(sets, links, given.strand_count, mirrored=mirrored, pitch_mm=pitch, trace=trace)
    worn = given.elongation_percent
    listed, total = _positions(given, sets, links, multiple, pitch)
    if links.family is not None:
        trace.row(reference.attachments.welding[links.family], f"welding of attachments to {links.family}")
    result = AttachmentLayoutResult(
        pitch_mm=pitch,
        length_mm=trace.take(attachment_spacing, every=links.pitch_count, pitch_mm=pitch, elongation_percent=0.0),
        worn_length_mm=None
        if worn is None
        else trace.take(attachment_spacing, every=links.pitch_count, pitch_mm=pitch, elongation_percent=worn),
        links=links,
        evenly_spaced=links.pitch_count % repeats == 0 if links.endless else None,
        joins_without_offset_link=not (links.alternating and links.pitch_count % 2) if links.endless else None,
        closing_multiple=multiple,
        nearest_closing=_nearest(links, multiple, trace),
        sets=layouts,
        strands=orders,
        in_step=_in_step(sets, given.strand_count),
        positions=listed,
        position_count=total,
        new_length=new_length(
            given.chain, links.family, pitch_count=links.pitch_count, pitch_mm=pitch, reference=reference, trace=trace
        ),
    )
    warn_of_layout(given, result, trace)
    trace.caution("isolate_and_lock_off", "hot_work_on_hardened_chain")
    return Outcome(result, trace)


def _pitch_count(given: AttachmentLayoutInput, pitch_mm: float, trace: Trace) -> int:
    count, length = given.pitch_count, given.length_mm
    if count is not None and length is not None:
        text = "Send pitch_count or length, not both: one follows from the other."
        raise Inconsistent(Issue("length_mm", "over_determined", text))
    if count is not None:
        return count
    if length is None:
        raise MoreNeeded(Issue("pitch_count", "field_required", "Send pitch_count, or length, of the chain."))
    pitches = trace.take(pitches_in_length, length_mm=length, pitch_mm=pitch_mm)
    below, above = neighbours(pitches=pitches, multiple=1)
    if below != above or below < 1:
        text = f"{length:g} mm is {pitches:.5g} pitches of {pitch_mm:g} mm; a chain has a whole number of them."
        hint = f"Send pitch_count {above}." if below < 1 else f"Send pitch_count {below} or {above}."
        raise OutOfRange(Issue("length_mm", "must_be_whole", text, None, length, hint))
    if below > MOST_PITCHES:
        text = f"{below} pitches are more than are laid out at once; {MOST_PITCHES} are allowed."
        raise OutOfRange(Issue("length_mm", "number_out_of_range", text, MOST_PITCHES * pitch_mm, length))
    return below


def _family(given: AttachmentLayoutInput, reference: Reference) -> str | None:
    """Family of the chain: that of a designation, or as said of own figures."""
    if given.family is None:
        return family_of(given.chain, reference)
    if given.chain.row.source_id != OWN:
        text = f"{given.chain.designation} has its family; the field is for own_chain."
        raise Inconsistent(Issue("family", "over_determined", text))
    return reference.families.get(given.family).id


def _check_elongation(given: AttachmentLayoutInput) -> None:
    if issues := implausible_elongations(given.elongation_percent):
        raise OutOfRange(*issues)


def _check_wheel(wheel: WheelInput | None) -> None:
    if wheel is not None and wheel.teeth < FEWEST_TEETH:
        text = f"A chain does not lie round {wheel.teeth} teeth."
        raise OutOfRange(Issue("wheel.teeth", "teeth_below_minimum", text, FEWEST_TEETH, wheel.teeth))


def _links(
    given: AttachmentLayoutInput, pitch_count: int, family: str | None, reference: Reference, trace: Trace
) -> Links:
    row = None if family is None else reference.attachments.links[family]
    return Links(
        pitch_count=pitch_count,
        strand_count=given.strand_count,
        endless=given.endless,
        alternating=_alternating(given, row, trace),
        first=given.first_link,
        family=family,
        outer_name=(row.outer if row else "") or "outer link",
        inner_name=(row.inner if row else "") or "inner link",
    )


def _alternating(given: AttachmentLayoutInput, row: LinkRow | None, trace: Trace) -> bool:
    """Whether outer and inner links take turns.

    Raises:
        Inconsistent: another pattern was sent than the family has.
    """
    if row is not None:
        trace.row(row, f"pattern of links of {row.family}")
        if given.link_pattern not in (None, row.pattern):
            text = f"The links of this family are {row.pattern}; {given.link_pattern} was sent."
            raise Inconsistent(
                Issue("link_pattern", "over_determined", text, None, given.link_pattern, "Leave the field out.")
            )
        return row.pattern == "alternating"
    if given.link_pattern is None:
        note = "outer and inner links by turns, as in roller chain; send identical for chain of offset links"
        trace.assume("link_pattern", "alternating", "default", note)
    return given.link_pattern != "identical"


def _sets(given: AttachmentLayoutInput, links: Links, reference: Reference, trace: Trace) -> tuple[AttachmentSet, ...]:
    refusals = Refusals()
    parts = [
        refusals.attempt(read_one, place, one, links, reference.attachments, trace)
        for place, one in enumerate(given.sets)
    ]
    refusals.tell()
    sets = tuple(part.value for part in parts)
    for one in sets:
        trace.row(one.kind.letter, f"form of attachment {one.kind.letter.letter}")
        if one.kind.number is not None:
            trace.row(one.kind.number, f"number of attachment {one.kind.name}")
        if one.rows:
            trace.row(_most_trusted(one), f"{one.kind.name} on {links.family}")
    return sets


def _most_trusted(one: AttachmentSet) -> FamilyAttachmentRow:
    order = ("published", "secondary", "practice", "memory")
    return min(one.rows, key=lambda row: order.index(row.confidence))


def _layout(one: AttachmentSet, given: AttachmentLayoutInput, links: Links, pitch: float, trace: Trace) -> SetLayout:
    space = None
    if links.endless:
        space = trace.take(space_at_joint, pitch_count=links.pitch_count, every=one.every, start=one.start)
    worn, clearance = given.elongation_percent, None
    if given.wheel is not None and one.underside_height_mm is not None:
        clearance = trace.take(
            rim_clearance,
            pitch_mm=pitch,
            teeth=given.wheel.teeth,
            underside_height_mm=one.underside_height_mm,
            rim_diameter_mm=given.wheel.rim_diameter_mm,
        )
        trace.check(
            Check(
                f"rim_of_wheel_under_{one.kind.name}",
                given.wheel.rim_diameter_mm,
                given.wheel.rim_diameter_mm + 2 * clearance,
                "length",
                note="rim against the circle that the underside leaves free",
            )
        )
    return SetLayout(
        asked=one,
        space_at_joint=space,
        spacing_mm=trace.take(attachment_spacing, every=one.every, pitch_mm=pitch, elongation_percent=0.0),
        worn_spacing_mm=None
        if worn is None
        else trace.take(attachment_spacing, every=one.every, pitch_mm=pitch, elongation_percent=worn),
        closes=None if space is None else space == one.every and links.pitch_count % one.period == 0,
        all_strands_count=len(one.links) * len(one.strands),
        rim_clearance_mm=clearance,
    )


def _nearest(links: Links, multiple: int, trace: Trace) -> tuple[int, ...]:
    """The pitch counts about that of the loop at which every set closes."""
    if not links.endless:
        return ()
    about = trace.take(neighbours, pitches=float(links.pitch_count), multiple=multiple)
    return tuple(dict.fromkeys(count for count in about if count))


def _in_step(sets: tuple[AttachmentSet, ...], strand_count: int) -> bool:
    """Whether every strand has its attachments on the same links, so that cross bars lie square."""
    places = {
        frozenset((one.every, one.start) for one in sets if strand in one.strands)
        for strand in range(1, strand_count + 1)
    }
    return len(places) == 1


def _positions(
    given: AttachmentLayoutInput, sets: tuple[AttachmentSet, ...], links: Links, repeats: int, pitch: float
) -> tuple[tuple[Position, ...], int]:
    """Positions in the order of strand and link: all, or those until the pattern repeats; how many there are in all."""
    last = links.pitch_count if given.every_position else min(links.pitch_count, repeats)
    total = sum(len(one.links) * len(one.strands) for one in sets)
    found: list[Position] = []
    for strand in range(1, given.strand_count + 1):
        mirrored = given.pairing == "mirrored" and strand % 2 == 0
        here = [_along(one, strand, links, last, pitch, mirrored=mirrored) for one in sets if strand in one.strands]
        found += islice(merge(*here, key=lambda position: position.link), MOST_POSITIONS - len(found))
    return tuple(found), total


def _along(
    one: AttachmentSet, strand: int, links: Links, last: int, pitch: float, *, mirrored: bool
) -> Iterator[Position]:
    """The attachments of a set along a strand, up to a link."""
    for turn, link in enumerate(one.links):
        if link > last:
            return
        yield Position(
            strand=strand,
            link=link,
            on=links.kind(link),
            kind=one.kind.name,
            hand=one.hand_at(turn, mirrored=mirrored),
            distance_mm=(link - 1) * pitch,
        )
