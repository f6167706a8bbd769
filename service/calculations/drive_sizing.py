"""Drive sizing: every feasible roller-chain drive for a load, ranked by a score that is shown."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from operator import attrgetter, itemgetter
from typing import TYPE_CHECKING, NamedTuple

from service.calculations.centres import other_unit
from service.calculations.drive_duty import DriveDuty, SettledDuty, settle_duty
from service.calculations.drive_iso import IsoComparison, IsoMethod
from service.calculations.drive_option import DriveOption, evaluate
from service.calculations.drive_relations import DriveLoad, DriveRelations
from service.calculations.drive_search import Candidate, DriveConstraints, DriveSearch, Rejection
from service.calculations.drive_tables import Weights
from service.calculations.drive_warnings import POWER_SUSPECT_KW, warn_of
from service.calculations.refusals import Refusals
from service.calculations.trace import Outcome, Trace
from service.core.errors import Inconsistent, Issue, MoreNeeded, OutOfRange

if TYPE_CHECKING:
    from service.calculations.drive_tables import DriveTables, Edition


@dataclass(frozen=True, slots=True, kw_only=True)
class DriveSizingInput:
    """The load, where the shafts stand, and what the drive may be."""

    duty: DriveDuty
    edition: Edition = "older"
    centre_distance_mm: float | None = None
    minimum_centre_distance_mm: float | None = None
    maximum_centre_distance_mm: float | None = None
    offset_link_allowed: bool = False
    constraints: DriveConstraints = field(default_factory=DriveConstraints)
    compare_iso_10823: bool = False
    limit: int = 10


class RankedDrive(NamedTuple):
    """A drive in the ranking."""

    option: DriveOption
    score: float
    terms: Weights
    iso: IsoComparison | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DriveSizingResult:
    """The ranking, how many drives were feasible, and why others are not."""

    load: DriveLoad
    ratio: float
    drives: tuple[RankedDrive, ...]
    feasible_count: int
    rejected_counts: dict[str, int]
    nearest_misses: tuple[Rejection, ...]


def size_drive(given: DriveSizingInput, tables: DriveTables, *, keep_steps: bool = False) -> Outcome[DriveSizingResult]:
    """Rank all feasible drives.

    For each chain and number of strands the smallest wheel that carries the load is taken; more strands on the same
    wheels are left out, since they only add mass.

    Raises:
        Inconsistent, MoreNeeded, OutOfRange: the duty or the constraints do not hold together.
        NotInReference: a named chain has no rating.
    """
    trace = Trace(keep_steps=keep_steps)
    refusals = Refusals()
    settled = refusals.attempt(settle_duty, given.duty, tables, trace)
    shafts = refusals.attempt(_centres, given)
    refusals.tell()
    duty, centres = settled.value, shafts.value
    load = DriveLoad(
        edition=given.edition,
        power_kw=duty.power_kw,
        service_factor=duty.service_factor,
        driver_speed_rpm=duty.driver_speed_rpm,
        driven_speed_rpm=duty.driven_speed_rpm,
        centre_distance_mm=centres.aim_mm,
        centre_range_mm=centres.range_mm,
        offset_link_allowed=given.offset_link_allowed,
    )
    search = DriveSearch(given.constraints, duty.ratio, DriveRelations(load, tables, trace))
    candidates = list(search.candidates())
    if not candidates:
        _nothing_fits(search, duty, trace)
    iso = IsoMethod(duty, tables, trace) if given.compare_iso_10823 else None
    drives = tuple(
        _ranked(search, candidate, score, mass, iso)
        for score, mass, candidate in ranking(candidates, tables.weights.mass)[: given.limit]
    )
    if drives:
        warn_of(drives[0].option, tables, trace)
    trace.note(tables.ranking_used)
    trace.caution("guard_the_drive", "isolate_and_lock_off", "local_codes")
    misses = sorted(search.rejections, key=attrgetter("miss"))
    return Outcome(
        DriveSizingResult(
            load=load,
            ratio=duty.ratio,
            drives=drives,
            feasible_count=len(candidates),
            rejected_counts=dict(Counter(miss.reason for miss in search.rejections)),
            nearest_misses=tuple(misses[:5]),
        ),
        trace,
    )


def _nothing_fits(search: DriveSearch, duty: SettledDuty, trace: Trace) -> None:
    """Say what kills most options.

    Raises:
        OutOfRange: every rated chain is too fast even unloaded, so that the speed itself is in doubt, or the centre
            distance is one that another unit would make a usual one.
    """
    reasons = Counter(miss.reason for miss in search.rejections)
    if set(reasons) == {"speed_beyond_table"}:
        highest = max(miss.limit for miss in search.rejections)
        raise OutOfRange(
            Issue(
                f"{duty.at}.driver_speed_rpm",
                "speed_beyond_table",
                f"{search.small_rpm:.6g} r/min on the small wheel is beyond the printed ratings of every chain; the "
                f"last one ends at {highest:.0f} r/min.",
                highest,
                search.small_rpm,
                "Are the units right (r/min, not rad/s or Hz)? Else fewer teeth or another kind of drive.",
            )
        )
    short = [miss for miss in search.rejections if miss.reason == "centres_too_short"]
    if short and search.load.centre_range_mm is None:
        shortest = min(short, key=lambda miss: miss.actual)
        suspects = other_unit("centre_distance_mm", shortest.limit, shortest.actual)
        if suspects:
            raise OutOfRange(*suspects)
    main, count = reasons.most_common(1)[0]
    trace.warn(
        "no_feasible_option",
        f"No drive fits: {count} of {len(search.rejections)} options fail for {main.replace('_', ' ')}; the nearest "
        "misses are listed.",
    )
    if main == "power_beyond_table" and duty.power_kw >= POWER_SUSPECT_KW:
        trace.warn(
            "power_suspect",
            f"{duty.power_kw:g} kW is beyond every chain here: were {duty.power_kw:g} W meant, that is "
            f"{duty.power_kw / 1000:g} kW?",
            field=f"{duty.at}.power_kw",
        )


class _Centres(NamedTuple):
    aim_mm: float | None
    range_mm: tuple[float, float] | None


def _centres(given: DriveSizingInput) -> _Centres:
    """The centre distance to aim at, as sent or the middle of the range, and the range.

    Raises:
        Inconsistent: both were sent, or the range is reversed.
        MoreNeeded: one end of the range is missing.
    """
    low, high = given.minimum_centre_distance_mm, given.maximum_centre_distance_mm
    if low is None and high is None:
        return _Centres(given.centre_distance_mm, None)
    if given.centre_distance_mm is not None:
        message = "Send centre_distance or its range, not both: they determine each other."
        raise Inconsistent(Issue("centre_distance_mm", "over_determined", message))
    if low is None or high is None:
        missing = "minimum_centre_distance_mm" if low is None else "maximum_centre_distance_mm"
        raise MoreNeeded(Issue(missing, "field_required", "A range of centre distances needs both ends."))
    if low > high:
        message = f"The smallest centre distance ({low:g} mm) lies above the largest ({high:g} mm)."
        raise Inconsistent(
            Issue("minimum_centre_distance_mm", "range_reversed", message, high, low, "Exchange the two.")
        )
    return _Centres((low + high) / 2.0, (low, high))


def _ranked(search: DriveSearch, candidate: Candidate, score: float, mass: float, iso: IsoMethod | None) -> RankedDrive:
    option = evaluate(candidate.chain, candidate.strand_count, candidate.wheels, search.relations)
    terms = Weights(*candidate.terms[:-1], mass)
    return RankedDrive(option, score, terms, None if iso is None else iso.compare(option))


def ranking(candidates: list[Candidate], weight: float) -> list[tuple[float, float, Candidate]]:
    """Score, term of mass and candidate, the lowest score first; equal ones keep their order.

    The term of mass is added here, since it needs the lightest of all.
    """
    lightest = min((candidate.mass_kg for candidate in candidates), default=0.0)
    scored = []
    for candidate in candidates:
        mass = weight * (candidate.mass_kg / lightest - 1.0) if lightest > 0 else 0.0
        scored.append((sum(candidate.terms) + mass, mass, candidate))
    return sorted(scored, key=itemgetter(0))
