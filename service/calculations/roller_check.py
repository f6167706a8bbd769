"""Rating a given drive of roller chain at one operating point or at an old and a new one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.drawn_drive import (
    DrawnDrive,
    check_prefix,
    check_wheels,
    settle_by_teeth,
    settle_drawn_centres,
)
from service.calculations.drive_iso import IsoComparison, IsoMethod
from service.calculations.drive_option import DriveOption, evaluate
from service.calculations.drive_relations import DriveLoad, DriveRelations, Wheels
from service.calculations.drive_running import (
    JointLoad,
    Running,
    TautStrand,
    Turning,
    joint_measures,
    running_of,
)
from service.calculations.drive_warnings import question_power, warn_of, warn_of_running, warn_of_shock
from service.calculations.refusals import Refusals
from service.calculations.trace import Check, Trace
from service.core.conversions import MM_PER_INCH
from service.core.errors import Issue, OutOfRange
from service.core.roller_rating import SPEED_MIN_RPM, TEETH_MAX, TEETH_MIN, check_rated_teeth
from service.core.sprocket_asme import hub_diameter_max, outside_diameter
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


def check_roller(
    given: DriveCheckInput, duties: tuple[DriveDuty, ...], tables: DriveTables, trace: Trace
) -> tuple[OperatingPoint, ...]:
    """Rate a given drive of roller chain under each duty; all faults are told at once.

    Raises:
        OutOfRange: teeth, speed or strands lie outside the printed ratings, or the wheels overlap.
        Inconsistent: teeth contradict the speeds.
        MoreNeeded: nothing says how long the chain is, or something of the duty is missing.
        NotInReference: the chain has no rating.
    """
    chain = tables.rated_chain(given.chain, given.edition, "chain")
    if chain.designation != given.chain.designation:
        trace.assume("chain", chain.designation, "table", f"rated as the same size {chain.designation}")
    case = _settle(given, chain, duties, tables, trace)
    points = tuple(_at(case, duty) for duty in case.duties)
    if given.strand_count > 1:
        note = f"{given.strand_count} strands carry less than {given.strand_count} times one"
        trace.assume("strand_factor", points[0].option.strand_factor, "table", note)
    return points


class _Case(Record, frozen=True):
    """What the operating points share, with nothing left open."""

    given: DriveCheckInput
    chain: RatedChain
    wheels: Wheels
    centres_mm: float
    duties: tuple[SettledDuty, ...]
    tables: DriveTables
    trace: Trace


def _settle(
    given: DriveCheckInput, chain: RatedChain, duties: tuple[DriveDuty, ...], tables: DriveTables, trace: Trace
) -> _Case:
    """Everything that was sent, checked; all faults are told at once."""
    drawn, wheels = given.drawn, given.drawn.wheels
    refusals = Refusals()

    def outside_mm(teeth: int) -> float:
        return outside_diameter(pitch_in=chain.pitch_in, teeth=teeth) * MM_PER_INCH

    refusals.attempt(_check_teeth, drawn)
    refusals.attempt(_check_strands, given, chain)
    refusals.attempt(_check_bores, given, chain, trace)
    centres_mm = refusals.attempt(settle_drawn_centres, drawn, chain.pitch_mm, outside_mm)
    settled = []
    for duty in duties:
        refusals.attempt(_check_speed, chain, wheels, duty, given.edition, tables)
        settled.append(refusals.attempt(settle_by_teeth, drawn, duty, tables, trace))
    refusals.tell()
    return _Case(given, chain, wheels, centres_mm.value, tuple(part.value for part in settled), tables, trace)


def _at(case: _Case, duty: SettledDuty) -> OperatingPoint:
    """The drive under a duty, with its checks and warnings."""
    given, trace = case.given, case.trace
    load = DriveLoad(
        edition=given.edition,
        power_kw=duty.power_kw,
        service_factor=duty.service_factor,
        driver_speed_rpm=duty.driver_speed_rpm,
        driven_speed_rpm=None,
        centres=given.drawn.centres_at(case.centres_mm),
    )
    relations = DriveRelations(load, case.tables, trace)
    option = evaluate(case.chain, given.strand_count, case.wheels, relations)
    running = _running(option, duty, given.joint_friction, trace)
    _check(option, trace, check_prefix(duty.at))
    warn_of(option, case.tables, trace, given.drawn.places, duty.load_field)
    warn_of_shock(duty.load_class, case.wheels.small, case.tables, trace, given.drawn.small_field)
    warn_of_running(running, trace)
    question_power(duty.power_kw, option.utilisation, trace, duty.load_field)
    iso = IsoMethod(duty, case.tables, trace).compare(option) if given.compare_iso_10823 else None
    return OperatingPoint(load=load, option=option, running=running, iso=iso)


def _running(option: DriveOption, duty: SettledDuty, friction: float | None, trace: Trace) -> Running:
    forces, chain = option.forces, option.chain
    strand = joint = None
    if forces.mass_kg_m is not None and forces.slack_n is not None and forces.centrifugal_n is not None:
        tight_n = forces.pull_n + forces.slack_n + forces.centrifugal_n
        strand = TautStrand(forces.span_m, tight_n, forces.mass_kg_m)
        measures, _ = joint_measures(chain.size, trace)
        if measures is not None:
            slack_n = forces.slack_n + forces.centrifugal_n
            joint = JointLoad(measures, tight_n / option.strand_count, slack_n / option.strand_count, friction)
    turning = Turning(option.wheels, chain.pitch_mm, option.pitch_count, option.chain_speed_m_s, duty.driver_speed_rpm)
    return running_of(turning, trace, strand=strand, joint=joint)


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


def _check_bores(given: DriveCheckInput, chain: RatedChain, trace: Trace) -> None:
    """Refuse a bore as large as the largest hub that clears the plates."""
    issues = []
    for wheel, teeth, bore_mm in (
        ("driver", given.driver_teeth, given.driver_bore_mm),
        ("driven", given.driven_teeth, given.driven_bore_mm),
    ):
        if bore_mm is None or teeth < TEETH_MIN:  # so few teeth are told themselves
            continue
        hub_mm = MM_PER_INCH * trace.take(hub_diameter_max, pitch_in=chain.pitch_in, teeth=teeth)
        if bore_mm >= hub_mm:
            message = (
                f"A bore of {bore_mm:g} mm is too large: the largest hub of {teeth} teeth that clears the plates of "
                f"chain {chain.designation} measures {hub_mm:.1f} mm, and wall and keyway take their part of it."
            )
            hint = "Take more teeth, or a larger pitch; POST /v1/sprocket-geometries finds the wall that is left."
            issues.append(Issue(f"{wheel}_bore_mm", "bore_too_large", message, hub_mm, bore_mm, hint))
    if issues:
        raise OutOfRange(*issues)


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
