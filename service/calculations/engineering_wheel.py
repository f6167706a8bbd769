"""A wheel for engineering-class, conveyor, agricultural, detachable or double-pitch chain: diameters, no tooth form."""

from __future__ import annotations

from math import asin, pi
from typing import TYPE_CHECKING, Literal

from service.calculations.chain_seat import SEATS, SeatInput, family_of, seating_diameter, wheel_pitch
from service.calculations.measured_wheel import (
    MeasuredWheel,
    compare_measured,
    nearest_teeth,
    warn_of_worn_pitch,
    worn_from,
)
from service.calculations.trace import Outcome, Trace
from service.calculations.wheel_family import expect_wheel, wheel_statements
from service.calculations.wheel_openings import NOTHING_CUT, Metal, Openings, OpeningsInput, openings_within
from service.core import barrel_sprocket, pair_pitch, pitch_circles
from service.core.errors import Inconsistent, Issue, MoreNeeded, NotInReference, OutOfRange
from service.core.sprocket import MOST_TEETH, across_factor
from service.reference.records import Record

if TYPE_CHECKING:
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize
    from service.reference.families import StatementRow

ToothSpacing = Literal["every_pitch", "half_pitch", "two_pitches"]

PITCHES_TO_A_TOOTH: dict[ToothSpacing, float] = {"every_pitch": 1.0, "half_pitch": 0.5, "two_pitches": 2.0}

FEWEST_PITCHES = 3
"""Fewer pitches round a wheel make no polygon (plane geometry)."""

FEW_PITCHES = 6
"""Least pitches round the wheel of a slow conveyor (practice of the trade, no publication read)."""

SEAT_SHARE_MAX = 0.8
"""Above this share of the pitch a barrel leaves no tooth worth the name (practice)."""

CLEARANCE_SHARE_MAX = 0.2
"""Above this share of the seat a bottom clearance lets the chain lie beside its pitch circle (ours)."""

ALTERNATE_LINKS = {"combination", "bushed_steel", "conveyor_iso", "conveyor_roller", "double_pitch", "agricultural"}
"""Families of alternately inner and outer, or block and bar links (construction of the families, practice)."""


_SEAT_FOR_WALLS = Issue(
    "seating_diameter_mm",
    "field_required",
    "The walls of bore and holes are measured from the bottoms of the gaps: send the diameter of what sits in them.",
)


class EngineeringWheelInput(Record, frozen=True, kw_only=True):
    """A toothed wheel; ``second_pitch_mm`` is that of every second link where it differs."""

    seat: SeatInput
    teeth: int
    tooth_spacing: ToothSpacing | None = None
    second_pitch_mm: float | None = None
    bottom_clearance_mm: float | None = None
    side_clearance_mm: float | None = None
    contour_required: bool = False
    blank_diameter_mm: float | None = None
    measured_caliper_diameter_mm: float | None = None
    openings: OpeningsInput = NOTHING_CUT


class EngineeringWheelResult(Record, frozen=True, kw_only=True):
    """The wheel; None is a dimension that the figures at hand do not give.

    ``joint_angles_rad`` are the places of the joints on the pitch circle, anticlockwise from the first at the top.
    """

    family: str | None
    pitch_mm: float
    second_pitch_mm: float | None
    tooth_spacing: ToothSpacing
    pitches_per_turn: float
    pitch_diameter_mm: float
    seating_diameter_mm: float | None
    bottom_diameter_mm: float | None
    caliper_diameter_mm: float | None
    hub_diameter_limit_mm: float | None
    tooth_width_mm: float | None
    speed_variation: float
    wheel_group: str | None
    same_wheel: tuple[str, ...]
    blank_diameter_mm: float | None
    measured: MeasuredWheel | None
    openings: Openings | None
    joint_angles_rad: tuple[float, ...]
    statements: tuple[StatementRow, ...]


def engineering_wheel(
    given: EngineeringWheelInput, reference: Reference, *, keep_steps: bool = False
) -> Outcome[EngineeringWheelResult]:
    """Diameters and width of a wheel without a published tooth form.

    Raises:
        Inconsistent: the chain runs on another kind of wheel, or two inputs exclude each other.
        MoreNeeded: the pitch or the part that sits in the gap must be named, or a size that something is compared with.
        OutOfRange: too few or too many teeth, a clearance that leaves nothing, a blank or an opening that does not fit.
        NotInReference: a contour was asked for, or a needed figure is missing.
    """
    trace = Trace(keep_steps=keep_steps)
    chain = given.seat.chain
    expect_wheel(chain, "engineering")
    family = family_of(given.seat, reference)
    _check_form(given, trace)
    pitch = wheel_pitch(given.seat, reference, trace)
    spacing = _spacing(given, family, trace)
    pitches = given.teeth * PITCHES_TO_A_TOOTH[spacing]
    _check_teeth(given.teeth, pitches, trace)
    circle = _pitch_diameter(given, pitch, pitches, trace)
    longer = {"pitch_diameter_mm": circle, "pitch_mm": max(pitch, given.second_pitch_mm or 0.0)}
    seat = seating_diameter(given.seat, family, reference, trace)
    if seat is not None and seat > SEAT_SHARE_MAX * pitch:
        message = f"The seat has {seat / pitch:.2f} of the pitch; are the two exchanged?"
        trace.warn("geometry_suspect", message, field="seating_diameter_mm")
    _warn_of_worn(given, pitch, seat, reference, trace)
    bottom, caliper = _bottom(given, spacing, circle, seat, trace)
    _check_blank(given, bottom)
    hub = _hub(chain, longer, trace)
    metal = None if bottom is None else Metal(ends_diameter_mm=bottom, hub_diameter_max_mm=hub, gaps=given.teeth)
    _advise(given.teeth, spacing, family, trace)
    groups = reference.engineering.wheel_groups.where(designation=chain.designation)
    for row in groups:
        trace.row(row, f"wheels that {chain.designation} shares")
    result = EngineeringWheelResult(
        family=family,
        pitch_mm=pitch,
        second_pitch_mm=given.second_pitch_mm,
        tooth_spacing=spacing,
        pitches_per_turn=pitches,
        pitch_diameter_mm=circle,
        seating_diameter_mm=seat,
        bottom_diameter_mm=bottom,
        caliper_diameter_mm=caliper,
        hub_diameter_limit_mm=hub,
        tooth_width_mm=_width(given, family, trace),
        speed_variation=trace.take(barrel_sprocket.speed_variation, **longer),
        wheel_group=groups[0].wheel_group if groups else None,
        same_wheel=tuple(row.designation for row in reference.engineering.sharing_wheel(chain.designation)),
        blank_diameter_mm=given.blank_diameter_mm,
        measured=_measured(given, pitches, pitch, caliper, trace),
        openings=openings_within(given.openings, metal, _SEAT_FOR_WALLS, reference.key_sizes, trace),
        joint_angles_rad=_joint_angles(given, spacing, pitch, circle),
        statements=() if family is None else wheel_statements(family, reference, trace),
    )
    trace.caution("isolate_and_lock_off", "guard_the_drive")
    return Outcome(result, trace)


def _check_form(given: EngineeringWheelInput, trace: Trace) -> None:
    row = given.seat.chain.row
    where = "the chain's own standard" if row.standard.startswith("none") else row.standard
    message = f"No tooth form for {row.designation} is in the reference data: diameters only, no contour."
    hint = (
        f"Needed: the tooth form table of {where}, with seat radius, pitch-line clearance, pressure angle and topping, "
        "or the maker's drawing."
    )
    if given.contour_required:
        raise NotInReference(Issue("chain", "form_not_published", message, None, row.designation, hint))
    trace.warn("form_not_published", f"{message} {hint}", severity="info", field="chain")


def _spacing(given: EngineeringWheelInput, family: str | None, trace: Trace) -> ToothSpacing:
    paired = given.second_pitch_mm is not None
    if given.tooth_spacing is not None:
        if paired and given.tooth_spacing != "two_pitches":
            message = "Two pitches that differ lie on a wheel only with one tooth for each pair of links."
            raise Inconsistent(Issue("tooth_spacing", "over_determined", message, None, given.tooth_spacing))
        return given.tooth_spacing
    spacing: ToothSpacing = "two_pitches" if paired or family == "rivetless_forged" else "every_pitch"
    trace.assume("tooth_spacing", spacing, "default", "teeth are counted so unless tooth_spacing says otherwise")
    return spacing


def _check_teeth(teeth: int, pitches: float, trace: Trace) -> None:
    if pitches < FEWEST_PITCHES:
        message = (
            f"{teeth} teeth take in {pitches:g} pitches a turn; {FEWEST_PITCHES} is the least that closes a wheel."
        )
        raise OutOfRange(Issue("teeth", "teeth_below_minimum", message, FEWEST_PITCHES, teeth))
    if teeth > MOST_TEETH:
        message = f"{teeth} teeth are more than the {MOST_TEETH} that are computed here."
        raise OutOfRange(Issue("teeth", "teeth_above_limit", message, MOST_TEETH, teeth))
    if pitches < FEW_PITCHES:
        message = (
            f"{pitches:g} pitches round the wheel are few: {FEW_PITCHES} is the least of slow conveyors in practice."
        )
        trace.warn("teeth_few", message, field="teeth")


def _pitch_diameter(given: EngineeringWheelInput, pitch_mm: float, pitches: float, trace: Trace) -> float:
    if given.second_pitch_mm is None:
        return 2 * trace.take(pitch_circles.pitch_radius, teeth=pitches, pitch_mm=pitch_mm)
    return trace.take(
        pair_pitch.pitch_diameter, first_pitch_mm=pitch_mm, second_pitch_mm=given.second_pitch_mm, teeth=given.teeth
    )


def _bottom(
    given: EngineeringWheelInput, spacing: ToothSpacing, circle_mm: float, seat_mm: float | None, trace: Trace
) -> tuple[float | None, float | None]:
    """Bottom diameter, and the caliper dimension where each tooth has its gap."""
    if seat_mm is None:
        return None, None
    clearance = given.bottom_clearance_mm
    if clearance is None:
        clearance = 0.0
        note = "no clearance of these chains is in the reference data; cast chain needs more than steel chain"
        trace.assume("bottom_clearance_mm", 0.0, "default", note)
        trace.warn("clearance_not_entered", f"Bottom clearance is taken as nil: {note}.", field="bottom_clearance_mm")
    size = {"pitch_diameter_mm": circle_mm, "seating_diameter_mm": seat_mm, "bottom_clearance_mm": clearance}
    bottom = trace.take(barrel_sprocket.bottom_diameter, **size)
    if spacing == "two_pitches":
        return bottom, None
    if given.teeth % 2:
        trace.warn(
            "odd_teeth_measured",
            f"{given.teeth} teeth are an odd number: the caliper dimension runs over the longest chord of two gaps.",
            severity="info",
            field="teeth",
        )
    return bottom, trace.take(barrel_sprocket.caliper_diameter, **size, teeth=given.teeth)


def _warn_of_worn(
    given: EngineeringWheelInput, pitch_mm: float, seat_mm: float | None, reference: Reference, trace: Trace
) -> None:
    """Tell of a pitch or a seat that looks like one of worn chain, and of a clearance that can hardly be meant."""
    chain, sent = given.seat.chain, given.seat.seating_diameter_mm
    if chain.row.series == "own" and given.seat.family is not None:
        groups = reference.families.get(given.seat.family).size_groups
        sizes = (size for size in reference.chains.sizes if any(group.holds(size.row) for group in groups))
        pitches = {size.figure("pitch").value for size in sizes if size.find("pitch") is not None}
        warn_of_worn_pitch(trace, pitches, pitch_mm, "own_chain.pitch_mm")
    found = (chain.find(f"{seat}_diameter") for seat in SEATS)
    standard = None if sent is None else worn_from([f.value for f in found if f is not None], sent, longer=False)
    if standard is not None:
        message = f"A seat of {sent:g} mm looks like a worn {standard:g} mm; wheels are made to the nominal."
        trace.warn("worn_dimension", message, field="seating_diameter_mm")
    clearance = given.bottom_clearance_mm
    if clearance is not None and seat_mm is not None and clearance > CLEARANCE_SHARE_MAX * seat_mm:
        message = f"A bottom clearance of {clearance:g} mm is {clearance / seat_mm:.2f} of the seat: is the unit right?"
        trace.warn("geometry_suspect", message, field="bottom_clearance_mm")


def _check_blank(given: EngineeringWheelInput, bottom_mm: float | None) -> None:
    blank = given.blank_diameter_mm
    if blank is not None and bottom_mm is not None and not blank > bottom_mm:
        message = f"A blank of {blank:g} mm leaves no tooth: the bottoms of the gaps lie at {bottom_mm:.6g} mm."
        raise OutOfRange(Issue("blank_diameter_mm", "tooth_too_short", message, bottom_mm, blank))


def _joint_angles(
    given: EngineeringWheelInput, spacing: ToothSpacing, pitch_mm: float, circle_mm: float
) -> tuple[float, ...]:
    """Places of the joints on the pitch circle: one for each gap, or two where a tooth takes a pair of links."""
    step = 2 * pi / given.teeth
    firsts = [step * gap for gap in range(given.teeth)]
    if spacing != "two_pitches":
        return tuple(firsts)
    second = 2 * asin(pitch_mm / circle_mm)
    return tuple(angle for first in firsts for angle in (first, first + second))


def _measured(
    given: EngineeringWheelInput, pitches: float, pitch_mm: float, caliper_mm: float | None, trace: Trace
) -> MeasuredWheel | None:
    """A measured caliper diameter against the computed one."""
    measured = given.measured_caliper_diameter_mm
    if measured is None:
        return None
    if caliper_mm is None:
        message = "No caliper diameter of this wheel is computed to compare with."
        hint = "Send seating_diameter; where a tooth takes two links there is none."
        raise MoreNeeded(Issue("seating_diameter_mm", "field_required", message, None, None, hint))
    seat_mm = 2 * pitch_circles.pitch_radius(teeth=pitches, pitch_mm=pitch_mm) * across_factor(given.teeth) - caliper_mm
    share = pitches / given.teeth

    def caliper(teeth: int) -> float:
        circle = 2 * pitch_circles.pitch_radius(teeth=teeth * share, pitch_mm=pitch_mm)
        return circle * across_factor(teeth) - seat_mm

    guess = given.teeth + round((measured - caliper_mm) * pi / (pitch_mm * share))
    return compare_measured(
        trace,
        field="measured_caliper_diameter_mm",
        measured_mm=measured,
        computed_mm=caliper_mm,
        minus_tolerance_mm=None,
        teeth=given.teeth,
        nearest=nearest_teeth(caliper, measured, guess, int(FEWEST_PITCHES / share)),
        below="Half of it is bottom clearance or wear at either gap.",
    )


def _hub(chain: ChainSize, circle: dict[str, float], trace: Trace) -> float | None:
    for quantity in ("plate_height", "inner_plate_height"):
        if chain.find(quantity) is not None:
            height = trace.figure(chain, quantity)
            try:
                return trace.take(barrel_sprocket.hub_diameter_max, **circle, plate_height_mm=height)
            except Inconsistent as refusal:
                trace.warn("geometry_suspect", refusal.issues[0].message, field="teeth")
    return None


def _width(given: EngineeringWheelInput, family: str | None, trace: Trace) -> float | None:
    chain = given.seat.chain
    room = next((name for name in ("inner_width", "barrel_length") if chain.find(name) is not None), None)
    if room is None:
        message = "No tooth width: the tables hold no clear width of this chain."
        trace.warn("width_not_computed", message, severity="info", field="chain")
        return None
    if given.side_clearance_mm is not None:
        width = trace.figure(chain, room)
        return trace.take(barrel_sprocket.tooth_width, inner_width_mm=width, side_clearance_mm=given.side_clearance_mm)
    if family == "conveyor_iso":
        width = trace.figure(chain, room)
        if width > barrel_sprocket.LEAST_INNER_WIDTH_MM:
            return trace.take(barrel_sprocket.tooth_width_conveyor, inner_width_mm=width)
    message = "No tooth width: no side clearance of such wheels is in the reference data; send side_clearance."
    trace.warn("width_not_computed", message, severity="info", field="side_clearance_mm")
    return None


def _advise(teeth: int, spacing: ToothSpacing, family: str | None, trace: Trace) -> None:
    if spacing == "half_pitch" and teeth % 2 == 0:
        message = (
            f"{teeth} teeth at half the pitch: the chain always uses the same {teeth // 2}. An odd number lets each "
            "tooth work every second turn."
        )
        trace.warn("no_hunting_tooth", message, severity="info", field="teeth")
    if spacing == "every_pitch" and teeth % 2 == 0 and family in ALTERNATE_LINKS:
        message = (
            f"{teeth} teeth, an even number: each tooth meets links of one kind only. An odd number spreads the wear."
        )
        trace.warn("no_hunting_tooth", message, severity="info", field="teeth")
