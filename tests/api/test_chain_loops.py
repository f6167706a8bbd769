"""Loops over HTTP: wiring, and wrong input by table; geometry is owned by tests/core."""

from __future__ import annotations

from typing import Any

import pytest

PATH = "/v1/chain-loops"


def wheel(x: float, y: float, **more: Any) -> dict[str, Any]:
    return {"x": {"value": x, "unit": "mm"}, "y": {"value": y, "unit": "mm"}, **more}


def mm(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "mm"}


PAIR = [wheel(0, 0, teeth=20), wheel(600, 0, teeth=20)]
RECTANGLE = [wheel(0, 0, teeth=20), wheel(1000, 0, teeth=20), wheel(1000, 400, teeth=20), wheel(0, 400, teeth=20)]
SERPENTINE = [
    wheel(0, 0, teeth=24),
    wheel(400, -60, teeth=17, side="outside"),
    wheel(800, 0, teeth=30),
    wheel(850, 500, teeth=19),
    wheel(380, 270, teeth=15, side="outside"),
]


def slide(least: float, greatest: float, index: int = 1, direction: float = 0) -> dict[str, Any]:
    return {
        "wheel": index,
        "direction": {"value": direction, "unit": "deg"},
        "minimum_travel": mm(least),
        "maximum_travel": mm(greatest),
    }


def body(wheels: list[dict[str, Any]], **changes: Any) -> dict[str, Any]:
    return {"chain": "08B", "wheels": wheels, **changes}


def test_two_wheels_are_a_chain_length(service):
    loop = service.post(PATH, body([wheel(0, 0, teeth=19), wheel(500, 0, teeth=38)])).json()["result"]
    length = {"chain": "08B", "driver_teeth": 19, "driven_teeth": 38, "centre_distance": mm(500)}
    plain = service.post("/v1/chain-lengths", length).json()["result"]
    assert loop["length_exact_pitches"] == pytest.approx(plain["length_exact_pitches"], rel=1e-11)


def test_a_take_up_gives_the_centres_of_the_chain_length(service):
    answer = service.post(PATH, body(PAIR, slide=slide(-20, 20))).json()["result"]
    assert [choice["pitch_count"] for choice in answer["choices"]] == [112, 114, 116]
    choice = next(c for c in answer["choices"] if c["pitch_count"] == answer["pitch_count"])
    centres = 600 + choice["slide_travel"]["value"]
    asked = {"chain": "08B", "driver_teeth": 20, "driven_teeth": 20, "pitch_count": answer["pitch_count"]}
    plain = service.post("/v1/chain-lengths", asked).json()["result"]
    assert centres == pytest.approx(plain["centre_distance"]["value"], rel=1e-10)
    assert answer["wheels"][1]["centre"]["x"]["value"] == pytest.approx(centres, abs=1e-8)
    assert choice["wear_reserve_percent"] == pytest.approx(100 * 20.0 / centres - 100 * (centres - 600) / centres)


def test_asked_count_on_a_take_up(service):
    answer = service.post(PATH, body(PAIR, slide=slide(-30, 30), pitch_count=116)).json()["result"]
    assert answer["pitch_count"] == 116
    assert [choice["pitch_count"] for choice in answer["choices"]] == [116]


def test_mixed_units_are_one_layout(service):
    mixed = [wheel(0, 0, teeth=20), {"x": {"value": 600 / 25.4, "unit": "in"}, "y": mm(0), "teeth": 20}]
    one, other = (service.post(PATH, body(wheels)).json()["result"] for wheels in (PAIR, mixed))
    assert one["length_exact_pitches"] == pytest.approx(other["length_exact_pitches"], rel=1e-11)


def test_y_down_is_the_same_picture(service):
    """Coordinates of a screen: the length is the same, senses are those seen, and points come back as sent."""
    flipped = [{**w, "y": mm(-w["y"]["value"])} for w in SERPENTINE]
    up = service.post(PATH, body(SERPENTINE)).json()["result"]
    answer = service.post(PATH, body(flipped, y_axis="down")).json()
    down = answer["result"]
    assert down["length_exact_pitches"] == up["length_exact_pitches"]
    assert down["travel"] == up["travel"] == "counter_clockwise"
    assert [w["centre"]["y"]["value"] for w in down["wheels"]] == [-w["centre"]["y"]["value"] for w in up["wheels"]]
    assert "/y_axis" in {assumption["field"] for assumption in answer["assumptions"]}


def test_speeds_and_senses(service):
    wheels = service.post(PATH, body(SERPENTINE)).json()["result"]["wheels"]
    assert [w["speed_ratio"] for w in wheels] == pytest.approx([1, 17 / 24, 30 / 24, 19 / 24, 15 / 24])
    assert [w["turns"] == wheels[0]["turns"] for w in wheels] == [True, False, True, True, False]


def test_inch_answer_is_the_same_loop(service):
    metric = service.post(PATH, body(SERPENTINE)).json()["result"]
    inch = service.post(PATH, body(SERPENTINE, units="inch")).json()["result"]
    assert inch["strands"][0]["length"]["value"] * 25.4 == pytest.approx(metric["strands"][0]["length"]["value"])
    assert inch["length_exact_pitches"] == metric["length_exact_pitches"]


def test_working_names_the_equations(service):
    answer = service.post(PATH, body(PAIR, slide=slide(-20, 20), working="full")).json()
    used = {step["equation"] for step in answer["working"]}
    assert {"loop_conflicts.clear_loop", "take_ups.travels_for_pitches", "take_ups.wear_reserve"} <= used


def test_plain_wheels_need_no_teeth(service):
    wheels = [*PAIR, wheel(300, 45, pitch_diameter=mm(60), side="outside")]
    answer = service.post(PATH, body(wheels))
    assert answer.status_code == 200, answer.json()
    assert answer.json()["result"]["wheels"][2]["pitch_diameter"]["value"] == 60


def test_forty_wheels(service):
    """A ladder of twenty wheels on either side; every second one is outside."""
    below = [wheel(100 * i, 25 * (i % 2), teeth=11, side="outside" if i % 2 else "inside") for i in range(20)]
    above = [wheel(100 * i, 900 - 25 * (i % 2), teeth=11, side="outside" if i % 2 else "inside") for i in range(20)]
    corner = {**below[19], "side": "inside", "y": mm(-40)}
    other = {**above[19], "side": "inside", "y": mm(940)}
    wheels = [*below[:19], corner, other, *above[:19][::-1]]
    answer = service.post(PATH, body(wheels))
    assert answer.status_code == 200, answer.json()
    assert len(answer.json()["result"]["strands"]) == 40


CASES = [
    # row of the list of wrong input, body, status, code, words that the message must hold
    ("L12 one wheel", body(PAIR[:1]), 422, "two_wheels_needed", "1 given"),
    ("L13 same point", body([PAIR[0], PAIR[0], PAIR[1]]), 422, "wheels_coincide", "Wheels 1 and 2"),
    ("circles overlap", body([PAIR[0], wheel(60, 0, teeth=20)]), 422, "centres_overlap", "81.18"),
    ("teeth touch", body([PAIR[0], wheel(83, 0, teeth=20)]), 422, "teeth_would_touch", "teeth"),
    (
        "L14 out of order",
        body([RECTANGLE[0], RECTANGLE[2], RECTANGLE[1], RECTANGLE[3]]),
        422,
        "path_crosses",
        "from wheel 1 to 2 crosses",
    ),
    ("L14 one side wrong", body([PAIR[0], {**PAIR[1], "side": "outside"}]), 422, "path_crosses", "crosses"),
    (
        "L15 inside flagged as outside",
        body([PAIR[0], wheel(300, -20, teeth=15, side="outside"), PAIR[1]]),
        200,
        "wrap_small",
        "inside the loop it would be wrapped by",
    ),
    (
        "L16 not touched",
        body([PAIR[0], wheel(300, 0, teeth=15), PAIR[1]]),
        422,
        "wheel_not_wrapped",
        "Wheel 2",
    ),
    (
        "L17 order not along the path",
        body([*RECTANGLE[:3], wheel(500, 150, teeth=15, side="outside"), RECTANGLE[3]]),
        200,
        "order_suspect",
        "1, 4, 2, 3, 5",
    ),
    (
        "L18 few teeth on the driver",
        body([*PAIR, wheel(300, 45, teeth=15, side="outside")], driver_wheel=2),
        200,
        "teeth_engaged_few",
        "Wheel 3",
    ),
    (
        "L19 mixed pitches",
        body([PAIR[0], wheel(600, 0, teeth=20, pitch_diameter=mm(101.48))]),
        422,
        "pitch_mismatch",
        "12.7 mm pitch",
    ),
    ("L22 travel negative", body(PAIR, slide=slide(0, -50)), 422, "range_reversed", "-50"),
    ("L24 no even count in the travel", body(PAIR, slide=slide(0, 5)), 200, "no_even_solution", "114 and 116"),
    ("odd count asked", body(PAIR, pitch_count=117), 200, "odd_pitch_count", "116 and 118"),
    ("too short", body(PAIR, pitch_count=112), 422, "chain_too_short", "116 or more"),
    ("too long for the take-up", body(PAIR, slide=slide(0, 20), pitch_count=130), 422, "chain_too_long", "117.6"),
    ("too short for the take-up", body(PAIR, slide=slide(0, 20), pitch_count=110), 422, "chain_too_short", "114.4"),
    (
        "take-up lets go of the chain",
        body([*PAIR, wheel(300, 45, teeth=15, side="outside")], slide=slide(0, 90, 2, 90)),
        422,
        "travel_leaves_loop",
        "90 mm",
    ),
    ("wheel of no size", body([PAIR[0], wheel(600, 0)]), 422, "field_required", "Wheel 2"),
    ("teeth no number", body([PAIR[0], wheel(600, 0, teeth=19.3)]), 422, "must_be_whole", "19.3"),
    ("driver that is not there", body(PAIR, driver_wheel=2), 422, "wheel_unknown", "0 to 1"),
    ("slide that is not there", body(PAIR, slide=slide(0, 5, 7)), 422, "wheel_unknown", "wheel 7"),
    ("forty-one wheels", body(PAIR * 20 + PAIR[:1]), 422, "too_many_items", "41"),
    (
        "wheel in the way of a strand",
        body([*RECTANGLE[:3], wheel(500, -5, teeth=15, side="outside"), RECTANGLE[3]]),
        422,
        "strand_fouls_wheel",
        "wheel 4",
    ),
]


@pytest.mark.parametrize(("sent", "status", "code", "word"), [case[1:] for case in CASES], ids=[c[0] for c in CASES])
def test_wrong_input(service, sent, status, code, word):
    messages = service.messages(PATH, sent, status, code)
    assert any(word in message for message in messages), messages


def test_crossing_strands_hint_at_an_order_that_does(service):
    errors = service.post(PATH, body([RECTANGLE[0], RECTANGLE[2], RECTANGLE[1], RECTANGLE[3]])).json()["errors"]
    assert errors[0]["hint"] == "In the order 1, 3, 2, 4 the strands do not cross."


def test_no_even_count_is_an_answer_without_choices(service):
    result = service.post(PATH, body(PAIR, slide=slide(0, 5))).json()["result"]
    assert result["choices"] == []
    assert "pitch_count" not in result
    assert len(result["strands"]) == 2


def test_wrap_of_the_driver_is_checked_against_print(service):
    wheels = [wheel(0, 0, teeth=13), wheel(300, 0, teeth=76)]
    answer = service.post(PATH, body(wheels)).json()
    check = next(c for c in answer["checks"] if c["name"] == "wrap_of_driver")
    assert (check["limit"]["value"], check["verdict"]) == (120, "pass")
    assert check["actual"]["value"] == pytest.approx(129.856393363, rel=1e-10)
    assert "mott-4" in {source["id"] for source in answer["sources"]}


def test_what_is_not_known_of_a_chain_is_assumed_aloud(service):
    own = {"pitch": mm(12.7)}
    wheels = [wheel(0, 0, teeth=20), wheel(600, 0, pitch_diameter=mm(80))]
    answer = service.post(PATH, {"own_chain": own, "wheels": wheels}).json()
    assumed = {entry["field"]: entry["origin"] for entry in answer["assumptions"]}
    assert assumed["/own_chain/inner_plate_height"] == "default"
    assert assumed["/wheels/0/outside_diameter"] == "derived"
    assert assumed["/wheels/1/outside_diameter"] == "default"


def test_an_outside_diameter_that_was_sent_is_used(service):
    wheels = [wheel(0, 0, teeth=20, outside_diameter=mm(90)), wheel(95, 0, teeth=20, outside_diameter=mm(100))]
    assert service.messages(PATH, body(wheels), 422, "teeth_would_touch")
    assert service.post(PATH, body([wheels[0], wheel(120, 0, teeth=20)])).status_code == 200
