"""Drawings over HTTP: the Accept header chooses; what is drawn is tested in tests/drawings."""

from __future__ import annotations

import asyncio

import httpx
import pytest

from tests.drawings.dxf_reading import entities_of, header_of
from tests.drawings.svg_reading import SPACE, root_of

PATH = "/v1/sprocket-geometries"
WHEEL = {"chain": "16B", "teeth": 21}
SVG = "image/svg+xml"
DXF = "image/vnd.dxf"
PNG = "image/png"


def drawn(service, accept, **changes):
    return service.post(PATH, {**WHEEL, **changes}, headers={"accept": accept})


@pytest.mark.parametrize(
    ("accept", "answered"),
    [
        (SVG, SVG),
        ("image/*", SVG),
        ("image/svg+xml;q=0.5, application/json;q=0.4", SVG),
        ("text/html, image/svg+xml;q=0.2, */*;q=0.1", SVG),
        ("application/json, image/svg+xml", "application/json"),
        ("*/*", "application/json"),
        ("image/svg+xml;q=0, */*", "application/json"),
        (DXF, DXF),
        (PNG, PNG),
        ("image/png, image/*;q=0.9", PNG),
    ],
)
def test_accept_header_chooses(service, accept, answered):
    response = drawn(service, accept)
    assert response.status_code == 200
    assert response.headers["content-type"].partition(";")[0] == answered


def test_without_an_accept_header_the_answer_is_json(service):
    async def call():
        transport = httpx.ASGITransport(app=service.app)
        async with httpx.AsyncClient(transport=transport, base_url="http://test.invalid") as client:
            del client.headers["accept"]
            return await client.post(PATH, json=WHEEL)

    assert asyncio.run(call()).json()["result"]["teeth"] == 21


def test_g28_a_form_that_is_not_offered(service):
    response = drawn(service, "image/webp")
    problem = response.json()
    assert response.status_code == 406
    assert problem["code"] == "not_acceptable"
    assert problem["candidates"] == ["application/json", SVG, DXF, PNG]
    for offered in problem["candidates"]:
        assert offered in problem["detail"]


def test_a_refusal_is_a_problem_document_whatever_was_asked_for(service):
    response = drawn(service, SVG, teeth=3)
    assert response.status_code == 422
    assert response.headers["content-type"].startswith("application/problem+json")


def test_g29_file_name_is_made_harmless(service):
    name = '../../etc/pass"wd\\näme'
    header = drawn(service, SVG, drawing={"file_name": name}).headers["content-disposition"]
    assert header == 'inline; filename="etc-pass-wd-n-me.svg"'


def test_drawing_says_what_the_answer_says(service):
    answer = service.post(PATH, WHEEL).json()
    root = root_of(drawn(service, SVG).content)
    text = " ".join(found.text for found in root.iter(f"{SPACE}text"))
    for name in ("pitch_diameter", "tip_diameter", "caliper_diameter", "over_pins", "minus_tolerance"):
        assert f"{answer['result'][name]['value']:.2f} mm" in text, name
    assert "16B" in text
    assert answer["versions"]["data"] in text
    for caution in answer["cautions"]:
        assert caution["text"] in text
    for warning in answer["warnings"]:
        assert (warning["message"] in text) == (warning["severity"] != "info")


def test_inch_drawing_is_written_in_inches(service):
    answer = service.post(PATH, {**WHEEL, "units": "inch"}).json()
    root = root_of(drawn(service, SVG, units="inch").content)
    text = [found.text for found in root.iter(f"{SPACE}text")]
    assert f"{answer['result']['pitch_diameter']['value']:.3f} in" in text


@pytest.mark.parametrize("accept", [SVG, DXF, PNG])
def test_same_body_gives_the_same_drawing(service, accept):
    assert drawn(service, accept).content == drawn(service, accept).content


@pytest.mark.parametrize(
    ("changes", "code", "scale"),
    [
        ({}, "4", 1),
        ({"units": "inch"}, "1", 25.4),
        ({"drawing": {"unit": "in"}}, "1", 25.4),
        ({"units": "inch", "drawing": {"unit": "mm"}}, "4", 1),
    ],
)
def test_g26_unit_of_a_dxf_is_that_of_the_answer_or_the_asked_one(service, changes, code, scale):
    content = drawn(service, DXF, **changes).content
    assert header_of(content, "$INSUNITS").strip() == code
    circle = next(found for found in entities_of(content) if found.layer == "PITCH_CIRCLE")
    answer = service.post(PATH, WHEEL).json()
    assert circle.number(40) * scale == pytest.approx(answer["result"]["pitch_diameter"]["value"] / 2, rel=1e-9)


@pytest.mark.parametrize(("width", "status"), [(1, 422), (319, 422), (320, 200), (2400, 200), (2401, 422), (1e5, 422)])
def test_g27_size_of_a_picture(service, width, status):
    response = drawn(service, PNG, drawing={"png_width": width})
    assert response.status_code == status
    if status == 200:
        assert int.from_bytes(response.content[16:20], "big") == width
    else:
        assert response.json()["errors"][0]["code"] == "image_size_out_of_range"
        assert response.json()["errors"][0]["pointer"] == "/drawing/png_width"


def test_g25_unknown_unit_of_a_dxf(service):
    fault = drawn(service, DXF, drawing={"unit": "furlong"}).json()["errors"][0]
    assert (fault["code"], fault["pointer"], fault["allowed"]) == ("unit_unknown", "/drawing/unit", "in, mm")


def texts_of(content):
    return [found.codes[1] for found in entities_of(content) if found.kind == "TEXT"]


def test_kerf_is_in_a_dxf_only_on_request_and_then_stated(service):
    plain = drawn(service, DXF)
    assert "not applied" in texts_of(plain.content)
    cut = drawn(service, DXF, kerf={"value": 2, "unit": "mm"})
    assert "2.00 mm, applied to the outlines" in texts_of(cut.content)
    assert any("Switch the compensation of the cutting machine off" in text for text in texts_of(cut.content))
    root = [
        min(e.number(40) for e in entities_of(r.content) if (e.kind, e.layer) == ("ARC", "CUT")) for r in (plain, cut)
    ]
    corners = 1.0
    assert root[1] == pytest.approx(corners)
    assert root[0] > 7


def test_drawing_shows_the_openings_of_the_answer(service):
    body = {
        "bore": {"value": 50, "unit": "mm"},
        "keyway": {"standard": "iso_r_773"},
        "bolt_circle": {
            "diameter": {"value": 110, "unit": "mm"},
            "hole_count": 4,
            "hole_diameter": {"value": 9, "unit": "mm"},
        },
    }
    answer = service.post(PATH, {**WHEEL, **body}).json()["result"]["openings"]
    found = entities_of(drawn(service, DXF, **body).content)
    centres = [entity.point(10) for entity in found if entity.layer == "HOLES"]
    assert centres == [pytest.approx((centre["x"], centre["y"]), abs=1e-9) for centre in answer["holes"]["centres"]]
    bottom = max(end[1] for entity in found if entity.layer == "KEY" for end in entity.ends())
    assert bottom == pytest.approx(answer["keyway"]["depth_to_opposite_side"]["value"] - 25)


DUTY = {"power": {"value": 11, "unit": "kW"}, "driver_speed": {"value": 720, "unit": "r/min"}, "load_class": "smooth"}
DRIVE = {"chain": "80", "driver_teeth": 17, "driven_teeth": 42, "duty": DUTY, "pitch_count": 100}


@pytest.mark.parametrize("accept", [SVG, DXF, PNG])
def test_layout_of_a_drive_in_every_form(service, accept):
    one, other = (service.post("/v1/drive-checks", DRIVE, headers={"accept": accept}) for _ in range(2))
    assert one.status_code == 200
    assert one.headers["content-type"].partition(";")[0] == accept
    assert one.content == other.content


def test_layout_of_a_drive_is_that_of_its_answer(service):
    answer = service.post("/v1/drive-checks", DRIVE).json()
    drive = answer["result"]["drive"]
    found = entities_of(service.post("/v1/drive-checks", DRIVE, headers={"accept": DXF}).content)
    wheels = [entity for entity in found if (entity.kind, entity.layer) == ("CIRCLE", "WHEELS")]
    assert wheels[1].point(10)[0] - wheels[0].point(10)[0] == pytest.approx(drive["centre_distance"]["value"])
    assert 2 * wheels[0].number(40) == pytest.approx(drive["small_wheel_outside_diameter"]["value"])
    assert 2 * wheels[1].number(40) == pytest.approx(drive["large_wheel_outside_diameter"]["value"])
    texts = " ".join(entity.codes[1] for entity in found if entity.kind == "TEXT")
    guarding = next(caution["text"] for caution in answer["cautions"] if caution["code"] == "guard_the_drive")
    for words in ("tight", "slack", "100 pitches", guarding):
        assert words in texts


def test_layout_of_a_loop_keeps_the_coordinates_of_the_request(service):
    def at(x, y, teeth):
        return {"x": {"value": x, "unit": "mm"}, "y": {"value": y, "unit": "mm"}, "teeth": teeth}

    body = {"chain": "08B", "wheels": [at(0, 0, 24), at(600, 100, 19), at(250, 400, 15)], "driver_wheel": 1}
    for axis, sign in (("up", 1), ("down", -1)):
        content = service.post("/v1/chain-loops", {**body, "y_axis": axis}, headers={"accept": DXF}).content
        circles = [e.point(10) for e in entities_of(content) if (e.kind, e.layer) == ("CIRCLE", "WHEELS")]
        assert circles == [pytest.approx(point) for point in ((0, 0), (600, sign * 100), (250, sign * 400))]
