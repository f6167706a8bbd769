"""Sets of attachments as asked for, held against the chain: kind, spacing, first link, kind of link, hand, strands."""

from __future__ import annotations

from math import lcm
from typing import TYPE_CHECKING, Literal

from service.calculations.refusals import at_field
from service.core.attachment_patterns import attachment_links, first_shared_link
from service.core.errors import Inconsistent, Issue, MoreNeeded, OutOfRange
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Iterator

    from service.calculations.trace import Trace
    from service.reference.attachments import AttachmentReference, FamilyAttachmentRow, Kind

Hand = Literal["left", "right", "both"]
AskedHand = Literal["left", "right", "both", "alternating"]
LinkKind = Literal["outer", "inner"]
_OTHER: dict[Hand, Hand] = {"left": "right", "right": "left", "both": "both"}
_THROUGH = frozenset({"extended_pin", "through_bolt"})
"""Forms that leave the link plates free for another attachment."""


class SetInput(Record, frozen=True, kw_only=True):
    """One set as asked for; ``strands`` empty means every strand."""

    kind: str
    every: int
    start: int | None = None
    on: LinkKind | None = None
    hand: AskedHand | None = None
    strands: tuple[int, ...] = ()
    mass_kg: float | None = None
    underside_height_mm: float | None = None


class Links(Record, frozen=True, kw_only=True):
    """The links of the chain: how many, whether they are of two kinds by turns, and of which kind the first is."""

    pitch_count: int
    strand_count: int
    endless: bool
    alternating: bool
    first: LinkKind
    family: str | None
    outer_name: str
    inner_name: str

    def kind(self, link: int) -> LinkKind | None:
        """Kind of a link, counted from one; None where all are alike."""
        if not self.alternating:
            return None
        other: LinkKind = "inner" if self.first == "outer" else "outer"
        return self.first if link % 2 else other

    def name(self, kind: LinkKind | None) -> str:
        """Trade name of a kind of link."""
        return {"outer": self.outer_name, "inner": self.inner_name, None: "link"}[kind]


class Group(Record, frozen=True, kw_only=True):
    """Attachments of a set that are alike: hand, kind of link, how many, on which link first and how far apart."""

    hand: Hand
    on: LinkKind | None
    count: int
    first_link: int
    every: int


class AttachmentSet(Record, frozen=True, kw_only=True):
    """One set that fits the chain."""

    place: int
    kind: Kind
    every: int
    start: int
    hand: AskedHand
    strands: tuple[int, ...]
    rows: tuple[FamilyAttachmentRow, ...]
    mass_kg: float | None
    underside_height_mm: float | None
    links: range

    @property
    def period(self) -> int:
        """Pitches after which the set repeats, hands included."""
        return self.every * (2 if self.hand == "alternating" else 1)

    def hand_at(self, turn: int, *, mirrored: bool) -> Hand:
        """Hand of the attachment of a turn, counted from zero."""
        hand: Hand = ("right" if turn % 2 else "left") if self.hand == "alternating" else self.hand
        return _OTHER[hand] if mirrored else hand

    def groups(self, links: Links, *, mirrored: bool) -> tuple[Group, ...]:
        """What the set comes to on one strand: hand and kind of link follow the turn, so at most two groups differ."""
        groups: dict[tuple[Hand, LinkKind | None], Group] = {}
        for turn, count in ((0, -(-len(self.links) // 2)), (1, len(self.links) // 2)):
            if count:
                link = self.links[turn]
                hand, on = self.hand_at(turn, mirrored=mirrored), links.kind(link)
                same = groups.get((hand, on))
                groups[hand, on] = (
                    Group(hand=hand, on=on, count=count, first_link=link, every=2 * self.every)
                    if same is None
                    else Group(hand=hand, on=on, count=same.count + count, first_link=same.first_link, every=self.every)
                )
        return tuple(groups.values())


def read_set(place: int, given: SetInput, links: Links, reference: AttachmentReference, trace: Trace) -> AttachmentSet:
    """A set held against the chain.

    Raises:
        NotInReference: the attachment is not listed.
        OutOfRange: spacing, first link or strand lies outside the chain.
        Inconsistent: the spacing does not keep to the kind of link asked for, or the hand does not fit the attachment.
        MoreNeeded: the attachment stands on one side, and which is not said.
    """
    field = f"attachments.{place}"
    kind = reference.get(given.kind, f"{field}.kind")
    if beyond := [strand for strand in given.strands if strand > links.strand_count]:
        text = f"There is no strand {beyond[0]}; the chain has {links.strand_count}."
        raise OutOfRange(Issue(f"{field}.strands", "strands_out_of_range", text, links.strand_count, beyond[0]))
    start = _start(field, given, links)
    return AttachmentSet(
        place=place,
        kind=kind,
        every=given.every,
        start=start,
        hand=_hand(field, given, kind, reference, trace),
        strands=given.strands or tuple(range(1, links.strand_count + 1)),
        rows=() if links.family is None else reference.carried(links.family, kind),
        mass_kg=given.mass_kg,
        underside_height_mm=given.underside_height_mm,
        links=_carrying(field, given.every, start, links, trace),
    )


def _carrying(field: str, every: int, start: int, links: Links, trace: Trace) -> range:
    """Links that carry the set; a refusal names its field in the request."""
    try:
        return trace.take(attachment_links, pitch_count=links.pitch_count, every=every, start=start)
    except OutOfRange as refusal:
        raise at_field(refusal, {}, f"{field}.") from None


def _start(field: str, given: SetInput, links: Links) -> int:
    """First link: as sent, else the first that is of the kind asked for."""
    start = 1 if given.start is None else given.start
    if links.endless and start > given.every:
        text = f"In an endless chain an attachment every {given.every} pitches comes on one of the first {given.every}."
        hint = f"Send start {(start - 1) % given.every + 1}, or endless false for a length that is not joined."
        raise OutOfRange(Issue(f"{field}.start", "start_invalid", text, given.every, start, hint))
    if given.on is None:
        return start
    if not links.alternating:
        text = "All links of this chain are alike, so that there are no outer and inner ones to choose from."
        raise Inconsistent(Issue(f"{field}.on", "links_alike", text, None, given.on, "Leave the field out."))
    if given.every % 2:
        text = (
            f"Every {given.every} pitches comes on outer and inner links by turns, so not on {given.on} links alone: "
            "only an even spacing keeps to one kind."
        )
        hint = f"Send a spacing of {given.every + 1}, or leave out the kind of link."
        raise Inconsistent(Issue(f"{field}.every", "spacing_changes_link", text, None, given.every, hint))
    if given.start is None:
        return start if links.kind(start) == given.on else 2
    if links.kind(start) != given.on:
        text = f"Link {start} is an {links.kind(start)} link, and the attachments are to stand on {given.on} links."
        hint = f"Send start {start + 1 if start < given.every else start - 1}, or leave it out."
        raise Inconsistent(Issue(f"{field}.start", "start_on_other_link", text, None, start, hint))
    return start


def _hand(field: str, given: SetInput, kind: Kind, reference: AttachmentReference, trace: Trace) -> AskedHand:
    sides, hand, name = kind.letter.sides, given.hand, kind.name
    if sides == "one":
        if hand is None:
            text = f"{name} stands on one side of the chain; say on which, seen in the direction of travel."
            hint = "Send hand as left, right or alternating, or both for one on each side of the link."
            raise MoreNeeded(Issue(f"{field}.hand", "hand_needed", text, None, None, hint))
        if hand == "both" and (letter := kind.letter.both_sides_letter):
            trace.warn(
                "both_sides_have_a_letter",
                f"{name} on both sides of a link is {letter}{name.removeprefix(kind.letter.letter)}: order it by that.",
                severity="info",
                field=f"{field}.hand",
            )
        return hand
    if sides == "as_made":
        if hand is None:
            trace.assume(f"{field}.hand", "both", "default", f"{name} was taken as one piece for the whole link")
        return hand or "both"
    if hand in (None, "both"):
        return "both"
    letters = [row.letter for row in reference.letters.values() if row.both_sides_letter == kind.letter.letter]
    hint = f"For one side send {letters[0]}." if letters else "Leave the hand out."
    text = f"{name} stands on both sides of the chain or across it, so that it has no {hand} hand."
    raise Inconsistent(Issue(f"{field}.hand", "hand_not_applicable", text, None, hand, hint))


def check_shared_links(sets: tuple[AttachmentSet, ...], pitch_count: int, trace: Trace) -> None:
    """Refuse two sets that want the same side of one link; what stands on pins leaves the plates free.

    Raises:
        Inconsistent: code ``attachments_share_link``.
    """
    issues = []
    for second, other in enumerate(sets):
        for one in sets[:second]:
            through = {one.kind.letter.form, other.kind.letter.form} & _THROUGH
            if through and one.kind.letter.form != other.kind.letter.form:
                continue
            if not set(one.strands) & set(other.strands):
                continue
            link = next(_meeting(one, other, pitch_count, trace), None)
            if link is not None:
                text = (
                    f"{one.kind.name} of set {one.place} and {other.kind.name} of set {other.place} both come on link "
                    f"{link}, on the same side."
                )
                hint = "Give them other first links, other spacings or other hands."
                issues.append(
                    Issue(f"attachments.{other.place}", "attachments_share_link", text, None, float(link), hint)
                )
    if issues:
        raise Inconsistent(*issues)


def _meeting(one: AttachmentSet, other: AttachmentSet, pitch_count: int, trace: Trace) -> Iterator[int]:
    """Links on which two sets want the same side."""
    first = trace.take(
        first_shared_link,
        pitch_count=pitch_count,
        every=one.every,
        start=one.start,
        other_every=other.every,
        other_start=other.start,
    )
    if first is None:
        return
    last = min(one.links[-1], other.links[-1])
    # Hands repeat after two turns of each set, so two steps show every pair of hands that there is.
    step = lcm(one.every, other.every)
    for link in range(first, min(last, first + step) + 1, step):
        hands = {
            one.hand_at((link - one.start) // one.every, mirrored=False),
            other.hand_at((link - other.start) // other.every, mirrored=False),
        }
        if len(hands) == 1 or "both" in hands:
            yield link
