"""The one further measurement or look that parts most pairs of the sizes that remain."""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from itertools import combinations
from typing import TYPE_CHECKING, Literal

from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable, Sequence

    from service.calculations.identification_index import Dimension, Hull, Kind
    from service.calculations.identification_ranking import Sample

CALLIPER_MM = 0.1
"""Uncertainty of a calliper on a dirty chain, by which the next measurement is judged."""

Look = Literal["families", "plate_edges", "guide_type"]


class NextMeasurement(Record, frozen=True):
    """The measurement or look that parts most pairs of the sizes that remain."""

    dimension: Dimension | None
    look: Look | None
    pairs_parted: int
    pairs: int

    @property
    def name(self) -> Dimension | Look:
        """What is to be measured or seen."""
        return self.look or self.dimension or "families"


def next_measurement(kinds: Sequence[Kind], sample: Sample) -> NextMeasurement | None:
    """What parts most pairs, then what lies farthest apart for them; None where nothing helps."""
    pairs = len(kinds) * (len(kinds) - 1) // 2
    best: tuple[int, float] = (0, 0.0)
    measured: Dimension | None = None
    seen: Look | None = None
    for dimension, hulls in sorted(_unmeasured(kinds, sample).items()):
        printed = sorted(hull.expected for hull in hulls)
        if printed[-1] - printed[0] < CALLIPER_MM:
            continue
        offer = _parted(hulls), _apart(printed)
        if measured is None or offer > best:
            best, measured = offer, dimension
    for look, parted in _looks(kinds, sample):
        if parted > best[0]:
            best, seen = (parted, 0.0), look
    if measured is None and seen is None:
        return None
    return NextMeasurement(None if seen else measured, seen, best[0], pairs)


def _unmeasured(kinds: Iterable[Kind], sample: Sample) -> dict[Dimension, list[Hull]]:
    found: dict[Dimension, list[Hull]] = {}
    for kind in kinds:
        for dimension, hull in kind.hulls.items():
            found.setdefault(dimension, []).append(hull)
    for dimension in sample.values:
        found.pop(dimension, None)
    if sample.strand_count == 1:
        found.pop("transverse_pitch", None)
    return found


def _parted(hulls: Iterable[Hull]) -> int:
    """Pairs whose plausible values stand apart by more than two callipers err."""
    lows = sorted(hull.low for hull in hulls)
    return sum(len(lows) - bisect_right(lows, hull.high + 2 * CALLIPER_MM) for hull in hulls)


def _apart(printed: Sequence[float]) -> float:
    """Sum of the differences of all pairs of sorted figures."""
    return sum((2 * place - len(printed) + 1) * value for place, value in enumerate(printed))


def _looks(kinds: Sequence[Kind], sample: Sample) -> Iterable[tuple[Look, int]]:
    """Pairs that are told apart by what is seen and was not said."""
    if not sample.families:
        yield "families", _of_different(kind.family for kind in kinds)
    if sample.edges is None:
        yield "plate_edges", _of_different(kind.edges for kind in kinds if kind.edges is not None)
    if sample.guide is None:
        guides = Counter(kind.guides for kind in kinds if kind.guides)
        yield (
            "guide_type",
            sum(ours * theirs for (one, ours), (other, theirs) in combinations(guides.items(), 2) if not one & other),
        )


def _of_different(values: Iterable[Hashable]) -> int:
    counts = Counter(values)
    together = sum(count * (count - 1) for count in counts.values())
    return (counts.total() * (counts.total() - 1) - together) // 2
