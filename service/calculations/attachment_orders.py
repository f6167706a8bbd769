"""What to order for each strand: attachment links by kind, hand and kind of link, the joint, and the added mass."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.core.conveyor_capacity import load_from_pieces
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.attachment_sets import AttachmentSet, Group, Links
    from service.calculations.trace import Trace

MILLIMETRES = 1000.0


class OrderLine(Record, frozen=True, kw_only=True):
    """Attachments that are alike on one strand."""

    place: int
    kind: str
    group: Group
    sentence: str


class StrandOrder(Record, frozen=True, kw_only=True):
    """One strand.

    ``joint_link`` is the first outer link without an attachment, where a plain connecting link may join the chain;
    None where every outer link carries one, or where the links are all alike.
    """

    strand: int
    lines: tuple[OrderLine, ...]
    attachment_count: int
    links_with_attachments: int
    joint_link: int | None
    joint_carries: bool
    added_mass_kg: float | None
    added_mass_kg_m: float | None
    sentence: str


def strand_orders(
    sets: tuple[AttachmentSet, ...], links: Links, strand_count: int, *, mirrored: bool, pitch_mm: float, trace: Trace
) -> tuple[StrandOrder, ...]:
    """The order of every strand."""
    orders = []
    known: dict[tuple[int, ...], _Places] = {}
    for strand in range(1, strand_count + 1):
        here = tuple(one for one in sets if strand in one.strands)
        same = tuple(one.place for one in here)
        if same not in known:
            known[same] = _places(here, links, pitch_mm, trace)
        orders.append(_order(strand, here, links, known[same], mirrored=mirrored and strand % 2 == 0))
    return tuple(orders)


class _Places(Record, frozen=True, kw_only=True):
    """What strands with the same sets have in common."""

    carrying: int
    joint_link: int | None
    mass_kg: float | None
    mass_kg_m: float | None


def _places(sets: tuple[AttachmentSet, ...], links: Links, pitch_mm: float, trace: Trace) -> _Places:
    marked, mass = _marked(sets, links), _mass(sets)
    length_m = links.pitch_count * pitch_mm / MILLIMETRES
    return _Places(
        carrying=marked.count(1),
        joint_link=_plain_link(marked, links),
        mass_kg=mass,
        mass_kg_m=None if mass is None else trace.take(load_from_pieces, piece_mass_kg=mass, spacing_m=length_m),
    )


def _order(
    strand: int, sets: tuple[AttachmentSet, ...], links: Links, places: _Places, *, mirrored: bool
) -> StrandOrder:
    lines = tuple(
        OrderLine(place=one.place, kind=one.kind.name, group=group, sentence=_line(one, group, links))
        for one in sets
        for group in one.groups(links, mirrored=mirrored)
    )
    listed = "; ".join(line.sentence for line in lines) or "without attachments"
    return StrandOrder(
        strand=strand,
        lines=lines,
        attachment_count=sum(line.group.count for line in lines),
        links_with_attachments=places.carrying,
        joint_link=places.joint_link,
        joint_carries=links.alternating and places.joint_link is None,
        added_mass_kg=places.mass_kg,
        added_mass_kg_m=places.mass_kg_m,
        sentence=f"Strand {strand}: {links.pitch_count} pitches, {listed}.",
    )


def _line(one: AttachmentSet, group: Group, links: Links) -> str:
    hand = "" if one.kind.letter.sides in ("both", "across") else f" {_HANDS[group.hand]}"
    number = f"{group.count} {one.kind.name}{hand} on {links.name(group.on)}"
    if group.count == 1:
        return f"{number} {group.first_link}"
    return f"{number}s, every {_ordinal(group.every)} pitch from link {group.first_link}"


_HANDS = {"left": "left hand", "right": "right hand", "both": "both sides"}


def _ordinal(number: int) -> str:
    ending = "th" if number % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


def _marked(sets: tuple[AttachmentSet, ...], links: Links) -> bytearray:
    """One for each link that carries an attachment, counted from one; place zero stays empty."""
    marked = bytearray(links.pitch_count + 1)
    for one in sets:
        marked[one.links.start : one.links.stop : one.every] = b"\x01" * len(one.links)
    return marked


def _plain_link(marked: bytearray, links: Links) -> int | None:
    """First outer link without an attachment; None where there is none or the links are alike."""
    if not links.alternating:
        return None
    first = 1 if links.first == "outer" else 2
    place = marked[first::2].find(0)
    return None if place < 0 else first + 2 * place


def _mass(sets: tuple[AttachmentSet, ...]) -> float | None:
    """Mass of the attachments of a strand; None where one was not sent."""
    masses = [one.mass_kg for one in sets]
    known = [mass for mass in masses if mass is not None]
    if not known or len(known) < len(masses):
        return None
    return sum(mass * len(one.links) for mass, one in zip(known, sets, strict=True))
