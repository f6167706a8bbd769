"""From symptoms and data to ranked causes: which publication names them, and what the data say for or against."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.calculations.fault_figures import judge_figures
from service.calculations.fault_requests import Asked, tell_requests
from service.calculations.trace import Outcome, Trace
from service.core.errors import Issue, MoreNeeded
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.fault_figures import FigureInput
    from service.reference.catalogue import Reference
    from service.reference.fault_finding import CauseRow, EvidenceRow, FaultReference, Symptom
    from service.reference.lubrication import LubricationState
    from service.reference.wear import Finding, SprocketState

Likelihood = Literal["shown_by_data", "likely", "possible", "unlikely"]
"""Classes of likelihood; the publications name causes and do not count them, so that there is no percentage."""

LIKELIHOODS: tuple[Likelihood, ...] = ("shown_by_data", "likely", "possible", "unlikely")

Machine = Literal["drive", "conveyor", "elevator", "lifting", "bicycle", "motorcycle"]
LubricationMethod = Literal["none", "manual", "drip", "bath", "disc", "stream"]
RecentChange = Literal[
    "new_chain",
    "new_wheels",
    "section_replaced",
    "speed_raised",
    "load_raised",
    "lubricant_changed",
    "shafts_moved",
]
Load = Literal["smooth", "pulsating", "shock", "frequent_starts"]
Surrounding = Literal["grit", "grit_under_water", "wet", "corrosive", "hot"]

ENOUGH_SOURCES = 2
"""Independent sources that name a cause for one symptom from which it is called likely (project policy)."""

OIL_SUPPLIED = {"drip", "bath", "disc", "stream"}
WITHOUT_OIL = {"dry", "not_intended"}


class FaultFindingInput(Record, frozen=True, kw_only=True):
    """What was noticed, found and measured."""

    symptoms: tuple[Symptom, ...]
    machine: Machine = "drive"
    figures: FigureInput
    findings: tuple[Finding, ...] = ()
    sprocket_state: SprocketState | None = None
    lubrication_state: LubricationState | None = None
    lubrication_method: LubricationMethod | None = None
    recent_changes: tuple[RecentChange, ...] = ()
    loads: tuple[Load, ...] = ()
    surroundings: tuple[Surrounding, ...] = ()
    asked: Asked


class Cause(Record, frozen=True, kw_only=True):
    """One cause, what it explains, and what the data say of it."""

    row: CauseRow
    likelihood: Likelihood
    explains: tuple[Symptom, ...]
    source_count: int
    evidence: tuple[EvidenceRow, ...]


class FaultFindingResult(Record, frozen=True, kw_only=True):
    """Causes, the likeliest first."""

    symptoms: tuple[Symptom, ...]
    causes: tuple[Cause, ...]


def fault_finding(
    given: FaultFindingInput, reference: Reference, *, keep_steps: bool = False
) -> Outcome[FaultFindingResult]:
    """Rank the causes of what was noticed.

    Raises:
        MoreNeeded: no symptom was sent, or one that belongs to belts.
        OutOfRange: a question that is not answered here, or work that must not be done.
    """
    trace = Trace(keep_steps=keep_steps)
    tell_requests(given.asked, trace)
    symptoms = _read_symptoms(given.symptoms, reference.faults, trace)
    _tell_scope(given, trace)
    facts = [*_facts(given), *judge_figures(given.figures, reference, trace)]
    causes = _ranked(symptoms, facts, reference.faults)
    for cause in causes:
        _note(cause, reference.faults, trace)
    trace.caution(*CAUTIONS, *(CAUTIONS_LIFTING if given.machine == "lifting" else ()))
    return Outcome(FaultFindingResult(symptoms=symptoms, causes=causes), trace)


CAUTIONS = ("isolate_and_lock_off", "stored_energy", "guard_the_drive", "local_codes")
CAUTIONS_LIFTING = ("competent_person", "never_repair_lifting_chain")


def _read_symptoms(sent: tuple[Symptom, ...], faults: FaultReference, trace: Trace) -> tuple[Symptom, ...]:
    known = tuple(row.symptom for row in faults.symptoms.values() if row.kind == "chain")
    if not sent:
        message = "Say what was noticed: at least one symptom."
        raise MoreNeeded(
            Issue("symptoms", "symptom_missing", message, None, None, f"Known: {', '.join(known)}."), candidates=known
        )
    read: dict[Symptom, None] = {}
    for index, symptom in enumerate(sent):
        row = faults.symptoms[symptom]
        if row.kind == "other_drive":
            message = f"{symptom!r} is no symptom of chain: {row.meaning}. Which of the known symptoms is meant?"
            raise MoreNeeded(
                Issue(f"symptoms.{index}", "not_a_chain_symptom", message, None, symptom), candidates=known
            )
        read[row.stands_for or symptom] = None
        if symptom == "chain_stretched":
            trace.warn(
                "plates_do_not_stretch",
                "A chain grows longer by wear of its joints; its plates do not stretch in normal running.",
                severity="info",
                field=f"symptoms.{index}",
            )
    return tuple(read)


def _tell_scope(given: FaultFindingInput, trace: Trace) -> None:
    if given.machine in {"bicycle", "motorcycle"}:
        trace.warn(
            "scope_note",
            "These causes are those of industrial chain; limits and lubricants of vehicles differ, so follow the "
            "vehicle's manual.",
            field="machine",
        )
    if given.lubrication_state in WITHOUT_OIL and given.lubrication_method in OIL_SUPPLIED:
        trace.warn(
            "contradiction",
            f"The chain is said to be without oil ({given.lubrication_state}) and to be oiled by "
            f"{given.lubrication_method}: look whether the oil reaches the joints, and which of the two is true.",
            field="lubrication_state",
        )


def _facts(given: FaultFindingInput) -> list[tuple[str, str]]:
    """What was sent in codes, as pairs of field and value."""
    facts: list[tuple[str, str]] = []
    if given.sprocket_state is not None:
        facts.append(("sprocket_state", given.sprocket_state))
    if given.lubrication_state is not None:
        facts.append(("lubrication_state", given.lubrication_state))
    for field, values in (
        ("findings", given.findings),
        ("recent_changes", given.recent_changes),
        ("loads", given.loads),
        ("surroundings", given.surroundings),
    ):
        facts += [(field, value) for value in values]
    return facts


def _ranked(symptoms: tuple[Symptom, ...], facts: list[tuple[str, str]], faults: FaultReference) -> tuple[Cause, ...]:
    """Causes that a symptom or the data point to: by likelihood, then by how many symptoms they explain.

    A cause that the data show though it explains none of the symptoms comes last among those shown.
    """
    evidence: dict[str, list[EvidenceRow]] = {}
    for field, value in facts:
        for one in faults.evidence(field, value):
            evidence.setdefault(one.cause, []).append(one)
    causes = []
    for name, row in faults.causes.items():
        sources = {symptom: _sources(symptom, name, faults) for symptom in symptoms}
        explains = tuple(symptom for symptom in symptoms if sources[symptom])
        said = tuple(evidence.get(name, ()))
        if explains or any(one.weight == "shows" for one in said):
            most = max((len(found) for found in sources.values()), default=0)
            causes.append(
                Cause(
                    row=row,
                    likelihood=_likelihood(said, explains, symptoms, most),
                    explains=explains,
                    source_count=len(set().union(*sources.values())),
                    evidence=said,
                )
            )
    return tuple(sorted(causes, key=_rank))


def _sources(symptom: Symptom, cause: str, faults: FaultReference) -> set[str]:
    return {row.source_id for row in faults.named(symptom) if row.cause == cause}


def _likelihood(
    said: tuple[EvidenceRow, ...], explains: tuple[Symptom, ...], symptoms: tuple[Symptom, ...], most_sources: int
) -> Likelihood:
    weights = [row.weight for row in said]
    if "shows" in weights:
        return "shown_by_data"
    balance = weights.count("supports") - weights.count("against")
    if balance > 0:
        return "likely"
    if balance < 0:
        return "unlikely"
    shared = len(symptoms) > 1 and len(explains) == len(symptoms)
    return "likely" if shared or most_sources >= ENOUGH_SOURCES else "possible"


def _rank(cause: Cause) -> tuple[int, int, int, int]:
    supports = sum(row.weight != "against" for row in cause.evidence)
    return LIKELIHOODS.index(cause.likelihood), -len(cause.explains), -supports, -cause.source_count


def _note(cause: Cause, faults: FaultReference, trace: Trace) -> None:
    for symptom in cause.explains:
        for row in faults.named(symptom):
            if row.cause == cause.row.cause:
                trace.row(row, f"cause of {symptom}")
    trace.row(cause.row, "check and fix")
    for said in cause.evidence:
        trace.row(said, f"evidence {said.field} {said.value}")
