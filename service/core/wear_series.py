"""Readings of one chain over time: put in order, parted where the chain was changed, doubted against their course.

Nothing is corrected. What does not fit is flagged with its numbers and left in the list; the course is fitted so that
single wild readings do not move it. The bands are policy of this service (``project-policy``).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby, pairwise
from math import ceil, sqrt
from statistics import median
from typing import TYPE_CHECKING

from service.core.elongation import miscount
from service.core.readings import Expectation, Flag, count_suspects
from service.core.trends import MAD_TO_DEVIATION, Line, fit, slope

if TYPE_CHECKING:
    from collections.abc import Container, Sequence

NEW_CHAIN_PERCENT = 0.2
"""At or below this, give or take the reading error, a chain may be new."""

REPLACEMENT_DROP_PERCENT = 0.3
"""Fall beyond the reading errors that a replaced chain shows at least."""

OUTLIER_DEVIATIONS = 4.0
"""Distance from the course, in standard deviations, from which a reading is called wild."""

EVEN_SPREAD = sqrt(3)
"""Half-width over standard deviation of errors spread evenly over a band."""

REPEATS = 3
"""Equal readings one after the other from which copying is suspected."""

REPEAT_GROWTH = 1.5
"""Growth over equal readings, in steps of the measure, from which equality is no longer rounding."""

COURSE_FROM = 4
"""Readings from which single ones are held against the course of all."""

FURTHER_FITS = 3
"""Fits after the first that may leave out what lies off the course."""

INTERVAL_FROM = 5
"""Readings from which a forecast has an interval."""

ACCELERATION_DEVIATIONS = 3.0
"""How many standard deviations the rate at the end must lie above the rate before, besides the ratio."""

LAST_PART_FROM = 3
"""Readings that the last part of a series has at least when rates are compared."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One wear reading of a series.

    Attributes:
        index: Place in the list as given.
        position: Time or use, in one unit for the series.
        elongation_percent: Elongation as read.
        uncertainty_percent: Half-width of the uncertainty of this reading, in percentage points.
        resolution_percent: Smallest step in which this reading could differ.
        chain: What the chain is called; a change of it parts the series.
        length_mm: Length as measured, where the reading was one.
        pitch_count: Pitches as counted.
        pitch_mm: Nominal pitch.
    """

    index: int
    position: float
    elongation_percent: float
    uncertainty_percent: float
    resolution_percent: float = 0.0
    chain: str = ""
    length_mm: float | None = None
    pitch_count: int | None = None
    pitch_mm: float | None = None

    def deviation(self, line: Line) -> float:
        """Standard deviation to judge this reading by: scatter about the line, at least its own uncertainty."""
        return max(line.deviation_percent, self.uncertainty_percent / EVEN_SPREAD)


def in_order(readings: Sequence[Reading]) -> tuple[list[Reading], list[Flag]]:
    """Readings by position, one for each; equal ones collapse, of differing ones the higher is kept."""
    kept: list[Reading] = []
    flags: list[Flag] = []
    for _, group in groupby(sorted(readings, key=lambda reading: reading.position), key=lambda r: r.position):
        same = list(group)
        worst = max(same, key=lambda reading: reading.elongation_percent)
        kept.append(worst)
        if len(same) == 1:
            continue
        values = {reading.elongation_percent for reading in same}
        code, message = "duplicate_reading", "The same reading was sent more than once; it counts once."
        if len(values) > 1:
            code, message = "conflicting_reading", "Readings of one time differ; the highest is used."
        flags.append(
            Flag(
                code,
                message,
                (("lowest_percent", min(values)), ("highest_percent", max(values))),
                tuple(reading.index for reading in same),
            )
        )
    return kept, flags


def segments(readings: Sequence[Reading]) -> tuple[list[list[Reading]], list[Flag]]:
    """Stretches of one chain each: parted where the chain is called otherwise or wear falls back to that of a new one.

    Args:
        readings: In order, one for each position.
    """
    parts: list[list[Reading]] = []
    flags: list[Flag] = []
    for place, reading in enumerate(readings):
        flag = None
        if parts:
            following = readings[place + 1] if place + 1 < len(readings) else None
            flag = _chain_changed(parts[-1], reading) or _replacement(parts[-1], reading, following)
        if flag is not None:
            flags.append(flag)
        if flag is not None or not parts:
            parts.append([])
        parts[-1].append(reading)
    return parts, flags


def _chain_changed(before: Sequence[Reading], reading: Reading) -> Flag | None:
    if reading.chain == before[-1].chain:
        return None
    return Flag(
        "chain_changed",
        "The chain is called otherwise from here on; its wear starts anew.",
        (("before_percent", before[-1].elongation_percent), ("after_percent", reading.elongation_percent)),
        (reading.index,),
    )


def _replacement(before: Sequence[Reading], reading: Reading, following: Reading | None) -> Flag | None:
    level = median(earlier.elongation_percent for earlier in before[-3:])
    noise = reading.uncertainty_percent + before[-1].uncertainty_percent
    drop = level - reading.elongation_percent
    error = reading.uncertainty_percent
    new = -error <= reading.elongation_percent <= NEW_CHAIN_PERCENT + error
    stays = following is None or following.elongation_percent < level - noise
    if not (new and stays and drop > REPLACEMENT_DROP_PERCENT + noise):
        return None
    return Flag(
        "replacement_suspected",
        f"Wear falls from {level:.2f} % to {reading.elongation_percent:.2f} %: the chain looks replaced. Send the date "
        "of installation.",
        (("before_percent", level), ("after_percent", reading.elongation_percent), ("noise_percent", noise)),
        (reading.index,),
    )


def after_run_in(
    readings: Sequence[Reading], *, run_in_percent: float, run_in_until: float | None, keep: int
) -> list[Reading]:
    """Readings after the run-in, when enough remain; otherwise all.

    Args:
        readings: In order.
        run_in_percent: Leading readings below this belong to the run-in.
        run_in_until: Readings before this position belong to it too; None if the unit of use has no such figure.
        keep: Readings that must remain.
    """
    start = 0
    while start < len(readings) and (
        readings[start].elongation_percent < run_in_percent
        or (run_in_until is not None and readings[start].position < run_in_until)
    ):
        start += 1
    later = list(readings[start:])
    return later if len(later) >= keep else list(readings)


def course(readings: Sequence[Reading], *, confidence: float) -> tuple[Line, list[Flag]]:
    """Course of wear through the readings of one chain, and flags of those that lie off it.

    What lies off the course is left out of a further fit, against which all are judged again, until nothing changes;
    it stays in the list of the caller. From five readings on the course has an interval.

    Args:
        readings: In order, at least two.
        confidence: Two-sided confidence of the interval.

    Raises:
        Inconsistent: fewer than two readings apart.
    """
    within = confidence if len(readings) >= INTERVAL_FROM else None
    line = fit_readings(readings, confidence=within)
    flags = off_course(readings, line)
    left_out: set[int] = set()
    for _ in range(FURTHER_FITS):
        wild = {index for flag in flags for index in flag.indices}
        sound = [reading for reading in readings if reading.index not in wild]
        if wild == left_out or len(sound) < COURSE_FROM:
            break
        left_out = wild
        line = fit_readings(sound, confidence=within)
        flags = off_course(readings, line)
    return line, flags


def fit_readings(readings: Sequence[Reading], *, confidence: float | None) -> Line:
    """Line through readings as they are; None for the confidence leaves its interval open."""
    return fit(
        positions=[reading.position for reading in readings],
        elongations_percent=[reading.elongation_percent for reading in readings],
        reading_uncertainty_percent=max(reading.uncertainty_percent for reading in readings),
        confidence=confidence,
    )


def off_course(readings: Sequence[Reading], line: Line) -> list[Flag]:
    """Readings far above the course of all (``outlier``) or below it (``reading_below_trend``)."""
    flags: list[Flag] = []
    judged = len(readings) >= COURSE_FROM
    sound: Reading | None = None
    for reading in readings:
        expected = line.at(reading.position)
        band = OUTLIER_DEVIATIONS * reading.deviation(line)
        above = judged and reading.elongation_percent > expected + band
        below = judged and reading.elongation_percent < expected - band
        fell = sound is not None and (
            sound.elongation_percent - reading.elongation_percent
            > sound.uncertainty_percent + reading.uncertainty_percent
            and (not judged or reading.elongation_percent < expected - band / 2)
        )
        if above or below or fell:
            flags.append(_off_course_flag(reading, expected, band, above=above))
        else:
            sound = reading
    return flags


def without_isolated(readings: Sequence[Reading], wild: Container[int]) -> list[Reading]:
    """Readings without those off the course, but with a run of two or more of them at the end.

    One reading far above the others is a slip; several at the end are wear that has become faster.
    """
    end = len(readings)
    while end and readings[end - 1].index in wild:
        end -= 1
    tail = readings[end:]
    sound = [reading for reading in readings[:end] if reading.index not in wild]
    return [*sound, *tail] if len(tail) > 1 else sound


def _off_course_flag(reading: Reading, expected: float, band: float, *, above: bool) -> Flag:
    code, words = "outlier", "far above the course of the others: measure again, and look for a seized joint"
    if not above:
        code, words = "reading_below_trend", "below the course of the others: slack, or another section was measured"
    return Flag(
        code,
        f"{reading.elongation_percent:.2f} % lies {words}.",
        (("elongation_percent", reading.elongation_percent), ("expected_percent", expected), ("band_percent", band)),
        (reading.index,),
    )


def miscounted(readings: Sequence[Reading], line: Line, *, limit_percent: float) -> list[Flag]:
    """Counts that one pitch more or fewer would bring onto the course of the others."""
    flags: list[Flag] = []
    for reading in readings:
        if reading.length_mm is None or reading.pitch_count is None or reading.pitch_mm is None:
            continue
        expected = None
        if len(readings) >= COURSE_FROM:
            expected = Expectation(line.at(reading.position), reading.deviation(line))
        found = count_suspects(
            figures=miscount(length_mm=reading.length_mm, pitch_count=reading.pitch_count, pitch_mm=reading.pitch_mm),
            pitch_count=reading.pitch_count,
            limit_percent=limit_percent,
            uncertainty_percent=reading.uncertainty_percent,
            expected=expected,
        )
        flags.extend(flag._replace(indices=(reading.index,)) for flag in found)
    return flags


def repeated_values(readings: Sequence[Reading], line: Line) -> list[Flag]:
    """Equal readings one after the other while the course rises by more than rounding hides."""
    flags: list[Flag] = []
    for _, group in groupby(readings, key=lambda reading: reading.elongation_percent):
        run = list(group)
        growth = line.slope * (run[-1].position - run[0].position)
        step = max(reading.resolution_percent for reading in run)
        if len(run) >= REPEATS and (growth > REPEAT_GROWTH * step or len(run) == len(readings)):
            flags.append(
                Flag(
                    "repeated_value",
                    f"{len(run)} readings in a row are equal to the last digit: were they measured or copied?",
                    (("elongation_percent", run[0].elongation_percent), ("expected_growth_percent", growth)),
                    tuple(reading.index for reading in run),
                )
            )
    return flags


def accelerating(readings: Sequence[Reading], line: Line, *, ratio: float) -> tuple[Flag, list[Reading]] | None:
    """Flag wear that runs faster at the end, with the readings of that end; None if it does not.

    The rate of the last third must exceed the rate of all by the ratio, and the rate before it by more than the
    scatter of the readings can explain.
    """
    size = max(ceil(len(readings) / 3), LAST_PART_FROM)
    early, late = list(readings[:-size]), list(readings[-size:])
    if len(early) < LAST_PART_FROM:
        return None
    late_rate, early_rate = _rate(late), _rate(early)
    scatter = max(*(reading.uncertainty_percent / EVEN_SPREAD for reading in readings), _scatter(early, late))
    doubt = sqrt(_rate_variance(early, scatter) + _rate_variance(late, scatter))
    if late_rate <= ratio * line.slope or late_rate - early_rate <= ACCELERATION_DEVIATIONS * doubt:
        return None
    numbers = (("last_slope", late_rate), ("overall_slope", line.slope))
    flag = Flag(
        "accelerating",
        "Wear runs faster at the end than over all readings: look at lubrication, dirt and load.",
        numbers,
        tuple(reading.index for reading in late),
    )
    return flag, late


def _rate(readings: Sequence[Reading]) -> float:
    return slope(
        positions=[reading.position for reading in readings],
        elongations_percent=[reading.elongation_percent for reading in readings],
    )


def _scatter(*parts: Sequence[Reading]) -> float:
    """Standard deviation of readings about the lines of their parts."""
    residuals: list[float] = []
    for part in parts:
        rate = _rate(part)
        bases = [reading.elongation_percent - rate * reading.position for reading in part]
        middle = median(bases)
        residuals.extend(abs(base - middle) for base in bases)
    return MAD_TO_DEVIATION * median(residuals) * sqrt(len(residuals) / (len(residuals) - 2 * len(parts) + 1))


def _rate_variance(readings: Sequence[Reading], deviation: float) -> float:
    mean = sum(reading.position for reading in readings) / len(readings)
    spread: float = sum((reading.position - mean) ** 2 for reading in readings)
    return deviation * deviation / spread


def counter_reset(*, usages: Sequence[float], indices: Sequence[int]) -> Flag | None:
    """Flag a counter of use that falls from one reading to the next, in the order of time."""
    fallen = [(one, two, index) for (one, two), index in zip(pairwise(usages), indices[1:], strict=True) if two < one]
    if not fallen:
        return None
    before, after, _ = fallen[0]
    return Flag(
        "usage_counter_reset",
        f"The counter falls from {before:g} to {after:g}: was it reset or mistyped? Time is used instead of use.",
        (("before", before), ("after", after)),
        tuple(index for *_, index in fallen),
    )


def usage_implausible(*, days: Sequence[float], hours: Sequence[float], indices: Sequence[int]) -> Flag | None:
    """Flag running hours that grow by more than a day has."""
    steps = zip(pairwise(days), pairwise(hours), indices[1:], strict=True)
    beyond = [(h2 - h1, d2 - d1, index) for (d1, d2), (h1, h2), index in steps if h2 - h1 > 24 * (d2 - d1) + 24]
    if not beyond:
        return None
    grown, elapsed, _ = beyond[0]
    return Flag(
        "usage_implausible",
        f"{grown:g} running hours in {elapsed:g} days are more than a day has: check counter and dates.",
        (("hours", grown), ("days", elapsed)),
        tuple(index for *_, index in beyond),
    )
