"""Whichever way an error arises, it has one shape, and every code of a problem is reached."""

from __future__ import annotations

import asyncio
import json
import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import msgspec
import pytest

from service.api import chain_lengths, health
from service.api.problems import Problem
from service.reference.codes import load_codes

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable

CODES = load_codes()
POST = "/v1/chain-lengths"
POINTER = re.compile(r"(/([^/~]|~[01])*)*")
QUERY = re.compile(r"\?[^\s]*")
SOUND: dict[str, Any] = {
    "own_chain": {"pitch": {"value": 25.4, "unit": "mm"}},
    "driver_teeth": 19,
    "driven_teeth": 57,
    "centre_distance": {"value": 800, "unit": "mm"},
}


@dataclass
class Way:
    """How an error arises, and what must come of it."""

    code: str
    status: int
    method: str = "POST"
    path: str = POST
    arguments: dict[str, Any] = field(default_factory=lambda: {"json": SOUND})
    settings: dict[str, Any] = field(default_factory=dict)


def body(**changes: Any) -> dict[str, Any]:
    return {"json": {name: value for name, value in {**SOUND, **changes}.items() if value is not None}}


JSON = {"content-type": "application/json"}
WAYS = [
    Way("malformed_json", 400, arguments={"content": b"{", "headers": JSON}),
    Way("malformed_json", 400, arguments={"content": b"", "headers": JSON}),
    Way("malformed_json", 400, arguments={"content": b'{"a":1,"a":2}', "headers": JSON}),
    Way("malformed_json", 400, arguments={"content": b'{"driver_teeth":NaN}', "headers": JSON}),
    Way("invalid_request", 422, arguments=body(driver_teeth=-1, foo=1, own_chain={"a/b~c": 1})),
    Way("invalid_request", 422, arguments={"json": []}),
    Way("invalid_request", 422, "GET", "/health/live?a=1&b=2&b=3", {}),
    Way("invalid_request", 422, "GET", "/health/live?a=%ff", {}),
    Way("out_of_range", 422, arguments=body(centre_distance={"value": 300, "unit": "mm"})),
    Way("not_in_reference", 422, arguments=body(own_chain=None, chain="no such chain")),
    Way("inconsistent", 422, arguments=body(chain="80")),
    Way("more_needed", 422, arguments=body(centre_distance=None)),
    Way("no_solution", 422, arguments=body(centre_distance=None, pitch_count=40)),
    Way("not_found", 404, "GET", "/nope", {}),
    Way("not_found", 404, "GET", "/health/live/", {}),
    Way("method_not_allowed", 405, "DELETE", POST, {}),
    Way("not_acceptable", 406, arguments={"json": SOUND, "headers": {"accept": "text/html"}}),
    Way("unsupported_media_type", 415, arguments={"content": b"a", "headers": {"content-type": "text/plain"}}),
    Way(
        "unreadable_csv",
        422,
        path="/v1/elongation-checks/batch",
        arguments={"content": b"chain,a/b~c\n80,1\n", "headers": {"content-type": "text/csv"}},
    ),
    Way(
        "content_too_large", 413, arguments={"content": b" " * 2000, "headers": JSON}, settings={"max_body_bytes": 1000}
    ),
    Way("header_too_large", 431, "GET", "/health/live", {"headers": {"x-a": "a" * 40_000}}),
    Way("unauthorised", 401, settings={"api_keys": ("secret",)}),
]


def check(response: Any, status: int, code: str, log: list[dict[str, Any]]) -> Problem:
    """The one shape of an error."""
    assert response.status_code == status, response.text
    assert response.headers["content-type"] == "application/problem+json"
    assert response.headers["cache-control"] == "no-store"
    assert response.headers.get_list("x-request-id") == ["caller-1.2_3"]
    assert set(response.json()) == {field.encode_name for field in msgspec.structs.fields(Problem)}
    problem = msgspec.json.decode(response.content, type=Problem)
    assert (problem.status, problem.code) == (status, code)
    assert problem.type == f"/v1/codes/{code}"
    assert problem.instance == "urn:request:caller-1.2_3"
    assert CODES[code].kind == "problem"
    assert problem.title == CODES[code].title
    assert problem.detail
    for fault in problem.errors:
        assert POINTER.fullmatch(fault.pointer) or QUERY.fullmatch(fault.pointer), fault
        assert "fault" in CODES[fault.code].kind, fault
        assert fault.message[-1] in ".?", fault
    assert log[-1]["problem"] == code
    assert log[-1]["status"] == status
    assert log[-1]["request_id"] == "caller-1.2_3"
    return problem


@pytest.mark.parametrize("way", WAYS, ids=lambda way: f"{way.code} {way.method} {way.path}")
def test_error_has_the_one_shape(service, make_caller, way):
    service = make_caller(**way.settings) if way.settings else service
    arguments = {**way.arguments, "headers": {"x-request-id": "caller-1.2_3", **way.arguments.get("headers", {})}}
    check(service.request(way.method, way.path, **arguments), way.status, way.code, service.log)


def test_pointers_are_escaped(service):
    problem = service.post(POST, {**SOUND, "own_chain": {**SOUND["own_chain"], "a/b~c": 1}}).json()
    assert [fault["pointer"] for fault in problem["errors"]] == ["/own_chain/a~1b~0c"]


def test_query_faults_point_at_the_parameter(service):
    problem = service.get("/health/live?first=1&second=2").json()
    assert [fault["pointer"] for fault in problem["errors"]] == ["?first", "?second"]


def test_unforeseen_fault_tells_nothing_but_its_request(make_caller, monkeypatch, capsysbinary):
    def fail(*_: object, **__: object) -> None:
        raise ZeroDivisionError("secret of the house")

    monkeypatch.setattr(chain_lengths, "chain_length", fail)
    service = make_caller()
    response = service.post(POST, SOUND, headers={"x-request-id": "caller-1.2_3"})
    check(response, 500, "internal", service.log)
    assert "secret" not in response.text
    told = [json.loads(line) for line in capsysbinary.readouterr().out.splitlines()]
    fault = next(line for line in told if line["event"] == "fault")
    assert fault["request_id"] == "caller-1.2_3"
    assert "secret of the house" in fault["exception"]


def test_result_that_is_not_finite_is_a_fault_not_an_answer(make_caller, monkeypatch):
    monkeypatch.setattr("service.calculations.chain_length.pitches_exact", lambda **_: float("inf"))
    service = make_caller()
    response = service.post(POST, SOUND, headers={"x-request-id": "caller-1.2_3"})
    check(response, 500, "internal", service.log)


def test_self_check_that_fails_takes_the_service_out(make_caller, monkeypatch):
    monkeypatch.setattr(health, "reproduces_print", lambda: False)
    service = make_caller()
    response = service.get("/health/ready", headers={"x-request-id": "caller-1.2_3"})
    check(response, 503, "not_ready", service.log)


@dataclass
class Exchange:
    """One call of an application by hand, for bodies that come late or not at all."""

    status_code: int = 0
    content: bytes = b""
    headers: Any = None
    text = ""

    def json(self) -> Any:
        return msgspec.json.decode(self.content)

    async def send(self, message: dict[str, Any]) -> None:
        if message["type"] == "http.response.start":
            import httpx

            self.status_code = message["status"]
            self.headers = httpx.Headers(message["headers"])
        else:
            self.content += message["body"]


SCOPE = {
    "type": "http",
    "asgi": {"version": "3.0"},
    "http_version": "1.1",
    "method": "POST",
    "scheme": "http",
    "path": POST,
    "raw_path": POST.encode(),
    "query_string": b"",
    "root_path": "",
    "headers": [(b"content-type", b"application/json"), (b"x-request-id", b"caller-1.2_3")],
    "client": ("127.0.0.1", 1),
    "server": ("127.0.0.1", 2),
}


async def call(app: Any, receive: Callable[[], Awaitable[dict[str, Any]]]) -> Exchange:
    exchange = Exchange()
    await app(dict(SCOPE), receive, exchange.send)
    return exchange


def test_body_that_does_not_arrive(make_caller):
    service = make_caller(body_timeout_s=0.05)

    async def receive() -> dict[str, Any]:
        await asyncio.sleep(30)
        raise AssertionError

    exchange = asyncio.run(call(service.app, receive))
    check(exchange, 408, "request_timeout", service.log)
    assert exchange.headers["connection"] == "close"


def test_body_that_drips(make_caller):
    service = make_caller(body_timeout_s=0.2)

    async def receive() -> dict[str, Any]:
        await asyncio.sleep(0.05)
        return {"type": "http.request", "body": b" ", "more_body": True}

    check(asyncio.run(call(service.app, receive)), 408, "request_timeout", service.log)


def test_caller_that_goes_away_is_no_fault_of_ours(make_caller, capsysbinary):
    service = make_caller()

    async def receive() -> dict[str, Any]:
        return {"type": "http.disconnect"}

    check(asyncio.run(call(service.app, receive)), 400, "request_incomplete", service.log)
    assert b'"fault"' not in capsysbinary.readouterr().out


def test_too_many_requests_under_way(make_caller):
    service = make_caller(max_concurrent_requests=2)

    async def crowd() -> Exchange:
        begun = asyncio.Event()

        async def wait() -> dict[str, Any]:
            begun.set()
            await asyncio.sleep(30)
            raise AssertionError

        waiting = [asyncio.create_task(call(service.app, wait)) for _ in range(2)]
        await begun.wait()
        await asyncio.sleep(0)
        refused = await call(service.app, wait)
        for task in waiting:
            task.cancel()
        await asyncio.gather(*waiting, return_exceptions=True)
        return refused

    refused = asyncio.run(crowd())
    check(refused, 503, "overloaded", [line for line in service.log if line["status"] == 503])
    assert refused.headers["retry-after"] == "1"
    assert service.post(POST, SOUND).status_code == 200, "the count did not come down again"


def test_every_code_of_a_problem_is_reached_here():
    reached = {way.code for way in WAYS}
    reached |= {"internal", "not_ready", "request_timeout", "request_incomplete", "overloaded"}
    assert reached == {code.id for code in CODES.values() if code.kind == "problem"}


def points_at_a_field(pointer: str, schema: dict[str, Any], schemas: dict[str, Any]) -> bool:
    """Whether a pointer names something that the schema of a request has."""
    for step in pointer.split("/")[1:]:
        while "$ref" in schema:
            schema = schemas[schema["$ref"].rsplit("/", 1)[1]]
        if step.isdigit() and "items" in schema:
            schema = schema["items"]
        elif step in schema.get("properties", {}):
            schema = schema["properties"][step]
        else:
            return False
    return True


def test_refusals_shown_in_the_contract_point_at_fields_of_the_request(service):
    document = service.get("/openapi.json").json()
    schemas = document["components"]["schemas"]
    pointers = []
    for path, item in document["paths"].items():
        if "post" not in item:
            continue
        schema = item["post"]["requestBody"]["content"]["application/json"]["schema"]
        shown = item["post"]["responses"]["422"]["content"]["application/problem+json"]["examples"]
        for example in shown.values():
            pointers += [(path, fault["pointer"], schema) for fault in example["value"]["errors"]]
    assert pointers
    assert [
        f"{path}: {pointer}" for path, pointer, schema in pointers if not points_at_a_field(pointer, schema, schemas)
    ] == []
