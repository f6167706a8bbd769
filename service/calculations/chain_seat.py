"""What a wheel sees of a chain without a published tooth form: its family, its pitch, and what sits in the gap."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.core.conversions import MM_PER_INCH
from service.core.errors import Inconsistent, Issue, MoreNeeded
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.trace import Trace
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize

Seat = Literal["barrel", "bush", "roller", "small_roller", "carrying_roller"]
SEATS: tuple[Seat, ...] = ("barrel", "bush", "roller", "small_roller", "carrying_roller")
"""What of a chain may sit in the gap."""

WITHOUT_BARREL = {
    "detachable_malleable",
    "detachable_pressed_steel",
    "rivetless_forged",
    "block_bar",
    "draw_bench",
    "bar_loop",
}
"""Families whose links meet the tooth with a bar, a hook or a slot and with nothing round (practice of the trade)."""

_OTHER_WHEELS = {"roller", "silent", "leaf", "round_link"}

SAME_PITCH = 1e-3
"""Relative difference within which a pitch that is sent is that of the tables (practice)."""


class SeatInput(Record, frozen=True, kw_only=True):
    """A chain and what is said of it: ``family`` of a chain of the caller's own, pitch where there are several."""

    chain: ChainSize
    family: str | None = None
    pitch_mm: float | None = None
    seat: Seat | None = None
    seating_diameter_mm: float | None = None


def family_of(given: SeatInput, reference: Reference) -> str | None:
    """The family of the chain: of a tabulated size that of the tables, else the one that was sent.

    Raises:
        NotInReference: ``family_unknown``.
        Inconsistent: the family is not that of the size, or its chains run on another kind of wheel.
    """
    found = None if given.chain.row.series == "own" else reference.families.of_size(given.chain.row)
    if given.family is None:
        return None if found is None else found.id
    sent = reference.families.get(given.family).id
    if found is not None and sent != found.id:
        message = f"{given.chain.designation} belongs to {found.id}, not to {sent}; the family is for own_chain."
        raise Inconsistent(Issue("family", "over_determined", message, None, sent))
    if sent in _OTHER_WHEELS:
        message = f"Chain of the family {sent} runs on another kind of wheel."
        raise Inconsistent(Issue("family", "other_wheel_needed", message, None, sent))
    return sent


def wheel_pitch(given: SeatInput, reference: Reference, trace: Trace) -> float:
    """The pitch of the chain.

    Raises:
        MoreNeeded: ``pitch_needed`` with the pitches, where a size is made in several.
        Inconsistent: ``over_determined``, the tables have another pitch.
        NotInReference: the pitch is not known.
    """
    made = reference.engineering.pitches_mm(given.chain.designation)
    if made and given.pitch_mm is None:
        listed = tuple(f"{pitch:g} mm" for pitch in made)
        message = (
            f"{given.chain.designation} is made in several pitches: send the pitch. Tabulated: {', '.join(listed)}."
        )
        raise MoreNeeded(Issue("pitch_mm", "pitch_needed", message), candidates=listed)
    if not made and given.chain.find("pitch") is not None:
        pitch = trace.figure(given.chain, "pitch")
        if given.pitch_mm is not None and abs(given.pitch_mm - pitch) > SAME_PITCH * pitch:
            message = f"{given.chain.designation} has a pitch of {pitch:.6g} mm; a wheel for another needs own_chain."
            raise Inconsistent(Issue("pitch_mm", "over_determined", message, pitch, given.pitch_mm))
        return pitch
    if given.pitch_mm is None:
        return trace.figure(given.chain, "pitch")
    if made and not any(abs(given.pitch_mm - pitch) <= SAME_PITCH * pitch for pitch in made):
        message = (
            f"{given.chain.designation} is not tabulated in a pitch of {given.pitch_mm:g} mm; wheels are to chain."
        )
        trace.warn("pitch_not_tabulated", message, field="pitch_mm")
    trace.assume("pitch_mm", given.pitch_mm, "given", "one of the pitches in which the size is made")
    return given.pitch_mm


def seating_diameter(given: SeatInput, family: str | None, reference: Reference, trace: Trace) -> float | None:
    """Diameter of what sits in the gap or lies on the rim; None, with a warning, where it is not known.

    Raises:
        MoreNeeded: ``seat_needed`` with the candidates, where the tables hold several.
        Inconsistent: both a seat and a diameter were sent.
        NotInReference: the tables do not hold the seat that was named.
    """
    if given.seating_diameter_mm is not None:
        if given.seat is not None:
            message = "Send seat (which part of the chain) or seating_diameter (your figure), not both."
            raise Inconsistent(Issue("seat", "over_determined", message, None, given.seat))
        trace.assume("seating_diameter_mm", given.seating_diameter_mm, "given", "figure of the caller")
        return given.seating_diameter_mm
    if given.seat is not None:
        return trace.figure(given.chain, f"{given.seat}_diameter")
    if family in WITHOUT_BARREL:
        message = "No bottom diameter: this chain meets the tooth with nothing round that a diameter would describe."
        trace.warn("bottom_not_computed", message, severity="info", field="seating_diameter_mm")
        return None
    return _tabulated(given.chain, reference, trace)


def _tabulated(chain: ChainSize, reference: Reference, trace: Trace) -> float | None:
    known = tuple(seat for seat in SEATS if chain.find(f"{seat}_diameter") is not None)
    if len(known) > 1:
        words = ", ".join(known)
        message = f"{chain.designation} is tabulated with {words}: which of them sits in the gap?"
        raise MoreNeeded(Issue("seat", "seat_needed", message, None, None, f"Send seat: {words}."), candidates=known)
    if known:
        trace.assume("seat", known[0], "table", "the only part that the tables hold")
        return trace.figure(chain, f"{known[0]}_diameter")
    for row in reference.engineering.wheel_groups.where(designation=chain.designation):
        if row.seating_diameter_in is not None:
            trace.row(row, f"seating diameter of {chain.designation}")
            return row.seating_diameter_in * MM_PER_INCH
    message = (
        f"No bottom diameter: the tables hold no barrel, bush or roller of {chain.designation}; send its diameter."
    )
    trace.warn("bottom_not_computed", message, field="seating_diameter_mm")
    return None
