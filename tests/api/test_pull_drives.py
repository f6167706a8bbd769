"""Drives judged by their chain pull over HTTP; numbers by hand from printed factors, wrong input by table."""

from __future__ import annotations

from math import pi
from typing import Any

import msgspec
import pytest

from service.api.drive_checks import DriveCheckRequest
from tests.api.drive_cases import Wrong, assert_told, kw, mm, quantity, rpm, without_none
from tests.api.pointers import points_into

PATH = "/v1/drive-checks"
N_PER_LBF = 4.4482216152605


def body(duty: dict[str, Any] | None = None, **changes: Any) -> dict[str, Any]:
    """SBS111 (4.76 in pitch) on 12 and 30 teeth: 31.51 r/min run it at 150 ft/min."""
    sound = {
        "chain": "SBS111",
        "driver_teeth": 12,
        "driven_teeth": 30,
        "duty": without_none(
            {"power": kw(7), "driver_speed": rpm(150 / 4.76), "load_class": "moderate_shock", **(duty or {})}
        ),
        "centre_distance": quantity(4, "m"),
    }
    return without_none({**sound, **changes})


def check(service: Any, duty: dict[str, Any] | None = None, **changes: Any) -> dict[str, Any]:
    response = service.post(PATH, body(duty, **changes))
    assert response.status_code == 200, response.json()
    return dict(response.json())


def test_engineering_chain_is_judged_by_its_pull(service):
    answer = check(service)
    assert answer["result"]["method"] == "chain_pull"
    assert "pull_method_used" in {warning["code"] for warning in answer["warnings"]}
    drive = answer["result"]["pull_drive"]
    # 150 ft/min is 0.762 m/s; the factor of 12 teeth there is printed as 1.10, the service factor of the table 1.2.
    assert drive["chain_speed"]["value"] == pytest.approx(0.762)
    assert drive["chain_pull"]["value"] == pytest.approx(7000 / 0.762)
    assert drive["speed_factor"] == pytest.approx(1.10)
    assert drive["service_factor"] == pytest.approx(1.2)
    assert drive["needed_working_load"]["value"] == pytest.approx(7000 / 0.762 * 1.10 * 1.2)
    assert drive["utilisation"] == pytest.approx(
        drive["needed_working_load"]["value"] / drive["allowable_load"]["value"]
    )


def test_the_power_at_the_allowable_load_uses_it_up(service):
    drive = check(service)["result"]["pull_drive"]
    full = check(service, {"power": kw(drive["power_at_allowable_load"]["value"])})["result"]
    assert full["pull_drive"]["utilisation"] == pytest.approx(1.0)


def test_joint_pressure_is_pull_over_projected_area(service):
    """SBS111: pin of 0.75 in in a bearing 3.375 in long, as tabulated."""
    drive = check(service)["result"]["pull_drive"]
    assert drive["joint_pressure"]["value"] == pytest.approx(7000 / 0.762 / (0.75 * 25.4 * 3.375 * 25.4))
    assert drive["joint_pressure"]["unit"] == "N/mm2"
    assert "allowable_joint_pressure" in drive["holes"]


def test_a_missing_figure_is_named_and_nothing_rests_on_it(service):
    drive = check(service, chain="SBS188", power=None)["result"]["pull_drive"]
    assert {"bearing_length", "minimum_tensile_strength"} <= set(drive["holes"])
    assert "joint_pressure" not in drive
    assert "breaking_safety" not in drive


def test_a_factor_below_one_does_not_hide_the_static_load(service):
    answer = check(service, {"driver_speed": rpm(10 / 4.76 / 2), "power": kw(0.4)}, driver_teeth=24, driven_teeth=48)
    drive = answer["result"]["pull_drive"]
    assert drive["speed_factor"] < 1
    assert drive["utilisation"] == pytest.approx(drive["static_load"]["value"] / drive["allowable_load"]["value"])
    assert {entry["name"] for entry in answer["checks"]} == {"working_load", "static_load"}


def test_beyond_the_table_the_nearest_factor_bounds_the_true_one(service):
    slow = check(service, {"driver_speed": rpm(0.5), "power": kw(0.05)})
    assert "speed_factor_bounded" in {warning["code"] for warning in slow["warnings"]}
    at_edge = check(service, {"driver_speed": rpm(10 / 4.76), "power": kw(0.05)})
    assert slow["result"]["pull_drive"]["speed_factor"] == pytest.approx(
        at_edge["result"]["pull_drive"]["speed_factor"]
    )


def test_long_days_raise_the_factor(service):
    drive = check(service, {"hours_per_day": 16})["result"]["pull_drive"]
    assert drive["service_factor"] == pytest.approx(1.2 * 1.2)
    assert check(service, {"hours_per_day": 10})["result"]["pull_drive"]["service_factor"] == pytest.approx(1.2)


def test_recalled_figures_are_told(service):
    (memory,) = [entry for entry in check(service)["warnings"] if entry["code"] == "figure_from_memory"]
    assert "allowable load of SBS111" in memory["message"]
    assert "service factor of moderate shock" in memory["message"]


def test_two_points_are_compared(service):
    faster = {"power": kw(7), "driver_speed": rpm(200 / 4.76), "load_class": "moderate_shock"}
    answer = check(service, changed_duty=faster)
    result = answer["result"]
    assert result["changed_pull_drive"]["speed_factor"] == pytest.approx(1.21)  # printed for 12 teeth at 200 ft/min
    assert result["changed_pull_drive"]["chain_pull"]["value"] == pytest.approx(7000 / 1.016)
    assert {"changed_working_load", "changed_static_load"} <= {entry["name"] for entry in answer["checks"]}


def test_inch_and_metric_are_the_same_case(service):
    metric, inch = (check(service, units=units)["result"]["pull_drive"] for units in ("metric", "inch"))
    assert inch["chain_pull"]["value"] * N_PER_LBF == pytest.approx(metric["chain_pull"]["value"])
    assert inch["utilisation"] == pytest.approx(metric["utilisation"])


def test_slow_roller_chain_bears_a_sixth_of_its_strength(service):
    """No. 80 of 12 500 lbf; trade-strength-texts: at most a sixth of the ultimate in service."""
    answer = check(
        service,
        {"power": kw(0.02), "driver_speed": rpm(0.8), "prime_mover": "electric_motor_or_turbine"},
        chain="80",
        centre_distance=mm(900),
    )
    drive = answer["result"]["pull_drive"]
    speed = 12 * 25.4 * 0.8 / 60_000
    assert drive["allowable_load"]["value"] == pytest.approx(12_500 * N_PER_LBF / 6, rel=1e-3)
    assert drive["static_load"]["value"] == pytest.approx(20 / speed * 1.3)
    assert drive["breaking_safety"] == pytest.approx(12_500 * N_PER_LBF / (20 / speed * 1.3), rel=1e-3)
    assert "speed_factor" not in drive


def test_torque_at_the_driver_is_the_pull_on_its_mean_radius(service):
    """Mean radius of a polygon wheel: pitch times teeth over a turn."""
    drive = check(service, {"power": None, "torque": quantity(1000, "N.m")})["result"]["pull_drive"]
    assert drive["chain_pull"]["value"] == pytest.approx(1000 / (12 * 4.76 * 0.0254 / (2 * pi)))


CASES = [
    Wrong("no allowable load", "figure_not_in_reference", "allowable load", pointer="/chain", changes={"chain": "H78"}),
    Wrong("drag chain", "family_not_for_drive", "drag", pointer="/chain", changes={"chain": "H110"}),
    Wrong("flat top", "family_not_for_drive", "not made to drive", changes={"chain": "C12S"}),
    Wrong(
        "too fast for few teeth", "speed_beyond_table", "300 ft/min", pointer="/duty/driver_speed",
        duty={"driver_speed": rpm(500 / 4.76 * 2)}, changes={"driver_teeth": 6, "driven_teeth": 12},
    ),
    Wrong(
        "five teeth", "teeth_few", "begin at 6", pointer="/driver_teeth",
        changes={"driver_teeth": 5, "driven_teeth": 12},
    ),
    Wrong("three teeth", "teeth_below_minimum", "3 teeth", pointer="/driver_teeth", changes={"driver_teeth": 3}),
    Wrong("strands", "strands_out_of_range", "1 strands", pointer="/strand_count", changes={"strand_count": 2}),
    Wrong("factor below one", "factor_below_minimum", "below 1", pointer="/duty/service_factor",
          duty={"load_class": None, "service_factor": 0.9}),
    Wrong("double", "factor_double_counted", "twice", pointer="/duty/service_factor", duty={"service_factor": 1.4}),
    Wrong("no load", "field_required", "load_class", pointer="/duty/load_class", duty={"load_class": None}),
    Wrong("overlap", "centres_overlap", "overlap", pointer="/centre_distance", changes={"centre_distance": mm(500)}),
    Wrong("above strength", "tension_too_high", "larger chain", 200, duty={"power": kw(300)},
          changes={"chain": "WH124"}),
    Wrong(
        "slow roller chain, factor below one", "factor_below_minimum", "below 1", pointer="/duty/service_factor",
        duty={"load_class": None, "service_factor": 0.9, "driver_speed": rpm(0.5)}, changes={"chain": "80"},
    ),
]  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=str)
def test_wrong_input(service, case):
    response = service.post(PATH, body(case.duty, **case.changes))
    assert_told(case, response)
    answer = response.json()
    for entry in answer.get("errors", answer.get("warnings")):
        if entry.get("pointer"):
            assert points_into(msgspec.inspect.type_info(DriveCheckRequest), entry["pointer"]), entry


def test_the_layout_is_drawn_on_pitch_circles(service):
    response = service.post(PATH, body(), headers={"accept": "image/svg+xml"})
    assert response.status_code == 200, response.text
    assert "SBS111" in response.text
    assert "pitch circles" in response.text
