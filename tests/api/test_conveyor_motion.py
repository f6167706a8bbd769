"""Fatigue, polygon surge and roller loads of sized conveyors, each worked out by hand beside the service."""

from __future__ import annotations

from math import cos, pi
from typing import Any

import pytest

from tests.api.conveyor_cases import PATH, body, load, of, run, strong

G = 9.80665


def option(service: Any, **changes: Any) -> dict[str, Any]:
    response = service.post(PATH, body(**changes))
    assert response.status_code == 200, response.json()
    return dict(response.json()["result"]["chains"][0]["option"])


def limit(found: dict[str, Any], name: str) -> dict[str, Any]:
    return next(one for one in found["limits"] if one["limit"] == name)


def test_surge_of_a_six_toothed_wheel(service):
    """0.5 m/s, 6 teeth of 200 mm: 0.685389 m/s2; 40 m of 15 kg/m and 20 m of 50 kg/m are 1600 kg; three times both."""
    own = {**strong(15), "pitch": of(200, "mm")}
    asked = {"head_wheel": {"teeth": 6}, "own_chain": own}
    found = option(service, **asked, rules={"peak_fraction": 0.5})
    action = found["polygon_action"]
    assert action["peak_acceleration_m_s2"] == pytest.approx((2 * pi * 0.5 / (6 * 0.2)) ** 2 * 0.2 / 2)
    assert action["moved_mass"] == {"value": 1600, "unit": "kg"}
    assert action["surge_pull"]["value"] == pytest.approx(3289.868, abs=0.001)
    assert action["speed_variation"] == pytest.approx(1 - cos(pi / 6))
    # A tooth passes every 0.2 m.
    assert action["mesh_frequency_hz"] == pytest.approx(2.5)
    # How much of the mass follows is in no table: the surge is judged where the request says it.
    assert "surge_peak" not in [one["limit"] for one in found["limits"]] + found["unjudged"]
    judged = option(service, **asked, rules={"peak_fraction": 0.5, "surge_share": 0.5})
    assert judged["polygon_action"]["surge_pull"]["value"] == pytest.approx(1644.934, abs=0.001)
    surge = limit(judged, "surge_peak")
    assert surge["actual"]["value"] == pytest.approx(judged["one_chain_tension"]["value"] + 1644.934, abs=0.001)
    assert surge["allowed"]["value"] == pytest.approx(450e6)


def test_no_surge_where_no_teeth_drive(service):
    wheel = {"kind": "traction", "pitch_diameter": of(600, "mm"), "grip_friction": 0.4}
    found = option(service, head_wheel=wheel)
    assert "polygon_action" not in found
    assert "surge_peak" not in [one["limit"] for one in found["limits"]] + found["unjudged"]


def test_a_lap_with_its_mean_tension(service):
    """A take-up of 4 kN on two strands leaves 2000 N; Goodman: Ft = Fu (Fmax - Fmin)/(Fu - Fmin), Fu 100 kN."""
    own = {**strong(15), "minimum_tensile_strength": of(100, "kN")}
    take_up = {"after": "drive", "force": of(4, "kN")}
    found = option(service, own_chain=own, take_up=take_up, rules={"fatigue_fraction": 0.15})
    greatest = (2000 + G * 15 * 0.2 * 20) * 1.05 + G * 65 * 0.2 * 20
    lap = found["lap"]
    assert lap["greatest_tension"]["value"] == pytest.approx(greatest)
    assert lap["least_tension"]["value"] == pytest.approx(2000)
    equivalent = 100_000 * (greatest - 2000) / 98_000
    assert lap["pulsating_equivalent"]["value"] == pytest.approx(equivalent)
    assert lap["fatigue_limit"]["value"] == pytest.approx(15_000)
    assert limit(found, "fatigue")["utilisation"] == pytest.approx(equivalent / 15_000)


def test_roller_chain_is_held_against_its_tabulated_dynamic_strength(service):
    """16B: 9.53 kN in the tables; without a take-up the slack side is at zero, so that the greatest tension counts."""
    found = option(service, own_chain=None, choice={"chains": ["16B"]})
    assert limit(found, "fatigue")["allowed"] == {"value": 9530, "unit": "N"}
    assert limit(found, "fatigue")["actual"]["value"] == pytest.approx(found["one_chain_tension"]["value"])


def test_fatigue_is_open_where_nobody_knows_it(service):
    found = option(service, own_chain=None, choice={"chains": ["C212A"]})
    assert "fatigue" in found["unjudged"]


LOADS = [
    # what, changes, load on a roller
    ("load and chain on one line", {}, G * 65 * 0.1),
    ("spacing told", {"chains": {"friction": 0.2, "roller_spacing": of(300, "mm")}}, G * 65 * 0.3),
    ("two lines share 1.2 by 2", {"chains": {"friction": 0.2, "chain_lines": 2}}, 0.6 * G * 80 * 0.1),
    ("load dragged beside the chain", {"load": load(carried="in_trough", friction=0.5)}, G * 15 * 0.1),
    ("incline of 60 degrees", {"path": [run(5, loaded=True, incline=of(60, "deg"))]}, 0.5 * G * 65 * 0.1),
    (
        "free span carries on no roller",
        {"path": [run(5, loaded=True, supported=False), run(5)]},
        G * 15 * 0.1,
    ),
]


@pytest.mark.parametrize(("what", "changes", "expected"), LOADS, ids=[case[0] for case in LOADS])
def test_load_on_a_roller(service, what, changes, expected):
    found = option(service, rules={"allowed_roller_load": of(1, "kN")}, **changes)
    assert found["rollers"]["load"]["value"] == pytest.approx(expected), what
    assert limit(found, "roller_load")["utilisation"] == pytest.approx(expected / 1000)


def test_rollers_in_a_curve_bear_the_pull(service):
    """After 20 m of return at 0.2 and the curve: (300 + 588.399) e^(0.2 pi) N times 0.1 m over 0.5 m."""
    path = [
        {"name": "back", **run(20)},
        {"name": "bend", "curve": {"angle": of(180, "deg"), "friction": 0.2, "radius": of(500, "mm")}},
        {"name": "out", **run(20, loaded=True)},
    ]
    found = option(service, path=path, slack_tension=of(300, "N"), rules={"allowed_roller_load": of(1, "kN")})
    assert found["rollers"]["load"]["value"] == pytest.approx(888.399 * 1.8744556 * 0.1 / 0.5, rel=1e-6)


def test_pressure_on_the_bush_of_a_tabulated_chain(service):
    """M80 of DIN 8167: bush 18 mm, inner width 28 mm; 65 kg/m on rollers 0.1 m apart."""
    chains = {"friction": 0.2, "mass_per_length": of(15, "kg/m"), "roller_spacing": of(100, "mm")}
    rules = {"allowed_roller_pressure": of(2, "N/mm2")}
    found = option(service, own_chain=None, choice={"chains": ["M80"]}, chains=chains, rules=rules)
    pressure = G * 65 * 0.1 / (18 * 28)
    assert found["rollers"]["pressure"]["value"] == pytest.approx(pressure)
    assert limit(found, "roller_pressure")["utilisation"] == pytest.approx(pressure / 2)


BOUNDS = [
    ("roller load", {"allowed_roller_load": of(300, "N")}, {}),
    ("roller pressure", {"allowed_roller_pressure": of(0.4, "N/mm2")}, {}),
    ("fatigue above a least tension", {"fatigue_limit": of(3, "kN")}, {"least_tension": of(500, "N")}),
    ("surge", {"peak_fraction": 0.1, "surge_share": 0.8}, {"head_wheel": {"teeth": 6}, "chain_speed": of(0.9, "m/s")}),
    ("static strength", {}, {}),
]


@pytest.mark.parametrize(("what", "rules", "changes"), BOUNDS, ids=[case[0] for case in BOUNDS])
def test_a_chain_passes_just_up_to_the_mass_that_is_named(service, what, rules, changes):
    asked = {"own_chain": None, "choice": {"chains": ["M80"]}, "rules": rules, **changes}
    (bound,) = service.post(PATH, body(**asked)).json()["result"]["conditional_chains"]
    mass = bound["passes_up_to_mass"]["value"]

    def with_mass(value: float) -> dict[str, Any]:
        chains = {"friction": 0.2, "mass_per_length": of(value, "kg/m")}
        return dict(service.post(PATH, body(**{**asked, "chains": chains})).json()["result"])

    (passes,) = with_mass(mass * (1 - 1e-9))["chains"]
    assert passes["option"]["utilisation"] == pytest.approx(1, rel=1e-8), what
    assert with_mass(mass * (1 + 1e-6))["chains"] == []
