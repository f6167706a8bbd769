"""Extensions over HTTP: the worked case, parts, and wrong input by table; counting is owned by tests/core."""

from __future__ import annotations

from typing import Any

import pytest

PATH = "/v1/chain-extensions"


def body(**changes: Any) -> dict[str, Any]:
    sent = {"own_chain": {"pitch": {"value": 152.4, "unit": "mm"}}, "extension": {"value": 3, "unit": "m"}}
    return {name: value for name, value in {**sent, **changes}.items() if value is not None}


def test_three_metres_at_six_inch_pitch(service):
    """L28: 2 x 3000/152.4 = 39.37; 40 pitches are 6096 mm of chain and 3048 mm of conveyor, 38 are 2895.6 mm."""
    found = service.post(PATH, body(attachment_spacing=4, chain_lines=2)).json()["result"]
    assert found["exact_pitches"] == pytest.approx(39.37, abs=5e-3)
    figures = {c["pitch_count"]: (c["chain_length"]["value"], c["extension"]["value"]) for c in found["choices"]}
    assert figures[40] == pytest.approx((6096, 3048))
    assert figures[38] == pytest.approx((5791.2, 2895.6))
    best = found["recommended"]
    assert (best["pitch_count"], best["attachments"], best["all_lines_pitch_count"]) == (40, 10, 80)
    assert {part["kind"]: part["count"] for part in found["parts"]} == {
        "chain": 80,
        "attachments": 20,
        "connecting_links": 4,
    }


@pytest.mark.parametrize(("pitch_mm", "pitches"), [(15.875, 192), (19.05, 160)])
def test_ten_feet_of_chain(service, pitch_mm, pitches):
    """L32 and L33."""
    sent = body(own_chain={"pitch": {"value": pitch_mm, "unit": "mm"}}, extension={"value": 10, "unit": "ft"}, runs=1)
    found = service.post(PATH, sent).json()
    assert [choice["pitch_count"] for choice in found["result"]["choices"]] == [pitches]
    assert found["warnings"] == []


def test_shortening_takes_pitches_out(service):
    found = service.post(PATH, body(change="shorten", loop_pitch_count=300)).json()["result"]
    assert [c["pitch_count"] for c in found["choices"]] == [-40, -38]
    assert [c["loop_pitch_count"] for c in found["choices"]] == [260, 262]
    assert [part["kind"] for part in found["parts"]] == ["connecting_links"]


def test_chain_of_identical_links_takes_odd_counts(service):
    """WR78 has offset links: 2 x 1 m of 66.2686 mm pitch are 30.18 pitches, so that 30 and 31 stand beside it."""
    sent = body(own_chain=None, chain="WR78", extension={"value": 1, "unit": "m"})
    found = service.post(PATH, sent).json()["result"]
    assert [choice["pitch_count"] for choice in found["choices"]] == [30, 31]
    spaced = service.post(PATH, {**sent, "attachment_spacing": 5, "loop_pitch_count": 85}).json()
    assert spaced["result"]["recommended"]["pitch_count"] == 30
    assert "pattern_does_not_close" not in {warning["code"] for warning in spaced["warnings"]}


def test_worn_chain_drifts_from_new(service):
    answer = service.post(PATH, body(attachment_spacing=4, elongation_percent=2)).json()
    assert answer["result"]["recommended"]["phase_error"]["value"] == pytest.approx(121.92)
    assert "new_against_worn" in {warning["code"] for warning in answer["warnings"]}


CASES = [
    ("L29 pattern does not close", body(attachment_spacing=4, loop_pitch_count=214), 200, "pattern_does_not_close",
     "212 or 216"),
    ("L30 spacing of nothing", body(attachment_spacing=0), 422, "spacing_invalid", "0 pitches"),
    ("L30 spacing over the count", body(attachment_spacing=300, loop_pitch_count=214), 422, "spacing_invalid", "214"),
    ("L31 two lines", body(chain_lines=2), 200, "per_strand_or_total", "40 pitches are for each of 2 lines, 80 in all"),
    ("L34 wear of 150 %", body(elongation_percent=150), 422, "implausible_elongation", "150 %"),
    ("L28 no whole number", body(), 200, "extension_not_whole", "39.37"),
    ("shorter than the loop is long", body(change="shorten", loop_pitch_count=30), 422, "chain_too_short", "30"),
    ("half a run", body(runs=1.5), 422, "must_be_whole", "runs"),
    ("extension of nothing", body(extension={"value": 0, "unit": "m"}), 422, "must_be_positive", "extension"),
    ("no pitch at all", body(extension={"value": 1e-9, "unit": "mm"}), 422, "must_be_positive", "no pitch at all"),
    ("pitch of nothing", body(own_chain={"pitch": {"value": 1e-8, "unit": "mm"}}), 422, "number_out_of_range", "any"),
    ("no chain", body(own_chain=None), 422, "field_required", "chain"),
]  # fmt: skip


@pytest.mark.parametrize(("sent", "status", "code", "word"), [case[1:] for case in CASES], ids=[c[0] for c in CASES])
def test_wrong_input(service, sent, status, code, word):
    messages = service.messages(PATH, sent, status, code)
    assert any(word in message for message in messages), messages


def test_an_implausible_percentage_is_asked_about(service):
    (error,) = service.post(PATH, body(elongation_percent=150)).json()["errors"]
    assert error["hint"] == "Is 1.5 % meant?"
