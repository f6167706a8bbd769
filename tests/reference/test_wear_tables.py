"""The wear tables: every code of the contract has its row, policy says that it is policy, preferred limits win."""

from __future__ import annotations

from typing import get_args

import pytest

from service.reference.errors import BadTable
from service.reference.wear import Finding, SprocketState, load_wear

WEAR = load_wear()


def test_every_finding_and_state_has_its_row() -> None:
    assert set(WEAR.findings) == set(get_args(Finding))
    assert set(WEAR.sprocket_states) == set(get_args(SprocketState))


def test_thresholds_of_ours_say_that_they_are_ours() -> None:
    ours = [row for row in WEAR.thresholds.values() if row.source_id == "project-policy"]
    assert {"drive_watch", "drive_plan", "drive_replace", "drive_stop", "lifting_approaching"} <= {r.name for r in ours}
    assert {row.confidence for row in ours} == {"practice"}


@pytest.mark.parametrize(
    ("family", "criterion", "duty", "percent", "source_id"),
    [
        ("leaf", "elongation", "any", 3.0, "tm-10-3930-671-24"),
        ("conveyor", "elongation", "any", 2.0, "complete-guide-chain"),
        ("round_link", "elongation_against_unused", "powered_hoist", 1.5, "doe-std-1090-96"),
        ("round_link", "elongation_against_unused", "hand_hoist", 2.5, "doe-std-1090-96"),
        ("hoist_roller", "elongation", "any", 2.083333, "doe-std-1090-96"),
    ],
)
def test_what_was_read_in_a_rule_wins(family: str, criterion: str, duty: str, percent: float, source_id: str) -> None:
    row = WEAR.limit(family, criterion, duty=duty)
    assert row is not None
    assert row.percent == pytest.approx(percent, abs=1e-6)
    assert row.source_id == source_id


def test_where_nothing_was_found_there_is_no_limit() -> None:
    assert WEAR.limit("welded_steel_mill", "elongation") is None


def test_an_angle_is_no_percentage() -> None:
    row = WEAR.limit("hoist_roller", "twist")
    assert row is not None
    with pytest.raises(BadTable):
        _ = row.percent
