"""Cost of fitting the course of wear, on one core."""

from __future__ import annotations

import random
from time import perf_counter

from service.core.wear_series import course
from tests.core.wear_histories import clean_history


def test_a_thousand_series_of_fifty_readings_are_fitted_within_a_second_and_a_half() -> None:
    rng = random.Random(17)  # noqa: S311 a simulation
    histories = [clean_history(rng, count=50).readings for _ in range(1000)]
    started = perf_counter()
    for readings in histories:
        course(readings, confidence=0.9)
    assert perf_counter() - started < 1.5
