"""Texts with units over HTTP: tokens, exact conversions, and wrong input by table."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

import pytest

from service.api.quantity_readings import KindOfQuantity
from service.units.spellings import SPELLINGS, read_unit
from service.units.table import UNITS

PATH = "/v1/quantity-readings"


def test_kinds_are_those_of_the_unit_table():
    assert set(get_args(KindOfQuantity)) == set(UNITS.kinds)


READ = [
    # text, kind asked, token, canonical value by definition of the units, plain form
    ("1-1/2 in", None, "in", 38.1, "1-1/2 in"),
    ('1½"', None, "in", 38.1, "1-1/2 in"),
    ("5' 3-1/4\"", None, "in", 1606.55, "5 ft 3-1/4 in"),
    ("38,1 mm", None, "mm", 38.1, "38.1 mm"),
    ("38.1 MM", None, "mm", 38.1, "38.1 mm"),
    ("2 Zoll", None, "in", 50.8, "2 in"),
    ("12 feet", None, "ft", 3657.6, "12 ft"),
    ("7.5 kW", None, "kW", 7.5, "7.5 kW"),
    ("100 lbf", None, "lbf", 444.82216152605, "100 lbf"),
    ("50 lb", "mass", "lb", 22.6796185, "50 lb"),
    ("50 lbs", "force", "lb", 222.411080763, "50 lb"),
    ("68 °F", None, "degF", 20, "68 degF"),
    ("-40 °C", None, "degC", -40, "-40 degC"),
    ("900 rpm", None, "rpm", 900, "900 rpm"),
    ("2 m/s", None, "m/s", 2, "2 m/s"),
    ("120 ft-lb", None, "lbf.ft", 162.698153799768, "120 lbf.ft"),
]


@pytest.mark.parametrize(("text", "kind", "token", "canonical", "plain"), READ, ids=[case[0] for case in READ])
def test_reads(service, text, kind, token, canonical, plain):
    body = {"text": text} if kind is None else {"text": text, "kind": kind}
    response = service.post(PATH, body)
    assert response.status_code == 200, response.text
    result = response.json()["result"]
    assert result["quantity"]["unit"] == token
    assert result["read_as"] == plain
    factors = UNITS.factors[result["kind"]]
    metric = factors[result["metric"]["unit"]]
    assert result["metric"]["value"] * metric.factor + metric.offset == pytest.approx(canonical, rel=1e-9)
    inch = factors[result["inch"]["unit"]]
    assert result["inch"]["value"] * inch.factor + inch.offset == pytest.approx(canonical, rel=1e-9)


def written() -> list[tuple[str, str, str]]:
    lines = (Path(__file__).parent / "quantity_texts.txt").read_text(encoding="utf-8").splitlines()
    return [(text, kind, wanted) for line in lines if not line.startswith("## ")
            for text, kind, wanted in [line.rsplit(" | ", 2)]]  # fmt: skip


@pytest.mark.parametrize(("text", "kind", "wanted"), written())
def test_reads_what_people_write(service, text, kind, wanted):
    response = service.post(PATH, {"text": text} if kind == "-" else {"text": text, "kind": kind})
    if response.status_code == 422:
        assert [fault["code"] for fault in response.json()["errors"]] == [wanted]
        return
    result = response.json()["result"]
    metric = result["metric"]
    factors = UNITS.factors[result["kind"]][metric["unit"]]
    assert metric["value"] * factors.factor + factors.offset == pytest.approx(float(wanted), rel=1e-9)


def test_what_was_read_can_be_sent_on(service):
    read = service.post(PATH, {"text": "31-1/2 in"}).json()["result"]["quantity"]
    body = {"chain": "16B", "driver_teeth": 19, "driven_teeth": 57, "centre_distance": read}
    assert service.post("/v1/chain-lengths", body).status_code == 200


WARNED = [
    ({"text": "1.1/2 in"}, "joint_read_from_point"),
    ({"text": "10 HP"}, "unit_assumed"),
    ({"text": "1.500 mm"}, "point_read_as_decimal"),
    ({"text": "50 lb", "kind": "force"}, "unit_assumed_force"),
]


@pytest.mark.parametrize(("body", "code"), WARNED)
def test_readings_are_told(service, body, code):
    assert service.codes(PATH, body) == (200, {code})


REFUSED = [
    # body, code, word of the message
    ({"text": "1-1/2"}, "unit_missing", "1-1/2"),
    ({"text": "1,250 mm"}, "number_ambiguous", "1250"),
    ({"text": "1.250,5 mm"}, "number_ambiguous", "1250.5"),
    ({"text": "1-1/2-1/4 in"}, "text_unreadable", "-1/4 in"),
    ({"text": "3/0 in"}, "text_unreadable", "zero"),
    ({"text": "1/2 x 5/16"}, "unit_unknown", "x 5/16"),
    ({"text": "3 cms"}, "unit_unknown", "cms"),
    ({"text": "3 inchs"}, "unit_unknown", "inchs"),
    ({"text": "3 M"}, "unit_unknown", "M"),
    ({"text": "3 kg", "kind": "length"}, "unit_wrong_quantity", "mass"),
    ({"text": "3 ton"}, "unit_ambiguous", "ton"),
    ({"text": "3 ton", "kind": "mass"}, "unit_ambiguous", "short"),
    ({"text": "3 kg", "kind": "force"}, "unit_ambiguous", "mass"),
    ({"text": "5 PS"}, "unit_ambiguous", "metric"),
    ({"text": "20 C", "kind": "temperature"}, "unit_ambiguous", "degC"),
    ({"text": "50 lb"}, "field_required", "force"),
    ({"text": "-19.05 mm"}, "must_be_positive", "-19.05"),
    ({"text": "-0.0 mm"}, "must_be_positive", "above zero"),
    ({"text": "0 mm"}, "must_be_positive", "above zero"),
    ({"text": "1-1/2 in", "quantity": {"value": 38.9, "unit": "mm"}}, "quantity_conflict", "38.1"),
    ({"text": "1-1/2 in", "quantity": {"value": 1.5, "unit": "kg"}}, "unit_wrong_quantity", "mass"),
    ({"text": "x" * 61}, "text_too_long", "61"),
    ({"text": ""}, "text_invalid", "text"),
    ({"text": 25.4}, "number_as_identifier", "quotes"),
    ({"text": "3 mm", "kind": "smell"}, "enum_unknown", "smell"),
    ({}, "field_required", "text"),
]


@pytest.mark.parametrize(("body", "code", "word"), REFUSED, ids=[f"{case[0]}"[:50] for case in REFUSED])
def test_refuses(service, body, code, word):
    response = service.post(PATH, body)
    problem = response.json()
    assert response.status_code == 422
    assert [fault["code"] for fault in problem["errors"]] == [code], problem
    fault = problem["errors"][0]
    assert word in fault["message"] + fault.get("hint", "")


def test_a_rounded_fraction_agrees_with_its_text(service):
    assert service.post(PATH, {"text": "5/16 in", "quantity": {"value": 7.94, "unit": "mm"}}).status_code == 200


def test_candidates_are_named(service):
    assert service.post(PATH, {"text": "1,250 mm"}).json()["candidates"] == ["1.250", "1250"]
    assert service.post(PATH, {"text": "50 lb"}).json()["candidates"] == ["force", "mass"]
    assert "in" in service.post(PATH, {"text": "3 inchs"}).json()["candidates"]


def test_every_spelling_stands_for_a_token_and_for_one_unit_of_its_kind():
    for kind, definition in UNITS.kinds.items():
        for token in definition.tokens:
            assert (kind, token) in read_unit(token)
    assert SPELLINGS.exists()
    for text in ("mm", "in", "inch", '"', "ft", "kW", "kN", "rpm", "N"):
        assert len(read_unit(text)) == 1, text
