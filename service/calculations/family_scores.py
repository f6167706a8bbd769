"""The sum of reasons of one family of chain for a duty."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple, get_args

from service.reference.families import SpeedClass
from service.reference.records import Record, replace

if TYPE_CHECKING:
    from service.reference.families import Families, Family, RatingRow
    from service.reference.family_selection import FamilyRuleRow, SelectionReference, WeightRow

SPEED_CLASSES: tuple[str, ...] = get_args(SpeedClass)
CLASSES_BEYOND = 2
"""A family is left out where the speed lies this many classes above its usual one (policy)."""
SUITS_FROM = 2
"""Least rating by the purpose at which a family stands before those that serve it poorly (policy)."""


class Fact(NamedTuple):
    """One fact of the duty at the level that was stated."""

    name: str
    level: str


class RatingOverride(Record, frozen=True):
    """A rating of the caller in place of that of the tables."""

    family: str
    criterion: str
    rating: int
    reason: str = ""


class Term(Record, frozen=True):
    """One reason: what the duty asks for, and how well the family meets it; ``row`` is None for a caller's rating."""

    asked: WeightRow
    rating: int
    reason: str
    row: RatingRow | None

    @property
    def points(self) -> float:
        """Weight times rating."""
        return self.asked.weight * self.rating

    @property
    def fails(self) -> bool:
        """Whether the rating lies below the least that is asked."""
        return self.asked.least is not None and self.rating < self.asked.least


class FamilyScore(Record, frozen=True):
    """A family with all its reasons."""

    family: Family
    terms: tuple[Term, ...] = ()
    rules: tuple[FamilyRuleRow, ...] = ()
    too_fast: str = ""

    @property
    def total(self) -> float:
        """Sum of the points."""
        return sum(term.points for term in self.terms)

    @property
    def greatest(self) -> float:
        """The sum that a family of first choice by every criterion would have."""
        return sum(4.0 * term.asked.weight for term in self.terms)

    @property
    def suits(self) -> bool:
        """Whether it serves the purpose at least fairly."""
        return all(term.rating >= SUITS_FROM for term in self.terms if term.asked.fact == "purpose")

    @property
    def left_out(self) -> bool:
        """Whether anything rules it out."""
        ruled_out = any(rule.effect == "leave_out" for rule in self.rules)
        return ruled_out or bool(self.too_fast) or any(term.fails for term in self.terms)


class Scoring:
    """Scores families by the tables, a caller's ratings standing before theirs."""

    def __init__(
        self, families: Families, tables: SelectionReference, overrides: tuple[RatingOverride, ...] = ()
    ) -> None:
        self._families = families
        self._weights: dict[tuple[str, str], list[WeightRow]] = {}
        for weight in tables.weights.rows:
            self._weights.setdefault((weight.fact, weight.level), []).append(weight)
        self._rules: dict[tuple[str, str], list[FamilyRuleRow]] = {}
        for rule in tables.family_rules.rows:
            self._rules.setdefault((rule.fact, rule.level), []).append(rule)
        self._overrides = {(override.family, override.criterion): override for override in overrides}

    def asked(self, facts: tuple[Fact, ...]) -> tuple[WeightRow, ...]:
        """What the facts ask for."""
        return tuple(row for fact in facts for row in self._weights.get(fact, ()))

    def unstated(self, facts: tuple[Fact, ...]) -> tuple[Fact, ...]:
        """Every level of every fact that was not stated."""
        stated = {fact.name for fact in facts} | {"purpose", "trouble"}
        levels = dict.fromkeys([*self._weights, *self._rules])
        return tuple(Fact(name, level) for name, level in levels if name not in stated)

    def rating(self, family: str, criterion: str) -> tuple[int, str, RatingRow | None]:
        """Rating and reason; the row is None where the caller rated."""
        own = self._overrides.get((family, criterion))
        if own is not None:
            return own.rating, own.reason or "Rating of the caller.", None
        row = self._families.rating(family, criterion)
        return row.rating, row.reason, row

    def score(self, family: Family, facts: tuple[Fact, ...]) -> FamilyScore:
        """The reasons of one family for all facts."""
        score = FamilyScore(family)
        for fact in facts:
            score = self.add(score, fact)
        return score

    def add(self, score: FamilyScore, fact: Fact) -> FamilyScore:
        """The reasons with one fact more."""
        family = score.family
        terms = tuple(Term(row, *self.rating(family.id, row.criterion)) for row in self._weights.get(fact, ()))
        rules = tuple(rule for rule in self._rules.get(fact, ()) if rule.family == family.id)
        too_fast = score.too_fast
        if fact.name == "speed":
            usual = SPEED_CLASSES.index(family.speed_class)
            if SPEED_CLASSES.index(fact.level) >= usual + CLASSES_BEYOND:
                too_fast = f"It usually runs {family.speed_class}, and the speed is {fact.level}."
        return replace(score, terms=score.terms + terms, rules=score.rules + rules, too_fast=too_fast)
