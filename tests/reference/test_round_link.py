"""Working load limits of round-link chain, and the sizes that a written diameter and pitch may mean."""

from __future__ import annotations

from math import pi

import pytest

from service.core.errors import MoreNeeded, NotInReference
from service.reference.catalogue import load_reference
from service.reference.round_link import find_size

REFERENCE = load_reference()
LIMITS = REFERENCE.working_load_limits


def test_printed_limit_is_its_mean_stress_on_two_legs_taken_to_a_preferred_number() -> None:
    """F = sigma pi d^2/2 over standard gravity, for every row that prints a stress; most round downwards."""
    stressed = [row for row in LIMITS.rows if row.mean_stress_n_mm2]
    assert len(stressed) == 45 + 17
    for row in stressed:
        mass = (row.mean_stress_n_mm2 or 0) * pi / 2 * row.diameter_mm**2 / 9.80665
        assert 0.93 <= row.working_load_limit_kg / mass <= 1.01, row


def test_limits_rise_with_the_wire() -> None:
    for standard, chain_type in {(row.standard, row.chain_type) for row in LIMITS.rows}:
        rows = sorted(LIMITS.where(standard=standard, chain_type=chain_type), key=lambda row: row.diameter_mm)
        limits = [row.working_load_limit_kg for row in rows]
        assert limits == sorted(set(limits)), (standard, chain_type)


def test_type_t_carries_more_than_dat_and_dat_more_than_dt() -> None:
    for row in LIMITS.where(standard="EN 818-7", chain_type="T"):
        dat, dt = (
            LIMITS.where(standard="EN 818-7", chain_type=kind, diameter_mm=row.diameter_mm)[0].working_load_limit_kg
            for kind in ("DAT", "DT")
        )
        assert row.working_load_limit_kg > dat > dt


def test_no_row_rates_a_power_driven_hoist() -> None:
    hoist = [row for row in LIMITS.rows if row.use == "hoist"]
    assert len(hoist) == 45
    assert {row.drive_kind for row in hoist} == {"hand"}
    assert all("annex B" in row.note for row in hoist)


def test_chain_marked_not_for_lifting_stays_marked() -> None:
    assert {row.standard for row in LIMITS.rows if row.use == "not_for_lifting"} == {"DIN 766"}


def test_a_size_of_several_uses_is_asked_for() -> None:
    with pytest.raises(MoreNeeded) as asked:
        find_size(REFERENCE.chains, "10x30")
    assert asked.value.issues[0].code == "application_needed"
    assert asked.value.candidates == ("EN 818-7 10x30", "EN 818-3 10", "EN 818-2 10x30")


def test_a_use_settles_the_size() -> None:
    assert find_size(REFERENCE.chains, "10 x 30", "hoist").designation == "EN 818-7 10x30"
    assert find_size(REFERENCE.chains, "10x35").row.standard == "DIN 764"
    assert find_size(REFERENCE.chains, "13x36", "not_for_lifting").designation == "DIN 766 13x36"


def test_a_size_that_no_table_holds_is_refused() -> None:
    with pytest.raises(NotInReference) as refused:
        find_size(REFERENCE.chains, "10x29", "hoist")
    assert refused.value.issues[0].code == "designation_unknown"
