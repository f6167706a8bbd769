"""Cost of matching descriptions of stock items, in seconds of the processor, which other work does not disturb."""

from __future__ import annotations

from pathlib import Path
from time import process_time

import pytest

from service.calculations.designation_matching import DesignationMatcher
from service.reference.catalogue import load_reference

MATCHER = DesignationMatcher(load_reference())
LINES = (Path(__file__).parents[1] / "api" / "item_texts.txt").read_text(encoding="utf-8").splitlines()
TEXTS = [line.rsplit("|", 4)[0].strip() for line in LINES if line and not line.startswith("## ")]


def seconds(texts: list[str]) -> float:
    started = process_time()
    for text in texts:
        MATCHER.match(text)
    return process_time() - started


def test_a_thousand_descriptions_are_matched_within_a_tenth_of_a_second() -> None:
    thousand = (TEXTS * 2)[:1000]
    assert min(seconds(thousand) for _ in range(5)) < 0.1


def test_cost_grows_with_the_number_of_descriptions_only() -> None:
    one, four = min(seconds(TEXTS) for _ in range(5)), min(seconds(TEXTS * 4) for _ in range(3))
    assert four < 5 * one


ODD = ["CHAIN 99", "10x30", "LEAF CHAIN 999", "CHAIN 1/2 PITCH DUPLEX", "BL899", "1-" * 127, "80X" * 85, "O" * 255]


@pytest.mark.parametrize("text", ODD)
def test_no_description_costs_more_than_two_milliseconds(text: str) -> None:
    assert min(seconds([text] * 10) for _ in range(3)) < 0.02
