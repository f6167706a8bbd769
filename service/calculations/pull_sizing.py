"""Sizing of engineering-class drives by their chain pull, ranked in a list of their own."""

from __future__ import annotations

from collections import Counter
from operator import attrgetter
from typing import TYPE_CHECKING

from service.calculations.drive_scores import Weights, ranking, with_mass
from service.calculations.drive_warnings import IN_SIZINGS, POWER_SUSPECT_KW
from service.calculations.pull_check import warn_of_pull
from service.calculations.pull_drive import PullOption, evaluate_pull, pull_loads
from service.calculations.pull_search import PullConstraints, PullMiss, PullSearch
from service.calculations.pull_tables import count_by_family, pull_size
from service.core.errors import Issue, NotInReference
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.drive_duty import SettledDuty
    from service.calculations.drive_layout import Centres
    from service.calculations.drive_search import DriveConstraints
    from service.calculations.drive_tables import DriveTables
    from service.calculations.pull_tables import PullSize
    from service.calculations.trace import Trace
    from service.reference.chains import ChainSize


class RankedPull(Record, frozen=True):
    """A drive in the ranking."""

    option: PullOption
    score: float
    terms: Weights


class PullSizingResult(Record, frozen=True, kw_only=True):
    """The ranking, how many sizes serve, why others do not, and how many could not be judged by family."""

    service_factor: float
    drives: tuple[RankedPull, ...]
    feasible_count: int
    judged_count: int
    rejected_counts: dict[str, int]
    nearest_misses: tuple[PullMiss, ...]
    without_allowable_load: dict[str, int]


class PullRequest(Record, frozen=True, kw_only=True):
    """The duty, what the drive may be, and how many are wanted; ``alone`` where no other kind was asked for."""

    duty: SettledDuty
    service_factor: float
    centres: Centres
    constraints: PullConstraints
    named: tuple[ChainSize, ...] | None
    limit: int
    alone: bool


def pull_constraints(limits: DriveConstraints, tables: DriveTables) -> PullConstraints:
    """The constraints that hold for engineering-class chain; strands, bores and lubrication are none of them."""
    return PullConstraints(
        minimum_small_teeth=limits.minimum_small_teeth,
        maximum_small_teeth=limits.maximum_small_teeth,
        maximum_large_teeth=limits.maximum_large_teeth or int(tables.advice("large_wheel_teeth_max")),
        maximum_small_diameter_mm=limits.maximum_small_diameter_mm,
        maximum_large_diameter_mm=limits.maximum_large_diameter_mm,
        ratio_tolerance_percent=limits.ratio_tolerance_percent,
    )


def size_by_pull(request: PullRequest, tables: DriveTables, trace: Trace) -> PullSizingResult:
    """Rank the engineering-class drives whose working load and static load stay within the allowable one.

    Of each size the wheels that score best are taken.

    Raises:
        NotInReference: the tables hold no allowable load of any chain named.
        OutOfRange: the bounds leave no wheel, or every size runs faster than the printed factors reach.
    """
    sizes, unjudged = _sizes(request, tables)
    search = PullSearch(request.constraints, request.duty, request.service_factor, request.centres, tables)
    best: dict[str, RankedPull] = {}
    for score, mass, found in ranking(list(search.candidates(sizes)), tables.weights.mass):
        name = found.chain.size.designation
        if name not in best and len(best) < request.limit:
            option = evaluate_pull(search.case(found.chain, found.wheels), tables, trace)
            if found.chain.plate_height_mm is not None:
                trace.figure(found.chain.size, "plate_height")
            best[name] = RankedPull(option, score, with_mass(found.terms, mass))
    drives = tuple(best.values())
    misses = tuple(sorted(search.misses, key=attrgetter("miss"))[:5])
    if drives:
        warn_of_pull(drives[0].option, IN_SIZINGS, tables, trace, request.duty.load_field)
    else:
        _nothing_fits(search, request, tables, trace)
    _tell_pitch_circles(request.constraints, trace)
    for miss in misses:
        if miss.reason == "load_beyond_allowable":
            trace.figure(miss.chain.size, "allowable_load")
    message = (
        "Power ratings of engineering-class chain are not in the tables. Its drives are judged by their chain pull."
    )
    trace.warn("pull_method_used", message, severity="info", field="chain_kind")
    return PullSizingResult(
        service_factor=request.service_factor,
        drives=drives,
        feasible_count=len(sizes) - len(search.misses),
        judged_count=len(sizes),
        rejected_counts=dict(Counter(miss.reason for miss in search.misses)),
        nearest_misses=misses,
        without_allowable_load=count_by_family(unjudged),
    )


def _sizes(request: PullRequest, tables: DriveTables) -> tuple[tuple[PullSize, ...], tuple[ChainSize, ...]]:
    """Sizes that can be judged, and those that cannot, of which the tables hold no allowable load."""
    if request.named is None:
        return tables.pull.sizes, tables.pull.unjudged
    named = {size.designation: size for size in request.named}.values()
    judged = tuple(found for size in named if (found := pull_size(size)) is not None)
    unjudged = tuple(size for size in named if pull_size(size) is None)
    if not judged:
        names = ", ".join(size.designation for size in unjudged)
        message = f"The tables hold no allowable load of {names}, with which the pull method compares."
        hint = "POST /v1/drive-checks judges such a chain by the allowable_load of its maker, sent in own_chain."
        raise NotInReference(Issue("constraints.chains", "figure_not_in_reference", message, None, names, hint))
    return judged, unjudged


def _tell_pitch_circles(limits: PullConstraints, trace: Trace) -> None:
    """Say that a bound of a diameter was compared with the pitch circle."""
    for name in ("maximum_small_diameter_mm", "maximum_large_diameter_mm"):
        if getattr(limits, name) is not None:
            message = (
                "Outside diameters of engineering-class wheels are not published: their pitch circles were compared "
                f"with {name.removesuffix('_mm')}, beyond which teeth and chain reach."
            )
            trace.warn("form_not_published", message, field=f"constraints.{name}")


def _nothing_fits(search: PullSearch, request: PullRequest, tables: DriveTables, trace: Trace) -> None:
    """Say what kills most sizes.

    Raises:
        OutOfRange: every size runs faster than the factors reach, and it may refuse; told as by a check.
    """
    reasons = Counter(miss.reason for miss in search.misses)
    if request.alone and set(reasons) == {"speed_beyond_table"}:
        nearest = min(search.misses, key=attrgetter("miss"))
        wheels = next(pair.wheels for pair in search.pairs if pair.wheels.small == nearest.teeth)
        pull_loads(search.case(nearest.chain, wheels), nearest.chain.pitch_mm, tables, trace)
    main, count = reasons.most_common(1)[0]
    trace.warn(
        "no_feasible_option",
        f"No engineering-class drive fits: {count} of {len(search.misses)} sizes with an allowable load fail for "
        f"{main.replace('_', ' ')}; the nearest misses are listed.",
    )
    power_kw = request.duty.power_kw
    if main == "load_beyond_allowable" and power_kw >= POWER_SUSPECT_KW:
        message = f"{power_kw:g} kW is beyond every chain here: were {power_kw / 1000:g} kW meant?"
        trace.warn("power_suspect", message, field=request.duty.load_field)
