"""Choice of a family over HTTP: the choices of the trade, what an answer shows, and that its sums add up."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from service.reference.families import load_families

PATH = "/v1/family-selections"
FAMILIES = load_families()
CHOICES: list[dict[str, Any]] = tomllib.loads(
    (Path(__file__).parent / "family_choices.toml").read_text(encoding="utf-8")
)["choice"]
OPEN = {family.id for family in FAMILIES.families if FAMILIES.rating(family.id, "open_joint").rating >= 3}
CAST = {family.id for family in FAMILIES.families if "cast" in family.made_by}


def ranked(service: Any, duty: dict[str, Any]) -> dict[str, Any]:
    response = service.post(PATH, {**duty, "limit": 30})
    assert response.status_code == 200, response.json()
    result: dict[str, Any] = response.json()["result"]
    return result


@pytest.mark.parametrize("choice", CHOICES, ids=[choice["id"] for choice in CHOICES])
def test_the_usual_family_stands_where_the_trade_puts_it(service, choice):
    result = ranked(service, choice["duty"])
    places = {entry["family"]: entry["rank"] for entry in result["ranked"]}
    for family in choice.get("first", []):
        assert places[family] <= choice["among"], places
    if "one_of" in choice:
        assert min(places.get(family, 99) for family in choice["one_of"]) <= choice["among"], places
    for better, worse in [choice["above"]] if "above" in choice else []:
        assert all(places[good] < places.get(bad, 99) for good in better for bad in worse), places
    if choice.get("open_above_closed"):
        assert set(places) <= OPEN


def test_crusher_drive_leaves_out_silent_and_cast_chain_for_shock(service):
    result = ranked(service, {"purpose": "drive", "shock": "severe", "dirt": "dirty"})
    gone = {entry["family"]: {reason["fact"] for reason in entry["reasons"]} for entry in result["left_out"]}
    for family in {"silent", *CAST}:
        assert "shock" in gone[family], family


def test_reasons_name_what_the_trade_gives_as_reason(service):
    special = ranked(service, {"purpose": "convey", "attachments": "special"})["ranked"][0]
    assert special["family"] == "mill_welded"
    (term,) = [term for term in special["terms"] if term["fact"] == "attachments"]
    assert "weld" in term["reason"].lower()
    duty = {"purpose": "elevate", "load": "heavy", "abrasion": "severe", "joint_renewal": True}
    renewable = ranked(service, duty)["ranked"][0]
    (term,) = [term for term in renewable["terms"] if term["fact"] == "joint_renewal"]
    assert "bush" in term["reason"].lower()
    assert "pin" in term["reason"].lower()


def test_silent_chain_is_called_quieter_never_noiseless(service):
    first = ranked(service, {"purpose": "drive", "noise": "quiet", "speed": {"value": 12, "unit": "m/s"}})["ranked"][0]
    sentences = " ".join(caution["statement"] for caution in first["cautions"])
    assert "Quieter than roller chain, never noiseless." in sentences


def test_points_are_weight_times_rating_and_add_up(service):
    for entry in ranked(service, {"purpose": "convey", "abrasion": "mild", "cost": "lowest"})["ranked"]:
        assert entry["points"] == pytest.approx(sum(term["points"] for term in entry["terms"]))
        for term in entry["terms"]:
            assert term["points"] == pytest.approx(term["weight"] * term["rating"])
            assert term["weight_provenance"]["confidence"] == "practice"


def test_order_follows_points_within_those_that_suit_the_purpose(service):
    entries = ranked(service, {"purpose": "drag", "cost": "matters", "dirt": "dirty"})["ranked"]
    keys = [(not entry["suits_purpose"], -entry["points"]) for entry in entries]
    assert keys == sorted(keys)


def test_every_family_is_ranked_or_left_out_with_a_reason(service):
    result = ranked(service, {"purpose": "elevate", "corrosion": "severe", "load": "heavy"})
    names = [entry["family"] for entry in result["ranked"]] + [entry["family"] for entry in result["left_out"]]
    assert sorted(names) == sorted(family.id for family in FAMILIES.families)
    assert all(entry["reasons"] for entry in result["left_out"])
    assert result["families_left"] == len(result["ranked"])


def test_a_further_fact_does_what_was_foretold(service):
    """Each foretold change is sent as a duty of its own and the first family compared."""
    duty = {"purpose": "convey", "load": "medium"}
    foretold = ranked(service, duty)["would_change_first"]
    sendable = [change for change in foretold if change["fact"] not in ("speed", "temperature")]
    assert len(sendable) >= 5
    for change in sendable:
        level = True if change["level"] == "yes" else change["level"]
        then = ranked(service, {**duty, change["fact"]: level})["ranked"]
        assert (then[0]["family"] if then else None) == change.get("first"), change


def test_a_fact_that_was_not_foretold_leaves_the_first_family(service):
    duty = {"purpose": "convey", "load": "medium"}
    result = ranked(service, duty)
    foretold = {(change["fact"], change["level"]) for change in result["would_change_first"]}
    quiet = {("cost", "matters"), ("lubrication", "none"), ("reversing", "yes"), ("wheel", "toothed")} - foretold
    assert len(quiet) >= 2
    for fact, level in quiet:
        then = ranked(service, {**duty, fact: True if level == "yes" else level})
        assert then["ranked"][0]["family"] == result["ranked"][0]["family"], fact


def test_rating_of_the_caller_counts_and_is_marked(service):
    duty = {"purpose": "drive", "noise": "quiet"}
    own = [{"family": "roller", "criterion": "quietness", "rating": 4.0, "reason": "our own measurement"}]
    before = {entry["family"]: entry["points"] for entry in ranked(service, duty)["ranked"]}
    after = {entry["family"]: entry for entry in ranked(service, {**duty, "ratings": own})["ranked"]}
    rating = FAMILIES.rating("roller", "quietness").rating
    assert after["roller"]["points"] - before["roller"] == pytest.approx(1.5 * (4 - rating))
    (term,) = [term for term in after["roller"]["terms"] if term["criterion"] == "quietness"]
    assert (term["origin"], term["reason"]) == ("given", "our own measurement")
    assert "rating_provenance" not in term
    status, codes = service.codes(PATH, {**duty, "ratings": own})
    assert (status, "rating_overridden" in codes) == (200, True)


def test_rating_of_the_caller_can_leave_a_family_out(service):
    own = [{"family": "roller", "criterion": "drive", "rating": 0}]
    result = ranked(service, {"purpose": "drive", "ratings": own})
    (roller,) = [entry for entry in result["left_out"] if entry["family"] == "roller"]
    assert roller["reasons"][0]["origin"] == "given"


def test_present_family_is_placed_and_the_better_ones_named(service):
    duty = {"purpose": "elevate", "present": {"family": "bushed_steel", "trouble": "rotted_pins"}}
    present = ranked(service, duty)["present"]
    assert present["rank"] >= 1
    worst = FAMILIES.rating("bushed_steel", "corrosion").rating
    assert present["better_at_the_trouble"]
    assert all(FAMILIES.rating(name, "corrosion").rating > worst for name in present["better_at_the_trouble"])


def test_no_better_family_is_told(service):
    duty = {"purpose": "elevate", "present": {"family": "bushed_steel", "trouble": "joint_wear_by_grit"}}
    assert service.codes(PATH, duty)[1] >= {"no_family_better"}


def test_nothing_left_is_an_answer(service):
    duty = {"purpose": "lift", "wheel": "pocket_wheel", "attachments": "special"}
    assert ranked(service, duty)["ranked"] == []
    assert service.codes(PATH, duty)[1] >= {"no_family_left"}


def test_lifting_carries_its_cautions(service):
    cautions = {entry["code"] for entry in service.post(PATH, {"purpose": "lift"}).json()["cautions"]}
    assert {"overhead_lifting", "competent_person", "no_people"} <= cautions


def test_speed_far_above_the_usual_leaves_out(service):
    result = ranked(service, {"purpose": "drag", "speed": {"value": 400, "unit": "m/min"}})
    gone = {entry["family"]: [reason["fact"] for reason in entry["reasons"]] for entry in result["left_out"]}
    assert "speed" in gone["drag_welded"]


def test_units_of_speed_and_temperature_do_not_matter(service):
    metric = ranked(
        service,
        {"purpose": "convey", "speed": {"value": 3, "unit": "m/s"}, "temperature": {"value": 250, "unit": "degC"}},
    )
    inch = ranked(
        service,
        {
            "purpose": "convey",
            "speed": {"value": 3 * 60 / 0.3048, "unit": "ft/min"},
            "temperature": {"value": 482, "unit": "degF"},
        },
    )
    assert metric == inch


REFUSED = [
    ("no duty given", {}, "duty_missing", "/purpose"),
    ("load but no duty", {"load": "heavy", "shock": "severe"}, "duty_missing", "/purpose"),
    ("unknown purpose", {"purpose": "transport"}, "enum_unknown", "/purpose"),
    ("unknown family", {"purpose": "drive", "present": {"family": "belt"}}, "family_unknown", "/present/family"),
    (
        "unknown criterion",
        {"purpose": "drive", "ratings": [{"family": "roller", "criterion": "beauty", "rating": 4}]},
        "criterion_unknown",
        "/ratings/0/criterion",
    ),
    (
        "rated twice",
        {"purpose": "drive", "ratings": [{"family": "roller", "criterion": "shock", "rating": r} for r in (1, 2)]},
        "over_determined",
        "/ratings/1",
    ),
    (
        "rating beyond the scale",
        {"purpose": "drive", "ratings": [{"family": "roller", "criterion": "shock", "rating": 5}]},
        "number_out_of_range",
        "/ratings/0/rating",
    ),
    (
        "half a rating",
        {"purpose": "drive", "ratings": [{"family": "roller", "criterion": "shock", "rating": 2.5}]},
        "must_be_whole",
        "/ratings/0/rating",
    ),
]


@pytest.mark.parametrize(("what", "body", "code", "pointer"), REFUSED, ids=[case[0] for case in REFUSED])
def test_wrong_input_is_refused_where_it_stands(service, what, body, code, pointer):
    response = service.post(PATH, body)
    assert response.status_code == 422, (what, response.json())
    assert (code, pointer) in {(fault["code"], fault["pointer"]) for fault in response.json()["errors"]}
