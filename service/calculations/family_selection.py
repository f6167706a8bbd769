"""Which family of chain suits a duty: what is left out and why, and the rest by a visible sum of reasons."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.family_scores import Fact, FamilyScore, RatingOverride, Scoring
from service.calculations.interchange_lifting import LIFTING_CAUTIONS
from service.calculations.trace import Outcome, Trace
from service.core.errors import Inconsistent, Issue, MoreNeeded, NotInReference
from service.reference.records import Record

if TYPE_CHECKING:
    from service.reference.catalogue import Reference
    from service.reference.families import Families, StatementRow

LIFTING = frozenset({"lift", "hold"})


class PresentFamily(Record, frozen=True):
    """The family that serves now, and what is wrong with it."""

    family: str
    trouble: str | None = None


class FamilySelectionInput(Record, frozen=True, kw_only=True):
    """The duty. ``stated`` holds facts with their level in words; speed and temperature are measured."""

    purpose: str | None
    stated: tuple[Fact, ...] = ()
    speed_m_s: float | None = None
    temperature_c: float | None = None
    present: PresentFamily | None = None
    overrides: tuple[RatingOverride, ...] = ()


class OrderChange(Record, frozen=True):
    """A fact that was not stated, at a level that puts another family first."""

    fact: str
    level: str
    first: str | None
    leaves_out_first: bool


class PresentStanding(Record, frozen=True):
    """How the present family stands among the others."""

    family: str
    rank: int | None
    better: tuple[str, ...]


class FamilySelectionResult(Record, frozen=True):
    """Families in order, those left out, and what would change the order."""

    ranked: tuple[FamilyScore, ...]
    ranks: tuple[int, ...]
    left_out: tuple[FamilyScore, ...]
    changes: tuple[OrderChange, ...]
    present: PresentStanding | None
    statements: dict[str, tuple[StatementRow, ...]]


def select_family(
    given: FamilySelectionInput, reference: Reference, *, keep_steps: bool = False
) -> Outcome[FamilySelectionResult]:
    """Rank the families of chain for a duty.

    Raises:
        MoreNeeded: the purpose is not stated.
        NotInReference: a family or criterion is unknown.
        Inconsistent: a rating is overridden twice.
    """
    families = reference.families
    purpose = _purpose(given)
    _check_names(given, families)
    trace = Trace(keep_steps=keep_steps)
    facts = (Fact("purpose", purpose), *given.stated, *_measured(given, reference, trace), *_trouble(given))
    scoring = Scoring(families, reference.family_selection, given.overrides)
    scores = [scoring.score(family, facts) for family in families.families]
    ranked = tuple(sorted((score for score in scores if not score.left_out), key=_order))
    _note(ranked, facts, reference, trace)
    result = FamilySelectionResult(
        ranked=ranked,
        ranks=_ranks(ranked),
        left_out=tuple(score for score in scores if score.left_out),
        changes=_changes(facts, scores, scoring),
        present=_standing(given, ranked, scoring, facts),
        statements={score.family.id: families.statements(score.family.id, "cautions") for score in ranked},
    )
    _warn(given, purpose, result, trace)
    return Outcome(result, trace)


def _purpose(given: FamilySelectionInput) -> str:
    if given.purpose is None:
        message = (
            "Say first where and how the chain is used: does it drive, convey, elevate, drag, lift, hold, or pull an "
            "overhead trolley?"
        )
        hint = "Then add what strains it: shock, abrasion, dirt, corrosion, temperature, speed and load."
        raise MoreNeeded(Issue("purpose", "duty_missing", message, None, None, hint))
    return given.purpose


def _check_names(given: FamilySelectionInput, families: Families) -> None:
    if given.present is not None:
        families.get(given.present.family, "present.family")
    criteria = [criterion.id for criterion in families.criteria]
    seen: set[tuple[str, str]] = set()
    for place, override in enumerate(given.overrides):
        families.get(override.family, f"ratings.{place}.family")
        if override.criterion not in criteria:
            message = f"No criterion of choice has the id {override.criterion[:60]!r} here."
            hint = f"Known: {', '.join(criteria)}."
            raise NotInReference(
                Issue(f"ratings.{place}.criterion", "criterion_unknown", message, None, override.criterion[:60], hint)
            )
        if (override.family, override.criterion) in seen:
            message = f"The rating of {override.family} by {override.criterion} is sent twice."
            raise Inconsistent(Issue(f"ratings.{place}", "over_determined", message))
        seen.add((override.family, override.criterion))


def _measured(given: FamilySelectionInput, reference: Reference, trace: Trace) -> tuple[Fact, ...]:
    """Levels of the facts that were sent as quantities."""
    facts = []
    for name, value in (("speed", given.speed_m_s), ("temperature", given.temperature_c)):
        if value is not None:
            row = reference.family_selection.level(name, value)
            trace.row(row, f"level of {name}")
            trace.assume(name, row.level, "derived", "level of the value that was sent")
            facts.append(Fact(name, row.level))
    return tuple(facts)


def _trouble(given: FamilySelectionInput) -> tuple[Fact, ...]:
    if given.present is None or given.present.trouble is None:
        return ()
    return (Fact("trouble", given.present.trouble),)


def _order(score: FamilyScore) -> tuple[bool, float, str]:
    return (not score.suits, -score.total, score.family.id)


def _ranks(ranked: tuple[FamilyScore, ...]) -> tuple[int, ...]:
    """Places in the order; equal sums share a place."""
    keys = [(score.suits, score.total) for score in ranked]
    return tuple(keys.index(key) + 1 for key in keys)


def _changes(facts: tuple[Fact, ...], scores: list[FamilyScore], scoring: Scoring) -> tuple[OrderChange, ...]:
    """Facts not stated which, at some level, would put another family first."""
    first = _first(scores)
    changes = []
    for fact in scoring.unstated(facts):
        added = [scoring.add(score, fact) for score in scores]
        then = _first(added)
        if then != first:
            gone = next((bool(score.left_out) for score in added if score.family.id == first), False)
            changes.append(OrderChange(fact.name, fact.level, then, gone))
    return tuple(changes)


def _first(scores: list[FamilyScore]) -> str | None:
    """The family that stands first, or None where none is left."""
    best = min((score for score in scores if not score.left_out), key=_order, default=None)
    return None if best is None else best.family.id


def _standing(
    given: FamilySelectionInput, ranked: tuple[FamilyScore, ...], scoring: Scoring, facts: tuple[Fact, ...]
) -> PresentStanding | None:
    """The place of the present family, and the families that do better by what fails now."""
    if given.present is None:
        return None
    present = given.present.family
    criteria = [row.criterion for row in scoring.asked(facts) if row.fact == "trouble"]
    better = tuple(
        score.family.id
        for score in ranked
        if any(scoring.rating(score.family.id, name)[0] > scoring.rating(present, name)[0] for name in criteria)
    )
    places = {score.family.id: rank for score, rank in zip(ranked, _ranks(ranked), strict=True)}
    return PresentStanding(present, places.get(present), better)


def _note(ranked: tuple[FamilyScore, ...], facts: tuple[Fact, ...], reference: Reference, trace: Trace) -> None:
    for score in ranked:
        for term in score.terms:
            trace.row(term.asked, f"weight of {term.asked.criterion.replace('_', ' ')}")
            if term.row is not None:
                trace.row(term.row, f"ratings by {term.asked.criterion.replace('_', ' ')}")
    for rule in reference.family_selection.family_rules.rows:
        if Fact(rule.fact, rule.level) in facts:
            trace.row(rule, f"rule on {rule.fact.replace('_', ' ')}")


def _warn(given: FamilySelectionInput, purpose: str, result: FamilySelectionResult, trace: Trace) -> None:
    message = "Ratings and weights are judgement of common practice; they rank families and size no chain."
    trace.warn("ratings_are_judgement", message, severity="info")
    if given.overrides:
        message = f"{len(given.overrides)} ratings of the caller stand in place of those of the tables."
        trace.warn("rating_overridden", message, severity="info", field="ratings")
    if not result.ranked:
        trace.warn("no_family_left", "Every family falls out; the reasons tell which demand is too hard for each.")
    if result.present is not None and _trouble(given) and not result.present.better:
        message = "No family that is left does better by what fails now: look at material, hardness, speed and upkeep."
        trace.warn("no_family_better", message, field="present")
    if purpose in LIFTING:
        trace.caution(*LIFTING_CAUTIONS)
    elif purpose == "drive":
        trace.caution("guard_the_drive")
    else:
        trace.caution("guard_the_drive", "catch_falling_chain")
    trace.caution("local_codes")
