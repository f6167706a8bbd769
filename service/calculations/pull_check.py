"""Checking a drive by its chain pull, where no power rating serves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.drawn_drive import DrawnDrive, check_wheels, settle_by_teeth, settle_drawn_centres
from service.calculations.pull_drive import PullCase, PullOption, evaluate_pull
from service.calculations.pull_service import settle_pull_factor
from service.calculations.refusals import Refusals
from service.calculations.trace import Check
from service.core.errors import Issue, OutOfRange
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.drive_duty import DriveDuty, SettledDuty
    from service.calculations.drive_tables import DriveTables
    from service.calculations.trace import Trace
    from service.reference.chains import ChainSize


class PullCheckInput(Record, frozen=True, kw_only=True):
    """A drive and its duty, or an old and a new one."""

    size: ChainSize
    strand_count: int
    drawn: DrawnDrive
    duty: DriveDuty
    changed_duty: DriveDuty | None
    why: str


class PullCheckResult(Record, frozen=True, kw_only=True):
    """The drive at its operating point, and at the changed one where one was sent."""

    point: PullOption
    changed: PullOption | None


def check_pull(given: PullCheckInput, tables: DriveTables, trace: Trace) -> PullCheckResult:
    """Judge a drive by its pull; all faults are told at once.

    Raises:
        NotInReference: the load that the chain may carry is not in the tables; the missing figure is named.
        EngineeringError: wheels, centres or duty do not hold together, or lie outside the tables.
    """
    size = given.size
    pitch_mm = size.figure("pitch").value
    refusals = Refusals()
    refusals.attempt(check_wheels, given.drawn)
    refusals.attempt(_check_strands, given)
    refusals.attempt(size.figure, _load_figure(given), given.strand_count)
    centres_mm = refusals.attempt(settle_drawn_centres, given.drawn, pitch_mm)
    settled = [
        refusals.attempt(_settle, given, duty, tables, trace)
        for duty in (given.duty, given.changed_duty)
        if duty is not None
    ]
    refusals.tell()
    options = [evaluate_pull(_case(given, part.value, centres_mm.value), tables, trace) for part in settled]
    for option, prefix in zip(options, ("", "changed_"), strict=False):
        _check(option, trace, prefix)
    trace.warn("pull_method_used", f"{given.why} The drive is judged by its chain pull.", severity="info")
    return PullCheckResult(point=options[0], changed=options[1] if len(options) > 1 else None)


def _load_figure(given: PullCheckInput) -> str:
    engineering = given.size.row.family != "roller"
    return "allowable_load" if engineering else "minimum_tensile_strength"


def _settle(given: PullCheckInput, duty: DriveDuty, tables: DriveTables, trace: Trace) -> SettledDuty:
    if given.size.row.family == "roller":
        settled = settle_by_teeth(given.drawn, duty, tables, trace)
        if settled.service_factor < 1.0:
            message = (
                f"A service factor of {settled.service_factor:g} is below 1, where those of the pull method begin."
            )
            raise OutOfRange(
                Issue(f"{duty.at}.service_factor", "factor_below_minimum", message, 1.0, settled.service_factor)
            )
        return settled
    conditions = tables.reference.factors.conveyor.service_factors

    def factor() -> float:
        return settle_pull_factor(duty, conditions, trace)

    return settle_by_teeth(given.drawn, duty, tables, trace, factor=factor)


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


def _check_strands(given: PullCheckInput) -> None:
    most = given.size.row.max_strand_count
    if not 1 <= given.strand_count <= most:
        message = f"Chain {given.size.designation} is tabulated in 1 to {most} strands, not in {given.strand_count}."
        raise OutOfRange(Issue("strand_count", "strands_out_of_range", message, most, given.strand_count))


def _check(option: PullOption, trace: Trace, prefix: str) -> None:
    """Working load with the factor of speed and teeth, and the static load that a factor below one must not hide."""
    note = "by the pull method"
    if option.speed_factor is not None:
        needed, allowable = option.needed_working_load_n, option.allowable_load_n
        trace.check(Check(f"{prefix}working_load", needed, allowable, "force", note=note))
    trace.check(Check(f"{prefix}static_load", option.static_load_n, option.allowable_load_n, "force", note=note))
    if option.breaking_safety is not None and option.breaking_safety < 1.0:
        trace.warn(
            "tension_too_high",
            f"The chain pull of {option.pull_n / 1000:.1f} kN with its factor is above the breaking strength of "
            f"{(option.tensile_strength_n or 0) / 1000:.1f} kN: take a larger chain.",
            severity="danger",
        )
