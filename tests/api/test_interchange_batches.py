"""Interchange of many pairs at once: each item as if it had come alone, counts, references and bounds."""

from __future__ import annotations

from typing import Any

from service.api.batches import MOST_ITEMS

PATH = "/v1/interchange-checks"
BATCH = f"{PATH}/batch"


def pair(installed: str, replacement: str, **more: Any) -> dict[str, Any]:
    return {
        "purpose": "whole_chain",
        "installed": {"chain": installed},
        "replacement": {"chain": replacement},
        **more,
    }


LEAF_ON_TEETH = {
    "purpose": "chain_on_wheel",
    "replacement": {"chain": "BL634"},
    "wheel": {"chain": "60", "teeth": 21},
    "client_ref": "mast",
}
ITEMS = [
    pair("80", "16A", client_ref="head"),
    pair("08A", "08B", client_ref="tail"),
    LEAF_ON_TEETH,
    pair("80", "16C"),
    {"purpose": "whole_chain", "replacement": {"chain": "80"}, "colour": "red"},
    pair("80", "16A", client_ref="head", units="inch"),
]


def test_each_pair_is_answered_as_if_it_had_come_alone(service):
    found = service.post(BATCH, {"items": ITEMS}).json()
    assert [item["index"] for item in found["items"]] == list(range(len(ITEMS)))
    for sent, item in zip(ITEMS, found["items"], strict=True):
        alone = service.post(PATH, sent)
        assert item.get("client_ref") == sent.get("client_ref")
        if alone.status_code == 200:
            assert item["answer"] == alone.json()
        else:
            problem = item["problem"]
            assert problem["code"] == alone.json()["code"]
            place = f"/items/{item['index']}"
            assert problem["instance"] == f"#{place}"
            expected = [(place + error["pointer"], error["code"]) for error in alone.json()["errors"]]
            assert [(error["pointer"], error["code"]) for error in problem["errors"]] == expected


def test_verdicts_and_refusals_are_counted(service):
    found = service.post(BATCH, {"items": ITEMS}).json()
    assert found["counts"] == {"answered": 3, "refused": 3}
    assert found["verdicts"] == {
        "verdict": {"not_interchangeable": 1, "same_size": 2},
        "suits_purpose": {"no": 1, "yes": 2},
        "problems": 3,
    }
    assert [warning["code"] for warning in found["warnings"]] == ["client_ref_repeated"]


def test_the_same_batch_gives_the_same_bytes(service):
    assert service.post(BATCH, {"items": ITEMS}).content == service.post(BATCH, {"items": ITEMS}).content


def test_bounds_of_a_batch(service):
    assert service.codes(BATCH, {"items": []}) == (422, {"too_few_items"})
    status, codes = service.codes(BATCH, {"items": [pair("80", "16A")] * (MOST_ITEMS + 1)})
    assert (status, codes) == (422, {"too_many_items"})
    assert service.codes(BATCH, {"items": [pair("80", "16A")], "length_unit": "mm"}) == (422, {"field_unknown"})
