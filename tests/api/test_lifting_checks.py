"""Lifting checks over HTTP: wiring, cautions, words that must not appear, and wrong input by table."""

from __future__ import annotations

import json
from typing import Any

import pytest

PATH = "/v1/lifting-checks"
G = 9.80665


def tonnes(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "t"}


def leaf(**changes: Any) -> dict[str, Any]:
    sound = {
        "chain": "BL834",
        "mass": tonnes(1),
        "reeving": 1,
        "shock": "smooth",
        "safety_factor": 5,
    }
    return {name: value for name, value in {**sound, **changes}.items() if value is not None}


def hoist(**changes: Any) -> dict[str, Any]:
    sound = {
        "chain": "EN 818-7 10x30",
        "mass": tonnes(2),
        "reeving": 1,
        "hoist_drive": "hand",
        "chain_type": "T",
    }
    return {name: value for name, value in {**sound, **changes}.items() if value is not None}


def test_tension_and_need_of_leaf_chain(service):
    result = service.post(PATH, leaf(shock="some_shock")).json()["result"]
    assert result["tension"] == {"value": 9806.65, "unit": "N"}
    assert result["required_tensile_strength"]["value"] == pytest.approx(9806.65 * 1.3 * 5)
    assert result["factor"] == pytest.approx(result["minimum_tensile_strength"]["value"] / 9806.65)


def test_mass_and_its_weight_are_the_same_case(service):
    by_mass = service.post(PATH, leaf()).json()["result"]
    by_load = service.post(PATH, leaf(mass=None, load={"value": G, "unit": "kN"})).json()["result"]
    assert by_load["tension"]["value"] == pytest.approx(by_mass["tension"]["value"])


def test_tonnes_in_and_pounds_out(service):
    result = service.post(PATH, leaf(units="inch")).json()["result"]
    assert result["tension"] == {"value": pytest.approx(2204.62262), "unit": "lbf"}


def test_falls_halve_the_tension_and_double_the_way(service):
    one = service.post(PATH, hoist()).json()["result"]
    two = service.post(PATH, hoist(reeving=2)).json()["result"]
    assert two["tension"]["value"] * 2 == pytest.approx(one["tension"]["value"])
    assert (one["chain_travel_ratio"], two["chain_travel_ratio"]) == (1, 2)


def test_hoist_chain_is_set_against_its_printed_limit(service):
    answer = service.post(PATH, hoist()).json()
    assert answer["result"]["working_load_limit"] == {"value": 3200, "unit": "kg"}
    assert answer["result"]["status"] == "within_entered_limits"
    assert "en-818-7-2002" in {source["id"] for source in answer["sources"]}
    over = service.post(PATH, hoist(mass=tonnes(3.3))).json()
    assert over["result"]["status"] == "outside_entered_limits"
    assert [check["verdict"] for check in over["checks"]] == ["fail"]


def test_a_small_sheave_alone_puts_the_lift_outside(service):
    answer = service.post(PATH, leaf(sheave_diameter={"value": 126.9, "unit": "mm"})).json()
    assert answer["result"]["status"] == "outside_entered_limits"
    enough = service.post(PATH, leaf(sheave_diameter={"value": 127, "unit": "mm"})).json()
    assert enough["result"]["status"] == "within_entered_limits"


def test_at_the_limit_the_check_passes(service):
    assert service.post(PATH, hoist(mass=tonnes(3.2))).json()["checks"][0]["verdict"] == "pass"


def link(wire_mm: float, pitch_mm: float) -> dict[str, Any]:
    return {"wire_diameter": {"value": wire_mm, "unit": "mm"}, "pitch": {"value": pitch_mm, "unit": "mm"}}


LINK = {"own_link": link(7.1, 20.5)}


def test_a_link_that_no_table_holds_is_set_against_its_marked_limit(service):
    """Mean stress in both legs: 1000 kg times g over 2 pi 7.1^2/4 mm2 is 123.85 N/mm2."""
    request = hoist(chain=None, chain_type=None, hoist_drive="power", mass=tonnes(1), marked_limit=tonnes(1), **LINK)
    result = service.post(PATH, request).json()["result"]
    assert result["status"] == "within_entered_limits"
    assert result["link_stress"]["value"] == pytest.approx(123.85, abs=0.005)


ORDINARY = [(-9.5, "not_assessable"), (-9, "within_entered_limits"), (148.8, "within_entered_limits")]


@pytest.mark.parametrize(("celsius", "status"), [*ORDINARY, (149, "not_assessable"), (300, "not_assessable")])
@pytest.mark.parametrize("request_of", [leaf, hoist])
def test_no_lift_is_judged_by_cold_chain_where_no_print_rates_it(service, request_of, celsius, status):
    """trade-roller-conveyor: carbon steel chain keeps its whole capacity from 15 to 300 degF, -9.4 to 148.9 degC."""
    answer = service.post(PATH, request_of(temperature={"value": celsius, "unit": "degC"})).json()
    assert answer["result"]["status"] == status
    told = {warning["code"] for warning in answer["warnings"]}
    assert ("temperature_outside" in told) == (status == "not_assessable")


def test_the_marked_limit_comes_before_the_table_and_serves_power_hoists(service):
    answer = service.post(PATH, hoist(hoist_drive="power", chain_type=None, marked_limit=tonnes(1.6))).json()
    assert answer["result"]["working_load_limit"]["value"] == 1600
    assert answer["result"]["status"] == "outside_entered_limits"


def test_the_marking_of_a_hoist_speaks_of_all_its_falls(service):
    """A hoist marked 2 t lifts 2 t on one fall or on two; 3 t on two falls are 1.5 t in each and half too much."""
    for mass, falls, status in ((2, 2, "within"), (3, 2, "outside"), (2, 3, "within"), (2.01, 3, "outside")):
        request = hoist(chain_type=None, marked_limit=tonnes(2), reeving=falls, mass=tonnes(mass), efficiency=0.96)
        answer = service.post(PATH, request).json()
        assert answer["result"]["status"] == f"{status}_entered_limits"
        assert answer["result"]["load_of_hoist"]["value"] == pytest.approx(1000 * mass)
        assert answer["checks"][0]["utilisation"] == pytest.approx(mass / 2)
        assert answer["result"]["load_of_chain"]["value"] == pytest.approx(1000 * mass / falls / 0.96)


def test_a_marking_holds_for_leaf_chain_and_for_all_chains_together(service):
    """1 t on a machine marked 0.9 t is too much, however strong the chain and however many share the load."""
    for marked, status in ((0.9, "outside"), (1, "within")):
        for shared in ({}, {"chain_lines": 2, "load_share": "equalised"}):
            answer = service.post(PATH, leaf(marked_limit=tonnes(marked), **shared)).json()
            assert answer["result"]["status"] == f"{status}_entered_limits"
            assert answer["result"]["load_of_hoist"]["value"] == pytest.approx(1000)
            assert answer["result"]["working_load_limit"]["value"] == pytest.approx(1000 * marked)
    pair = hoist(marked_limit=tonnes(1.9), chain_lines=2, load_share="equalised", mass=tonnes(2))
    assert service.post(PATH, pair).json()["result"]["status"] == "outside_entered_limits"


def test_a_printed_limit_speaks_of_one_fall(service):
    """EN 818-7 prints 3.2 t for type T of 10 mm driven by hand: for the chain, so that two falls carry 6.4 t."""
    answer = service.post(PATH, hoist(reeving=2, mass=tonnes(6.4))).json()
    assert answer["checks"][0]["utilisation"] == pytest.approx(1)
    assert "load_of_hoist" not in answer["result"]


@pytest.mark.parametrize("request_body", [leaf(), hoist()], ids=["leaf", "hoist"])
def test_every_answer_carries_the_cautions_of_lifting(service, request_body):
    answer = service.post(PATH, request_body).json()
    codes = {caution["code"] for caution in answer["cautions"]}
    assert {"overhead_lifting", "competent_person", "stored_energy", "isolate_and_lock_off", "local_codes"} <= codes


@pytest.mark.parametrize("request_body", [leaf(), hoist(), hoist(mass=tonnes(9))], ids=["leaf", "hoist", "overload"])
def test_no_answer_calls_anything_safe_or_fit(service, request_body):
    answer = service.post(PATH, request_body).json()
    said = json.dumps([answer["result"], answer["warnings"], answer["checks"], answer["cautions"]]).lower()
    assert not {"safe", "approved", "fit to lift", "certified"} & set(said.replace('"', " ").split())


CASES = [
    # what is sent, request, status, code, word that message or hint must hold; H numbers as in the catalogue of cases
    ("mass in a force field", leaf(mass=None, load={"value": 900, "unit": "kg"}), 422, "unit_ambiguous", "mass"),
    ("pounds as force", leaf(mass=None, load={"value": 900, "unit": "lb"}), 200, "unit_assumed_force", "pound-force"),
    ("factor of one", leaf(safety_factor=1), 422, "factor_below_minimum", "factor of your rule"),
    ("factor missing", leaf(safety_factor=None), 422, "factor_required", "industrial trucks"),
    (
        "breaking force marked as limit",
        hoist(marked_limit=tonnes(12)),
        422,
        "breaking_load_is_not_working_load",
        "cannot be",
    ),
    (
        "breaking force of two falls marked as limit",
        hoist(marked_limit=tonnes(13), reeving=2),
        422,
        "breaking_load_is_not_working_load",
        "2 falls of links",
    ),
    (
        "link that lets no other in",
        hoist(chain=None, chain_type=None, own_link=link(30, 24), marked_limit=tonnes(2)),
        422,
        "geometry_impossible",
        "30 mm wire",
    ),
    ("factor for hoist chain", hoist(safety_factor=8), 200, "not_used", "safety_factor had no effect"),
    ("drive for leaf chain", leaf(hoist_drive="hand"), 200, "not_used", "hoist_drive had no effect"),
    ("two chains, nothing on sharing", leaf(chain_lines=2), 200, "load_share_unstated", "each is checked with all"),
    ("reeving forgotten", leaf(reeving=None), 422, "reeving_missing", "half the load"),
    ("sheave too small", leaf(sheave_diameter={"value": 100, "unit": "mm"}), 200, "sheave_small", "127"),
    ("number of two series", leaf(chain="LL1644", mass=tonnes(0.5)), 200, "look_alike", "BL1644"),
    ("drive not stated", hoist(hoist_drive=None), 422, "drive_kind_missing", "hand or by power"),
    ("maker limit missing", hoist(), 200, "maker_limit_missing", "comes first"),
    ("power hoist by the table", hoist(hoist_drive="power"), 422, "power_hoist_not_rated", "maker"),
    ("sling chain on a hoist", hoist(chain="EN 818-2 10x30"), 422, "rule_not_applicable", "sling"),
    ("chain that must not lift", hoist(chain="DIN 766 10x28"), 422, "grade_not_for_overhead_lifting", "must not lift"),
    ("grade 43", hoist(grade="43"), 422, "grade_not_for_overhead_lifting", "43"),
    ("hot", leaf(temperature={"value": 300, "unit": "degC"}), 200, "temperature_outside", "-9 to 149"),
    ("cold", hoist(temperature={"value": -40, "unit": "degC"}), 200, "temperature_outside", "manual"),
    ("own link without its limit", hoist(chain=None, chain_type=None, **LINK), 422, "field_required", "marked_limit"),
    ("own link and chain", hoist(**LINK), 422, "over_determined", "own_link"),
    (
        "own link and own chain",
        leaf(chain=None, own_chain={"pitch": {"value": 9, "unit": "mm"}}, **LINK),
        422,
        "over_determined",
        "own_chain",
    ),
    ("type unknown", hoist(chain_type=None), 422, "grade_needed", "T, DAT or DT"),
    ("people", leaf(lifts_people=True), 422, "out_of_scope_safety", "people"),
    ("certificate asked", leaf(certify=True), 422, "field_unknown", "certify"),
    ("course of load not stated", leaf(shock=None), 422, "shock_missing", "lift trucks"),
    ("mass and load", leaf(load={"value": 9, "unit": "kN"}), 422, "over_determined", "not both"),
    ("nothing lifted", leaf(mass=None), 422, "field_required", "mass or as load"),
    ("silent chain", leaf(chain="SC302"), 422, "rule_not_applicable", "no chain for lifting"),
    ("half a fall", leaf(reeving=1.5), 422, "must_be_whole", "reeving"),
    ("two sources of strength", leaf(chain="LL1044", mass=tonnes(0.2)), 200, "sources_disagree", "44 kN"),
]


@pytest.mark.parametrize(("what", "request_body", "status", "code", "word"), CASES, ids=[case[0] for case in CASES])
def test_wrong_and_doubtful_input(service, what, request_body, status, code, word):
    response = service.post(PATH, request_body)
    answer = response.json()
    listed = answer["errors"] if status >= 400 else answer["warnings"]
    assert response.status_code == status, (what, answer)
    messages = [entry["message"] + " " + entry.get("hint", "") for entry in listed if entry["code"] == code]
    assert messages, (what, listed)
    assert any(word in message for message in messages), messages


def test_equalised_chains_share(service):
    alone = service.post(PATH, leaf()).json()["result"]["tension"]["value"]
    shared = service.post(PATH, leaf(chain_lines=2, load_share="equalised")).json()["result"]["tension"]["value"]
    assert shared * 2 == pytest.approx(alone)
