"""Lubrication advice over HTTP: methods at their limits, grades of the printed table, when not to oil, holes."""

from __future__ import annotations

from typing import Any

import pytest

PATH = "/v1/lubrication-advice"


def advise(service: Any, **body: Any) -> dict[str, Any]:
    response = service.post(PATH, {"chain": "40", **body})
    assert response.status_code == 200, response.json()
    return dict(response.json()["result"])


def feet(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "ft/min"}


def celsius(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "degC"}


METHODS = [
    # service page: 300 and 2300 ft/min for chain 40; 150 and 1300 for chain 100; the limit itself still holds
    ("40", 300, "manual_or_drip"),
    ("40", 301, "bath_or_disc"),
    ("40", 2300, "bath_or_disc"),
    ("40", 2301, "forced_stream"),
    ("100", 150, "manual_or_drip"),
    ("100", 1301, "forced_stream"),
]


@pytest.mark.parametrize(("chain", "speed", "method"), METHODS)
def test_method_by_chain_speed(service, chain, speed, method):
    assert advise(service, chain=chain, chain_speed=feet(speed))["method"] == method


def test_textbook_drive_needs_an_oil_bath(service):
    # mott-4, example 7-3: chain 40, 17 teeth at 900 r/min has type B, an oil bath
    assert advise(service, speed={"value": 900, "unit": "r/min"}, teeth=17)["method"] == "bath_or_disc"


def test_the_stricter_edition_decides(service):
    # 17 teeth at 300 r/min: 212 ft/min, below the 300 of the older list, above the 180 r/min of the newer ratings
    found = advise(service, speed={"value": 300, "unit": "r/min"}, teeth=17)
    editions = {edition["edition"]: edition for edition in found["editions"]}
    assert editions["older"]["method"] == "manual_or_drip"
    assert (editions["newer"]["method"], editions["newer"]["or_better"]) == ("bath_or_disc", True)
    assert found["method"] == "bath_or_disc"
    assert any("not read" in hole for hole in found["holes"])


def test_speed_of_a_wheel_is_that_of_its_chain(service):
    # 17 teeth of half an inch at 360 r/min: 17 * 0.5 / 12 * 360 = 255 ft/min
    found = advise(service, speed={"value": 360, "unit": "r/min"}, teeth=17, units="inch")
    assert found["chain_speed"]["value"] == pytest.approx(255)
    assert found["chain_speed"]["unit"] == "ft/min"


GRADES = [
    # Table 7.1 of the handbook, p. 73, by chain number: (chain, degC, grade)
    ("50", -5, "10W"),
    ("50", 20, "20"),
    ("50", 45, "30"),
    ("50", 55, "40"),
    ("60", 20, "30"),
    ("80", 0, "20"),
    ("80", 1, "30"),
    ("100", 40, "30"),
    ("100", 41, "40"),
    ("120", 20, "40"),
    ("240", 60, "50"),
    ("40", -10, "10W"),
]


@pytest.mark.parametrize(("chain", "ambient", "grade"), GRADES)
def test_grade_of_the_printed_table(service, chain, ambient, grade):
    assert advise(service, chain=chain, ambient_temperature=celsius(ambient))["sae_grade"] == grade


def test_fahrenheit_is_read_as_such(service):
    assert advise(service, ambient_temperature={"value": 68, "unit": "degF"})["sae_grade"] == "20"


HOLES = [
    ({"ambient_temperature": celsius(61)}, "degC"),
    ({"ambient_temperature": celsius(-11)}, "degC"),
    ({}, "send ambient_temperature"),
    ({}, "send chain_speed"),
    ({"chain": "16B", "chain_speed": feet(100)}, "16B"),
    ({"chain": "BL834", "ambient_temperature": celsius(20)}, "roller chain"),
    ({"chain_speed": feet(2400)}, "flow of an oil stream"),
    ({"chain_speed": feet(100)}, "small wheel"),
]


@pytest.mark.parametrize(("sent", "word"), HOLES)
def test_what_was_not_found_is_named(service, sent, word):
    assert any(word in hole for hole in advise(service, **sent)["holes"])


def test_quantities_stand_side_by_side_with_their_sources(service):
    drip = [row for row in advise(service, chain_speed=feet(100))["quantities"] if row["method"] == "drip"]
    assert {(row["least"], row.get("greatest"), row["source_id"]) for row in drip} == {
        (5, 20, "complete-guide-chain"),
        (5, 50, "trade-lubrication"),
        (5, 10, "tribology-handbook"),
        (20, None, "tribology-handbook"),
    }


def test_inches_are_converted(service):
    # 6 to 12 mm
    (bath,) = [
        row
        for row in advise(service, chain_speed=feet(1000), units="inch")["quantities"]
        if row["quantity"] == "immersion"
    ]
    assert (bath["least"], bath["greatest"]) == pytest.approx((0.23622, 0.472441), rel=1e-5)
    assert bath["unit"] == "in"


def test_conveyors_have_intervals_of_their_own(service):
    rows = advise(service, application="conveyor")["quantities"]
    assert {row["greatest"] for row in rows if row["quantity"] == "interval"} == {40, 168}


SPEED_ALONE = [(0.5, "manual", True), (0.51, "manual", False), (7.5, "stream", True), (7.4, "stream", False)]


@pytest.mark.parametrize(("metres", "method", "admits"), SPEED_ALONE)
def test_texts_that_go_by_speed_alone(service, metres, method, admits):
    found = advise(service, chain="16B", chain_speed={"value": metres, "unit": "m/s"})["by_speed_alone"]
    assert [text["admits"] for text in found if text["method"] == method] == [admits]


OIL = [
    (["grit_under_water"], "no"),
    (["grit_under_water", "wash_down"], "no"),
    (["self_lubricating"], "no"),
    (["sealed_joint"], "special"),
    (["food"], "special"),
    (["wash_down"], "special"),
    (["hot"], "special"),
    (["clean_water"], "yes"),
    ([], "yes"),
]


@pytest.mark.parametrize(("cases", "oil"), OIL)
def test_when_not_to_oil(service, cases, oil):
    found = advise(service, cases=cases, ambient_temperature=celsius(20), chain_speed=feet(100))
    assert found["oil"] == oil
    assert ("sae_grade" in found, "quantities" in found) == ((oil != "no"),) * 2


def test_gritty_water_rests_on_the_handbook(service):
    (case,) = advise(service, cases=["grit_under_water"])["cases"]
    assert (case["source_id"], case["confidence"]) == ("mil-hdbk-1164", "published")
    assert "Do not oil" in case["advice"]


def test_a_dry_chain_is_not_oiled_where_the_place_forbids_it(service):
    assert advise(service, lubrication_state="dry")["state"]["action"] == "lubricate"
    assert "state" not in advise(service, lubrication_state="dry", cases=["grit_under_water"])
    assert advise(service, lubrication_state="under_water_grit")["oil"] == "no"


def test_leaf_chain_brings_its_own_case(service):
    (case,) = advise(service, chain="BL834")["cases"]
    assert case["case"] == "leaf_chain"


def test_nothing_is_oiled_by_hand_on_a_running_chain(service):
    answer = service.post(PATH, {"chain": "40", "cases": ["clean_water"]}).json()
    assert "locked off" in answer["result"]["cases"][0]["advice"]
    assert "isolate_and_lock_off" in {caution["code"] for caution in answer["cautions"]}


REFUSED = [
    ("speed without teeth", {"speed": {"value": 300, "unit": "rpm"}}, "field_required"),
    ("teeth without speed", {"teeth": 17}, "field_required"),
    ("two speeds", {"chain_speed": feet(100), "teeth": 17, "speed": {"value": 3, "unit": "rpm"}}, "over_determined"),
    ("clean and gritty water", {"cases": ["clean_water", "grit_under_water"]}, "contradiction"),
    ("no chain", {"chain": None}, "field_required"),
    ("unknown place", {"cases": ["washdown"]}, "enum_unknown"),
    ("speed in rpm as chain speed", {"chain_speed": {"value": 300, "unit": "rpm"}}, "unit_wrong_quantity"),
]


@pytest.mark.parametrize(("what", "sent", "code"), REFUSED, ids=[case[0] for case in REFUSED])
def test_refused_input(service, what, sent, code):
    body = {name: value for name, value in {"chain": "40", **sent}.items() if value is not None}
    response = service.post(PATH, body)
    assert response.status_code == 422, (what, response.json())
    assert code in {fault["code"] for fault in response.json()["errors"]}, (what, response.json()["errors"])
