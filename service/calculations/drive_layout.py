"""Where the two shafts of a drive stand: whole pitch counts, the centres they give, and wheels that would touch."""

from __future__ import annotations

from math import ceil, floor
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from service.calculations.drive_relations import DriveRelations
    from service.calculations.drive_tables import RatedChain

DEFAULT_CENTRES_PITCHES = 40.0
"""First trial of the centre distance (table ``tooth_recommendations``, centre_distance_trial)."""

EDGE = 1e-9
"""Binary noise, in pitches, at which a length still counts as the whole number it stands for."""


class Layout(NamedTuple):
    """A whole pitch count and the exact centre distance that it gives."""

    pitch_count: int
    centre_distance_mm: float


def lay_out(chain: RatedChain, small: int, large: int, tips_mm: float, r: DriveRelations) -> Layout:
    """The count nearest to the centres asked for, in their range, and never so few that tooth tips touch."""
    load = r.load
    wanted = DEFAULT_CENTRES_PITCHES if load.centre_distance_mm is None else load.centre_distance_mm / chain.pitch_mm
    length = r.length(centre_distance_pitches=wanted, teeth_small=small, teeth_large=large)
    step = 1 if load.offset_link_allowed else 2
    pitch_count = step * floor(length / step + 0.5)
    if load.centre_range_mm is not None:
        first, last = counts_in_range(chain, small, large, tips_mm, r)
        pitch_count = min(max(pitch_count, first), last)
    centre_mm = chain.pitch_mm * r.centre(pitch_count=pitch_count, teeth_small=small, teeth_large=large)
    if centre_mm <= tips_mm:
        pitch_count += step
        centre_mm = chain.pitch_mm * r.centre(pitch_count=pitch_count, teeth_small=small, teeth_large=large)
    return Layout(pitch_count, centre_mm)


def counts_in_range(chain: RatedChain, small: int, large: int, tips_mm: float, r: DriveRelations) -> tuple[int, int]:
    """First and last whole count whose centres lie in the range and keep the tooth tips apart.

    The first is above the last where there is none.
    """
    low_mm, high_mm = r.load.centre_range_mm or (0.0, 0.0)
    step = 1 if r.load.offset_link_allowed else 2
    shortest = r.length(
        centre_distance_pitches=max(low_mm, tips_mm) / chain.pitch_mm, teeth_small=small, teeth_large=large
    )
    longest = r.length(centre_distance_pitches=high_mm / chain.pitch_mm, teeth_small=small, teeth_large=large)
    return step * ceil(shortest / step - EDGE), step * floor(longest / step + EDGE)
