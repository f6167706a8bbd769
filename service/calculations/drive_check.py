"""Checking a drive that exists or is drawn, at one operating point or at an old and a new one."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from service.calculations.centres import overlap_issues, touching_issue
from service.calculations.drive_duty import DriveDuty, SettledDuty, settle_duty
from service.calculations.drive_iso import IsoComparison, IsoMethod
from service.calculations.drive_option import DriveOption, evaluate
from service.calculations.drive_relations import DriveLoad, DriveRelations, Wheels
from service.calculations.drive_running import Running, running_of
from service.calculations.drive_warnings import POWER_SUSPECT_KW, warn_of, warn_of_running
from service.calculations.refusals import Refusals
from service.calculations.trace import Check, Outcome, Trace
from service.core.chain_length import centre_distance_exact, touching_centre_distance
from service.core.conversions import MM_PER_INCH
from service.core.errors import Inconsistent, Issue, MoreNeeded, OutOfRange
from service.core.roller_rating import SPEED_MIN_RPM, TEETH_MAX, TEETH_MIN, check_rated_teeth
from service.core.sprocket_asme import outside_diameter

if TYPE_CHECKING:
    from service.calculations.drive_tables import DriveTables, Edition, RatedChain
    from service.reference.chains import ChainSize

TEETH_GEOMETRIC_MIN = 5
"""Fewer teeth make no wheel that a chain bends round; a rule of this project."""

RATIO_AGREEMENT = 0.02
"""Speeds from a nameplate and the ratio of the teeth agree within this share."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DriveCheckInput:
    """A drive and the duty that it has, or an old duty and a new one."""

    chain: ChainSize
    strand_count: int
    driver_teeth: int
    driven_teeth: int
    duty: DriveDuty
    changed_duty: DriveDuty | None = None
    edition: Edition = "older"
    centre_distance_mm: float | None = None
    pitch_count: int | None = None
    compare_iso_10823: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OperatingPoint:
    """A drive under one duty, and how it runs there."""

    load: DriveLoad
    option: DriveOption
    running: Running
    iso: IsoComparison | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DriveCheckResult:
    """The drive at its operating point, and at the changed one where one was sent."""

    point: OperatingPoint
    changed: OperatingPoint | None


def check_drive(given: DriveCheckInput, tables: DriveTables, *, keep_steps: bool = False) -> Outcome[DriveCheckResult]:
    """Rate a given drive.

    Raises:
        NotInReference: the chain has no rating.
        OutOfRange: teeth, speed or strands lie outside the printed ratings, or the wheels overlap.
        Inconsistent: teeth contradict the speeds.
        MoreNeeded: nothing says how long the chain is, or something of the duty is missing.
    """
    trace = Trace(keep_steps=keep_steps)
    chain = tables.rated_chain(given.chain, given.edition, "chain")
    if chain.designation != given.chain.designation:
        trace.assume("chain", chain.designation, "table", f"rated as the same size {chain.designation}")
    case = _settle(given, chain, tables, trace)
    point = _at(case, case.duty, "")
    changed = None if case.changed_duty is None else _at(case, case.changed_duty, "changed_")
    if given.strand_count > 1:
        note = f"{given.strand_count} strands carry less than {given.strand_count} times one"
        trace.assume("strand_factor", point.option.strand_factor, "table", note)
    trace.caution("guard_the_drive", "isolate_and_lock_off", "local_codes")
    return Outcome(DriveCheckResult(point=point, changed=changed), trace)


@dataclass(frozen=True, slots=True)
class _Case:
    """What both operating points share, with nothing left open."""

    given: DriveCheckInput
    chain: RatedChain
    wheels: Wheels
    centres_mm: float
    duty: SettledDuty
    changed_duty: SettledDuty | None
    tables: DriveTables
    trace: Trace


def _settle(given: DriveCheckInput, chain: RatedChain, tables: DriveTables, trace: Trace) -> _Case:
    """Everything that was sent, checked; all faults are told at once."""
    wheels = Wheels.of(given.driver_teeth, given.driven_teeth)
    refusals = Refusals()
    refusals.attempt(_check_teeth, given, wheels)
    refusals.attempt(_check_strands, given, chain)
    centres_mm = refusals.attempt(_centres, given, chain)
    refusals.attempt(_check_speed, chain, wheels, given.duty, given.edition, tables)
    duty = refusals.attempt(_settled, given, given.duty, tables, trace)
    changed = None
    if given.changed_duty is not None:
        refusals.attempt(_check_speed, chain, wheels, given.changed_duty, given.edition, tables)
        changed = refusals.attempt(_settled, given, given.changed_duty, tables, trace)
    refusals.tell()
    changed_duty = None if changed is None else changed.value
    return _Case(given, chain, wheels, centres_mm.value, duty.value, changed_duty, tables, trace)


def _at(case: _Case, duty: SettledDuty, prefix: str) -> OperatingPoint:
    """The drive under a duty, with its checks and warnings."""
    given = case.given
    load = DriveLoad(
        edition=given.edition,
        power_kw=duty.power_kw,
        service_factor=duty.service_factor,
        driver_speed_rpm=duty.driver_speed_rpm,
        driven_speed_rpm=None,
        centre_distance_mm=case.centres_mm,
        offset_link_allowed=given.pitch_count is not None and given.pitch_count % 2 == 1,
    )
    relations = DriveRelations(load, case.tables, case.trace)
    option = evaluate(case.chain, given.strand_count, case.wheels, relations)
    running = running_of(option, relations)
    _check(option, case.trace, prefix)
    warn_of(option, case.tables, case.trace)
    warn_of_running(running, case.trace)
    _question_power(option, duty, case.trace)
    iso = IsoMethod(duty, case.tables, case.trace).compare(option) if given.compare_iso_10823 else None
    return OperatingPoint(load=load, option=option, running=running, iso=iso)


def _check_teeth(given: DriveCheckInput, wheels: Wheels) -> None:
    """Refuse wheels that are none, and a small wheel outside the printed ratings."""
    issues = [
        Issue(
            name,
            "teeth_below_minimum",
            f"{teeth} teeth make no usable wheel; the printed ratings begin at {TEETH_MIN}.",
            TEETH_MIN,
            teeth,
        )
        for name, teeth in (("driver_teeth", given.driver_teeth), ("driven_teeth", given.driven_teeth))
        if teeth < TEETH_GEOMETRIC_MIN
    ]
    if issues:
        raise OutOfRange(*issues)
    try:
        check_rated_teeth(wheels.small)
    except OutOfRange as refusal:
        small = "driver_teeth" if wheels.driver == wheels.small else "driven_teeth"
        raise OutOfRange(*(replace(issue, field=small) for issue in refusal.issues)) from refusal


def _check_strands(given: DriveCheckInput, chain: RatedChain) -> None:
    if 1 <= given.strand_count <= chain.max_strand_count:
        return
    most = chain.max_strand_count
    served = f"1 to {most} strands" if most > 1 else "a single strand only"
    message = f"Chain {chain.designation} is tabulated in {served}, not in {given.strand_count}."
    raise OutOfRange(Issue("strand_count", "strands_out_of_range", message, most, given.strand_count))


def _check_speed(chain: RatedChain, wheels: Wheels, duty: DriveDuty, edition: Edition, tables: DriveTables) -> None:
    """Refuse a speed beyond the printed ratings even where the teeth are at fault too, so that both are seen."""
    small_rpm = duty.driver_speed_rpm * wheels.driver / wheels.small
    field = f"{duty.at}.driver_speed_rpm"
    if small_rpm < SPEED_MIN_RPM:
        message = f"{small_rpm:.4g} r/min of the small wheel is slower than any rating."
        hint = "Compare the pull with the breaking load instead."
        raise OutOfRange(Issue(field, "speed_below_table", message, SPEED_MIN_RPM, small_rpm, hint))
    teeth = min(max(wheels.small, TEETH_MIN), TEETH_MAX)
    end = tables.unloaded_end_rpm(chain, teeth, edition)
    if small_rpm > end:
        message = (
            f"{small_rpm:.6g} r/min on the small wheel is beyond the printed ratings of chain {chain.designation}, "
            f"which end at {end:.0f} r/min even without load."
        )
        hint = "Take a smaller pitch in more strands."
        raise OutOfRange(Issue(field, "speed_beyond_table", message, end, small_rpm, hint))


def _settled(given: DriveCheckInput, duty: DriveDuty, tables: DriveTables, trace: Trace) -> SettledDuty:
    """The duty with the ratio of the teeth, after comparing it with the speeds that were sent.

    Raises:
        Inconsistent: the teeth contradict speeds or ratio.
    """
    ratio = given.driven_teeth / given.driver_teeth
    asked = duty.ratio
    if duty.driven_speed_rpm is not None:
        asked = duty.driver_speed_rpm / duty.driven_speed_rpm
    if asked is not None and abs(asked / ratio - 1.0) > RATIO_AGREEMENT:
        raise Inconsistent(_contradiction(given, duty, asked, ratio))
    return settle_duty(replace(duty, ratio=ratio, driven_speed_rpm=None), tables, trace)


def _contradiction(given: DriveCheckInput, duty: DriveDuty, asked: float, ratio: float) -> Issue:
    if abs(asked * ratio - 1.0) <= RATIO_AGREEMENT:
        return Issue(
            "driver_teeth",
            "driver_driven_swapped_suspect",
            f"The speeds ask for a ratio of {asked:.3g}, {given.driver_teeth} and {given.driven_teeth} teeth give "
            f"{ratio:.3g}: driver and driven wheel seem exchanged.",
            None,
            given.driver_teeth,
            "Exchange the tooth counts or the speeds.",
        )
    by_speeds = duty.driven_speed_rpm is not None
    sent, field = ("speeds", "driven_speed_rpm") if by_speeds else ("ratio", "ratio")
    return Issue(
        f"{duty.at}.{field}",
        "ratio_inconsistent" if by_speeds else "over_determined",
        f"The {sent} sent ask for a ratio of {asked:.4g}, but {given.driver_teeth} and {given.driven_teeth} teeth "
        f"give {ratio:.4g}.",
        ratio,
        asked,
        f"Leave the {'driven speed' if by_speeds else 'ratio'} out: it follows from the teeth.",
    )


def _centres(given: DriveCheckInput, chain: RatedChain) -> float:
    """Centre distance as sent, or that of the pitch count; wheels whose teeth would touch are refused."""
    small, large = sorted((given.driver_teeth, given.driven_teeth))
    if small < TEETH_GEOMETRIC_MIN:
        return 0.0  # told with the teeth
    if given.pitch_count is not None:
        if given.centre_distance_mm is not None:
            message = "Send centre_distance or pitch_count: they determine each other."
            raise Inconsistent(Issue("pitch_count", "over_determined", message))
        centres = centre_distance_exact(pitch_count=given.pitch_count, teeth_small=small, teeth_large=large)
        centres_mm = centres * chain.pitch_mm
    elif given.centre_distance_mm is not None:
        centres_mm = given.centre_distance_mm
    else:
        message = "Send centre_distance or pitch_count of the drive."
        raise MoreNeeded(Issue("centre_distance_mm", "field_required", message))
    field = "centre_distance_mm" if given.pitch_count is None else "pitch_count"
    circles_mm = touching_centre_distance(teeth_small=small, teeth_large=large) * chain.pitch_mm
    if centres_mm <= circles_mm:
        issues = overlap_issues(field, centres_mm, circles_mm)
        # A count has no unit that could be wrong.
        raise OutOfRange(*(issues if given.pitch_count is None else issues[:1]))
    tips_mm = [outside_diameter(pitch_in=chain.pitch_in, teeth=teeth) * MM_PER_INCH for teeth in (small, large)]
    if centres_mm <= sum(tips_mm) / 2.0:
        raise OutOfRange(touching_issue(field, centres_mm, *tips_mm))
    return centres_mm


def _check(option: DriveOption, trace: Trace, prefix: str) -> None:
    """Each limit of a drive as a named check."""
    trace.check(Check(f"{prefix}link_plate_fatigue", option.design_power_kw, option.link_plate_kw, "power"))
    trace.check(Check(f"{prefix}roller_bushing_impact", option.design_power_kw, option.impact_kw, "power"))
    trace.check(
        Check(
            f"{prefix}range_end",
            option.small_speed_rpm,
            option.range_end_rpm,
            "rotational_speed",
            note="end of the printed ratings, where pins and bushings begin to gall; no rating is computed there",
        )
    )


def _question_power(option: DriveOption, duty: SettledDuty, trace: Trace) -> None:
    if duty.power_kw >= POWER_SUSPECT_KW and option.utilisation > 10.0:
        message = f"{duty.power_kw:g} kW is far beyond this chain: were {duty.power_kw / 1000:g} kW meant?"
        trace.warn("power_suspect", message, field=f"{duty.at}.power_kw")
