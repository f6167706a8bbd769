"""Checking a drive that exists or is drawn, by the method that its chain and its speed call for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.drawn_drive import DrawnDrive
from service.calculations.pull_check import PullCheckInput, PullCheckResult, check_pull
from service.calculations.pull_drive import ENGINEERING_FAMILIES
from service.calculations.roller_check import RollerCheckResult, check_roller
from service.calculations.silent_check import SilentCheckInput, SilentCheckResult, check_silent
from service.calculations.trace import Outcome, Trace
from service.core.roller_rating import SPEED_MIN_RPM
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

    @property
    def drawn(self) -> DrawnDrive:
        """Its wheels and shafts."""
        return DrawnDrive(
            driver_teeth=self.driver_teeth,
            driven_teeth=self.driven_teeth,
            centre_distance_mm=self.centre_distance_mm,
            pitch_count=self.pitch_count,
        )


DriveCheckResult = RollerCheckResult | SilentCheckResult | PullCheckResult


def check_drive(
    given: DriveCheckInput, tables: DriveTables, silent: SilentTables, *, keep_steps: bool = False
) -> Outcome[DriveCheckResult]:
    """Rate a given drive: by power ratings where there are any, else by its chain pull.

    Raises:
        NotInReference: the chain has no rating, or a figure that the pull method needs is not in the tables.
        OutOfRange: teeth, speed or strands lie outside the printed ratings, or the wheels overlap.
        Inconsistent: teeth contradict the speeds.
        MoreNeeded: nothing says how long the chain is, or something of the duty is missing.
    """
    trace = Trace(keep_steps=keep_steps)
    result: DriveCheckResult
    why = _why_by_pull(given)
    if given.chain.row.family == "silent":
        result = check_silent(
            SilentCheckInput(
                width=silent.width(given.chain, "chain"),
                strand_count=given.strand_count,
                drawn=given.drawn,
                duty=given.duty,
                changed_duty=given.changed_duty,
                load=given.silent_load,
            ),
            tables,
            silent,
            trace,
        )
    elif why is not None:
        result = check_pull(
            PullCheckInput(
                size=given.chain,
                strand_count=given.strand_count,
                drawn=given.drawn,
                duty=given.duty,
                changed_duty=given.changed_duty,
                why=why,
            ),
            tables,
            trace,
        )
    else:
        result = check_roller(given, tables.rated_chain(given.chain, given.edition, "chain"), tables, trace)
    trace.caution("guard_the_drive", "isolate_and_lock_off", "local_codes")
    return Outcome(result, trace)


def _why_by_pull(given: DriveCheckInput) -> str | None:
    """Why a drive is judged by its pull; None where power ratings serve."""
    family = given.chain.row.family
    if family in ENGINEERING_FAMILIES:
        return f"Power ratings of {family.replace('_', ' ')} chain are not in the tables."
    if family != "roller":
        return None
    small_share = given.driver_teeth / min(given.driver_teeth, given.driven_teeth)
    slowest = min(duty.driver_speed_rpm for duty in (given.duty, given.changed_duty) if duty is not None) * small_share
    if slowest < SPEED_MIN_RPM:
        return (
            f"{slowest:.3g} r/min of the small wheel is slower than the power ratings reach ({SPEED_MIN_RPM:g} r/min)."
        )
    return None
