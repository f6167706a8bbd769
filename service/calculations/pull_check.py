"""Checking a drive by its chain pull, where no power rating serves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.drawn_drive import (
    DrawnDrive,
    check_prefix,
    check_wheels,
    settle_by_teeth,
    settle_drawn_centres,
)
from service.calculations.drive_duty import OwnService
from service.calculations.drive_running import JointLoad, Running, Turning, running_of
from service.calculations.drive_warnings import (
    question_power,
    warn_of_centres,
    warn_of_few_teeth,
    warn_of_tension,
    warn_of_wrap,
)
from service.calculations.pull_drive import PullCase, PullOption, evaluate_pull
from service.calculations.pull_service import pull_hours_note, settle_pull_factor
from service.calculations.refusals import Refusals
from service.calculations.trace import Check
from service.core.errors import Issue, MoreNeeded, OutOfRange
from service.reference.chains import OWN, ROLLER_FAMILIES
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.drive_duty import DriveDuty, SettledDuty
    from service.calculations.drive_tables import DriveTables
    from service.calculations.drive_warnings import WarnedFields
    from service.calculations.trace import Trace
    from service.reference.chains import ChainSize


class PullCheckInput(Record, frozen=True, kw_only=True):
    """A drive, its duties, and by the place of each why it is judged by its pull."""

    size: ChainSize
    strand_count: int
    drawn: DrawnDrive
    duties: tuple[DriveDuty, ...]
    why: dict[str, str]
    joint_friction: float | None = None


class PullPoint(Record, frozen=True, kw_only=True):
    """A drive judged by its pull under one duty, and how it runs there."""

    option: PullOption
    running: Running


def check_pull(given: PullCheckInput, tables: DriveTables, trace: Trace) -> tuple[PullPoint, ...]:
    """Judge a drive by its pull under each duty; all faults are told at once.

    Raises:
        NotInReference: the load that the chain may carry is not in the tables; the missing figure is named.
        EngineeringError: wheels, centres or duty do not hold together, or lie outside the tables.
    """
    size = given.size
    pitch_mm = size.figure("pitch").value
    refusals = Refusals()
    refusals.attempt(check_wheels, given.drawn)
    refusals.attempt(_check_strands, given)
    refusals.attempt(_check_load, given)
    centres_mm = refusals.attempt(settle_drawn_centres, given.drawn, pitch_mm)
    settled = [refusals.attempt(_settle, given, duty, tables, trace) for duty in given.duties]
    refusals.tell()
    points = []
    for part in settled:
        duty = part.value
        option = evaluate_pull(_case(given, duty, centres_mm.value), tables, trace)
        points.append(PullPoint(option=option, running=_running(option, given.joint_friction, trace)))
        _check(option, trace, check_prefix(duty.at))
        warn_of_pull(option, given.drawn.places, tables, trace, duty.load_field)
        message = f"{given.why[duty.at]} The drive is judged by its chain pull."
        trace.warn("pull_method_used", message, severity="info", field=_place(size, duty.at))
    return tuple(points)


def _place(size: ChainSize, at: str) -> str:
    """What makes the pull method serve: the chain, or the speed of one that has ratings."""
    if size.row.source_id == OWN:
        return "own_chain"
    return f"{at}.driver_speed_rpm" if size.row.family in ROLLER_FAMILIES else "chain"


def _check_load(given: PullCheckInput) -> None:
    """Refuse a chain of which nothing says what it may carry."""
    size = given.size
    if size.row.source_id == OWN:
        if size.find("allowable_load") is None:
            message = "Send the allowable load of your chain: the pull method compares with it."
            raise MoreNeeded(Issue("own_chain.allowable_load", "field_required", message))
        return
    size.figure("minimum_tensile_strength" if size.row.family in ROLLER_FAMILIES else "allowable_load")


def _settle(given: PullCheckInput, duty: DriveDuty, tables: DriveTables, trace: Trace) -> SettledDuty:
    if given.size.row.source_id != OWN and given.size.row.family in ROLLER_FAMILIES:
        settled = settle_by_teeth(given.drawn, duty, tables, trace)
        if settled.service_factor < 1.0:
            message = (
                f"A service factor of {settled.service_factor:g} is below 1, where those of the pull method begin."
            )
            raise OutOfRange(
                Issue(f"{duty.at}.service_factor", "factor_below_minimum", message, 1.0, settled.service_factor)
            )
        return settled

    def factor() -> float:
        return settle_pull_factor(duty, tables, trace)

    return settle_by_teeth(
        given.drawn, duty, tables, trace, service=OwnService(factor=factor, hours_note=pull_hours_note(duty))
    )


def _case(given: PullCheckInput, duty: SettledDuty, centres_mm: float) -> PullCase:
    return PullCase(
        size=given.size,
        strand_count=given.strand_count,
        wheels=given.drawn.wheels,
        power_kw=duty.power_kw,
        service_factor=duty.service_factor,
        driver_speed_rpm=duty.driver_speed_rpm,
        centres=given.drawn.centres_at(centres_mm),
        at=duty.at,
    )


def _running(option: PullOption, friction: float | None, trace: Trace) -> Running:
    """How it runs; the slack strand is taken as without tension."""
    case = option.case
    joint = None
    if option.joint is not None:
        joint = JointLoad(option.joint, option.pull_n / case.strand_count, 0.0, friction)
    pitch_mm = case.size.figure("pitch").value
    turning = Turning(case.wheels, pitch_mm, option.pitch_count, option.chain_speed_m_s, case.driver_speed_rpm)
    return running_of(turning, trace, joint=joint)


def _check_strands(given: PullCheckInput) -> None:
    most = given.size.row.max_strand_count
    if not 1 <= given.strand_count <= most:
        served = f"1 to {most} strands" if most > 1 else "a single strand only"
        message = f"Chain {given.size.designation} is tabulated in {served}, not in {given.strand_count}."
        raise OutOfRange(Issue("strand_count", "strands_out_of_range", message, most, given.strand_count))


def _check(option: PullOption, trace: Trace, prefix: str) -> None:
    """Working load with the factor of speed and teeth, and the static load that a factor below one must not hide."""
    note = "by the pull method"
    if option.speed_factor is not None:
        needed, allowable = option.needed_working_load_n, option.allowable_load_n
        trace.check(Check(f"{prefix}working_load", needed, allowable, "force", note=note))
    trace.check(Check(f"{prefix}static_load", option.static_load_n, option.allowable_load_n, "force", note=note))


def warn_of_pull(option: PullOption, fields: WarnedFields, tables: DriveTables, trace: Trace, load_field: str) -> None:
    """Warnings about one drive judged by its pull, each with the figure and the usual limit."""
    wheels = option.case.wheels
    if option.breaking_safety is not None and option.breaking_safety < 1.0:
        warn_of_tension(option.pull_n, option.tensile_strength_n or 0.0, trace, load_field)
    question_power(option.case.power_kw, option.utilisation, trace, load_field)
    if not option.case.engineering:
        warn_of_few_teeth(wheels.small, option.small_speed_rpm, tables, trace, fields.small)
    warn_of_wrap(option.wrap_small_deg, tables, trace)
    warn_of_centres(option.centre_distance_mm / option.case.size.figure("pitch").value, tables, trace)
    if option.odd_link:
        trace.warn(
            "odd_pitch_count",
            f"{option.pitch_count} pitches are an odd number and the links of this chain alternate: an offset link or "
            "a link of another kind is needed, which may carry less.",
            field=fields.pitches,
        )
