"""Course of wear: against a statistics library, against the worked series, and where it must not extrapolate."""

from __future__ import annotations

import itertools
import random
from math import inf, isinf

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import theilslopes

from service.core.errors import Inconsistent, NoSolution
from service.core.trends import Line, crossing, fit, intercept, pair_slopes, slope, slope_interval

THOUSAND_HOURS = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0]
ONE_WILD = [0.10, 0.31, 0.52, 4.70, 0.93, 1.15, 1.34]

SERIES = st.lists(st.floats(0, 1000), min_size=4, max_size=45, unique=True).flatmap(
    lambda t: st.tuples(st.just(sorted(t)), st.lists(st.floats(-1, 5), min_size=len(t), max_size=len(t)))
)


def course(t: list[float], y: list[float], uncertainty: float = 0.0, confidence: float | None = 0.9) -> Line:
    return fit(positions=t, elongations_percent=y, reading_uncertainty_percent=uncertainty, confidence=confidence)


def test_the_worked_series_with_one_wild_reading() -> None:
    # Slopes, residual median and crossing worked by hand: 21 slopes, middle one 0.2075; y - 0.2075 t in the middle
    # 0.1025; (3 - 0.1025)/0.2075 = 13.964 thousand hours. Separate medians would give 0.3075, least squares 0.670.
    line = course(THOUSAND_HOURS, ONE_WILD)
    assert line.slope == pytest.approx(0.2075, abs=5e-5)
    assert line.intercept_percent == pytest.approx(0.1025, abs=5e-5)
    assert crossing(line=line, elongation_percent=3).expected == pytest.approx(13.964, abs=5e-4)


def test_the_wild_reading_hardly_matters() -> None:
    without = course(THOUSAND_HOURS, [*ONE_WILD[:3], 0.73, *ONE_WILD[4:]])
    wild = course(THOUSAND_HOURS, ONE_WILD)
    dates = [crossing(line=line, elongation_percent=3).expected for line in (without, wild)]
    assert dates[1] == pytest.approx(dates[0], rel=0.02)


@given(SERIES)
def test_slope_and_interval_agree_with_a_statistics_library(series: tuple[list[float], list[float]]) -> None:
    t, y = series
    if min(b - a for a, b in itertools.pairwise(t)) < 1e-6:
        return
    theirs = theilslopes(y, t, alpha=0.9, method="joint")
    rate = slope(positions=t, elongations_percent=y)
    ours = slope_interval(positions=t, elongations_percent=y, confidence=0.9)
    assert rate == pytest.approx(theirs.slope, rel=1e-9, abs=1e-12)
    start = intercept(positions=t, elongations_percent=y, slope_percent_per_unit=rate)
    assert start == pytest.approx(theirs.intercept, rel=1e-7, abs=1e-7 * max(1, abs(rate) * t[-1]))
    # The library rounds the rank of its normal form; for few readings ours is counted. They may be one slope apart.
    slopes = [-inf, *pair_slopes(positions=t, elongations_percent=y), inf]
    nearest = min(range(len(slopes)), key=lambda rank: abs(slopes[rank] - theirs.low_slope))
    assert slopes[nearest - 1] <= ours.low <= slopes[min(nearest + 1, len(slopes) - 1)]
    assert ours.low <= rate <= ours.high


@pytest.mark.parametrize(("count", "outside"), [(3, 0), (4, 1), (5, 2), (6, 3)])
def test_the_rank_of_few_readings_by_counting_orders(count: int, outside: int) -> None:
    # 4 readings: 1 of 24 orders has no pair out of order (4.2 %), 4 of 24 have at most one: one slope at each end.
    # 5: 1 + 4 = 5 of 120 (4.2 %) have at most one, 14 at most two: two slopes. 6: 1 + 5 + 14 = 20 of 720 (2.8 %) have
    # at most two, 49 at most three (6.8 %): three slopes. 3: 1 of 6 is too many already.
    t = [float(place) for place in range(count)]
    y = [0.1 * place + 0.001 * place * place for place in range(count)]
    slopes = pair_slopes(positions=t, elongations_percent=y)
    interval = slope_interval(positions=t, elongations_percent=y, confidence=0.9)
    if outside == 0:
        assert isinf(interval.low)
        assert isinf(interval.high)
    else:
        assert (interval.low, interval.high) == (slopes[outside - 1], slopes[-outside])


@pytest.mark.parametrize("count", [40, 41, 60, 150])
def test_the_interval_of_many_readings_agrees_with_a_statistics_library(count: int) -> None:
    rng = random.Random(count)  # noqa: S311 a simulation
    t = [place + rng.uniform(0, 0.5) for place in range(count)]
    y = [0.02 * x + rng.gauss(0, 0.1) for x in t]
    theirs = theilslopes(y, t, alpha=0.9)
    ours = slope_interval(positions=t, elongations_percent=y, confidence=0.9)
    # The library rounds a rank that ours takes outwards: at most one of the ordered slopes apart.
    slopes = pair_slopes(positions=t, elongations_percent=y)
    for mine, other in ((ours.low, theirs.low_slope), (ours.high, theirs.high_slope)):
        rank = min(range(len(slopes)), key=lambda place, other=other: abs(slopes[place] - other))
        assert abs(slopes.index(mine) - rank) <= 1


@given(SERIES, st.floats(0.01, 100), st.floats(-500, 500))
def test_a_course_follows_a_change_of_the_unit_of_use(
    series: tuple[list[float], list[float]], factor: float, shift: float
) -> None:
    t, y = series
    if min(b - a for a, b in itertools.pairwise(t)) < 1e-3:
        return
    plain = slope(positions=t, elongations_percent=y)
    scaled = slope(positions=[factor * x + shift for x in t], elongations_percent=y)
    assert scaled * factor == pytest.approx(plain, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("y", [[0.5, 0.5, 0.5], [0.6, 0.5, 0.4]])
def test_wear_that_does_not_rise_is_not_extrapolated(y: list[float]) -> None:
    with pytest.raises(NoSolution) as refused:
        crossing(line=course([0, 1, 2], y), elongation_percent=3)
    assert refused.value.issues[0].code == "no_wear_trend"


def test_without_an_interval_only_the_expected_crossing_is_known() -> None:
    found = crossing(line=course([0, 1], [0.1, 0.3], confidence=None), elongation_percent=3)
    assert found.expected == pytest.approx(14.5)
    assert (found.earliest, found.latest) == (-inf, inf)


def test_the_doubt_of_a_single_reading_widens_the_forecast() -> None:
    t, y = [0.0, 1, 2, 3, 4, 5], [0.10, 0.31, 0.50, 0.71, 0.89, 1.10]
    sharp = crossing(line=course(t, y), elongation_percent=3)
    doubted = crossing(line=course(t, y, uncertainty=0.2), elongation_percent=3)
    assert sharp.expected == doubted.expected
    # On a rate of 0.2 per unit a doubt of 0.2 % is one unit of use, added in squares.
    own = sharp.expected - sharp.earliest
    assert (doubted.expected - doubted.earliest) ** 2 == pytest.approx(own**2 + (0.2 / 0.2) ** 2, rel=0.02)


def test_a_level_already_passed_is_crossed_in_the_past_with_both_ends_in_order() -> None:
    t, y = [0.0, 1, 2, 3, 4, 5], [2.0, 2.21, 2.40, 2.61, 2.79, 3.0]
    found = crossing(line=course(t, y, uncertainty=0.1), elongation_percent=2.1)
    assert found.earliest < found.expected < found.latest
    assert found.expected == pytest.approx(0.5, abs=0.1)


def test_lists_that_do_not_belong_together_are_refused() -> None:
    with pytest.raises(Inconsistent):
        slope(positions=[0, 1], elongations_percent=[0.1])
    with pytest.raises(Inconsistent):
        slope(positions=[1, 1], elongations_percent=[0.1, 0.2])
    with pytest.raises(Inconsistent):
        intercept(positions=[], elongations_percent=[], slope_percent_per_unit=1)
    with pytest.raises(Inconsistent):
        slope_interval(positions=[0, 1], elongations_percent=[0, 1], confidence=1.0)
