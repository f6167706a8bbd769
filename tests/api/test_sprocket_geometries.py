"""Sprocket geometry over HTTP: wiring and wrong input; numbers are owned by tests/published and tests/core."""

from __future__ import annotations

from math import cos, hypot, pi, sin
from typing import Any

import pytest

PATH = "/v1/sprocket-geometries"


def mm(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "mm"}


def inches(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "in"}


def own(**changes: Any) -> dict[str, Any]:
    figures = {"pitch": mm(25.4), "roller_diameter": mm(15.88), "inner_width": mm(15.75), **changes}
    return {name: value for name, value in figures.items() if value is not None}


def body(**changes: Any) -> dict[str, Any]:
    return {name: value for name, value in {"chain": "16B", "teeth": 20, **changes}.items() if value is not None}


METRIC_KEY = {"standard": "iso_r_773"}


def circle(diameter: float, count: int, hole: float) -> dict[str, Any]:
    return {"diameter": mm(diameter), "hole_count": count, "hole_diameter": mm(hole)}


CASES = [
    # row of the list of wrong input, changes, status, code, words that the message must hold
    ("G1 no teeth", {"teeth": 0}, 422, "must_be_positive", "teeth"),
    ("G1 one tooth", {"teeth": 1}, 422, "teeth_below_minimum", "3"),
    ("G1 two teeth", {"teeth": 2}, 422, "teeth_below_minimum", "3"),
    ("G2 three teeth", {"teeth": 3}, 422, "teeth_below_minimum", "no usable tooth form"),
    ("G2 four teeth", {"teeth": 4}, 422, "teeth_below_minimum", "5 is the least"),
    ("G3 five teeth", {"teeth": 5}, 200, "teeth_few", "9"),
    ("G4 many teeth", {"teeth": 400}, 200, "teeth_many", "150"),
    ("wheel beyond the tolerances", {"teeth": 400}, 200, "tolerance_not_tabulated", "3150"),
    ("G5 too many teeth", {"teeth": 10_000}, 422, "teeth_above_limit", "1000"),
    ("G6 half a tooth", {"teeth": 17.5}, 422, "must_be_whole", "teeth"),
    ("G7 designation and own pitch", {"own_chain": own(pitch=mm(19.05))}, 422, "over_determined", "not both"),
    (
        "G8 roller as large as the pitch",
        {"chain": None, "own_chain": own(roller_diameter=mm(25.4))},
        422,
        "geometry_impossible",
        "exchanged",
    ),
    (
        "G8 roller nearly as large as the pitch",
        {"chain": None, "own_chain": own(roller_diameter=mm(21))},
        200,
        "geometry_suspect",
        "0.83",
    ),
    ("G9 worn roller", {"chain": None, "own_chain": own(roller_diameter=mm(15.4))}, 200, "worn_dimension", "15.875"),
    ("G10 worn pitch", {"chain": None, "own_chain": own(pitch=mm(26.1))}, 200, "worn_dimension", "25.4"),
    ("G11 bore as large as the root circle", {"bore": mm(146.5)}, 422, "bore_too_large", "146.488"),
    ("G11 bore as large as the hub", {"bore": mm(60), "hub": {"diameter": mm(60)}}, 422, "bore_too_large", "hub"),
    ("G12 keyway into the tooth gap", {"bore": mm(138), "keyway": METRIC_KEY}, 422, "wall_too_thin", "keyway reaches"),
    (
        "G12 keyway through the hub",
        {"bore": mm(50), "hub": {"diameter": mm(58)}, "keyway": METRIC_KEY},
        422,
        "wall_too_thin",
        "29",
    ),
    (
        "G14 keyway wider than the bore",
        {"bore": mm(20), "keyway": {"width": mm(25), "hub_depth": mm(3)}},
        422,
        "geometry_impossible",
        "25 mm",
    ),
    ("G15 keyway without standard", {"bore": mm(50), "keyway": {}}, 422, "keyway_standard_needed", "asme_b17_1"),
    ("G15 half of an own keyway", {"bore": mm(50), "keyway": {"width": mm(14)}}, 422, "keyway_standard_needed", "inch"),
    (
        "keyway twice",
        {"bore": mm(50), "keyway": {**METRIC_KEY, "width": mm(14)}},
        422,
        "over_determined",
        "not both",
    ),
    ("keyway without bore", {"keyway": METRIC_KEY}, 422, "field_required", "bore"),
    ("keyway in a blank", {"bore": mm(0), "keyway": METRIC_KEY}, 422, "field_required", "bore"),
    ("shaft below the table of keys", {"bore": mm(5), "keyway": METRIC_KEY}, 422, "diameter_beyond_table", "6 to 500"),
    (
        "rectangular key that is not in the standard",
        {"bore": inches(0.375), "keyway": {"standard": "asme_b17_1", "shape": "rectangular"}},
        422,
        "keyway_not_standard",
        "rectangular",
    ),
    (
        "torque without length of the key",
        {"bore": mm(50), "keyway": {**METRIC_KEY, "torque": {"value": 500, "unit": "N.m"}}},
        422,
        "key_length_missing",
        "length",
    ),
    ("G16 negative kerf", {"kerf": mm(-1.5)}, 422, "must_be_positive", "kerf"),
    ("G17 wide kerf", {"kerf": mm(40)}, 422, "kerf_suspect", "10"),
    ("kerf wider than a hole", {"kerf": mm(6), "bolt_circle": circle(90, 4, 5.5)}, 422, "kerf_too_wide", "5.5"),
    ("G18 kerf", {"kerf": mm(1.5)}, 200, "kerf_applied", "1.5 mm"),
    ("G19 plate too thick", {"plate_thickness": mm(20)}, 422, "too_thick_for_chain", "16.17"),
    ("G20 thin plate", {"plate_thickness": mm(6)}, 200, "face_narrow", "16.17"),
    (
        "G21 two strands from one plate",
        {"plate_thickness": mm(12), "strand_count": 2},
        422,
        "needs_hub_build",
        "transverse pitch",
    ),
    ("G22 leaf chain", {"chain": "BL423"}, 422, "leaf_runs_on_sheave", "sheave"),
    ("G23 silent chain", {"chain": "SC302"}, 422, "form_not_applicable", "silent"),
    ("G24 engineering chain", {"chain": "WR132"}, 422, "form_not_published", "tooth form"),
    ("G24 double pitch chain", {"chain": "2040"}, 422, "form_not_published", "double pitch"),
    ("G30 odd teeth", {"teeth": 21}, 200, "odd_teeth_measured", "longest chord"),
    ("G31 thin gauge pin", {"gauge_pin_diameter": mm(15)}, 422, "gauge_pin_unsuitable", "15.88"),
    ("G31 thick gauge pin", {"gauge_pin_diameter": mm(15.9)}, 422, "gauge_pin_unsuitable", "15.88"),
    ("G32 worn wheel", {"measured_caliper_diameter": mm(144.49)}, 200, "worn_or_wrong_teeth", "20 teeth come nearest"),
    ("G32 other wheel", {"measured_caliper_diameter": mm(162.5)}, 200, "worn_or_wrong_teeth", "22 teeth come nearest"),
    (
        "G32 wear adds nothing",
        {"measured_caliper_diameter": mm(162.5)},
        200,
        "worn_or_wrong_teeth",
        "wear makes none larger",
    ),
    ("strands beyond the table", {"strand_count": 4}, 422, "strands_out_of_range", "3"),
    ("strands twice", {"chain": "16B-2", "strand_count": 3}, 422, "over_determined", "2 strands"),
    (
        "own chain in two strands",
        {"chain": None, "own_chain": own(), "strand_count": 2},
        422,
        "transverse_pitch_missing",
        "transverse pitch",
    ),
    (
        "own chain without roller",
        {"chain": None, "own_chain": own(roller_diameter=None)},
        422,
        "figure_not_in_reference",
        "roller diameter",
    ),
    (
        "own chain without width",
        {"chain": None, "own_chain": own(inner_width=None)},
        200,
        "width_not_computed",
        "width",
    ),
    ("pointed tooth", {"gap_form": "maximum", "tip_diameter": mm(178)}, 422, "tooth_pointed", "meet in a point"),
    (
        "ASME tooth too short",
        {"chain": "80", "tip_diameter": inches(6.0)},
        422,
        "tooth_too_short",
        "outer curve",
    ),
    (
        "ASME form of a small roller",
        {"chain": None, "own_chain": own(roller_diameter=mm(5)), "standard": "asme_b29_1"},
        422,
        "geometry_impossible",
        "5 mm",
    ),
    ("G33 split wheel with odd teeth", {"teeth": 21, "split": True}, 200, "split_through_tooth", "21 teeth"),
    ("G34 holes through the gaps", {"bolt_circle": circle(138, 6, 9)}, 422, "holes_break_out", "tooth gaps"),
    ("holes into the bore", {"bore": mm(60), "bolt_circle": circle(68, 6, 9)}, 422, "holes_break_out", "bore"),
    ("holes into each other", {"bolt_circle": circle(60, 20, 10)}, 422, "holes_break_out", "each other"),
    (
        "holes into the split",
        {"teeth": 18, "split": True, "bolt_circle": circle(100, 12, 23)},
        422,
        "holes_break_out",
        "split",
    ),
    ("no chain", {"chain": None}, 422, "field_required", "own_chain"),
    ("unknown standard", {"standard": "din_8196"}, 422, "enum_unknown", "iso_606"),
]
# Files and pictures (G25 to G29) stand in test_drawings.py.


@pytest.mark.parametrize(("what", "changes", "status", "code", "words"), CASES, ids=[case[0] for case in CASES])
def test_wrong_input(service, what, changes, status, code, words):
    response = service.post(PATH, body(**changes))
    answer = response.json()
    assert response.status_code == status, (what, answer)
    listed = answer["errors"] if status >= 400 else answer["warnings"]
    messages = [f"{entry['message']} {entry.get('allowed', '')}" for entry in listed if entry["code"] == code]
    assert messages, (what, listed)
    assert any(words in message for message in messages), messages


def test_refusals_point_at_a_field_of_the_request(service):
    for _, changes, status, *_ in CASES:
        sent = body(**changes)
        if status < 400:
            continue
        for fault in service.post(PATH, sent).json()["errors"]:
            steps = fault["pointer"].split("/")[1:]
            assert not steps or steps[0] in {*sent, "chain", "own_chain", "bore"}, fault


@pytest.mark.parametrize("extra", [{}, {"gap_form": "maximum"}, {"standard": "asme_b29_1"}])
@pytest.mark.parametrize("units", ["metric", "inch"])
def test_contour_on_the_wire_closes_round_the_wheel(service, extra, units):
    contour = service.post(PATH, body(units=units, **extra)).json()["result"]["contour"]
    pieces, turn = contour["pieces"], contour["step_angle"]["value"] * pi / 180
    assert contour["repeats"] * contour["step_angle"]["value"] == pytest.approx(360)
    first = pieces[0]["start"]
    turned = {
        "x": first["x"] * cos(turn) - first["y"] * sin(turn),
        "y": first["x"] * sin(turn) + first["y"] * cos(turn),
    }
    for end, start in zip(
        [piece["end"] for piece in pieces], [*(piece["start"] for piece in pieces[1:]), turned], strict=True
    ):
        assert hypot(end["x"] - start["x"], end["y"] - start["y"]) < 1e-8
    for piece in pieces:
        assert (piece["kind"] == "arc") == ("centre" in piece) == ("radius" in piece) == ("direction" in piece)


def test_inch_and_metric_bodies_are_the_same_wheel(service):
    metric = service.post(PATH, body(chain=None, own_chain=own())).json()["result"]
    inch = service.post(
        PATH,
        body(
            chain=None,
            own_chain=own(pitch=inches(1), roller_diameter=inches(15.88 / 25.4), inner_width=inches(15.75 / 25.4)),
        ),
    ).json()["result"]
    assert inch["caliper_diameter"]["value"] == pytest.approx(metric["caliper_diameter"]["value"], rel=1e-11)
    assert inch["width"]["tooth_width"]["value"] == pytest.approx(metric["width"]["tooth_width"]["value"], rel=1e-11)


def test_answer_in_inches_is_the_answer_in_millimetres(service):
    metric = service.post(PATH, body(chain="80", teeth=17)).json()["result"]
    inch = service.post(PATH, body(chain="80", teeth=17, units="inch")).json()["result"]
    for name in ("pitch_diameter", "tip_diameter", "root_diameter", "over_pins", "minus_tolerance", "hub_diameter_max"):
        assert inch[name]["value"] * 25.4 == pytest.approx(metric[name]["value"], rel=1e-11), name
    lengths = [(a, b) for a, b in zip(inch["form_constants"], metric["form_constants"], strict=True)]
    for small, large in lengths:
        factor = 25.4 if large["quantity"]["unit"] == "mm" else 1
        assert small["quantity"]["value"] * factor == pytest.approx(large["quantity"]["value"], rel=1e-10)


def test_same_body_gives_same_bytes(service):
    one = service.post(PATH, body(working="full"))
    other = service.post(PATH, body(working="full"))
    assert one.status_code == 200
    assert one.content == other.content


def test_standard_of_the_chain_is_taken_and_said(service):
    for chain, standard in (("80", "asme_b29_1"), ("16A", "iso_606")):
        answer = service.post(PATH, body(chain=chain)).json()
        assert answer["result"]["standard"] == standard
        assert {"field": "/standard", "value": standard}.items() <= answer["assumptions"][0].items()


def test_strands_may_be_said_by_the_designation(service):
    one = service.post(PATH, body(chain="16B-2")).json()["result"]
    other = service.post(PATH, body(chain="16B", strand_count=2)).json()["result"]
    assert one == other
    assert one["width"]["overall_width"]["value"] == pytest.approx(47.7, abs=0.05)


@pytest.mark.parametrize("strands", [1, 2, 3, 4, 5, 6])
def test_asme_rims_have_up_to_six_strands(service, strands):
    result = service.post(PATH, body(chain="80", strand_count=strands)).json()["result"]
    width = result["width"]
    pitches = width["overall_width"]["value"] - width["tooth_width"]["value"]
    assert pitches == pytest.approx((strands - 1) * 29.29, abs=0.05)


def test_wheels_above_250_mm_take_their_tolerance_from_iso_286(service):
    answer = service.post(PATH, body(teeth=60)).json()
    assert answer["result"]["root_diameter"]["value"] > 400
    assert answer["result"]["minus_tolerance"]["value"] == 0.4
    assert any(source["id"] == "iso-286-1" for source in answer["sources"])


def test_a_good_wheel_passes_its_checks(service):
    sizes = service.post(PATH, body()).json()["result"]
    answer = service.post(
        PATH,
        body(
            measured_caliper_diameter=mm(sizes["caliper_diameter"]["value"] - 0.1),
            gauge_pin_diameter=mm(15.885),
            plate_thickness=mm(16),
        ),
    ).json()
    assert {check["verdict"] for check in answer["checks"]} == {"pass"}
    assert len(answer["checks"]) == 3
    assert "worn_or_wrong_teeth" not in {warning["code"] for warning in answer["warnings"]}


def test_a_tip_outside_the_range_of_the_standard_fails_its_check(service):
    range_of = service.post(PATH, body()).json()["result"]
    low = range_of["tip_diameter_min"]["value"]
    checks = service.post(PATH, body(tip_diameter=mm(low - 1))).json()["checks"]
    assert [check["verdict"] for check in checks] == ["fail", "pass"]
    checks = service.post(PATH, body(tip_diameter=mm(low + 1))).json()["checks"]
    assert [check["verdict"] for check in checks] == ["pass", "pass"]


def test_a_tooth_that_is_pointed_by_itself_says_which_tip_would_do(service):
    asked = body(chain=None, own_chain=own(roller_diameter=mm(22)), gap_form="maximum")
    fault = service.post(PATH, asked).json()["errors"][0]
    assert fault["code"] == "tooth_pointed"
    answer = service.post(PATH, {**asked, "tip_diameter": mm(float(fault["allowed"]) - 0.01)})
    assert answer.status_code == 200


def test_working_shows_the_equations(service):
    working = service.post(PATH, body(chain="80", working="full")).json()["working"]
    assert {"sprocket_asme.tooth_form", "sprocket_asme.caliper_diameter"} <= {step["equation"] for step in working}


def openings(service, **changes):
    return service.post(PATH, body(**changes)).json()["result"].get("openings")


def test_g13_a_bore_of_nought_is_a_blank_wheel(service):
    assert openings(service, bore=mm(0)) is None


def test_keyways_are_those_of_the_standards(service):
    """Printed: 14 x 9 mm and 53.8 mm for 50 mm (DIN 6885-1); 1/2 in and 2.223 in for 2 in (ANSI B17.1)."""
    metric = openings(service, bore=mm(50), keyway=METRIC_KEY)["keyway"]
    assert (metric["width"]["value"], metric["key_height"]["value"]) == (14, 9)
    assert metric["depth_to_opposite_side"]["value"] == pytest.approx(53.8)
    inch = openings(service, bore=inches(2), keyway={"standard": "asme_b17_1"}, units="inch")["keyway"]
    assert (inch["width"]["value"], inch["key_height"]["value"]) == (0.5, 0.5)
    assert inch["depth_to_opposite_side"]["value"] == pytest.approx(2.223, abs=5e-4)


def test_stresses_of_the_key_are_compared_with_what_the_caller_allows(service):
    key = {
        **METRIC_KEY,
        "torque": {"value": 600, "unit": "N.m"},
        "key_length": mm(50),
        "allowable_shear_stress": {"value": 60, "unit": "N/mm2"},
        "allowable_bearing_stress": {"value": 100, "unit": "N/mm2"},
    }
    answer = service.post(PATH, body(bore=mm(50), keyway=key)).json()
    # 600 N.m at 25 mm is a force of 24 kN: over 14 x 50 mm in shear, over 3.5 x 50 mm on the hub.
    assert answer["result"]["openings"]["keyway"]["shear_stress"]["value"] == pytest.approx(24_000 / 700)
    assert answer["result"]["openings"]["keyway"]["bearing_stress"]["value"] == pytest.approx(24_000 / 175)
    verdicts = {check["name"]: check["verdict"] for check in answer["checks"]}
    assert verdicts["key_shear_stress"] == "pass"
    assert verdicts["key_bearing_stress"] == "fail"


def test_length_of_the_hub_is_taken_for_the_key_and_said(service):
    key = {**METRIC_KEY, "torque": {"value": 600, "unit": "N.m"}}
    answer = service.post(PATH, body(bore=mm(50), keyway=key, hub={"diameter": mm(80), "length": mm(50)})).json()
    assert {"field": "/keyway/key_length", "value": "50"}.items() <= answer["assumptions"][-1].items()


def test_wall_round_the_bore_is_compared_with_what_is_wanted(service):
    def check(**changes):
        return next(c for c in service.post(PATH, body(**changes)).json()["checks"] if c["name"] == "wall_round_bore")

    plain = check(bore=mm(100), least_wall=mm(30))
    assert plain["verdict"] == "fail"
    keyed = check(bore=mm(100), keyway=METRIC_KEY)
    assert keyed["actual"]["value"] == pytest.approx((25.4 / sin(pi / 20) - 15.88) / 2 - hypot(14, 56.4))
    assert keyed["limit"]["value"] == 6
    assert keyed["verdict"] == "pass"


@pytest.mark.parametrize(("teeth", "line"), [(20, "gap"), (20, "tooth"), (18, "gap"), (21, "gap")])
def test_split_goes_through_a_gap_about_across_the_keyway(service, teeth, line):
    found = openings(service, teeth=teeth, split=True, bore=mm(40), keyway={**METRIC_KEY, "in_line_with": line})
    angle, step = found["split_angle"]["value"], 360 / teeth
    assert angle / step == pytest.approx(round(angle / step))
    assert abs(angle - 90 - (0 if line == "gap" else step / 2)) <= step / 2 + 1e-9


def test_holes_of_a_split_wheel_keep_off_the_split(service):
    found = openings(service, split=True, bolt_circle=circle(90, 6, 9))
    turn = found["split_angle"]["value"] * pi / 180
    for centre in found["holes"]["centres"]:
        assert abs(centre["x"] * cos(turn) + centre["y"] * sin(turn)) > 4.5


def test_kerf_leaves_the_answered_contour_and_adds_the_path_of_the_jet(service):
    plain = service.post(PATH, body()).json()["result"]
    cut = service.post(PATH, body(kerf=mm(2), bore=mm(40))).json()["result"]
    assert cut["contour"] == plain["contour"]
    seats = [
        next(piece for piece in contour["pieces"] if piece["part"] == "seating")
        for contour in (cut["contour"], cut["openings"]["cut_contour"])
    ]
    assert seats[1]["radius"] == pytest.approx(seats[0]["radius"] - 1)
    assert cut["openings"]["outlines"][0]["pieces"][0]["radius"] == 19
    assert cut["openings"]["bore_diameter"]["value"] == 40
