"""Batches of elongation checks: order, references, one bad item among good ones, the same answer again."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.api.test_elongation_checks import PATH, body, mm

BATCH = "/v1/elongation-checks/batch"


def post(service: Any, *items: Any) -> dict[str, Any]:
    response = service.post(BATCH, {"items": list(items)})
    assert response.status_code == 200, response.text
    return dict(response.json())


def test_each_item_is_answered_as_if_it_had_come_alone(service):
    one, two = body(client_ref="a"), body(length=mm(313), client_ref="b")
    answer = post(service, one, two)
    assert [item["index"] for item in answer["items"]] == [0, 1]
    assert [item["answer"] for item in answer["items"]] == [service.post(PATH, item).json() for item in (one, two)]
    assert answer["counts"] == {"answered": 2, "refused": 0}


def test_one_bad_item_spoils_no_other(service):
    # T34, with faults of the schema, of engineering and of no object at all
    answer = post(
        service, body(), {**body(), "pitch_cout": 3, "client_ref": "typed"}, body(pitch_count=None), [], body()
    )
    assert ["answer" in item for item in answer["items"]] == [True, False, False, False, True]
    assert answer["counts"] == {"answered": 2, "refused": 3}
    problems = [item["problem"] for item in answer["items"][1:4]]
    assert [problem["status"] for problem in problems] == [422, 422, 422]
    assert problems[0]["errors"][0]["pointer"] == "/items/1/pitch_cout"
    assert problems[1]["errors"][0] | {"message": "", "hint": ""} == {
        "pointer": "/items/2/pitch_count",
        "code": "pitches_missing",
        "message": "",
        "hint": "",
    }
    assert problems[2]["errors"][0]["code"] == "body_wrong_shape"
    assert answer["items"][1]["client_ref"] == "typed"


def test_all_items_bad_is_still_an_answer(service):
    # T35
    answer = post(service, {}, {"client_ref": 7})
    assert answer["counts"] == {"answered": 0, "refused": 2}


def test_a_reference_that_stands_twice_is_told(service):
    # T36, T37
    answer = post(service, body(client_ref="x"), body(), body(client_ref="x"))
    assert [warning["code"] for warning in answer["warnings"]] == ["client_ref_repeated"]
    assert [item.get("client_ref") for item in answer["items"]] == ["x", None, "x"]


@pytest.mark.parametrize(("count", "code"), [(0, "too_few_items"), (1001, "too_many_items")])
def test_size_is_bounded(service, count, code):
    # T38, T39
    response = service.post(BATCH, {"items": [body()] * count})
    assert response.status_code == 422
    assert [fault["code"] for fault in response.json()["errors"]] == [code]


def test_the_same_batch_gives_the_same_bytes(service):
    # T40
    sent = {"items": [body(), body(pitch_count=None)]}
    assert service.post(BATCH, sent).content == service.post(BATCH, sent).content


def test_broken_json_is_refused_as_a_whole(service):
    text = json.dumps({"items": [body()]})[:-1]
    response = service.request("POST", BATCH, content=text, headers={"content-type": "application/json"})
    assert response.status_code == 400


def send_text(service: Any, text: str | bytes, path: str = BATCH) -> Any:
    return service.request("POST", path, content=text, headers={"content-type": "application/json"})


def test_a_key_that_stands_twice_in_an_item_is_the_fault_of_that_item(service):
    sound = json.dumps(body())
    response = send_text(service, f'{{"items": [{{"chain": "80", "chain": "60"}}, {sound}]}}')
    assert response.status_code == 200
    refused, answered = response.json()["items"]
    assert refused["problem"]["errors"][0]["code"] == "json_duplicate_key"
    assert "answer" in answered


@pytest.mark.parametrize(
    "text",
    [
        '{"items": [], "items": [{"chain": "80"}]}',
        '{"length_unit": "mm", "items": [{"chain": "80"}], "length_unit": "in"}',
        '{"length_unit": "mm", "items": [{"client_ref": "a:b"}], "length_unit": "mm"}',
    ],
)
def test_a_key_that_stands_twice_beside_the_items_is_refused_as_a_whole(service, text):
    response = send_text(service, text)
    assert response.status_code == 400
    assert response.json()["errors"][0]["code"] == "json_duplicate_key"


def test_a_colon_in_a_text_is_no_key(service):
    response = send_text(service, json.dumps({"length_unit": "mm", "items": [body(client_ref="a:b::c")]}))
    assert response.status_code == 200


@pytest.mark.parametrize("path", [BATCH, "/v1/elongation-trends/batch"])
@pytest.mark.parametrize("limit", [3000, 50_000])
def test_a_batch_over_the_limit_is_told_the_limit_and_into_how_many_to_split(limit, path, make_caller):
    small = make_caller(max_batch_body_bytes=limit, max_body_bytes=1000)
    text = b'{"items": [{}]}'
    assert send_text(small, text.ljust(limit), path).status_code == 200
    response = send_text(small, text.ljust(2 * limit + 1), path)
    assert (response.status_code, response.json()["code"]) == (413, "content_too_large")
    assert response.json()["detail"] == (
        f"The body holds {2 * limit + 1} bytes; this path reads at most {limit} bytes. "
        "Split the batch into 3 or more bodies."
    )
    # The limit of a batch is one of its own: a single request keeps its smaller one.
    single = send_text(small, b" " * 2000, path.removesuffix("/batch"))
    assert (single.status_code, "at most 1000 bytes" in single.json()["detail"]) == (413, True)


def test_five_hundred_items_are_answered(service):
    answer = post(service, *[body(client_ref=str(place)) for place in range(1000)])
    assert answer["counts"] == {"answered": 1000, "refused": 0}
    assert [item["client_ref"] for item in answer["items"]] == [str(place) for place in range(1000)]


def without_length(**changes: Any) -> dict[str, Any]:
    item = body(**changes)
    del item["length"]
    return item


def test_unit_of_lengths_is_stated_once_and_an_item_may_differ(service):
    length = body()["length"]
    assert length["unit"] == "mm"
    items = [without_length(length_value=length["value"]), body(length={"value": length["value"] / 25.4, "unit": "in"})]
    answer = service.post(BATCH, {"length_unit": "mm", "items": items}).json()
    found = [item["answer"]["result"]["elongation_percent"] for item in answer["items"]]
    assert found == pytest.approx([service.post(PATH, body()).json()["result"]["elongation_percent"]] * 2)


@pytest.mark.parametrize(
    ("envelope", "item", "code"),
    [
        ({}, without_length(length_value=310), "unit_missing"),
        ({"length_unit": "mm"}, body(length_value=310), "over_determined"),
        ({"length_unit": "mm"}, without_length(length_value=-310), "must_be_positive"),
    ],
)
def test_a_plain_length_needs_the_unit_and_its_place_alone(service, envelope, item, code):
    answer = service.post(BATCH, {**envelope, "items": [item]}).json()
    assert [fault["code"] for fault in answer["items"][0]["problem"]["errors"]] == [code]


def test_verdicts_are_counted(service):
    answer = post(service, body(), body(), body(pitch_count=None))
    status = answer["items"][0]["answer"]["result"]["status"]
    assert answer["verdicts"] == {"status": {status: 2}, "lifting_status": {}, "not_assessable": 0, "problems": 1}


def test_drives_and_lifting_chain_are_counted_apart(service):
    worn = body(length=mm(317))
    lifting = {"chain": "BL834", "elongation_percent": 1.0}
    removed, unknown = {**lifting, "elongation_percent": 3.0}, {"chain": "no such"}
    slack, pitted = body(tension_state="slack", length=mm(305.3)), {**lifting, "findings": ["corrosion_pits"]}
    answer = post(service, worn, lifting, lifting, removed, unknown, slack, pitted)
    statuses = [item["answer"]["result"] for item in answer["items"] if "answer" in item]
    assert [one.get("lifting_status") for one in statuses][1:4] == [
        "within_entered_limits", "within_entered_limits", "remove_from_service"]  # fmt: skip
    assert answer["verdicts"]["lifting_status"] == {"remove_from_service": 2, "within_entered_limits": 2}
    assert answer["verdicts"]["status"] == {statuses[0]["status"]: 1}
    assert answer["verdicts"]["not_assessable"] == 1
    assert answer["verdicts"]["problems"] == 1


def test_a_batch_may_be_larger_than_a_single_request(service):
    large = body(client_ref="x" * 100)
    items = [large] * 1000
    text = json.dumps({"items": items}) + " " * 2_000_000
    response = service.request("POST", BATCH, content=text, headers={"content-type": "application/json"})
    assert response.status_code == 200
    assert response.json()["counts"]["answered"] == 1000


def test_every_length_of_an_item_may_be_plain(service):
    base = without_length()
    given = {"inner_length_value": 301.4, "outer_length_value": 317.4, "pair_length_value": 310.0}
    lengths = {name.removesuffix("_value"): mm(value) for name, value in given.items()}
    answer = service.post(BATCH, {"length_unit": "mm", "items": [{**base, **given}, {**base, **lengths}]}).json()
    first, second = (item["answer"] for item in answer["items"])
    assert first == second
    assert first["result"]["method"] == "roller_inside_outside_mean"
    missing = service.post(BATCH, {"items": [{**base, **given}]}).json()["items"][0]["problem"]["errors"]
    assert [(fault["code"], fault["pointer"]) for fault in missing] == [("unit_missing", "/items/0/inner_length_value")]
    assert "inner_length with its own" in missing[0]["message"]


def test_verdicts_in_short_say_what_the_full_answers_say(service):
    warned = body(client_ref="b", tension_state=None, chain_temperature={"value": 300, "unit": "degC"})
    lifting = {"client_ref": "c", "chain": "BL834", "length": {"value": 12.375, "unit": "in"}, "pins_counted": 13}
    gauge = {"client_ref": "d", "chain": "16B", "gauge_result": "above", "gauge_threshold_percent": 3}
    items = [body(client_ref="a", length=mm(317)), warned, lifting, gauge, body(pitch_count=None, client_ref="e")]
    full = service.post(BATCH, {"items": items}).json()
    short = service.post(BATCH, {"items": items, "detail": "verdicts"}).json()
    for name in ("counts", "verdicts", "warnings"):
        assert short[name] == full[name]
    assert "basis" not in full
    assert short["items"][4] == full["items"][4]
    for one, two in zip(short["items"][:4], full["items"][:4], strict=True):
        assert (one["index"], one["client_ref"]) == (two["index"], two["client_ref"])
        verdict, result = dict(one["verdict"]), two["answer"]["result"]
        assert verdict.pop("warnings", []) == [warning["code"] for warning in two["answer"]["warnings"]]
        assert verdict.pop("limit_percent") == result["limit"]["percent"]
        assert verdict == {name: result[name] for name in verdict}
        assert {"governed_by", "confidence", "next_step_code"} < verdict.keys()
    basis = short["basis"]
    assert basis["versions"] == full["items"][0]["answer"]["versions"]
    for name in ("assumptions", "cautions"):
        known = [one for item in full["items"][:4] for one in item["answer"][name]]
        assert sorted(map(json.dumps, basis[name])) == sorted({json.dumps(one) for one in known})
    places = {(s["id"], s["locator"], use) for s in basis["sources"] for use in s["used_for"]}
    assert places == {
        (s["id"], s["locator"], use)
        for item in full["items"][:4]
        for s in item["answer"]["sources"]
        for use in s["used_for"]
    }
    # What was recalled keeps its caveat: in the item as a code, and once in words.
    assert "figure_from_memory" in short["items"][1]["verdict"]["warnings"]
    assert [warning["code"] for warning in basis["warnings"]] == ["figure_from_memory"]
    assert "expansion" in basis["warnings"][0]["message"]


def test_verdicts_in_short_are_a_tenth_of_the_full_answers(service):
    sent = {"items": [body(client_ref=str(place)) for place in range(50)]}
    assert 10 * len(service.post(BATCH, {**sent, "detail": "verdicts"}).content) < len(
        service.post(BATCH, sent).content
    )
