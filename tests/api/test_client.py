"""The example client: what it repeats, what it raises, and what it never repeats."""

from __future__ import annotations

import httpx
import pytest

from client_examples.chain_client import ChainClient, ServiceProblem, ServiceUnreachable


def client(*answers: httpx.Response | Exception) -> tuple[ChainClient, list[httpx.Request]]:
    waiting, seen = list(answers), []

    def answer(request: httpx.Request) -> httpx.Response:
        seen.append(request)
        given = waiting.pop(0)
        if isinstance(given, Exception):
            raise given
        return given

    made = ChainClient("http://service.invalid", pause_s=0.0, transport=httpx.MockTransport(answer))
    return made, seen


def test_a_broken_connection_is_tried_again_with_the_same_body():
    calls, seen = client(httpx.ConnectError("refused"), httpx.Response(200, json={"result": {}}))
    with calls:
        assert calls.chain_length({"chain": "80"})["result"] == {}
    assert [request.content for request in seen] == [seen[0].content] * 2


def test_a_busy_service_is_tried_again_and_then_given_up():
    calls, seen = client(*[httpx.Response(503, json={})] * 3)
    with calls, pytest.raises(ServiceUnreachable, match="503"):
        calls.chain_length({})
    assert len(seen) == 3


def test_a_refusal_is_raised_at_once_with_every_fault():
    document = {
        "title": "The request breaks the contract",
        "status": 422,
        "code": "invalid_request",
        "detail": "The driver teeth is required.",
        "errors": [
            {"pointer": "/driver_teeth", "code": "field_required", "message": "The driver teeth is required."},
            {"pointer": "/pitch", "code": "field_unknown", "message": "'pitch' is not a field.", "hint": "own_chain"},
        ],
    }
    calls, seen = client(httpx.Response(422, json=document))
    with calls, pytest.raises(ServiceProblem) as refused:
        calls.chain_length({})
    assert refused.value.code == "invalid_request"
    assert [fault.pointer for fault in refused.value.faults] == ["/driver_teeth", "/pitch"]
    assert len(seen) == 1


def test_an_answer_that_is_no_json_is_no_answer():
    calls, _ = client(httpx.Response(200, text="<html>proxy</html>"))
    with calls, pytest.raises(ServiceUnreachable, match="no JSON"):
        calls.chain("80")
