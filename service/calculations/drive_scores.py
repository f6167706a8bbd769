"""The ranking of drives: terms of a score by our own weights, of which a lower sum ranks better."""

from __future__ import annotations

from operator import itemgetter
from typing import TYPE_CHECKING, NamedTuple, Protocol, TypeVar

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.reference.drive_ranking import Term


class Weights(NamedTuple):
    """Weight of each term of the ranking, or, of one drive, the terms themselves."""

    strands: float
    chordal_variation: float
    ratio_error: float
    lubrication: float
    even_teeth: float
    small_reserve: float
    mass: float


TERMS: tuple[Term, ...] = (
    "strands",
    "chordal_variation",
    "ratio_error",
    "lubrication",
    "even_teeth",
    "small_reserve",
    "mass",
)


class Scored(Protocol):
    """A candidate with its mass and the terms of its score, that of mass still zero."""

    @property
    def mass_kg(self) -> float:
        """Mass that the ranking compares."""

    @property
    def terms(self) -> Weights:
        """Terms of the score."""


AnyScored = TypeVar("AnyScored", bound=Scored)


def ranking(candidates: Sequence[AnyScored], weight: float) -> list[tuple[float, float, AnyScored]]:
    """Score, term of mass and candidate, the lowest score first; equal ones keep their order.

    The term of mass is added here, since it needs the lightest of all.
    """
    lightest = min((candidate.mass_kg for candidate in candidates), default=0.0)
    scored = []
    for candidate in candidates:
        mass = weight * (candidate.mass_kg / lightest - 1.0) if lightest > 0 else 0.0
        scored.append((sum(candidate.terms) + mass, mass, candidate))
    return sorted(scored, key=itemgetter(0))


def with_mass(terms: Weights, mass: float) -> Weights:
    """The terms with that of mass."""
    return Weights(*terms[:-1], mass)
