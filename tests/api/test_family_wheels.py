"""Wheels of families beside roller chain over HTTP: wiring and wrong input; numbers are owned by tests/core."""

from __future__ import annotations

from math import asin, cos, pi, sin
from typing import Any

import pytest
from shapely.geometry import Polygon

from service.api.engineering_sprocket_geometries import EngineeringSprocketRequest
from service.api.plain_wheel_geometries import PlainWheelRequest
from service.api.pocket_wheel_geometries import PocketWheelRequest
from service.api.silent_sprocket_geometries import SilentSprocketRequest
from service.api.sprocket_geometries import SprocketGeometryRequest
from service.reference.catalogue import load_reference
from tests.drawings.dxf_reading import entities_of

ROLLER = "/v1/sprocket-geometries"
SILENT = "/v1/silent-sprocket-geometries"
ENGINEERING = "/v1/engineering-sprocket-geometries"
POCKET = "/v1/pocket-wheel-geometries"
PLAIN = "/v1/plain-wheel-geometries"
REFERENCE = load_reference()
FIELDS = {
    ROLLER: SprocketGeometryRequest.__struct_fields__,
    SILENT: SilentSprocketRequest.__struct_fields__,
    ENGINEERING: EngineeringSprocketRequest.__struct_fields__,
    POCKET: PocketWheelRequest.__struct_fields__,
    PLAIN: PlainWheelRequest.__struct_fields__,
}


def mm(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "mm"}


def inches(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "in"}


BODIES = {
    ROLLER: {"chain": "16B", "teeth": 20},
    SILENT: {"chain": "SC406", "teeth": 21},
    ENGINEERING: {"chain": "WR132", "teeth": 12, "bottom_clearance": mm(1)},
    POCKET: {"chain": "EN 818-7 10x30", "pockets": 5},
    PLAIN: {"chain": "BL834"},
}
PAIR = {"chain": None, "own_chain": {"pitch": mm(120), "roller_diameter": mm(30)}, "second_pitch": mm(80), "teeth": 6}
RIM = {"chain": "SBS856", "tread_diameter": mm(600)}
LINK = {"chain": None, "own_link": {"wire_diameter": mm(10), "pitch": mm(30)}}

CASES = [
    # row of the list of wrong input, path, changes, status, code, words that the message must hold
    ("G22 leaf chain on teeth", ROLLER, {"chain": "BL423"}, 422, "leaf_runs_on_sheave", "sheave"),
    ("G22 leaf chain on teeth", SILENT, {"chain": "BL423"}, 422, "leaf_runs_on_sheave", "plain-wheel"),
    ("G22 leaf chain on teeth", ENGINEERING, {"chain": "BL423"}, 422, "leaf_runs_on_sheave", "plain-wheel"),
    ("G23 silent with roller form", ROLLER, {"chain": "SC302"}, 422, "form_not_applicable", "silent-sprocket"),
    ("G24 mill chain with roller form", ROLLER, {"chain": "WR132"}, 422, "form_not_published", "engineering-sprocket"),
    ("G24 contour of mill chain", ENGINEERING, {"contour": "required"}, 422, "form_not_published", "tooth form table"),
    ("G24 diameters of mill chain", ENGINEERING, {}, 200, "form_not_published", "no contour"),
    ("G24 contour of pockets", POCKET, {"contour": "required"}, 422, "form_not_published", "pocket drawing"),
    ("G24 silent without root", SILENT, {}, 200, "form_not_published", "root_diameter"),
    ("G24 contour without root", SILENT, {"contour": "required"}, 422, "form_not_published", "root_diameter"),
    ("contour with root", SILENT, {"root_diameter": mm(68)}, 200, "form_not_published", "closed along"),
    (
        "G24 reversible contour",
        SILENT,
        {"teeth": 22, "chain_form": "reversible", "contour": "required", "root_diameter": mm(70)},
        422,
        "form_not_published",
        "own standard",
    ),
    ("reversible with odd pitches", SILENT, {"chain_form": "reversible"}, 422, "teeth_must_be_even", "even"),
    ("roller chain", SILENT, {"chain": "16B"}, 422, "other_wheel_needed", "/v1/sprocket-geometries"),
    ("roller chain", ENGINEERING, {"chain": "80"}, 422, "other_wheel_needed", "/v1/sprocket-geometries"),
    ("roller chain", POCKET, {"chain": "80"}, 422, "other_wheel_needed", "/v1/sprocket-geometries"),
    ("roller chain", PLAIN, {"chain": "80"}, 422, "other_wheel_needed", "/v1/sprocket-geometries"),
    ("round-link chain", ROLLER, {"chain": "EN 818-7 10x30"}, 422, "other_wheel_needed", "pocket-wheel"),
    ("silent chain", ENGINEERING, {"chain": "SC406"}, 422, "other_wheel_needed", "silent-sprocket"),
    ("silent chain", PLAIN, {"chain": "SC406"}, 422, "other_wheel_needed", "silent-sprocket"),
    ("G1 no teeth", SILENT, {"teeth": 0}, 422, "must_be_positive", "teeth"),
    ("G1 few teeth", SILENT, {"teeth": 12}, 422, "teeth_below_minimum", "13"),
    ("G5 too many teeth", SILENT, {"teeth": 10_000}, 422, "teeth_above_limit", "1000"),
    ("G6 half a tooth", SILENT, {"teeth": 17.5}, 422, "must_be_whole", "teeth"),
    ("root through the working face", SILENT, {"root_diameter": mm(80)}, 422, "root_diameter_unsuitable", "up to 72"),
    ("root below the gap", SILENT, {"root_diameter": mm(5)}, 422, "root_diameter_unsuitable", "above"),
    (
        "pitch between the classes",
        SILENT,
        {"chain": None, "own_chain": {"pitch": inches(0.25)}},
        422,
        "form_not_applicable",
        "3/16",
    ),
    ("face of own chain", SILENT, {"chain": None, "own_chain": {"pitch": mm(25.4)}}, 200, "width_not_computed", "face"),
    ("chain of GOST, few teeth", SILENT, {"chain": "PZ-1-12.7-26-22.5", "teeth": 16}, 200, "teeth_few", "17 to 96"),
    ("chain of GOST, many teeth", SILENT, {"chain": "PZ-1-12.7-26-22.5", "teeth": 97}, 200, "teeth_many", "17 to 96"),
    ("G1 two teeth", ENGINEERING, {"teeth": 2}, 422, "teeth_below_minimum", "3"),
    ("G3 five teeth", ENGINEERING, {"teeth": 5}, 200, "teeth_few", "6"),
    ("G5 too many teeth", ENGINEERING, {"teeth": 1001}, 422, "teeth_above_limit", "1000"),
    ("G6 half a tooth", ENGINEERING, {"teeth": 12.5}, 422, "must_be_whole", "teeth"),
    ("G7 another pitch", ENGINEERING, {"pitch": mm(152.4)}, 422, "over_determined", "153.67"),
    ("G8 seat as large as the pitch", ENGINEERING, {"seating_diameter": mm(130)}, 200, "geometry_suspect", "0.85"),
    ("seat larger than the wheel", ENGINEERING, {"seating_diameter": mm(700)}, 422, "geometry_impossible", "700"),
    ("G30 odd teeth", ENGINEERING, {"teeth": 11}, 200, "odd_teeth_measured", "longest chord"),
    ("no clearance", ENGINEERING, {"bottom_clearance": None}, 200, "clearance_not_entered", "nil"),
    ("negative clearance", ENGINEERING, {"bottom_clearance": mm(-1)}, 422, "must_not_be_negative", "bottom clearance"),
    (
        "side clearance wider than the chain",
        ENGINEERING,
        {"chain": "WDR112", "side_clearance": inches(9), "seating_diameter": mm(40)},
        422,
        "clearance_too_large",
        "no tooth",
    ),
    ("part that is not tabulated", ENGINEERING, {"seat": "bush"}, 422, "figure_not_in_reference", "bush diameter"),
    ("two parts named", ENGINEERING, {"seat": "barrel", "seating_diameter": mm(44)}, 422, "over_determined", "seat"),
    ("conveyor chain without pitch", ENGINEERING, {"chain": "M112"}, 422, "pitch_needed", "160 mm"),
    ("conveyor chain, which roller", ENGINEERING, {"chain": "M112", "pitch": mm(160)}, 422, "seat_needed", "carrying"),
    (
        "conveyor chain, odd pitch",
        ENGINEERING,
        {"chain": "M112", "pitch": mm(170), "seat": "bush"},
        200,
        "pitch_not_tabulated",
        "170",
    ),
    ("detachable chain", ENGINEERING, {"chain": "62 steel detachable"}, 200, "bottom_not_computed", "nothing round"),
    ("rivetless chain", ENGINEERING, {"chain": "X458", "teeth": 8}, 200, "bottom_not_computed", "nothing round"),
    ("drag chain of unknown barrel", ENGINEERING, {"chain": "WDR480"}, 200, "bottom_not_computed", "send its diameter"),
    ("even hunting tooth", ENGINEERING, {"tooth_spacing": "half_pitch"}, 200, "no_hunting_tooth", "same 6"),
    ("even teeth, alternate links", ENGINEERING, {"chain": "C132"}, 200, "no_hunting_tooth", "one kind"),
    ("pair at every pitch", ENGINEERING, {**PAIR, "tooth_spacing": "every_pitch"}, 422, "over_determined", "pair"),
    ("family of another chain", ENGINEERING, {"family": "combination"}, 422, "over_determined", "mill_welded"),
    ("unknown family", ENGINEERING, {**PAIR, "family": "belt"}, 422, "family_unknown", "belt"),
    ("family of another wheel", ENGINEERING, {**PAIR, "family": "silent"}, 422, "other_wheel_needed", "another kind"),
    ("three pockets", POCKET, {"pockets": 3}, 422, "pockets_below_minimum", "4"),
    ("four pockets", POCKET, {"pockets": 4}, 200, "teeth_few", "5 or more"),
    ("sling chain", POCKET, {"chain": "EN 818-2 8x24"}, 422, "sling_chain_on_wheel", "sling"),
    ("chain of DIN 766", POCKET, {"chain": "DIN 766 10x28"}, 200, "chain_not_for_lifting", "not for lifting"),
    (
        "short link",
        POCKET,
        {"chain": None, "own_link": {"wire_diameter": mm(10), "pitch": mm(20)}},
        422,
        "geometry_impossible",
        "lets no other in",
    ),
    (
        "long link",
        POCKET,
        {"chain": None, "own_link": {"wire_diameter": mm(10), "pitch": mm(40)}},
        200,
        "geometry_suspect",
        "2.6 to 3.7",
    ),
    ("traction wheel without rim", PLAIN, {"chain": "SBS856"}, 422, "field_required", "rim"),
    (
        "traction wheel, barrel unknown",
        PLAIN,
        {"chain": "WDR480", "tread_diameter": mm(600)},
        422,
        "seat_needed",
        "rim",
    ),
    ("rim smaller than a pitch", PLAIN, {**RIM, "tread_diameter": mm(100)}, 422, "wheel_too_small", "100"),
    ("pitch of leaf chain", PLAIN, {"pitch": mm(25)}, 422, "over_determined", "tread diameter"),
    (
        "leaf chain of one's own",
        PLAIN,
        {"chain": None, "own_chain": {"pitch": mm(25.4)}, "family": "leaf"},
        200,
        "width_not_computed",
        "flanges",
    ),
    ("no chain", PLAIN, {"chain": None}, 422, "field_required", "own_chain"),
    ("no chain", POCKET, {"chain": None}, 422, "field_required", "own_link"),
]


def body(path: str, changes: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in {**BODIES[path], **changes}.items() if value is not None}


@pytest.mark.parametrize(
    ("path", "changes", "status", "code", "words"), [case[1:] for case in CASES], ids=[case[0] for case in CASES]
)
def test_wrong_input(service, path, changes, status, code, words):
    sent = body(path, changes)
    response = service.post(path, sent)
    answer = response.json()
    assert response.status_code == status, answer
    listed = answer["errors"] if status >= 400 else answer["warnings"]
    messages = [f"{entry['message']} {entry.get('hint', '')} {entry.get('allowed', '')}" for entry in listed]
    told = [text for entry, text in zip(listed, messages, strict=True) if entry["code"] == code]
    assert told, listed
    assert any(words in text for text in told), told
    for entry in listed:
        assert entry.get("pointer", "").split("/")[1:2] in [[], *([name] for name in FIELDS[path])], entry


def test_every_tabulated_chain_has_its_wheel_or_is_told_what_is_needed(service):
    """Each size at the resource of its kind: an answer, or a question for a figure that the tables lack."""
    paths = {"roller": ROLLER, "bush": ROLLER, "silent": SILENT, "leaf": PLAIN, "round_link": POCKET}
    asked = {"pitch_needed", "seat_needed", "sling_chain_on_wheel", "figure_not_in_reference"}
    answered = 0
    for size in REFERENCE.chains.sizes:
        path = paths.get(size.row.family, ENGINEERING)
        count = {POCKET: {"pockets": 6}, PLAIN: {}}.get(path, {"teeth": 19})
        response = service.post(path, {"chain": size.designation, **count})
        answer = response.json()
        if response.status_code == 200:
            answered += 1
            assert answer["result"]["pitch"]["value"] > 0
        else:
            assert {fault["code"] for fault in answer["errors"]} <= asked, (size.designation, answer)
    assert answered > 0.9 * len(REFERENCE.chains.sizes)


def test_silent_face_is_that_of_the_guides(service):
    double = service.post(SILENT, {"chain": "SC312", "teeth": 21, "units": "inch"}).json()["result"]["face"]
    side = service.post(SILENT, {"chain": "SC302", "teeth": 21, "units": "inch"}).json()["result"]["face"]
    assert (double["guide_form"], side["guide_form"]) == ("two_centre_guides", "side_guide")
    assert [offset["value"] for offset in double["groove_offsets"]] == [-0.5, 0.5]
    assert side["groove_offsets"] == []
    assert "groove_width" not in side
    assert side["chamfer_depth"]["nominal"] == inches(0.051)
    assert double["face_width"]["upper_deviation"] == inches(0.125)


def test_small_silent_wheel_has_its_tolerance_over_pins(service):
    result = service.post(SILENT, {"chain": "SC0309", "teeth": 64, "units": "inch"}).json()["result"]
    assert result["over_pins_minus_tolerance"] == inches(0.005)
    assert "working_face_base_diameter" not in result


def test_reversible_wheel_cuts_every_second_tooth(service):
    result = service.post(SILENT, body(SILENT, {"teeth": 22, "chain_form": "reversible"})).json()["result"]
    assert (result["teeth"], result["tooth_count"]) == (22, 11)


@pytest.mark.parametrize("top", ["square", "round"])
@pytest.mark.parametrize("units", ["metric", "inch"])
def test_silent_contour_on_the_wire_closes_round_the_wheel(service, top, units):
    sent = body(SILENT, {"root_diameter": inches(2.68), "tooth_top": top, "units": units})
    contour = service.post(SILENT, sent).json()["result"]["contour"]
    pieces, turn = contour["pieces"], contour["step_angle"]["value"] * pi / 180
    ends = [piece["end"] for piece in pieces]
    starts = [piece["start"] for piece in pieces]
    first = starts[0]
    turned = {
        "x": first["x"] * cos(turn) - first["y"] * sin(turn),
        "y": first["x"] * sin(turn) + first["y"] * cos(turn),
    }
    for end, start in zip(ends, [*starts[1:], turned], strict=True):
        assert (end["x"], end["y"]) == pytest.approx((start["x"], start["y"]))


def test_silent_wheel_is_drawn_with_true_arcs_or_refused(service):
    sent = body(SILENT, {"root_diameter": inches(2.68), "tooth_top": "round"})
    drawn = service.post(SILENT, sent, headers={"accept": "image/vnd.dxf"})
    assert drawn.status_code == 200
    assert len(entities_of(drawn.content)) > 0
    refused = service.post(SILENT, BODIES[SILENT], headers={"accept": "image/vnd.dxf"})
    assert refused.status_code == 422
    assert refused.json()["errors"][0]["code"] == "form_not_published"


def test_pairs_of_links_lie_on_one_circle(service):
    """A polygon of the two pitches in turn, drawn on the circle that is answered, closes."""
    result = service.post(ENGINEERING, body(ENGINEERING, PAIR)).json()["result"]
    radius = result["pitch_diameter"]["value"] / 2
    assert result["tooth_spacing"] == "two_pitches"
    angle, spots = 0.0, []
    for _ in range(6):
        for side in (120, 80):
            spots.append((radius * cos(angle), radius * sin(angle)))
            angle += 2 * asin(side / (2 * radius))
    assert angle == pytest.approx(2 * pi)
    assert Polygon(spots).length == pytest.approx(6 * 200)


def test_statements_tell_how_wheels_are_made(service):
    for path in (SILENT, ENGINEERING, POCKET, PLAIN):
        statements = service.post(path, BODIES[path]).json()["result"]["statements"]
        assert {"wheels", "wheel_making"} <= {row["topic"] for row in statements}, path


def test_lifting_chain_carries_its_cautions(service):
    for path in (POCKET, PLAIN):
        cautions = {row["code"] for row in service.post(path, BODIES[path]).json()["cautions"]}
        assert {"competent_person", "hoist_maker_first", "local_codes"} <= cautions


def test_wheel_of_conveyor_chain_follows_the_roller_in_use(service):
    """One size and pitch, three bottoms: those of the bush, the small and the carrying roller."""
    bottoms = {}
    for seat in ("bush", "small_roller", "carrying_roller"):
        sent = {"chain": "M20", "pitch": mm(63), "teeth": 8, "seat": seat, "bottom_clearance": mm(0)}
        result = service.post(ENGINEERING, sent).json()["result"]
        bottoms[seat] = result["pitch_diameter"]["value"] - result["bottom_diameter"]["value"]
    assert bottoms == pytest.approx({"bush": 9, "small_roller": 12.5, "carrying_roller": 25})
