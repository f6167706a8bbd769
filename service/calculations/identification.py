"""Which size a measured piece of chain is: every size compared in every dimension, and what cannot be told apart.

A piece fits a size where each measurement lies within the band that making and wear give that dimension, widened by
the uncertainty of the measurement. Ranking prefers small misfits, then nearness to the printed figure. A size is one
set of printed dimensions; chains that share it stand in it together.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.calculations.identification_advice import NextMeasurement, next_measurement
from service.calculations.identification_ranking import Candidate, Sample, candidate, rank
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.identification_index import Dimension, IdentificationIndex, Kind
    from service.calculations.identification_ranking import WheelComparison

Outcome = Literal["identified", "equal_dimensions", "not_separable", "no_match"]

SPREAD = 3.0
"""Sizes whose score lies as near to the best are not told apart."""
MOST_SHOWN = 10
NEAREST_SHOWN = 3


class Decisive(Record, frozen=True):
    """A dimension and how many sizes it alone rules out."""

    dimension: Dimension
    excluded: int


class Identification(Record, frozen=True):
    """What the piece can be."""

    outcome: Outcome
    candidates: tuple[Candidate, ...]
    not_separable: tuple[Kind, ...]
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
    found = rank(index, sample, wheel, nearest=NEAREST_SHOWN)
    best = found.fitting[0].score if found.fitting else 0.0
    alike = tuple(scored.kind for scored in found.fitting if scored.score <= best + SPREAD)
    shown = found.fitting[:MOST_SHOWN] or found.nearest
    decisive = sorted(found.excluded_by.items(), key=lambda entry: -entry[1])
    return Identification(
        outcome=_outcome(alike),
        candidates=tuple(candidate(scored, sample) for scored in shown),
        not_separable=alike if len(alike) > 1 else (),
        not_comparable=tuple(found.apart),
        decisive=tuple(Decisive(dimension, count) for dimension, count in decisive),
        next_measurement=next_measurement(alike, sample) if len(alike) > 1 else None,
    )


def _outcome(alike: tuple[Kind, ...]) -> Outcome:
    if not alike:
        return "no_match"
    if len(alike) > 1:
        return "not_separable"
    return "equal_dimensions" if len(alike[0].chains) > 1 else "identified"
