"""Sags over HTTP: each measure leads to the same strand, and wrong input by table; tests/core owns the curve."""

from __future__ import annotations

from typing import Any

import pytest

PATH = "/v1/chain-sags"


def mm(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "mm"}


def body(**changes: Any) -> dict[str, Any]:
    sent = {"own_chain": {"pitch": mm(25.4), "mass_per_length": {"value": 6.5, "unit": "kg/m"}}, "span": mm(2000)}
    return {name: value for name, value in {**sent, **changes}.items() if value is not None}


def test_every_measure_leads_to_the_same_strand(service):
    by_sag = service.post(PATH, body(sag=mm(40))).json()["result"]
    for name in ("excess_length", "movement", "horizontal_tension"):
        again = service.post(PATH, body(**{name: by_sag[name]})).json()["result"]
        assert again["sag"]["value"] == pytest.approx(40, rel=1e-8), name
        assert again["upper_end_tension"]["value"] == pytest.approx(by_sag["upper_end_tension"]["value"], rel=1e-8)


def test_figures_of_an_independent_row(service):
    """2 m, 40 mm, 6.5 kg/m: 797.2149 N, 799.7646 N, 2.131743 mm by quadrature."""
    found = service.post(PATH, body(sag=mm(40))).json()["result"]
    assert found["horizontal_tension"]["value"] == pytest.approx(797.214905270511, rel=1e-11)
    assert found["upper_end_tension"]["value"] == pytest.approx(799.764634270511, rel=1e-11)
    assert found["excess_length"]["value"] == pytest.approx(2.13174284980243, rel=1e-10)
    assert found["sag_percent"] == pytest.approx(2)


def test_uneven_supports(service):
    sent = body(
        own_chain={"pitch": mm(50.8), "mass_per_length": {"value": 10, "unit": "kg/m"}},
        span=mm(500),
        rise=mm(2000),
        excess_length=mm(38.44718719116979),
    )
    found = service.post(PATH, sent).json()["result"]
    assert found["chain_length"]["value"] == pytest.approx(2100)
    assert found["upper_end_tension"]["value"] == pytest.approx(219.528063158364, rel=1e-9)
    assert "parabola_error_percent" not in found


def test_an_unknown_mass_leaves_tensions_out(service):
    answer = service.post(PATH, body(own_chain={"pitch": mm(25.4)}, sag=mm(40))).json()
    assert "upper_end_tension" not in answer["result"]
    assert "mass_not_known" in {warning["code"] for warning in answer["warnings"]}


def test_no_chain_at_all_is_geometry(service):
    found = service.post(PATH, body(own_chain=None, sag=mm(40))).json()["result"]
    assert found["excess_length"]["value"] == pytest.approx(2.13174284980243, rel=1e-10)
    assert "excess_pitches" not in found


def test_advice_is_that_of_print(service):
    """About 4 % of the span; about 2 % where the centres are over a metre or a printed condition holds."""
    short = service.post(PATH, body(span=mm(800), movement=mm(32))).json()["result"]["advised"][0]
    assert (short["source_id"], short["greatest"]["value"], short["measure"]) == (
        "complete-guide-chain",
        32,
        "movement",
    )
    reversing = service.post(PATH, body(span=mm(800), movement=mm(32), situations=["reversing"])).json()["result"]
    assert reversing["advised"][0]["greatest"]["value"] == 16
    long = service.post(PATH, body(movement=mm(32))).json()
    assert long["result"]["advised"][0]["greatest"]["value"] == 40
    assert {"field": "/situations", "value": "centres_over_one_metre", "origin": "derived",
            "note": "the strand is longer than 1 m"} in long["assumptions"]  # fmt: skip


def test_recalled_advice_stays_out_where_print_speaks(service):
    answer = service.post(PATH, body(span=mm(800), movement=mm(32))).json()
    assert "figure_from_memory" not in {warning["code"] for warning in answer["warnings"]}


CASES = [
    ("L25 sag of nothing", body(sag=mm(0)), 200, "no_slack", "taut"),
    ("L26 sag of 60 %", body(sag=mm(1200)), 200, "sag_excessive", "greatest advised"),
    ("L27 percentage in a field of mm", body(sag=mm(2)), 200, "unit_suspect", "2 % would be 40 mm"),
    ("two measures", body(sag=mm(40), excess_length=mm(2)), 422, "over_determined", "only one"),
    ("no measure", body(), 422, "field_required", "Send one of"),
    ("tension without a chain", body(own_chain=None, horizontal_tension={"value": 800, "unit": "N"}), 422,
     "field_required", "mass"),
    ("tension without a mass", body(own_chain={"pitch": mm(25.4)}, horizontal_tension={"value": 800, "unit": "N"}), 422,
     "figure_not_in_reference", "mass per length"),
    ("span of nothing", body(span=mm(0), sag=mm(40)), 422, "must_be_positive", "span"),
    ("span of next to nothing", body(span=mm(1e-5), sag=mm(40)), 422, "must_be_positive", "above each other"),
    ("sag of next to nothing", body(sag=mm(1e-300)), 200, "no_slack", "taut"),
    ("sag out of all proportion", body(sag={"value": 900, "unit": "m"}), 422, "sag_excessive", "sag_mm"),
    ("pull of a cable car", body(horizontal_tension={"value": 1e9, "unit": "kN"}), 200, "no_slack", "taut"),
    ("pull of nothing much", body(horizontal_tension={"value": 0.001, "unit": "N"}), 422, "sag_excessive", "too deep"),
    ("unknown situation", body(sag=mm(40), situations=["sideways"]), 422, "enum_unknown", "sideways"),
]  # fmt: skip


@pytest.mark.parametrize(("sent", "status", "code", "word"), [case[1:] for case in CASES], ids=[c[0] for c in CASES])
def test_wrong_input(service, sent, status, code, word):
    messages = service.messages(PATH, sent, status, code)
    assert any(word in message for message in messages), messages


def test_a_taut_strand_is_an_answer(service):
    found = service.post(PATH, body(sag=mm(0))).json()["result"]
    assert found["chain_length"]["value"] == 2000
    assert "horizontal_tension" not in found
