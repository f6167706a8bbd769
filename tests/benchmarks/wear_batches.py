"""Nightly batches of the invented Lindholm plant: a thousand readings, and a thousand histories of fifty."""

from __future__ import annotations

import random
from datetime import date, timedelta
from functools import cache
from typing import Any

from tests.benchmarks.cases import Case

ITEMS = 1000
READINGS = 50
PITCHES_MM = {
    "40": 12.7,
    "50": 15.875,
    "60": 19.05,
    "80": 25.4,
    "100": 31.75,
    "08B-1": 12.7,
    "10B-1": 15.875,
    "16B-1": 25.4,
}
FIRST = date(2023, 1, 1)


@cache
def readings() -> dict[str, Any]:
    """One reading of each of a thousand drives, 24 pitches by tape."""
    rng = random.Random(5)  # noqa: S311 a simulation
    items = []
    for place in range(ITEMS):
        chain, pitch_mm = list(PITCHES_MM.items())[place % len(PITCHES_MM)]
        length = {"value": round(24 * pitch_mm * (1 + rng.uniform(0, 0.03)), 1), "unit": "mm"}
        seen = {"tension_state": "tight_span", "sprocket_state": "polished_symmetric"}
        drive = {"chain": chain, "large_wheel_teeth": 57, "centre_type": "adjustable"}
        items.append({"client_ref": f"C-{place}", **drive, "length": length, "pitch_count": 24, **seen})
    return {"items": items}


@cache
def histories() -> dict[str, Any]:
    """Fifty fortnightly readings of each of a thousand drives."""
    rng = random.Random(7)  # noqa: S311 a simulation
    items = []
    for place in range(ITEMS):
        rate = rng.uniform(0.002, 0.04)
        series = [
            {
                "at": (FIRST + timedelta(days=14 * number)).isoformat(),
                "elongation_percent": round(max(0.0, rate * number + rng.gauss(0, 0.03)), 2),
            }
            for number in range(READINGS)
        ]
        drive = {"chain": "80", "large_wheel_teeth": 57, "centre_type": "adjustable", "uncertainty_percent": 0.1}
        items.append({"client_ref": f"C-{place}", **drive, "as_of": "2025-01-01", "readings": series})
    return {"items": items}


def checks_case(detail: str = "full") -> Case:
    """The batch of readings as a request."""
    return Case("wear checks", "/v1/elongation-checks/batch", 0.0, None, None, {**readings(), "detail": detail})


def trends_case(detail: str = "full") -> Case:
    """The batch of histories as a request."""
    return Case("histories", "/v1/elongation-trends/batch", 0.0, None, None, {**histories(), "detail": detail})
