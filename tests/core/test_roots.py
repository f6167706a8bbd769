"""The bracketed root on functions whose roots are known."""

from __future__ import annotations

from math import atan, cbrt, cos, exp, log, sin
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from service.core.errors import Issue, NoSolution
from service.core.roots import bracketed_root, sloped_root

if TYPE_CHECKING:
    from collections.abc import Callable

REFUSAL = Issue("x", "no_solution", "There is no root.")


@pytest.mark.parametrize(
    ("function", "low", "high"),
    [
        (lambda x: cos(x) - x, 0, 1),
        (lambda x: exp(x) - 1e10, 0, 100),
        (lambda x: x - 1e-9, 0, 1e6),
        (lambda x: 1e-8 * atan(x - 3), -1e5, 1e4),
        (lambda x: log(x) + 30, 1e-20, 1),
        (lambda x: cbrt(x - 0.3), -1, 1),
        (lambda x: x - sin(x) - 1e-9, 0, 3),
    ],
)
def test_it_agrees_with_an_independent_solver(function: Callable[[float], float], low: float, high: float) -> None:
    found = bracketed_root(function, low=low, high=high, tolerance=1e-13, refusal=REFUSAL)
    assert found == pytest.approx(brentq(function, low, high, xtol=1e-13), rel=1e-12, abs=2e-13)


@given(st.floats(-1e3, 1e3), st.floats(1e-3, 1e3), st.floats(1e-3, 1e3), st.integers(1, 3))
def test_it_finds_the_root_of_odd_powers(root: float, below: float, above: float, power: int) -> None:
    # An odd power of the distance underflows near its root, so what can be asked of it is less for higher powers.
    found = bracketed_root(
        lambda x: (x - root) ** (2 * power - 1), low=root - below, high=root + above, tolerance=1e-12, refusal=REFUSAL
    )
    assert found == pytest.approx(root, abs=1e-9)


@pytest.mark.parametrize(("low", "high"), [(2, 5), (-3, 2)])
def test_an_end_may_be_the_root(low: float, high: float) -> None:
    assert bracketed_root(lambda x: x - 2, low=low, high=high, tolerance=0, refusal=REFUSAL) == 2


def test_it_needs_few_evaluations_of_a_smooth_function() -> None:
    points: list[float] = []

    def counted(x: float) -> float:
        points.append(x)
        return x**3 - 2

    bracketed_root(counted, low=0, high=2, tolerance=1e-12, refusal=REFUSAL)
    assert len(points) <= 12


def test_no_change_of_sign_is_refused_with_the_callers_words() -> None:
    with pytest.raises(NoSolution) as refused:
        bracketed_root(lambda x: x * x + 1, low=-1, high=1, tolerance=1e-9, refusal=REFUSAL)
    assert refused.value.issues == (REFUSAL,)


def test_a_value_that_is_not_a_number_is_no_bracket() -> None:
    with pytest.raises(NoSolution):
        bracketed_root(lambda x: float("nan") if x < 0 else 1.0, low=-1, high=1, tolerance=1e-9, refusal=REFUSAL)


@pytest.mark.parametrize(
    ("function", "slope", "low", "high"),
    [
        (lambda x: cos(x) - x, lambda x: -sin(x) - 1, 0, 1),
        (lambda x: exp(x) - 1e10, exp, 0, 100),
        (lambda x: 1e-8 * atan(x - 3), lambda x: 1e-8 / (1 + (x - 3) ** 2), -1e5, 1e4),
        (lambda x: log(x) + 30, lambda x: 1 / x, 1e-20, 1),
        (lambda x: x**3 - 2, lambda x: 3 * x * x, 0, 2),
    ],
)
@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
def test_with_slopes_it_agrees_with_an_independent_solver(
    function: Callable[[float], float], slope: Callable[[float], float], low: float, high: float, share: float
) -> None:
    found = sloped_root(
        lambda x: (function(x), slope(x)),
        low=low,
        high=high,
        start=low + share * (high - low),
        rising=function(high) > function(low),
        tolerance=1e-13,
    )
    assert found == pytest.approx(brentq(function, low, high, xtol=1e-13), rel=1e-12, abs=2e-13)


def test_with_slopes_it_needs_few_evaluations_of_a_smooth_function() -> None:
    points: list[float] = []

    def counted(x: float) -> tuple[float, float]:
        points.append(x)
        return x**3 - 2, 3 * x * x

    sloped_root(counted, low=0, high=2, start=1, rising=True, tolerance=1e-9)
    assert len(points) < 7


def test_with_slopes_a_jump_is_found_by_halving() -> None:
    found = sloped_root(
        lambda x: (5 - x, -1.0) if x < 3 else (-1.0, 0.0), low=0, high=20, start=0, rising=False, tolerance=1e-12
    )
    assert found == pytest.approx(3, abs=1e-9)


def test_with_slopes_what_is_not_finite_does_not_go_on_for_ever() -> None:
    with pytest.raises(ArithmeticError):
        sloped_root(lambda _: (float("nan"), 1.0), low=-1, high=1, start=0, rising=True, tolerance=1e-9)
