"""Wheels without teeth: the sheave of leaf chain, and the traction wheel of barrel chain."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.chain_seat import SeatInput, family_of, seating_diameter, wheel_pitch
from service.calculations.elongation_check import CAUTIONS_LIFTING
from service.calculations.trace import Check, Outcome, Trace
from service.calculations.wheel_family import expect_wheel, wheel_statements
from service.calculations.wheel_openings import NOTHING_CUT, Metal, Openings, OpeningsInput, wheel_openings
from service.core import barrel_sprocket, lifting, plain_wheels
from service.core.errors import Inconsistent, Issue, MoreNeeded, OutOfRange
from service.reference.records import Record

if TYPE_CHECKING:
    from service.reference.catalogue import Reference
    from service.reference.families import StatementRow


class PlainWheelInput(Record, frozen=True, kw_only=True):
    """A wheel without teeth; a sheave takes its least diameter where none is sent."""

    seat: SeatInput
    tread_diameter_mm: float | None = None
    openings: OpeningsInput = NOTHING_CUT


class SheaveResult(Record, frozen=True, kw_only=True):
    """A sheave for leaf chain; least dimensions by the practice of the trade."""

    tread_diameter_mm: float
    tread_diameter_min_mm: float
    width_between_flanges_min_mm: float | None
    flange_diameter_min_mm: float | None


class TractionResult(Record, frozen=True, kw_only=True):
    """A traction wheel for barrel chain; no whole number of pitches need go round it."""

    tread_diameter_mm: float
    pitch_diameter_mm: float
    pitches_per_turn: float
    travel_per_turn_mm: float
    speed_variation: float


class PlainWheelResult(Record, frozen=True, kw_only=True):
    """One of the two, and what is known of such wheels."""

    pitch_mm: float
    sheave: SheaveResult | None
    traction: TractionResult | None
    openings: Openings
    statements: tuple[StatementRow, ...]


def plain_wheel(given: PlainWheelInput, reference: Reference, *, keep_steps: bool = False) -> Outcome[PlainWheelResult]:
    """Geometry of a wheel without teeth.

    Raises:
        Inconsistent: the chain runs on another kind of wheel.
        MoreNeeded: a traction wheel without its diameter or the diameter of what lies on it.
        OutOfRange: the wheel is smaller than a pitch, or an opening does not fit.
    """
    trace = Trace(keep_steps=keep_steps)
    chain = given.seat.chain
    expect_wheel(chain, "plain", "engineering")
    if "leaf" in (chain.row.family, given.seat.family):
        _check_leaf(given.seat)
        family: str | None = "leaf"
        pitch, sheave, traction = trace.figure(chain, "pitch"), _sheave(given, trace), None
    else:
        family = family_of(given.seat, reference)
        pitch, sheave = wheel_pitch(given.seat, reference, trace), None
        traction = _traction(given, pitch, seating_diameter(given.seat, family, reference, trace), trace)
    tread = sheave.tread_diameter_mm if sheave is not None else given.tread_diameter_mm or 0.0
    metal = Metal(ends_diameter_mm=tread, circle="tread", ends="the tread")
    result = PlainWheelResult(
        pitch_mm=pitch,
        sheave=sheave,
        traction=traction,
        openings=wheel_openings(given.openings, metal, reference.key_sizes, trace),
        statements=() if family is None else wheel_statements(family, reference, trace),
    )
    trace.caution("isolate_and_lock_off", "guard_the_drive", *(CAUTIONS_LIFTING if sheave else ()))
    return Outcome(result, trace)


def _check_leaf(seat: SeatInput) -> None:
    """Refuse what belongs to barrel chain, and the family where it is not the chain's."""
    tabulated = seat.chain.row.series != "own"
    barrel_fields = ("pitch_mm", "seat", "seating_diameter_mm", *(("family",) if tabulated else ()))
    for field in barrel_fields:
        if getattr(seat, field) is not None:
            message = "Leaf chain runs on a sheave with its plate edges: only the tread diameter is asked of it."
            raise Inconsistent(Issue(field, "over_determined", message))


def _sheave(given: PlainWheelInput, trace: Trace) -> SheaveResult:
    least = trace.take(lifting.sheave_diameter, pitch_mm=trace.figure(given.seat.chain, "pitch"))
    tread = given.tread_diameter_mm
    if tread is None:
        tread = least
        trace.assume("tread_diameter_mm", tread, "default", "the least diameter, five pitches")
    trace.check(Check("tread_diameter_least", tread, least, "length", "at_least", "practice of the trade"))
    chain = given.seat.chain
    width = flange = None
    if chain.find("width_over_pins") is None:
        message = "No width between flanges: the length over the pins of this chain is not known."
        trace.warn("width_not_computed", message, severity="info", field="chain")
    else:
        width = trace.take(lifting.sheave_width, pin_length_mm=trace.figure(chain, "width_over_pins"))
    for quantity in ("plate_height", "inner_plate_height"):
        if chain.find(quantity) is not None:
            height = trace.figure(chain, quantity)
            flange = trace.take(plain_wheels.flange_diameter, tread_diameter_mm=tread, plate_height_mm=height)
    return SheaveResult(
        tread_diameter_mm=tread,
        tread_diameter_min_mm=least,
        width_between_flanges_min_mm=width,
        flange_diameter_min_mm=flange,
    )


def _traction(given: PlainWheelInput, pitch_mm: float, seat_mm: float | None, trace: Trace) -> TractionResult:
    if given.tread_diameter_mm is None:
        message = "A traction wheel needs the diameter of its rim; no rule for it is in the reference data."
        raise MoreNeeded(Issue("tread_diameter_mm", "field_required", message))
    if seat_mm is None:
        message = "The tables do not hold what of this chain lies on the rim; send its diameter."
        raise MoreNeeded(Issue("seating_diameter_mm", "seat_needed", message))
    circle = trace.take(
        plain_wheels.traction_pitch_diameter,
        tread_diameter_mm=given.tread_diameter_mm,
        seating_diameter_mm=seat_mm,
    )
    if not circle > pitch_mm:
        message = f"A rim of {given.tread_diameter_mm:g} mm is too small for a pitch of {pitch_mm:g} mm."
        raise OutOfRange(
            Issue("tread_diameter_mm", "wheel_too_small", message, pitch_mm - seat_mm, given.tread_diameter_mm)
        )
    size = {"pitch_diameter_mm": circle, "pitch_mm": pitch_mm}
    pitches = trace.take(barrel_sprocket.equivalent_teeth, **size)
    return TractionResult(
        tread_diameter_mm=given.tread_diameter_mm,
        pitch_diameter_mm=circle,
        pitches_per_turn=pitches,
        travel_per_turn_mm=pitches * pitch_mm,
        speed_variation=trace.take(barrel_sprocket.speed_variation, **size),
    )
