"""Drive sizing: every feasible roller-chain drive for a load, ranked by a score that is shown."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from dataclasses import dataclass, field
from math import cos, pi, sin, tan
from operator import itemgetter
from typing import TYPE_CHECKING, Literal, NamedTuple

from service.calculations.drive_duty import DriveDuty, settle_duty
from service.calculations.drive_option import (
    DEFAULT_CENTRES_PITCHES,
    DriveLoad,
    DriveOption,
    DriveRelations,
    Wheels,
    evaluate,
)
from service.calculations.drive_tables import LUBRICATION_STEPS, DriveTables, Edition, Lubrication, RatedChain
from service.calculations.trace import Outcome, Trace
from service.core.conversions import KW_PER_HP
from service.core.errors import Inconsistent, Issue, OutOfRange
from service.core.roller_rating import TEETH_MAX, TEETH_MIN

if TYPE_CHECKING:
    from collections.abc import Iterator

    from service.reference.chains import ChainSize

Reason = Literal[
    "power_beyond_table",
    "speed_beyond_table",
    "ratio_not_met",
    "large_wheel_too_many_teeth",
    "wheel_too_large",
    "centres_too_short",
    "lubrication_not_at_hand",
]

REFERENCE_TEETH = 17
"""Tooth count at which the search evaluates a rating; others follow by the power of the tooth count."""

_TOOTH_POWER: dict[Edition, float] = {"older": 1.08, "newer": 1.0}
_IMPACT_POWER = 1.5

STEEL_KG_MM3 = 7.85e-6
"""Density of steel, for the ranking only: wheels are taken as plain discs as wide as the chain inside."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DriveConstraints:
    """What a drive may be; None leaves a side open."""

    chains: tuple[ChainSize, ...] | None = None
    maximum_strand_count: int = 4
    minimum_small_teeth: int | None = None
    maximum_small_teeth: int = TEETH_MAX
    maximum_large_teeth: int | None = None
    maximum_small_diameter_mm: float | None = None
    maximum_large_diameter_mm: float | None = None
    ratio_tolerance_percent: float = 3.0
    lubrication_at_hand: Lubrication | None = None


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
    limit: int = 10


class Candidate(NamedTuple):
    """A feasible chain, number of strands and pair of wheels with the terms of its score."""

    chain: RatedChain
    strand_count: int
    wheels: Wheels
    utilisation: float
    mass_kg: float
    terms: dict[str, float]


class Rejection(NamedTuple):
    """Why one chain in one number of strands is not feasible, and by how much it misses."""

    chain: RatedChain
    strand_count: int
    reason: Reason
    actual: float
    limit: float


class RankedDrive(NamedTuple):
    """A drive in the ranking."""

    option: DriveOption
    score: float
    terms: dict[str, float]


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
    duty = settle_duty(given.duty, tables, trace)
    load = DriveLoad(
        edition=given.edition,
        power_kw=duty.power_kw,
        service_factor=duty.service_factor,
        driver_speed_rpm=duty.driver_speed_rpm,
        driven_speed_rpm=duty.driven_speed_rpm,
        centre_distance_mm=_centres(given),
        offset_link_allowed=given.offset_link_allowed,
    )
    search = _Search(given, load, duty.ratio, tables, DriveRelations(load, tables, trace))
    candidates = list(search.candidates())
    lightest = min((candidate.mass_kg for candidate in candidates), default=0.0)
    ranked = sorted(_scored(candidates, lightest, tables), key=itemgetter(0, 1))
    drives = tuple(
        RankedDrive(evaluate(c.chain, c.strand_count, c.wheels, search.relations), score, c.terms)
        for score, _, c in ranked[: given.limit]
    )
    trace.note(tables.ranking_used)
    trace.caution("guard_the_drive", "isolate_and_lock_off", "local_codes")
    misses = sorted(search.rejections, key=lambda miss: abs(miss.actual / miss.limit - 1.0))
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


def _centres(given: DriveSizingInput) -> float | None:
    """The centre distance to aim at: as sent, or the middle of the range."""
    low, high = given.minimum_centre_distance_mm, given.maximum_centre_distance_mm
    if given.centre_distance_mm is not None:
        if low is not None or high is not None:
            raise Inconsistent(
                Issue(
                    "centre_distance_mm",
                    "over_determined",
                    "Send centre_distance or its range, not both: they determine each other.",
                )
            )
        return given.centre_distance_mm
    if low is None or high is None:
        return low if high is None else high
    if low > high:
        raise Inconsistent(
            Issue(
                "minimum_centre_distance_mm",
                "range_reversed",
                f"The smallest centre distance ({low:g} mm) lies above the largest ({high:g} mm).",
                high,
                low,
                "Exchange the two.",
            )
        )
    return (low + high) / 2.0


# By tooth count, in pitches: square of the pitch diameter, outside diameter, and chordal speed variation in per cent.
_TEETH = range(3, 401)
_DIAMETER_SQUARED = [0.0] * 3 + [sin(pi / n) ** -2 for n in _TEETH]
_OUTSIDE = [0.0] * 3 + [0.6 + 1.0 / tan(pi / n) for n in _TEETH]
_CHORDAL_PERCENT = [0.0] * 3 + [100.0 * (1.0 - cos(pi / n)) for n in _TEETH]


class _Search:
    """Walks the rated chains; every candidate costs a few arithmetic operations."""

    def __init__(
        self, given: DriveSizingInput, load: DriveLoad, ratio: float, tables: DriveTables, relations: DriveRelations
    ) -> None:
        self.given = given
        self.load = load
        self.tables = tables
        self.relations = relations
        self.rejections: list[Rejection] = []
        self.ratio = ratio if ratio >= 1.0 else 1.0 / ratio
        self.step_up = ratio < 1.0
        self.small_rpm = load.driver_speed_rpm if not self.step_up else load.driver_speed_rpm / ratio
        limits = given.constraints
        least = limits.minimum_small_teeth or int(tables.advice("small_wheel_teeth_min"))
        self.teeth = list(range(max(least, TEETH_MIN), min(limits.maximum_small_teeth, TEETH_MAX) + 1))
        self.large_most = limits.maximum_large_teeth or int(tables.advice("large_wheel_teeth_max"))
        if not self.teeth:
            raise OutOfRange(
                Issue(
                    "constraints.minimum_small_teeth",
                    "teeth_out_of_ratings",
                    f"The printed ratings serve small wheels of {TEETH_MIN} to {TEETH_MAX} teeth; your bounds leave "
                    "none.",
                    TEETH_MAX,
                    least,
                )
            )

    def candidates(self) -> Iterator[Candidate]:
        """Feasible drives, chain by chain."""
        named = self.given.constraints.chains
        if named is None:
            chains = self.tables.rated[self.load.edition]
        else:
            rated = [
                self.tables.rated_chain(size, self.load.edition, f"constraints.chains.{index}")
                for index, size in enumerate(named)
            ]
            chains = tuple(dict.fromkeys(rated))
        for chain in chains:
            yield from self._of_chain(chain)

    def _of_chain(self, chain: RatedChain) -> Iterator[Candidate]:
        need_hp = self.load.power_kw * self.load.service_factor / KW_PER_HP
        end = self.relations.range_end_rpm(chain, self.teeth[0], 0.0, self.small_rpm)
        if self.small_rpm > end:
            # An unloaded chain on the smallest wheel is too fast already; no number of strands helps.
            self.rejections.append(Rejection(chain, 1, "speed_beyond_table", self.small_rpm, end))
            return
        plate, impact = self.relations.rated_strand_hp(chain, REFERENCE_TEETH, self.small_rpm)
        most = min(self.given.constraints.maximum_strand_count, chain.max_strand_count)
        power = _TOOTH_POWER[self.load.edition]
        for strand_count in range(1, most + 1):
            need = need_hp / self.tables.strand_factors[strand_count].factor
            share = max((need / plate) ** (1.0 / power), (need / impact) ** (1.0 / _IMPACT_POWER))
            place = bisect_left(self.teeth, REFERENCE_TEETH * share * (1.0 - 1e-12))
            if place == len(self.teeth):
                largest = self.teeth[-1] / REFERENCE_TEETH
                best = min(plate * largest**power, impact * largest**_IMPACT_POWER)
                self.rejections.append(Rejection(chain, strand_count, "power_beyond_table", need, best))
                continue
            found = self._with_wheels(chain, strand_count, place, need)
            if isinstance(found, Rejection):
                self.rejections.append(found)
                if found.reason != "speed_beyond_table":
                    break
                continue
            wheels = found
            teeth = wheels.small / REFERENCE_TEETH
            utilisation = need / min(plate * teeth**power, impact * teeth**_IMPACT_POWER)
            yield self._candidate(chain, strand_count, wheels, utilisation)
            if place == 0:
                break

    def _with_wheels(self, chain: RatedChain, strand_count: int, place: int, need_hp: float) -> Wheels | Rejection:
        """The first wheels from a tooth count on that meet ratio and constraints."""
        limits = self.given.constraints
        closest = 1e9
        for small in self.teeth[place:]:
            large = int(small * self.ratio + 0.5)
            if large > self.large_most:
                return Rejection(chain, strand_count, "large_wheel_too_many_teeth", large, self.large_most)
            error = abs(100.0 * (large / (small * self.ratio) - 1.0))
            if error > limits.ratio_tolerance_percent:
                closest = min(closest, error)
                continue
            return self._fits(chain, strand_count, small, large, need_hp)
        return Rejection(chain, strand_count, "ratio_not_met", closest, limits.ratio_tolerance_percent)

    def _fits(self, chain: RatedChain, strand_count: int, small: int, large: int, need_hp: float) -> Wheels | Rejection:
        limits = self.given.constraints
        end = self.relations.range_end_rpm(chain, small, need_hp, self.small_rpm)
        if self.small_rpm > end:
            return Rejection(chain, strand_count, "speed_beyond_table", self.small_rpm, end)
        small_mm, large_mm = chain.pitch_mm * _OUTSIDE[small], chain.pitch_mm * _OUTSIDE[large]
        if limits.maximum_small_diameter_mm is not None and small_mm > limits.maximum_small_diameter_mm:
            return Rejection(chain, strand_count, "wheel_too_large", small_mm, limits.maximum_small_diameter_mm)
        if limits.maximum_large_diameter_mm is not None and large_mm > limits.maximum_large_diameter_mm:
            return Rejection(chain, strand_count, "wheel_too_large", large_mm, limits.maximum_large_diameter_mm)
        centres = self.load.centre_distance_mm
        if centres is not None and centres <= (small_mm + large_mm) / 2.0:
            return Rejection(chain, strand_count, "centres_too_short", (small_mm + large_mm) / 2.0, centres)
        if limits.lubrication_at_hand is not None:
            speed = chain.pitch_in * small * self.small_rpm / 12.0
            kind = self.relations.lubrication_of(chain, speed, self.small_rpm)
            needed = LUBRICATION_STEPS[kind or "forced_stream"] + 1
            at_hand = LUBRICATION_STEPS[limits.lubrication_at_hand] + 1
            if needed > at_hand:
                return Rejection(chain, strand_count, "lubrication_not_at_hand", needed, at_hand)
        return Wheels(large, small, small, large) if self.step_up else Wheels(small, large, small, large)

    def _candidate(self, chain: RatedChain, strand_count: int, wheels: Wheels, utilisation: float) -> Candidate:
        centres = self.load.centre_distance_mm
        pitches = 2.0 * (DEFAULT_CENTRES_PITCHES if centres is None else centres / chain.pitch_mm)
        pitches += (wheels.driver + wheels.driven) / 2.0
        chain_kg = (chain.mass_kg_m or 0.0) * pitches * chain.pitch_mm / 1000.0
        squares = _DIAMETER_SQUARED[wheels.small] + _DIAMETER_SQUARED[wheels.large]
        discs_kg = STEEL_KG_MM3 * pi / 4.0 * chain.wheel_width_mm * chain.pitch_mm * chain.pitch_mm * squares
        mass = strand_count * (chain_kg + discs_kg)
        weight = self.tables.weights
        speed = chain.pitch_in * wheels.small * self.small_rpm / 12.0
        kind = self.relations.lubrication_of(chain, speed, self.small_rpm)
        error = abs(wheels.large / (wheels.small * self.ratio) - 1.0) * 100.0
        terms = {
            "strands": weight["strands"] * (strand_count - 1),
            "chordal_variation": weight["chordal_variation"] * _CHORDAL_PERCENT[wheels.small],
            "ratio_error": weight["ratio_error"] * error,
            "lubrication": weight["lubrication"] * LUBRICATION_STEPS[kind or "forced_stream"],
            "even_teeth": weight["even_teeth"] * (wheels.small % 2 == 0),
            "small_reserve": weight["small_reserve"] * max(0.0, utilisation - 0.9),
        }
        return Candidate(chain, strand_count, wheels, utilisation, mass, terms)


def _scored(
    candidates: list[Candidate], lightest_kg: float, tables: DriveTables
) -> Iterator[tuple[float, int, Candidate]]:
    """Candidates with their score; the mass term is added here, since it needs the lightest of all."""
    weight = tables.weights["mass"]
    for place, candidate in enumerate(candidates):
        heavier = candidate.mass_kg / lightest_kg if lightest_kg > 0 else 1.0
        candidate.terms["mass"] = weight * (heavier - 1.0)
        yield sum(candidate.terms.values()), place, candidate
