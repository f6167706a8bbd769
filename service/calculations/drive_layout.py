"""Where the two shafts of a drive stand: whole pitch counts and the centres they give."""

from __future__ import annotations

from math import ceil, floor
from typing import TYPE_CHECKING, NamedTuple

from service.core.chain_length import centre_distance_exact, pitches_exact
from service.core.errors import Inconsistent, Issue, MoreNeeded
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.trace import Trace

DEFAULT_CENTRES_PITCHES = 40.0
"""First trial of the centre distance (table ``tooth_recommendations``, centre_distance_trial)."""

EDGE = 1e-9
"""Binary noise, in pitches, at which a length still counts as the whole number it stands for."""


class Centres(Record, frozen=True):
    """The centre distance to aim at, and the range in which it must lie; None leaves it open."""

    aim_mm: float | None
    range_mm: tuple[float, float] | None = None
    offset_link_allowed: bool = False


def settle_centres(
    centre_mm: float | None, low_mm: float | None, high_mm: float | None, *, offset_link_allowed: bool
) -> Centres:
    """The centre distance as sent or the middle of the range, and the range.

    Raises:
        Inconsistent: both were sent, or the range is reversed.
        MoreNeeded: one end of the range is missing.
    """
    if low_mm is None and high_mm is None:
        return Centres(centre_mm, None, offset_link_allowed)
    if centre_mm is not None:
        message = "Send centre_distance or its range, not both: they determine each other."
        raise Inconsistent(Issue("centre_distance_mm", "over_determined", message))
    if low_mm is None or high_mm is None:
        missing = "minimum_centre_distance_mm" if low_mm is None else "maximum_centre_distance_mm"
        raise MoreNeeded(Issue(missing, "field_required", "A range of centre distances needs both ends."))
    if low_mm > high_mm:
        message = f"The smallest centre distance ({low_mm:g} mm) lies above the largest ({high_mm:g} mm)."
        raise Inconsistent(
            Issue("minimum_centre_distance_mm", "range_reversed", message, high_mm, low_mm, "Exchange the two.")
        )
    return Centres((low_mm + high_mm) / 2.0, (low_mm, high_mm), offset_link_allowed)


class Layout(NamedTuple):
    """A whole pitch count and the exact centre distance that it gives."""

    pitch_count: int
    centre_distance_mm: float


class Shafts:
    """The centres asked for with the two relations of length and centres, bound to a trace."""

    __slots__ = ("centre", "centres", "length", "step")

    def __init__(self, centres: Centres, trace: Trace) -> None:
        self.centres = centres
        self.step = 1 if centres.offset_link_allowed else 2
        self.length = trace.bind(pitches_exact)
        self.centre = trace.bind(centre_distance_exact)

    def wanted_pitches(self, pitch_mm: float) -> float:
        """The centre distance to aim at in pitches."""
        aim_mm = self.centres.aim_mm
        return DEFAULT_CENTRES_PITCHES if aim_mm is None else aim_mm / pitch_mm

    def lay_out(self, pitch_mm: float, small: int, large: int, tips_mm: float) -> Layout:
        """The count nearest to the centres asked for, in their range, and never so few that the wheels touch."""
        wanted = self.wanted_pitches(pitch_mm)
        length = self.length(centre_distance_pitches=wanted, teeth_small=small, teeth_large=large)
        pitch_count = self.step * floor(length / self.step + 0.5)
        if self.centres.range_mm is not None:
            first, last = self.counts_in_range(pitch_mm, small, large, tips_mm)
            pitch_count = min(max(pitch_count, first), last)
        centre_mm = pitch_mm * self.centre(pitch_count=pitch_count, teeth_small=small, teeth_large=large)
        if centre_mm <= tips_mm:
            pitch_count += self.step
            centre_mm = pitch_mm * self.centre(pitch_count=pitch_count, teeth_small=small, teeth_large=large)
        return Layout(pitch_count, centre_mm)

    def counts_in_range(self, pitch_mm: float, small: int, large: int, tips_mm: float) -> tuple[int, int]:
        """First and last whole count whose centres lie in the range and keep the wheels apart.

        The first is above the last where there is none.
        """
        low_mm, high_mm = self.centres.range_mm or (0.0, 0.0)
        low, high = max(low_mm, tips_mm) / pitch_mm, high_mm / pitch_mm
        shortest = self.length(centre_distance_pitches=low, teeth_small=small, teeth_large=large)
        longest = self.length(centre_distance_pitches=high, teeth_small=small, teeth_large=large)
        return self.step * ceil(shortest / self.step - EDGE), self.step * floor(longest / self.step + EDGE)

    def longest_mm(self) -> float | None:
        """The largest centre distance that is allowed; None where it is open."""
        return self.centres.aim_mm if self.centres.range_mm is None else self.centres.range_mm[1]


def pairs_for_ratio(small_teeth: list[int], ratio: float, most: int, tolerance_percent: float) -> list[tuple[int, int]]:
    """Small and large teeth that meet a ratio of 1 or more within its tolerance, the smallest first."""
    near, pairs = tolerance_percent / 100.0, []
    for small in small_teeth:
        wanted = small * ratio
        large = int(wanted + 0.5)
        large = min(large, most)
        if abs(large / wanted - 1.0) <= near:
            pairs.append((small, large))
    return pairs
