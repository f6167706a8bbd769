"""A piece compared with every size in every dimension: how far each lies off, and which of them it can be."""

from __future__ import annotations

from heapq import nsmallest
from typing import TYPE_CHECKING, Literal, NamedTuple, get_args

from service.reference.chains import Family
from service.reference.records import Record, field

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from service.calculations.identification_index import (
        Band,
        Dimension,
        GuideType,
        IdentificationIndex,
        Kind,
        PlateEdges,
    )
    from service.reference.families import Making

    WheelComparison = Callable[[Kind], "tuple[Compared, ...] | None"]

_PLACES = {family: place for place, family in enumerate(get_args(Family))}
Condition = Literal["new", "worn", "unknown"]

MOST_UNCERTAINTIES = 2.0
"""A measurement farther outside its band is no fit: twice the stated uncertainty, about 95 in 100."""
CLOSENESS = 0.25
"""Weight of nearness to the printed figure beside a misfit."""
COUNTS_DIFFER = 100.0
"""What plates that were counted otherwise weigh."""
USUAL_WEAR_PERCENT = 3.0
"""Elongation at which chain is usually replaced; beyond it a size gets less likely."""
LEAST_SHARE_COMPARED = 0.6
"""A size that the tables describe in fewer of the measured dimensions is named apart, not ranked."""
PITCH_WINDOW = (0.90, 1.06)
"""Printed over measured pitch of the sizes that are looked at."""


class Measured(Record, frozen=True):
    """A measured value and its standard uncertainty."""

    value_mm: float
    uncertainty_mm: float


class Sample(Record, frozen=True):
    """What is known of the piece."""

    values: dict[Dimension, Measured]
    counts: dict[str, int] = field(default_factory=dict)
    condition: Condition = "unknown"
    families: frozenset[str] = frozenset()
    edges: PlateEdges | None = None
    guide: GuideType | None = None
    made_by: Making | None = None
    strand_count: int = 1


class Compared(Record, frozen=True):
    """One dimension of the piece against one size."""

    dimension: Dimension
    measured: Measured
    band: Band
    low_mm: float
    high_mm: float

    @property
    def misfit(self) -> float:
        """How far the measurement lies outside the band, in its own uncertainties."""
        return _misfit(self.measured, self.low_mm, self.high_mm)

    @property
    def fits(self) -> bool:
        """Whether the measurement can be of this size."""
        return self.misfit <= MOST_UNCERTAINTIES


class Candidate(Record, frozen=True):
    """A size with all its comparisons; ``score`` 0 is a perfect fit."""

    kind: Kind
    compared: tuple[Compared, ...]
    counts_agree: bool
    score: float
    elongation_percent: float | None

    @property
    def fits(self) -> bool:
        """Whether every measurement can be of this size."""
        return self.counts_agree and all(compared.fits for compared in self.compared)


class Scored(NamedTuple):
    """A size with its score; its comparisons are made only where they are asked for."""

    kind: Kind
    score: float
    failing: int
    wheel: tuple[Compared, ...]


class Ranking(NamedTuple):
    """Sizes that fit, the best first; those that come nearest where none does; what was left aside, and why."""

    fitting: list[Scored]
    nearest: list[Scored]
    apart: list[Kind]
    excluded_by: dict[Dimension, int]


def rank(
    index: IdentificationIndex, sample: Sample, wheel: WheelComparison | None = None, *, nearest: int = 0
) -> Ranking:
    """Every size compared.

    Args:
        index: All sizes.
        sample: What was measured on the chain.
        wheel: Comparisons of a wheel that the chain ran on, or None for a size that runs on no such wheel.
        nearest: How many are named where none fits.
    """
    fitting: list[Scored] = []
    failing: list[Scored] = []
    apart: list[Kind] = []
    excluded_by: dict[Dimension, int] = {}
    values = tuple(sample.values.items())
    for kind in _looked_at(index, sample, with_wheel=wheel is not None):
        extra = () if wheel is None else wheel(kind)
        if extra is None:
            continue
        score, count, fails, alone = _scored(kind, values, extra, new=sample.condition == "new")
        wanted = len(values) + len(extra)
        if not count:
            continue
        if count < LEAST_SHARE_COMPARED * wanted:
            if not fails:
                apart.append(kind)
            continue
        if fails == 1 and alone is not None:
            excluded_by[alone] = excluded_by.get(alone, 0) + 1
        agree = not sample.counts or _counts_agree(kind, sample)
        total = score + (wanted - count) + (0.0 if agree else COUNTS_DIFFER)
        missed = fails + (not agree)
        (failing if missed else fitting).append(Scored(kind, total, missed, extra))
    fitting.sort(key=_order)
    return Ranking(fitting, [] if fitting else nsmallest(nearest, failing, key=_order), apart, excluded_by)


def candidate(scored: Scored, sample: Sample) -> Candidate:
    """A size with every comparison written out."""
    compared = (*_compared(scored.kind, sample), *scored.wheel)
    pitch = next((one for one in compared if one.dimension == "pitch"), None)
    elongation = None if pitch is None else 100 * (pitch.measured.value_mm / pitch.band.expected - 1)
    return Candidate(scored.kind, compared, _counts_agree(scored.kind, sample), scored.score, elongation)


def _order(scored: Scored) -> tuple[int, float, int]:
    """Fewest failing dimensions first, then the score; equals in the order of the families."""
    return scored.failing, round(scored.score, 2), _PLACES[scored.kind.family]


def _looked_at(index: IdentificationIndex, sample: Sample, *, with_wheel: bool) -> Iterable[Kind]:
    """Sizes of the pitch, the looks and the parts of the piece."""
    pitch = sample.values.get("pitch")
    if pitch is not None:
        kinds: Iterable[Kind] = index.near_pitch(pitch.value_mm * PITCH_WINDOW[0], pitch.value_mm * PITCH_WINDOW[1])
    elif len(sample.values) == 1 and not with_wheel:
        kinds = index.having(next(iter(sample.values)))
    else:
        kinds = index.kinds
    families, counted = sample.families, bool(sample.counts)
    measured, edges, guide, made_by = sample.values.keys(), sample.edges, sample.guide, sample.made_by
    for kind in kinds:
        if (
            (families and kind.family not in families)
            or not kind.lacking.isdisjoint(measured)
            or (counted and not kind.counts)
            or (edges is not None and kind.edges not in (None, edges))
            or (guide is not None and kind.guides and guide not in kind.guides)
            or (made_by is not None and kind.made_by and made_by not in kind.made_by)
        ):
            continue
        yield kind


def _misfit(measured: Measured, low: float, high: float) -> float:
    value = measured.value_mm
    if value < low:
        return (low - value) / measured.uncertainty_mm
    return (value - high) / measured.uncertainty_mm if value > high else 0.0


def _scored(
    kind: Kind, values: Iterable[tuple[Dimension, Measured]], extra: Iterable[Compared], *, new: bool
) -> tuple[float, int, int, Dimension | None]:
    """Score, dimensions compared, dimensions that fail, and the last of these."""
    score, count, fails = 0.0, 0, 0
    alone: Dimension | None = None
    bands = kind.bands
    for dimension, measured in values:
        found = bands.get(dimension)
        if found is None:
            continue
        band, misfit = _best(found, measured, new=new)
        width = band.new_high - band.new_low if new else band.worn_high - band.worn_low
        score += _cost(dimension, measured, band, misfit, width)
        count += 1
        if misfit > MOST_UNCERTAINTIES:
            fails += 1
            alone = dimension
    for one in extra:
        misfit = one.misfit
        score += _cost(one.dimension, one.measured, one.band, misfit, one.high_mm - one.low_mm)
        count += 1
        if misfit > MOST_UNCERTAINTIES:
            fails += 1
            alone = one.dimension
    return score, count, fails, alone


def _best(bands: tuple[Band, ...], measured: Measured, *, new: bool) -> tuple[Band, float]:
    """The figure of a dimension that the measurement fits best, and how badly."""
    best = bands[0]
    least = _misfit(measured, best.new_low, best.new_high) if new else _misfit(measured, best.worn_low, best.worn_high)
    for band in bands[1:]:
        low, high = (band.new_low, band.new_high) if new else (band.worn_low, band.worn_high)
        misfit = _misfit(measured, low, high)
        if misfit < least:
            best, least = band, misfit
    return best, least


def _cost(dimension: Dimension, measured: Measured, band: Band, misfit: float, width: float) -> float:
    """Misfit and distance from the printed figure; a chain may be as long as one that is usually replaced."""
    expected = band.expected
    away = measured.value_mm - expected
    if dimension == "pitch":
        away = max(0.0, away - USUAL_WEAR_PERCENT / 100 * expected, -away)
    spread = max(width, measured.uncertainty_mm) / 2
    return misfit * misfit + CLOSENESS * (away / spread) ** 2


def _compared(kind: Kind, sample: Sample) -> Iterable[Compared]:
    new = sample.condition == "new"
    for dimension, measured in sample.values.items():
        bands = kind.bands.get(dimension)
        if bands is None:
            continue
        band, _ = _best(bands, measured, new=new)
        low, high = (band.new_low, band.new_high) if new else (band.worn_low, band.worn_high)
        yield Compared(dimension, measured, band, low, high)


def _counts_agree(kind: Kind, sample: Sample) -> bool:
    return all(kind.counts.get(name, count) == count for name, count in sample.counts.items())
