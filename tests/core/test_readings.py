"""Screening of single readings: each slip is flagged with its numbers, sound readings are left alone."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core import readings
from service.core.elongation import miscount
from service.core.readings import Expectation, Flag


def codes(*flags: Flag | None) -> set[str]:
    return {flag.code for flag in flags if flag is not None}


def screen(length_mm: float, pitch_count: int, pitch_mm: float, limit: float = 3.0) -> set[str]:
    nominal = pitch_count * pitch_mm
    return codes(
        readings.unit_suspect(length_mm=length_mm, nominal_mm=nominal),
        readings.link_pair_suspect(length_mm=length_mm, nominal_mm=nominal),
        readings.double_pitch_suspect(length_mm=length_mm, nominal_mm=nominal),
        *readings.count_suspects(
            figures=miscount(length_mm=length_mm, pitch_count=pitch_count, pitch_mm=pitch_mm),
            pitch_count=pitch_count,
            limit_percent=limit,
            uncertainty_percent=0.2,
            expected=None,
        ),
        readings.shorter_than_nominal(elongation_percent=100 * (length_mm / nominal - 1), uncertainty_percent=0.2),
        readings.implausible_elongation(elongation_percent=100 * (length_mm / nominal - 1)),
    )


@pytest.mark.parametrize(
    ("length_mm", "pitch_count", "pitch_mm", "expected"),
    [
        (309.4, 24, 12.7, set()),
        (12.18, 24, 12.7, {"unit_suspect", "shorter_than_nominal", "implausible_elongation"}),
        (309.4 * 25.4, 24, 12.7, {"unit_suspect", "implausible_elongation"}),
        (30.94, 24, 12.7, {"unit_suspect", "shorter_than_nominal", "implausible_elongation"}),
        (322.3, 24, 12.7, {"pitch_count_suspect"}),
        (296.5, 24, 12.7, {"pitch_count_suspect", "pins_not_pitches_suspect", "shorter_than_nominal"}),
        (12.375 * 25.4, 13, 25.4, {"pitch_count_suspect", "pins_not_pitches_suspect", "shorter_than_nominal"}),
        (618.8, 24, 12.7, {"link_pair_suspect", "implausible_elongation"}),
        (154.7, 24, 12.7, {"double_pitch_suspect", "shorter_than_nominal", "implausible_elongation"}),
        (304.8 * 0.999, 24, 12.7, set()),
        (304.8 * 0.988, 24, 12.7, {"shorter_than_nominal"}),
        (304.8 * 1.12, 24, 12.7, {"implausible_elongation"}),
    ],
)
def test_slips_of_unit_and_count(length_mm: float, pitch_count: int, pitch_mm: float, expected: set[str]) -> None:
    found = screen(length_mm, pitch_count, pitch_mm)
    assert expected <= found
    if not expected:
        assert found == set()


def test_a_count_is_doubted_when_the_leaf_limit_is_passed_by_the_pins() -> None:
    # 3.125 % for 12 pitches lies a hair over the 3 % limit; the band of the reading makes it fit.
    flags = readings.count_suspects(
        figures=miscount(length_mm=12.375 * 25.4, pitch_count=13, pitch_mm=25.4),
        pitch_count=13,
        limit_percent=3,
        uncertainty_percent=0.2,
        expected=None,
    )
    assert [flag.code for flag in flags] == ["pitch_count_suspect", "pins_not_pitches_suspect"]
    assert dict(flags[0].numbers)["other_percent"] == pytest.approx(3.125)
    assert dict(flags[0].numbers)["other_count"] == 12


def count_with_history(length_mm: float, expected_percent: float) -> set[str]:
    return codes(
        *readings.count_suspects(
            figures=miscount(length_mm=length_mm, pitch_count=80, pitch_mm=12.7),
            pitch_count=80,
            limit_percent=3,
            uncertainty_percent=0.1,
            expected=Expectation(expected_percent, 0.1),
        )
    )


def test_history_tells_a_miscount_that_looks_like_wear() -> None:
    # One pitch in 80 is 1.25 %: nothing but the history can tell it.
    new = 80 * 12.7
    assert count_with_history(new * 1.008, 0.8) == set()
    assert count_with_history((new + 12.7) * 1.008, 0.8) == {"pitch_count_suspect"}
    assert "pins_not_pitches_suspect" in count_with_history((new - 12.7) * 1.008, 0.8)


def test_a_worn_chain_that_history_led_to_is_not_doubted() -> None:
    assert count_with_history(80 * 12.7 * 1.045, 4.4) == set()


@pytest.mark.parametrize(("percent", "doubted"), [(0.03, True), (0.0999, True), (0.1, False), (3, False), (0, False)])
def test_a_figure_below_a_tenth_of_a_per_cent_may_be_a_fraction(percent: float, *, doubted: bool) -> None:
    assert (readings.fraction_or_percent_suspect(field="limit", percent=percent) is not None) is doubted


@pytest.mark.parametrize(
    ("percent", "days", "doubted"), [(0.0, 1095, True), (0.0, 10, False), (0.0, None, False), (0.01, 1095, False)]
)
def test_exactly_nominal_after_years_is_odd(percent: float, days: float | None, *, doubted: bool) -> None:
    assert (readings.nominal_exact_suspect(elongation_percent=percent, service_days=days) is not None) is doubted


@pytest.mark.parametrize(("percent", "refused"), [(10.0, False), (10.01, True), (-10.01, True), (250, True)])
def test_beyond_a_tenth_is_no_wear(percent: float, *, refused: bool) -> None:
    assert (readings.implausible_elongation(elongation_percent=percent) is not None) is refused


def test_a_pair_is_unequal_beyond_the_reading_error() -> None:
    assert readings.pair_unequal(elongations_percent=(1.0, 1.25), uncertainty_percent=0.3) is None
    flag = readings.pair_unequal(elongations_percent=(1.0, 1.4), uncertainty_percent=0.3)
    assert flag is not None
    assert dict(flag.numbers)["difference_percent"] == pytest.approx(0.4)


@given(st.integers(10, 200), st.floats(6, 200), st.floats(-0.1, 3.0))
def test_sound_readings_raise_no_flag(pitch_count: int, pitch_mm: float, percent: float) -> None:
    assert screen(pitch_count * pitch_mm * (1 + percent / 100), pitch_count, pitch_mm) == set()
