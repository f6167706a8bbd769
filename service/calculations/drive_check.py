"""Checking a drive that exists or is drawn, by the method that its chain and its speed call for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.drawn_drive import DrawnDrive
from service.calculations.drive_unused import unused_in_check
from service.calculations.pull_check import PullCheckInput, PullPoint, check_pull
from service.calculations.pull_tables import ENGINEERING_FAMILIES
from service.calculations.refusals import Refusals
from service.calculations.roller_check import OperatingPoint, check_roller
from service.calculations.silent_check import SilentCheckInput, SilentPoint, check_silent
from service.calculations.trace import Outcome, Trace
from service.core.roller_rating import SPEED_MIN_RPM
from service.reference.chains import OWN, ROLLER_FAMILIES
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.drive_duty import DriveDuty
    from service.calculations.drive_tables import DriveTables, Edition
    from service.calculations.silent_service import SilentLoad
    from service.calculations.silent_tables import SilentTables
    from service.reference.chains import ChainSize


class DriveCheckInput(Record, frozen=True, kw_only=True):
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
    silent_load: SilentLoad | None = None
    joint_friction: float | None = None
    driver_bore_mm: float | None = None
    driven_bore_mm: float | None = None

    @property
    def drawn(self) -> DrawnDrive:
        """Its wheels and shafts."""
        return DrawnDrive(
            driver_teeth=self.driver_teeth,
            driven_teeth=self.driven_teeth,
            centre_distance_mm=self.centre_distance_mm,
            pitch_count=self.pitch_count,
        )


DrivePoint = OperatingPoint | SilentPoint | PullPoint
"""A drive under one duty, by the method that serves there."""


class DriveCheckResult(Record, frozen=True, kw_only=True):
    """The drive at its operating point, and at the changed one where one was sent."""

    point: DrivePoint
    changed: DrivePoint | None


def check_drive(
    given: DriveCheckInput, tables: DriveTables, silent: SilentTables, *, keep_steps: bool = False
) -> Outcome[DriveCheckResult]:
    """Rate a given drive under each duty: by power ratings where there are any, else by its chain pull.

    Raises:
        NotInReference: the chain has no rating, or a figure that the pull method needs is not in the tables.
        OutOfRange: teeth, speed or strands lie outside the printed ratings, or the wheels overlap.
        Inconsistent: teeth contradict the speeds.
        MoreNeeded: nothing says how long the chain is, or something of the duty is missing.
    """
    trace = Trace(keep_steps=keep_steps)
    duties = tuple(duty for duty in (given.duty, given.changed_duty) if duty is not None)
    by_pull = {duty.at: why for duty in duties if (why := _why_by_pull(given, duty)) is not None}
    points: dict[str, DrivePoint] = {}
    if given.chain.row.family == "silent":
        points |= zip((duty.at for duty in duties), _silent(given, duties, tables, silent, trace), strict=True)
    else:
        refusals = Refusals()
        rated = tuple(duty for duty in duties if duty.at not in by_pull)
        pulled = tuple(duty for duty in duties if duty.at in by_pull)
        by_ratings = refusals.attempt(check_roller, given, rated, tables, trace) if rated else None
        by_pulls = refusals.attempt(_pull, given, pulled, by_pull, tables, trace) if pulled else None
        refusals.tell()
        if by_ratings is not None:
            points |= zip((duty.at for duty in rated), by_ratings.value, strict=True)
        if by_pulls is not None:
            points |= zip((duty.at for duty in pulled), by_pulls.value, strict=True)
    unused_in_check(given, set(by_pull), trace)
    trace.caution("guard_the_drive", "isolate_and_lock_off", "local_codes")
    changed = None if given.changed_duty is None else points[given.changed_duty.at]
    return Outcome(DriveCheckResult(point=points[given.duty.at], changed=changed), trace)


def _silent(
    given: DriveCheckInput, duties: tuple[DriveDuty, ...], tables: DriveTables, silent: SilentTables, trace: Trace
) -> tuple[SilentPoint, ...]:
    sent = SilentCheckInput(
        width=silent.width(given.chain, "chain"),
        strand_count=given.strand_count,
        drawn=given.drawn,
        duties=duties,
        load=given.silent_load,
    )
    return check_silent(sent, tables, silent, trace)


def _pull(
    given: DriveCheckInput, duties: tuple[DriveDuty, ...], why: dict[str, str], tables: DriveTables, trace: Trace
) -> tuple[PullPoint, ...]:
    sent = PullCheckInput(
        size=given.chain,
        strand_count=given.strand_count,
        drawn=given.drawn,
        duties=duties,
        why=why,
        joint_friction=given.joint_friction,
    )
    return check_pull(sent, tables, trace)


def _why_by_pull(given: DriveCheckInput, duty: DriveDuty) -> str | None:
    """Why a drive is judged by its pull under a duty; None where power ratings serve."""
    row = given.chain.row
    if row.source_id == OWN:
        return "No table rates a chain of your own figures."
    if row.family in ENGINEERING_FAMILIES:
        return f"Power ratings of {row.family.replace('_', ' ')} chain are not in the tables."
    if row.family not in ROLLER_FAMILIES:
        return None
    small_rpm = duty.driver_speed_rpm * given.driver_teeth / min(given.driver_teeth, given.driven_teeth)
    if small_rpm < SPEED_MIN_RPM:
        reach = f"slower than the power ratings reach ({SPEED_MIN_RPM:g} r/min)"
        return f"{small_rpm:.3g} r/min of the small wheel is {reach}."
    return None
