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
    ("no chain", {"chain": None}, 422, "field_required", "own_chain"),
    ("unknown standard", {"standard": "din_8196"}, 422, "enum_unknown", "iso_606"),
]
# Bores, keyways, kerf, files and split wheels (G11 to G18, G25 to G29, G33, G34) belong to drawings, not here.


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
            assert not steps or steps[0] in {*sent, "chain", "own_chain"}, fault


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
