"""What a tape can resolve: figures worked out from the class table, and propagation held by a simulation."""

from __future__ import annotations

import random
from math import inf, sqrt
from statistics import pstdev

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core import tape_error
from service.core.errors import OutOfRange
from service.reference.wear import load_wear

CLASSES = load_wear().tape_classes


def error_of(accuracy_class: str, length_mm: float, *, hook: bool = False) -> float:
    row = CLASSES[accuracy_class]  # type: ignore[index]
    return tape_error.maximum_permissible(
        length_mm=length_mm,
        error_mm=row.error_mm,
        error_per_metre=row.error_per_metre,
        end_surface_error_mm=row.end_surface_error_mm if hook else 0,
    )


@pytest.mark.parametrize(
    ("nominal_mm", "class_two_mm", "class_two", "with_hook", "class_one"),
    [
        (304.8, 0.5, 0.16, 0.23, 0.07),  # 0.3 + 0.2; + 0.2; 0.1 + 0.1
        (1016.0, 0.7, 0.07, 0.09, 0.03),  # two metres begun
        (1524.0, 0.7, 0.05, 0.06, 0.02),
        (2032.0, 0.9, 0.04, 0.05, 0.02),
    ],
)
def test_error_of_a_tape_in_mm_and_in_per_cent(
    nominal_mm: float, class_two_mm: float, class_two: float, with_hook: float, class_one: float
) -> None:
    assert error_of("II", nominal_mm) == pytest.approx(class_two_mm)
    assert 100 * error_of("II", nominal_mm) / nominal_mm == pytest.approx(class_two, abs=0.005)
    assert 100 * error_of("II", nominal_mm, hook=True) / nominal_mm == pytest.approx(with_hook, abs=0.005)
    assert 100 * error_of("I", nominal_mm) / nominal_mm == pytest.approx(class_one, abs=0.005)


def test_a_whole_metre_is_not_rounded_up() -> None:
    assert error_of("II", 1000) == pytest.approx(0.5)
    assert error_of("II", 1000.001) == pytest.approx(0.7)


def test_class_three_from_its_hook_at_three_metres() -> None:
    assert error_of("III", 3000, hook=True) == pytest.approx(0.6 + 0.4 * 3 + 0.3)


def test_twelve_inches_carry_a_quarter_of_a_point() -> None:
    # class II mark to mark 0.5 mm, half a millimetre read: sqrt(0.5)/304.8; hook and 1/16 in: sqrt(0.7² + 0.8²)/304.8
    fine = tape_error.elongation_uncertainty(instrument_error_mm=0.5, reading_error_mm=0.5, nominal_length_mm=304.8)
    coarse = tape_error.elongation_uncertainty(
        instrument_error_mm=0.7, reading_error_mm=tape_error.reading(division_mm=1.6), nominal_length_mm=304.8
    )
    assert fine == pytest.approx(0.232, abs=0.0005)
    assert coarse == pytest.approx(0.349, abs=0.0005)


def test_propagation_agrees_with_a_simulation() -> None:
    # Two independent errors spread evenly over their half-widths: the spread of the sum, times sqrt(3), is the
    # half-width of one even spread with the same deviation.
    rng = random.Random(20251125)  # noqa: S311 a simulation
    sums = [rng.uniform(-0.7, 0.7) + rng.uniform(-0.8, 0.8) for _ in range(40000)]
    found = tape_error.elongation_uncertainty(instrument_error_mm=0.7, reading_error_mm=0.8, nominal_length_mm=100)
    assert found == pytest.approx(sqrt(3) * pstdev(sums), rel=0.02)


def test_thirty_kelvin_on_steel_are_a_thirtieth_of_a_point() -> None:
    growth = tape_error.thermal_growth(expansion_per_kelvin=11.5e-6, temperature_difference_c=30)
    assert growth == pytest.approx(0.0345)


def test_a_gauge_tells_an_interval() -> None:
    below = tape_error.gauge_interval(result="below", threshold_percent=1.5, resolution_percent=0)
    at = tape_error.gauge_interval(result="at", threshold_percent=2, resolution_percent=0.5)
    above = tape_error.gauge_interval(result="above", threshold_percent=3, resolution_percent=0)
    assert (below.low_percent, below.high_percent) == (-inf, 1.5)
    assert (at.low_percent, at.high_percent) == (1.75, 2.25)
    assert (above.low_percent, above.high_percent) == (3, inf)
    with pytest.raises(OutOfRange):
        tape_error.gauge_interval(result="drops through", threshold_percent=3, resolution_percent=0)


@given(st.floats(1, 50000))
def test_better_classes_err_less(length_mm: float) -> None:
    assert error_of("I", length_mm) < error_of("II", length_mm) < error_of("III", length_mm)
