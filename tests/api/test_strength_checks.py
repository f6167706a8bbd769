"""Strength checks over HTTP: wiring, what is left out when it is unknown, and wrong input by table."""

from __future__ import annotations

from typing import Any

import pytest

PATH = "/v1/strength-checks"


def kn(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "kN"}


def body(**changes: Any) -> dict[str, Any]:
    sound = {"chain": "16B", "peak_tension": kn(9), "working_tension": kn(3), "least_tension": kn(0.5)}
    return {name: value for name, value in {**sound, **changes}.items() if value is not None}


def own(**figures: Any) -> dict[str, Any]:
    return {"pitch": {"value": 25.4, "unit": "mm"}, "minimum_tensile_strength": kn(60), **figures}


def test_static_factor_times_peak_is_the_strength(service):
    result = service.post(PATH, body()).json()["result"]
    assert result["static_factor"] * 9000 == pytest.approx(result["minimum_tensile_strength"]["value"])


def test_inch_and_metric_requests_are_the_same_case(service):
    metric = service.post(PATH, body()).json()["result"]
    inch = service.post(
        PATH,
        body(
            peak_tension={"value": 9000 / 4.4482216152605, "unit": "lbf"},
            working_tension={"value": 3000 / 4.4482216152605, "unit": "lbf"},
            least_tension={"value": 500 / 4.4482216152605, "unit": "lbf"},
        ),
    ).json()["result"]
    assert inch["governing"]["load_multiple"] == pytest.approx(metric["governing"]["load_multiple"], rel=1e-11)


def test_a_lap_that_goes_slack_may_be_sent_as_nil(service):
    sent = service.post(PATH, body(least_tension=kn(0))).json()
    taken = service.post(PATH, body(least_tension=None)).json()
    assert sent["result"] == taken["result"]
    assert sent["result"]["pulsating_equivalent"]["value"] == pytest.approx(3000)
    assert "/least_tension" not in {assumption["field"] for assumption in sent["assumptions"]}


def test_own_figures_leave_out_what_is_unknown(service):
    answer = service.post(PATH, body(chain=None, own_chain=own())).json()
    assert answer["result"].keys() >= {"static_factor", "pulsating_equivalent", "governing"}
    assert not {"yield_load", "margin_to_yield", "fatigue_limit"} & answer["result"].keys()
    assert {warning["code"] for warning in answer["warnings"]} == {"yield_unknown", "fatigue_limit_unknown"}
    assert answer["result"]["governing"]["mode"] == "ultimate"


def test_entered_strengths_are_used(service):
    answer = service.post(
        PATH, body(chain=None, own_chain=own(), yield_fraction=0.5, fatigue_limit=kn(5), minimum_static_factor=6)
    ).json()
    assert answer["result"]["yield_load"] == {"value": 30000, "unit": "N"}
    checks = {check["name"]: check["verdict"] for check in answer["checks"]}
    assert checks == {
        "static_factor": "pass",
        "peak_below_tensile_strength": "pass",
        "peak_below_yield": "pass",
        "fatigue": "pass",
    }


ESTIMATES = [
    # chain, yield over ultimate of the preferred print, fatigue over ultimate of its lower end
    ("16B", 0.70, None),  # its dynamic strength is tabulated
    ("80-3", 0.70, 0.15),
    ("M80", 0.65, None),  # no print holds a usual fatigue limit of conveyor chain
    ("BL834", None, None),
]


@pytest.mark.parametrize(("chain", "yielding", "fatigue"), ESTIMATES)
def test_what_nobody_published_is_estimated_only_when_asked(service, chain, yielding, fatigue):
    silent = service.post(PATH, body(chain=chain)).json()
    assert "yield_load" not in silent["result"]
    assert "strength_estimated" not in {warning["code"] for warning in silent["warnings"]}
    asked = service.post(PATH, body(chain=chain, estimate_unpublished=True)).json()
    ultimate = asked["result"]["minimum_tensile_strength"]["value"]
    named = " ".join(one["message"] for one in asked["warnings"] if one["code"] == "strength_estimated")
    for what, field, fraction in (
        ("yield over", "yield_load", yielding),
        ("fatigue over", "fatigue_limit", fatigue),
    ):
        assert (what in named) == (fraction is not None)
        if fraction is not None:
            assert asked["result"][field]["value"] == pytest.approx(fraction * ultimate)
            assert field not in silent["result"]
    if yielding == 0.70:
        assert "0.4 to 0.6 after trade-strength-texts" in named


def test_welded_chain_has_its_breaking_force(service):
    """EN 818-3:1999, Table 5: 62.8 kN for 10 mm; the answer is of chain that lifts and says so."""
    answer = service.post(PATH, body(chain="EN 818-3 10")).json()
    assert answer["result"]["minimum_tensile_strength"] == {"value": 62800, "unit": "N"}
    assert {"overhead_lifting", "competent_person"} <= {caution["code"] for caution in answer["cautions"]}


def test_a_peak_that_breaks_the_chain_is_shouted(service):
    answer = service.post(PATH, body(peak_tension=kn(61))).json()
    told = [warning for warning in answer["warnings"] if warning["code"] == "peak_above_ultimate"]
    assert [warning["severity"] for warning in told] == ["danger"]
    assert {"name": "peak_below_tensile_strength", "verdict": "fail"}.items() <= answer["checks"][0].items()


def test_a_failed_factor_is_an_answer(service):
    response = service.post(PATH, body(minimum_static_factor=50))
    assert response.status_code == 200
    verdicts = {check["name"]: check["verdict"] for check in response.json()["checks"]}
    assert verdicts["static_factor"] == "fail"
    assert response.json()["result"]["governing"]["mode"] == "ultimate"


def test_recalled_figures_are_named(service):
    warnings = service.post(PATH, body()).json()["warnings"]
    recalled = [warning["message"] for warning in warnings if warning["code"] == "figure_from_memory"]
    assert len(recalled) == 1
    assert "minimum dynamic strength" in recalled[0]


def test_joint_pressure_needs_a_bearing_length(service):
    pin = own(pin_diameter={"value": 10, "unit": "mm"})
    without = service.post(PATH, body(chain=None, own_chain=pin)).json()["result"]
    with_length = service.post(
        PATH, body(chain=None, own_chain=pin, bearing_length={"value": 30, "unit": "mm"})
    ).json()["result"]
    assert "joint_pressure" not in without
    assert with_length["joint_pressure"] == {"value": 10, "unit": "N/mm2"}


def test_the_answer_warns_that_a_breaking_load_is_no_working_load(service):
    cautions = {caution["code"] for caution in service.post(PATH, body()).json()["cautions"]}
    assert "breaking_load_is_not_a_working_load" in cautions


CASES = [
    ("peak below working", {"peak_tension": kn(2)}, 422, "peak_below_working", "2000"),
    ("cycle reversed", {"least_tension": kn(4)}, 422, "cycle_reversed", "4000"),
    (
        "working tension breaks the chain",
        {"peak_tension": kn(900), "working_tension": kn(800)},
        422,
        "load_above_ultimate",
        "breaks",
    ),
    ("fraction in percent", {"yield_fraction": 70}, 422, "number_out_of_range", "yield fraction"),
    ("no chain", {"chain": None}, 422, "field_required", "chain"),
    ("no peak", {"peak_tension": None}, 422, "field_required", "peak tension"),
    ("mass as force", {"peak_tension": {"value": 900, "unit": "kg"}}, 422, "unit_ambiguous", "mass"),
    ("no working tension", {"working_tension": None, "least_tension": None}, 200, "working_tension_missing", "Fatigue"),
    ("strands are named", {"chain": "80-3"}, 200, "fatigue_limit_unknown", "80-3"),
    ("yield to ask for", {"chain": "80-3"}, 200, "yield_unknown", "estimate_unpublished"),
    (
        "yield that no print estimates",
        {"chain": "BL834", "estimate_unpublished": True},
        200,
        "yield_unknown",
        "usual fraction",
    ),
    ("chain without strength", {"chain": "720S"}, 422, "figure_not_in_reference", "tensile"),
]


@pytest.mark.parametrize(("what", "changes", "status", "code", "word"), CASES, ids=[case[0] for case in CASES])
def test_wrong_input(service, what, changes, status, code, word):
    response = service.post(PATH, body(**changes))
    answer = response.json()
    listed = answer["errors"] if status >= 400 else answer["warnings"]
    assert response.status_code == status, (what, answer)
    messages = [entry["message"] + entry.get("hint", "") for entry in listed if entry["code"] == code]
    assert messages, (what, listed)
    assert any(word in message for message in messages), messages
