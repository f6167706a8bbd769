"""Sizing of engineering-class drives by chain pull over HTTP; one drive by hand, the others against their checks."""

from __future__ import annotations

from math import pi, sin
from typing import Any

import msgspec
import pytest

from service.api.drive_sizings import DriveSizingRequest
from service.reference.catalogue import load_reference
from tests.api.drive_cases import Wrong, assert_told, kw, mm, quantity, rpm, without_none
from tests.api.pointers import points_into

SIZE = "/v1/drive-sizings"
CHECK = "/v1/drive-checks"
REFERENCE = load_reference()
N_PER_LBF = 4.4482216152605
DRIVE_FAMILIES = {
    "engineering_steel", "welded_steel_mill", "combination", "cast_pintle", "steel_pintle", "cast_mill", "rivetless",
    "detachable", "agricultural",
}  # fmt: skip
SIZES = [size for size in REFERENCE.chains.sizes if size.row.family in DRIVE_FAMILIES]
JUDGED = [size.designation for size in SIZES if size.find("allowable_load") is not None]
FAN = {"driven_machine": "fan, centrifugal", "prime_mover_class": "II"}


def sizing(duty: dict[str, Any] | None = None, **changes: Any) -> dict[str, Any]:
    """SBS111 (4.76 in pitch) on 12 teeth: 31.51 r/min run it at 150 ft/min."""
    sound = {
        "chain_kind": "engineering",
        "duty": without_none(
            {
                "power": kw(7),
                "driver_speed": rpm(150 / 4.76),
                "ratio": 2.5,
                "load_class": "moderate_shock",
                **(duty or {}),
            }
        ),
    }
    return without_none({**sound, **changes})


def ask(service: Any, path: str, body: dict[str, Any]) -> dict[str, Any]:
    response = service.post(path, body)
    assert response.status_code == 200, response.json()
    return dict(response.json())


def listed(answer: dict[str, Any]) -> list[dict[str, Any]]:
    return list(answer["result"]["engineering"]["drives"])


ONLY_TWELVE = {"minimum_small_teeth": 12, "maximum_small_teeth": 12}


def test_one_drive_by_hand(service):
    """Allowable load of SBS111 8,850 lbf; factor of 12 teeth at 150 ft/min 1.10; moderate shock 1.2."""
    body = sizing(constraints={"chains": ["SBS111"], **ONLY_TWELVE})
    (ranked,) = listed(ask(service, SIZE, body))
    drive = ranked["drive"]
    pull = 7000 / (150 * 0.3048 / 60)
    assert (drive["chain"], drive["driver_teeth"], drive["driven_teeth"]) == ("SBS111", 12, 30)
    assert drive["chain_speed"]["value"] == pytest.approx(0.762)
    assert drive["chain_pull"]["value"] == pytest.approx(pull)
    assert drive["speed_factor"] == pytest.approx(1.10)
    assert drive["allowable_load"]["value"] == pytest.approx(8850 * N_PER_LBF)
    assert drive["needed_working_load"]["value"] == pytest.approx(pull * 1.10 * 1.2)
    assert ranked["working_load_utilisation"] == pytest.approx(pull * 1.10 * 1.2 / (8850 * N_PER_LBF))
    assert ranked["static_load_utilisation"] == pytest.approx(pull * 1.2 / (8850 * N_PER_LBF))
    assert drive["small_pitch_diameter"]["value"] == pytest.approx(4.76 * 25.4 / sin(pi / 12))
    assert drive["large_pitch_diameter"]["value"] == pytest.approx(4.76 * 25.4 / sin(pi / 30))


@pytest.mark.parametrize(("share", "fits"), [(0.999, 1), (1.001, 0)])
def test_the_allowable_load_is_the_border(service, share, fits):
    """By hand: 8,850 lbf at 0.762 m/s over 1.10 and 1.2."""
    most_kw = 8850 * N_PER_LBF * 0.762 / (1.10 * 1.2) / 1000
    body = sizing({"power": kw(share * most_kw)}, constraints={"chains": ["SBS111"], **ONLY_TWELVE})
    result = ask(service, SIZE, body)["result"]["engineering"]
    assert result["feasible_count"] == len(result["drives"]) == fits
    assert [miss["reason"] for miss in result["nearest_misses"]] == ["load_beyond_allowable"] * (1 - fits)


def test_a_factor_below_one_does_not_hide_the_static_load(service):
    """24 teeth at 10 ft/min: printed factor 0.714, so that the pull with its service factor alone counts."""
    speed = {"driver_speed": rpm(10 / 4.76 / 2)}
    most_kw = 8850 * N_PER_LBF * 10 * 0.3048 / 60 / 1.2 / 1000
    only = {"chains": ["SBS111"], "minimum_small_teeth": 24, "maximum_small_teeth": 24}
    for share, fits in ((0.999, 1), (1.001, 0)):
        body = sizing({"power": kw(share * most_kw), **speed}, constraints=only)
        assert ask(service, SIZE, body)["result"]["engineering"]["feasible_count"] == fits


SEVERAL = {
    "crusher": sizing(
        {"power": kw(15), "driver_speed": rpm(60), "load_class": "heavy_shock"}, centre_distance=mm(2500), limit=50
    ),
    "slow feeder, long days": sizing({"power": kw(2), "driver_speed": rpm(6), "ratio": 2, "hours_per_day": 16}),
    "slower than the factors": sizing({"power": kw(0.2), "driver_speed": rpm(0.4), "ratio": 1.5}, limit=50),
    "step up": sizing({"power": kw(5), "driver_speed": rpm(20), "ratio": 0.5}, limit=50),
    "range of centres": sizing(minimum_centre_distance=mm(1500), maximum_centre_distance=mm(1900), limit=50),
    "offset link, torque, own factor": sizing(
        {"power": None, "torque": quantity(900, "N.m"), "load_class": None, "service_factor": 1.7},
        offset_link_allowed=True,
        limit=50,
    ),
}


@pytest.mark.parametrize("name", SEVERAL)
def test_each_drive_is_the_one_that_its_check_finds(service, name):
    body = SEVERAL[name]
    found = listed(ask(service, SIZE, body))
    assert len(found) >= 3
    for ranked in found:
        drive = ranked["drive"]
        duty = {field: value for field, value in body["duty"].items() if field != "ratio"}
        checking = {key: drive[key] for key in ("chain", "driver_teeth", "driven_teeth", "pitch_count")}
        answer = ask(service, CHECK, {**checking, "duty": duty})
        assert answer["result"]["verdict"] == "carries"
        assert answer["result"]["pull_drive"] == drive
        checks = {entry["name"]: entry["utilisation"] for entry in answer["checks"]}
        assert checks["static_load"] == pytest.approx(ranked["static_load_utilisation"])
        assert checks["working_load"] == pytest.approx(ranked["working_load_utilisation"])


def test_no_size_was_overlooked(service):
    """Every size with an allowable load, checked on 12 and 30 teeth one by one."""
    body = sizing({"power": kw(9)}, constraints={**ONLY_TWELVE, "ratio_tolerance_percent": 0}, limit=50)
    result = ask(service, SIZE, body)["result"]["engineering"]
    duty = {field: value for field, value in body["duty"].items() if field != "ratio"}
    carries = {
        name
        for name in JUDGED
        if ask(
            service, CHECK, {"chain": name, "driver_teeth": 12, "driven_teeth": 30, "pitch_count": 102, "duty": duty}
        )["result"]["verdict"]
        == "carries"
    }
    assert 0 < len(carries) < len(JUDGED)
    assert {ranked["drive"]["chain"] for ranked in result["drives"]} == carries
    assert result["feasible_count"] == len(carries)
    assert result["judged_count"] == len(JUDGED)
    assert [entry["count"] for entry in result["rejected"]] == [len(JUDGED) - len(carries)]
    assert result["without_allowable_load_count"] == len(SIZES) - len(JUDGED)
    assert "own_chain" in result["hint"]


def test_ranking_is_a_sort_of_its_terms_and_has_each_size_once(service):
    ranked = listed(ask(service, SIZE, SEVERAL["crusher"]))
    scores = [entry["score"] for entry in ranked]
    assert scores == sorted(scores)
    assert len({entry["drive"]["chain"] for entry in ranked}) == len(ranked)
    for entry in ranked:
        assert entry["score"] == pytest.approx(sum(term["value"] for term in entry["score_terms"]), abs=1e-9)
        terms = {term["term"]: term["value"] for term in entry["score_terms"]}
        small = min(entry["drive"]["driver_teeth"], entry["drive"]["driven_teeth"])
        # Table drive_ranking: 0.15 for a per cent of chordal variation, 0.05 for an even small wheel.
        assert terms["chordal_variation"] == pytest.approx(0.15 * entry["drive"]["chordal_speed_variation_percent"])
        assert terms["even_teeth"] == (0 if small % 2 else 0.05)
        assert terms["small_reserve"] == pytest.approx(2 * max(0, entry["drive"]["utilisation"] - 0.9))


def test_constraints_hold(service):
    limits = {"minimum_small_teeth": 13, "maximum_large_diameter": mm(1200), "maximum_large_teeth": 45}
    found = listed(ask(service, SIZE, sizing(constraints=limits, limit=50)))
    assert found
    for ranked in found:
        assert 13 <= ranked["drive"]["driver_teeth"] <= 24
        assert ranked["drive"]["driven_teeth"] <= 45
        assert ranked["drive"]["large_pitch_diameter"]["value"] <= 1200
    for ranked in listed(ask(service, SIZE, SEVERAL["range of centres"])):
        assert 1500 <= ranked["drive"]["centre_distance"]["value"] <= 1900


def test_a_wide_tolerance_does_not_lift_the_bound_of_the_large_wheel(service):
    limits = {"minimum_small_teeth": 14, "maximum_large_teeth": 12, "ratio_tolerance_percent": 60}
    result = ask(service, SIZE, sizing({"power": kw(2), "ratio": 1.5}, constraints=limits))["result"]["engineering"]
    assert result["drives"] == []
    assert result["rejected"] == [{"reason": "ratio_not_met", "count": len(JUDGED)}]


def test_all_kinds_stand_side_by_side(service):
    load = {"power": kw(30), "driver_speed": rpm(60)}
    everything = ask(service, SIZE, sizing(load, chain_kind="all", silent_load=FAN))["result"]
    both = ask(service, SIZE, sizing(load, chain_kind="both", silent_load=FAN))["result"]
    alone = ask(service, SIZE, sizing(load))["result"]
    assert "engineering" not in both
    assert everything["engineering"] == alone["engineering"]
    assert {key: value for key, value in everything.items() if key != "engineering"} == both
    assert everything["drives"]
    assert everything["engineering"]["drives"]
    assert alone["drives"] == []


def test_below_the_ratings_the_pull_method_takes_over_and_says_so(service):
    slow = {"power": kw(0.2), "driver_speed": rpm(0.4)}
    answer = ask(service, SIZE, sizing(slow, chain_kind="all", silent_load=FAN))
    assert answer["result"]["drives"] == []
    assert answer["result"]["engineering"]["drives"]
    told = {
        entry.get("pointer"): entry["message"] for entry in answer["warnings"] if entry["code"] == "pull_method_used"
    }
    assert "slower than the power ratings reach" in told["/duty/driver_speed"]
    assert "/chain_kind" in told
    assert "speed_factor_bounded" in {entry["code"] for entry in answer["warnings"]}
    refused = service.post(SIZE, sizing(slow, chain_kind="roller")).json()
    assert "chain_kind engineering" in refused["errors"][0]["hint"]


def test_too_fast_is_refused_in_the_words_of_the_check(service):
    duty = {"power": kw(5), "driver_speed": rpm(2000), "load_class": "smooth"}
    only = {"chains": ["SBS188"], "minimum_small_teeth": 10, "maximum_small_teeth": 10}
    sized = service.post(SIZE, sizing(duty, constraints=only))
    checked = service.post(
        CHECK, {"chain": "SBS188", "driver_teeth": 10, "driven_teeth": 25, "pitch_count": 100, "duty": duty}
    )
    assert sized.status_code == checked.status_code == 422
    assert sized.json()["errors"] == checked.json()["errors"]
    assert sized.json()["errors"][0]["code"] == "speed_beyond_table"


def test_recalled_figures_and_guarding_are_told(service):
    for body in (sizing(), sizing({"power": kw(200)})):
        answer = ask(service, SIZE, body)
        (memory,) = [entry for entry in answer["warnings"] if entry["code"] == "figure_from_memory"]
        assert "allowable load of" in memory["message"]
        assert "service factor of moderate shock" in memory["message"]
        assert {"guard_the_drive", "isolate_and_lock_off", "local_codes"} <= {
            entry["code"] for entry in answer["cautions"]
        }


def test_nothing_fits_is_an_answer_with_the_nearest_misses(service):
    result = ask(service, SIZE, sizing({"power": kw(200)}, units="inch"))["result"]["engineering"]
    assert result["drives"] == []
    assert result["rejected"] == [{"reason": "load_beyond_allowable", "count": len(JUDGED)}]
    nearest = result["nearest_misses"][0]
    assert nearest["small_teeth"] == 24
    assert "allowable load is" in nearest["explanation"]
    assert "lbf" in nearest["explanation"]


CASES = [
    (sizing({"service_factor": 0.8, "load_class": None}),
     Wrong("factor", "factor_below_minimum", "below 1", pointer="/duty/service_factor")),
    (sizing({"service_factor": 1.2}),
     Wrong("twice", "factor_double_counted", "not both", pointer="/duty/service_factor")),
    (sizing({"load_class": None}), Wrong("no load", "field_required", "load_class", pointer="/duty/load_class")),
    (sizing({"power": None}), Wrong("no power", "field_required", "power", pointer="/duty/power")),
    (sizing({"ratio": 40}), Wrong("ratio", "ratio_beyond_single_stage", "two stages", pointer="/duty/ratio")),
    (sizing({"shafts": "not_parallel"}), Wrong("shafts", "shafts_not_parallel", "parallel", pointer="/duty/shafts")),
    (sizing(constraints={"chains": ["80"]}),
     Wrong("roller", "chain_kind_differs", "not engineering-class", pointer="/constraints/chains/0")),
    (sizing(constraints={"chains": ["SC608"]}),
     Wrong("silent", "chain_kind_differs", "is silent", pointer="/constraints/chains/0")),
    (sizing(chain_kind="all", silent_load=FAN, constraints={"chains": ["80", "SC608"]}),
     Wrong("missing", "chain_kind_differs", "is engineering-class", pointer="/constraints/chains")),
    (sizing(constraints={"chains": ["SBS844"]}),
     Wrong("no load in tables", "figure_not_in_reference", "own_chain", pointer="/constraints/chains")),
    (sizing(constraints={"maximum_small_teeth": 5}),
     Wrong("few", "teeth_out_of_ratings", "6 teeth", pointer="/constraints/maximum_small_teeth")),
    (sizing(constraints={"minimum_small_teeth": 20, "maximum_small_teeth": 12}),
     Wrong("bounds", "teeth_out_of_ratings", "20 to 12", pointer="/constraints/minimum_small_teeth")),
    (sizing(centre_distance=mm(1000), minimum_centre_distance=mm(900), maximum_centre_distance=mm(1100)),
     Wrong("centres", "over_determined", "not both", pointer="/centre_distance")),
    (sizing(centre_distance=mm(90)), Wrong("short", "no_feasible_option", "centres too short", 200)),
    (sizing(constraints={"maximum_large_teeth": 8}), Wrong("large", "no_feasible_option", "ratio not met", 200)),
    (sizing({"power": kw(3000)}), Wrong("watts", "power_suspect", "3 kW", 200, "/duty/power")),
    (sizing({"prime_mover": "engine_mechanical"}),
     Wrong("mover", "not_used", "pull method", 200, "/duty/prime_mover")),
    (sizing(silent_load=FAN), Wrong("silent", "not_used", "engineering-class", 200, "/silent_load")),
    (sizing(ratings_edition="newer"), Wrong("edition", "not_used", "roller", 200, "/ratings_edition")),
    (sizing(constraints={"driver_bore": mm(60)}), Wrong("bore", "not_used", "hubs", 200, "/constraints/driver_bore")),
    (sizing(constraints={"lubrication_at_hand": "manual_or_drip"}),
     Wrong("oil", "not_used", "oiling", 200, "/constraints/lubrication_at_hand")),
    (sizing(constraints={"maximum_large_diameter": mm(1500)}),
     Wrong("pitch circle", "form_not_published", "pitch circles", 200, "/constraints/maximum_large_diameter")),
]  # fmt: skip


@pytest.mark.parametrize(("body", "case"), CASES, ids=[str(case) for _, case in CASES])
def test_wrong_input(service, body, case):
    response = service.post(SIZE, body)
    assert_told(case, response)
    answer = response.json()
    for entry in answer.get("errors", answer.get("warnings")):
        if entry.get("pointer"):
            assert points_into(msgspec.inspect.type_info(DriveSizingRequest), entry["pointer"]), entry
