"""Drive checks over HTTP: wiring, two operating points, and wrong input by table; numbers are owned elsewhere."""

from __future__ import annotations

from math import pi, sin
from typing import Any

import msgspec
import pytest

from service.api.drive_checks import DriveCheckRequest
from tests.api.drive_cases import MOTOR, Wrong, assert_told, kw, mm, quantity, rpm, without_none
from tests.api.pointers import points_into

PATH = "/v1/drive-checks"


def body(duty: dict[str, Any] | None = None, **changes: Any) -> dict[str, Any]:
    sound = {
        "chain": "80",
        "driver_teeth": 19,
        "driven_teeth": 57,
        "duty": without_none({"power": kw(11), "driver_speed": rpm(720), **MOTOR, **(duty or {})}),
        "centre_distance": mm(900),
    }
    return without_none({**sound, **changes})


def check(service: Any, duty: dict[str, Any] | None = None, **changes: Any) -> dict[str, Any]:
    response = service.post(PATH, body(duty, **changes))
    assert response.status_code == 200, response.json()
    return dict(response.json())


def test_a_sound_drive_carries_without_a_word(service):
    answer = check(service)
    assert answer["result"]["verdict"] == "carries"
    assert {warning["code"] for warning in answer["warnings"]} == {"figure_from_memory"}
    assert {entry["verdict"] for entry in answer["checks"]} == {"pass"}


def test_inch_and_metric_are_the_same_case(service):
    metric = check(service)["result"]["drive"]
    same = check(
        service,
        {"power": quantity(11 / 0.745699871582, "hp"), "driver_speed": quantity(12, "r/s")},
        centre_distance=quantity(900 / 25.4, "in"),
        units="inch",
    )["result"]["drive"]
    assert same["utilisation"] == pytest.approx(metric["utilisation"], rel=1e-9)
    assert same["centre_distance"]["value"] * 25.4 == pytest.approx(metric["centre_distance"]["value"], rel=1e-9)
    assert same["effective_pull"]["value"] * 4.4482216152605 == pytest.approx(
        metric["effective_pull"]["value"], rel=1e-9
    )


def test_torque_instead_of_power_is_the_same_case(service):
    power = check(service)["result"]["drive"]
    torque_n_m = 11_000 / (720 / 60 * 2 * 3.141592653589793)
    torque = check(service, {"power": None, "torque": quantity(torque_n_m, "N.m")})["result"]["drive"]
    assert torque["utilisation"] == pytest.approx(power["utilisation"], rel=1e-11)


def test_a_step_up_drive_is_its_step_down_drive_seen_from_the_other_shaft(service):
    down = check(service)["result"]["drive"]
    answer = check(service, {"driver_speed": rpm(240)}, driver_teeth=57, driven_teeth=19)
    up = answer["result"]["drive"]
    assert "step_up_drive" in {warning["code"] for warning in answer["warnings"]}
    for name in ("utilisation", "teeth_engaged", "breaking_safety"):
        assert up[name] == pytest.approx(down[name], rel=1e-11), name
    for name in ("chain_speed", "effective_pull", "shaft_load", "centre_distance", "wrap_small_wheel"):
        assert up[name]["value"] == pytest.approx(down[name]["value"], rel=1e-11), name
    assert up["driven_speed"]["value"] == pytest.approx(720)


def test_the_other_name_of_a_size_is_the_same_case(service):
    answer = check(service, chain="16A")
    assert answer["result"]["drive"] == check(service)["result"]["drive"]
    assert any(entry["field"] == "/chain" and entry["value"] == "80" for entry in answer["assumptions"])


def test_strands_in_the_designation_are_read(service):
    assert check(service, chain="80-2")["result"] == check(service, strand_count=2)["result"]


def test_two_strands_carry_less_than_twice_one_and_the_answer_says_so(service):
    answer = check(service, chain="80-2")
    assert answer["result"]["drive"]["strand_factor"] == 1.7  # S26, complete-guide-chain Table 4.1
    (entry,) = [entry for entry in answer["assumptions"] if entry["field"] == "/strand_factor"]
    assert "less than 2 times" in entry["note"]
    assert any("factor of 2 strands" in source["used_for"] for source in answer["sources"])


def test_pitch_count_and_centre_distance_belong_together(service):
    drive = check(service, centre_distance=None, pitch_count=110)["result"]["drive"]
    again = check(service, centre_distance=drive["centre_distance"])["result"]["drive"]
    assert again["pitch_count"] == 110


def test_more_speed_past_the_peak_rates_lower(service):
    """S15 of the trade: 30 % more speed is not 30 % more capacity."""
    duty = {"power": kw(5), "driver_speed": rpm(2000), **MOTOR}
    faster = {"power": kw(5), "driver_speed": rpm(2600), **MOTOR}
    result = check(service, duty, chain="60", driver_teeth=21, driven_teeth=42, changed_duty=faster)["result"]
    assert result["change"]["chain_speed_percent"] == pytest.approx(30)
    assert result["change"]["rated_power_percent"] == pytest.approx(100 * (1.3**-1.5 - 1))  # impact line
    assert result["change"]["governed_by_after"] == "roller_bushing_impact"


def test_left_of_the_peak_the_link_plates_gain_by_the_power_of_the_edition(service):
    faster = {"power": kw(11), "driver_speed": rpm(120), **MOTOR}
    for edition, power in (("older", 0.9), ("newer", 0.96)):
        result = check(service, {"driver_speed": rpm(100)}, changed_duty=faster, ratings_edition=edition)["result"]
        assert result["change"]["rated_power_percent"] == pytest.approx(100 * (1.2**power - 1)), edition


def test_editions_are_never_mixed(service):
    equations = {
        edition: {step["equation"] for step in check(service, ratings_edition=edition, working="full")["working"]}
        for edition in ("older", "newer")
    }
    assert not any("newer" in name for name in equations["older"])
    assert not any("older" in name for name in equations["newer"])
    assert {name.replace("older", "newer") for name in equations["older"] if "link_plate" in name} <= equations["newer"]


def test_links_and_teeth_meet_by_their_common_factor(service):
    """19 and 57 teeth in 114 pitches: every tooth meets the same six links; in 110 pitches every link in turn."""
    same = check(service, centre_distance=None, pitch_count=114)["result"]["running"]
    assert (same["small_wheel_common_factor"], same["small_wheel_turns_to_same_link"]) == (19, 6)
    assert (same["large_wheel_common_factor"], same["large_wheel_turns_to_same_link"]) == (57, 2)
    hunting = check(service, centre_distance=None, pitch_count=110)["result"]["running"]
    assert (hunting["small_wheel_common_factor"], hunting["small_wheel_turns_to_same_link"]) == (1, 110)


def test_frequencies_and_flexings_follow_from_first_principles(service):
    answer = check(service)["result"]
    drive, running = answer["drive"], answer["running"]
    assert running["mesh_frequency"] == {"value": 19 * 720 / 60, "unit": "Hz"}
    # Four turnings of a joint in a lap of the chain; a lap is pitch count over rollers that meet teeth in a second.
    laps = 19 * 720 * 60 / drive["pitch_count"]
    assert running["joint_flexings_per_hour"] == pytest.approx(4 * laps)
    # A string between two nodes that runs along itself: (c² - v²)/(2 L c), c² = T/m.
    v, m = drive["chain_speed"]["value"], drive["chain_mass"]["value"] / drive["pitch_count"] / 0.0254
    tension = sum(drive[name]["value"] for name in ("effective_pull", "slack_tension", "centrifugal_tension"))
    wave = (tension / m) ** 0.5
    radii = [25.4 / 2 / sin(pi / n) for n in (19, 57)]
    span = ((drive["centre_distance"]["value"]) ** 2 - (radii[1] - radii[0]) ** 2) ** 0.5 / 1000
    assert running["tight_strand_frequency"]["value"] == pytest.approx((wave**2 - v**2) / (2 * span * wave))


def test_a_strand_that_swings_at_the_pace_of_the_teeth_is_told(service):
    answer = check(service, {"driver_speed": rpm(95), "power": kw(2)}, centre_distance=mm(600))
    own, mesh = (answer["result"]["running"][name]["value"] for name in ("tight_strand_frequency", "mesh_frequency"))
    told = "strand_resonance" in {warning["code"] for warning in answer["warnings"]}
    assert told == (abs(mesh / own - 1) < 0.1)
    same_pull = mesh / own
    speed = 95 / same_pull
    answer = check(service, {"driver_speed": rpm(speed), "power": kw(2 / same_pull)}, centre_distance=mm(600))
    assert "strand_resonance" in {warning["code"] for warning in answer["warnings"]}


def test_the_advised_slack_and_the_limit_of_elongation_come_from_their_tables(service):
    answer = check(service)
    drive = answer["result"]["drive"]
    # complete-guide-chain: 4 % movement at mid-span; two triangles give the excess, the parabola its sag.
    excess = (1 + 0.04**2) ** 0.5 - 1
    assert drive["slack_strand_sag_percent"] == pytest.approx(100 * (3 * excess / 8) ** 0.5)
    assert drive["elongation_limit_percent"] == 3
    travel = 0.03 * drive["pitch_count"] * 25.4 / 2
    assert drive["centre_distance_growth"]["value"] == pytest.approx(travel)
    uses = {use for source in answer["sources"] for use in source["used_for"]}
    assert {"advised slack", "limit of elongation"} <= uses


def test_joints_of_roller_chain_by_their_pin_and_bush(service):
    """No. 80: pin 0.312 in, inner width 0.625 in and two plates of 0.125 in (asme-b29.1-2011, row 80)."""
    answer = check(service, joint_friction=0.1)
    drive, running = answer["result"]["drive"], answer["result"]["running"]
    slack = drive["slack_tension"]["value"] + drive["centrifugal_tension"]["value"]
    tight = drive["effective_pull"]["value"] + slack
    pin, bush = 0.312 * 25.4, (0.625 + 2 * 0.125) * 25.4
    assert running["joint_pressure"]["value"] == pytest.approx(tight / (pin * bush))
    slide = pi * pin * (1 / 19 + 1 / 57)
    assert running["joint_slide_per_lap"]["value"] == pytest.approx(2 * slide)
    laps = 3600 * drive["chain_speed"]["value"] / (drive["pitch_count"] * 0.0254)
    assert running["joint_wear_index"] == pytest.approx(laps * (tight + slack) / (pin * bush) * slide)
    loss = 0.1 * pi * pin / 25.4 * (1 / 19 + 1 / 57) * (tight + slack) / (tight - slack)
    assert running["joint_efficiency"] == pytest.approx(1 - loss)
    assert "joint_efficiency" not in check(service)["result"]["running"]


def test_a_large_wheel_and_long_centres_ask_for_less(service):
    drive = check(service, driver_teeth=25, driven_teeth=100, centre_distance=mm(1500))["result"]["drive"]
    assert drive["elongation_limit_percent"] == pytest.approx(2.0)  # 200/100
    assert drive["slack_strand_sag_percent"] == pytest.approx(0.866, abs=0.001)  # 2 % movement


def test_the_method_of_iso_stands_beside_the_ratings(service):
    plain, compared = check(service), check(service, compare_iso_10823=True)
    drive = dict(compared["result"]["drive"])
    iso = drive.pop("iso_10823")
    assert drive == plain["result"]["drive"]
    assert iso["application_factor"] == 1.4  # iso-10823-2004 Table 2, moderate shock on a smooth driver, recalled
    assert iso["tooth_factor"] == 1.0  # 19 teeth
    assert iso["corrected_power"]["value"] == pytest.approx(11 * 1.4)
    codes = {warning["code"] for warning in compared["warnings"]} - {warning["code"] for warning in plain["warnings"]}
    assert codes == {"iso_chart_not_read"}
    (memory,) = [warning for warning in compared["warnings"] if warning["code"] == "figure_from_memory"]
    assert "application factor" in memory["message"]
    assert "textbook rating of 16A" in memory["message"]


def test_an_engine_counts_as_the_rougher_of_its_classes_unless_its_class_is_sent(service):
    engine = {"prime_mover": "engine_mechanical"}
    answer = check(service, engine, compare_iso_10823=True)
    assert answer["result"]["drive"]["iso_10823"]["application_factor"] == 1.7
    assert any(entry["field"] == "/duty/driver_running" for entry in answer["assumptions"])
    better = check(service, {**engine, "driver_running": "slight_shocks"}, compare_iso_10823=True)
    assert better["result"]["drive"]["iso_10823"]["application_factor"] == 1.5


def test_a_factor_of_the_caller_stands_for_the_application_factor(service):
    own = {"service_factor": 1.6, "load_class": None, "prime_mover": None}
    answer = check(service, own, compare_iso_10823=True)
    assert answer["result"]["drive"]["iso_10823"]["application_factor"] == 1.6
    assert any(
        (entry["field"], entry["origin"]) == ("/application_factor", "caller_policy") for entry in answer["assumptions"]
    )


@pytest.mark.parametrize(
    ("chain", "speed", "hole"), [("120", 200, "chain_not_in_table"), ("80", 45, "speed_outside_table")]
)
def test_the_textbook_table_is_never_prolonged(service, chain, speed, hole):
    answer = check(service, {"driver_speed": rpm(speed)}, chain=chain, centre_distance=mm(1500), compare_iso_10823=True)
    iso = answer["result"]["drive"]["iso_10823"]
    assert iso["textbook_hole"] == hole
    assert "textbook_rating" not in iso


def test_an_overloaded_drive_is_an_answer(service):
    """S37: 7.5 kW at 50 r/min on 13 teeth of 12.7 mm pitch pull 54 kN."""
    answer = check(service, {"power": kw(7.5), "driver_speed": rpm(50)}, chain="40", driver_teeth=13, driven_teeth=26)
    assert answer["result"]["verdict"] == "overloaded"
    # v = 13 * 12.7 mm * 50 / 60 s = 0.13758 m/s; 7500 W / v
    assert answer["result"]["drive"]["effective_pull"]["value"] == pytest.approx(54_512, rel=1e-4)
    (warning,) = [warning for warning in answer["warnings"] if warning["code"] == "tension_too_high"]
    assert "54.5 kN" in warning["message"]
    assert "larger chain" in warning["message"]


@pytest.mark.parametrize("power", [1e-9, 1e9])
@pytest.mark.parametrize("speed", [1, 8000])
def test_absurd_loads_are_answered_in_finite_numbers(service, power, speed):
    drive = check(
        service, {"power": kw(power), "driver_speed": rpm(speed)}, chain="25", centre_distance=quantity(1, "ft")
    )["result"]["drive"]
    assert (drive["utilisation"] > 1) == (power > 1)


def test_checks_of_both_points_are_named_apart(service):
    faster = {"power": kw(14.3), "driver_speed": rpm(936), **MOTOR}
    names = [entry["name"] for entry in check(service, changed_duty=faster)["checks"]]
    assert names == [
        *("link_plate_fatigue", "roller_bushing_impact", "range_end"),
        *("changed_link_plate_fatigue", "changed_roller_bushing_impact", "changed_range_end"),
    ]


# S3 needs a nameplate pair, which only torque and power give.
CASES = [
    # Hub of 19 teeth of 1 in pitch: cot(180/19 deg) - 1 - 0.030 = 4.964 in, 126.1 mm (asme-b29.1-2011).
    Wrong("S38", "bore_too_large", "126.1 mm", pointer="/driver_bore", changes={"driver_bore": mm(127)}),
    Wrong("S38", "bore_too_large", "57 teeth", pointer="/driven_bore", changes={"driven_bore": quantity(18, "in")}),
    Wrong("S1", "must_be_positive", "The power is 0", pointer="/duty/power/value", duty={"power": kw(0)}),
    Wrong("S1", "must_be_positive", "sign", pointer="/duty/power/value", duty={"power": kw(-7.5)}),
    Wrong("S2", "power_suspect", "7.5 kW", 200, "/duty/power", duty={"power": kw(7500)}),
    Wrong(
        "S3", "unit_suspect", "hp", pointer="/duty/power",
        duty={"power": kw(11 / 0.7457), "torque": quantity(145.89, "N.m")},
    ),
    Wrong(
        "S4", "speed_beyond_table", "smaller pitch", pointer="/duty/driver_speed",
        duty={"driver_speed": rpm(1450)}, changes={"chain": "160", "driver_teeth": 9, "driven_teeth": 27},
    ),
    Wrong(
        "S4", "teeth_few", "9 teeth", pointer="/driver_teeth",
        duty={"driver_speed": rpm(1450)}, changes={"chain": "160", "driver_teeth": 9, "driven_teeth": 27},
    ),
    Wrong("S5", "must_be_positive", "driver speed", pointer="/duty/driver_speed/value", duty={"driver_speed": rpm(0)}),
    Wrong("S6", "speed_beyond_table", "60000 r/min", pointer="/duty/driver_speed", duty={"driver_speed": rpm(60_000)}),
    Wrong("S7", "unit_suspect", "1450 r/min", 200, "/duty/driver_speed", duty={"driver_speed": rpm(152)}),
    Wrong("S8", "ratio_beyond_single_stage", "two stages", pointer="/duty/ratio", changes={"driven_teeth": 760}),
    Wrong("S9", "ratio_high", "wrap", 200, "/duty/ratio", changes={"driver_teeth": 17, "driven_teeth": 136}),
    Wrong(
        "S10", "ratio_inconsistent", "19 and 19 teeth", pointer="/duty/driven_speed",
        duty={"driven_speed": rpm(240)}, changes={"driven_teeth": 19},
    ),
    Wrong(
        "S11", "driver_driven_swapped_suspect", "exchanged", pointer="/driver_teeth",
        duty={"driver_speed": rpm(1450), "driven_speed": rpm(483)}, changes={"driver_teeth": 57, "driven_teeth": 19},
    ),
    Wrong(
        "S12", "step_up_drive", "large one", 200, "/duty/ratio",
        duty={"driver_speed": rpm(240)}, changes={"driver_teeth": 57, "driven_teeth": 19},
    ),
    Wrong("S13", "teeth_below_minimum", "3 teeth", pointer="/driver_teeth", changes={"driver_teeth": 3}),
    Wrong("S14", "teeth_few", "8 teeth", pointer="/driver_teeth", changes={"driver_teeth": 8, "driven_teeth": 24}),
    Wrong("S14", "teeth_few", "8 teeth", pointer="/driven_teeth", changes={"driver_teeth": 24, "driven_teeth": 8}),
    Wrong(
        "S15", "teeth_few", "4.1 %", 200, "/driver_teeth",  # 1 - cos(180/11 deg)
        duty={"driver_speed": rpm(1000), "power": kw(5)}, changes={"driver_teeth": 11, "driven_teeth": 33},
    ),
    Wrong(
        "S16", "teeth_many", "0.80 %", 200, "/driven_teeth",  # 200/250
        changes={"driver_teeth": 25, "driven_teeth": 250, "centre_distance": mm(2000)},
    ),
    Wrong("S16", "teeth_many", "45", pointer="/driver_teeth", changes={"driver_teeth": 60, "driven_teeth": 60}),
    Wrong("S17", "over_determined", "Leave the ratio out", pointer="/duty/ratio", duty={"ratio": 2.5}),
    Wrong(
        "S18", "centres_overlap", "384.5 mm", pointer="/centre_distance",
        changes={"driven_teeth": 76, "centre_distance": mm(300)},
    ),
    Wrong(
        "S18", "teeth_would_touch", "tooth tips", pointer="/centre_distance",
        changes={"driven_teeth": 76, "centre_distance": mm(390)},
    ),
    Wrong(
        "S18", "centres_overlap", "pitch circles", pointer="/pitch_count",
        changes={"driven_teeth": 76, "centre_distance": None, "pitch_count": 80},
    ),
    Wrong(
        "S19", "wrap_small", "idler", 200, "/centre_distance",
        duty={"driver_speed": rpm(720)}, changes={"driven_teeth": 114, "centre_distance": mm(700)},
    ),
    Wrong("S20", "centres_long", "guides", 200, "/centre_distance", changes={"centre_distance": quantity(20, "m")}),
    Wrong("S21", "unit_suspect", "0.8 m would fit", pointer="/centre_distance", changes={"centre_distance": mm(0.8)}),
    Wrong("S22", "must_be_positive", "service factor", pointer="/duty/service_factor", duty={"service_factor": 0}),
    Wrong(
        "S23", "factor_below_one", "0.8", 200, "/duty/service_factor",
        duty={"service_factor": 0.8, "load_class": None, "prime_mover": None},
    ),
    Wrong(
        "S24", "factor_suspect", "2.5", 200, "/duty/service_factor",
        duty={"service_factor": 25, "load_class": None, "prime_mover": None},
    ),
    Wrong("S25", "factor_double_counted", "twice", pointer="/duty/service_factor", duty={"service_factor": 1.3}),
    Wrong("S27", "strands_out_of_range", "1 to 6", pointer="/strand_count", changes={"strand_count": 12}),
    Wrong("S27", "strands_out_of_range", "1 to 6", pointer="/chain", changes={"chain": "80-12"}),
    Wrong("S27", "over_determined", "names 2 strands", changes={"chain": "80-2", "strand_count": 3}),
    Wrong("S27", "over_determined", "names 1 strands", changes={"chain": "80-1", "strand_count": 2}),
    Wrong("S28", "enum_unknown", "heavy_shock", pointer="/duty/load_class", duty={"load_class": "heavy"}),
    Wrong(
        "S29", "matched_by_spelling", "crushers", 200, "/duty/driven_machine",
        duty={"driven_machine": "chrusher", "load_class": None},
    ),
    Wrong(
        "S29", "driven_machine_unknown", "known machines: ", pointer="/duty/driven_machine",
        duty={"driven_machine": "time machine", "load_class": None},
    ),
    Wrong(
        "S29", "over_determined", "heavy_shock", pointer="/duty/load_class",
        duty={"driven_machine": "crushers", "load_class": "smooth"},
    ),
    Wrong("S30", "hours_out_of_range", "24", pointer="/duty/hours_per_day", duty={"hours_per_day": 30}),
    Wrong(
        "S31", "temperature_outside", "700 degC", 200, "/duty/ambient_temperature",
        duty={"ambient_temperature": quantity(700, "degC")},
    ),
    Wrong("S32", "unit_missing", "unit", duty={"ambient_temperature": {"value": 200}}),
    Wrong("S33", "family_not_for_drive", "leaf chain", pointer="/chain", changes={"chain": "LH1044"}),
    Wrong("S33", "family_not_for_drive", "round link", pointer="/chain", changes={"chain": "EN 818-7 10x30"}),
    Wrong("S34", "rating_not_available", "2080", pointer="/chain", changes={"chain": "2080"}),
    Wrong(
        "S34", "rating_not_available", "newer", pointer="/chain",
        changes={"chain": "120", "ratings_edition": "newer"},
    ),
    Wrong(
        "S35", "rating_basis_differs", "no standard rates stainless", 200, "/duty/material",
        duty={"material": "stainless_steel"},
    ),
    Wrong(
        "S36", "over_determined", "7.54 kW", pointer="/duty/torque",
        duty={"torque": quantity(100, "N.m")},  # 100 * 2 pi * 720/60 = 7540 W
    ),
    Wrong("S39", "shafts_not_parallel", "parallel", pointer="/duty/shafts", duty={"shafts": "not_parallel"}),
    Wrong("vertical shafts", "vertical_shafts", "guides", 200, "/duty/shafts", duty={"shafts": "vertical"}),
    Wrong("S37", "tension_too_high", "larger chain", 200, "/duty/power", duty={"power": kw(900)}),
    Wrong("crusher", "heavy_shock", "25 or more hardened teeth", 200, "/driver_teeth",
          duty={"load_class": "heavy_shock"}),
    Wrong("odd count", "odd_pitch_count", "offset link", 200, "/pitch_count",
          changes={"centre_distance": None, "pitch_count": 111}),
    Wrong("both ways", "over_determined", "centre_distance or pitch_count", changes={"pitch_count": 110}),
    Wrong("no way", "field_required", "centre_distance", pointer="/centre_distance", changes={"centre_distance": None}),
    Wrong("no power", "field_required", "torque", pointer="/duty/power", duty={"power": None}),
    Wrong(
        "no load", "field_required", "service_factor", pointer="/duty/load_class",
        duty={"load_class": None, "prime_mover": None},
    ),
    Wrong("slower than any rating", "pull_method_used", "0.5 r/min", 200, duty={"driver_speed": rpm(0.5)}),
    Wrong(
        "fault of the changed point", "hours_out_of_range", "24", pointer="/changed_duty/hours_per_day",
        changes={"changed_duty": {"power": kw(1), "driver_speed": rpm(720), "hours_per_day": 30, **MOTOR}},
    ),
    Wrong("unknown chain", "designation_unknown", "16C", pointer="/chain", changes={"chain": "16C"}),
]  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=str)
def test_wrong_input(service, case):
    assert_told(case, service.post(PATH, body(case.duty, **case.changes)))


@pytest.mark.parametrize("case", CASES, ids=str)
def test_every_pointer_leads_into_the_request(service, case):
    answer = service.post(PATH, body(case.duty, **case.changes)).json()
    for entry in answer.get("errors", answer.get("warnings")):
        if entry.get("pointer"):
            assert points_into(msgspec.inspect.type_info(DriveCheckRequest), entry["pointer"]), entry


def test_all_faults_are_told_at_once(service):
    wrong = body(
        {"power": None, "load_class": None, "prime_mover": None, "hours_per_day": 30},
        strand_count=9,
        driver_teeth=8,
        centre_distance=mm(50),
    )
    status, codes = service.codes(PATH, wrong)
    assert status == 422
    assert codes >= {"field_required", "hours_out_of_range", "strands_out_of_range", "teeth_few", "centres_overlap"}
