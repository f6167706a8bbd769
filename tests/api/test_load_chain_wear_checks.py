"""Wear of load chain over HTTP: each criterion at its limit, findings first, wrong input by table."""

from __future__ import annotations

from typing import Any

import pytest

PATH = "/v1/load-chain-wear-checks"


def mm(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "mm"}


SOUND: dict[str, Any] = {
    "own_link": {"wire_diameter": mm(10), "pitch": mm(30)},
    "hoist_drive": "hand",
    "link_count": 11,
    "inside_length": mm(335),
    "maker_limit_percent": 2,
    "maker_limit_links": 11,
}
NO_MAKER = {"maker_limit_percent": None, "maker_limit_links": None}


def body(**changes: Any) -> dict[str, Any]:
    return {name: value for name, value in {**SOUND, **changes}.items() if value is not None}


def check(service: Any, **changes: Any) -> dict[str, Any]:
    response = service.post(PATH, body(**changes))
    assert response.status_code == 200, response.json()
    return dict(response.json()["result"])


def test_eleven_links_inside(service):
    # H19: 335/330 is 1.515 %, three quarters of 2 %
    found = check(service)
    (criterion,) = found["criteria"]
    assert criterion["measured_percent"] == pytest.approx(1.515, abs=0.0005)
    assert criterion["limit_used_fraction"] == pytest.approx(0.7576, abs=0.00005)
    assert found["lifting_status"] == "approaching_limit"


LIMITS = [
    # drive, links, limit: the printed rule that holds for both
    ("power", 11, 1.5),
    ("hand", 11, 2.0),
    ("hand", 15, 2.5),
    ("power", 15, 1.5),
]


@pytest.mark.parametrize(("drive", "links", "limit"), LIMITS)
def test_the_strictest_printed_rule_holds_where_the_maker_is_silent(service, drive, links, limit):
    found = check(service, **NO_MAKER, hoist_drive=drive, link_count=links, inside_length=mm(30 * links * 1.001))
    assert found["criteria"][0]["limit_percent"] == limit
    assert found["criteria"][0]["limit_origin"] == "table"


def test_two_printed_rules_are_both_told(service):
    """2 % over 11 links and 2.5 % of a hand hoist both hold; with a limit of the maker neither is asked."""
    answer = service.post(PATH, body(**NO_MAKER)).json()
    (told,) = [warning["message"] for warning in answer["warnings"] if warning["code"] == "sources_disagree"]
    assert "2 %" in told
    assert "2.5 %" in told
    silent = service.post(PATH, body()).json()["warnings"]
    assert "sources_disagree" not in {warning["code"] for warning in silent}


def test_of_two_measures_near_their_limit_the_nearer_governs(service):
    """2.11: 11 links of 335.2 mm use 0.788 of 2 %, a diameter of 9.1 mm uses 0.9 of 10 %."""
    found = check(service, **NO_MAKER, inside_length=mm(335.2), diameter=mm(9.1), diameter_across=mm(9.1))
    assert found["lifting_status"] == "approaching_limit"
    assert found["governed_by"] == "diameter_loss"
    assert found["headline"].startswith("9.00 % of a 10.00 % limit")
    # The three months of the leaf-chain page are no rule for links.
    assert "three months" not in found["next_step"]


AT_THE_LIMIT = [
    ({"inside_length": mm(330 * 1.02)}, "remove_from_service", "elongation_over_links"),
    ({"inside_length": mm(330 * 1.01999)}, "approaching_limit", "elongation_over_links"),
    ({"inside_length": None, "single_link_length": mm(31.5)}, "remove_from_service", "single_link_elongation"),
    ({"inside_length": None, "single_link_length": mm(30.9)}, "within_entered_limits", "single_link_elongation"),
    ({"inside_length": None, "diameter": mm(9), "diameter_across": mm(9)}, "remove_from_service", "diameter_loss"),
    ({"inside_length": None, "diameter": mm(8.9), "diameter_across": mm(9.2)}, "approaching_limit", "diameter_loss"),
    ({"inside_length": None, "diameter": mm(4), "diameter_across": mm(4)}, "remove_from_service", "diameter_loss"),
    ({"findings": ["cracked_plate"]}, "remove_from_service", "finding"),
    ({"findings": ["weld_repair"], "inside_length": None}, "remove_from_service", "finding"),
]


@pytest.mark.parametrize(("changes", "status", "governed_by"), AT_THE_LIMIT)
def test_the_gravest_governs_and_the_limit_itself_is_out(service, changes, status, governed_by):
    found = check(service, **changes)
    assert (found["lifting_status"], found["governed_by"]) == (status, governed_by)
    assert len(found["headline"]) <= 60
    assert len(found["next_step"]) <= 140
    assert not {"safe", "fit"} & set(f"{found['headline']} {found['next_step']}".lower().split())


def test_outside_length_against_unused_links(service):
    # 1.5 % of 350 mm is 5.25 mm: at it a powered hoist is out
    lengths = {"inside_length": None, "unused_outside_length": mm(350), "hoist_drive": "power", **NO_MAKER}
    assert check(service, **lengths, outside_length=mm(355.25))["lifting_status"] == "remove_from_service"
    assert check(service, **lengths, outside_length=mm(355.24))["lifting_status"] == "approaching_limit"


def test_a_tabulated_chain_brings_its_own_figures(service):
    found = check(service, own_link=None, chain="EN 818-7 10x30")
    assert (found["pitch"]["value"], found["wire_diameter"]["value"]) == (30, 10)


def test_every_answer_defers_to_a_competent_person(service):
    cautions = {caution["code"] for caution in service.post(PATH, body()).json()["cautions"]}
    assert {"competent_person", "hoist_maker_first", "never_repair_lifting_chain"} <= cautions


WARNED = [
    ("H20 outside length sent as inside", {"inside_length": mm(353)}, "reference_suspect", "outside"),
    ("H22 one diameter", {"diameter": mm(9.5)}, "two_readings_needed", "right angles"),
    ("H23 thicker than nominal", {"diameter": mm(10.5), "diameter_across": mm(10.4)}, "diameter_suspect", "weld"),
    ("H26 maker limit missing", NO_MAKER, "maker_limit_missing", "manual"),
    ("H27 maker limit loose", {"maker_limit_percent": 3}, "limit_looser_than_published", "3 %"),
]


@pytest.mark.parametrize(("what", "changes", "code", "word"), WARNED, ids=[case[0] for case in WARNED])
def test_doubtful_input_is_told(service, what, changes, code, word):
    response = service.post(PATH, body(**changes))
    assert response.status_code == 200, (what, response.json())
    messages = [warning["message"] for warning in response.json()["warnings"] if warning["code"] == code]
    assert messages, (what, response.json()["warnings"])
    assert any(word in message for message in messages)


REFUSED = [
    ("H21 limit for five links", {"maker_limit_links": 5}, "link_count_mismatch"),
    ("H25 drive not told", {**NO_MAKER, "hoist_drive": None}, "drive_kind_missing"),
    ("H28 sling chain", {"own_link": None, "chain": "EN 818-3 7"}, "rule_not_applicable"),
    ("another family", {"own_link": None, "chain": "80"}, "family_wrong_route"),
    ("no chain", {"own_link": None}, "field_required"),
    ("links that let none in", {"own_link": {"wire_diameter": mm(15), "pitch": mm(30)}}, "geometry_impossible"),
    ("two chains", {"chain": "EN 818-7 10x30"}, "over_determined"),
    ("nothing measured", {"inside_length": None}, "field_required"),
    ("length without links", {"link_count": None, **NO_MAKER}, "pitches_missing"),
    ("beyond any chain", {"inside_length": mm(380)}, "implausible_elongation"),
    ("no links", {"link_count": 0}, "must_be_positive"),
]


@pytest.mark.parametrize(("what", "changes", "code"), REFUSED, ids=[case[0] for case in REFUSED])
def test_refused_input(service, what, changes, code):
    response = service.post(PATH, body(**changes))
    assert response.status_code == 422, (what, response.json())
    assert code in {fault["code"] for fault in response.json()["errors"]}, (what, response.json()["errors"])
