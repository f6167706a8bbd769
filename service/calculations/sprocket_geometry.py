"""Geometry of a sprocket for roller chain: what is asked and checked around the wheel of one standard."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.calculations.measured_wheel import (
    SAME_SHARE,
    compare_measured,
    nearest_teeth,
    warn_of_worn_pitch,
    worn_from,
)
from service.calculations.sprocket_wheels import Blank, GapForm, ToleranceGrade, Wheel, asme_wheel, iso_wheel
from service.calculations.trace import Check, Outcome, Trace
from service.calculations.wheel_family import expect_wheel, hint_of, refuse_leaf_on_teeth, wheel_kind
from service.calculations.wheel_openings import NOTHING_CUT, Metal, Openings, OpeningsInput, wheel_openings
from service.core import sprocket_asme, sprocket_iso
from service.core.conversions import MM_PER_INCH
from service.core.errors import (
    Inconsistent,
    Issue,
    MoreNeeded,
    NoSolution,
    NotInReference,
    OutOfRange,
)
from service.core.sprocket import FEW_TEETH, FEWEST_TEETH_OF_FORM, MANY_TEETH, check_form, check_roller
from service.reference.records import Record

if TYPE_CHECKING:
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize

Standard = Literal["asme_b29_1", "iso_606"]

ROLLER_SHARE_MIN = 0.4
ROLLER_SHARE_MAX = 0.8
"""Standard rollers have 0.52 to 0.68 of the pitch; beyond these shares dimensions are probably exchanged (practice)."""

NARROW_SHARE = 0.7
"""A plate below this share of the tooth width is called narrow (practice)."""

GAUGE_PIN_PLUS_MM = 0.01
"""Plus tolerance of a gauge pin on the roller diameter; the minus tolerance is nil (ISO 606 clause 5.3.2, memory)."""

_LIGHT_SERIES = {"081", "083", "084", "085"}
_STANDARD_OF: dict[str, Standard] = {"ASME B29.1": "asme_b29_1", "ISO 606": "iso_606"}


class SprocketGeometryInput(Record, frozen=True, kw_only=True):
    """A wheel for one chain, and what was measured on one where it is to be compared."""

    chain: ChainSize
    teeth: int
    strand_count: int = 1
    standard: Standard | None = None
    gap_form: GapForm = "minimum"
    tolerance_grade: ToleranceGrade = "commercial"
    tip_diameter_mm: float | None = None
    plate_thickness_mm: float | None = None
    gauge_pin_diameter_mm: float | None = None
    measured_caliper_diameter_mm: float | None = None
    openings: OpeningsInput = NOTHING_CUT


class SprocketGeometryResult(Record, frozen=True, kw_only=True):
    """The wheel, and what it was made for."""

    standard: Standard
    pitch_mm: float
    roller_diameter_mm: float
    wheel: Wheel
    openings: Openings


def sprocket_geometry(
    given: SprocketGeometryInput, reference: Reference, *, keep_steps: bool = False
) -> Outcome[SprocketGeometryResult]:
    """Diameters, tolerances, widths, tooth form and contour of a wheel.

    Raises:
        Inconsistent: the chain runs on no such wheel, or dimensions cannot hold together.
        NotInReference: no tooth form of the chain is in the reference data, or a needed figure is missing.
        MoreNeeded: several strands without a transverse pitch, a keyway without its standard.
        OutOfRange: too few or too many teeth or strands; a tip, plate, gauge pin, bore, hole or cut that does not fit.
        NoSolution: the dimensions leave no tooth.
    """
    trace = Trace(keep_steps=keep_steps)
    _check_family(given.chain)
    check_form(given.teeth)
    standard = _standard(given, trace)
    blank = _blank(given, trace)
    _check_given(given, blank)
    try:
        check_roller(blank.pitch_mm, blank.roller_diameter_mm, "mm")
        if standard == "asme_b29_1":
            wheel = asme_wheel(blank, given.tolerance_grade, trace)
        else:
            wheel = iso_wheel(blank, given.gap_form, reference.standard_tolerances, trace)
    except (OutOfRange, Inconsistent, NoSolution) as refusal:
        raise type(refusal)(*(_restated(issue, given, blank) for issue in refusal.issues)) from refusal
    _check_tip(given, wheel, trace)
    _check_plate(given, wheel, trace)
    _check_measured(given, blank, standard, wheel, trace)
    metal = Metal(
        ends_diameter_mm=wheel.root_diameter_mm,
        hub_diameter_max_mm=wheel.hub_diameter_max_mm,
        gaps=given.teeth,
        gap=wheel.gap,
    )
    openings = wheel_openings(given.openings, metal, reference.key_sizes, trace)
    _warn(given, blank, reference, trace)
    trace.caution("isolate_and_lock_off", "guard_the_drive")
    return Outcome(
        SprocketGeometryResult(
            standard=standard,
            pitch_mm=blank.pitch_mm,
            roller_diameter_mm=blank.roller_diameter_mm,
            wheel=wheel,
            openings=openings,
        ),
        trace,
    )


def _check_family(chain: ChainSize) -> None:
    if wheel_kind(chain) == "roller":
        return
    refuse_leaf_on_teeth(chain)
    name, family = chain.designation, chain.row.family
    if family == "silent":
        message = f"{name} is silent chain, whose links are toothed themselves; the roller-chain form does not fit it."
        raise Inconsistent(Issue("chain", "form_not_applicable", message, None, name, hint_of(chain)))
    if family == "round_link":
        expect_wheel(chain, "roller")
    words = family.replace("_", " ")
    message = f"No standard tooth form for {words} chain such as {name} is in the reference data."
    needed = f"A contour needs the form of the chain's own standard or maker. Diameters: {hint_of(chain)}"
    raise NotInReference(Issue("chain", "form_not_published", message, None, name, needed))


def _standard(given: SprocketGeometryInput, trace: Trace) -> Standard:
    own = given.chain.row.series == "own"
    if given.standard is not None:
        if not own and given.standard != _STANDARD_OF.get(given.chain.row.standard):
            note = (
                "figures of one standard in relations of another: ASME means nominal inner widths, ISO 606 least ones"
            )
            trace.assume("chain", given.chain.designation, "given", note)
        return given.standard
    standard = _STANDARD_OF.get(given.chain.row.standard, "iso_606")
    note = "a chain of your own figures has no standard" if own else f"the standard of chain {given.chain.designation}"
    trace.assume("standard", standard, "default" if own else "table", note)
    return standard


def _blank(given: SprocketGeometryInput, trace: Trace) -> Blank:
    chain = given.chain

    def known(quantity: str) -> float | None:
        return None if chain.find(quantity) is None else trace.figure(chain, quantity)

    inner_width = known("inner_width")
    if inner_width is None:
        trace.warn(
            "width_not_computed",
            "No tooth width: the width between the inner plates was not given.",
            severity="info",
            field="own_chain.inner_width_mm",
        )
    return Blank(
        pitch_mm=trace.figure(chain, "pitch"),
        roller_diameter_mm=trace.figure(chain, "roller_diameter"),
        inner_width_mm=inner_width,
        transverse_pitch_mm=known("transverse_pitch") if given.strand_count > 1 else None,
        inner_plate_height_mm=known("inner_plate_height"),
        light_series=chain.designation in _LIGHT_SERIES,
        teeth=given.teeth,
        strand_count=given.strand_count,
        tip_diameter_mm=given.tip_diameter_mm,
    )


def _check_given(given: SprocketGeometryInput, blank: Blank) -> None:
    if given.strand_count > 1:
        most = given.chain.row.max_strand_count
        if given.chain.row.series != "own" and given.strand_count > most:
            message = f"Chain {given.chain.designation} is tabulated in at most {most} strands."
            raise OutOfRange(Issue("strand_count", "strands_out_of_range", message, most, given.strand_count))
        if blank.transverse_pitch_mm is None:
            message = f"{given.strand_count} strands need the transverse pitch, the distance between the strands."
            raise MoreNeeded(Issue("own_chain.transverse_pitch_mm", "transverse_pitch_missing", message))
        if given.plate_thickness_mm is not None:
            message = "One plate carries one row of teeth; several strands need a plate each at the transverse pitch."
            hint = f"{given.strand_count} plates {blank.transverse_pitch_mm:g} mm apart, with spacers or on a hub."
            raise Inconsistent(
                Issue("plate_thickness_mm", "needs_hub_build", message, None, given.plate_thickness_mm, hint)
            )
    pin = given.gauge_pin_diameter_mm
    roller = blank.roller_diameter_mm
    if pin is not None and not roller * (1 - 1e-9) <= pin <= roller + GAUGE_PIN_PLUS_MM:
        message = f"A gauge pin of {pin:g} mm does not suit; it must have {roller:g} mm, by no more than 0.01 mm above."
        raise OutOfRange(Issue("gauge_pin_diameter_mm", "gauge_pin_unsuitable", message, roller, pin))


def _restated(issue: Issue, given: SprocketGeometryInput, blank: Blank) -> Issue:
    """An issue of a relation, in the fields of the request and in millimetres."""
    to_mm = MM_PER_INCH if issue.field.endswith("_in") else 1.0
    name = issue.field.removesuffix("_in").removesuffix("_mm")
    if name in ("teeth", "strand_count"):
        return issue
    limit = None if issue.limit is None else issue.limit * to_mm
    own = given.chain.row.series == "own"
    if issue.code in ("tooth_pointed", "tooth_too_short"):
        end = "the flanks meet in a point" if issue.code == "tooth_pointed" else "the flank begins its outer curve"
        message = f"The tip diameter does not suit: at {limit:.6g} mm {end}."
        side = "below" if issue.code == "tooth_pointed" else "above"
        hint = None if limit is None else f"Send a tip_diameter {side} {limit:.6g} mm."
        return issue._replace(
            field="tip_diameter_mm", message=message, limit=limit, received=given.tip_diameter_mm, hint=hint
        )
    message = issue.message
    if issue.code == "geometry_impossible":
        message = (
            f"A roller of {blank.roller_diameter_mm:g} mm at a pitch of {blank.pitch_mm:g} mm leaves no tooth; "
            "are they exchanged?"
        )
    field = f"own_chain.{'roller_diameter' if name == 'flank_radius' else name.replace('face', 'inner')}_mm"
    return issue._replace(field=field if own else "chain", message=message, limit=limit, received=None)


def _check_tip(given: SprocketGeometryInput, wheel: Wheel, trace: Trace) -> None:
    """A tip that was asked for, against the range of ISO 606; ASME B29.1 states none."""
    if given.tip_diameter_mm is not None and wheel.tip_diameter_min_mm is not None:
        trace.check(Check("tip_diameter_least", wheel.tip_diameter_mm, wheel.tip_diameter_min_mm, "length", "at_least"))
        trace.check(Check("tip_diameter_greatest", wheel.tip_diameter_mm, wheel.tip_diameter_max_mm, "length"))


def _check_plate(given: SprocketGeometryInput, wheel: Wheel, trace: Trace) -> None:
    plate = given.plate_thickness_mm
    if plate is None or wheel.width is None:
        return
    most = wheel.width.tooth_width_mm
    if plate > most:
        message = f"A plate of {plate:g} mm does not enter the chain; the tooth may be at most {most:.4g} mm wide."
        hint = "Take a thinner plate or machine the teeth down to this width."
        raise OutOfRange(Issue("plate_thickness_mm", "too_thick_for_chain", message, most, plate, hint))
    trace.check(Check("plate_thickness", plate, most, "length"))
    if plate < NARROW_SHARE * most:
        trace.warn(
            "face_narrow",
            f"The plate has {plate:g} mm of the {most:.4g} mm that the chain admits; narrow teeth wear sooner.",
            field="plate_thickness_mm",
        )


def _check_measured(given: SprocketGeometryInput, blank: Blank, standard: Standard, wheel: Wheel, trace: Trace) -> None:
    if given.teeth % 2:
        trace.warn(
            "odd_teeth_measured",
            f"{given.teeth} teeth are an odd number: caliper diameter and size over pins are measured over the longest "
            "chord, not across the centre.",
            severity="info",
            field="teeth",
        )
    measured = given.measured_caliper_diameter_mm
    if measured is not None:
        compare_measured(
            trace,
            field="measured_caliper_diameter_mm",
            measured_mm=measured,
            computed_mm=wheel.caliper_diameter_mm,
            minus_tolerance_mm=wheel.minus_tolerance_mm,
            teeth=given.teeth,
            nearest=_nearest_teeth(blank, standard, measured),
            below="The gaps are worn, or cut deeper than the standard says.",
        )


def _nearest_teeth(blank: Blank, standard: Standard, measured_mm: float) -> tuple[int, float]:
    """Number of teeth of the same chain whose caliper diameter is nearest to a measured one, and that diameter."""

    def caliper(teeth: int) -> float:
        if standard == "asme_b29_1":
            inch = sprocket_asme.caliper_diameter(
                pitch_in=blank.pitch_mm / MM_PER_INCH,
                roller_diameter_in=blank.roller_diameter_mm / MM_PER_INCH,
                teeth=teeth,
            )
            return inch * MM_PER_INCH
        return sprocket_iso.caliper_diameter(
            pitch_mm=blank.pitch_mm, roller_diameter_mm=blank.roller_diameter_mm, teeth=teeth
        )

    # One tooth more adds about a third of the pitch to the diameter.
    guess = round((measured_mm + blank.roller_diameter_mm) * 3.1416 / blank.pitch_mm)
    return nearest_teeth(caliper, measured_mm, guess, FEWEST_TEETH_OF_FORM)


def _warn(given: SprocketGeometryInput, blank: Blank, reference: Reference, trace: Trace) -> None:
    if given.teeth < FEW_TEETH:
        message = f"{given.teeth} teeth are below {FEW_TEETH}, where the range of the standard begins."
        trace.warn("teeth_few", message, field="teeth")
    if given.teeth > MANY_TEETH:
        message = f"{given.teeth} teeth are above {MANY_TEETH}, where the range of the standard ends."
        trace.warn("teeth_many", message, field="teeth")
    if given.chain.row.series == "own":
        _warn_of_own_figures(blank, reference, trace)


def _warn_of_own_figures(blank: Blank, reference: Reference, trace: Trace) -> None:
    share = blank.roller_diameter_mm / blank.pitch_mm
    if not ROLLER_SHARE_MIN <= share <= ROLLER_SHARE_MAX:
        message = f"The roller has {share:.2f} of the pitch; standard rollers have 0.52 to 0.68. Are they exchanged?"
        trace.warn("geometry_suspect", message, field="own_chain.roller_diameter_mm")
    rollers = [size for size in reference.chains.sizes if size.row.family == "roller"]
    pitches = sorted({size.figure("pitch").value for size in rollers})
    warn_of_worn_pitch(trace, pitches, blank.pitch_mm, "own_chain.pitch_mm")
    near = [s for s in rollers if abs(s.figure("pitch").value - blank.pitch_mm) <= SAME_SHARE * blank.pitch_mm]
    diameters = sorted({size.figure("roller_diameter").value for size in near})
    standard = worn_from(diameters, blank.roller_diameter_mm, longer=False)
    if standard is not None:
        message = (
            f"A roller of {blank.roller_diameter_mm:g} mm looks like a worn {standard:g} mm; wheels are made to the "
            "nominal."
        )
        trace.warn("worn_dimension", message, field="own_chain.roller_diameter_mm")
