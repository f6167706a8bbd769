"""What can be wrong in any calculation, on every calculation: the verdict, the code, and the field in trade words.

Rows are named as in the catalogue of bad input (X1 to X44). Rows about quantities written as text (X12, X13 and X31 to
X36) belong to the path that reads text. A further calculation joins by one line in ``CALCULATIONS``.
"""

from __future__ import annotations

import copy
import json
from dataclasses import dataclass, field
from typing import Any

import pytest

PITCH = {"value": 25.4, "unit": "mm"}


@dataclass(frozen=True)
class Calculation:
    """A calculation, a sound body for its own chain, and fields of it that the rows are tried on."""

    path: str
    body: dict[str, Any]
    teeth: str
    """A field that is counted in whole numbers."""
    required: str
    length: str = "own_chain.pitch"
    roomy: dict[str, Any] = field(default_factory=dict)
    """What must be changed so that a chain of ten times the pitch has room."""


CALCULATIONS = [
    Calculation(
        "/v1/chain-lengths",
        {
            "own_chain": {"pitch": PITCH},
            "driver_teeth": 19,
            "driven_teeth": 57,
            "centre_distance": {"value": 800, "unit": "mm"},
        },
        teeth="driver_teeth",
        required="driven_teeth",
        roomy={"centre_distance": {"value": 20, "unit": "m"}},
    ),
    Calculation(
        "/v1/sprocket-geometries",
        {
            "own_chain": {
                "pitch": PITCH,
                "roller_diameter": {"value": 15.88, "unit": "mm"},
                "inner_width": {"value": 17.02, "unit": "mm"},
            },
            "teeth": 19,
            "standard": "iso_606",
        },
        teeth="teeth",
        required="own_chain.pitch",
        roomy={
            "own_chain": {
                "roller_diameter": {"value": 120, "unit": "mm"},
                "inner_width": {"value": 120, "unit": "mm"},
            }
        },
    ),
    Calculation(
        "/v1/chain-extensions",
        {"own_chain": {"pitch": PITCH}, "extension": {"value": 3, "unit": "m"}, "chain_lines": 2},
        teeth="chain_lines",
        required="extension",
    ),
    Calculation(
        "/v1/attachment-layouts",
        {"own_chain": {"pitch": PITCH}, "pitch_count": 120, "attachments": [{"kind": "K1", "every": 4}]},
        teeth="pitch_count",
        required="attachments",
    ),
    Calculation(
        "/v1/chain-loops",
        {
            "own_chain": {"pitch": PITCH},
            "wheels": [
                {"x": {"value": 0, "unit": "mm"}, "y": {"value": 0, "unit": "mm"}, "teeth": 19},
                {"x": {"value": 800, "unit": "mm"}, "y": {"value": 0, "unit": "mm"}, "teeth": 19},
            ],
            "driver_wheel": 0,
        },
        teeth="driver_wheel",
        required="wheels",
        roomy={
            "wheels": [
                {"x": {"value": 0, "unit": "m"}, "y": {"value": 0, "unit": "m"}, "teeth": 19},
                {"x": {"value": 20, "unit": "m"}, "y": {"value": 0, "unit": "m"}, "teeth": 19},
            ]
        },
    ),
    Calculation(
        "/v1/elongation-checks",
        {"own_chain": {"pitch": PITCH}, "length": {"value": 617, "unit": "mm"}, "pitch_count": 24},
        teeth="pitch_count",
        required="own_chain.pitch",
        roomy={"length": {"value": 5850, "unit": "mm"}},
    ),
]


@dataclass(frozen=True)
class Row:
    """What is put where, and what comes back."""

    name: str
    status: int
    code: str
    field: str
    """Of the calculation: ``teeth``, ``length``, ``required``, or a field of every body."""
    value: Any
    says: str = ""
    """What the message or hint must hold; by default the field in plain words."""


BARE = "<bare>"
"""Stands for a token that no JSON writer makes; replaced in the text."""

ROWS = [
    Row("X8 NaN", 400, "number_not_finite", "length.value", BARE + "NaN"),
    Row("X8 Infinity", 400, "number_not_finite", "length.value", BARE + "Infinity"),
    Row("X8 minus Infinity", 400, "number_not_finite", "length.value", BARE + "-Infinity"),
    Row("X9 NaN as text", 422, "number_as_text", "length.value", "NaN"),
    Row("X10 number as text", 422, "number_as_text", "length.value", "25.4", "quotes"),
    Row("X11 decimal comma", 422, "decimal_comma", "length.value", "25,4", "25.4"),
    Row("X14 beyond double precision", 422, "number_out_of_range", "length.value", BARE + "1e400"),
    Row("X15 zero", 422, "must_be_positive", "length.value", 0),
    Row("X16 negative", 422, "must_be_positive", "length.value", -19.05, "dash"),
    Row("X17 minus zero", 422, "must_be_positive", "length.value", -0.0),
    Row("X18 true for a number", 422, "wrong_type", "length.value", json.loads("true")),
    Row("X20 half a tooth", 422, "must_be_whole", "teeth", 17.5),
    Row("X21 null", 422, "field_required", "required", None),
    Row("X22 misspelt field", 422, "field_unknown", "workign", "full", "working"),
    Row("X23 other spelling of a field", 422, "field_unknown", "client_reference", "a", "client_ref"),
    Row("X25 unknown unit", 422, "unit_unknown", "length.unit", "inchs", "cm, ft, in, m, mm"),
    Row("X25 unknown unit, near miss", 422, "unit_unknown", "length.unit", "cms", "cm"),
    Row("X26 unit of another quantity", 422, "unit_wrong_quantity", "length.unit", "kg", "mass"),
    Row("X39 value of a list in capitals", 422, "enum_unknown", "working", "FULL", "full"),
    Row("X39 value of a list, blank for a line", 422, "enum_unknown", "units", "Metric ", "metric"),
    Row("X40 value of a list in another language", 422, "enum_unknown", "units", "metrisch", "metric"),
    Row("X41 long text", 422, "text_too_long", "client_ref", "a" * 100_000, "128"),
    Row("X41 control characters", 422, "text_invalid", "client_ref", "a\x07b"),
    Row("text that is a number", 422, "number_as_identifier", "client_ref", 4711, "quotes"),
    Row("X43 list where a number belongs", 422, "wrong_type", "length.value", [1] * 1000),
    Row("list where an object belongs", 422, "wrong_type", "length", [1, "mm"], '"unit"'),
]


def place(calculation: Calculation, name: str) -> list[str]:
    head, _, tail = name.partition(".")
    known = {"teeth": calculation.teeth, "required": calculation.required, "length": calculation.length}
    return [*known.get(head, head).split("."), *([tail] if tail else [])]


def holder(body: dict[str, Any], words: list[str]) -> dict[str, Any]:
    """What holds the last word of a place."""
    for word in words[:-1]:
        body = body[word]
    return body


def changed(calculation: Calculation, name: str, value: Any) -> str:
    """The sound body with one field set, as JSON text."""
    body = copy.deepcopy(calculation.body)
    words = place(calculation, name)
    holder(body, words)[words[-1]] = value
    text = json.dumps(body)
    if isinstance(value, str) and value.startswith(BARE):
        text = text.replace(json.dumps(value), value.removeprefix(BARE))
    return text


def send(service, calculation, content, **headers):
    sent = {"content-type": "application/json", **headers}
    return service.request("POST", calculation.path, content=content, headers=sent)


@pytest.fixture(params=CALCULATIONS, ids=lambda calculation: calculation.path)
def calculation(request):
    return request.param


def test_sound_body_is_answered(service, calculation):
    response = service.post(calculation.path, calculation.body)
    assert response.status_code == 200, response.text


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_refused_everywhere(service, calculation, row):
    response = send(service, calculation, changed(calculation, row.field, row.value))
    problem = response.json()
    assert response.status_code == row.status, problem
    found = [fault for fault in problem["errors"] if fault["code"] == row.code]
    assert len(found) == 1, problem
    words = place(calculation, row.field)
    assert found[0]["pointer"] == "/" + "/".join(words)
    named = [word for word in words if word not in ("value", "unit")][-1].replace("_", " ")
    told = " ".join([found[0]["message"], found[0].get("hint", ""), found[0].get("allowed", "")])
    assert (row.says or named) in told, told
    assert found[0]["message"].endswith((".", "?")), told


def test_x1_empty_body_names_the_required_fields(service, calculation):
    problem = send(service, calculation, b"").json()
    assert problem["errors"][0]["code"] == "body_missing"
    required = [name for name in calculation.body if name in (calculation.required, calculation.teeth)]
    told = problem["errors"][0]["message"]
    assert "object" in told or any(name in told for name in required)


def test_x2_list_where_an_object_is_expected(service, calculation):
    problem = send(service, calculation, b"[]").json()
    assert problem["errors"][0]["code"] == "body_wrong_shape"
    assert "object" in problem["detail"]


def test_x3_broken_json_says_where(service, calculation):
    problem = send(service, calculation, b'{\n"units": "metric",\n}').json()
    assert problem["errors"][0]["code"] == "json_invalid"
    assert "line 3, column 1" in problem["detail"]


@pytest.mark.parametrize("media_type", ["application/xml", "application/x-www-form-urlencoded", "text/csv"])
def test_x4_other_media_types_name_the_one_that_is_read(service, calculation, media_type):
    response = send(service, calculation, b"a=1", **{"content-type": media_type})
    assert response.status_code == 415
    assert "application/json" in response.json()["detail"]


@pytest.mark.parametrize("coding", ["utf-16", "latin-1"])
def test_x5_other_encodings(service, calculation, coding):
    text = json.dumps({**calculation.body, "client_ref": "½"}, ensure_ascii=False)
    problem = send(service, calculation, text.encode(coding)).json()
    assert problem["errors"][0]["code"] == "encoding_invalid"
    assert "UTF-8" in problem["detail"]


def test_x6_byte_order_mark_is_tolerated(service, calculation):
    plain = send(service, calculation, json.dumps(calculation.body))
    marked = send(service, calculation, b"\xef\xbb\xbf" + json.dumps(calculation.body).encode())
    assert marked.status_code == 200
    assert marked.content == plain.content


def test_x7_body_over_the_limit(service, calculation):
    response = send(service, calculation, b" " * 1_100_000)
    assert (response.status_code, response.json()["code"]) == (413, "content_too_large")


def test_x19_whole_number_with_a_point(service, calculation):
    words = place(calculation, "teeth")
    sound = float(holder(calculation.body, words)[words[-1]])
    assert send(service, calculation, changed(calculation, "teeth", sound)).status_code == 200


def test_x24_key_given_twice(service, calculation):
    text = json.dumps(calculation.body).replace("{", '{"units": "inch", "units": "metric", ', 1)
    problem = send(service, calculation, text).json()
    assert problem["errors"][0]["code"] == "json_duplicate_key"
    assert "'units'" in problem["detail"]


def test_x27_lb_in_a_force_field_is_taken_as_pound_force(service, calculation):
    own = {**calculation.body["own_chain"], "measuring_force": {"value": 50, "unit": "lb"}}
    answer = service.post(calculation.path, {**calculation.body, "own_chain": own}).json()
    warned = [warning for warning in answer["warnings"] if warning["code"] == "unit_assumed_force"]
    assert [warning["pointer"] for warning in warned] == ["/own_chain/measuring_force/unit"]
    assert "lbf" in warned[0]["message"]


@pytest.mark.parametrize(("unit", "says"), [("ton", "kN"), ("kg", "mass")])
def test_x28_ambiguous_unit_is_asked_for(service, calculation, unit, says):
    own = {**calculation.body["own_chain"], "minimum_tensile_strength": {"value": 5, "unit": unit}}
    problem = service.post(calculation.path, {**calculation.body, "own_chain": own}).json()
    assert problem["errors"][0]["code"] == "unit_ambiguous"
    assert says in problem["errors"][0]["message"]


def test_x30_unit_is_never_assumed(service, calculation):
    text = json.dumps(calculation.body).replace(', "unit": "mm"}', "}", 1)
    problem = send(service, calculation, text).json()
    assert problem["errors"][0]["code"] == "unit_missing"
    assert "mm" in problem["errors"][0]["allowed"]


def test_x37_millimetres_typed_as_inches_are_answered_with_a_question(service, calculation):
    body = {**calculation.body, **calculation.roomy}
    body["own_chain"] = {**body["own_chain"], "pitch": {"value": 9.525, "unit": "in"}}
    answer = service.post(calculation.path, body).json()
    told = [warning for warning in answer["warnings"] if warning["code"] == "unit_suspect"]
    assert [warning["pointer"] for warning in told] == ["/own_chain/pitch/unit"]
    assert "9.525 mm is a tabulated pitch" in told[0]["message"]


def test_x38_inches_typed_as_millimetres_are_asked_for(service, calculation):
    content = changed(calculation, "length.value", 0.75)
    response = send(service, calculation, content)
    assert (response.status_code, response.json()["code"]) == (422, "more_needed")
    fault = response.json()["errors"][0]
    assert (fault["code"], fault["pointer"]) == ("unit_suspect", "/own_chain/pitch/unit")
    assert "0.75 in" in fault["message"]


@pytest.mark.parametrize("pitch", [{"value": 1, "unit": "in"}, {"value": 7, "unit": "mm"}, {"value": 26, "unit": "mm"}])
def test_sound_pitches_are_not_questioned(service, calculation, pitch):
    response = send(service, calculation, changed(calculation, "length", pitch))
    assert "unit_suspect" not in response.text


def test_x41_markup_is_echoed_as_data_only(service, calculation):
    response = send(service, calculation, changed(calculation, "client_ref", "<img src=x onerror=alert(1)>"))
    assert response.json()["client_ref"] == "<img src=x onerror=alert(1)>"
    assert response.headers["content-type"] == "application/json"
    assert response.headers["x-content-type-options"] == "nosniff"


def test_x42_spreadsheet_formula_in_a_reference_is_echoed(service, calculation):
    response = send(service, calculation, changed(calculation, "client_ref", '=HYPERLINK("a","b")'))
    assert response.json()["client_ref"] == '=HYPERLINK("a","b")'


def test_x43_deep_nesting(service, calculation):
    text = changed(calculation, "teeth", BARE + "[" * 2000 + "]" * 2000)
    problem = send(service, calculation, text).json()
    assert problem["errors"][0]["code"] == "too_deep"


def test_x44_unknown_language_falls_back_and_unknown_format_is_refused(service, calculation):
    content = json.dumps(calculation.body)
    assert send(service, calculation, content, **{"accept-language": "xx"}).status_code == 200
    refused = send(service, calculation, content, accept="application/pdf")
    assert (refused.status_code, refused.json()["code"]) == (406, "not_acceptable")


def test_all_faults_at_once(service, calculation):
    body = copy.deepcopy({**calculation.body, "units": "imperial", "extra": 1})
    teeth, words = place(calculation, "teeth"), place(calculation, "required")
    if teeth[0] != words[0]:
        holder(body, teeth)[teeth[-1]] = -1
    else:
        body["working"] = teeth = ["working"]
    del holder(body, words)[words[-1]]
    problem = service.post(calculation.path, body).json()
    assert {fault["pointer"] for fault in problem["errors"]} == {
        "/" + "/".join(teeth),
        "/" + "/".join(words),
        "/units",
        "/extra",
    }
    assert "3 more in errors" in problem["detail"]
