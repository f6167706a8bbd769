"""Rating a given drive of roller chain at one operating point or at an old and a new one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.drawn_drive import DrawnDrive, check_wheels, settle_by_teeth, settle_drawn_centres
from service.calculations.drive_iso import IsoComparison, IsoMethod
from service.calculations.drive_option import DriveOption, evaluate
from service.calculations.drive_relations import DriveLoad, DriveRelations, Wheels
from service.calculations.drive_running import Running, running_of
from service.calculations.drive_warnings import POWER_SUSPECT_KW, warn_of, warn_of_running
from service.calculations.refusals import Refusals
from service.calculations.trace import Check, Trace
from service.core.conversions import MM_PER_INCH
from service.core.errors import Issue, OutOfRange
from service.core.roller_rating import SPEED_MIN_RPM, TEETH_MAX, TEETH_MIN, check_rated_teeth
from service.core.sprocket_asme import outside_diameter
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.drive_check import DriveCheckInput
    from service.calculations.drive_duty import DriveDuty, SettledDuty
    from service.calculations.drive_tables import DriveTables, Edition, RatedChain


class OperatingPoint(Record, frozen=True, kw_only=True):
    """A drive under one duty, and how it runs there."""

    load: DriveLoad
    option: DriveOption
    running: Running
    iso: IsoComparison | None


class RollerCheckResult(Record, frozen=True, kw_only=True):
    """The drive at its operating point, and at the changed one where one was sent."""

    point: OperatingPoint
    changed: OperatingPoint | None


def check_roller(given: DriveCheckInput, chain: RatedChain, tables: DriveTables, trace: Trace) -> RollerCheckResult:
    """Rate a given drive of roller chain; all faults are told at once.

    Raises:
        OutOfRange: teeth, speed or strands lie outside the printed ratings, or the wheels overlap.
        Inconsistent: teeth contradict the speeds.
        MoreNeeded: nothing says how long the chain is, or something of the duty is missing.
    """
    if chain.designation != given.chain.designation:
        trace.assume("chain", chain.designation, "table", f"rated as the same size {chain.designation}")
    case = _settle(given, chain, tables, trace)
    point = _at(case, case.duty, "")
    changed = None if case.changed_duty is None else _at(case, case.changed_duty, "changed_")
    if given.strand_count > 1:
        note = f"{given.strand_count} strands carry less than {given.strand_count} times one"
        trace.assume("strand_factor", point.option.strand_factor, "table", note)
    return RollerCheckResult(point=point, changed=changed)


class _Case(Record, frozen=True):
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
    drawn, wheels = given.drawn, given.drawn.wheels
    refusals = Refusals()

    def outside_mm(teeth: int) -> float:
        return outside_diameter(pitch_in=chain.pitch_in, teeth=teeth) * MM_PER_INCH

    refusals.attempt(_check_teeth, drawn)
    refusals.attempt(_check_strands, given, chain)
    centres_mm = refusals.attempt(settle_drawn_centres, drawn, chain.pitch_mm, outside_mm)
    refusals.attempt(_check_speed, chain, wheels, given.duty, given.edition, tables)
    duty = refusals.attempt(settle_by_teeth, drawn, given.duty, tables, trace)
    changed = None
    if given.changed_duty is not None:
        refusals.attempt(_check_speed, chain, wheels, given.changed_duty, given.edition, tables)
        changed = refusals.attempt(settle_by_teeth, drawn, given.changed_duty, tables, trace)
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
        centres=given.drawn.centres_at(case.centres_mm),
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


def _check_teeth(drawn: DrawnDrive) -> None:
    """Refuse wheels that are none, and a small wheel outside the printed ratings."""
    check_wheels(drawn)
    try:
        check_rated_teeth(drawn.wheels.small)
    except OutOfRange as refusal:
        raise OutOfRange(*(issue._replace(field=drawn.small_field) for issue in refusal.issues)) from refusal


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
