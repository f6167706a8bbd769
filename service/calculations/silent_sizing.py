"""Sizing of silent-chain drives: the feasible ones of the rated generation, ranked in a list of their own."""

from __future__ import annotations

from operator import attrgetter
from typing import TYPE_CHECKING

from service.calculations.drive_scores import Weights, ranking, with_mass
from service.calculations.drive_warnings import IN_SIZINGS, POWER_SUSPECT_KW
from service.calculations.silent_drive import (
    SilentCase,
    SilentOption,
    evaluate_silent,
    warn_of_generation,
    warn_of_silent,
)
from service.calculations.silent_search import RESTS_ON_RATINGS, SilentConstraints, SilentMiss, SilentSearch
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.drive_search import DriveConstraints
    from service.calculations.drive_tables import DriveTables
    from service.calculations.silent_tables import SilentWidth
    from service.calculations.trace import Trace


def silent_constraints(
    limits: DriveConstraints, widths: tuple[SilentWidth, ...] | None, tables: DriveTables
) -> SilentConstraints:
    """The constraints that hold for silent chain; strands are none of them."""
    return SilentConstraints(
        widths=widths,
        minimum_small_teeth=limits.minimum_small_teeth,
        maximum_small_teeth=limits.maximum_small_teeth,
        maximum_large_teeth=limits.maximum_large_teeth or int(tables.advice("large_wheel_teeth_max")),
        maximum_small_diameter_mm=limits.maximum_small_diameter_mm,
        maximum_large_diameter_mm=limits.maximum_large_diameter_mm,
        ratio_tolerance_percent=limits.ratio_tolerance_percent,
        greatest_speed_ft_min=(
            tables.advice("silent_drip_speed_max") if limits.lubrication_at_hand == "manual_or_drip" else None
        ),
    )


class RankedSilent(Record, frozen=True):
    """A drive in the ranking."""

    option: SilentOption
    score: float
    terms: Weights


class SilentSizingResult(Record, frozen=True):
    """The ranking, how many drives were feasible, and why other pitches are not among them."""

    generation: str
    service_factor: float
    drives: tuple[RankedSilent, ...]
    feasible_count: int
    misses: tuple[SilentMiss, ...]


class SilentRequest(Record, frozen=True):
    """What a silent-chain drive may be, and how many are wanted."""

    constraints: SilentConstraints
    ratio: float
    limit: int
    load_field: str


def size_silent(request: SilentRequest, case: SilentCase, tables: DriveTables, trace: Trace) -> SilentSizingResult:
    """Rank all feasible silent-chain drives.

    For each pitch and standard width the smallest wheels that carry the load are taken.
    """
    search = SilentSearch(request.constraints, case, request.ratio, tables.weights)
    candidates = list(search.candidates())
    drives = tuple(
        RankedSilent(
            evaluate_silent(found.option.width, found.option.wheels, case, trace), score, with_mass(found.terms, mass)
        )
        for score, mass, found in ranking(candidates, tables.weights.mass)[: request.limit]
    )
    if drives:
        warn_of_silent(drives[0].option, case, tables, trace, IN_SIZINGS)
    else:
        reasons = ", ".join(dict.fromkeys(miss.reason.replace("_", " ") for miss in search.misses))
        trace.warn(
            "no_feasible_option", f"No silent-chain drive fits: {reasons}; each pitch is listed with its reason."
        )
        if case.power_kw >= POWER_SUSPECT_KW and any(miss.reason == "power_beyond_table" for miss in search.misses):
            message = f"{case.power_kw:g} kW is beyond every chain here: were {case.power_kw / 1000:g} kW meant?"
            trace.warn("power_suspect", message, field=request.load_field)
    for miss in search.misses:
        if miss.reason in RESTS_ON_RATINGS:
            trace.note(case.tables.pitches[miss.pitch_in].used)
            warn_of_generation(case.tables, trace)
        elif miss.reason == "lubrication_not_at_hand":
            trace.note(tables.advice_used("silent_drip_speed_max"))
    return SilentSizingResult(
        generation=case.tables.generation,
        service_factor=case.service_factor,
        drives=drives,
        feasible_count=len(candidates),
        misses=tuple(sorted(search.misses, key=attrgetter("pitch_in"))),
    )
