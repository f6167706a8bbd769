"""Interchange over HTTP: the situations of the bad-input catalogue by table, what an answer carries, symmetry."""

from __future__ import annotations

from typing import Any

import pytest

PATH = "/v1/interchange-checks"


def mm(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "mm"}


def pair(installed: Any, replacement: Any, purpose: str = "whole_chain", **more: Any) -> dict[str, Any]:
    sides = [{"chain": side} if isinstance(side, str) else side for side in (installed, replacement)]
    return {"purpose": purpose, "installed": sides[0], "replacement": sides[1], **more}


def on_wheel(chain: Any, /, **wheel: Any) -> dict[str, Any]:
    side = {"chain": chain} if isinstance(chain, str) else chain
    return {"purpose": "chain_on_wheel", "replacement": side, "wheel": wheel}


def own(**figures: Any) -> dict[str, Any]:
    return {"own_chain": {"pitch": mm(25.4), **figures}}


def reasons(answer: dict[str, Any]) -> set[str]:
    return {reason["code"] for reason in answer["result"]["reasons"]}


ANSWERED = [
    ("other series at equal pitch", pair("08A", "08B"), "not_interchangeable", {"seat_differs"}, set()),
    ("10A and 10B", pair("10A", "10B"), "same_wheel_with_restrictions", {"width_plays", "other_series"}, set()),
    ("heavy series", pair("80", "80H"), "same_wheel_joining_not_allowed", {"heavy_series"}, set()),
    ("heavy series in strands", pair("80-2", "80H-2"), "wheel_change_needed", {"transverse_pitch_differs"}, set()),
    ("two standards", pair("80", "16A"), "same_size", {"other_standard_name"}, set()),
    ("strands", pair("80-2", "80-1"), "wheel_change_needed", {"strands_differ"}, set()),
    ("same twice", pair("80", "80"), "identical", {"same_designation"}, set()),
    ("roller and silent", pair("40", "SC404"), "different_principle", {"principle_differs"}, set()),
    ("leaf of two series", pair("LL0822", "BL422"), "not_interchangeable", {"leaf_series_differs"}, set()),
    ("leaf by two names", pair("LH0822", "BL422"), "same_size", {"other_standard_name"}, set()),
    (
        "stainless for carbon",
        pair({"chain": "80", "material": "carbon_steel"}, {"chain": "80", "material": "stainless_steel"}),
        "identical",
        {"capacity_differs"},
        {"capacity_differs"},
    ),
    (
        "plated link in plain chain",
        pair({"chain": "80", "finish": "plain"}, {"chain": "80", "finish": "plated"}, "connecting_link"),
        "identical",
        {"mixed_finish"},
        {"mixed_finish"},
    ),
    (
        "new section in worn chain",
        pair({"chain": "80", "elongation_percent": 3}, "80", "section"),
        "identical",
        {"mixed_wear"},
        {"mixed_wear"},
    ),
    (
        "two makes of welded chain",
        pair("WR78", "WR78", "section", same_make=False),
        "identical",
        {"make_to_a_minimum"},
        {"mixed_make"},
    ),
    (
        "wide chain between rows",
        on_wheel({"chain": "80", "overall_width": mm(48)}, chain="80-2"),
        "wheel_change_needed",
        {"too_wide_between_rows"},
        set(),
    ),
    (
        "stock name of a wheel",
        on_wheel("16B", chain="80B20"),
        "same_wheel_with_restrictions",
        {"width_plays"},
        {"hub_letter_read"},
    ),
    (
        "double pitch on odd teeth",
        on_wheel("2080", chain="80", teeth=19),
        "same_wheel_with_restrictions",
        {"pitch_doubled", "double_pitch_odd_teeth"},
        set(),
    ),
    (
        "double pitch on even teeth",
        on_wheel("2080", chain="80", teeth=20),
        "same_wheel_with_restrictions",
        {"pitch_doubled", "double_pitch_even_teeth"},
        {"same_teeth_engaged"},
    ),
    (
        "worn tips",
        on_wheel("80", chain="80", teeth=20, outside_diameter=mm(170)),
        "same_size",
        {"same_designation"},
        {"tip_wear_suspect"},
    ),
    (
        "by breaking load only",
        pair("80", own(minimum_tensile_strength={"value": 55, "unit": "kN"})),
        "cannot_say",
        set(),
        {"basis_insufficient", "fields_missing"},
    ),
    (
        "silent without guide",
        pair({**own(), "family": "silent", "nominal_width": mm(50.8)}, "SC808"),
        "cannot_say",
        set(),
        {"fields_missing"},
    ),
    (
        "mill chain with other barrel",
        pair("WR78", {"chain": "WR78", "seating_diameter": mm(25.4)}),
        "not_interchangeable",
        {"seat_differs"},
        {"barrel_differs"},
    ),
    (
        "complete silent chain of another make",
        pair("SC403", "SC403"),
        "same_wheel_joining_not_allowed",
        {"silent_complete_chain"},
        set(),
    ),
    (
        "link of another make in silent chain",
        pair("SC403", "SC403", "connecting_link", same_make=False),
        "same_wheel_joining_not_allowed",
        {"silent_complete_chain"},
        set(),
    ),
    (
        "centre guide on a wheel without groove",
        on_wheel("SC404", pitch=mm(12.7), face_width=mm(26), profile="asme_b29_2", guide="none"),
        "wheel_change_needed",
        {"groove_missing"},
        set(),
    ),
]


@pytest.mark.parametrize(("what", "body", "verdict", "codes", "warned"), ANSWERED, ids=[case[0] for case in ANSWERED])
def test_situation_is_answered(service, what, body, verdict, codes, warned):
    response = service.post(PATH, body)
    answer = response.json()
    assert response.status_code == 200, (what, answer)
    assert answer["result"]["verdict"] == verdict, answer["result"]["reasons"]
    assert codes <= reasons(answer)
    assert {warning["code"] for warning in answer["warnings"]} - {"figure_from_memory"} == warned


REFUSED = [
    ("leaf on teeth", on_wheel("BL634", chain="60", teeth=19), "leaf_runs_on_sheave", "/replacement/chain"),
    (
        "sling chain in a hoist",
        pair("EN 818-7 10x30", "EN 818-2 10x30"),
        "application_mismatch",
        "/replacement/chain",
    ),
    (
        "conveyor chain that shall lift",
        pair("DIN 764 10x35", "DIN 764 10x35", application="hoist"),
        "not_for_lifting",
        "/installed/chain",
    ),
    ("a list of thirty", {**pair("80", "80"), "replacement": [{"chain": "80"}] * 30}, "wrong_type", "/replacement"),
    ("unknown and known", pair("80", "081X"), "designation_unknown", "/replacement/chain"),
    ("part number", pair("80", "4711815"), "not_a_designation", "/replacement/chain"),
    (
        "no dimension at all",
        pair("80", {"own_chain": {"minimum_tensile_strength": {"value": 55, "unit": "kN"}}}),
        "field_required",
        "/replacement/own_chain/pitch",
    ),
    (
        "nothing to compare with",
        {"purpose": "whole_chain", "replacement": {"chain": "80"}},
        "field_required",
        "/installed",
    ),
    ("no wheel", {"purpose": "chain_on_wheel", "replacement": {"chain": "80"}}, "field_required", "/wheel"),
    ("chain and wheel", {**pair("80", "80"), "wheel": {"chain": "80"}}, "over_determined", "/wheel"),
    ("hub letter or series", on_wheel("80", chain="40B18"), "designation_ambiguous", "/wheel/chain"),
    ("teeth twice", on_wheel("80", chain="80B20", teeth=21), "over_determined", "/wheel/teeth"),
    ("strands twice", pair({"chain": "80", "strand_count": 2}, "80"), "over_determined", "/installed/strand_count"),
]


@pytest.mark.parametrize(("what", "body", "code", "pointer"), REFUSED, ids=[case[0] for case in REFUSED])
def test_situation_is_refused_where_it_stands(service, what, body, code, pointer):
    response = service.post(PATH, body)
    assert response.status_code == 422, (what, response.json())
    assert (code, pointer) in {(fault["code"], fault["pointer"]) for fault in response.json()["errors"]}


def test_both_sides_are_refused_at_once(service):
    faults = service.post(PATH, pair("no such", "neither")).json()["errors"]
    assert {fault["pointer"] for fault in faults} == {"/installed/chain", "/replacement/chain"}


def test_unknown_designation_names_candidates(service):
    assert "080" not in service.post(PATH, pair("80", "8O")).json()["candidates"]
    assert service.post(PATH, pair("80", "16")).json()["candidates"] == ["16A", "16B"]


def test_figures_carry_both_values_difference_and_tolerance(service):
    result = service.post(PATH, pair("16B", "16A")).json()["result"]
    figures = {figure["name"]: figure for figure in result["figures"]}
    width = figures["inner_width"]
    assert (width["there"]["value"], width["replacement"]["value"]) == (17.02, 15.75)
    assert width["difference"]["value"] == pytest.approx(15.75 - 17.02)
    assert width["agreement"] == "interferes"
    assert figures["seating_diameter"]["agreement"] == "equal"
    assert figures["pitch"]["tolerance_provenance"]["source_id"] == "project-policy"


def test_strength_follows_the_direction_and_the_verdict_does_not(service):
    there = service.post(PATH, pair("08A", "08B")).json()["result"]
    back = service.post(PATH, pair("08B", "08A")).json()["result"]
    assert there["verdict"] == back["verdict"]
    assert there["strength"]["ratio"] * back["strength"]["ratio"] == pytest.approx(1)
    assert there["strength"]["ratio"] != pytest.approx(1)


def test_test_loads_are_not_compared_with_breaking_loads(service):
    result = service.post(PATH, pair("C188", "WR78")).json()["result"]
    assert "strength" not in result


def test_lifting_chain_carries_its_cautions(service):
    cautions = {caution["code"] for caution in service.post(PATH, pair("BL634", "BL634")).json()["cautions"]}
    assert {"overhead_lifting", "competent_person", "never_repair_lifting_chain"} <= cautions


def test_mismatch_of_worn_and_new_pitch_is_told(service):
    body = pair({"chain": "80", "elongation_percent": 3}, "80", "section")
    (message,) = service.messages(PATH, body, 200, "mixed_wear")
    assert "0.762 mm" in message  # 3 % of 25.4 mm


def test_missing_facts_of_silent_chain_are_listed_with_how_to_find_them(service):
    body = pair({**own(), "family": "silent"}, {**own(), "family": "silent"}, "section")
    missing = {fact["code"]: fact["how"] for fact in service.post(PATH, body).json()["result"]["to_find_out"]}
    wanted = {"nominal_width", "guide", "link_profile", "joint", "links_across", "pitch_count", "wheel"}
    assert missing.keys() >= wanted
    assert "pin heads" in missing["nominal_width"]


CONDITIONAL = [
    ("worn strand", pair({"chain": "80", "elongation_percent": 3}, "80", "section"), "with_conditions"),
    ("strand as new", pair("80", "80", "section"), "yes"),
    (
        "other material",
        pair({"chain": "80", "material": "carbon_steel"}, {"chain": "80", "material": "stainless_steel"}),
        "with_conditions",
    ),
    (
        "other finish",
        pair({"chain": "80", "finish": "plain"}, {"chain": "80", "finish": "plated"}, "connecting_link"),
        "with_conditions",
    ),
    ("other make", pair("WR78", "WR78", "section", same_make=False), "with_conditions"),
    ("one make", pair("WR78", "WR78", "section", same_make=True), "yes"),
    ("other size besides", pair({"chain": "08A", "elongation_percent": 1}, "08B", "section"), "no"),
]


@pytest.mark.parametrize(("sent", "suits"), [case[1:] for case in CONDITIONAL], ids=[case[0] for case in CONDITIONAL])
def test_the_same_size_may_suit_under_conditions_only(service, sent, suits):
    assert service.post(PATH, sent).json()["result"]["suits_purpose"] == suits


def test_wheel_by_figures_alone(service):
    wheel = {"pitch": mm(25.4), "seating_diameter": mm(15.88), "tooth_width": mm(14.9), "teeth": 21}
    result = service.post(PATH, on_wheel("80", **wheel)).json()["result"]
    assert (result["verdict"], result["suits_purpose"]) == ("same_size", "yes")
    half = service.post(PATH, on_wheel("80", **{**wheel, "pitch": mm(50.8)})).json()["result"]
    assert half["verdict"] == "wheel_change_needed"
    blank = service.post(PATH, on_wheel("80", teeth=21)).json()["result"]
    assert blank["verdict"] == "cannot_say"
    assert {fact["code"] for fact in blank["to_find_out"]} == {"pitch", "seating_diameter", "tooth_width"}


def test_own_chain_that_agrees_in_wheel_and_joint_is_the_same_size(service):
    figures = {
        "roller_diameter": mm(15.88),
        "inner_width": mm(15.75),
        "pin_diameter": mm(7.94),
        "inner_plate_height": mm(24.13),
    }
    answer = service.post(PATH, pair("16A", own(**figures))).json()
    assert answer["result"]["verdict"] == "same_wheel_joining_not_allowed"
    assert "joint_not_shown" in reasons(answer)
    both = {**figures, "plate_thickness": mm(3.2)}
    assert service.post(PATH, pair(own(**both), own(**both))).json()["result"]["verdict"] == "same_size"
    thick = {**both, "plate_thickness": mm(4.0)}
    assert "joint_differs" in reasons(service.post(PATH, pair(own(**both), own(**thick))).json())


def test_conveyor_size_on_a_measured_wheel_asks_for_its_pitch(service):
    wheel = {"pitch": mm(100), "seating_diameter": mm(15), "tooth_width": mm(12)}
    result = service.post(PATH, on_wheel("M28", **wheel)).json()["result"]
    assert result["verdict"] == "cannot_say"
    assert "pitch" in {fact["code"] for fact in result["to_find_out"]}


def test_every_reason_has_a_source_and_the_gravest_is_the_verdict(service):
    for body in (pair("80-2", "80H-2"), pair("10A", "10B"), pair("C188", "WR78"), pair("SC403", "SC404")):
        result = service.post(PATH, body).json()["result"]
        assert result["reasons"][0]["verdict"] == result["verdict"]
        assert all(reason["provenance"]["source_id"] for reason in result["reasons"])


def test_wheel_of_a_size_without_a_pitch_leaves_the_question_open(service):
    result = service.post(PATH, on_wheel("S77", chain="MT80")).json()["result"]
    assert result["verdict"] == "cannot_say"
    assert {fact["code"] for fact in result["to_find_out"]} >= {"pitch", "seating_diameter"}
