"""Root of a continuous function between two values that bracket it."""

from __future__ import annotations

from math import isfinite, sqrt
from typing import TYPE_CHECKING

from service.core.errors import Issue, NoSolution

if TYPE_CHECKING:
    from collections.abc import Callable

_EPSILON = 2.0**-52
_STEPS = 200


def bracketed_root(
    function: Callable[[float], float], *, low: float, high: float, tolerance: float, refusal: Issue
) -> float:
    """The root of a function that changes sign between two values.

    Chandrupatla's method (Advances in Engineering Software 28, 1997, 145-149): inverse quadratic interpolation where
    the three last points allow it, bisection elsewhere, so that it never needs more than a few times the steps of
    bisection and seldom more than ten. Where the function is monotone there is one root and this is it.

    Args:
        function: A continuous function.
        low: One end of the bracket; its value may be the root.
        high: The other end.
        tolerance: Absolute tolerance on the root; the spacing of numbers near the root is added to it.
        refusal: The issue to report where the ends do not bracket a root.

    Raises:
        NoSolution: both ends give the same sign, or one gives no finite value.
        ArithmeticError: no convergence, which a continuous function does not allow.
    """
    a, b = high, low
    f_a, f_b = function(a), function(b)
    if f_a == 0:
        return a
    if f_b == 0:
        return b
    if not f_a * f_b < 0:
        raise NoSolution(refusal)
    share = 0.5
    for _ in range(_STEPS):
        trial = a + share * (b - a)
        f_trial = function(trial)
        if (f_trial > 0) == (f_a > 0):
            c, f_c = a, f_a
        else:
            c, f_c = b, f_b
            b, f_b = a, f_a
        a, f_a = trial, f_trial
        best, f_best = (a, f_a) if abs(f_a) < abs(f_b) else (b, f_b)
        limit = (2 * _EPSILON * abs(best) + 0.5 * tolerance) / abs(b - c)
        if limit > 0.5 or f_best == 0:
            return best
        share = min(1 - limit, max(limit, _next_share((a, b, c), (f_a, f_b, f_c))))
    raise ArithmeticError(f"no root found between {low:g} and {high:g} in {_STEPS} steps")


def _next_share(points: tuple[float, float, float], values: tuple[float, float, float]) -> float:
    """Where to look next, as a share of the way from the first point to the second."""
    a, b, c = points
    f_a, f_b, f_c = values
    xi = (a - b) / (c - b)
    phi = (f_a - f_b) / (f_c - f_b)
    if not 1 - sqrt(1 - xi) < phi < sqrt(xi):
        return 0.5
    return (f_a / (f_b - f_a)) * (f_c / (f_b - f_c)) + ((c - a) / (b - a)) * (f_a / (f_c - f_a)) * (f_b / (f_c - f_b))


def sloped_root(
    function: Callable[[float], tuple[float, float]],
    *,
    low: float,
    high: float,
    start: float,
    rising: bool,
    tolerance: float,
) -> float:
    """The root of a function that rises or falls all along between two values known to bracket it.

    Newton's method, with bisection where a step would leave the bracket, which closes in with each trial: some four
    evaluations where the function is smooth.

    Args:
        function: Value and slope of a function that is monotone in the bracket; a slope of nought asks for bisection.
        low: The lower end of the bracket.
        high: The upper end.
        start: Where to begin, within the bracket.
        rising: Whether the function rises.
        tolerance: Absolute tolerance on the root; the spacing of numbers near the root is added to it.

    Raises:
        ArithmeticError: a value that is not finite.
    """
    x = start
    for _ in range(_STEPS):
        value, slope = function(x)
        if not isfinite(value):
            break
        if value == 0:
            return x
        low, high = (x, high) if (value < 0) == rising else (low, x)
        trial = x - value / slope if slope else low - 1
        if not low <= trial <= high:
            trial = (low + high) / 2
        if abs(trial - x) <= tolerance + 2 * _EPSILON * abs(x):
            return trial
        x = trial
    raise ArithmeticError(f"no root found between {low:g} and {high:g} in {_STEPS} steps")
