"""Advice on slack: the pages that were read, and which row holds where several conditions do."""

from __future__ import annotations

import pytest

from service.core.catenary import hanging_chain, parameter_from_sag
from service.core.mid_span import movement_from_excess
from service.reference.sags import load_recommended_sags

SAGS = load_recommended_sags()


def test_ordinary_drive_of_the_handbook() -> None:
    """Section 7.1.2.1: about 4 % of the span, moved by hand; 32 mm on a span of 800 mm."""
    first = SAGS.advice([])[0]
    assert (first.source_id, first.measure, first.of) == ("complete-guide-chain", "movement", "span")
    assert first.greatest_percent == 4
    assert 800 * 4 / 100 == 32


@pytest.mark.parametrize("situation", ["near_vertical", "centres_over_one_metre", "heavy_frequent_starts", "reversing"])
def test_each_printed_condition_halves_it(situation) -> None:
    first = SAGS.advice([situation])[0]
    assert (first.source_id, first.greatest_percent) == ("complete-guide-chain", 2)


def test_one_demanding_condition_among_others_decides() -> None:
    rows = SAGS.advice(["ordinary", "reversing"])
    assert [row.greatest_percent for row in rows if row.source_id == "complete-guide-chain"] == [2]
    assert [row.greatest_percent for row in rows if row.source_id == "trade-installation-advice"] == [3]


def test_movement_and_sag_of_the_two_conventions_agree() -> None:
    """Recalled 2 % of sag against printed 4 % of movement: within a sixth of each other by geometry."""
    parameter = parameter_from_sag(span_mm=1000, rise_mm=0, sag_mm=20)
    strand = hanging_chain(span_mm=1000, rise_mm=0, parameter_mm=parameter)
    movement = movement_from_excess(span_mm=1000, excess_length_mm=strand.excess_length_mm)
    assert movement == pytest.approx(46.2, abs=0.05)
    assert pytest.approx(movement, rel=1 / 6) == 40


def test_every_row_has_a_bound() -> None:
    assert all(row.least_percent or row.greatest_percent for row in SAGS.rows)
