"""The tables of fault finding and lubrication: every code has its row and every rule leads somewhere."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING, get_args

import pytest

from service.calculations.fault_finding import Load, RecentChange, Surrounding
from service.reference.errors import BadTable
from service.reference.fault_finding import Mechanism, Symptom, load_fault_finding
from service.reference.loader import TABLES
from service.reference.lubrication import (
    Case,
    LubricationState,
    load_lubrication_cases,
    load_lubrication_quantities,
    load_lubrication_states,
)
from service.reference.wear import Finding, SprocketState

if TYPE_CHECKING:
    from pathlib import Path

FAULTS = load_fault_finding()

HANDBOOK = {
    # MIL-HDBK-1164, table 48, p. 237: causes that the print names, by the symptom it prints
    "broken_part": {"shock_load", "speed_too_high"},
    "climbs_teeth": {"worn_wheels", "wrong_chain", "overload", "slack_too_great"},
    "clings_to_teeth": {"wrong_chain", "worn_wheels", "lubricant_tacky"},
    "stiff_chain": {"misalignment", "overload"},
    "whips": {"centres_too_long", "pulsating_load"},
    "noisy": {"misalignment", "slack_too_great", "slack_too_small", "loose_fastening", "worn_chain"},
    "side_wear": {"misalignment"},
}


@pytest.mark.parametrize(("symptom", "causes"), HANDBOOK.items())
def test_the_checklist_of_the_handbook_stands_in_the_table(symptom: str, causes: set[str]) -> None:
    rows = [row for row in FAULTS.named(symptom) if row.source_id == "mil-hdbk-1164" and "table 48" in row.locator]
    assert {row.cause for row in rows} == causes
    assert {row.confidence for row in rows} == {"published"}


def test_every_code_has_its_row() -> None:
    assert set(FAULTS.symptoms) == set(get_args(Symptom))
    assert set(FAULTS.mechanisms) == set(get_args(Mechanism))
    assert {row.state for row in load_lubrication_states().rows} == set(get_args(LubricationState))
    assert {row.case for row in load_lubrication_cases().rows} == set(get_args(Case))


def test_every_symptom_of_chain_has_causes_and_every_cause_a_symptom() -> None:
    chain = {row.symptom for row in FAULTS.symptoms.values() if row.kind == "chain"}
    named = {row.cause for symptom in chain for row in FAULTS.named(symptom)}
    assert all(len(FAULTS.named(symptom)) >= 2 for symptom in chain)
    assert named == set(FAULTS.causes)


def test_synonyms_stand_for_symptoms_of_chain() -> None:
    for row in FAULTS.symptoms.values():
        assert (row.kind == "synonym") == (row.stands_for is not None)
        assert row.stands_for is None or FAULTS.symptoms[row.stands_for].kind == "chain"


def test_evidence_speaks_of_what_can_be_sent_or_worked_out() -> None:
    sent = {
        "findings": set(get_args(Finding)),
        "sprocket_state": set(get_args(SprocketState)),
        "lubrication_state": set(get_args(LubricationState)),
        "recent_changes": set(get_args(RecentChange)),
        "loads": set(get_args(Load)),
        "surroundings": set(get_args(Surrounding)),
        "elongation": {"at_or_over_limit", "near_limit", "far_from_limit"},
        "wrap": {"below_advice", "within_advice"},
        "slack": {"below_advice", "within_advice", "above_advice"},
        "pair": {"equal", "unequal"},
    }
    assert [pair for pair in FAULTS.told if pair[1] not in sent.get(pair[0], set())] == []
    for field in ("recent_changes", "loads", "surroundings"):
        assert sent[field] == {value for name, value in FAULTS.told if name == field}, field


def test_quantities_of_the_handbook() -> None:
    # The handbook's page 73: 8 h, 5 to 20 drops, 6 to 12 mm
    rows = load_lubrication_quantities().where(source_id="complete-guide-chain", applies_to="drive")
    assert {(row.method, row.quantity, row.least, row.greatest, row.unit) for row in rows} == {
        ("manual", "interval", 8, 8, "h"),
        ("drip", "drops_per_minute", 5, 20, "drops/min"),
        ("bath", "immersion", 6, 12, "mm"),
    }


FAULTY = [
    ("symptom_causes", "jumps_teeth,worn_chain", "jumps_teeth,worn_chian", "worn_chian is not in"),
    ("fault_evidence", "findings,seized_joint,corrosion", "findings,seized_joint,rust", "rust is not in"),
    ("fault_causes", ",chain,common-practice", ",chian,common-practice", "renew of worn_chain"),
]


@pytest.mark.parametrize(("name", "sound", "slip", "message"), FAULTY, ids=[case[0] for case in FAULTY])
def test_a_slip_in_a_rule_stops_the_start(name: str, sound: str, slip: str, message: str, tmp_path: Path) -> None:
    for table in ("fault_symptoms", "fault_mechanisms", "fault_causes", "symptom_causes", "fault_evidence"):
        for ending in ("csv", "toml"):
            (tmp_path / f"{table}.{ending}").write_bytes((TABLES / f"{table}.{ending}").read_bytes())
    rows, card = tmp_path / f"{name}.csv", tmp_path / f"{name}.toml"
    before = rows.read_bytes()
    assert sound.encode() in before
    rows.write_bytes(before.replace(sound.encode(), slip.encode(), 1))
    old, new = (hashlib.sha256(content).hexdigest() for content in (before, rows.read_bytes()))
    card.write_text(card.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    with pytest.raises(BadTable, match=message):
        load_fault_finding(tmp_path)
