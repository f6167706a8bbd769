"""Checking a silent-chain drive that exists or is drawn."""

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
from service.calculations.drive_running import Running, Turning, running_of
from service.calculations.drive_warnings import question_power
from service.calculations.refusals import Refusals
from service.calculations.silent_drive import SilentCase, SilentOption, evaluate_silent, warn_of_silent
from service.calculations.silent_service import SilentLoad, hours_note, settle_silent_factor
from service.calculations.trace import Check
from service.core.conversions import MM_PER_INCH
from service.core.errors import Issue, NotInReference, OutOfRange
from service.core.silent_rating import greatest_width
from service.core.silent_sprocket import radius_over_chain
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.drive_duty import DriveDuty, SettledDuty
    from service.calculations.drive_layout import Centres
    from service.calculations.drive_tables import DriveTables
    from service.calculations.silent_tables import SilentPitch, SilentTables, SilentWidth
    from service.calculations.trace import Trace


class SilentPoint(Record, frozen=True, kw_only=True):
    """A silent-chain drive under one duty."""

    case: SilentCase
    option: SilentOption
    running: Running


class SilentCheckInput(Record, frozen=True, kw_only=True):
    """A silent-chain drive and its duties."""

    width: SilentWidth
    strand_count: int
    drawn: DrawnDrive
    duties: tuple[DriveDuty, ...]
    load: SilentLoad | None


def check_silent(
    given: SilentCheckInput, tables: DriveTables, silent: SilentTables, trace: Trace
) -> tuple[SilentPoint, ...]:
    """Rate a given silent-chain drive under each duty; all faults are told at once.

    Raises:
        NotInReference: the ratings of the pitch were not read.
        EngineeringError: wheels, centres or duty do not hold together, or lie outside the ratings.
    """
    pitch = silent.pitches[given.width.pitch_in]
    refusals = Refusals()
    refusals.attempt(_check_rated, given, pitch)
    refusals.attempt(_check_strands, given)

    def over_chain_mm(teeth: int) -> float:
        return 2.0 * MM_PER_INCH * radius_over_chain(pitch_in=pitch.pitch_in, teeth=teeth)

    rated_wheels = given.drawn.wheels.small >= pitch.teeth[0] if pitch.points else False
    over_mm = over_chain_mm if rated_wheels else None
    centres_mm = refusals.attempt(settle_drawn_centres, given.drawn, pitch.pitch_mm, over_mm)
    settled = [refusals.attempt(_settle, given, duty, tables, silent, trace) for duty in given.duties]
    refusals.tell()
    centres = given.drawn.centres_at(centres_mm.value)
    points = []
    for part in settled:
        duty = part.value
        point = _at(given, _case(duty, centres, silent), trace)
        option = point.option
        prefix = check_prefix(duty.at)
        trace.check(Check(f"{prefix}rated_power", option.design_power_kw, option.rated_power_kw, "power"))
        warn_of_silent(option, point.case, tables, trace, given.drawn.places)
        question_power(duty.power_kw, option.utilisation, trace, duty.load_field)
        points.append(point)
    _check_width(given.width, trace)
    return tuple(points)


def _settle(
    given: SilentCheckInput, duty: DriveDuty, tables: DriveTables, silent: SilentTables, trace: Trace
) -> SettledDuty:
    def factor() -> float:
        return settle_silent_factor(duty, given.load, silent.factors, trace)

    service = OwnService(factor=factor, hours_note=hours_note(duty, given.load))
    return settle_by_teeth(given.drawn, duty, tables, trace, service=service)


def _case(duty: SettledDuty, centres: Centres, silent: SilentTables) -> SilentCase:
    return SilentCase(
        power_kw=duty.power_kw,
        service_factor=duty.service_factor,
        driver_speed_rpm=duty.driver_speed_rpm,
        driven_speed_rpm=None,
        centres=centres,
        tables=silent,
        at=duty.at,
    )


def _at(given: SilentCheckInput, case: SilentCase, trace: Trace) -> SilentPoint:
    option = evaluate_silent(given.width, given.drawn.wheels, case, trace)
    turning = Turning(
        option.wheels, given.width.pitch_mm, option.pitch_count, option.chain_speed_m_s, case.driver_speed_rpm
    )
    return SilentPoint(case=case, option=option, running=running_of(turning, trace))


def _check_rated(given: SilentCheckInput, pitch: SilentPitch) -> None:
    """Refuse a pitch without ratings, and teeth or speeds outside them."""
    check_wheels(given.drawn)
    if not pitch.points:
        name = given.width.size.designation
        message = f"The ratings of {pitch.pitch_in:g} in pitch were not read, so that {name} cannot be rated."
        hint = "Rated pitches: GET /v1/tables/silent_ratings; else take the rating from the maker of the chain."
        raise NotInReference(Issue("chain", "rating_not_available", message, None, name, hint))
    small, (fewest, most) = given.drawn.wheels.small, pitch.teeth
    issues = []
    if not fewest <= small <= most:
        code = "teeth_few" if small < fewest else "teeth_many"
        message = f"{small} teeth on the small wheel: the ratings read of this pitch are for {fewest} to {most}."
        hint = (
            f"Take {fewest} to {most} teeth, or another pitch: POST /v1/drive-sizings finds one. The maker's tables "
            "may rate other teeth; none is computed here beyond those read."
        )
        issues.append(Issue(given.drawn.small_field, code, message, fewest if small < fewest else most, small, hint))
    slowest, fastest = pitch.speeds_rpm
    for duty in given.duties:
        small_rpm = duty.driver_speed_rpm * given.drawn.wheels.driver / small
        if not slowest <= small_rpm <= fastest:
            code = "speed_below_table" if small_rpm < slowest else "speed_beyond_table"
            limit = slowest if small_rpm < slowest else fastest
            message = (
                f"{small_rpm:.6g} r/min on the small wheel: the ratings read of this pitch run from {slowest:g} to "
                f"{fastest:g} r/min and are not prolonged."
            )
            hint = (
                "Take a larger pitch, or roller chain, which is rated slower."
                if small_rpm < slowest
                else "Take a smaller pitch in a greater width. Is the unit right (r/min, not rad/s or Hz)?"
            )
            issues.append(Issue(f"{duty.at}.driver_speed_rpm", code, message, limit, small_rpm, hint))
    if issues:
        raise OutOfRange(*issues)


def _check_strands(given: SilentCheckInput) -> None:
    if given.strand_count != 1:
        message = "Silent chain has no strands: its width carries the load."
        raise OutOfRange(Issue("strand_count", "strands_out_of_range", message, 1.0, given.strand_count))


def _check_width(width: SilentWidth, trace: Trace) -> None:
    most_in = trace.take(greatest_width, pitch_in=width.pitch_in)
    passes = trace.check(
        Check("greatest_width", width.width_in * MM_PER_INCH, most_in * MM_PER_INCH, "length", note="recommended")
    )
    if not passes:
        message = f"{width.size.designation} is wider than the {most_in:g} in recommended for its pitch."
        trace.warn("width_not_recommended", message, field="chain")
