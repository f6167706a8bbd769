"""What the pull method looks up, laid ready once: engineering-class sizes with an allowable load, and the factors."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, NamedTuple

from service.reference.records import Record

if TYPE_CHECKING:
    from service.core.chain_pull_drive import SpeedFactorPoint
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize
    from service.reference.conveyor_factors import SpeedFactorRow

ENGINEERING_FAMILIES = frozenset(
    {
        "engineering_steel",
        "welded_steel_mill",
        "combination",
        "cast_pintle",
        "steel_pintle",
        "cast_mill",
        "rivetless",
        "detachable",
        "agricultural",
    }
)
"""Families that drive shafts and have no power ratings in the tables."""


class PullSize(NamedTuple):
    """A size that the pull method can judge."""

    size: ChainSize
    pitch_mm: float
    allowable_n: float
    plate_height_mm: float | None


class FactorLines(NamedTuple):
    """The printed factors that serve a tooth count, and the speed at which the first of their lines ends."""

    points: tuple[SpeedFactorPoint, ...]
    last_speed_ft_min: float


class Doubtful(Record, frozen=True):
    """A printed factor that is left out of use, between its neighbours."""

    before_ft_min: float
    row: SpeedFactorRow
    after_ft_min: float


class PullTables:
    """Built once from the reference data."""

    def __init__(self, reference: Reference) -> None:
        sizes = [size for size in reference.chains.sizes if size.row.family in ENGINEERING_FAMILIES]
        self.sizes = tuple(found for size in sizes if (found := pull_size(size)) is not None)
        self.unjudged = tuple(size for size in sizes if pull_size(size) is None)
        factors = reference.factors.conveyor
        self.points = factors.speed_factor_points()
        self.listed = sorted({point.teeth for point in self.points})
        self.slowest_ft_min = min(point.speed_ft_min for point in self.points)
        self.factor_row = factors.speed_factors.rows[0]
        self.doubtful = _doubtful(factors.speed_factors.rows)
        self._lines: dict[int, FactorLines] = {}

    def lines(self, teeth: int) -> FactorLines:
        """The lines of the tooth counts on either side; all of them for a count outside the table."""
        known = self._lines.get(teeth)
        if known is None:
            below = [count for count in self.listed if count <= teeth]
            above = [count for count in self.listed if count >= teeth]
            chosen = {below[-1], above[0]} if below and above else set(self.listed)
            points = tuple(point for point in self.points if point.teeth in chosen)
            ends = [max(point.speed_ft_min for point in points if point.teeth == count) for count in chosen]
            known = self._lines[teeth] = FactorLines(points, min(ends))
        return known


def pull_size(size: ChainSize) -> PullSize | None:
    """A size with what the pull method needs; None where the tables hold no allowable load of it."""
    allowable, pitch, height = size.find("allowable_load"), size.find("pitch"), size.find("plate_height")
    if allowable is None or pitch is None:
        return None
    return PullSize(size, pitch.value, allowable.value, None if height is None else height.value)


def count_by_family(sizes: tuple[ChainSize, ...]) -> dict[str, int]:
    """How many sizes there are of each family."""
    return dict(Counter(size.row.family for size in sizes))


def _doubtful(rows: tuple[SpeedFactorRow, ...]) -> tuple[Doubtful, ...]:
    ordered = sorted(rows, key=lambda row: (row.teeth, row.speed_ft_min))
    return tuple(
        Doubtful(before.speed_ft_min, row, after.speed_ft_min)
        for before, row, after in zip(ordered, ordered[1:], ordered[2:], strict=False)
        if row.doubtful and before.teeth == row.teeth == after.teeth
    )
