"""The status ladders: at a threshold, a hair below it, coming back, and which of several findings governs."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core.elongation import from_length
from service.core.errors import Inconsistent
from service.core.wear_limits import limit_used
from service.core.wear_status import (
    DRIVE_GRAVITY,
    LIFTING_GRAVITY,
    Rung,
    check_ladder,
    governing,
    gravest_in_band,
    held_rung,
    rung,
)
from service.reference.wear import load_wear

T = {name: row.value for name, row in load_wear().thresholds.items()}
DRIVE = (
    Rung("watch", T["drive_watch"]),
    Rung("plan", T["drive_plan"]),
    Rung("replace", T["drive_replace"]),
    Rung("stop", T["drive_stop"]),
)
LIFTING = (Rung("approaching_limit", T["lifting_approaching"]), Rung("remove_from_service", T["lifting_remove"]))


def drive(percent: float, limit: float = 3.0) -> str:
    return rung(limit_used=limit_used(elongation_percent=percent, limit_percent=limit), ladder=DRIVE, lowest="ok")


@pytest.mark.parametrize(
    ("percent", "status"),
    [
        (-0.2, "ok"),
        (1.4999, "ok"),
        (1.5, "watch"),
        (2.3999, "watch"),
        (2.4, "plan"),
        (2.9999, "plan"),
        (3.0, "replace"),
        (3.98, "replace"),
        (3.99, "stop"),
    ],
)
def test_a_threshold_is_reached_at_it_and_not_before(percent: float, status: str) -> None:
    assert drive(percent) == status


@pytest.mark.parametrize("pitch_mm", [9.525, 12.7, 15.875, 25.4, 38.1, 50.8])
@pytest.mark.parametrize("pitch_count", [7, 24, 80, 121])
def test_a_length_exactly_at_the_limit_is_at_the_limit_in_binary_too(pitch_mm: float, pitch_count: int) -> None:
    length_mm = pitch_count * pitch_mm * 1.03
    assert drive(from_length(length_mm=length_mm, pitch_count=pitch_count, pitch_mm=pitch_mm)) == "replace"
    less = from_length(length_mm=length_mm - 1e-6, pitch_count=pitch_count, pitch_mm=pitch_mm)
    assert drive(less) == "plan"


def test_lifting_chain_has_no_rung_that_says_it_may_lift() -> None:
    status = [rung(limit_used=u, ladder=LIFTING, lowest="within_entered_limits") for u in (0.0, 0.667, 0.9999, 1.0, 9)]
    assert status == [
        "within_entered_limits",
        "approaching_limit",
        "approaching_limit",
        "remove_from_service",
        "remove_from_service",
    ]


def held(used: float, previous: str | None) -> str:
    return held_rung(limit_used=used, ladder=DRIVE, lowest="ok", previous=previous, hysteresis=0.02)


def test_a_status_falls_only_beyond_the_hysteresis() -> None:
    assert held(0.79, None) == "watch"
    assert held(0.79, "plan") == "plan"
    assert held(0.78, "plan") == "plan"
    assert held(0.7799, "plan") == "watch"
    assert held(0.79, "stop") == "plan"
    assert held(0.30, "stop") == "ok"
    assert held(0.80, "watch") == "plan"
    assert held(0.79, "not_assessable") == "watch"


@given(st.floats(-0.5, 2), st.sampled_from([None, "ok", "watch", "plan", "replace", "stop"]))
def test_hysteresis_never_makes_light_of_wear(used: float, previous: str | None) -> None:
    order = ["ok", *(step.status for step in DRIVE)]
    plain = rung(limit_used=used, ladder=DRIVE, lowest="ok")
    assert order.index(held(used, previous)) >= order.index(plain)


@pytest.mark.parametrize(
    ("statuses", "expected"),
    [
        ({"wear": "ok", "findings": "stop"}, ("findings", "stop")),
        ({"wear": "replace", "findings": "ok"}, ("wear", "replace")),
        ({"wear": "not_assessable", "findings": "ok"}, ("wear", "not_assessable")),
        ({"wear": "not_assessable", "findings": "stop"}, ("findings", "stop")),
        ({"wear": "plan", "pair": "plan"}, ("wear", "plan")),
    ],
)
def test_the_gravest_governs(statuses: dict[str, str], expected: tuple[str, str]) -> None:
    assert governing(statuses, DRIVE_GRAVITY) == expected


def test_what_cannot_be_judged_is_never_the_lightest() -> None:
    assert DRIVE_GRAVITY.index("not_assessable") > DRIVE_GRAVITY.index("ok")
    assert LIFTING_GRAVITY.index("not_assessable") > LIFTING_GRAVITY.index("within_entered_limits")


def test_a_band_that_reaches_the_next_threshold_is_told() -> None:
    near = gravest_in_band(limit_used=0.95, uncertainty=0.08, ladder=DRIVE)
    assert near is not None
    assert near.status == "replace"
    assert gravest_in_band(limit_used=0.90, uncertainty=0.08, ladder=DRIVE) is None
    assert gravest_in_band(limit_used=1.5, uncertainty=0.5, ladder=DRIVE) is None


def test_thresholds_must_rise() -> None:
    check_ladder(DRIVE)
    with pytest.raises(Inconsistent):
        check_ladder((Rung("watch", 0.8), Rung("plan", 0.8)))
