"""Fault finding as data: symptoms, causes, which publication names which cause, and what evidence says."""

from pathlib import Path
from typing import Literal

import msgspec

from service.reference.errors import BadTable
from service.reference.loader import TABLES, Row, Table, load_table

Symptom = Literal[
    "jumps_teeth",
    "climbs_teeth",
    "clings_to_teeth",
    "whips",
    "noisy",
    "stiff_chain",
    "pulsates",
    "side_wear",
    "broken_part",
    "overheats",
    "slack_grows_fast",
    "slats_skewed",
    "red_dust",
    "drive_trips",
    "chain_stretched",
    "skips",
    "bangs",
    "slips",
    "squeals",
]
"""Symptoms, and words that people use for them; table ``fault_symptoms`` holds each once."""

Mechanism = Literal[
    "abrasive_wear",
    "adhesive_wear_galling",
    "fatigue",
    "corrosion_fatigue",
    "stress_corrosion",
    "overload",
    "impact",
    "misalignment",
    "lubrication_failure",
    "contamination",
    "corrosion",
    "wrong_part",
    "assembly_error",
    "heat",
    "unknown",
]
"""Mechanisms of damage; table ``fault_mechanisms`` holds each once."""

RenewedPart = Literal["chain", "all_wheels_of_the_loop", "parallel_chain", "guides", "connecting_link"]
Weight = Literal["shows", "supports", "against"]


class SymptomRow(Row, frozen=True, kw_only=True):
    """One symptom or one word for it."""

    symptom: Symptom
    kind: Literal["chain", "synonym", "other_drive"]
    meaning: str
    stands_for: Symptom | None = None


class MechanismRow(Row, frozen=True, kw_only=True):
    """One mechanism of damage."""

    mechanism: Mechanism
    meaning: str


class CauseRow(Row, frozen=True, kw_only=True):
    """One cause with the check that tells it from the others, and its fix."""

    cause: str
    mechanism: Mechanism
    meaning: str
    check: str
    fix: str
    renew: str = ""


class SymptomCauseRow(Row, frozen=True, kw_only=True):
    """A publication or practice names a cause for a symptom."""

    symptom: Symptom
    cause: str


class EvidenceRow(Row, frozen=True, kw_only=True):
    """What one finding or figure says for or against one cause."""

    field: str
    value: str
    cause: str
    weight: Weight
    reason: str


class FaultReference:
    """The tables of fault finding, looked up by code."""

    def __init__(
        self,
        *,
        symptoms: Table[SymptomRow],
        mechanisms: Table[MechanismRow],
        causes: Table[CauseRow],
        symptom_causes: Table[SymptomCauseRow],
        evidence: Table[EvidenceRow],
    ) -> None:
        self.symptoms = {row.symptom: row for row in symptoms.rows}
        self.mechanisms = {row.mechanism: row for row in mechanisms.rows}
        self.causes = {row.cause: row for row in causes.rows}
        self.parts = {row.cause: _parts(row) for row in causes.rows}
        self._named: dict[str, list[SymptomCauseRow]] = {}
        for named in symptom_causes.rows:
            if named.cause not in self.causes:
                raise BadTable(f"symptom_causes.csv: {named.cause} is not in fault_causes.csv")
            self._named.setdefault(named.symptom, []).append(named)
        self._evidence: dict[tuple[str, str], list[EvidenceRow]] = {}
        for row in evidence.rows:
            if row.cause not in self.causes:
                raise BadTable(f"fault_evidence.csv: {row.cause} is not in fault_causes.csv")
            self._evidence.setdefault((row.field, row.value), []).append(row)

    def named(self, symptom: str) -> tuple[SymptomCauseRow, ...]:
        """Rows that name a cause for a symptom, in the order of the table."""
        return tuple(self._named.get(symptom, ()))

    def evidence(self, field: str, value: str) -> tuple[EvidenceRow, ...]:
        """What a finding or figure says, in the order of the table."""
        return tuple(self._evidence.get((field, value), ()))

    @property
    def told(self) -> frozenset[tuple[str, str]]:
        """Every pair of field and value that says something."""
        return frozenset(self._evidence)


def _parts(row: CauseRow) -> tuple[RenewedPart, ...]:
    """Parts that are renewed together for a cause."""
    try:
        return msgspec.convert(row.renew.split(), tuple[RenewedPart, ...])
    except msgspec.ValidationError as error:
        raise BadTable(f"fault_causes.csv: renew of {row.cause}: {error}") from error


def load_fault_finding(folder: Path = TABLES) -> FaultReference:
    """Load the tables of fault finding.

    Raises:
        BadTable: a file breaks its card, or a row names a cause that is not listed.
    """
    return FaultReference(
        symptoms=load_table("fault_symptoms", SymptomRow, folder),
        mechanisms=load_table("fault_mechanisms", MechanismRow, folder),
        causes=load_table("fault_causes", CauseRow, folder),
        symptom_causes=load_table("symptom_causes", SymptomCauseRow, folder),
        evidence=load_table("fault_evidence", EvidenceRow, folder),
    )
