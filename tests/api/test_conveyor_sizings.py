"""Conveyor sizings over HTTP: published conveyors end to end, and what an answer holds."""

from __future__ import annotations

from typing import Any

import pytest

from tests.api.conveyor_cases import PATH, body, elevator, load, of, run, strong

STRAIGHT_UP, STRAIGHT_DOWN = of(90, "deg"), of(-90, "deg")


def state(answer: dict[str, Any], name: str) -> dict[str, Any]:
    return next(one for one in answer["result"]["profile"]["states"] if one["state"] == name)


def tensions(answer: dict[str, Any], name: str = "full") -> list[float]:
    return [point["tension"]["value"] for point in state(answer, name)["points"]]


# A coke conveyor of 100 ft between centres, 20 long tons an hour at 40 ft/min, 10 000 lb of moving parts on both
# strands, friction 0.45 (meade-1921, p. 338). The print reckons by slide rule; its own figures give 6.473 and 6.737.
COKE = [
    ("example (a), level", 0, 6.44, 0.034),
    ("example (b), 30 degrees", 30, 6.71, 0.03),
]


@pytest.mark.parametrize(("what", "incline", "printed_hp", "tolerance"), COKE, ids=[case[0] for case in COKE])
def test_published_coke_conveyors(service, what, incline, printed_hp, tolerance):
    hundred_feet = of(100, "ft")
    answer = service.post(
        PATH,
        {
            "path": [
                {"run": {"length": hundred_feet, "incline": of(-incline, "deg")}},
                {"run": {"length": hundred_feet, "incline": of(incline, "deg"), "loaded": True}},
            ],
            "load": {"carried": "on_chain", "throughput": of(44_800, "lb/h")},
            "chains": {"friction": 0.45, "mass_per_length": of(50, "lb/ft")},
            "chain_speed": of(40, "ft/min"),
            "head_wheel": {"teeth": 12},
            "own_chain": strong(),
            "units": "inch",
        },
    ).json()
    power = answer["result"]["chains"][0]["option"]["head_power"]
    assert power["unit"] == "hp", what
    assert power["value"] == pytest.approx(printed_hp, abs=tolerance)
    # M of the print: 1867 lb of coke on 100 ft.
    assert answer["result"]["capacity"]["load_per_length"]["value"] * 100 == pytest.approx(1867, abs=0.5)


def test_published_elevator_strands(service):
    """posted-elevator-example: 50 m, 17.93 kg/m of belt and buckets, 3 kg/m of load; the paper takes 9.81 m/s2."""
    answer = service.post(
        PATH,
        body(
            path=[run(50, incline=STRAIGHT_DOWN), run(50, incline=STRAIGHT_UP, loaded=True)],
            load={"carried": "in_buckets", "load_per_length": of(3, "kg/m")},
            chains={"friction": 0, "mass_per_length": of(17.933333333333334, "kg/m")},
        ),
    ).json()
    slack, _, tight = tensions(answer)
    assert tight == pytest.approx(10267.8, abs=3.6)
    assert slack == pytest.approx(8796.3, abs=3.1)


# Line integrals of the resistance, worked out independently of this service: tension at each point, then power.
INTEGRALS = [
    (
        "level, carried",
        {"slack_tension": of(300, "N")},
        [300.0, 888.399, 932.81895, 3482.54795],
        1591.273975,
    ),
    (
        "return climbs, loaded run descends at 15 degrees",
        {
            "path": [
                run(12, incline=of(15, "deg")),
                {"tension_ratio": 1.05},
                run(12, incline=of(-15, "deg"), loaded=True),
            ],
            "load": load(load_per_length=of(40, "kg/m")),
            "chains": {"friction": 0.33, "mass_per_length": of(20, "kg/m")},
            "slack_tension": of(800, "N"),
        },
        [800.0, 2159.37719242383, 2267.34605204502, 2690.54481365382],
        945.27240682691,
    ),
    (
        "level trough, material scraped",
        {
            "path": [run(15), {"tension_ratio": 1.05}, run(15, loaded=True)],
            "load": load(carried="in_trough", load_per_length=of(35, "kg/m"), friction=0.6),
            "chains": {"friction": 0.33, "mass_per_length": of(12, "kg/m")},
            "slack_tension": of(250, "N"),
        },
        [250.0, 832.51501, 874.1407605, 4545.7505205],
        2147.87526025,
    ),
]


@pytest.mark.parametrize(("what", "changes", "points", "power_w"), INTEGRALS, ids=[case[0] for case in INTEGRALS])
def test_independent_line_integrals(service, what, changes, points, power_w):
    answer = service.post(PATH, body(**changes)).json()
    assert tensions(answer) == pytest.approx(points, rel=1e-11), what
    shown = answer["result"]["chains"][0]["option"]
    assert state(answer, "full")["effective_pull"]["value"] * 0.5 == pytest.approx(power_w, rel=1e-11)
    if what.startswith("level"):
        assert shown["head_power"]["value"] == pytest.approx(power_w / 1000, rel=1e-11)


def test_bucket_elevator_by_hand(service):
    """15 m; 5 L at 0.75 every 0.3 m is 10 kg/m; 15 kg/m of chain and 4 kg/m of buckets; digging over 6 diameters."""
    answer = service.post(
        PATH, elevator(attached={"mass": of(1.2, "kg"), "spacing": of(300, "mm")}, own_chain=strong(15))
    ).json()
    hanging, lifted, digging = 19 * 9.80665 * 15, 10 * 9.80665 * 15, 10 * 9.80665 * 6 * 0.5
    assert answer["result"]["capacity"]["load_per_length"]["value"] == pytest.approx(10)
    assert answer["result"]["capacity"]["throughput"]["value"] == pytest.approx(3.6 * 0.6 * 10)
    assert tensions(answer) == pytest.approx([hanging, 0.0, digging, digging + hanging + lifted], abs=1e-6)
    assert {caution["code"] for caution in answer["cautions"]} >= {
        "backstop_needed",
        "open_chain_runs_away",
        "stored_energy",
        "jam_clearing",
        "dust_and_gas",
        "local_codes",
        "guard_the_drive",
    }


def test_every_family_is_searched_and_each_chain_carries_its_own_mass(service):
    answer = service.post(PATH, body(own_chain=None, limit=50)).json()
    chains = [ranked["option"] for ranked in answer["result"]["chains"]]
    assert len({chain["size_family"] for chain in chains}) > 1
    for chain in chains:
        mass = chain["chain_mass"]["value"]
        # Two runs of 20 m, the turn multiplies what the return has gathered; load 50 kg/m on one of them.
        by_hand = 9.80665 * 0.2 * 20 * (mass * (1.05 + 1) + 50)
        assert chain["greatest_tension"]["value"] == pytest.approx(by_hand, rel=1e-9)
        assert chain["utilisation"] <= 1
        assert chain["head_torque"]["value"] == pytest.approx(
            chain["effective_pull"]["value"] * chain["head_pitch_diameter"]["value"] / 2000, rel=1e-9
        )
        assert chain["head_power"]["value"] == pytest.approx(chain["effective_pull"]["value"] * 0.5 / 1000, rel=1e-9)
    scores = [ranked["score"] for ranked in answer["result"]["chains"]]
    assert scores == sorted(scores)
    for ranked in answer["result"]["chains"]:
        assert sum(term["value"] for term in ranked["score_terms"]) == pytest.approx(ranked["score"], abs=1e-9)


def test_a_chain_without_a_tabulated_mass_passes_up_to_the_mass_that_is_named(service):
    answer = service.post(PATH, body(own_chain=None)).json()
    conditional = answer["result"]["conditional_chains"][0]
    greatest = conditional["passes_up_to_mass"]["value"]
    found = {}
    for share in (0.999, 1.001):
        chains = {"friction": 0.2, "mass_where_unknown": of(greatest * share, "kg/m")}
        chains["running_direction"] = "narrow_end_forward"
        answer = service.post(
            PATH, body(own_chain=None, chains=chains, choice={"chains": [conditional["chain"]]})
        ).json()
        found[share] = answer["result"]["passing_count"]
    assert found == {0.999: 1, 1.001: 0}


def test_the_mass_of_an_own_chain_is_not_told_as_one_of_the_tables(service):
    """Only a chain of the tables has its mass from there; one line and several are ordered as such."""
    for changes, told in (
        ({}, False),
        ({"choice": {"chains": ["M112"]}}, True),
        ({"choice": {"chains": ["M112"]}, "own_chain": None}, True),
    ):
        answer = service.post(PATH, body(**changes)).json()
        assert ("chain_mass_assumed" in {warning["code"] for warning in answer["warnings"]}) == told
    for lines, words in ((1, "1 line of chain strong"), (2, "2 lines of chain strong")):
        asked = body(chains={"friction": 0.2, "chain_lines": lines})
        assert service.post(PATH, asked).json()["result"]["chains"][0]["option"]["order_line"].startswith(words)


def test_proof_loads_and_average_strengths_are_no_strengths(service, reference):
    answer = service.post(PATH, body(own_chain=None, limit=50)).json()
    used = {source["used_for"][0] for source in answer["sources"]}
    assert not any("proof" in text or "average" in text for text in used)
    only_average = {
        size.designation
        for size in reference.chains.sizes
        if size.find("average_tensile_strength")
        and not (size.find("minimum_tensile_strength") or size.find("allowable_load") or size.find("breaking_force"))
    }
    named = {ranked["option"]["chain"] for ranked in answer["result"]["chains"]}
    assert only_average
    assert not named & only_average


def test_working_load_is_judged_with_speed_service_and_share(service):
    chains = {"friction": 0.2, "chain_lines": 2, "running_direction": "wide_end_forward"}
    rules = {"load": "heavy_shock", "daily_hours": "10_to_24_h"}
    answer = service.post(
        PATH,
        body(own_chain=None, chains=chains, rules=rules, choice={"chains": ["WH124"]}, chain_speed=of(100, "ft/min")),
    ).json()
    chain = answer["result"]["chains"][0]["option"]
    # Table of speed factors: 12 teeth, 100 ft/min is 0.99; heavy shock 1.5, 10 to 24 h 1.2; two chains 1.2/2.
    assert chain["design_pull"]["value"] == pytest.approx(
        chain["greatest_tension"]["value"] * 0.99 * 1.8 * 0.6, rel=1e-9
    )
    limit = next(limit for limit in chain["limits"] if limit["limit"] == "working_load")
    assert limit["utilisation"] == pytest.approx(
        chain["design_pull"]["value"] / chain["working_load"]["value"], rel=1e-9
    )


def test_limiter_window_stands_between_start_and_peak(service):
    drive = {"motor_power": of(4, "kW"), "stall_torque_ratio": 2.2, "starting_friction_ratio": 1.5, "efficiency": 0.9}
    drive["start_time"] = of(2, "s")
    own = {**strong(15), "minimum_tensile_strength": of(60, "kN")}
    answer = service.post(
        PATH,
        body(own_chain=own, drive=drive, limiter={"scatter": 0.1}, rules={"static_factor": 7, "peak_fraction": 0.5}),
    ).json()
    chain = answer["result"]["chains"][0]["option"]
    window, radius = chain["limiter"], chain["head_pitch_diameter"]["value"] / 2000
    # Start: half as much friction again, and 40 m of chain and 20 m of load brought to 0.5 m/s in 2 s.
    friction, inertia = 1.5 * 9.80665 * 0.2 * 20, 0.25 * 20
    started = (friction + inertia) * (15 * 1.05 + 65)
    assert window["needed_torque"]["value"] == pytest.approx(started * radius, rel=1e-9)
    assert window["lowest_setting"]["value"] == pytest.approx(started * radius / 0.9, rel=1e-9)
    assert window["highest_setting"]["value"] == pytest.approx(30_000 * radius / 1.1, rel=1e-9)
    assert window["jam_effective_pull"]["value"] == pytest.approx(2.2 * 4000 / 0.5, rel=1e-9)


def test_checks_are_those_of_the_best_chain(service):
    drive = {"motor_power": of(1, "kW"), "stall_torque_ratio": 2.2}
    own = {**strong(15), "minimum_tensile_strength": of(60, "kN")}
    answer = service.post(
        PATH, body(own_chain=own, drive=drive, rules={"static_factor": 7, "peak_fraction": 0.5})
    ).json()
    best = answer["result"]["chains"][0]["option"]
    checks = {check["name"]: check for check in answer["checks"]}
    assert set(checks) == {"static_strength", "start_peak", "jam_below_tensile_strength", "motor_power"}
    for limit in best["limits"]:
        assert checks[limit["limit"]]["utilisation"] == limit["utilisation"]
    assert checks["motor_power"]["verdict"] == "fail"
    jam = best["limiter"]["jam_tension"]["value"] / 60_000
    assert checks["jam_below_tensile_strength"]["utilisation"] == pytest.approx(jam, rel=1e-9)


def test_a_pin_is_sized_for_both_ends_of_the_window(service):
    pin = {"diameter": of(8, "mm"), "shear_strength": of(300, "N/mm2"), "circle_radius": of(100, "mm")}
    own = {**strong(15), "minimum_tensile_strength": of(60, "kN")}
    answer = service.post(
        PATH,
        body(own_chain=own, limiter={"scatter": 0.1, "pin": pin}, rules={"static_factor": 7, "peak_fraction": 0.5}),
    ).json()
    window = answer["result"]["chains"][0]["option"]["limiter"]
    for end in ("lowest", "highest"):
        diameter = window[f"{end}_pin_diameter"]["value"]
        sheared = 3.141592653589793 / 4 * diameter**2 * 300 * 0.1
        assert sheared == pytest.approx(window[f"{end}_setting"]["value"], rel=1e-9)
    assert window["lowest_pin_diameter"]["value"] < 8 < window["highest_pin_diameter"]["value"]


def test_no_window_where_the_start_needs_more_than_the_chain_allows(service):
    own = {**strong(15), "minimum_tensile_strength": of(60, "kN")}
    answer = service.post(
        PATH,
        body(own_chain=own, limiter={"scatter": 0.6}, rules={"static_factor": 7, "peak_fraction": 0.12}),
    ).json()
    window = answer["result"]["chains"][0]["option"]["limiter"]
    assert not window["exists"]
    assert "lowest_setting" not in window
    assert "limiter_has_no_window" in {warning["code"] for warning in answer["warnings"]}


def test_inch_and_metric_requests_are_the_same_case(service):
    def asked(length: dict[str, Any], mass: dict[str, Any], speed: dict[str, Any], units: str) -> dict[str, Any]:
        path = [{"run": {"length": length}}, {"run": {"length": length, "loaded": True, "incline": of(20, "deg")}}]
        sent = body(
            path=path,
            load=load(load_per_length=mass),
            chain_speed=speed,
            own_chain=None,
            drive={"motor_power": of(3, "kW"), "stall_torque_ratio": 2},
            rules={"peak_fraction": 0.4},
            units=units,
        )
        return service.post(PATH, sent).json()["result"]

    metric = asked(of(30.48, "m"), of(0.45359237 / 0.3048 * 20, "kg/m"), of(0.00508 * 90, "m/s"), "metric")
    inch = asked(of(100, "ft"), of(20, "lb/ft"), of(90, "ft/min"), "inch")
    assert [one["option"]["chain"] for one in inch["chains"]] == [one["option"]["chain"] for one in metric["chains"]]
    for ours, theirs in zip(inch["chains"], metric["chains"], strict=True):
        assert ours["score"] == pytest.approx(theirs["score"], rel=1e-9)
        assert ours["option"]["greatest_tension"]["value"] * 4.4482216152605 == pytest.approx(
            theirs["option"]["greatest_tension"]["value"], rel=1e-9
        )
        assert ours["option"]["head_power"]["value"] * 0.74569987158227022 == pytest.approx(
            theirs["option"]["head_power"]["value"], rel=1e-9
        )


def test_lengthening_tells_pull_before_and_after(service):
    path = [
        {"name": "back", **run(23, lengthened_by=of(3, "m"))},
        {"name": "tail", "tension_ratio": 1.05},
        {"name": "out", **run(23, loaded=True, lengthened_by=of(3, "m"))},
    ]
    longer = service.post(PATH, body(path=path)).json()["result"]
    before = service.post(PATH, body()).json()["result"]
    was = before["chains"][0]["option"]["effective_pull"]["value"]
    assert longer["lengthening"]["effective_pull_before"]["value"] == pytest.approx(was, rel=1e-9)
    assert longer["lengthening"]["effective_pull"]["value"] == pytest.approx(was * 23 / 20, rel=1e-9)
    assert "lengthening" not in before


def test_every_factor_says_whose_it_is(service):
    sent = body(
        own_chain=None,
        chains={"track": "sliding_dry"},
        load=load(carried="in_trough", material="grain", load_per_length=of(50, "kg/m")),
        rules={"static_factor": 6, "load": "uniform"},
    )
    factors = {used["name"]: used for used in service.post(PATH, sent).json()["result"]["factors"]}
    assert (factors["chain_friction"]["value"], factors["chain_friction"]["origin"]) == (0.33, "table")
    assert (factors["load_friction"]["value"], factors["load_friction"]["source_id"]) == (0.5, "trade-conveyor-method")
    assert factors["static_factor"] == {"name": "static_factor", "value": 6.0, "origin": "given"}
    assert factors["service_factor_daily_hours"]["origin"] == "default"


def test_all_tabulated_track_conditions_are_offered(service, reference):
    document = service.get("/openapi.json").json()
    track = document["components"]["schemas"]["ConveyorChains"]["properties"]["track"]
    offered = set(track["enum"] if "enum" in track else track["anyOf"][0]["enum"])
    assert offered == {row.condition for row in reference.factors.conveyor.track_frictions.rows}


def test_same_body_same_bytes(service):
    first, second = (service.post(PATH, body(own_chain=None)).content for _ in range(2))
    assert first == second


def test_full_working_shows_the_equations(service):
    steps = {step["equation"] for step in service.post(PATH, body(working="full")).json()["working"]}
    assert {"conveyor_pull.tensions_along_path", "conveyor_mass.tension_envelopes", "conveyor_power.torque"} <= steps


def test_all_faults_of_independent_parts_are_told_at_once(service):
    sent = body(load=load(load_per_length=None), chains={}, head_wheel={})
    status, codes = service.codes(PATH, sent)
    assert status == 422
    assert codes == {"field_required", "friction_missing"}
    pointers = {fault["pointer"] for fault in service.post(PATH, sent).json()["errors"]}
    assert pointers == {"/load/throughput", "/chains/track", "/head_wheel/teeth"}


def test_a_gentle_descent_is_an_answer_with_a_caution(service):
    answer = service.post(PATH, body(path=[run(20, loaded=True, incline=of(-10, "deg"))])).json()
    assert {"braking_needed", "open_chain_runs_away"} <= {caution["code"] for caution in answer["cautions"]}


def test_a_family_limited_by_figures_of_memory_says_so(service):
    chains = {"friction": 0.2, "running_direction": "narrow_end_forward"}
    answer = service.post(PATH, body(own_chain=None, chains=chains, choice={"chains": ["WH124"]})).json()
    recalled = [warning["message"] for warning in answer["warnings"] if warning["code"] == "figure_from_memory"]
    assert "minimum tensile strength of WH124" in recalled[0]
