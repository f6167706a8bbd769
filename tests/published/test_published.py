"""Figures printed outside this project are reproduced to their last digit, and no equation goes unchecked unsaid."""

from __future__ import annotations

import tomllib
from collections import Counter

import pytest

from service.core.equations import load_catalogue
from service.reference.register import load_register
from tests.published.cases import HERE, Case, load_cases, load_reasons

CATALOGUE = load_catalogue()
CASES = load_cases()
UNCHECKED = load_reasons("unchecked.toml")
REGISTER = load_register()


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.id)
def test_printed_figure_is_reproduced(case: Case) -> None:
    computed = case.computed()
    assert case.matches(computed), f"{case.file}: computed {computed}, printed {case.printed} {case.unit}. {case.note}"


def test_cases_are_well_formed() -> None:
    for case in CASES:
        assert case.source in REGISTER, case.id
        assert case.confidence in {"published", "secondary", "derived"}, case.id
        assert bool(case.equation) + bool(case.steps) + bool(case.table) == 1, case.id
        assert bool(case.steps) == bool(case.calculation), f"{case.id}: a calculation has a name"
        assert bool(case.tolerance) == bool(case.tolerance_reason), f"{case.id}: a wider tolerance needs its reason"
        assert [name for name in case.equations if name not in CATALOGUE] == [], case.id


def test_names_of_cases_are_unique() -> None:
    assert [name for name, count in Counter(case.id for case in CASES).items() if count > 1] == []


def test_every_equation_is_checked_or_stands_in_unchecked_with_a_reason() -> None:
    checked = {name for case in CASES for name in case.equations}
    assert sorted(CATALOGUE.keys() - checked - UNCHECKED.keys()) == [], "add a case or a reason"


def test_no_entry_of_unchecked_is_stale() -> None:
    checked = {name for case in CASES for name in case.equations}
    assert sorted(UNCHECKED.keys() & checked) == [], "checked by a case: take the reason out"
    assert sorted(UNCHECKED.keys() - CATALOGUE.keys()) == [], "no such equation"
    assert [name for name, reason in UNCHECKED.items() if len(reason) < 20] == [], "the reason says too little"


def test_refused_figures_name_their_page_and_reason() -> None:
    refused = tomllib.loads((HERE / "refused.toml").read_text(encoding="utf-8"))["refused"]
    for row in refused:
        assert row.keys() == {"subject", "source", "locator", "confidence", "printed", "inputs", "reason"}, row
        assert row["source"] in REGISTER, row["source"]
        assert len(row["reason"]) > 20, row


def test_a_wrong_digit_would_fail() -> None:
    case = next(case for case in CASES if case.equation == "chain_length.pitches_approximate")
    assert not case.matches(float(case.computed()) + 10 ** -(len(case.printed.partition(".")[2]) or 0))
