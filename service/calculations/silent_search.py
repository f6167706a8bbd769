"""The search for silent-chain drives: for each pitch and standard width the smallest wheels that carry the load."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING, Literal

from service.calculations.drive_layout import Shafts, pairs_for_ratio
from service.calculations.drive_relations import Wheels
from service.calculations.drive_scores import Weights
from service.calculations.silent_drive import SilentCase, SilentOption, evaluate_silent
from service.calculations.trace import Trace
from service.core.conversions import KW_PER_HP, MM_PER_INCH
from service.core.silent_rating import rating_per_width
from service.core.silent_sprocket import radius_over_chain
from service.core.speeds import chain_speed_ft_min
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Iterator

    from service.calculations.silent_tables import SilentPitch, SilentWidth

SilentReason = Literal[
    "not_rated",
    "speed_outside_table",
    "ratio_not_met",
    "power_beyond_table",
    "wheel_too_large",
    "centres_too_short",
    "no_even_solution",
    "lubrication_not_at_hand",
]
RESTS_ON_RATINGS: frozenset[SilentReason] = frozenset({"speed_outside_table", "power_beyond_table"})
"""Reasons that the recalled ratings are the ground of."""

STEEL_KG_MM3 = 7.85e-6
"""Density of steel; the tables hold no mass of silent chain, so that a band of solid steel half a pitch deep and wheels
as plain discs stand for it, for the ranking only."""


class SilentConstraints(Record, frozen=True, kw_only=True):
    """What a silent-chain drive may be; None leaves a side open."""

    widths: tuple[SilentWidth, ...] | None = None
    minimum_small_teeth: int | None = None
    maximum_small_teeth: int | None = None
    maximum_large_teeth: int = 120
    maximum_small_diameter_mm: float | None = None
    maximum_large_diameter_mm: float | None = None
    ratio_tolerance_percent: float = 3.0
    greatest_speed_ft_min: float | None = None


class SilentMiss(Record, frozen=True):
    """Why no chain of a pitch serves, and by how much it misses."""

    pitch_in: float
    reason: SilentReason
    actual: float
    limit: float


class SilentCandidate(Record, frozen=True):
    """A feasible drive with the terms of its score, that of mass still zero."""

    option: SilentOption
    mass_kg: float
    terms: Weights


class SilentSearch:
    """Walks the rated pitches; what it tries is kept apart from the trace of the answer."""

    def __init__(self, limits: SilentConstraints, case: SilentCase, ratio: float, weights: Weights) -> None:
        self.limits = limits
        self.case = case
        self.ratio = max(ratio, 1.0 / ratio)
        self.step_up = ratio < 1.0
        self.weights = weights
        self.trace = Trace()
        self.shafts = Shafts(case.centres, self.trace)
        self.misses: list[SilentMiss] = []

    def candidates(self) -> Iterator[SilentCandidate]:
        """Feasible drives, pitch by pitch."""
        named = self.limits.widths
        for pitch in self.case.tables.pitches.values():
            widths = self.case.tables.usable_widths(pitch)
            if named is not None:
                widths = tuple(width for width in named if width.pitch_in == pitch.pitch_in)
            if widths:
                yield from self._of_pitch(pitch, widths)

    def _of_pitch(self, pitch: SilentPitch, widths: tuple[SilentWidth, ...]) -> Iterator[SilentCandidate]:
        """One candidate for each standard width that more teeth make possible."""
        if not pitch.points:
            self.misses.append(SilentMiss(pitch.pitch_in, "not_rated", 0.0, 0.0))
            return
        pairs = self._pairs(pitch)
        if not pairs:
            tolerance = self.limits.ratio_tolerance_percent
            self.misses.append(SilentMiss(pitch.pitch_in, "ratio_not_met", tolerance, tolerance))
            return
        narrowest = widths[-1].width_in + 1.0
        miss: SilentMiss | None = None
        for small, large in pairs:
            width = self._width(pitch, widths, small, large)
            if isinstance(width, SilentMiss):
                miss = miss or width
            elif width.width_in < narrowest:
                narrowest = width.width_in
                yield self._candidate(width, self._wheels(small, large))
        if miss is not None and narrowest > widths[-1].width_in:
            self.misses.append(miss)

    def _pairs(self, pitch: SilentPitch) -> list[tuple[int, int]]:
        limits, (fewest, most) = self.limits, pitch.teeth
        teeth = list(
            range(max(fewest, limits.minimum_small_teeth or fewest), min(most, limits.maximum_small_teeth or most) + 1)
        )
        return pairs_for_ratio(teeth, self.ratio, limits.maximum_large_teeth, limits.ratio_tolerance_percent)

    def _wheels(self, small: int, large: int) -> Wheels:
        return Wheels(large, small, small, large) if self.step_up else Wheels(small, large, small, large)

    def _width(
        self, pitch: SilentPitch, widths: tuple[SilentWidth, ...], small: int, large: int
    ) -> SilentWidth | SilentMiss:
        """The narrowest chain of a pitch that carries on these wheels, or why none does."""
        wheels = self._wheels(small, large)
        small_rpm = self.case.driver_speed_rpm * wheels.driver / small
        slowest, fastest = pitch.speeds_rpm
        if not slowest <= small_rpm <= fastest:
            limit = slowest if small_rpm < slowest else fastest
            return SilentMiss(pitch.pitch_in, "speed_outside_table", small_rpm, limit)
        most = self.limits.greatest_speed_ft_min
        speed = chain_speed_ft_min(pitch_in=pitch.pitch_in, teeth=small, speed_rpm=small_rpm)
        if most is not None and speed > most:
            return SilentMiss(pitch.pitch_in, "lubrication_not_at_hand", speed, most)
        miss = self._space(pitch, small, large)
        if miss is not None:
            return miss
        rated = rating_per_width(teeth=small, speed_rpm=small_rpm, points=pitch.points)
        needed = self.case.power_kw * self.case.service_factor / KW_PER_HP / rated
        if self.case.centres.offset_link_allowed and self._odd(pitch, small, large):
            needed *= self.case.tables.offset_width_factor
        for width in widths:
            if width.width_in >= needed:
                return width
        return SilentMiss(pitch.pitch_in, "power_beyond_table", needed, widths[-1].width_in)

    def _odd(self, pitch: SilentPitch, small: int, large: int) -> bool:
        """Whether the drive on these wheels has an odd count of pitches, which needs an offset section."""
        layout = self.shafts.lay_out(pitch.pitch_mm, small, large, _over_chain_mm(pitch, small, large))
        return layout.pitch_count % 2 == 1

    def _space(self, pitch: SilentPitch, small: int, large: int) -> SilentMiss | None:
        over = [2.0 * MM_PER_INCH * radius_over_chain(pitch_in=pitch.pitch_in, teeth=n) for n in (small, large)]
        limits = self.limits
        for diameter, most in zip(
            over, (limits.maximum_small_diameter_mm, limits.maximum_large_diameter_mm), strict=True
        ):
            if most is not None and diameter > most:
                return SilentMiss(pitch.pitch_in, "wheel_too_large", diameter, most)
        needed, longest = _over_chain_mm(pitch, small, large), self.shafts.longest_mm()
        if longest is not None and longest <= needed:
            return SilentMiss(pitch.pitch_in, "centres_too_short", needed, longest)
        if self.shafts.centres.range_mm is not None:
            first, last = self.shafts.counts_in_range(pitch.pitch_mm, small, large, needed)
            if first > last:
                return SilentMiss(pitch.pitch_in, "no_even_solution", first, last)
        return None

    def _candidate(self, width: SilentWidth, wheels: Wheels) -> SilentCandidate:
        option = evaluate_silent(width, wheels, self.case, self.trace)
        weight = self.weights
        terms = Weights(
            strands=0.0,
            chordal_variation=weight.chordal_variation * option.chordal_variation_percent,
            ratio_error=weight.ratio_error * abs(option.ratio_error_percent or 0.0),
            lubrication=0.0,
            even_teeth=0.0 if wheels.small % 2 else weight.even_teeth,
            small_reserve=weight.small_reserve * max(0.0, option.utilisation - 0.9),
            mass=0.0,
        )
        return SilentCandidate(option, _mass_kg(option), terms)


def _over_chain_mm(pitch: SilentPitch, small: int, large: int) -> float:
    """Sum of the radii over the chain on both wheels."""
    return MM_PER_INCH * sum(radius_over_chain(pitch_in=pitch.pitch_in, teeth=teeth) for teeth in (small, large))


def _mass_kg(option: SilentOption) -> float:
    """Stand-in for the mass of chain and wheels, for the ranking only."""
    width = option.width
    band = option.pitch_count * width.pitch_mm * width.pitch_mm / 2.0
    discs = pi / 4.0 * (option.small_diameter_over_chain_mm**2 + option.large_diameter_over_chain_mm**2)
    return STEEL_KG_MM3 * width.width_in * MM_PER_INCH * (band + discs)
