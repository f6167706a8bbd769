"""Series of readings: order, parts, doubts; single cases, and many invented histories with a known course."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from service.core.trends import crossing
from service.core.wear_series import (
    Reading,
    accelerating,
    after_run_in,
    counter_reset,
    course,
    in_order,
    miscounted,
    repeated_values,
    segments,
    usage_implausible,
    without_isolated,
)
from tests.core.wear_histories import LIMIT_PERCENT, History, clean_history, with_length, with_reading

if TYPE_CHECKING:
    from collections.abc import Iterator

    from service.core.readings import Flag

HISTORIES = 1000


def readings(*values: float, uncertainty: float = 0.1, chain: str = "80") -> list[Reading]:
    return [Reading(place, float(place), value, uncertainty, 0.01, chain) for place, value in enumerate(values)]


def codes(flags: list[Flag]) -> list[str]:
    return [flag.code for flag in flags]


def test_readings_are_sorted_and_equal_ones_count_once() -> None:
    given = [Reading(0, 2.0, 0.5, 0.1), Reading(1, 1.0, 0.3, 0.1), Reading(2, 2.0, 0.5, 0.1)]
    kept, flags = in_order(given)
    assert [reading.index for reading in kept] == [1, 0]
    assert [(flag.code, flag.indices) for flag in flags] == [("duplicate_reading", (0, 2))]


def test_of_differing_readings_of_one_time_the_higher_is_kept() -> None:
    kept, flags = in_order([Reading(0, 1.0, 0.5, 0.1), Reading(1, 1.0, 0.9, 0.1)])
    assert [reading.elongation_percent for reading in kept] == [0.9]
    assert codes(flags) == ["conflicting_reading"]


def test_a_fall_to_new_parts_the_series() -> None:
    parts, flags = segments(readings(1.8, 2.2, 2.6, 0.1, 0.3))
    assert [len(part) for part in parts] == [3, 2]
    assert [(flag.code, flag.indices) for flag in flags] == [("replacement_suspected", (3,))]


@pytest.mark.parametrize(
    "values",
    [
        (1.8, 2.2, 2.6, 2.3),  # not to new
        (1.8, 2.2, 2.6, 0.1, 2.8),  # one low reading, the chain is still there
        (0.05, 0.1, 1.35, 0.15),  # back from a miscount
        (0.3, 0.35, 0.1),  # within reading error and the least fall
        (1.0, 1.2, -2.1),  # far below new is a wrong count
    ],
)
def test_other_falls_part_nothing(values: tuple[float, ...]) -> None:
    parts, _ = segments(readings(*values))
    assert len(parts) == 1


def test_a_chain_called_otherwise_parts_the_series() -> None:
    other = [replace(reading, position=reading.position + 2, chain="80H") for reading in readings(0.6, 0.7)]
    parts, flags = segments([*readings(0.4, 0.5), *other])
    assert [len(part) for part in parts] == [2, 2]
    assert codes(flags) == ["chain_changed"]


def test_run_in_is_left_out_when_enough_remains() -> None:
    series = readings(0.02, 0.08, 0.3, 0.5, 0.7, 0.9)
    assert len(after_run_in(series, run_in_percent=0.1, run_in_until=None, keep=4)) == 4
    assert len(after_run_in(series, run_in_percent=0.1, run_in_until=2.5, keep=4)) == 6
    assert len(after_run_in(series, run_in_percent=0.1, run_in_until=2.5, keep=3)) == 3


def test_one_wild_reading_is_named_and_left_out_of_the_course() -> None:
    line, flags = course(readings(0.5, 0.7, 0.9, 4.7, 1.3, 1.5), confidence=0.9)
    assert [(flag.code, flag.indices) for flag in flags] == [("outlier", (3,))]
    assert line.reading_count == 5
    assert line.slope == pytest.approx(0.2)


def test_a_slack_reading_lies_below_the_course() -> None:
    _, flags = course(readings(2.0, 2.2, 2.4, 2.6, 2.3), confidence=0.9)
    assert [(flag.code, flag.indices) for flag in flags] == [("reading_below_trend", (4,))]
    _, flags = course(readings(2.6, 2.3), confidence=0.9)
    assert codes(flags) == ["reading_below_trend"]


def test_threefold_wear_at_the_end_is_told_with_its_readings() -> None:
    series = readings(0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 1.1, 1.4, 1.7, uncertainty=0.05)
    line, _ = course(series, confidence=0.9)
    found = accelerating(series, line, ratio=1.5)
    assert found is not None
    flag, late = found
    assert [reading.index for reading in late] == [6, 7, 8, 9]
    assert dict(flag.numbers)["last_slope"] == pytest.approx(0.3)


def test_only_a_run_at_the_end_off_the_course_is_kept() -> None:
    series = readings(0.2, 0.3, 0.4, 0.5, 0.6)
    assert [reading.index for reading in without_isolated(series, {1})] == [0, 2, 3, 4]
    assert [reading.index for reading in without_isolated(series, {1, 4})] == [0, 2, 3]
    assert [reading.index for reading in without_isolated(series, {1, 3, 4})] == [0, 2, 3, 4]


def test_steady_or_short_series_do_not_accelerate() -> None:
    steady = readings(0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9)
    assert accelerating(steady, course(steady, confidence=0.9)[0], ratio=1.5) is None
    short = readings(0.2, 0.3, 0.4, 0.9, 1.6)
    assert accelerating(short, course(short, confidence=0.9)[0], ratio=1.5) is None


def test_a_counter_that_falls_is_told() -> None:
    flag = counter_reset(usages=[100, 900, 40, 700], indices=[0, 1, 2, 3])
    assert flag is not None
    assert flag.indices == (2,)
    assert counter_reset(usages=[100, 100, 900], indices=[0, 1, 2]) is None


def test_more_than_a_day_in_a_day_is_told() -> None:
    flag = usage_implausible(days=[0, 30, 40], hours=[0, 600, 900], indices=[4, 5, 6])
    assert flag is not None
    assert flag.indices == (6,)
    assert usage_implausible(days=[0, 30], hours=[0, 720], indices=[0, 1]) is None


def screen(given: list[Reading]) -> list[Flag]:
    """Every test that a series goes through."""
    kept, flags = in_order(given)
    parts, more = segments(kept)
    line, off = course(parts[-1], confidence=0.9) if len(parts[-1]) > 1 else (None, [])
    flags = [*flags, *more, *off]
    if line is not None:
        flags += miscounted(parts[-1], line, limit_percent=LIMIT_PERCENT)
        flags += repeated_values(parts[-1], line)
        found = accelerating(parts[-1], line, ratio=1.5)
        flags += [found[0]] if found else []
    return flags


@pytest.fixture(scope="module", name="histories")
def _histories() -> list[History]:
    rng = random.Random(7)  # noqa: S311 a simulation
    return [clean_history(rng) for _ in range(HISTORIES)]


def test_the_interval_holds_the_true_crossing(histories: list[History]) -> None:
    held = 0
    for history in histories:
        fitted = after_run_in(history.readings, run_in_percent=0.1, run_in_until=None, keep=4)
        line, _ = course(fitted, confidence=0.9)
        found = crossing(line=line, elongation_percent=LIMIT_PERCENT)
        held += found.earliest <= history.crossing(LIMIT_PERCENT) <= found.latest
    assert 0.88 * HISTORIES <= held < HISTORIES, held


@pytest.mark.parametrize(
    ("seed", "arguments"),
    [
        (101, {}),
        (202, {"at_random": True}),
        (303, {"noise": 0.6}),
        (404, {"noise": 0.6, "at_random": True, "count": 10}),
    ],
)
def test_other_seeds_times_and_eyes_are_held_too(seed: int, arguments: dict[str, Any]) -> None:
    rng = random.Random(seed)  # noqa: S311 a simulation
    histories = [clean_history(rng, **arguments) for _ in range(400)]
    lines = [course(after_run_in(h.readings, run_in_percent=0.1, run_in_until=None, keep=4), confidence=0.9)[0]
             for h in histories]  # fmt: skip
    found = [crossing(line=line, elongation_percent=LIMIT_PERCENT) for line in lines]
    held = sum(c.earliest <= h.crossing(LIMIT_PERCENT) <= c.latest for c, h in zip(found, histories, strict=True))
    assert 0.88 * 400 <= held < 400, held
    if "noise" not in arguments:
        flagged = [flag.code for history in histories for flag in screen(history.readings)[:1]]
        assert len(flagged) <= 0.02 * 400, Counter(flagged)


def test_a_fifth_of_wild_readings_moves_the_date_by_less_than_a_tenth(histories: list[History]) -> None:
    rng = random.Random(11)  # noqa: S311 a simulation
    moved = 0
    for history in histories:
        clean, _ = course(history.readings, confidence=0.9)
        wild = history
        for place in rng.sample(range(len(history.readings)), len(history.readings) // 5):
            jump = rng.choice([-1, 1, 1]) * rng.uniform(1, 4)
            wild = with_reading(wild, place, elongation_percent=history.readings[place].elongation_percent + jump)
        line, _ = course(wild.readings, confidence=0.9)
        dates = [crossing(line=one, elongation_percent=LIMIT_PERCENT).expected for one in (clean, line)]
        moved += dates[1] != pytest.approx(dates[0], rel=0.1)
    # Where few readings in coarse steps remain, leaving out some moves the date by itself.
    assert moved <= 0.01 * HISTORIES


def test_clean_histories_are_left_alone(histories: list[History]) -> None:
    flagged = [flag.code for history in histories for flag in screen(history.readings)[:1]]
    assert len(flagged) <= 0.02 * HISTORIES, Counter(flagged)


def faults(rng: random.Random, history: History) -> Iterator[tuple[str, str, list[Reading], int]]:
    """One fault of each kind: name, expected code, the series with it, index of the reading that it sits on."""
    last = history.readings[-1]
    count = len(history.readings)
    step = last.position / count
    place = rng.randrange(2, count)
    reading = history.readings[place]
    assert reading.length_mm is not None
    assert reading.pitch_mm is not None
    pitch_mm = reading.pitch_mm * (1 + reading.elongation_percent / 100)
    yield (
        "one pitch too few counted",
        "pitch_count_suspect",
        with_length(history, place, reading.length_mm + pitch_mm),
        place,
    )
    yield "pins counted", "pins_not_pitches_suspect", with_length(history, place, reading.length_mm - pitch_mm), place
    jump = rng.uniform(1, 3)
    wild = with_reading(history, place, elongation_percent=reading.elongation_percent + jump, length_mm=None)
    yield "seized joint", "outlier", wild.readings, place
    slack = rng.uniform(3, 6) * reading.uncertainty_percent
    low = with_reading(history, place, elongation_percent=reading.elongation_percent - slack, length_mm=None)
    yield "slack", "reading_below_trend", low.readings, place
    new = [
        replace(last, index=count + i, position=last.position + step * (i + 1) / 3, length_mm=None,
                elongation_percent=rng.uniform(0, 0.15) + history.rate_percent * step * i / 3)
        for i in range(3)
    ]  # fmt: skip
    yield "chain replaced", "replacement_suspected", [*history.readings, *new], count
    copies = [replace(last, index=count + i, position=last.position + step * (i + 1)) for i in range(3)]
    yield "value copied", "repeated_value", [*history.readings, *copies], count
    yield "sent twice", "duplicate_reading", [*history.readings, replace(last, index=count)], count
    other = replace(last, index=count, elongation_percent=last.elongation_percent + 0.3)
    yield "sent twice, differing", "conflicting_reading", [*history.readings, other], count


def test_seeded_faults_are_flagged_on_their_reading(histories: list[History]) -> None:
    rng = random.Random(13)  # noqa: S311 a simulation
    found: Counter[str] = Counter()
    for history in histories:
        for name, code, series, index in faults(rng, history):
            found[name] += any(flag.code == code and index in flag.indices for flag in screen(series))
    assert len(found) == 8
    assert {name: hits for name, hits in found.items() if hits < 0.95 * HISTORIES} == {}
