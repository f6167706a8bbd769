"""The search for engineering-class drives: each size with an allowable load on every pair of wheels of the table."""

from __future__ import annotations

from math import inf, pi
from operator import attrgetter
from typing import TYPE_CHECKING, Literal, NamedTuple

from service.calculations.drive_layout import Shafts, pairs_for_ratio
from service.calculations.drive_relations import Wheels
from service.calculations.drive_scores import Weights
from service.calculations.pull_drive import PullCase, pull_loads
from service.calculations.trace import Trace
from service.core.chain_length import touching_centre_distance
from service.core.conversions import MM_PER_INCH
from service.core.errors import Issue, OutOfRange
from service.core.speeds import chain_speed_ft_min, chordal_speed_variation
from service.core.sprocket import pitch_diameter
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Iterator

    from service.calculations.drive_duty import SettledDuty
    from service.calculations.drive_layout import Centres
    from service.calculations.drive_tables import DriveTables
    from service.calculations.pull_tables import PullSize

PullReason = Literal[
    "load_beyond_allowable",
    "speed_beyond_table",
    "ratio_not_met",
    "wheel_too_large",
    "centres_too_short",
    "no_even_solution",
]

STEEL_KG_MM3 = 7.85e-6
"""Density of steel (common practice), for the ranking only: the tables hold few masses of these chains, so a bar as
thick as the plates are high stands for the chain, and discs of that width stand for its wheels."""


class PullConstraints(Record, frozen=True, kw_only=True):
    """What an engineering-class drive may be; None leaves a side open."""

    minimum_small_teeth: int | None = None
    maximum_small_teeth: int = 24
    maximum_large_teeth: int = 120
    maximum_small_diameter_mm: float | None = None
    maximum_large_diameter_mm: float | None = None
    ratio_tolerance_percent: float = 3.0


class PullMiss(Record, frozen=True):
    """Why a size does not serve, on the wheels of ``teeth`` where it comes nearest, and by how much it misses."""

    chain: PullSize
    teeth: int
    reason: PullReason
    actual: float
    limit: float

    @property
    def miss(self) -> float:
        """How far the actual value is from its limit, as a share of the limit; infinite where the limit is zero."""
        return abs(self.actual / self.limit - 1.0) if self.limit else inf


class PullCandidate(Record, frozen=True):
    """A feasible size and pair of wheels with the terms of its score, that of mass still zero."""

    chain: PullSize
    wheels: Wheels
    mass_kg: float
    terms: Weights


class _Failure(NamedTuple):
    """Why no chain of a pitch serves on a pair of wheels."""

    reason: PullReason
    actual: float
    limit: float


class _Pair(NamedTuple):
    """Wheels that meet the ratio, with what is the same for every pitch."""

    wheels: Wheels
    small_rpm: float
    last_speed_ft_min: float
    small_pitches: float
    large_pitches: float
    touching_pitches: float
    terms: Weights


class PullSearch:
    """Walks the sizes that have an allowable load; what it tries is kept apart from the trace of the answer."""

    def __init__(
        self,
        limits: PullConstraints,
        duty: SettledDuty,
        service_factor: float,
        centres: Centres,
        tables: DriveTables,
    ) -> None:
        self.limits = limits
        self.duty = duty
        self.service_factor = service_factor
        self.centres = centres
        self.tables = tables
        self.shafts = Shafts(centres, Trace())
        self.misses: list[PullMiss] = []
        self._by_pitch: dict[tuple[float, int], float | _Failure] = {}
        self.pairs = self._pairs()

    def candidates(self, sizes: tuple[PullSize, ...]) -> Iterator[PullCandidate]:
        """Feasible drives, size by size; of a size without any, the nearest miss is kept."""
        for chain in sizes:
            found, misses = [], []
            for pair in self.pairs:
                tried = self._try(chain, pair)
                if isinstance(tried, PullMiss):
                    misses.append(tried)
                else:
                    found.append(tried)
            if not found:
                self.misses.append(self._nearest(chain, misses))
            yield from found

    def case(self, chain: PullSize, wheels: Wheels) -> PullCase:
        """A size on a pair of wheels under the duty, as a check of that drive sees it."""
        return PullCase(
            size=chain.size,
            strand_count=1,
            wheels=wheels,
            power_kw=self.duty.power_kw,
            service_factor=self.service_factor,
            driver_speed_rpm=self.duty.driver_speed_rpm,
            centres=self.centres,
            at=self.duty.at,
        )

    def _pairs(self) -> list[_Pair]:
        """Pairs of wheels that meet the ratio, the small one inside the table of factors.

        Raises:
            OutOfRange: the bounds of the caller leave no small wheel.
        """
        limits, duty, printed = self.limits, self.duty, self.tables.pull
        least = max(limits.minimum_small_teeth or 0, printed.listed[0])
        # More teeth than are listed have the factor of the most as an upper bound.
        most = min(max(printed.listed[-1], least), limits.maximum_small_teeth)
        if least > most:
            side = "maximum" if limits.minimum_small_teeth is None else "minimum"
            message = (
                f"The factors of speed and teeth serve small wheels of {printed.listed[0]} teeth and more; the bounds "
                f"of {least} to {limits.maximum_small_teeth} leave none."
            )
            raise OutOfRange(Issue(f"constraints.{side}_small_teeth", "teeth_out_of_ratings", message, None, least))
        ratio = max(duty.ratio, 1.0 / duty.ratio)
        near = pairs_for_ratio(
            list(range(least, most + 1)), ratio, limits.maximum_large_teeth, limits.ratio_tolerance_percent
        )
        # A bound of the large wheel below the small one leaves no wheel for it.
        return [self._pair(small, large) for small, large in near if large >= small]

    def _pair(self, small: int, large: int) -> _Pair:
        wheels = Wheels.of(large, small) if self.duty.ratio < 1.0 else Wheels.of(small, large)
        return _Pair(
            wheels=wheels,
            small_rpm=self.duty.driver_speed_rpm * wheels.driver / small,
            last_speed_ft_min=self.tables.pull.lines(min(small, self.tables.pull.listed[-1])).last_speed_ft_min,
            small_pitches=pitch_diameter(pitch_mm=1.0, teeth=small),
            large_pitches=pitch_diameter(pitch_mm=1.0, teeth=large),
            touching_pitches=touching_centre_distance(teeth_small=small, teeth_large=large),
            terms=self._terms(wheels),
        )

    def _terms(self, wheels: Wheels) -> Weights:
        """The terms of the score that the wheels alone decide."""
        weight, error = self.tables.weights, wheels.driven / wheels.driver / self.duty.ratio - 1.0
        return Weights(
            strands=0.0,
            chordal_variation=weight.chordal_variation * 100.0 * chordal_speed_variation(teeth=wheels.small),
            ratio_error=weight.ratio_error * 100.0 * abs(error),
            lubrication=0.0,
            even_teeth=0.0 if wheels.small % 2 else weight.even_teeth,
            small_reserve=0.0,
            mass=0.0,
        )

    def _nearest(self, chain: PullSize, misses: list[PullMiss]) -> PullMiss:
        """The miss that says most: of a load that comes nearest to what is allowed, else of whatever comes nearest."""
        if not misses:
            tolerance = self.limits.ratio_tolerance_percent
            return PullMiss(chain, 0, "ratio_not_met", tolerance, tolerance)
        loads = [miss for miss in misses if miss.reason == "load_beyond_allowable"]
        return min(loads or misses, key=attrgetter("miss"))

    def _try(self, chain: PullSize, pair: _Pair) -> PullCandidate | PullMiss:
        key = chain.pitch_mm, pair.wheels.small
        found = self._by_pitch.get(key)
        if found is None:
            found = self._by_pitch[key] = self._on_pitch(chain, pair)
        if isinstance(found, _Failure):
            return PullMiss(chain, pair.wheels.small, *found)
        if found > chain.allowable_n:
            return PullMiss(chain, pair.wheels.small, "load_beyond_allowable", found, chain.allowable_n)
        return self._candidate(chain, pair, found / chain.allowable_n)

    def _on_pitch(self, chain: PullSize, pair: _Pair) -> float | _Failure:
        """What sizes of one pitch have in common: the greater of working load and static load, or why none serves."""
        pitch_in = chain.pitch_mm / MM_PER_INCH
        speed = chain_speed_ft_min(pitch_in=pitch_in, teeth=pair.wheels.small, speed_rpm=pair.small_rpm)
        if speed > pair.last_speed_ft_min:
            return _Failure("speed_beyond_table", speed, pair.last_speed_ft_min)
        failure = self._space(chain.pitch_mm, pair)
        if failure is not None:
            return failure
        # What is said of drives that are only tried is of no interest.
        loads = pull_loads(self.case(chain, pair.wheels), chain.pitch_mm, self.tables, Trace())
        return max(loads.needed_working_load_n, loads.static_load_n)

    def _space(self, pitch_mm: float, pair: _Pair) -> _Failure | None:
        """Pitch circles that are too large or touch, and a range of centres without a whole count."""
        wheels, limits = pair.wheels, self.limits
        for pitches, most_mm in (
            (pair.small_pitches, limits.maximum_small_diameter_mm),
            (pair.large_pitches, limits.maximum_large_diameter_mm),
        ):
            if most_mm is not None and pitches * pitch_mm > most_mm:
                return _Failure("wheel_too_large", pitches * pitch_mm, most_mm)
        needed_mm, longest_mm = pair.touching_pitches * pitch_mm, self.shafts.longest_mm()
        if longest_mm is not None and longest_mm <= needed_mm:
            return _Failure("centres_too_short", needed_mm, longest_mm)
        if self.centres.range_mm is not None:
            first, last = self.shafts.counts_in_range(pitch_mm, wheels.small, wheels.large, needed_mm)
            if first > last:
                return _Failure("no_even_solution", first, last)
        return None

    def _candidate(self, chain: PullSize, pair: _Pair, utilisation: float) -> PullCandidate:
        terms = pair.terms
        if utilisation > 0.9:
            terms = terms._replace(small_reserve=self.tables.weights.small_reserve * (utilisation - 0.9))
        return PullCandidate(chain, pair.wheels, self._mass_kg(chain, pair), terms)

    def _mass_kg(self, chain: PullSize, pair: _Pair) -> float:
        """Stand-in for the mass of chain and wheels, for the ranking only."""
        height_mm = chain.plate_height_mm or chain.pitch_mm / 2.0
        wheels = pair.wheels
        # Two straight strands and half a turn on each wheel, near enough for a ranking.
        pitches = 2.0 * self.shafts.wanted_pitches(chain.pitch_mm) + (wheels.small + wheels.large) / 2.0
        discs_mm2 = pi / 4.0 * (pair.small_pitches**2 + pair.large_pitches**2) * chain.pitch_mm**2
        return STEEL_KG_MM3 * height_mm * (height_mm * pitches * chain.pitch_mm + discs_mm2)
