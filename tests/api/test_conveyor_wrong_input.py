"""Conveyor sizings over HTTP: wrong and doubtful input by table; the numbers are those of the catalogue of mistakes."""

from __future__ import annotations

from typing import Any

import pytest

from tests.api.conveyor_cases import PATH, body, buckets, elevator, load, of, run, strong


def path_with(*parts: dict[str, Any]) -> dict[str, Any]:
    return {"path": [*parts]}


OWN_60 = {**strong(15), "minimum_tensile_strength": of(60, "kN")}
PEAK = {"rules": {"static_factor": 7, "peak_fraction": 0.5}, "own_chain": OWN_60}


CASES: list[tuple[str, dict[str, Any], int, str, str]] = [
    (
        "C1 throughput of kg/h as t/h",
        {"load": load(load_per_length=None, throughput=of(20_000, "t/h"))},
        200,
        "throughput_suspect",
        "11111 kg",
    ),
    ("C2 throughput 0", {"load": load(load_per_length=None, throughput=of(0, "t/h"))}, 200, "empty_running", "empty"),
    ("C3 speed 0", {"chain_speed": of(0, "m/s")}, 422, "must_be_positive", "speed"),
    ("C4 m/min in m/s", {"chain_speed": of(30, "m/s")}, 422, "speed_beyond_practice", "0.5 m/s"),
    ("C5 density in t/m3", elevator(load={**buckets(), "density": of(1.6, "kg/m3")}), 200, "unit_suspect", "1.6 t/m3"),
    (
        "C6 density 0.0008",
        elevator(load={**buckets(), "density": of(0.0008, "kg/m3")}),
        422,
        "density_out_of_range",
        "0.0008",
    ),
    (
        "C6 density of no metal",
        elevator(load={**buckets(), "density": of(1e6, "kg/m3")}),
        422,
        "density_out_of_range",
        "1e+06",
    ),
    ("C7 incline 120", path_with(run(10, incline=of(120, "deg"))), 422, "angle_out_of_range", "vertical"),
    (
        "C8 per cent as degrees",
        path_with(run(10, incline=of(30, "deg"), lift=of(2.8735, "m"), loaded=True)),
        422,
        "angle_or_percent",
        "16.7",
    ),
    ("C8 per cent as unit", path_with(run(10, incline=of(30, "%"))), 422, "unit_ambiguous", "per cent"),
    ("C10 friction 0", {"chains": {"friction": 0}}, 200, "friction_zero", "zero"),
    ("C11 friction 20", {"chains": {"friction": 20}}, 200, "fraction_or_percent_suspect", "0.2"),
    ("C12 lift above length", path_with(run(10, lift=of(12, "m"))), 422, "geometry_impossible", "12 m"),
    (
        "C12 lift against incline",
        path_with(run(10, lift=of(9, "m"), incline=of(10, "deg"))),
        422,
        "over_determined",
        "1.736",
    ),
    ("C13 no strand", {"chains": {"friction": 0.2, "chain_lines": 0}}, 422, "must_be_positive", "chain lines"),
    (
        "C14 shares",
        {"chains": {"friction": 0.2, "chain_lines": 3, "shares": [0.5, 0.5, 0.5]}},
        422,
        "share_not_sum_one",
        "1.5",
    ),
    (
        "C14 too few shares",
        {"chains": {"friction": 0.2, "chain_lines": 3, "shares": [0.5, 0.5]}},
        422,
        "share_not_sum_one",
        "3 chains",
    ),
    ("C15 chain mass missing", {"own_chain": None}, 200, "chain_mass_assumed", "tables"),
    (
        "C16 spacing no pitch",
        {"attached": {"mass": of(5, "kg"), "spacing": of(250, "mm")}},
        422,
        "spacing_invalid",
        "200 mm or 300 mm",
    ),
    (
        "rollers closer than a pitch",
        {"chains": {"friction": 0.2, "roller_spacing": of(60, "mm")}},
        422,
        "spacing_invalid",
        "Take 100 mm or 200 mm",
    ),
    ("C17 buckets collide", elevator(load=buckets(spacing=of(100, "mm"))), 422, "buckets_collide", "150 mm"),
    ("C18 fill 1.4", elevator(load={**buckets(), "fill": 1.4}), 200, "fill_over_one", "1.4"),
    ("C19 fill 75", elevator(load={**buckets(), "fill": 75}), 200, "fraction_or_percent_suspect", "0.75"),
    (
        "C20 5 teeth, own speed factor",
        {"head_wheel": {"teeth": 5}, "rules": {"speed_factor": 2}, "chain_speed": of(1, "m/s")},
        200,
        "teeth_few",
        "per cent",
    ),
    (
        "C20 5 teeth, blank cell",
        {"head_wheel": {"teeth": 5}, "chain_speed": of(1, "m/s")},
        422,
        "outside_table",
        "6 teeth",
    ),
    (
        "blank corner of the table",
        {"head_wheel": {"teeth": 6}, "chain_speed": of(310, "ft/min")},
        422,
        "outside_table",
        "300 ft/min",
    ),
    ("below the table", {"chain_speed": of(5, "ft/min")}, 422, "outside_table", "10 ft/min"),
    ("C21 discharge", elevator(load=buckets(discharge="centrifugal_fine")), 200, "discharge_suspect", "1.14 to 1.55"),
    (
        "C22 round link on teeth",
        {"own_chain": None, "choice": {"chains": ["DIN 764 10x35"]}},
        200,
        "wheel_type_suspect",
        "pocket",
    ),
    (
        "C23 traction wheel slips",
        {"head_wheel": {"kind": "traction", "pitch_diameter": of(600, "mm"), "grip_friction": 0.2}},
        200,
        "slip_risk",
        "ratio",
    ),
    (
        "C24 oil under water",
        {"load": load(carried="in_trough", friction=0.5), "site": {"wet": True, "lubrication": "oil"}},
        200,
        "lubricant_in_grit",
        "lapping",
    ),
    (
        "C24 oil in grit on slats",
        {"site": {"abrasive": True, "lubrication": "oil"}},
        200,
        "lubricant_in_grit",
        "grit",
    ),
    ("C25 900 degrees", {"rules": {"temperature": of(900, "degC")}}, 200, "temperature_outside", "249"),
    (
        "C25 no chain is judged there",
        {"rules": {"temperature": of(900, "degC")}},
        200,
        "no_feasible_option",
        "temperature outside",
    ),
    (
        "C26 corrosion and hardness",
        {"site": {"corrosive": True, "joints": "hardened"}},
        200,
        "material_conflict",
        "stainless",
    ),
    ("C27 motor too small", {"drive": {"motor_power": of(0.5, "kW")}}, 200, "drive_too_small", "0.5 kW"),
    (
        "C28 drive breaks the chain",
        {**PEAK, "drive": {"motor_power": of(15, "kW"), "stall_torque_ratio": 3}},
        200,
        "drive_can_break_chain",
        "tensile",
    ),
    (
        "C29 limiter above",
        {**PEAK, "limiter": {"scatter": 0.1, "setting": of(9000, "N.m")}},
        422,
        "limiter_ineffective",
        "9000",
    ),
    (
        "C30 limiter below",
        {**PEAK, "limiter": {"scatter": 0.1, "setting": of(50, "N.m")}},
        422,
        "limiter_too_low",
        "50",
    ),
    (
        "C29 pin above",
        {
            **PEAK,
            "limiter": {
                "scatter": 0.1,
                "pin": {"diameter": of(30, "mm"), "shear_strength": of(400, "N/mm2"), "circle_radius": of(100, "mm")},
            },
        },
        422,
        "limiter_ineffective",
        "after the chain",
    ),
    ("C31 take-up below zero", {"take_up": {"after": "back", "mass": of(-50, "kg")}}, 422, "must_be_positive", "mass"),
    (
        "C32 one of a pair renewed",
        {"chains": {"friction": 0.2, "chain_lines": 2, "lines_renewed": 1}},
        200,
        "pair_must_match",
        "lot",
    ),
    (
        "C33 free return of 40 m",
        path_with(run(40, supported=False), run(40, loaded=True)),
        200,
        "sag_excessive",
        "40 m",
    ),
    (
        "C33 free return that sags 9 per cent",
        {
            **path_with(run(40, supported=False), run(40, loaded=True)),
            "own_chain": strong(0.55),
            "slack_tension": of(300, "N"),
        },
        200,
        "sag_excessive",
        "3.6 m",
    ),
    (
        "C34 direction of offset chain",
        {"own_chain": None, "choice": {"chains": ["WH124"]}},
        422,
        "direction_missing",
        "narrow",
    ),
    (
        "direction left open in a search",
        {
            "own_chain": None,
            "choice": {"families": ["mill_welded"]},
            "head_wheel": {"teeth": 10},
            "rules": {"static_factor": 7},
        },
        200,
        "direction_not_stated",
        "narrow",
    ),
    ("no friction at all", {"chains": {}}, 422, "friction_missing", "sliding_dry"),
    ("friction twice", {"chains": {"friction": 0.2, "track": "sliding_dry"}}, 422, "over_determined", "twice"),
    ("dragged without friction", {"load": load(carried="in_trough")}, 422, "friction_missing", "material"),
    ("unknown material", {"load": load(carried="in_trough", material="coall")}, 422, "material_unknown", "coal"),
    ("sources disagree", {"load": load(carried="in_trough", material="Coal")}, 200, "sources_disagree", "0.6"),
    (
        "walls without a constant",
        {"load": load(carried="in_trough", friction=0.5, walls={"depth": of(300, "mm")})},
        422,
        "friction_missing",
        "grain",
    ),
    (
        "walls without a depth",
        {"load": load(carried="in_trough", friction=0.5, walls={"constant": 9})},
        422,
        "depth_missing",
        "section",
    ),
    ("load twice", {"load": load(throughput=of(20, "t/h"))}, 422, "over_determined", "one of them"),
    ("no load at all", {"load": {"carried": "on_chain"}}, 422, "field_required", "throughput"),
    (
        "fill without a density",
        {
            "load": {
                "carried": "in_trough",
                "friction": 0.5,
                "fill": 0.5,
                "section": {"width": of(400, "mm"), "depth": of(200, "mm")},
            }
        },
        422,
        "density_missing",
        "density",
    ),
    ("part that is nothing", path_with({"name": "ghost"}), 422, "field_required", "nothing"),
    ("part that is two", path_with({"tension_ratio": 1.1, **run(3)}), 422, "over_determined", "of its own"),
    ("no run", path_with({"tension_ratio": 1.1}), 422, "field_required", "run"),
    ("turn that pulls", path_with(run(3), {"tension_ratio": 0.9}), 422, "ratio_below_one", "0.9"),
    (
        "turns without end",
        path_with(run(3), {"tension_ratio": 900}, {"tension_ratio": 900}),
        422,
        "ratio_above_limit",
        "multiply",
    ),
    (
        "curve of a thousand degrees",
        path_with(run(3), {"curve": {"angle": of(1000, "deg"), "friction": 0.2}}),
        422,
        "angle_out_of_range",
        "360",
    ),
    (
        "curve that locks",
        path_with(run(3), {"curve": {"angle": of(180, "deg"), "friction": 900}}),
        422,
        "ratio_above_limit",
        "multiply",
    ),
    (
        "wheel that locks",
        path_with(
            run(3), {"wheel": {"pitch_diameter": of(100, "mm"), "shaft_diameter": of(90, "mm"), "bearing_friction": 2}}
        ),
        422,
        "self_locking",
        "whole pull",
    ),
    (
        "wrap beyond a turn",
        path_with(
            run(3),
            {
                "wheel": {
                    "pitch_diameter": of(500, "mm"),
                    "shaft_diameter": of(50, "mm"),
                    "bearing_friction": 0.1,
                    "wrap": of(400, "deg"),
                }
            },
        ),
        422,
        "angle_out_of_range",
        "wrap",
    ),
    (
        "roller smaller than its axle",
        {
            "chains": {
                "rollers": {
                    "axle_friction": 0.2,
                    "axle_diameter": of(50, "mm"),
                    "roller_diameter": of(40, "mm"),
                    "rolling_arm": of(1, "mm"),
                    "flange_factor": 1.2,
                }
            }
        },
        422,
        "geometry_impossible",
        "roller",
    ),
    ("two parts of one name", path_with({"name": "a", **run(3)}, {"name": "a", **run(3)}), 422, "name_repeated", "'a'"),
    ("take-up nowhere", {"take_up": {"after": "moon", "mass": of(50, "kg")}}, 422, "point_not_on_path", "moon"),
    ("take-up of nothing", {"take_up": {"after": "back"}}, 422, "field_required", "mass or its force"),
    ("take-up too weak", {"take_up": {"after": "back", "mass": of(5, "kg")}}, 422, "take_up_too_weak", "slack"),
    (
        "take-up and slack tension",
        {"take_up": {"after": "back", "mass": of(500, "kg")}, "slack_tension": of(1, "kN")},
        422,
        "over_determined",
        "not both",
    ),
    (
        "wrap of many turns",
        {"head_wheel": {"kind": "traction", "pitch_diameter": of(600, "mm"), "wrap": of(1000, "deg")}},
        422,
        "angle_out_of_range",
        "/head_wheel/wrap",
    ),
    ("no teeth", {"head_wheel": {}}, 422, "field_required", "teeth"),
    (
        "teeth and diameter",
        {"head_wheel": {"teeth": 12, "pitch_diameter": of(400, "mm")}},
        422,
        "over_determined",
        "diameter",
    ),
    ("traction wheel without a diameter", {"head_wheel": {"kind": "traction"}}, 422, "field_required", "diameter"),
    ("service factor below one", {"rules": {"service_factor": 0.8}}, 422, "factor_below_minimum", "0.8"),
    ("factor and rule", {"rules": {"static_factor": 6, "static_rule": "drag"}}, 422, "over_determined", "not both"),
    ("beyond the factors by speed", {"chain_speed": of(70, "m/min")}, 422, "outside_table", "60 m/min"),
    (
        "unknown chains, all told",
        {"own_chain": None, "choice": {"chains": ["WH1244", "XYZZY"]}},
        422,
        "designation_unknown",
        "XYZZY",
    ),
    (
        "chain of two strands",
        {"own_chain": None, "choice": {"chains": ["80-2"]}},
        422,
        "strands_out_of_range",
        "chain_lines",
    ),
    ("unknown family", {"own_chain": None, "choice": {"families": ["belt"]}}, 422, "family_unknown", "belt"),
    (
        "family graded unfit",
        {
            "own_chain": None,
            "load": load(carried="in_trough", friction=0.5),
            "choice": {"chains": ["80"]},
            "rules": {"static_factor": 7},
        },
        200,
        "family_unfit",
        "drag",
    ),
    (
        "lengthened beyond itself",
        path_with(run(5, loaded=True, lengthened_by=of(6, "m"))),
        422,
        "geometry_impossible",
        "5 m",
    ),
    (
        "nothing passes",
        {"own_chain": {**strong(15), "minimum_tensile_strength": of(5, "kN")}},
        200,
        "no_feasible_option",
        "static strength",
    ),
    (
        "loaded descent holds back",
        path_with(run(50, loaded=True, incline=of(-30, "deg"))),
        200,
        "drive_must_hold_back",
        "hold back",
    ),
    (
        "load told twice",
        {"load": load(throughput=of(20, "t/h"))},
        422,
        "over_determined",
        "throughput and load_per_length",
    ),
    (
        "chain of unknown mass alone",
        {"own_chain": None, "choice": {"chains": ["M80"]}},
        200,
        "chain_mass_assumed",
        "chains.mass_where_unknown",
    ),
    (
        "only chains of unknown mass pass",
        {"own_chain": None, "choice": {"chains": ["M80"]}},
        200,
        "no_feasible_option",
        "passes. 1 pass",
    ),
    (
        "fatigue limit told twice",
        {"rules": {"fatigue_limit": of(5, "kN"), "fatigue_fraction": 0.15}},
        422,
        "over_determined",
        "not both",
    ),
    ("fatigue in percent", {"rules": {"fatigue_fraction": 15}}, 422, "number_out_of_range", "fatigue fraction"),
    (
        "three pockets",
        {"head_wheel": {"kind": "pocket", "teeth": 3}},
        422,
        "pockets_below_minimum",
        "/head_wheel/teeth",
    ),
    ("pocket wheel of nothing", {"head_wheel": {"kind": "pocket"}}, 422, "field_required", "pockets"),
    (
        "pockets and diameter",
        {"head_wheel": {"kind": "pocket", "teeth": 6, "pitch_diameter": of(200, "mm")}},
        422,
        "over_determined",
        "leave its diameter out",
    ),
    (
        "traction wheel with teeth",
        {"head_wheel": {"kind": "traction", "teeth": 6, "pitch_diameter": of(200, "mm")}},
        422,
        "over_determined",
        "no teeth",
    ),
    (
        "curve tighter than its rollers",
        {
            **path_with(
                run(5, loaded=True), {"curve": {"angle": of(90, "deg"), "friction": 0.2, "radius": of(49, "mm")}}
            )
        },
        200,
        "no_feasible_option",
        "curve too tight",
    ),
    (
        "C20 six teeth of long pitch at speed",
        {"head_wheel": {"teeth": 6}, "chain_speed": of(0.9, "m/s")},
        200,
        "polygon_surge",
        "13.4 per cent",
    ),
    (
        "surge whose share is known and no share of a peak",
        {
            "head_wheel": {"teeth": 6},
            "chain_speed": of(0.9, "m/s"),
            "rules": {"surge_share": 0.5},
        },
        200,
        "polygon_surge",
        "judged send rules.peak_fraction",
    ),
    (
        "rollers whose load nobody limits",
        {"chains": {"track": "rolling_planning_value"}},
        200,
        "roller_load_not_judged",
        "rules.allowed_roller_load",
    ),
    ("stall torque missing", {"drive": {"motor_power": of(5, "kW")}}, 200, "stall_torque_missing", "stall"),
    (
        "throughput in tons",
        {"load": load(load_per_length=None, throughput=of(20, "ton/h"))},
        422,
        "unit_ambiguous",
        "short",
    ),
    (
        "shares of nothing",
        {"chains": {"friction": 0.2, "chain_lines": 1, "shares": [0]}},
        422,
        "must_be_positive",
        "shares",
    ),
    ("501 parts", {"path": [run(1)] * 401}, 422, "too_many_items", "path"),
    ("no path", {"path": []}, 422, "too_few_items", "path"),
]


@pytest.mark.parametrize(("what", "changes", "status", "code", "word"), CASES, ids=[case[0] for case in CASES])
def test_wrong_input(service, what, changes, status, code, word):
    response = service.post(PATH, body(**changes))
    answer = response.json()
    assert response.status_code == status, (what, answer)
    listed = answer["errors"] if status >= 400 else answer["warnings"]
    messages = [
        entry["message"] + entry.get("hint", "") + entry.get("pointer", "") for entry in listed if entry["code"] == code
    ]
    assert messages, (what, listed)
    assert any(word in message for message in messages), messages
