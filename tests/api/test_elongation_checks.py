"""Elongation checks over HTTP: wiring, verdicts and wrong input by table; numbers are owned by tests/core."""

from __future__ import annotations

from itertools import product
from typing import Any

import pytest

from service.calculations.wear_verdict import HEADLINE_LENGTH, NEXT_STEP_LENGTH

PATH = "/v1/elongation-checks"


def mm(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "mm"}


def inch(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "in"}


SOUND: dict[str, Any] = {
    "own_chain": {"pitch": mm(12.7), "roller_diameter": mm(7.92)},
    "length": mm(309.4),
    "pitch_count": 24,
    "tension_state": "tight_span",
    "instrument": {"accuracy_class": "II", "division": mm(0.5)},
    "large_wheel_teeth": 57,
    "centre_type": "adjustable",
    "sprocket_state": "polished_symmetric",
}

NO_LENGTH = {"length": None, "pitch_count": None}


def body(**changes: Any) -> dict[str, Any]:
    return {name: value for name, value in {**SOUND, **changes}.items() if value is not None}


def check(service: Any, **changes: Any) -> dict[str, Any]:
    response = service.post(PATH, body(**changes))
    assert response.status_code == 200, response.json()
    return dict(response.json()["result"])


def test_a_sound_reading_is_told_with_its_error_limit_and_neighbours(service):
    answer = service.post(PATH, body()).json()
    result = answer["result"]
    # W4: 4.6 mm in 304.8 mm; class II between marks 0.5 mm, read to a quarter: sqrt(0.5² + 0.25²)/304.8
    assert result["elongation_percent"] == pytest.approx(1.51, abs=0.005)
    assert result["uncertainty_percent"] == pytest.approx(0.183, abs=0.0005)
    assert result["length_at_limit"]["value"] == pytest.approx(304.8 * 1.03)
    assert result["status"] == "watch"
    assert result["confidence"] == "high"
    assert result["limit"]["rule"] == "general"
    assert {w["code"] for w in answer["warnings"]} == set()


def test_inch_and_metric_are_the_same_case(service):
    metric = check(service)
    same = check(service, own_chain={"pitch": inch(0.5)}, length=inch(309.4 / 25.4))
    assert same["elongation_percent"] == pytest.approx(metric["elongation_percent"], rel=1e-9)


def test_pins_and_pitches_are_the_same_case(service):
    pins = check(service, pitch_count=None, pins_counted=25)
    assert pins["elongation_percent"] == check(service)["elongation_percent"]


def test_working_shows_each_equation(service):
    working = service.post(PATH, body(working="full")).json()["working"]
    assert {"elongation.from_length", "tape_error.maximum_permissible", "tape_error.elongation_uncertainty"} <= {
        step["equation"] for step in working
    }


LIMITS = [
    ({"large_wheel_teeth": 57}, 3.0, "general"),
    ({"large_wheel_teeth": 66}, 3.0, "general"),
    ({"large_wheel_teeth": 80}, 2.5, "large_wheel"),
    ({"large_wheel_teeth": 120}, 1.6667, "large_wheel"),
    ({"centre_type": "fixed"}, 1.5, "fixed_centres"),
    ({"centre_type": "fixed", "large_wheel_teeth": 150}, 1.3333, "large_wheel"),
    ({"parallel_chains": True}, 1.5, "fixed_centres"),
    ({"smooth_running": True}, 1.5, "fixed_centres"),
    ({"limit_percent": 2.2}, 2.2, "own"),
    ({"own_chain": None, "chain": "2040"}, 1.5, "double_pitch"),
    ({"own_chain": None, "chain": "SC404", "large_wheel_teeth": 100}, 2.0, "large_wheel"),
    ({"own_chain": None, "chain": "BL834"}, 3.0, "family"),
    ({"family": "conveyor"}, 2.0, "family"),
    ({"family": "hoist_roller"}, 2.0833, "family"),
]


@pytest.mark.parametrize(("changes", "percent", "rule"), LIMITS)
def test_the_limit_for_the_case(service, changes, percent, rule):
    listed = service.post(PATH, body(**{"length": None, "pitch_count": None, "elongation_percent": 0.4, **changes}))
    limit = listed.json()["result"]["limit"]
    assert limit["percent"] == pytest.approx(percent, abs=5e-5)
    assert limit["rule"] == rule
    assert limit["origin"] == ("given" if rule == "own" else "table")


STATUSES = [
    (0.4, {}, "ok"),
    (1.5, {}, "watch"),
    (2.4, {}, "plan"),
    (2.9999, {}, "plan"),
    (3.0, {}, "replace"),
    (3.99, {}, "stop"),
    (2.39, {"previous_status": "plan"}, "plan"),
    (2.30, {"previous_status": "plan"}, "watch"),
    (1.6, {"thresholds": {"watch_fraction": 0.7}}, "ok"),
    (0.2, {"findings": ["cracked_plate"]}, "stop"),
    (0.2, {"findings": ["red_dust_at_joints"]}, "watch"),
    (0.4, {"tension_state": "slack"}, "not_assessable"),
    (1.6, {"tension_state": "slack", "previous_status": "replace"}, "replace"),
]


@pytest.mark.parametrize(
    ("previous", "told"), [("remove_from_service", True), ("not_assessable", False), ("plan", False)]
)
def test_a_previous_status_of_another_kind_of_chain_is_told(service, previous, told):
    sent = body(**NO_LENGTH, elongation_percent=1.6, previous_status=previous)
    warnings = service.post(PATH, sent).json()["warnings"]
    assert any(one["code"] == "not_used" and one["pointer"] == "/previous_status" for one in warnings) is told


@pytest.mark.parametrize(("percent", "changes", "status"), STATUSES)
def test_status_of_a_drive(service, percent, changes, status):
    found = check(service, **NO_LENGTH, elongation_percent=percent, **changes)
    assert found["status"] == status
    assert "lifting_status" not in found


LIFTING = [
    (0.5, {}, "within_entered_limits"),
    (1.9999, {}, "within_entered_limits"),
    (2.0, {}, "approaching_limit"),
    (2.9999, {}, "approaching_limit"),
    (3.0, {}, "remove_from_service"),
    (0.2, {"findings": ["turned_pin"]}, "remove_from_service"),
    (0.2, {"findings": ["twisted_or_bowed"]}, "not_assessable"),
    (3.5, {"limit_percent": 5}, "remove_from_service"),
]


@pytest.mark.parametrize(("percent", "changes", "status"), LIFTING)
def test_status_of_lifting_chain(service, percent, changes, status):
    response = service.post(
        PATH, body(**NO_LENGTH, own_chain=None, chain="BL834", elongation_percent=percent, **changes)
    )
    found = response.json()["result"]
    assert found["lifting_status"] == status
    assert "status" not in found
    assert {"competent_person", "hoist_maker_first"} <= {caution["code"] for caution in response.json()["cautions"]}
    words = f"{found['headline']} {found['next_step']}".lower()
    assert "safe" not in words
    assert "fit" not in words


def test_a_finding_governs_over_small_wear(service):
    # W42
    found = check(service, **NO_LENGTH, elongation_percent=0.2, findings=["cracked_plate"])
    assert (found["status"], found["governed_by"]) == ("stop", "finding")
    assert "cracked" in found["next_step"]


def test_the_worse_of_a_pair_governs(service):
    found = check(service, parallel_chains=True, pair_length=mm(304.8 * 1.016), length=mm(304.8 * 1.005))
    assert (found["status"], found["governed_by"]) == ("replace", "pair")
    assert "parallel_chain" in found["replace_together"]


@pytest.mark.parametrize(
    ("result", "threshold", "status"),
    [
        ("above", 3, "replace"),
        ("above", 4, "stop"),
        ("above", 1.5, "not_assessable"),
        ("below", 1.5, "ok"),
        ("below", 2, "watch"),
        ("below", 3, "plan"),
        ("below", 3.5, "not_assessable"),
        ("at", 2.4, "plan"),
    ],
)
def test_what_a_gauge_settles(service, result, threshold, status):
    # W32 and its neighbours: a bound is no value
    found = check(service, **NO_LENGTH, gauge_result=result, gauge_threshold_percent=threshold)
    assert found["status"] == status
    assert ("elongation_percent" in found) is (result == "at")


def test_inside_and_outside_of_the_rollers(service):
    lengths = {"inner_length": mm(309.4 - 7.92), "outer_length": mm(309.4 + 7.92)}
    found = check(service, length=None, **lengths)
    assert found["method"] == "roller_inside_outside_mean"
    assert found["elongation_percent"] == pytest.approx(check(service)["elongation_percent"], rel=1e-9)


def test_takeup_travel_counts_for_each_run(service):
    found = check(service, **NO_LENGTH, takeup_travel=mm(25.4), runs=2, loop_pitch_count=200, pitches_removed=0)
    # 50.8 mm in 2540 mm
    assert found["elongation_percent"] == pytest.approx(2.0)


def test_chain_on_the_teeth_does_not_move_the_takeup(service):
    asked = {**NO_LENGTH, "takeup_travel": mm(25.4), "runs": 2, "loop_pitch_count": 200, "pitches_removed": 0}
    # 50.8 mm in the 160 pitches of the strands.
    assert check(service, **asked, pitches_on_wheels=40)["elongation_percent"] == pytest.approx(2.5)


def test_hooked_teeth_go_with_the_chain(service):
    found = check(service, **NO_LENGTH, elongation_percent=3.1, sprocket_state="hooked")
    assert found["replace_together"] == ["chain", "all_wheels_of_the_loop"]


def test_words_fit_a_small_screen(service):
    findings = [
        [],
        ["corrosion_cracking"],
        ["heat_damage"],
        ["twisted_or_bowed"],
        ["stiff_joint", "red_dust_at_joints"],
    ]
    percents = [-0.1, -9.99, 0.4, 1.6, 2.5, 3.2, 9.99]
    for chain, percent, found in product(["80", "BL834", "WH78"], percents, findings):
        result = check(
            service, **NO_LENGTH, own_chain=None, chain=chain, elongation_percent=percent, findings=found,
            uncertainty_percent=0.2,
        )  # fmt: skip
        assert 10 < len(result["headline"]) <= HEADLINE_LENGTH, result
        assert 10 < len(result["next_step"]) <= NEXT_STEP_LENGTH, result
        assert not result["next_step"].endswith("…"), result


REFUSED = [
    # row of the catalogue of bad input, changes, code, word that the message must hold
    ("W1 length only", {"pitch_count": None}, "pitches_missing", "pin centre"),
    ("W3 no pitches", {"pitch_count": 0}, "must_be_positive", "pitch count"),
    ("W5 inches typed as mm", {"length": mm(12.18)}, "unit_suspect", "unit"),
    ("W9 twice nominal", {"length": mm(618.8)}, "link_pair_suspect", "twice"),
    ("W10 half nominal", {"length": mm(154.7)}, "double_pitch_suspect", "half"),
    ("W14 beyond any chain", {"length": mm(304.8 * 1.12)}, "implausible_elongation", "+12"),
    ("W16 percent times hundred", {**NO_LENGTH, "elongation_percent": 250}, "implausible_elongation", "250"),
    ("W18 limit zero", {"limit_percent": 0}, "must_be_positive", "limit"),
    (
        "W30 gauge for another pitch",
        {**NO_LENGTH, "gauge_result": "above", "gauge_threshold_percent": 3, "gauge_pitch": mm(15.875)},
        "gauge_mismatch",
        "15.875",
    ),
    ("W31 gauge without its unit", {**NO_LENGTH, "gauge": 2}, "field_unknown", "gauge"),
    (
        "W34 inner longer than outer",
        {"length": None, "inner_length": mm(320), "outer_length": mm(300)},
        "fields_swapped",
        "shorter",
    ),
    (
        "W36 runs not told",
        {**NO_LENGTH, "takeup_travel": mm(20), "loop_pitch_count": 200, "pitches_removed": 0},
        "runs_unknown",
        "runs",
    ),
    (
        "W38 load chain",
        {"own_chain": None, "chain": "EN 818-7 10x30"},
        "family_wrong_route",
        "links",
    ),
    ("W43 free text as a finding", {"findings": ["cracked plate"]}, "enum_unknown", "cracked plate"),
    ("two ways at once", {"elongation_percent": 1.5}, "over_determined", "one measurement"),
    ("no way at all", {**NO_LENGTH}, "field_required", "measurement"),
    ("counts contradict", {"pins_counted": 24}, "counts_contradict", "23"),
    ("thresholds fall", {"thresholds": {"watch_fraction": 0.9}}, "thresholds_not_rising", "plan"),
    ("more removed than there were", {**NO_LENGTH, "takeup_travel": mm(20), "loop_pitch_count": 20, "runs": 2,
     "pitches_removed": 20}, "pitches_removed_impossible", "20"),
    ("more on the wheels than there is", {**NO_LENGTH, "takeup_travel": mm(20), "loop_pitch_count": 20, "runs": 2,
     "pitches_removed": 0, "pitches_on_wheels": 20}, "pitches_on_wheels_impossible", "20"),
]  # fmt: skip


@pytest.mark.parametrize(("what", "changes", "code", "word"), REFUSED, ids=[case[0] for case in REFUSED])
def test_refused_input(service, what, changes, code, word):
    response = service.post(PATH, body(**changes))
    assert response.status_code == 422, (what, response.json())
    messages = [entry["message"] for entry in response.json()["errors"] if entry["code"] == code]
    assert messages, (what, response.json()["errors"])
    assert any(word in message for message in messages), messages


WARNED = [
    ("W2 one pitch", {"length": mm(12.8), "pitch_count": 1}, "too_few_pitches", "1"),
    ("W6 one pitch too few counted", {"length": mm(322.3)}, "pitch_count_suspect", "25 pitches would give +1.51"),
    ("W7 one pitch too many counted", {"length": mm(296.5)}, "pitch_count_suspect", "23 pitches would give +1.5"),
    (
        "W8 pins counted as pitches",
        {"own_chain": None, "chain": "BL834", "length": inch(12.375), "pitch_count": 13},
        "pins_not_pitches_suspect",
        "12 pitches would give +3.1",
    ),
    ("W11 exactly nominal after years", {"length": mm(304.8), "service_days": 1095}, "nominal_exact_suspect", "1095"),
    ("W13 shorter than new", {"length": mm(304.8 * 0.988)}, "shorter_than_nominal", "slack"),
    ("W15 fraction for per cent", {**NO_LENGTH, "elongation_percent": 0.03}, "fraction_or_percent_suspect", "3 %"),
    ("W17 limit as a fraction", {"limit_percent": 0.03}, "fraction_or_percent_suspect", "3 %"),
    ("W19 limit beyond practice", {"limit_percent": 15}, "limit_suspect", "15"),
    (
        "W20 loose limit on leaf chain",
        {**NO_LENGTH, "own_chain": None, "chain": "BL834", "elongation_percent": 1, "limit_percent": 5},
        "limit_looser_than_published",
        "3 %",
    ),
    ("W21 large wheel not told", {"large_wheel_teeth": None}, "large_wheel_unknown", "66"),
    ("W22 3 % forced on 120 teeth", {"large_wheel_teeth": 120, "limit_percent": 3}, "limit_looser_than_rule", "1.67"),
    ("W23 wheels exchanged", {"large_wheel_teeth": 17, "small_wheel_teeth": 57}, "fields_swapped_suspect", "57"),
    ("W24 centres not told", {"centre_type": None}, "centre_type_unknown", "1.5 %"),
    ("W25 slack", {"tension_state": "slack"}, "tension_not_applied", "at least"),
    ("W26 tension not known", {"tension_state": None}, "tension_unknown", "tension"),
    ("W27 measured while running", {"drive_running": True}, "unsafe_method", "lock it off"),
    ("W28 offset link in the span", {"offset_link_in_span": True}, "offset_in_span", "span"),
    (
        "W33 only outside of the rollers",
        {"length": None, "outer_length": mm(309.4 + 7.92)},
        "roller_play_included",
        "rollers",
    ),
    (
        "W35 removed pitches not told",
        {**NO_LENGTH, "takeup_travel": mm(20), "loop_pitch_count": 200, "runs": 2},
        "pitches_removed_unknown",
        "removed",
    ),
    (
        "chain on the wheels not told",
        {**NO_LENGTH, "takeup_travel": mm(20), "loop_pitch_count": 200, "runs": 2, "pitches_removed": 0},
        "takeup_reads_low",
        "10 pitches on teeth of the 200 are 5 %",
    ),
    (
        "W37 silent chain with a roller limit",
        {**NO_LENGTH, "own_chain": None, "chain": "SC404", "large_wheel_teeth": None, "elongation_percent": 1,
         "limit_percent": 3},
        "limit_family_mismatch",
        "200/N",
    ),
    ("W39 hot chain", {"chain_temperature": {"value": 300, "unit": "degC"}}, "thermal_growth", "+0.32"),
    ("W40 one of two chains", {"parallel_chains": True}, "pair_reading_missing", "other"),
    (
        "H11 average of leaf chain",
        {**NO_LENGTH, "own_chain": None, "chain": "BL834", "elongation_percent": 1.4, "sprocket_state": None},
        "worst_section_missing",
        "sheave",
    ),
    ("W41 unequal pair", {"parallel_chains": True, "pair_length": mm(311)}, "pair_unequal", "0.52"),
    ("W44 chain due, teeth not seen", {"length": mm(314.5), "sprocket_state": None}, "sprocket_not_inspected", "teeth"),
    ("no limit in print", {**NO_LENGTH, "own_chain": None, "chain": "WH78", "elongation_percent": 1},
     "limit_not_in_reference", "limit_percent"),
    ("within the error of the next status", {"length": mm(304.8 * 1.0235)}, "near_threshold", "plan"),
]  # fmt: skip


@pytest.mark.parametrize(("what", "changes", "code", "word"), WARNED, ids=[case[0] for case in WARNED])
def test_doubtful_input_is_answered_with_a_warning(service, what, changes, code, word):
    response = service.post(PATH, body(**changes))
    assert response.status_code == 200, (what, response.json())
    messages = [entry["message"] for entry in response.json()["warnings"] if entry["code"] == code]
    assert messages, (what, response.json()["warnings"])
    assert any(word in message for message in messages), messages


ACCEPTED = [
    ("W4 sound", {}),
    ("W12 a hair short", {"length": mm(304.8 * 0.999)}),
    ("W29 connecting link not removed", {"instrument": {"accuracy_class": "I", "division": mm(1)}}),
    ("teeth as a float", {"large_wheel_teeth": 57.0, "pitch_count": 24.0}),
]


@pytest.mark.parametrize(("what", "changes"), ACCEPTED, ids=[case[0] for case in ACCEPTED])
def test_sound_input_is_answered_without_a_warning(service, what, changes):
    response = service.post(PATH, body(**changes))
    assert response.status_code == 200, (what, response.json())
    assert response.json()["warnings"] == []


@pytest.mark.parametrize(
    ("changes", "confidence"),
    [
        ({}, "high"),
        ({"tension_state": None}, "medium"),
        ({"length": mm(322.3)}, "low"),
        ({"tension_state": "slack"}, "low"),
    ],
)
def test_doubt_lowers_the_confidence(service, changes, confidence):
    assert check(service, **changes)["confidence"] == confidence


def test_a_doubtful_count_is_asked_back_before_a_chain_is_condemned(service):
    # W6: 5.7 % as counted is far beyond the limit, but 25 pitches would be 1.51 %.
    found = check(service, length=mm(322.3))
    assert found["status"] == "stop"
    assert found["next_step"].startswith("Count again")
    assert found["miscount"]["one_more_percent"] == pytest.approx(1.51, abs=0.005)


def test_what_reads_shorter_than_new_has_no_verdict(service):
    assert check(service, length=mm(296.5))["status"] == "not_assessable"
