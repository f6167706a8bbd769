"""Drive sizing: every feasible roller-chain drive for a load, ranked by a score that is shown."""

from __future__ import annotations

from collections import Counter
from operator import attrgetter
from typing import TYPE_CHECKING

from service.calculations.centres import other_unit
from service.calculations.drive_duty import DriveDuty, OwnService, SettledDuty, settle_duty
from service.calculations.drive_iso import IsoComparison, IsoMethod
from service.calculations.drive_layout import Centres, settle_centres
from service.calculations.drive_option import DriveOption, evaluate
from service.calculations.drive_relations import DriveLoad, DriveRelations
from service.calculations.drive_scores import Weights, ranking, with_mass
from service.calculations.drive_search import Candidate, DriveConstraints, DriveSearch, Rejection
from service.calculations.drive_unused import unused_in_sizing
from service.calculations.drive_warnings import IN_SIZINGS, POWER_SUSPECT_KW, warn_of, warn_of_shock
from service.calculations.pull_service import pull_hours_note, settle_pull_factor
from service.calculations.pull_sizing import PullRequest, PullSizingResult, pull_constraints, size_by_pull
from service.calculations.refusals import Refusals
from service.calculations.silent_drive import SilentCase
from service.calculations.silent_service import SilentLoad, hours_note, settle_silent_factor
from service.calculations.silent_sizing import SilentRequest, SilentSizingResult, silent_constraints, size_silent
from service.calculations.sizing_kinds import ChainKind, Kind, kinds_of, split_named
from service.calculations.trace import Outcome, Trace
from service.core.errors import Issue, OutOfRange
from service.core.roller_rating import SPEED_MIN_RPM
from service.reference.records import Record, field, replace

if TYPE_CHECKING:
    from service.calculations.drive_tables import DriveTables, Edition
    from service.calculations.silent_tables import SilentTables


class DriveSizingInput(Record, frozen=True, kw_only=True):
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
    chain_kind: ChainKind = "roller"
    silent_load: SilentLoad | None = None


class RankedDrive(Record, frozen=True):
    """A drive in the ranking."""

    option: DriveOption
    score: float
    terms: Weights
    iso: IsoComparison | None = None


class RollerSizing(Record, frozen=True):
    """The ranking of roller-chain drives, how many were feasible, and why others are not."""

    load: DriveLoad
    drives: tuple[RankedDrive, ...]
    feasible_count: int
    rejected_counts: dict[str, int]
    nearest_misses: tuple[Rejection, ...]


class DriveSizingResult(Record, frozen=True, kw_only=True):
    """Drives of the kinds of chain that were asked for; None for a kind that was not."""

    duty: SettledDuty
    roller: RollerSizing | None
    silent: SilentSizingResult | None
    engineering: PullSizingResult | None


def size_drive(
    given: DriveSizingInput, tables: DriveTables, silent_tables: SilentTables, *, keep_steps: bool = False
) -> Outcome[DriveSizingResult]:
    """Rank all feasible drives.

    For each chain and number of strands the smallest wheel that carries the load is taken; more strands on the same
    wheels are left out, since they only add mass.

    Raises:
        Inconsistent, MoreNeeded, OutOfRange: the duty or the constraints do not hold together.
        NotInReference: a named chain has no rating, or no allowable load.
    """
    trace = Trace(keep_steps=keep_steps)
    kinds = kinds_of(given.chain_kind)
    duty, centres, factors = _settle(given, kinds, tables, silent_tables, trace)
    named = split_named(given.constraints.chains, given.chain_kind, silent_tables)
    roller = silent = engineering = None
    if "roller" in kinds:
        allowed = replace(given.constraints, chains=named.roller)
        roller = _size_roller(replace(given, constraints=allowed), duty, centres, tables, trace)
    if "silent" in kinds:
        case = SilentCase(
            power_kw=duty.power_kw,
            service_factor=factors["silent"],
            driver_speed_rpm=duty.driver_speed_rpm,
            driven_speed_rpm=duty.driven_speed_rpm,
            centres=centres,
            tables=silent_tables,
            at=duty.at,
        )
        constraints = silent_constraints(given.constraints, named.silent, tables)
        request = SilentRequest(constraints, duty.ratio, given.limit, duty.load_field)
        silent = size_silent(request, case, tables, trace)
    if "engineering" in kinds:
        wanted = PullRequest(
            duty=duty,
            service_factor=factors["engineering"],
            centres=centres,
            constraints=pull_constraints(given.constraints, tables),
            named=named.engineering,
            limit=given.limit,
            alone=len(kinds) == 1,
        )
        engineering = size_by_pull(wanted, tables, trace)
    unused_in_sizing(given, kinds, trace)
    trace.note(tables.ranking_used)
    trace.caution("guard_the_drive", "isolate_and_lock_off", "local_codes")
    return Outcome(DriveSizingResult(duty=duty, roller=roller, silent=silent, engineering=engineering), trace)


def _settle(
    given: DriveSizingInput,
    kinds: tuple[Kind, ...],
    tables: DriveTables,
    silent_tables: SilentTables,
    trace: Trace,
) -> tuple[SettledDuty, Centres, dict[Kind, float]]:
    """Duty, centres and the service factor of each kind that has a table of its own; all faults are told at once."""
    refusals = Refusals()
    sent = given.duty
    own: dict[Kind, OwnService] = {}
    if "silent" in kinds:
        note = hours_note(sent, given.silent_load)
        own["silent"] = OwnService(
            factor=lambda: settle_silent_factor(sent, given.silent_load, silent_tables.factors, trace),
            hours_note=note,
        )
    if "engineering" in kinds:
        own["engineering"] = OwnService(
            factor=lambda: settle_pull_factor(sent, tables, trace), hours_note=pull_hours_note(sent)
        )
    alone = own.get(kinds[0]) if len(kinds) == 1 else None
    duty = refusals.attempt(settle_duty, sent, tables, trace, service=alone)
    centres = refusals.attempt(
        settle_centres,
        given.centre_distance_mm,
        given.minimum_centre_distance_mm,
        given.maximum_centre_distance_mm,
        offset_link_allowed=given.offset_link_allowed,
    )
    if alone is not None:
        refusals.tell()
        return duty.value, centres.value, {kinds[0]: duty.value.service_factor}
    beside = {kind: refusals.attempt(service.factor) for kind, service in own.items()}
    refusals.tell()
    return duty.value, centres.value, {kind: part.value for kind, part in beside.items()}


def _size_roller(
    given: DriveSizingInput, duty: SettledDuty, centres: Centres, tables: DriveTables, trace: Trace
) -> RollerSizing | None:
    """The ranking of roller chain; None below its ratings where chain that is judged by its pull is asked for too."""
    load = DriveLoad(
        edition=given.edition,
        power_kw=duty.power_kw,
        service_factor=duty.service_factor,
        driver_speed_rpm=duty.driver_speed_rpm,
        driven_speed_rpm=duty.driven_speed_rpm,
        centres=centres,
    )
    search = DriveSearch(given.constraints, duty.ratio, DriveRelations(load, tables, trace))
    if search.slowest_rpm < SPEED_MIN_RPM:
        issue = _too_slow(search, duty)
        if given.chain_kind != "all":
            raise OutOfRange(issue)
        message = f"{issue.message} No roller chain is listed; engineering-class chain is judged by its pull."
        trace.warn("pull_method_used", message, severity="info", field=issue.field)
        return None
    candidates = list(search.candidates())
    if not candidates:
        _nothing_fits(search, duty, trace, refuse=given.chain_kind == "roller")
    iso = IsoMethod(duty, tables, trace) if given.compare_iso_10823 else None
    drives = tuple(
        _ranked(search, candidate, score, mass, iso)
        for score, mass, candidate in ranking(candidates, tables.weights.mass)[: given.limit]
    )
    if drives:
        first = drives[0].option
        warn_of(first, tables, trace, IN_SIZINGS, duty.load_field)
        warn_of_shock(duty.load_class, first.wheels.small, tables, trace, IN_SIZINGS.small)
    return RollerSizing(
        load=load,
        drives=drives,
        feasible_count=len(candidates),
        rejected_counts=dict(Counter(miss.reason for miss in search.rejections)),
        nearest_misses=tuple(sorted(search.rejections, key=attrgetter("miss"))[:5]),
    )


def _too_slow(search: DriveSearch, duty: SettledDuty) -> Issue:
    return Issue(
        f"{duty.at}.driver_speed_rpm",
        "speed_below_table",
        f"{search.slowest_rpm:.3g} r/min of the small wheel is slower than the power ratings reach.",
        SPEED_MIN_RPM,
        search.slowest_rpm,
        "Choose a chain by its pull: chain_kind engineering searches so, and POST /v1/drive-checks judges one so.",
    )


def _nothing_fits(search: DriveSearch, duty: SettledDuty, trace: Trace, *, refuse: bool) -> None:
    """Say what kills most options.

    Raises:
        OutOfRange: speed or centre distance are such that their unit is in doubt, and it may refuse.
    """
    if refuse:
        _refuse_nonsense(search, duty)
    reasons = Counter(miss.reason for miss in search.rejections)
    main, count = reasons.most_common(1)[0]
    trace.warn(
        "no_feasible_option",
        f"No roller-chain drive fits: {count} of {len(search.rejections)} options fail for {main.replace('_', ' ')}; "
        "the nearest misses are listed.",
    )
    if main == "power_beyond_table" and duty.power_kw >= POWER_SUSPECT_KW:
        trace.warn(
            "power_suspect",
            f"{duty.power_kw:g} kW is beyond every chain here: were {duty.power_kw:g} W meant, that is "
            f"{duty.power_kw / 1000:g} kW?",
            field=duty.load_field,
        )


def _refuse_nonsense(search: DriveSearch, duty: SettledDuty) -> None:
    """Refuse figures that no chain can meet and another unit would explain.

    Raises:
        OutOfRange: every rated chain is too fast even unloaded, or the centres are too short in this unit only.
    """
    if {miss.reason for miss in search.rejections} == {"speed_beyond_table"}:
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
    if short and search.load.centres.range_mm is None:
        shortest = min(short, key=attrgetter("actual"))
        suspects = other_unit("centre_distance_mm", shortest.limit, shortest.actual)
        if suspects:
            raise OutOfRange(*suspects)


def _ranked(search: DriveSearch, candidate: Candidate, score: float, mass: float, iso: IsoMethod | None) -> RankedDrive:
    option = evaluate(candidate.chain, candidate.strand_count, candidate.wheels, search.relations, candidate.known)
    return RankedDrive(option, score, with_mass(candidate.terms, mass), None if iso is None else iso.compare(option))
