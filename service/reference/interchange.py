"""Interchange as data: how each family meets its wheel, the reasons for a verdict, tolerances, what to measure."""

from pathlib import Path
from typing import Annotated, Literal, get_args

import msgspec

from service.reference import chains
from service.reference.errors import BadTable
from service.reference.loader import TABLES, Row, Table, load_table
from service.reference.records import Record

Verdict = Literal[
    "identical",
    "same_size",
    "same_wheel_joining_not_allowed",
    "same_wheel_with_restrictions",
    "wheel_change_needed",
    "not_interchangeable",
    "different_principle",
    "cannot_say",
]
Purpose = Literal["whole_chain", "section", "connecting_link", "chain_on_wheel"]
Suitability = Literal["yes", "with_conditions", "no", "cannot_say"]
Principle = Literal["tooth_gap", "inverted_tooth", "sheave", "pocket_wheel"]


class FamilyRow(Row, frozen=True, kw_only=True):
    """How a family meets its wheel, and what holds of other numbers and other makes."""

    family: chains.Family
    principle: Principle
    seat_figures: str = ""
    width: Literal["tooth_width", "check"]
    other_number: Literal["measure", "excluded"]
    makes: Literal["avoid", "minimum", "excluded"]


class RuleRow(Row, frozen=True, kw_only=True):
    """A reason, and the verdict that it imposes for each kind of question; None where it is a remark only."""

    reason: str
    whole_chain: Verdict | None = None
    joining: Verdict | None = None
    on_wheel: Verdict | None = None
    sentence: str
    parts: str = ""
    advice: str = ""

    def verdict(self, purpose: Purpose) -> Verdict | None:
        """What the reason imposes for a purpose."""
        if purpose == "whole_chain":
            return self.whole_chain
        return self.on_wheel if purpose == "chain_on_wheel" else self.joining


class ToleranceRow(Row, frozen=True, kw_only=True):
    """Greatest relative difference at which two figures of a quantity count as equal."""

    quantity: str
    relative: Annotated[float, msgspec.Meta(ge=0, lt=1)]


class MeasurementRow(Row, frozen=True, kw_only=True):
    """What is to be found out, and how."""

    kind: Principle
    code: str
    how: str


class VerdictRow(Row, frozen=True, kw_only=True):
    """One step of the scale, and what it means for each purpose."""

    verdict: Verdict
    rank: int
    whole_chain: Suitability
    section: Suitability
    connecting_link: Suitability
    chain_on_wheel: Suitability
    meaning: str

    def suits(self, purpose: Purpose) -> Suitability:
        """Whether the purpose is met."""
        found: Suitability = getattr(self, purpose)
        return found


class InterchangeReference(Record, frozen=True):
    """The tables of interchange."""

    families: dict[str, FamilyRow]
    rules: dict[str, RuleRow]
    tolerances: dict[str, ToleranceRow]
    measurements: dict[tuple[str, str], MeasurementRow]
    verdicts: dict[Verdict, VerdictRow]


def load_interchange(folder: Path = TABLES) -> InterchangeReference:
    """Load the tables.

    Raises:
        BadTable: a table breaks its card, or a family or verdict is missing.
    """
    families = load_table("interchange_families", FamilyRow, folder).rows
    verdicts = load_table("interchange_verdicts", VerdictRow, folder).rows
    if missing := sorted(set(get_args(chains.Family)) - {row.family for row in families}):
        raise BadTable(f"interchange_families.csv: {missing[0]} is missing")
    if missing := sorted(set(get_args(Verdict)) - {row.verdict for row in verdicts}):
        raise BadTable(f"interchange_verdicts.csv: {missing[0]} is missing")
    rules: Table[RuleRow] = load_table("interchange_rules", RuleRow, folder)
    return InterchangeReference(
        families={row.family: row for row in families},
        rules={row.reason: row for row in rules.rows},
        tolerances={row.quantity: row for row in load_table("interchange_tolerances", ToleranceRow, folder).rows},
        measurements={
            (row.kind, row.code): row for row in load_table("interchange_measurements", MeasurementRow, folder).rows
        },
        verdicts={row.verdict: row for row in verdicts},
    )
