"""Verdicts on interchange against a table of pairs written from the rules of the standards and of the trade."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from service.calculations.interchange_check import InterchangeInput, check_interchange
from service.calculations.interchange_sides import ComparedChain, ComparedWheel
from service.core.errors import EngineeringError
from service.reference.catalogue import load_reference
from service.reference.designations import read_designation

REFERENCE = load_reference()
with (Path(__file__).parent / "interchange_truth.csv").open(encoding="utf-8", newline="") as table:
    PAIRS = list(csv.DictReader(table))


def chain(field: str, name: str) -> ComparedChain:
    read = read_designation(REFERENCE.chains, name, field)
    return ComparedChain(field=field, name=name, size=read.size, strand_count=read.strand_count)


def verdict(first: str, second: str, purpose: str, *, same_make: bool | None) -> str:
    replacement = chain("replacement", first)
    if purpose == "chain_on_wheel":
        read = read_designation(REFERENCE.chains, second, "wheel")
        wheel = ComparedWheel(size=read.size, strand_count=read.strand_count)
        given = InterchangeInput(purpose="chain_on_wheel", replacement=replacement, wheel=wheel)
    else:
        given = InterchangeInput(
            purpose=purpose,  # type: ignore[arg-type]  # a text of the table
            replacement=replacement,
            installed=chain("installed", second),
            same_make=same_make,
        )
    try:
        return check_interchange(given, REFERENCE).result.verdict.verdict
    except EngineeringError as refusal:
        return f"refused {refusal.issues[0].code}"


@pytest.mark.parametrize(
    "pair", PAIRS, ids=[f"{p['first']} {p['second']} {p['purpose']} {p['same_make']}" for p in PAIRS]
)
def test_verdict_is_that_of_the_rule(pair: dict[str, str]) -> None:
    same_make = True if pair["same_make"] == "yes" else None
    expected = pair["expected"], pair["rule"]
    assert (verdict(pair["first"], pair["second"], pair["purpose"], same_make=same_make), pair["rule"]) == expected
    if pair["purpose"] != "chain_on_wheel":
        back = verdict(pair["second"], pair["first"], pair["purpose"], same_make=same_make)
        assert (back, pair["rule"]) == expected


def test_the_table_covers_the_scale_and_every_family_of_wheel() -> None:
    assert len(PAIRS) >= 150
    assert {pair["expected"] for pair in PAIRS} >= set(REFERENCE.interchange.verdicts)
    assert len({(pair["first"], pair["second"], pair["purpose"], pair["same_make"]) for pair in PAIRS}) == len(PAIRS)


SIZES = [size for size in REFERENCE.chains.sizes if size.row.family in ("roller", "double_pitch_roller")]
NAMES = [size.designation for size in SIZES]
SAME = {"identical", "same_size"}


@pytest.mark.parametrize("purpose", ["whole_chain", "connecting_link"])
def test_a_size_is_judged_alike_under_both_its_names(purpose: str) -> None:
    """Rounding of inch and metric prints must not change what a size may replace."""
    unlike = []
    for name in NAMES:
        for other in REFERENCE.equivalents.same_size(name):
            for third in NAMES:
                verdicts = {verdict(side, third, purpose, same_make=None) for side in (name, other)}
                if len(verdicts) > 1 and not verdicts <= SAME:
                    unlike.append((name, other, third, verdicts))
    assert unlike == []


def test_no_pair_of_sizes_depends_on_which_is_installed() -> None:
    names = [size.designation for size in REFERENCE.chains.sizes][::7]
    for first in names:
        for second in names:
            there = verdict(first, second, "whole_chain", same_make=None)
            assert there == verdict(second, first, "whole_chain", same_make=None), (first, second)


def test_a_size_is_itself_wherever_its_name_says_all() -> None:
    open_names = {"silent", "conveyor"}
    for size in REFERENCE.chains.sizes:
        found = verdict(size.designation, size.designation, "whole_chain", same_make=None)
        if size.row.family not in open_names:
            assert found == "identical", size.designation
        elif size.row.family == "silent":
            assert found in ("same_wheel_joining_not_allowed", "cannot_say"), size.designation
