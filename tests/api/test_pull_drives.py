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


@pytest.mark.parametrize(
    ("teeth", "speed_ft_min", "factor"),
    # trade-engineering-factors, speed factor table; straight in speed, and in 1/N between printed tooth counts.
    [
        (6, 300, 16.7),
        (8, 450, (3.62 + 6.21) / 2),
        (11, 950, (3.37 + 3.82) / 2),
        (12, 162.5, (1.10 + 1.16) / 2),
        (12, 1000, 3.05),
        (13, 150, 1.10 - 0.08 * (1 / 12 - 1 / 13) / (1 / 12 - 1 / 14)),
        (16, 212.5, (1.05 + 1.08) / 2),
    ],
)
def test_factors_of_speed_and_teeth(service, teeth, speed_ft_min, factor):
    speed = rpm(speed_ft_min * 12 / (teeth * 4.76))
    drive = check(service, {"driver_speed": speed, "power": kw(1)}, driver_teeth=teeth, driven_teeth=2 * teeth)
    assert drive["result"]["pull_drive"]["speed_factor"] == pytest.approx(factor)


def test_a_doubtful_factor_is_left_out_and_that_is_told(service):
    """9 teeth at 500 ft/min are printed as 2.94 between 2.56 at 400 and 4.29 at 600."""
    answer = check(service, {"driver_speed": rpm(500 * 12 / (9 * 4.76)), "power": kw(1)}, driver_teeth=9)
    assert answer["result"]["pull_drive"]["speed_factor"] == pytest.approx((2.56 + 4.29) / 2)
    assert "doubtful_figure_left_out" in {warning["code"] for warning in answer["warnings"]}
    beside = check(service, {"driver_speed": rpm(350 * 12 / (9 * 4.76)), "power": kw(1)}, driver_teeth=9)
    assert "doubtful_figure_left_out" not in {warning["code"] for warning in beside["warnings"]}


def test_the_power_at_the_allowable_load_is_that_of_the_static_load_where_the_factor_is_below_one(service):
    """12 teeth at 10 ft/min have a factor of 0.741, which the static load does not share."""
    slow = {"driver_speed": rpm(10 / 4.76), "power": kw(0.3)}
    drive = check(service, slow)["result"]["pull_drive"]
    assert drive["speed_factor"] == pytest.approx(0.741)
    assert drive["governed_by"] == "static_load"
    full = check(service, {**slow, "power": kw(drive["power_at_allowable_load"]["value"])})["result"]
    assert full["pull_drive"]["utilisation"] == pytest.approx(1.0)


def test_a_machine_of_the_printed_examples_stands_for_the_class_of_load(service):
    answer = check(service, {"load_class": None, "driven_machine": "crushers"})
    assert answer["result"]["pull_drive"]["service_factor"] == pytest.approx(1.5)
    assert ("/duty/load_class", "heavy_shock") in {(one["field"], one["value"]) for one in answer["assumptions"]}


def test_what_hours_do_is_told_as_it_is(service):
    def note(hours: float) -> str:
        listed = check(service, {"hours_per_day": hours})["assumptions"]
        return next(entry["note"] for entry in listed if entry["field"] == "/duty/hours_per_day")

    assert "raised the service factor" in note(16)
    assert "raises no factor" in note(8)


OWN = {
    "pitch": quantity(4, "in"),
    "allowable_load": quantity(7350, "lbf"),
    "pin_diameter": quantity(0.75, "in"),
    "bearing_length": quantity(2.75, "in"),
    "minimum_tensile_strength": quantity(50_500, "lbf"),
}


def test_a_chain_of_the_callers_own_figures(service):
    """5 hp at 100 ft/min pull 1650 lbf; 10 teeth have a factor of 1.09 there."""
    sent = {"power": quantity(5, "hp"), "driver_speed": rpm(30), "load_class": "smooth"}
    answer = check(service, sent, chain=None, own_chain=OWN, driver_teeth=10, driven_teeth=20, units="inch")
    drive = answer["result"]["pull_drive"]
    assert drive["chain_pull"]["value"] == pytest.approx(1650)
    assert drive["needed_working_load"]["value"] == pytest.approx(1650 * 1.09)
    assert drive["utilisation"] == pytest.approx(1650 * 1.09 / 7350)
    assert drive["joint_pressure"]["value"] == pytest.approx(1650 / (0.75 * 2.75))
    assert drive["breaking_safety"] == pytest.approx(50_500 / 1650)
    told = {entry["field"] for entry in answer["assumptions"]}
    assert {"/own_chain/allowable_load", "/own_chain/pitch", "/own_chain/pin_diameter"} <= told
    memory = [warning["message"] for warning in answer["warnings"] if warning["code"] == "figure_from_memory"]
    assert not any("own chain" in message for message in memory)
    faster = {"chain": None, "own_chain": OWN, "driver_teeth": 10, "driven_teeth": 20}
    both = check(service, sent, **faster, changed_duty={**sent, "driver_speed": rpm(40)})["assumptions"]
    own = [entry["field"] for entry in both if entry["field"].startswith("/own_chain")]
    assert len(own) == len(set(own)) == len(OWN)


def test_each_duty_is_judged_by_the_method_that_its_speed_calls_for(service):
    """No. 80 at 0.8 r/min is below the ratings and at 100 r/min inside them, whichever comes first."""

    def duty(speed: float, power: float) -> dict[str, Any]:
        return {"power": kw(power), "driver_speed": rpm(speed), "load_class": "smooth"}

    frame = {"chain": "80", "driver_teeth": 19, "driven_teeth": 57, "centre_distance": mm(900)}
    alone = service.post(PATH, {**frame, "duty": duty(100, 1)}).json()["result"]
    for first, second, fast in ((duty(0.8, 0.02), duty(100, 1), "changed_"), (duty(100, 1), duty(0.8, 0.02), "")):
        answer = service.post(PATH, {**frame, "duty": first, "changed_duty": second}).json()
        result, slow = answer["result"], "" if fast else "changed_"
        assert result[f"{fast}method"] == "power_ratings"
        assert result[f"{slow}method"] == "chain_pull"
        assert result[f"{fast}drive"] == alone["drive"]
        assert f"{slow}pull_drive" in result
        (told,) = [warning for warning in answer["warnings"] if warning["code"] == "pull_method_used"]
        assert told["pointer"] == f"/{slow}duty/driver_speed"
        names = {entry["name"] for entry in answer["checks"]}
        assert names == {f"{slow}static_load", *(f"{fast}{name}" for name in RATED)}


RATED = ("link_plate_fatigue", "roller_bushing_impact", "range_end")


def test_what_both_methods_find_wrong_is_told_once(service):
    body_ = {
        "chain": "80", "driver_teeth": 3, "driven_teeth": 57, "centre_distance": mm(900),
        "duty": {"power": kw(1), "driver_speed": rpm(100), "load_class": "smooth"},
        "changed_duty": {"power": kw(1), "driver_speed": rpm(0.5), "load_class": "smooth"},
    }  # fmt: skip
    errors = service.post(PATH, body_).json()["errors"]
    assert len({(error["code"], error["pointer"]) for error in errors}) == len(errors)


def test_an_offset_link_leaves_slow_roller_chain_a_ninth_of_its_strength(service):
    """trade-strength-texts: a sixth of the ultimate with press-fit connecting links, a ninth with offset links."""

    def loads(count: int) -> tuple[float, str]:
        answer = check(
            service,
            {"power": kw(0.02), "driver_speed": rpm(0.8)},
            chain="80", driver_teeth=19, driven_teeth=57, centre_distance=None, pitch_count=count,
        )  # fmt: skip
        note = next(entry["note"] for entry in answer["assumptions"] if entry["field"] == "/allowable_load")
        return answer["result"]["pull_drive"]["allowable_load"]["value"], note

    even, note = loads(110)
    assert even == pytest.approx(12_500 * N_PER_LBF / 6, rel=1e-3)
    assert "slip-fit" in note
    assert loads(111)[0] == pytest.approx(12_500 * N_PER_LBF / 9, rel=1e-3)


def test_strands_of_slow_roller_chain_count_by_their_factor(service):
    """Two strands carry 1.7 times one (complete-guide-chain Table 4.1), not twice."""

    def load(strands: int) -> float:
        sent = {"power": kw(0.02), "driver_speed": rpm(0.8)}
        drive = check(service, sent, chain="80", strand_count=strands, centre_distance=mm(900))["result"]
        return float(drive["pull_drive"]["allowable_load"]["value"])

    assert load(2) == pytest.approx(1.7 * load(1))


def test_how_a_drive_runs_and_what_changes(service):
    slower = {"power": kw(7), "driver_speed": rpm(100 / 4.76), "load_class": "moderate_shock"}
    result = check(service, changed_duty=slower, joint_friction=0.15)["result"]
    running, change = result["running"], result["change"]
    # 88 pitches over 12 and 30 teeth; pi d (1/12 + 1/30) slide twice a lap on a pin of 0.75 in.
    assert running["small_wheel_common_factor"] == 4
    assert running["joint_slide_per_lap"]["value"] == pytest.approx(2 * pi * 19.05 * (1 / 12 + 1 / 30))
    # Slack strand without tension: loss = mu pi (d/p) (1/N1 + 1/N2).
    assert running["joint_efficiency"] == pytest.approx(1 - 0.15 * pi * 0.75 / 4.76 * (1 / 12 + 1 / 30))
    # Two thirds of the speed at the same power: half as much pull again, as many joules of wear.
    assert change["effective_pull_percent"] == pytest.approx(50)
    assert change["joint_flexings_percent"] == pytest.approx(-100 / 3)
    assert change["joint_wear_index_percent"] == pytest.approx(0, abs=1e-9)
    # Printed factors 1.10 and 0.99; the lower one does not lift the static load.
    assert change["rated_power_percent"] == pytest.approx(100 * (2 / 3 * 1.10 - 1))


def test_an_order_names_the_parts(service):
    line = check(service)["result"]["pull_drive"]["order_line"]
    assert "engineering steel chain SBS111, 88 pitches" in line
    assert "1 wheel 12 teeth and 1 wheel 30 teeth" in line


@pytest.mark.parametrize(("chain", "told"), [("SBS111", True), ("WH124", False)])
def test_an_odd_count_matters_where_links_alternate(service, chain, told):
    answer = check(service, chain=chain, centre_distance=None, pitch_count=89)
    codes = {(warning["code"], warning.get("pointer")) for warning in answer["warnings"]}
    assert (("odd_pitch_count", "/pitch_count") in codes) == told


CASES = [
    Wrong("own chain without a load", "field_required", "allowable load", pointer="/own_chain/allowable_load",
          changes={"chain": None, "own_chain": {"pitch": quantity(4, "in")}}),
    Wrong("own chain and a size", "over_determined", "not both", pointer="/own_chain",
          changes={"own_chain": OWN}),
    Wrong("no chain at all", "field_required", "own_chain", pointer="/chain", changes={"chain": None}),
    Wrong("own chain in strands", "strands_out_of_range", "single strand", pointer="/strand_count",
          changes={"chain": None, "own_chain": OWN, "strand_count": 2}),
    Wrong("pitch of an own chain in another unit", "unit_suspect", "25.4", 200, "/own_chain/pitch/unit",
          changes={"chain": None, "own_chain": {**OWN, "pitch": quantity(25.4, "in")},
                   "centre_distance": quantity(40, "m")}),
    Wrong("crusher", "heavy_shock", "shear pin", 200, "/duty/driven_machine",
          duty={"load_class": None, "driven_machine": "crushers"}),
    Wrong("heavy shock of the changed duty", "heavy_shock", "shear pin", 200, "/changed_duty/load_class",
          changes={"changed_duty": {"power": kw(7), "driver_speed": rpm(30), "load_class": "heavy_shock"}}),
    Wrong("S2", "power_suspect", "7.5 kW", 200, "/duty/power", duty={"power": kw(7500)}),
    Wrong("S2 by torque", "power_suspect", "kW", 200, "/duty/torque",
          duty={"power": None, "torque": quantity(2.5e6, "N.m")}),
    Wrong("S20", "centres_long", "guides", 200, "/centre_distance",
          changes={"centre_distance": quantity(20, "m")}),
    Wrong("S24", "factor_suspect", "2.5", 200, "/duty/service_factor",
          duty={"load_class": None, "service_factor": 25}),
    Wrong("S37 of the changed duty", "tension_too_high", "larger chain", 200, "/changed_duty/power",
          changes={"chain": "WH124", "changed_duty": {"power": kw(300), "driver_speed": rpm(30),
                                                      "load_class": "smooth"}}),
    Wrong("prime mover", "not_used", "prime_mover", 200, "/duty/prime_mover",
          duty={"prime_mover": "engine_mechanical"}),
    Wrong("silent load", "not_used", "not silent chain", 200, "/silent_load",
          changes={"silent_load": {"driven_machine": "fan, centrifugal", "prime_mover_class": "I"}}),
    Wrong("edition", "not_used", "ratings_edition", 200, "/ratings_edition", changes={"ratings_edition": "newer"}),
    Wrong("comparison", "not_used", "roller chain", 200, "/compare_iso_10823", changes={"compare_iso_10823": True}),
    Wrong("changed duty too fast", "speed_beyond_table", "ft/min", pointer="/changed_duty/driver_speed",
          changes={"changed_duty": {"power": kw(7), "driver_speed": rpm(3000), "load_class": "smooth"}}),
    Wrong("changed duty without load", "field_required", "load_class", pointer="/changed_duty/load_class",
          changes={"changed_duty": {"power": kw(7), "driver_speed": rpm(30)}}),
    Wrong("conveyor chain", "rating_not_available", "own_chain", pointer="/chain", changes={"chain": "M112"}),
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
    Wrong("strands", "strands_out_of_range", "single strand", pointer="/strand_count", changes={"strand_count": 2}),
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
