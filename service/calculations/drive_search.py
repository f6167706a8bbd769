"""The search for feasible drives: each rated chain in each number of strands on the smallest wheels that serve."""

from __future__ import annotations

from bisect import bisect_left
from math import inf, pi
from typing import TYPE_CHECKING, Literal, NamedTuple

from service.calculations.drive_layout import pairs_for_ratio
from service.calculations.drive_option import Known
from service.calculations.drive_ratings import RATING_POWERS, REFERENCE_TEETH
from service.calculations.drive_relations import Wheels
from service.calculations.drive_scores import Weights
from service.calculations.drive_tables import LUBRICATION_STEPS
from service.core.conversions import KW_PER_HP
from service.core.errors import Issue, NotInReference, OutOfRange
from service.core.roller_rating import TEETH_MAX, TEETH_MIN
from service.core.speeds import chordal_speed_variation
from service.core.sprocket import pitch_diameter
from service.core.sprocket_asme import outside_diameter
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from service.calculations.drive_relations import DriveRelations
    from service.calculations.drive_tables import Lubrication, RatedChain
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
    "bore_too_large",
]

_LARGER_WHEELS_MAY_HELP = frozenset({"power_beyond_table", "no_even_solution", "speed_beyond_table", "bore_too_large"})
"""The range of centres may hold a whole count for other teeth, a lower pull may lift the end of the range, and a larger
wheel has a larger hub."""
_MORE_STRANDS_MAY_HELP = frozenset({"power_beyond_table", "speed_beyond_table"})
"""Even on the smallest wheel: the pull of each strand falls."""

STEEL_KG_MM3 = 7.85e-6
"""Density of steel, for the ranking only: wheels are taken as plain discs as wide as the chain inside."""


class NamedChain(NamedTuple):
    """A chain that the caller allows, in any number of strands or in the one that its name states."""

    size: ChainSize
    strand_count: int | None = None


class DriveConstraints(Record, frozen=True, kw_only=True):
    """What a drive may be; None leaves a side open."""

    chains: tuple[NamedChain, ...] | None = None
    maximum_strand_count: int = 4
    minimum_small_teeth: int | None = None
    maximum_small_teeth: int = TEETH_MAX
    maximum_large_teeth: int | None = None
    maximum_small_diameter_mm: float | None = None
    maximum_large_diameter_mm: float | None = None
    ratio_tolerance_percent: float = 3.0
    lubrication_at_hand: Lubrication | None = None
    driver_bore_mm: float | None = None
    driven_bore_mm: float | None = None


class Candidate(Record, frozen=True):
    """A feasible chain, number of strands and pair of wheels with the terms of its score, that of mass still zero."""

    chain: RatedChain
    strand_count: int
    wheels: Wheels
    utilisation: float
    known: Known
    mass_kg: float
    terms: Weights


class _Fit(Record, frozen=True):
    """Wheels that meet ratio and constraints, what is known of a drive on them, and the step of its lubrication."""

    small: int
    large: int
    known: Known
    lubrication_step: int


class Rejection(Record, frozen=True):
    """Why one chain in one number of strands is not feasible, and by how much it misses."""

    chain: RatedChain
    strand_count: int
    reason: Reason
    actual: float
    limit: float

    @property
    def miss(self) -> float:
        """How far the actual value is from its limit, as a share of the limit; infinite where the limit is zero."""
        return abs(self.actual / self.limit - 1.0) if self.limit else inf


class _Base(Record, frozen=True):
    """A chain with its two ratings on the reference wheel at the speed asked for."""

    chain: RatedChain
    plate_hp: float
    impact_hp: float


# By tooth count, in pitches: square of the pitch diameter, outside diameter, and chordal speed variation in per cent.
_TEETH = range(3, 401)
_DIAMETER_SQUARED = [0.0] * 3 + [pitch_diameter(pitch_mm=1.0, teeth=n) ** 2 for n in _TEETH]
_OUTSIDE = [0.0] * 3 + [outside_diameter(pitch_in=1.0, teeth=n) for n in _TEETH]
_CHORDAL_PERCENT = [0.0] * 3 + [100.0 * chordal_speed_variation(teeth=n) for n in _TEETH]


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
        self.slowest_rpm = self.small_rpm
        if self.step_up:
            self.slowest_rpm *= 1.0 - limits.ratio_tolerance_percent / 100.0
        least = limits.minimum_small_teeth or min(
            int(tables.advice("small_wheel_teeth_min")), limits.maximum_small_teeth
        )
        self.teeth = list(range(max(least, TEETH_MIN), min(limits.maximum_small_teeth, TEETH_MAX) + 1))
        self.large_most = limits.maximum_large_teeth or int(tables.advice("large_wheel_teeth_max"))
        if not self.teeth:
            raise OutOfRange(
                Issue(
                    f"constraints.{'maximum' if limits.minimum_small_teeth is None else 'minimum'}_small_teeth",
                    "teeth_out_of_ratings",
                    f"The printed ratings serve small wheels of {TEETH_MIN} to {TEETH_MAX} teeth; the bounds of "
                    f"{least} to {limits.maximum_small_teeth} leave none.",
                    None,
                    least,
                )
            )
        self.pairs = pairs_for_ratio(self.teeth, self.ratio, self.large_most, limits.ratio_tolerance_percent)
        bores_mm = (limits.driver_bore_mm, limits.driven_bore_mm)
        self.bores_mm = bores_mm[::-1] if self.step_up else bores_mm
        self.has_bores = bores_mm != (None, None)
        self.powers = RATING_POWERS[load.edition]
        self.plate_root, self.impact_root = 1.0 / self.powers.plate_teeth, 1.0 / self.powers.impact
        self.plate_speed = self.small_rpm**self.powers.plate_speed
        self.impact_speed = self.small_rpm**-self.powers.impact
        self.need_hp = load.power_kw * load.service_factor / KW_PER_HP
        self.bases = tables.bases[load.edition]
        self.ends_rpm = tables.unloaded_ends_rpm(self.teeth[0], load.edition)
        self.longest_mm = relations.shafts.longest_mm()
        self.by_range = load.centres.range_mm is not None
        self.lubrication_at_hand = LUBRICATION_STEPS[limits.lubrication_at_hand or "forced_stream"]

    def candidates(self) -> Iterator[Candidate]:
        """Feasible drives, chain by chain."""
        for chain, strands in self._chains():
            yield from self._of_chain(chain, strands)

    def _chains(self) -> Collection[tuple[RatedChain, Sequence[int]]]:
        """The rated chains that the caller allows and their strands; one without a rating is said and left out."""
        named = self.limits.chains
        if named is None:
            return [(chain, self._strands(chain)) for chain in self.tables.rated[self.load.edition]]
        allowed: dict[str, tuple[RatedChain, Sequence[int]]] = {}
        issues: list[Issue] = []
        for index, (size, strand_count) in enumerate(named):
            try:
                chain = self.tables.rated_chain(size, self.load.edition, f"constraints.chains.{index}")
            except NotInReference as unrated:
                issues += unrated.issues
                continue
            strands = self._strands(chain) if strand_count is None else (strand_count,)
            known = allowed.get(chain.designation, (chain, ()))[1]
            allowed[chain.designation] = (chain, sorted({*known, *strands}))
        if not allowed:
            raise NotInReference(*issues)
        for issue in issues:
            self.relations.trace.warn(issue.code, issue.message, field=issue.field)
        return allowed.values()

    def _strands(self, chain: RatedChain) -> range:
        return range(1, min(self.limits.maximum_strand_count, chain.max_strand_count) + 1)

    def _of_chain(self, chain: RatedChain, strands: Sequence[int]) -> Iterator[Candidate]:
        """One candidate for each number of strands that allows smaller wheels than fewer strands do."""
        end = self.ends_rpm[chain.designation]
        if self.slowest_rpm > end:
            # An unloaded chain on the smallest wheel is too fast already; no number of strands helps.
            self.rejections.append(Rejection(chain, strands[0], "speed_beyond_table", self.small_rpm, end))
            return
        one_turn, factors = self.bases[chain.designation], self.tables.strand_factors
        base = _Base(chain, one_turn.plate_hp * self.plate_speed, one_turn.impact_hp * self.impact_speed)
        smallest = self.teeth[-1] + 1
        for strand_count in strands:
            need = self.need_hp / factors[strand_count].factor
            fewest = self._fewest_teeth(base, need)
            if fewest > self.teeth[-1]:
                best = need / self._utilisation(base, need, self.teeth[-1], self.small_rpm)
                self.rejections.append(Rejection(chain, strand_count, "power_beyond_table", need, best))
                continue
            found = self._with_wheels(base, strand_count, fewest, need)
            if isinstance(found, Rejection):
                self.rejections.append(found)
                if fewest <= self.teeth[0] and found.reason not in _MORE_STRANDS_MAY_HELP:
                    break
            elif found.small < smallest:
                smallest = found.small
                yield self._candidate(base, strand_count, found, need)
                if smallest == self.teeth[0]:
                    break

    def _fewest_teeth(self, base: _Base, need_hp: float) -> float:
        """Teeth of the smallest wheel that can carry, not yet whole; of a step-up drive ``_fits`` has the last word."""
        share = (need_hp / base.plate_hp) ** self.plate_root
        by_impact = (need_hp / base.impact_hp) ** self.impact_root
        share = max(share, by_impact)
        if self.step_up:
            # The speed of the small, driven wheel is as far off as the ratio; no rating moves more than in proportion.
            share *= self.slowest_rpm / self.small_rpm
        fewest: float = REFERENCE_TEETH * share * (1.0 - 1e-12)
        return fewest

    def _utilisation(self, base: _Base, need_hp: float, small: int, small_rpm: float) -> float:
        """Need over rating of one strand, by the powers of teeth and speed in the rating lines."""
        powers, teeth = self.powers, small / REFERENCE_TEETH
        plate, impact = base.plate_hp * teeth**powers.plate_teeth, base.impact_hp * teeth**powers.impact
        if self.step_up:
            faster = small_rpm / self.small_rpm
            plate, impact = plate * faster**powers.plate_speed, impact / faster**powers.impact
        used: float = need_hp / (min(impact, plate))
        return used

    def small_speed(self, small: int, large: int) -> float:
        """True speed of the small wheel, which the teeth set where it is the driven one."""
        return self.load.driver_speed_rpm / (small / large) if self.step_up else self.small_rpm

    def _with_wheels(self, base: _Base, strand_count: int, fewest: float, need_hp: float) -> _Fit | Rejection:
        """The first wheels from a tooth count on that meet ratio and constraints.

        Else why the first ones do not, or the first for which more strands may do.
        """
        first: Rejection | None = None
        end = 0.0
        for small, large in self.pairs[bisect_left(self.pairs, (fewest,)) :]:
            found = self._fits(base, strand_count, small, large, need_hp)
            if not isinstance(found, Rejection):
                return found
            if first is None or (first.reason not in _MORE_STRANDS_MAY_HELP and found.reason in _MORE_STRANDS_MAY_HELP):
                first = found
            if found.reason not in _LARGER_WHEELS_MAY_HELP:
                break
            if found.reason == "speed_beyond_table" and not self.step_up:
                # More teeth lift the end of the range by their lower pull, until their number itself brings it down.
                if found.limit <= end:
                    break
                end = found.limit
        return first or self._no_pair(base.chain, strand_count, fewest)

    def _no_pair(self, chain: RatedChain, strand_count: int, fewest: float) -> Rejection:
        """Why no wheels with so many teeth meet the ratio."""
        wanted = [teeth * self.ratio for teeth in self.teeth if teeth >= fewest]
        largest = int(wanted[-1] + 0.5)
        if largest > self.large_most:
            smallest = int(wanted[0] + 0.5)
            too_many = smallest if smallest > self.large_most else largest
            return Rejection(chain, strand_count, "large_wheel_too_many_teeth", too_many, self.large_most)
        closest = min(abs(100.0 * (int(teeth + 0.5) / teeth - 1.0)) for teeth in wanted)
        return Rejection(chain, strand_count, "ratio_not_met", closest, self.limits.ratio_tolerance_percent)

    def _fits(self, base: _Base, strand_count: int, small: int, large: int, need_hp: float) -> _Fit | Rejection:
        chain, small_rpm = base.chain, self.small_speed(small, large)
        if self.step_up:
            used = self._utilisation(base, need_hp, small, small_rpm)
            if used > 1.0:
                return Rejection(chain, strand_count, "power_beyond_table", need_hp, need_hp / used)
        end = self.relations.range_end_rpm(chain, small, need_hp, small_rpm)
        if small_rpm > end:
            return Rejection(chain, strand_count, "speed_beyond_table", small_rpm, end)
        miss = self._space_miss(chain, strand_count, small, large)
        if miss is not None:
            return miss
        lubrication = self.relations.lubrication_of(chain, small, small_rpm)
        needed = LUBRICATION_STEPS[lubrication or "forced_stream"]
        if needed > self.lubrication_at_hand:
            return Rejection(chain, strand_count, "lubrication_not_at_hand", needed + 1, self.lubrication_at_hand + 1)
        return _Fit(small, large, Known(end, lubrication), needed)

    def _space_miss(self, chain: RatedChain, strand_count: int, small: int, large: int) -> Rejection | None:
        """A rejection where a wheel is too large, tips would touch, or the range of centres holds no whole count."""
        small_mm, large_mm = chain.pitch_mm * _OUTSIDE[small], chain.pitch_mm * _OUTSIDE[large]
        limits = self.limits
        if limits.maximum_small_diameter_mm is not None and small_mm > limits.maximum_small_diameter_mm:
            return Rejection(chain, strand_count, "wheel_too_large", small_mm, limits.maximum_small_diameter_mm)
        if limits.maximum_large_diameter_mm is not None and large_mm > limits.maximum_large_diameter_mm:
            return Rejection(chain, strand_count, "wheel_too_large", large_mm, limits.maximum_large_diameter_mm)
        if self.has_bores:
            for bore_mm, teeth in zip(self.bores_mm, (small, large), strict=True):
                hub_mm = self.relations.hub_mm(chain, teeth)
                if bore_mm is not None and bore_mm >= hub_mm:
                    return Rejection(chain, strand_count, "bore_too_large", bore_mm, hub_mm)
        tips_mm = (small_mm + large_mm) / 2.0
        if self.longest_mm is not None and self.longest_mm <= tips_mm:
            return Rejection(chain, strand_count, "centres_too_short", tips_mm, self.longest_mm)
        if self.by_range:
            first, last = self.relations.shafts.counts_in_range(chain.pitch_mm, small, large, tips_mm)
            if first > last:
                return Rejection(chain, strand_count, "no_even_solution", first, last)
        return None

    def _candidate(self, base: _Base, strand_count: int, fit: _Fit, need_hp: float) -> Candidate:
        chain, small, large = base.chain, fit.small, fit.large
        utilisation = self._utilisation(base, need_hp, small, self.small_speed(small, large))
        error = abs(100.0 * (large / (small * self.ratio) - 1.0))
        weight = self.tables.weights
        terms = Weights(
            weight.strands * (strand_count - 1),
            weight.chordal_variation * _CHORDAL_PERCENT[small],
            weight.ratio_error * error,
            weight.lubrication * fit.lubrication_step,
            0.0 if small % 2 else weight.even_teeth,
            weight.small_reserve * (utilisation - 0.9) if utilisation > 0.9 else 0.0,
            0.0,
        )
        wheels = Wheels(large, small, small, large) if self.step_up else Wheels(small, large, small, large)
        mass_kg = self._mass_kg(chain, strand_count, small, large)
        return Candidate(chain, strand_count, wheels, utilisation, fit.known, mass_kg, terms)

    def _mass_kg(self, chain: RatedChain, strand_count: int, small: int, large: int) -> float:
        """Mass of chain and wheels, for the ranking only: at the centres asked for, wheels as plain discs."""
        pitches = 2.0 * self.relations.shafts.wanted_pitches(chain.pitch_mm) + (small + large) / 2.0
        chain_kg = (chain.mass_kg_m or 0.0) * pitches * chain.pitch_mm / 1000.0
        squares = _DIAMETER_SQUARED[small] + _DIAMETER_SQUARED[large]
        discs_kg = STEEL_KG_MM3 * pi / 4.0 * chain.wheel_width_mm * chain.pitch_mm * chain.pitch_mm * squares
        return strand_count * (chain_kg + discs_kg)
