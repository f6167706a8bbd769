"""Elongation by every way of measuring, held against figures worked out by hand and against each other."""

from __future__ import annotations

import mpmath
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core import elongation, wear_limits
from service.core.errors import OutOfRange

LENGTHS = st.floats(10, 20000)
COUNTS = st.integers(2, 500)
PITCHES = st.floats(3, 400)


@pytest.mark.parametrize(
    ("length_mm", "pitch_count", "pitch_mm", "percent"),
    [
        (309.4, 24, 12.7, 1.51),  # 309.4 - 304.8 = 4.6; 4.6 / 304.8
        (322.3, 24, 12.7, 5.74),  # 17.5 / 304.8
        (296.5, 24, 12.7, -2.72),  # -8.3 / 304.8
        (309.5625, 24, 12.7, 1.5625),  # 12-3/16 in: 3/16 in 12 in is 1/64
        (628.65, 24, 25.4, 3.125),  # 24.75 in: 1/32
    ],
)
def test_elongation_is_the_growth_in_per_cent_of_nominal(
    length_mm: float, pitch_count: int, pitch_mm: float, percent: float
) -> None:
    found = elongation.from_length(length_mm=length_mm, pitch_count=pitch_count, pitch_mm=pitch_mm)
    assert found == pytest.approx(percent, abs=0.005)


@given(LENGTHS, COUNTS, PITCHES)
def test_length_at_is_the_inverse(length_mm: float, pitch_count: int, pitch_mm: float) -> None:
    percent = elongation.from_length(length_mm=length_mm, pitch_count=pitch_count, pitch_mm=pitch_mm)
    back = elongation.length_at(elongation_percent=percent, pitch_count=pitch_count, pitch_mm=pitch_mm)
    # the percentage is taken of the nominal length, so its rounding is relative to that
    assert back == pytest.approx(length_mm, rel=1e-12, abs=1e-12 * pitch_count * pitch_mm)


@given(LENGTHS, COUNTS, PITCHES, st.floats(0.01, 100))
def test_elongation_does_not_depend_on_the_unit(
    length_mm: float, pitch_count: int, pitch_mm: float, factor: float
) -> None:
    percent = elongation.from_length(length_mm=length_mm, pitch_count=pitch_count, pitch_mm=pitch_mm)
    scaled = elongation.from_length(length_mm=length_mm * factor, pitch_count=pitch_count, pitch_mm=pitch_mm * factor)
    assert scaled == pytest.approx(percent, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(("pitch_count", "percent"), [(10, 10.0), (24, 4.17), (80, 1.25), (100, 1.0)])
def test_one_pitch_too_few_counted_on_new_chain_looks_like_a_hundredth_of_the_count(
    pitch_count: int, percent: float
) -> None:
    figures = elongation.miscount(length_mm=(pitch_count + 1) * 12.7, pitch_count=pitch_count, pitch_mm=12.7)
    assert figures.as_counted_percent == pytest.approx(percent, abs=0.005)
    assert figures.one_more_percent == pytest.approx(0, abs=1e-9)


def test_pins_taken_for_pitches_turn_a_worn_leaf_chain_short() -> None:
    # 12.375 in over 13 pins of 1 in: 12.375/13 - 1 = -4.81 %, 12.375/12 - 1 = +3.125 %
    figures = elongation.miscount(length_mm=12.375 * 25.4, pitch_count=13, pitch_mm=25.4)
    assert figures.as_counted_percent == pytest.approx(-4.81, abs=0.005)
    assert figures.one_fewer_percent == pytest.approx(3.125, abs=1e-9)


def test_a_single_pitch_has_no_count_below() -> None:
    assert elongation.miscount(length_mm=12.7, pitch_count=1, pitch_mm=12.7).one_fewer_percent is None


@given(st.floats(5, 50), st.floats(0.2, 0.9), st.integers(2, 50), st.floats(0, 5))
def test_mean_of_roller_lengths_drops_roller_diameter(
    pitch: float, roller_share: float, count: int, percent: float
) -> None:
    between_pins = count * pitch * (1 + percent / 100)
    roller = roller_share * pitch
    mean = elongation.mean_of_roller_lengths(
        inner_length_mm=between_pins - roller, outer_length_mm=between_pins + roller
    )
    assert mean == pytest.approx(between_pins, rel=1e-12)


def test_inner_length_longer_than_outer_is_refused() -> None:
    with pytest.raises(OutOfRange) as refused:
        elongation.mean_of_roller_lengths(inner_length_mm=162, outer_length_mm=146.2)
    assert refused.value.issues[0].code == "fields_swapped"


@given(st.integers(40, 400), st.integers(0, 6), st.floats(0, 4), st.floats(10, 200), st.floats(0, 30))
def test_takeup_travel_of_a_simple_loop_is_half_of_what_its_strands_grew(
    loop: int, removed: int, percent: float, pitch: float, on_wheels: float
) -> None:
    # The strands were (X - Y) p and are (X - k - Y) p (1 + e); two runs share the difference.
    strands_now = (loop - removed - on_wheels) * pitch * (1 + percent / 100)
    travel = (strands_now - (loop - on_wheels) * pitch) / 2
    found = elongation.from_takeup(
        takeup_travel_mm=travel,
        runs=2,
        loop_pitch_count=loop,
        pitches_removed=removed,
        pitches_on_wheels=on_wheels,
        pitch_mm=pitch,
    )
    assert found == pytest.approx(percent, abs=1e-9)


def pitches_between(centres: mpmath.mpf, pitch: mpmath.mpf, small: int, large: int) -> mpmath.mpf:
    """Pitches round two toothed wheels by open tangents and wraps, written down here once more with thirty digits."""
    first, second = (pitch / (2 * mpmath.sin(mpmath.pi / teeth)) for teeth in (small, large))
    tilt = mpmath.asin((second - first) / centres)
    straight = 2 * mpmath.sqrt(centres**2 - (second - first) ** 2) / pitch
    return straight + (small * (mpmath.pi - 2 * tilt) + large * (mpmath.pi + 2 * tilt)) / (2 * mpmath.pi)


@pytest.mark.parametrize(("small", "large"), [(12, 12), (19, 57), (12, 60), (9, 45)])
@pytest.mark.parametrize("percent", [0.5, 2, 4])
def test_takeup_travel_gives_back_the_wear_of_a_drive_worked_out_by_itself(
    small: int, large: int, percent: float
) -> None:
    with mpmath.workdps(30):
        new, pitch = mpmath.mpf(35) * 20, mpmath.mpf(20)
        count = pitches_between(new, pitch, small, large)
        worn = pitch * (1 + mpmath.mpf(percent) / 100)
        travel = mpmath.findroot(lambda c: pitches_between(c, worn, small, large) - count, new * 1.02) - new
        read = {
            name: elongation.from_takeup(
                takeup_travel_mm=float(travel),
                runs=2,
                loop_pitch_count=float(count),  # type: ignore[arg-type] of no whole drive, so that C is as it is
                pitches_removed=0,
                pitches_on_wheels=float(on_wheels),
                pitch_mm=20,
            )
            for name, on_wheels in (("exact", count - 2 * new / pitch), ("half", (small + large) / 2), ("none", 0))
        }
    assert read["exact"] == pytest.approx(percent, rel=1e-9)
    assert percent * 0.97 < read["half"] <= percent * (1 + 1e-9)
    assert read["none"] < percent * (1 - small / 100)


@pytest.mark.parametrize(
    ("removed", "runs", "on_wheels"), [(-1, 2, 0), (200, 2, 0), (0, 0, 0), (0, 2, -1), (0, 2, 200), (190, 2, 10)]
)
def test_impossible_takeup_is_refused(removed: int, runs: int, on_wheels: float) -> None:
    with pytest.raises(OutOfRange):
        elongation.from_takeup(
            takeup_travel_mm=85,
            runs=runs,
            loop_pitch_count=200,
            pitches_removed=removed,
            pitches_on_wheels=on_wheels,
            pitch_mm=101.6,
        )


def test_eleven_links_measure_two_wires_more_outside_than_inside() -> None:
    # Each link lies with its crown on the inside of the next: inside the end links 11 p, over them two wires more.
    assert elongation.links_outside_length(pitch_mm=30, wire_diameter_mm=10, link_count=11) == 11 * 30 + 2 * 10


@pytest.mark.parametrize("count", [0, -3])
def test_no_pitches_no_elongation(count: int) -> None:
    with pytest.raises(OutOfRange) as refused:
        elongation.from_length(length_mm=300, pitch_count=count, pitch_mm=12.7)
    assert refused.value.issues[0].code == "must_be_positive"


@pytest.mark.parametrize("value", [0.0, -1.0, float("nan"), float("inf")])
@pytest.mark.parametrize("field", ["length_mm", "pitch_mm"])
def test_sizes_that_are_none_are_refused(field: str, value: float) -> None:
    inputs = {"length_mm": 300.0, "pitch_mm": 12.7} | {field: value}
    with pytest.raises(OutOfRange) as refused:
        elongation.from_length(pitch_count=24, **inputs)
    assert refused.value.issues[0].field == field


def test_one_pin_spans_nothing() -> None:
    with pytest.raises(OutOfRange):
        elongation.pitches_between_pins(pins_counted=1)
    assert elongation.pitches_between_pins(pins_counted=2) == 1


@pytest.mark.parametrize(("teeth", "percent"), [(66, 3.0), (67, 2.985), (95, 2.11), (114, 1.75), (150, 1.33)])
def test_large_wheels_take_less_than_the_general_limit(teeth: int, percent: float) -> None:
    found = wear_limits.elongation_for_large_wheel(
        teeth_large=teeth, tooth_engagement_percent=200, general_limit_percent=3
    )
    assert found == pytest.approx(percent, abs=0.005)


@given(st.floats(0.5, 100), st.floats(0, 99))
def test_loss_and_remaining_size_are_inverse(nominal: float, percent: float) -> None:
    left = wear_limits.size_at_loss(nominal_mm=nominal, loss_percent=percent)
    assert wear_limits.loss(nominal_mm=nominal, measured_mm=left) == pytest.approx(percent, abs=1e-9)


def test_mean_diameter_is_that_of_two_readings() -> None:
    assert wear_limits.mean_diameter(diameter_mm=9.1, diameter_across_mm=8.9) == pytest.approx(9.0)
