"""Which size a measured piece of chain is: every size compared in every dimension, and what cannot be told apart.

A piece fits a size where each measurement lies within the band that making and wear give that dimension, widened by
the uncertainty of the measurement. Ranking prefers small misfits, then nearness to the printed figure.
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, Literal, get_args

from service.reference.chains import Family
from service.reference.records import Record, field

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

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

_FAMILIES: tuple[str, ...] = get_args(Family)
Condition = Literal["new", "worn", "unknown"]
Outcome = Literal["identified", "not_separable", "no_match"]

MOST_UNCERTAINTIES = 2.0
"""A measurement farther outside its band is no fit: twice the stated uncertainty, about 95 in 100."""
SPREAD = 3.0
"""Sizes whose score lies as near to the best are not told apart."""
CLOSENESS = 0.25
"""Weight of nearness to the printed figure beside a misfit."""
USUAL_WEAR_PERCENT = 3.0
"""Elongation at which chain is usually replaced; beyond it a size gets less likely."""
LEAST_SHARE_COMPARED = 0.6
"""A size that the tables describe in fewer of the measured dimensions is named apart, not ranked."""
MOST_SHOWN = 10
NEAREST_SHOWN = 3
PITCH_WINDOW = (0.90, 1.06)
"""Printed over measured pitch of the sizes that are looked at."""
CALLIPER_MM = 0.1
"""Uncertainty of a calliper on a dirty chain, by which the next measurement is judged."""


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
        value = self.measured.value_mm
        return max(self.low_mm - value, value - self.high_mm, 0.0) / self.measured.uncertainty_mm

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


class Decisive(Record, frozen=True):
    """A dimension and how many sizes it alone rules out."""

    dimension: Dimension
    excluded: int


class NextMeasurement(Record, frozen=True):
    """The one measurement that parts most pairs of the sizes that remain."""

    dimension: Dimension | Literal["plate_edges"]
    pairs_parted: int
    pairs: int


class Identification(Record, frozen=True):
    """What the piece can be."""

    outcome: Outcome
    candidates: tuple[Candidate, ...]
    not_separable: tuple[Candidate, ...]
    not_comparable: tuple[Kind, ...]
    decisive: tuple[Decisive, ...]
    next_measurement: NextMeasurement | None


def identify(index: IdentificationIndex, sample: Sample, wheel: WheelComparison | None = None) -> Identification:
    """Rank every size that a piece can be.

    Args:
        index: All sizes.
        sample: What was measured on the chain.
        wheel: Comparisons of a wheel that the chain ran on, or None for a size that runs on no such wheel.
    """
    ranked, apart = compare_all(index, sample, wheel)
    fitting = [candidate for candidate in ranked if candidate.fits]
    best = fitting[0].score if fitting else 0.0
    inseparable = tuple(candidate for candidate in fitting if candidate.score <= best + SPREAD)
    outcome: Outcome = "no_match" if not fitting else "identified" if len(inseparable) == 1 else "not_separable"
    shown = fitting[:MOST_SHOWN] if fitting else ranked[:NEAREST_SHOWN]
    return Identification(
        outcome=outcome,
        candidates=tuple(shown),
        not_separable=inseparable if len(inseparable) > 1 else (),
        not_comparable=tuple(apart),
        decisive=_decisive(ranked),
        next_measurement=_next(inseparable, sample) if len(inseparable) > 1 else None,
    )


def compare_all(
    index: IdentificationIndex, sample: Sample, wheel: WheelComparison | None = None
) -> tuple[list[Candidate], list[Kind]]:
    """Every size compared, the best first, and sizes of which too little is printed to compare them."""
    pitch = sample.values.get("pitch")
    kinds: Iterable[Kind] = index.kinds
    if pitch is not None:
        kinds = index.near_pitch(pitch.value_mm * PITCH_WINDOW[0], pitch.value_mm * PITCH_WINDOW[1])
    ranked: list[Candidate] = []
    apart: list[Kind] = []
    for kind in kinds:
        if not _possible(kind, sample):
            continue
        extra = () if wheel is None else wheel(kind)
        if extra is None:
            continue
        compared = (*_compare(kind, sample), *extra)
        wanted = len(sample.values) + len(extra)
        if compared and len(compared) >= LEAST_SHARE_COMPARED * wanted:
            ranked.append(_candidate(kind, sample, compared, missing=max(0, wanted - len(compared))))
        elif compared and all(comparison.fits for comparison in compared):
            apart.append(kind)
    ranked.sort(key=_rank)
    return ranked, apart


def _rank(candidate: Candidate) -> tuple[int, float, int]:
    """Fewest failing dimensions first, then the score; equals in the order of the families."""
    failing = sum(not compared.fits for compared in candidate.compared) + (not candidate.counts_agree)
    return failing, float(f"{candidate.score:.2g}"), _FAMILIES.index(candidate.kind.size.row.family)


def _possible(kind: Kind, sample: Sample) -> bool:
    return not (
        (sample.families and kind.size.row.family not in sample.families)
        or (sample.edges is not None and kind.edges not in (None, sample.edges))
        or (sample.guide is not None and kind.guides and sample.guide not in kind.guides)
        or (sample.made_by is not None and kind.made_by and sample.made_by not in kind.made_by)
        or any(kind.lacks(dimension) for dimension in sample.values)
    )


def _compare(kind: Kind, sample: Sample) -> tuple[Compared, ...]:
    new = sample.condition == "new"
    found = []
    for dimension, measured in sample.values.items():
        best: Compared | None = None
        for band in kind.bands.get(dimension, ()):
            low, high = (band.new_low, band.new_high) if new else (band.worn_low, band.worn_high)
            compared = Compared(dimension, measured, band, low, high)
            if best is None or compared.misfit < best.misfit:
                best = compared
        if best is not None:
            found.append(best)
    return tuple(found)


def _candidate(kind: Kind, sample: Sample, compared: tuple[Compared, ...], *, missing: int) -> Candidate:
    score = float(missing)
    elongation = None
    for comparison in compared:
        measured, expected = comparison.measured, comparison.band.expected
        away = abs(measured.value_mm - expected)
        if comparison.dimension == "pitch":
            elongation = 100 * (measured.value_mm / expected - 1)
            away = max(0.0, elongation - USUAL_WEAR_PERCENT, -elongation) / 100 * expected
        spread = max(comparison.high_mm - comparison.low_mm, measured.uncertainty_mm) / 2
        score += comparison.misfit**2 + CLOSENESS * (away / spread) ** 2
    agree = all(kind.counts.get(name, count) == count for name, count in sample.counts.items())
    return Candidate(kind, compared, agree, score if agree else score + 100, elongation)


def _decisive(ranked: Sequence[Candidate]) -> tuple[Decisive, ...]:
    """Dimensions by the number of sizes that they alone rule out, the most first."""
    excluded: dict[Dimension, int] = {}
    for candidate in ranked:
        failing = [comparison.dimension for comparison in candidate.compared if not comparison.fits]
        if len(failing) == 1:
            excluded[failing[0]] = excluded.get(failing[0], 0) + 1
    ordered = sorted(excluded.items(), key=lambda entry: -entry[1])
    return tuple(Decisive(dimension, count) for dimension, count in ordered)


def _next(inseparable: Sequence[Candidate], sample: Sample) -> NextMeasurement | None:
    """The unmeasured dimension whose bands stand apart for most pairs of sizes."""
    kinds = [candidate.kind for candidate in inseparable]
    pairs = list(combinations(kinds, 2))
    best: tuple[int, float, Dimension] | None = None
    hidden = {"transverse_pitch"} if sample.strand_count == 1 else set()
    for dimension in sorted({name for kind in kinds for name in kind.bands} - sample.values.keys() - hidden):
        gaps = [_gap(one, other, dimension) for one, other in pairs]
        apart = sum(_difference(one, other, dimension) for one, other in pairs)
        offer = (sum(gap > 0 for gap in gaps), apart, dimension)
        if apart > 0 and (best is None or offer[:2] > best[:2]):
            best = offer
    by_edges = sum(one.edges != other.edges for one, other in pairs) if sample.edges is None else 0
    if by_edges and (best is None or by_edges > best[0]):
        return NextMeasurement("plate_edges", by_edges, len(pairs))
    return None if best is None else NextMeasurement(best[2], best[0], len(pairs))


def _difference(one: Kind, other: Kind, dimension: Dimension) -> float:
    """How far the printed figures of two sizes differ, in uncertainties of a calliper; less than one is nothing."""
    ours, theirs = one.bands.get(dimension), other.bands.get(dimension)
    if not ours or not theirs:
        return 0.0
    apart = abs(ours[0].expected - theirs[0].expected) / CALLIPER_MM
    return apart if apart >= 1 else 0.0


def _gap(one: Kind, other: Kind, dimension: Dimension) -> float:
    """By how many uncertainties of a calliper the bands of a dimension stand apart; below zero they overlap."""
    ours, theirs = one.bands.get(dimension, ()), other.bands.get(dimension, ())
    gaps = [
        max(band.worn_low - beside.worn_high, beside.worn_low - band.worn_high) - 2 * CALLIPER_MM
        for band in ours
        for beside in theirs
    ]
    return min(gaps, default=-1.0) / CALLIPER_MM
