"""Invented wear histories with a known course: a tape of a class, a scale read to its division, and seeded faults."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import hypot
from typing import TYPE_CHECKING

from service.core.elongation import from_length
from service.core.wear_series import Reading

if TYPE_CHECKING:
    import random

LIMIT_PERCENT = 3.0
CLASS_TWO = (0.3, 0.2)


@dataclass(frozen=True)
class History:
    """Readings in 1000 h with the true line behind them."""

    readings: list[Reading]
    start_percent: float
    rate_percent: float

    def crossing(self, percent: float) -> float:
        return (percent - self.start_percent) / self.rate_percent


def clean_history(
    rng: random.Random, *, count: int | None = None, noise: float = 0.25, at_random: bool = False
) -> History:
    """Linear wear read with one tape of class II, whose error stays, to the nearest division.

    Args:
        rng: Source of chance.
        count: Readings; six to sixteen if left out.
        noise: Standard deviation of the eye, in divisions.
        at_random: Whether the times of reading are scattered over the span instead of about even.
    """
    pitch_mm = rng.choice([12.7, 15.875, 19.05, 25.4])
    pitch_count = rng.randint(24, 80)
    division_mm = rng.choice([0.5, 1.0])
    nominal_mm = pitch_mm * pitch_count
    tape_mm = CLASS_TWO[0] + CLASS_TWO[1] * (1 + nominal_mm // 1000)
    bias_mm = rng.uniform(-tape_mm, tape_mm)
    uncertainty = 100 * hypot(tape_mm, division_mm / 2) / nominal_mm
    start = rng.uniform(0.0, 0.15)
    rate = rng.uniform(0.05, 0.4)
    count = count or rng.randint(6, 16)
    span = (rng.uniform(0.35, 0.8) * LIMIT_PERCENT - start) / rate
    positions = [span * (index + rng.uniform(0.6, 1.4)) / count for index in range(count)]
    if at_random:
        positions = sorted(rng.uniform(0, span) for _ in range(count))
    readings = []
    for index, position in enumerate(positions):
        true_mm = nominal_mm * (1 + (start + rate * position) / 100)
        read_mm = division_mm * round((true_mm + bias_mm + rng.gauss(0, noise * division_mm)) / division_mm)
        percent = from_length(length_mm=read_mm, pitch_count=pitch_count, pitch_mm=pitch_mm)
        readings.append(
            Reading(
                index,
                position,
                percent,
                uncertainty,
                100 * division_mm / nominal_mm,
                "80",
                read_mm,
                pitch_count,
                pitch_mm,
            )
        )
    return History(readings, start, rate)


def with_reading(history: History, place: int, **changes: float | None) -> History:
    """The history with one reading changed."""
    readings = list(history.readings)
    readings[place] = replace(readings[place], **changes)  # type: ignore[arg-type]
    return replace(history, readings=readings)


def with_length(history: History, place: int, length_mm: float) -> list[Reading]:
    """The readings with another length at one place, and the elongation that it gives as counted."""
    reading = history.readings[place]
    assert reading.pitch_count is not None
    assert reading.pitch_mm is not None
    percent = from_length(length_mm=length_mm, pitch_count=reading.pitch_count, pitch_mm=reading.pitch_mm)
    return with_reading(history, place, length_mm=length_mm, elongation_percent=percent).readings
