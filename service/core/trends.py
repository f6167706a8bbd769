"""Course of wear: a slope that one wild reading does not move, its interval, and when a limit is reached."""

from __future__ import annotations

from functools import lru_cache
from itertools import combinations
from math import ceil, hypot, inf, pi, sqrt
from statistics import NormalDist, median
from typing import TYPE_CHECKING, NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Inconsistent, Issue, NoSolution
from service.core.guards import not_negative

if TYPE_CHECKING:
    from collections.abc import Sequence

EXACT_READINGS = 40
"""Up to here the rank distribution is counted exactly; beyond, the normal form differs by less than one rank."""

MAD_TO_DEVIATION = 1 / NormalDist().inv_cdf(0.75)
"""Median absolute deviation to standard deviation, for normal scatter: 1.4826."""

MEDIAN_TO_MEAN_ERROR = sqrt(pi / 2)
"""Standard error of a median over that of a mean, for normal scatter and many readings: 1.2533."""


def pair_slopes(*, positions: Sequence[float], elongations_percent: Sequence[float]) -> list[float]:
    """Slopes of all pairs of readings at different positions, rising.

    Raises:
        Inconsistent: the lists differ in length, or there are not two readings apart.
    """
    if len(positions) != len(elongations_percent):
        raise Inconsistent(
            Issue("elongations_percent", "lengths_differ", "Every reading needs a position and an elongation.")
        )
    points = zip(positions, elongations_percent, strict=True)
    slopes = sorted([(y2 - y1) / (x2 - x1) for (x1, y1), (x2, y2) in combinations(points, 2) if x1 != x2])
    if not slopes:
        raise Inconsistent(
            Issue("positions", "too_few_readings", "A slope needs two readings at different times.", 2, len(positions))
        )
    return slopes


@equation(
    "trends.slope",
    symbol="b",
    unit="% per unit of use",
    sources=(Source("sen-1968", "abstract: median of the slopes of all pairs", "published"),),
)
def slope(*, positions: Sequence[float], elongations_percent: Sequence[float]) -> float:
    """Rate of wear as the median of the slopes of all pairs of readings.

    Equation:
        b = median of (y_j - y_i)/(t_j - t_i) over all i < j with t_i != t_j

    Args:
        positions: Use or time t of each reading, in any one unit, [-].
        elongations_percent: Elongation y of each reading, [%].

    Returns:
        Rate b, [% per unit of use].

    Raises:
        Inconsistent: lists of different length, or no two readings apart.

    Validity: wear near linear over the readings; stands up to about three wild readings in ten.
    Deviations: none.
    Sources: sen-1968 [published].

    Examples:
        >>> slope(positions=[0, 1, 2, 3, 4, 5, 6], elongations_percent=[0.10, 0.31, 0.52, 4.70, 0.93, 1.15, 1.34])
        0.2075
    """
    return median(pair_slopes(positions=positions, elongations_percent=elongations_percent))


@equation(
    "trends.intercept",
    symbol="a",
    unit="%",
    sources=(
        Source("sen-1968", "residuals of the line with the median slope", "derived"),
        Source("common-practice", "median of the residuals rather than of the two variables apart", "practice"),
    ),
)
def intercept(
    *, positions: Sequence[float], elongations_percent: Sequence[float], slope_percent_per_unit: float
) -> float:
    """Elongation at position zero of the line with a given slope.

    Equation:
        a = median of (y_i - b t_i)

    Args:
        positions: Use or time t of each reading, [-].
        elongations_percent: Elongation y of each reading, [%].
        slope_percent_per_unit: Rate b, per cent per unit of use, [-].

    Returns:
        Elongation a, [%].

    Raises:
        Inconsistent: no readings.

    Validity: as for ``trends.slope``. Taking median(y) - b median(t) instead lets one wild reading move the line.
    Deviations: none.
    Sources: sen-1968 [derived]; common-practice [practice].

    Examples:
        >>> t, y = [0, 1, 2, 3, 4, 5, 6], [0.10, 0.31, 0.52, 4.70, 0.93, 1.15, 1.34]
        >>> intercept(positions=t, elongations_percent=y, slope_percent_per_unit=0.2075)
        0.1025
    """
    if not positions:
        raise Inconsistent(Issue("positions", "readings_missing", "There are no readings.", 1, 0))
    pairs = zip(positions, elongations_percent, strict=True)
    return median(y - slope_percent_per_unit * t for t, y in pairs)


@lru_cache(maxsize=EXACT_READINGS + 1)
def _inversion_counts(count: int) -> tuple[int, ...]:
    """Number of orders of ``count`` readings with 0, 1, 2 ... pairs the wrong way round."""
    counts = [1]
    for items in range(2, count + 1):
        longer = [0] * (len(counts) + items - 1)
        for inversions, ways in enumerate(counts):
            for more in range(items):
                longer[inversions + more] += ways
        counts = longer
    return tuple(counts)


@lru_cache(maxsize=1024)
def concordance_bound(count: int, confidence: float) -> int:
    """Pairs in order less pairs out of order that readings without trend exceed with a chance of (1 - confidence)/2.

    Counted exactly for few readings, taken as normal for many.
    """
    tail = (1 - confidence) / 2
    pairs = count * (count - 1) // 2
    if count > EXACT_READINGS:
        spread = sqrt(count * (count - 1) * (2 * count + 5) / 18)
        return ceil(NormalDist().inv_cdf(1 - tail) * spread)
    counts = _inversion_counts(count)
    allowed = tail * sum(counts)
    out_of_order = total = 0
    for ways in counts:
        total += ways
        if total > allowed:
            break
        out_of_order += 1
    return pairs - 2 * out_of_order


class SlopeInterval(NamedTuple):
    """Two-sided interval of a rate of wear; infinite where too few readings were taken for the confidence."""

    low: float
    high: float


@equation(
    "trends.slope_interval",
    symbol="b",
    unit="object",
    sources=(Source("sen-1968", "abstract: interval by two order statistics of the slopes", "published"),),
)
def slope_interval(
    *, positions: Sequence[float], elongations_percent: Sequence[float], confidence: float
) -> SlopeInterval:
    """Interval of the rate of wear from the ranks of the pair slopes.

    Equation:
        b_(M) <= b <= b_(N + 1 - M) of the N slopes in rising order, M = (N - C)/2 rounded down, where readings
        without trend have more than C pairs in order less pairs out of order by a chance of (1 - confidence)/2

    Args:
        positions: Use or time t of each reading, [-].
        elongations_percent: Elongation y of each reading, [%].
        confidence: Two-sided confidence, between 0 and 1, [-].

    Returns:
        Interval, [object]; both ends infinite below four readings at 90 %.

    Raises:
        Inconsistent: as for ``trends.slope``, or a confidence that is none.

    Validity: independent errors of one spread; few readings at the same position.
    Deviations: C is exact up to 40 readings and normal beyond.
    Sources: sen-1968 [published].

    Examples:
        >>> slope_interval(positions=[0, 1, 2, 3, 4], elongations_percent=[0.1, 0.3, 0.5, 0.8, 0.9], confidence=0.9)
        SlopeInterval(low=0.20, high=0.25)
    """
    if not 0 < confidence < 1:
        raise Inconsistent(
            Issue("confidence", "number_out_of_range", "A confidence lies between 0 and 1.", 1, confidence)
        )
    slopes = pair_slopes(positions=positions, elongations_percent=elongations_percent)
    return _interval(slopes, len(positions), confidence)


def _interval(slopes: Sequence[float], count: int, confidence: float) -> SlopeInterval:
    cut = (len(slopes) - concordance_bound(count, confidence)) // 2
    if cut < 1:
        return SlopeInterval(-inf, inf)
    return SlopeInterval(slopes[cut - 1], slopes[-cut])


class Line(NamedTuple):
    """A fitted course of wear with what is known of its doubt.

    Attributes:
        slope: Per cent per unit of use.
        slope_low: Lower end of the interval of the slope, minus infinity if unknown.
        slope_high: Upper end of the interval of the slope, infinity if unknown.
        intercept_percent: Elongation at position zero.
        anchor: Middle position, where level and slope are doubted apart from each other.
        deviation_percent: Standard deviation of the readings about the line.
        level_doubt_percent: Half-width of the doubt of the level at the anchor.
        reading_count: Readings that the line rests on.
    """

    slope: float
    slope_low: float
    slope_high: float
    intercept_percent: float
    anchor: float
    deviation_percent: float
    level_doubt_percent: float
    reading_count: int

    def at(self, position: float) -> float:
        """Elongation of the line at a position, in per cent."""
        return self.intercept_percent + self.slope * position


def fit(
    *,
    positions: Sequence[float],
    elongations_percent: Sequence[float],
    reading_uncertainty_percent: float,
    confidence: float | None,
) -> Line:
    """Fit the course of wear.

    The doubt of the level joins the scatter of the median with the uncertainty of a single reading, which may be the
    same in every reading and so does not average out.

    Args:
        positions: Use or time of each reading, all different.
        elongations_percent: Elongation of each reading.
        reading_uncertainty_percent: Half-width of the uncertainty of one reading, in percentage points.
        confidence: Two-sided confidence of the interval; None leaves it open at both ends.

    Raises:
        Inconsistent: fewer than two readings apart.
    """
    not_negative("reading_uncertainty_percent", reading_uncertainty_percent)
    count = len(positions)
    slopes = pair_slopes(positions=positions, elongations_percent=elongations_percent)
    rate = median(slopes)
    start = intercept(positions=positions, elongations_percent=elongations_percent, slope_percent_per_unit=rate)
    residuals = [y - start - rate * t for t, y in zip(positions, elongations_percent, strict=True)]
    freedom = sqrt(count / max(count - 2, 1))
    deviation = freedom * MAD_TO_DEVIATION * median(abs(residual) for residual in residuals)
    ends = SlopeInterval(-inf, inf)
    scatter = 0.0
    if confidence is not None:
        ends = _interval(slopes, count, confidence)
        scatter = NormalDist().inv_cdf((1 + confidence) / 2) * MEDIAN_TO_MEAN_ERROR * deviation / sqrt(count)
    return Line(
        slope=rate,
        slope_low=ends.low,
        slope_high=ends.high,
        intercept_percent=start,
        anchor=median(positions),
        deviation_percent=deviation,
        level_doubt_percent=hypot(scatter, reading_uncertainty_percent),
        reading_count=count,
    )


class Crossing(NamedTuple):
    """Position at which a line reaches an elongation; the ends are infinite where they are not known."""

    earliest: float
    expected: float
    latest: float


@equation(
    "trends.crossing",
    symbol="t",
    unit="object",
    sources=(Source("plane-geometry", "where a line meets a level, with the doubts of slope and level", "derived"),),
)
def crossing(*, line: Line, elongation_percent: float) -> Crossing:
    """When wear reaches a given elongation: earliest, expected, latest.

    Equation:
        t = (y - a)/b;  earliest, latest = t -/+ sqrt( (t - t_b)^2 + (u/b)^2 ), where t_b is the crossing of the line
        turned about its anchor to the end of its slope interval and u the doubt of the level

    Args:
        line: Fitted course of wear, [object].
        elongation_percent: Elongation y to be reached, [%].

    Returns:
        Three positions, [object], in the unit of use of the line.

    Raises:
        NoSolution: the line does not rise (code ``no_wear_trend``); nothing is extrapolated.

    Validity: wear goes on at the same rate; faster wear at the end of life comes earlier than any of the three.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> course = Line(0.2075, 0.19, 0.22, 0.1025, 3, 0.02, 0.1, 7)
        >>> crossing(line=course, elongation_percent=3).expected
        13.964
    """
    if not line.slope > 0:
        raise NoSolution(
            Issue(
                "readings",
                "no_wear_trend",
                "The readings do not rise: there is no wear to extrapolate.",
                0.0,
                line.slope,
                "Measure again later, at the same place and under tension.",
            )
        )
    expected = (elongation_percent - line.intercept_percent) / line.slope
    rise = elongation_percent - line.at(line.anchor)
    level = line.level_doubt_percent / line.slope
    steep = expected - line.anchor - _run(rise, line.slope_high)
    flat = _run(rise, line.slope_low) - (expected - line.anchor)
    if rise < 0:
        steep, flat = flat, steep
    return Crossing(expected - hypot(steep, level), expected, expected + hypot(flat, level))


def _run(rise: float, rate: float) -> float:
    """Use that a rise takes at a rate; without end for a rate that does not rise or is not known."""
    return rise / rate if 0 < rate < inf else inf
