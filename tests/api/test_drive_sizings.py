"""Drive sizings over HTTP: wiring, constraints, and wrong input by table; numbers are owned elsewhere."""

from __future__ import annotations

from math import pi, tan
from typing import Any

import msgspec
import pytest

from service.api.drive_sizings import DriveSizingRequest
from tests.api.drive_cases import MOTOR, Wrong, assert_told, kw, mm, quantity, rpm, without_none
from tests.api.pointers import points_into

PATH = "/v1/drive-sizings"


def body(duty: dict[str, Any] | None = None, **changes: Any) -> dict[str, Any]:
    sound = {
        "duty": without_none(
            {"power": kw(7.5), "driver_speed": rpm(1450), "ratio": 2.5, **MOTOR, **(duty or {})},
        ),
        "centre_distance": mm(700),
    }
    return without_none({**sound, **changes})


def size(service: Any, duty: dict[str, Any] | None = None, **changes: Any) -> dict[str, Any]:
    response = service.post(PATH, body(duty, **changes))
    assert response.status_code == 200, response.json()
    return dict(response.json()["result"])


def drives(result: dict[str, Any]) -> list[dict[str, Any]]:
    return [ranked["drive"] for ranked in result["drives"]]


def test_ranking_is_a_sort_of_the_terms_that_are_shown(service):
    ranked = size(service, limit=50)["drives"]
    assert len(ranked) > 3
    for entry in ranked:
        assert entry["score"] == pytest.approx(sum(term["value"] for term in entry["score_terms"]), abs=1e-9)
    scores = [entry["score"] for entry in ranked]
    assert scores == sorted(scores)
    assert [entry["rank"] for entry in ranked] == list(range(1, len(ranked) + 1))


def test_the_weights_of_the_ranking_are_named_as_ours(service):
    sources = service.post(PATH, body()).json()["sources"]
    (policy,) = [source for source in sources if source["id"] == "project-policy"]
    assert policy["confidence"] == "practice"


def test_each_drive_of_a_sizing_passes_its_own_check(service):
    for drive in drives(size(service, limit=50)):
        checked = service.post(
            "/v1/drive-checks",
            {
                "chain": drive["chain"],
                "driver_teeth": drive["driver_teeth"],
                "driven_teeth": drive["driven_teeth"],
                "pitch_count": drive["pitch_count"],
                "duty": {"power": kw(7.5), "driver_speed": rpm(1450), **MOTOR},
            },
        ).json()["result"]
        assert checked["verdict"] == "carries"
        for name, value in checked["drive"].items():
            assert drive[name] == value, (drive["chain"], name)


def test_inch_and_metric_are_the_same_case(service):
    metric = size(service)
    inch = size(
        service,
        {"power": quantity(7.5 / 0.745699871582, "hp"), "driver_speed": quantity(1450 / 60, "r/s")},
        centre_distance=quantity(700 / 25.4, "in"),
        units="inch",
    )
    for one, other in zip(drives(metric), drives(inch), strict=True):
        assert one["chain"] == other["chain"]
        assert one["utilisation"] == pytest.approx(other["utilisation"], rel=1e-9)
        assert one["chain_mass"]["value"] == pytest.approx(other["chain_mass"]["value"] * 0.45359237, rel=1e-9)


def test_a_step_up_drive_takes_the_same_wheels_as_its_step_down_drive(service):
    exact = {"ratio_tolerance_percent": 0}
    down = size(service, constraints=exact)
    up = size(service, {"driver_speed": rpm(580), "ratio": 0.4}, constraints=exact)
    assert [(drive["chain"], drive["driver_teeth"], drive["driven_teeth"]) for drive in drives(up)] == [
        (drive["chain"], drive["driven_teeth"], drive["driver_teeth"]) for drive in drives(down)
    ]
    for one, other in zip(drives(down), drives(up), strict=True):
        assert one["utilisation"] == pytest.approx(other["utilisation"], rel=1e-9)


def test_driven_speed_and_ratio_are_the_same_case(service):
    assert drives(size(service, {"ratio": None, "driven_speed": rpm(580)})) == drives(size(service))


def test_constraints_hold(service):
    for drive in drives(
        size(
            service,
            constraints={
                "chains": ["50", "60", "80"],
                "minimum_small_teeth": 19,
                "maximum_small_teeth": 27,
                "maximum_strand_count": 2,
                "maximum_large_diameter": mm(330),
                "ratio_tolerance_percent": 1,
            },
        )
    ):
        assert drive["chain"].split("-")[0] in {"50", "60", "80"}
        assert drive["strand_count"] <= 2
        assert 19 <= drive["driver_teeth"] <= 27
        assert drive["large_wheel_outside_diameter"]["value"] <= 330
        assert abs(drive["ratio_error_percent"]) <= 1


def test_a_named_number_of_strands_is_kept(service):
    assert {drive["chain"] for drive in drives(size(service, constraints={"chains": ["50-3", "60-2"]}))} == {
        "50-3",
        "60-2",
    }


def test_the_range_of_centres_holds(service):
    result = size(
        service, centre_distance=None, minimum_centre_distance=mm(400), maximum_centre_distance=mm(425), limit=50
    )
    assert drives(result)
    for drive in drives(result):
        assert 400 <= drive["centre_distance"]["value"] <= 425
        assert drive["pitch_count"] % 2 == 0


def test_a_range_that_begins_inside_the_wheels_still_serves_at_its_far_end(service):
    result = size(
        service, centre_distance=None, minimum_centre_distance=mm(1), maximum_centre_distance=mm(500), limit=50
    )
    for drive in drives(result):
        tips = (drive["small_wheel_outside_diameter"]["value"] + drive["large_wheel_outside_diameter"]["value"]) / 2
        assert tips < drive["centre_distance"]["value"] <= 500


def test_an_offset_link_is_taken_only_where_it_is_allowed(service):
    even = size(service, limit=50)
    assert not any(drive["offset_link"] for drive in drives(even))
    assert any(drive["offset_link"] for drive in drives(size(service, limit=50, offset_link_allowed=True)))


def test_lubrication_at_hand_bounds_the_chain_speed(service):
    result = size(
        service, {"driver_speed": rpm(100), "power": kw(1)}, constraints={"lubrication_at_hand": "manual_or_drip"}
    )
    assert drives(result)
    assert {drive["lubrication"] for drive in drives(result)} == {"manual_or_drip"}


def test_a_longer_list_begins_with_the_shorter_one(service):
    assert drives(size(service, limit=50))[:2] == drives(size(service, limit=2))


def test_the_method_of_iso_stands_beside_every_drive_of_the_list(service):
    plain, compared = drives(size(service, limit=50)), drives(size(service, limit=50, compare_iso_10823=True))
    isos = [drive.pop("iso_10823") for drive in compared]
    assert compared == plain
    for drive, iso in zip(compared, isos, strict=True):
        assert iso["tooth_factor"] == pytest.approx((19 / drive["driver_teeth"]) ** 1.08)
        assert iso["corrected_power"]["value"] == pytest.approx(7.5 * 1.4 * iso["tooth_factor"])


def test_editions_are_never_mixed(service):
    answer = service.post(PATH, body(ratings_edition="newer", working="full")).json()
    assert answer["result"]["ratings_edition"] == "newer"
    assert not any("older" in step["equation"] for step in answer["working"])
    assert not any("older" in use for source in answer["sources"] for use in source["used_for"])


def test_working_shows_the_rating_of_the_first_drive(service):
    working = service.post(PATH, body(limit=1, working="full")).json()["working"]
    assert {"roller_rating.link_plate_power_older", "roller_rating.impact_power", "chain_length.pitches_exact"} <= {
        step["equation"] for step in working
    }


def test_every_wheel_takes_its_shaft(service):
    """S38: hubs of cot(180/N) - 1 pitches less 0.030 in (asme-b29.1-2011)."""
    bores = {"driver_bore": mm(70), "driven_bore": mm(120)}
    free, held = (drives(size(service, limit=50, constraints=sent)) for sent in ({}, bores))

    def takes(drive: dict[str, Any]) -> bool:
        pitch = int(drive["chain"].split("-")[0]) // 10 / 8  # the number counts the pitch in eighths of an inch
        return all(
            bore < 25.4 * (pitch * (1 / tan(pi / drive[teeth]) - 1) - 0.030)
            for teeth, bore in (("driver_teeth", 70), ("driven_teeth", 120))
        )

    assert held
    assert all(takes(drive) for drive in held)
    assert not all(takes(drive) for drive in free)


def test_misses_are_told_in_the_units_of_the_caller(service):
    constraints = {"chains": ["40"], "maximum_strand_count": 1}
    for units, unit in (("metric", "kW"), ("inch", "hp")):
        (miss,) = size(service, {"power": kw(75)}, constraints=constraints, units=units)["nearest_misses"]
        assert miss["explanation"].count(unit) == 2
    tight = size(service, {"ratio": 1}, centre_distance=quantity(2.2, "in"), units="inch")["nearest_misses"]
    assert any(" in between centres" in miss["explanation"] for miss in tight)


CASES = [
    Wrong(
        "S38", "no_feasible_option", "bore too large", 200,
        changes={"constraints": {"chains": ["40"], "driver_bore": mm(300)}},
    ),
    Wrong("S1", "must_be_positive", "power", pointer="/duty/power/value", duty={"power": kw(0)}),
    Wrong("S2", "power_suspect", "7.5 kW", 200, "/duty/power", duty={"power": kw(7500)}),
    Wrong("S5", "must_be_positive", "driver speed", pointer="/duty/driver_speed/value", duty={"driver_speed": rpm(0)}),
    Wrong("S6", "speed_beyond_table", "rad/s or Hz", pointer="/duty/driver_speed", duty={"driver_speed": rpm(60_000)}),
    Wrong("S7", "unit_suspect", "1450 r/min", 200, "/duty/driver_speed", duty={"driver_speed": rpm(152)}),
    Wrong("S8", "ratio_beyond_single_stage", "6.32 each", pointer="/duty/ratio", duty={"ratio": 40}),
    Wrong("S9", "ratio_high", "usual 7", 200, "/duty/ratio", duty={"ratio": 8, "driver_speed": rpm(100)}),
    Wrong(
        "S10", "over_determined", "ratio of 2", pointer="/duty/ratio",
        duty={"ratio": 1, "driven_speed": rpm(725)},
    ),
    Wrong("S12", "step_up_drive", "large one", 200, "/duty/ratio", duty={"ratio": 0.5, "driver_speed": rpm(500)}),
    Wrong(
        "S13", "teeth_out_of_ratings", "11 to 45", pointer="/constraints/maximum_small_teeth",
        changes={"constraints": {"maximum_small_teeth": 3}},
    ),
    Wrong(
        "S15", "teeth_few", "%", 200, "/constraints/minimum_small_teeth",
        changes={"constraints": {"minimum_small_teeth": 11, "maximum_small_teeth": 13}},
    ),
    Wrong(
        "S16", "teeth_out_of_ratings", "11 to 45", pointer="/constraints/minimum_small_teeth",
        changes={"constraints": {"minimum_small_teeth": 60}},
    ),
    Wrong(
        "S18", "no_feasible_option", "centres too short", 200,
        duty={"ratio": 1}, changes={"centre_distance": mm(55)},
    ),
    Wrong("S21", "unit_suspect", "0.7 m would fit", pointer="/centre_distance", changes={"centre_distance": mm(0.7)}),
    Wrong("S21", "unit_suspect", "28 in would fit", pointer="/centre_distance", changes={"centre_distance": mm(28)}),
    Wrong("S20", "centres_long", "guides", 200, "/centre_distance", changes={"centre_distance": quantity(20, "m")}),
    Wrong("S22", "must_be_positive", "service factor", pointer="/duty/service_factor", duty={"service_factor": 0}),
    Wrong("S25", "factor_double_counted", "twice", pointer="/duty/service_factor", duty={"service_factor": 1.3}),
    Wrong(
        "S27", "number_out_of_range", "strand count", pointer="/constraints/maximum_strand_count",
        changes={"constraints": {"maximum_strand_count": 12}},
    ),
    Wrong("S28", "enum_unknown", "heavy_shock", pointer="/duty/load_class", duty={"load_class": "heavy"}),
    Wrong("crusher", "heavy_shock", "shear pin", 200, duty={"load_class": "heavy_shock"}),
    Wrong(
        "S29", "matched_by_spelling", "crushers", 200, "/duty/driven_machine",
        duty={"driven_machine": "chrusher", "load_class": None},
    ),
    Wrong("S30", "hours_out_of_range", "24", pointer="/duty/hours_per_day", duty={"hours_per_day": 30}),
    Wrong(
        "S31", "temperature_outside", "700 degC", 200, "/duty/ambient_temperature",
        duty={"ambient_temperature": quantity(700, "degC")},
    ),
    Wrong("S32", "unit_missing", "unit", duty={"ambient_temperature": {"value": 200}}),
    Wrong(
        "S33", "family_not_for_drive", "leaf chain", pointer="/constraints/chains/0",
        changes={"constraints": {"chains": ["LH1044"]}},
    ),
    Wrong(
        "S34", "rating_not_available", "2080", pointer="/constraints/chains/0",
        changes={"constraints": {"chains": ["2080"]}},
    ),
    Wrong(
        "S34", "rating_not_available", "2080", 200, "/constraints/chains/1",
        changes={"constraints": {"chains": ["60", "2080"]}},
    ),
    Wrong(
        "S35", "rating_basis_differs", "no standard rates stainless", 200, "/duty/material",
        duty={"material": "stainless_steel"},
    ),
    Wrong(
        "S36", "over_determined", "7.592 kW", pointer="/duty/torque",
        duty={"torque": quantity(50, "N.m"), "power": kw(11)},  # 50 * 2 pi * 1450/60 = 7592 W
    ),
    Wrong("S39", "shafts_not_parallel", "parallel", pointer="/duty/shafts", duty={"shafts": "not_parallel"}),
    Wrong(
        "S40", "no_feasible_option", "power beyond table", 200,
        duty={"power": kw(75)}, changes={"constraints": {"chains": ["40", "50"], "maximum_strand_count": 1}},
    ),
    Wrong(
        "slower than any rating", "speed_below_table", "drive-checks", pointer="/duty/driver_speed",
        duty={"driver_speed": rpm(0.9)},
    ),
    Wrong("no speed of the machine", "field_required", "driven_speed", pointer="/duty/ratio", duty={"ratio": None}),
    Wrong("no power", "field_required", "torque", pointer="/duty/power", duty={"power": None}),
    Wrong(
        "range reversed", "range_reversed", "900", pointer="/minimum_centre_distance",
        changes={"centre_distance": None, "minimum_centre_distance": mm(900), "maximum_centre_distance": mm(800)},
    ),
    Wrong(
        "half a range", "field_required", "both ends", pointer="/maximum_centre_distance",
        changes={"centre_distance": None, "minimum_centre_distance": mm(900)},
    ),
    Wrong("range and value", "over_determined", "not both", changes={"minimum_centre_distance": mm(900)}),
    Wrong(
        "unknown chains", "designation_unknown", "16D", pointer="/constraints/chains/1",
        changes={"constraints": {"chains": ["80", "16D", "16E"]}},
    ),
]  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=str)
def test_wrong_input(service, case):
    assert_told(case, service.post(PATH, body(case.duty, **case.changes)))


@pytest.mark.parametrize("case", CASES, ids=str)
def test_every_pointer_leads_into_the_request(service, case):
    answer = service.post(PATH, body(case.duty, **case.changes)).json()
    for entry in answer.get("errors", answer.get("warnings")):
        if entry.get("pointer"):
            assert points_into(msgspec.inspect.type_info(DriveSizingRequest), entry["pointer"]), entry


def test_nothing_feasible_is_an_answer_with_the_nearest_misses(service):
    """S40."""
    result = size(service, {"power": kw(75)}, constraints={"chains": ["40", "50"], "maximum_strand_count": 1})
    assert result["drives"] == []
    assert result["feasible_count"] == 0
    assert result["rejected"] == [{"reason": "power_beyond_table", "count": 2}]
    assert [miss["chain"] for miss in result["nearest_misses"]] == ["50-1", "40-1"]


def test_all_faults_are_told_at_once(service):
    wrong = body({"power": None, "ratio": None, "hours_per_day": 30}, minimum_centre_distance=mm(5))
    status, codes = service.codes(PATH, wrong)
    assert status == 422
    assert codes == {"field_required", "hours_out_of_range", "over_determined"}
