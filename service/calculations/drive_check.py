"""Checking a drive that exists or is drawn, at one operating point or at an old and a new one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from service.calculations.centres import overlap_issues
from service.calculations.drive_duty import DriveDuty, SettledDuty, settle_duty
from service.calculations.drive_option import DriveLoad, DriveOption, DriveRelations, Wheels, evaluate
from service.calculations.drive_warnings import warn_of
from service.calculations.trace import Check, Outcome, Trace
from service.core.chain_length import centre_distance_exact, touching_centre_distance
from service.core.errors import Inconsistent, Issue, MoreNeeded, OutOfRange
from service.core.roller_rating import TEETH_MIN

if TYPE_CHECKING:
    from service.calculations.drive_tables import DriveTables, Edition, RatedChain
    from service.reference.chains import ChainSize


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


@dataclass(frozen=True, slots=True, kw_only=True)
class DriveCheckResult:
    """The drive at its operating point, and at the changed one where one was sent."""

    load: DriveLoad
    option: DriveOption
    changed_load: DriveLoad | None
    changed: DriveOption | None


def check_drive(given: DriveCheckInput, tables: DriveTables, *, keep_steps: bool = False) -> Outcome[DriveCheckResult]:
    """Rate a given drive.

    Raises:
        NotInReference: the chain has no rating.
        OutOfRange: teeth, speed or strands lie outside the printed ratings, or the wheels overlap.
        Inconsistent: teeth contradict the speeds.
    """
    trace = Trace(keep_steps=keep_steps)
    chain = tables.rated_chain(given.chain, given.edition, "chain")
    if chain.designation != given.chain.designation:
        trace.assume("chain", chain.designation, "table", f"rated as the same size {chain.designation}")
    _check_wheels(given, chain)
    case = _Case(given, chain, _centres(given, chain), tables, trace)
    duty = settle_duty(_with_ratio(given), tables, trace)
    load, option = _at(case, duty)
    _checks(option, trace, "")
    warn_of(option, tables, trace)
    changed_load = changed = None
    if given.changed_duty is not None:
        changed_duty = settle_duty(_with_ratio(given, given.changed_duty), tables, trace)
        changed_load, changed = _at(case, changed_duty)
        _checks(changed, trace, "changed_")
        warn_of(changed, tables, trace)
    trace.caution("guard_the_drive", "isolate_and_lock_off", "local_codes")
    return Outcome(DriveCheckResult(load=load, option=option, changed_load=changed_load, changed=changed), trace)


@dataclass(frozen=True, slots=True)
class _Case:
    """What both operating points share."""

    given: DriveCheckInput
    chain: RatedChain
    centres_mm: float
    tables: DriveTables
    trace: Trace


def _at(case: _Case, duty: SettledDuty) -> tuple[DriveLoad, DriveOption]:
    given, chain, tables = case.given, case.chain, case.tables
    load = DriveLoad(
        edition=given.edition,
        power_kw=duty.power_kw,
        service_factor=duty.service_factor,
        driver_speed_rpm=duty.driver_speed_rpm,
        driven_speed_rpm=None,
        centre_distance_mm=case.centres_mm,
        offset_link_allowed=given.pitch_count is not None and given.pitch_count % 2 == 1,
    )
    wheels = Wheels.of(given.driver_teeth, given.driven_teeth)
    _check_speed(chain, wheels, load, tables)
    return load, evaluate(chain, given.strand_count, wheels, DriveRelations(load, tables, case.trace))


def _check_wheels(given: DriveCheckInput, chain: RatedChain) -> None:
    for name, teeth in (("driver_teeth", given.driver_teeth), ("driven_teeth", given.driven_teeth)):
        if teeth < 5:
            raise OutOfRange(
                Issue(
                    name,
                    "teeth_below_minimum",
                    f"{teeth} teeth make no usable wheel; the printed ratings begin at {TEETH_MIN}.",
                    TEETH_MIN,
                    teeth,
                )
            )
    if not 1 <= given.strand_count <= chain.max_strand_count:
        raise OutOfRange(
            Issue(
                "strand_count",
                "strands_out_of_range",
                f"Chain {chain.designation} is tabulated in 1 to {chain.max_strand_count} strands.",
                chain.max_strand_count,
                given.strand_count,
            )
        )


def _check_speed(chain: RatedChain, wheels: Wheels, load: DriveLoad, tables: DriveTables) -> None:
    """Name the speed as a fault even where the teeth are one too, so that both are seen at once."""
    small_rpm = load.driver_speed_rpm * wheels.driver / wheels.small
    relations = DriveRelations(load, tables, Trace())
    end = relations.range_end_rpm(chain, max(wheels.small, TEETH_MIN), 0.0, small_rpm)
    if small_rpm <= end:
        return
    issues = [
        Issue(
            "duty.driver_speed_rpm",
            "speed_beyond_table",
            f"{small_rpm:.6g} r/min on the small wheel is beyond the printed ratings of chain {chain.designation}, "
            f"which end at {end:.0f} r/min even without load.",
            end,
            small_rpm,
            "Take a smaller pitch in more strands.",
        )
    ]
    if wheels.small < TEETH_MIN:
        issues.append(
            Issue(
                "driver_teeth" if wheels.driver == wheels.small else "driven_teeth",
                "teeth_few",
                f"{wheels.small} teeth: the printed ratings begin at {TEETH_MIN}.",
                TEETH_MIN,
                wheels.small,
            )
        )
    raise OutOfRange(*issues)


def _with_ratio(given: DriveCheckInput, duty: DriveDuty | None = None) -> DriveDuty:
    """The duty with the ratio of the teeth, after comparing it with the speeds that were sent.

    Raises:
        Inconsistent: the teeth contradict speeds or ratio.
    """
    duty = duty or given.duty
    ratio = given.driven_teeth / given.driver_teeth
    asked = duty.ratio
    if asked is None and duty.driven_speed_rpm is not None:
        asked = duty.driver_speed_rpm / duty.driven_speed_rpm
    if asked is not None and abs(asked / ratio - 1.0) > RATIO_AGREEMENT:
        raise Inconsistent(_contradiction(given, duty, asked, ratio))
    return DriveDuty(
        power_kw=duty.power_kw,
        torque_n_m=duty.torque_n_m,
        driver_speed_rpm=duty.driver_speed_rpm,
        ratio=ratio,
        service_factor=duty.service_factor,
        load_class=duty.load_class,
        prime_mover=duty.prime_mover,
        driven_machine=duty.driven_machine,
        hours_per_day=duty.hours_per_day,
        ambient_temperature_c=duty.ambient_temperature_c,
        material=duty.material,
        shafts=duty.shafts,
    )


RATIO_AGREEMENT = 0.02
"""Speeds from a nameplate and the ratio of the teeth agree within this share."""


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
    code = "over_determined" if duty.ratio is not None else "ratio_inconsistent"
    return Issue(
        "driven_teeth",
        code,
        f"The speeds or the ratio sent ask for {asked:.4g}, but {given.driver_teeth} and {given.driven_teeth} teeth "
        f"give {ratio:.4g}; leave one of them out.",
        None,
        ratio,
    )


def _centres(given: DriveCheckInput, chain: RatedChain) -> float:
    small, large = sorted((given.driver_teeth, given.driven_teeth))
    if given.pitch_count is not None:
        if given.centre_distance_mm is not None:
            raise Inconsistent(
                Issue(
                    "pitch_count", "over_determined", "Send centre_distance or pitch_count: they determine each other."
                )
            )
        centres = centre_distance_exact(pitch_count=given.pitch_count, teeth_small=small, teeth_large=large)
        return centres * chain.pitch_mm
    if given.centre_distance_mm is None:
        raise MoreNeeded(
            Issue("centre_distance_mm", "field_required", "Send centre_distance or pitch_count of the drive.")
        )
    needed = touching_centre_distance(teeth_small=small, teeth_large=large) * chain.pitch_mm
    if given.centre_distance_mm <= needed:
        raise OutOfRange(*overlap_issues("centre_distance_mm", given.centre_distance_mm, needed))
    return given.centre_distance_mm


def _checks(option: DriveOption, trace: Trace, prefix: str) -> None:
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
