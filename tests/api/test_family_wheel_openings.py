"""Openings, measured sizes and setting-out drawings of wheels beside roller chain."""

from __future__ import annotations

import io
from math import cos, hypot, pi, sin
from typing import Any

import pytest
from ezdxf import read

from tests.api.test_family_wheels import BODIES, ENGINEERING, LINK, PAIR, PLAIN, POCKET, RIM, SILENT, body, inches, mm
from tests.drawings.dxf_reading import entities_of

DXF = {"accept": "image/vnd.dxf"}
KEY = {"standard": "iso_r_773"}
ROOT = {"root_diameter": inches(2.68)}
CIRCLE = {"diameter": mm(300), "hole_count": 6, "hole_diameter": mm(20)}

CASES = [
    # what is wrong, path, changes, status, code, words that the message must hold
    ("bore without root", SILENT, {"bore": mm(20)}, 422, "field_required", "root_diameter"),
    ("G11 bore", SILENT, {**ROOT, "bore": mm(69)}, 422, "bore_too_large", "68.072"),
    ("G12 keyway", SILENT, {**ROOT, "bore": mm(63), "keyway": KEY}, 422, "wall_too_thin", "34.036"),
    ("G11 bore", ENGINEERING, {"bore": mm(560)}, 422, "bore_too_large", "root circle of 547.285"),
    ("bore without seat", ENGINEERING, {"chain": "X458", "teeth": 8, "bore": mm(50)}, 422, "field_required", "sits in"),
    ("G14", ENGINEERING, {"bore": mm(30), "keyway": {"width": mm(40), "hub_depth": mm(4)}}, 422, "geometry_impossible",
     "40"),
    ("G15", ENGINEERING, {"bore": mm(30), "keyway": {}}, 422, "keyway_standard_needed", "iso_r_773"),
    ("G34", ENGINEERING, {"bolt_circle": {**CIRCLE, "diameter": mm(540)}}, 422, "holes_break_out", "gaps"),
    ("G33", ENGINEERING, {"teeth": 11, "split": True}, 200, "split_through_tooth", "11"),
    ("kerf of nothing", ENGINEERING, {"kerf": mm(2)}, 422, "nothing_to_cut", "Leave kerf out"),
    ("kerf of a bore", ENGINEERING, {"kerf": mm(2), "bore": mm(50)}, 200, "kerf_applied", "wide: bore and holes"),
    ("blank inside the gaps", ENGINEERING, {"blank_diameter": mm(540)}, 422, "tooth_too_short", "547.285"),
    ("G9 worn barrel", ENGINEERING, {"seating_diameter": inches(1.7)}, 200, "worn_dimension", "44.45"),
    ("G10 worn pitch", ENGINEERING, {**PAIR, "second_pitch": None, "family": "mill_welded",
     "own_chain": {"pitch": mm(156), "roller_diameter": mm(44)}}, 200, "worn_dimension", "153.67"),
    ("clearance", ENGINEERING, {"bottom_clearance": mm(40)}, 200, "geometry_suspect", "0.90 of the seat"),
    ("caliper of pairs", ENGINEERING, {**PAIR, "measured_caliper_diameter": mm(300)}, 422, "field_required", "two"),
    ("G10 worn pitch", SILENT, {"chain": None, "own_chain": {"pitch": mm(12.9)}}, 200, "worn_dimension", "12.7"),
    ("G31", SILENT, {"gauge_pin_diameter": mm(5)}, 422, "gauge_pin_unsuitable", "7.9375"),
    ("G31 GOST", SILENT, {"chain": "PZ-1-12.7-26-22.5", "measured_over_pins": mm(88)}, 422, "form_not_published",
     "pins"),
    ("G30", SILENT, {"gauge_pin_diameter": mm(7.94)}, 200, "odd_teeth_measured", "longest chord"),
    ("bore without body", POCKET, {"bore": mm(20)}, 422, "field_required", "body_diameter"),
    ("body outside the links", POCKET, {"body_diameter": mm(85)}, 422, "geometry_impossible", "79.081"),
    ("G11 bore", POCKET, {"body_diameter": mm(60), "bore": mm(60)}, 422, "bore_too_large", "body of the wheel"),
    ("G11 bore", PLAIN, {**RIM, "bore": mm(600)}, 422, "bore_too_large", "tread of 600"),
    ("G34", PLAIN, {**RIM, "bolt_circle": {**CIRCLE, "diameter": mm(590)}}, 422, "holes_break_out", "the tread"),
    ("no key length", PLAIN, {**RIM, "bore": mm(80), "keyway": {**KEY, "torque": {"value": 900, "unit": "N.m"}}}, 422,
     "key_length_missing", "length of the hub"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("path", "changes", "status", "code", "words"), [case[1:] for case in CASES], ids=[case[0] for case in CASES]
)
def test_wrong_input(service, path, changes, status, code, words):
    response = service.post(path, body(path, changes))
    answer = response.json()
    assert response.status_code == status, answer
    listed = answer["errors"] if status >= 400 else answer["warnings"]
    told = [
        f"{entry['message']} {entry.get('hint', '')} {entry.get('allowed', '')}"
        for entry in listed
        if entry["code"] == code
    ]
    assert told, listed
    assert any(words in text for text in told), told


@pytest.mark.parametrize(
    ("path", "changes", "ends"),
    [
        (SILENT, ROOT, 68.072),
        (SILENT, {"chain": "SC304", "root_diameter": mm(50)}, 50),
        # WR132: 6.05 in pitch, barrel of 1.75 in, 1 mm of clearance
        (ENGINEERING, {}, 6.05 * 25.4 / sin(pi / 12) - 1.75 * 25.4 - 2),
        (POCKET, {**LINK, "body_diameter": mm(64)}, 64),
        (PLAIN, RIM, 600),
        (PLAIN, {}, 5 * 25.4),
    ],
)
def test_the_wall_ends_where_the_metal_does(service, path, changes, ends):
    """A bore of 30 mm with the key of ISO/R 773 for it: 8 mm wide, 3.3 mm deep in the hub."""
    sent = body(path, {**changes, "bore": mm(30), "keyway": KEY})
    openings = service.post(path, sent).json()["result"]["openings"]
    assert openings["wall"]["value"] == pytest.approx(ends / 2 - hypot(4, 33.3 - 15), rel=1e-9)
    assert openings["keyway"]["width"] == mm(8)


@pytest.mark.parametrize(("path", "changes"), [(SILENT, ROOT), (ENGINEERING, {}), (PLAIN, RIM)])
def test_the_torque_loads_the_key_of_any_wheel(service, path, changes):
    """By hand: 2 T / (D W L), against what the caller allows."""
    keyway = {
        **KEY,
        "torque": {"value": 300, "unit": "N.m"},
        "key_length": mm(45),
        "allowable_shear_stress": {"value": 50, "unit": "N/mm2"},
    }
    answer = service.post(path, body(path, {**changes, "bore": mm(30), "keyway": keyway})).json()
    stress = 2 * 300_000 / (30 * 8 * 45)
    assert answer["result"]["openings"]["keyway"]["shear_stress"]["value"] == pytest.approx(stress)
    (check,) = [check for check in answer["checks"] if check["name"] == "key_shear_stress"]
    assert check["verdict"] == "fail"
    assert check["limit"]["value"] == 50


def measured(service, path: str, field: str, value: dict[str, Any], **changes: Any) -> tuple[dict[str, Any], set[str]]:
    answer = service.post(path, body(path, {**changes, field: value})).json()
    return answer["result"]["measured"], {entry["code"] for entry in answer["warnings"]}


@pytest.mark.parametrize(("teeth", "spacing"), [(12, "every_pitch"), (11, "every_pitch"), (15, "half_pitch")])
def test_a_measured_caliper_diameter_names_its_teeth(service, teeth, spacing):
    """Wheels of one tooth more or less, by the polygon; a little under the size the gaps are deeper on either side."""

    def caliper(count: int) -> float:
        pitches = count / (2 if spacing == "half_pitch" else 1)
        circle = 6.05 * 25.4 / sin(pi / pitches)
        return circle * (1 if count % 2 == 0 else cos(pi / (2 * count))) - 1.75 * 25.4 - 2

    asked = {"teeth": teeth, "tooth_spacing": spacing}
    for other in (teeth - 1, teeth, teeth + 1):
        found, codes = measured(service, ENGINEERING, "measured_caliper_diameter", mm(caliper(other) - 0.5), **asked)
        assert found["nearest_teeth"] == other
        assert found["nearest_size"]["value"] == pytest.approx(caliper(other))
        assert found["difference"]["value"] == pytest.approx(caliper(other) - 0.5 - caliper(teeth))
        assert "worn_or_wrong_teeth" in codes


def test_a_measured_size_over_pins_names_its_teeth(service):
    plain = {teeth: service.post(SILENT, body(SILENT, {"teeth": teeth})).json()["result"] for teeth in (20, 21, 22)}
    for teeth, result in plain.items():
        size = mm(result["over_pins"]["value"] - 0.3)
        found, _ = measured(service, SILENT, "measured_over_pins", size)
        assert found["nearest_teeth"] == teeth
        assert found["nearest_size"]["value"] == pytest.approx(result["over_pins"]["value"])
        told = service.messages(SILENT, body(SILENT, {"measured_over_pins": size}), 200, "worn_or_wrong_teeth")
        assert ("another wheel" in told[0]) == (teeth != 21)
        assert "outside up to" not in told[0]
        assert ("wear makes none larger" in told[0]) == (teeth == 22)
    # The tolerance of the small pitch is minus 0.005 in for 64 teeth.
    size = service.post(SILENT, {"chain": "SC0309", "teeth": 64}).json()["result"]["over_pins"]["value"]
    for under, fits in ((0.1, True), (0.2, False)):
        sent = {"chain": "SC0309", "teeth": 64}
        _, codes = measured(service, SILENT, "measured_over_pins", mm(size - under), **sent)
        assert ("worn_or_wrong_teeth" not in codes) == fits


def test_engineering_wheels_are_set_out_and_nothing_of_their_teeth_is_cut(service):
    changes = {"bore": mm(100), "keyway": KEY, "bolt_circle": CIRCLE, "hub": {"diameter": mm(180)}}
    sent = body(ENGINEERING, {**changes, "blank_diameter": mm(620)})
    content = service.post(ENGINEERING, sent, headers=DXF).content
    found = entities_of(content)
    layers = {entity.layer for entity in found}
    assert "CUT" not in layers
    assert {"SEATS", "PITCH_CIRCLE", "CIRCLES", "BLANK", "BORE", "KEY", "HOLES", "HUB"} <= layers
    radius = 6.05 * 25.4 / sin(pi / 12) / 2
    seats = [entity for entity in found if entity.layer == "SEATS"]
    assert [entity.number(40) for entity in seats] == pytest.approx([1.75 * 25.4 / 2] * 12)
    for gap, seat in enumerate(seats):
        place = (-radius * sin(gap * pi / 6), radius * cos(gap * pi / 6))
        assert seat.point(10) == pytest.approx(place, abs=1e-6)
    document = read(io.StringIO(content.decode("cp1252")))
    assert not document.audit().has_errors
    words = " ".join(text.dxf.text for text in document.modelspace().query("TEXT"))
    assert "SETTING-OUT ONLY" in words
    assert "none may be cut" in words


def test_pairs_of_links_are_set_out_by_both_joints(service):
    found = entities_of(service.post(ENGINEERING, body(ENGINEERING, PAIR), headers=DXF).content)
    seats = [entity.point(10) for entity in found if entity.layer == "SEATS"]
    assert len(seats) == 12
    sides = [hypot(a[0] - b[0], a[1] - b[1]) for a, b in zip(seats, [*seats[1:], seats[0]], strict=True)]
    assert sides == pytest.approx([120, 80] * 6, abs=1e-5)


def test_flat_links_are_set_out_between_their_joints(service):
    """A link inside the pitch circle spans its pitch and a wire, and touches the inscribed circle in its middle."""
    found = entities_of(service.post(POCKET, BODIES[POCKET], headers=DXF).content)
    links = [entity.ends() for entity in found if entity.layer == "SEATS"]
    assert len(links) == 5
    inscribed = 30 / (sin(pi / 10) / cos(pi / 10)) - 10 * (sin(pi / 10) / cos(pi / 10))
    for (ax, ay), (bx, by) in links:
        assert hypot(ax - bx, ay - by) == pytest.approx(40, abs=1e-6)
        assert 2 * hypot((ax + bx) / 2, (ay + by) / 2) == pytest.approx(inscribed, abs=1e-6)


@pytest.mark.parametrize("path", [SILENT, ENGINEERING, POCKET, PLAIN])
@pytest.mark.parametrize("media_type", ["image/svg+xml", "image/png", "image/vnd.dxf"])
def test_every_kind_of_wheel_is_drawn(service, path, media_type):
    changes = {SILENT: ROOT, PLAIN: RIM}.get(path, {})
    response = service.post(path, body(path, {**changes}), headers={"accept": media_type})
    assert response.status_code == 200, response.text[:200]
    assert response.headers["content-type"].partition(";")[0] == media_type


def test_narrow_pictures_stand_upright(service):
    shapes = {}
    for width in (400, 1600):
        sent = body(ENGINEERING, {"drawing": {"png_width": width}})
        content = service.post(ENGINEERING, sent, headers={"accept": "image/png"}).content
        shapes[width] = int.from_bytes(content[16:20], "big"), int.from_bytes(content[20:24], "big")
    assert shapes[400][0] == 400
    assert shapes[400][1] > 1.5 * 400
    assert shapes[1600][1] < 1600
