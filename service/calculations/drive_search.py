"""The search for feasible drives: each rated chain in each number of strands on the smallest wheels that serve."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from math import cos, pi, sin, tan
from typing import TYPE_CHECKING, Literal, NamedTuple

from service.calculations.drive_option import DEFAULT_CENTRES_PITCHES, Wheels, counts_in_range
from service.calculations.drive_tables import LUBRICATION_STEPS
from service.core.conversions import KW_PER_HP
from service.core.errors import Issue, NotInReference, OutOfRange
from service.core.roller_rating import TEETH_MAX, TEETH_MIN

if TYPE_CHECKING:
    from collections.abc import Iterator

    from service.calculations.drive_option import DriveRelations
    from service.calculations.drive_tables import Edition, Lubrication, RatedChain
    from service.reference.chains import ChainSize

Reason = Literal[
    "power_beyond_table",
    "speed_beyond_table",
    "ratio_not_met",
    "large_wheel_too_many_teeth",
    "wheel_too_large",
    "centres_too_short",
    "no_even_solution",
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


# By tooth count, in pitches: square of the pitch diameter, outside diameter, and chordal speed variation in per cent.
_TEETH = range(3, 401)
_DIAMETER_SQUARED = [0.0] * 3 + [sin(pi / n) ** -2 for n in _TEETH]
_OUTSIDE = [0.0] * 3 + [0.6 + 1.0 / tan(pi / n) for n in _TEETH]
_CHORDAL_PERCENT = [0.0] * 3 + [100.0 * (1.0 - cos(pi / n)) for n in _TEETH]


class DriveSearch:
    """Walks the rated chains; every candidate costs a few arithmetic operations."""

    def __init__(self, limits: DriveConstraints, ratio: float, relations: DriveRelations) -> None:
        load, tables = relations.load, relations.tables
        self.limits = limits
        self.load = load
        self.tables = tables
        self.relations = relations
        self.rejections: list[Rejection] = []
        self.ratio = ratio if ratio >= 1.0 else 1.0 / ratio
        self.step_up = ratio < 1.0
        self.small_rpm = load.driver_speed_rpm if not self.step_up else load.driver_speed_rpm / ratio
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
        for chain in self._chains():
            yield from self._of_chain(chain)

    def _chains(self) -> tuple[RatedChain, ...]:
        """All rated chains, or those that the caller named; one without a rating is said and left out."""
        named = self.limits.chains
        if named is None:
            return self.tables.rated[self.load.edition]
        rated: dict[str, RatedChain] = {}
        issues: list[Issue] = []
        for index, size in enumerate(named):
            try:
                chain = self.tables.rated_chain(size, self.load.edition, f"constraints.chains.{index}")
            except NotInReference as unrated:
                issues += unrated.issues
            else:
                rated[chain.designation] = chain
        if not rated:
            raise NotInReference(*issues)
        for issue in issues:
            self.relations.trace.warn(issue.code, issue.message, field=issue.field)
        return tuple(rated.values())

    def _of_chain(self, chain: RatedChain) -> Iterator[Candidate]:
        need_hp = self.load.power_kw * self.load.service_factor / KW_PER_HP
        end = self.relations.range_end_rpm(chain, self.teeth[0], 0.0, self.small_rpm)
        if self.small_rpm > end:
            # An unloaded chain on the smallest wheel is too fast already; no number of strands helps.
            self.rejections.append(Rejection(chain, 1, "speed_beyond_table", self.small_rpm, end))
            return
        plate, impact = self.relations.rated_strand_hp(chain, REFERENCE_TEETH, self.small_rpm)
        most = min(self.limits.maximum_strand_count, chain.max_strand_count)
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
        limits = self.limits
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
        end = self.relations.range_end_rpm(chain, small, need_hp, self.small_rpm)
        if self.small_rpm > end:
            return Rejection(chain, strand_count, "speed_beyond_table", self.small_rpm, end)
        small_mm, large_mm = chain.pitch_mm * _OUTSIDE[small], chain.pitch_mm * _OUTSIDE[large]
        limits = self.limits
        if limits.maximum_small_diameter_mm is not None and small_mm > limits.maximum_small_diameter_mm:
            return Rejection(chain, strand_count, "wheel_too_large", small_mm, limits.maximum_small_diameter_mm)
        if limits.maximum_large_diameter_mm is not None and large_mm > limits.maximum_large_diameter_mm:
            return Rejection(chain, strand_count, "wheel_too_large", large_mm, limits.maximum_large_diameter_mm)
        miss = self._centres_miss(chain, strand_count, small, large, (small_mm + large_mm) / 2.0)
        if miss is None and limits.lubrication_at_hand is not None:
            miss = self._lubrication_miss(chain, strand_count, small, LUBRICATION_STEPS[limits.lubrication_at_hand])
        if miss is not None:
            return miss
        return Wheels(large, small, small, large) if self.step_up else Wheels(small, large, small, large)

    def _centres_miss(
        self, chain: RatedChain, strand_count: int, small: int, large: int, tips_touch_mm: float
    ) -> Rejection | None:
        """A rejection where the tooth tips would touch, or the range of centres holds no whole even count."""
        load = self.load
        shortest = load.centre_distance_mm if load.centre_range_mm is None else load.centre_range_mm[0]
        if shortest is not None and shortest <= tips_touch_mm:
            return Rejection(chain, strand_count, "centres_too_short", tips_touch_mm, shortest)
        if load.centre_range_mm is not None:
            first, last = counts_in_range(chain, small, large, self.relations)
            if first > last:
                return Rejection(chain, strand_count, "no_even_solution", first, last)
        return None

    def _lubrication_miss(self, chain: RatedChain, strand_count: int, small: int, at_hand: int) -> Rejection | None:
        speed = chain.pitch_in * small * self.small_rpm / 12.0
        kind = self.relations.lubrication_of(chain, speed, self.small_rpm)
        needed = LUBRICATION_STEPS[kind or "forced_stream"]
        if needed > at_hand:
            return Rejection(chain, strand_count, "lubrication_not_at_hand", needed + 1, at_hand + 1)
        return None

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
