"""The outer layer: keys, browsers of other origins, traces, log lines, metrics and headers."""

from __future__ import annotations

import re

import pytest
from litestar.testing import TestClient

from service.app import create_app

POST = "/v1/chain-lengths"
SOUND = {
    "own_chain": {"pitch": {"value": 25.4, "unit": "mm"}},
    "driver_teeth": 19,
    "driven_teeth": 57,
    "centre_distance": {"value": 800, "unit": "mm"},
}
ORIGIN = "https://planning.lindholm.example"
PREFLIGHT = {
    "origin": ORIGIN,
    "access-control-request-method": "POST",
    "access-control-request-headers": "content-type,x-api-key",
}


@pytest.fixture(scope="module")
def keyed(make_caller):
    return make_caller(api_keys=("first-key", "second-key"), allowed_origins=(ORIGIN,))


@pytest.mark.parametrize("key", ["first-key", "second-key"])
def test_each_key_opens(keyed, key):
    assert keyed.post(POST, SOUND, headers={"x-api-key": key}).status_code == 200


@pytest.mark.parametrize("headers", [{}, {"x-api-key": ""}, {"x-api-key": "first-ke"}, {"x-api-key": "FIRST-KEY"}])
def test_other_keys_do_not(keyed, headers):
    response = keyed.post(POST, SOUND, headers=headers)
    assert (response.status_code, response.json()["code"]) == (401, "unauthorised")


def test_unknown_paths_are_not_told_apart_without_a_key(keyed):
    assert keyed.get("/nope").status_code == 401


@pytest.mark.parametrize("path", ["/health/live", "/health/ready", "/metrics", "/openapi.json"])
def test_probes_and_contract_need_no_key(keyed, path):
    assert keyed.get(path).status_code == 200


@pytest.mark.parametrize("path", ["//metrics", "/metrics/", "/metrics%2F", "/health//live"])
def test_other_spellings_of_open_paths_open_nothing(keyed, path):
    assert keyed.get(path).status_code == 401


def test_preflight_needs_no_key_and_names_what_may_be_sent(keyed):
    response = keyed.request("OPTIONS", POST, headers=PREFLIGHT)
    assert response.status_code == 204
    assert response.content == b""
    assert response.headers["access-control-allow-origin"] == ORIGIN
    assert "POST" in response.headers["access-control-allow-methods"]
    allowed = response.headers["access-control-allow-headers"].lower().split(", ")
    assert {"content-type", "x-api-key", "if-none-match", "traceparent"} <= set(allowed)
    assert response.headers["vary"] == "Origin"


def test_preflight_of_another_origin_is_given_nothing(keyed):
    response = keyed.request("OPTIONS", POST, headers={**PREFLIGHT, "origin": "https://elsewhere.example"})
    assert response.status_code == 204
    assert not [name for name in response.headers if name.startswith("access-control")]
    assert response.headers["vary"] == "Origin"


@pytest.mark.parametrize("key", ["first-key", "wrong"])
def test_browser_can_read_answers_and_refusals_of_the_edge(keyed, key):
    response = keyed.post(POST, SOUND, headers={"x-api-key": key, "origin": ORIGIN})
    assert response.headers.get_list("access-control-allow-origin") == [ORIGIN]
    assert "X-Request-ID" in response.headers["access-control-expose-headers"]


def test_every_origin_where_the_operator_says_so(make_caller):
    response = make_caller(allowed_origins=("*",)).get("/health/live", headers={"origin": ORIGIN})
    assert response.headers["access-control-allow-origin"] == "*"


def test_no_origin_unless_the_operator_says_so(service):
    response = service.post(POST, SOUND, headers={"origin": ORIGIN})
    assert not [name for name in response.headers if name.startswith("access-control")]
    assert service.request("OPTIONS", POST, headers=PREFLIGHT).headers["allow"]


def test_request_id_is_echoed_or_made(service):
    assert service.get("/health/live", headers={"x-request-id": "A-1_b.2"}).headers["x-request-id"] == "A-1_b.2"
    made = {service.get("/health/live").headers["x-request-id"] for _ in range(3)}
    assert len(made) == 3
    assert all(re.fullmatch(r"[0-9a-f]{32}", request_id) for request_id in made)


@pytest.mark.parametrize("sent", ["a" * 65, "a b", "a;b", "é".encode(), "a\tb", ""])
def test_odd_request_ids_are_replaced(service, sent):
    answered = service.get("/health/live", headers={"x-request-id": sent}).headers.get_list("x-request-id")
    assert len(answered) == 1
    assert re.fullmatch(r"[0-9a-f]{32}", answered[0])


TRACE = "4bf92f3577b34da6a3ce929d0e0e4736"


@pytest.mark.parametrize(
    ("sent", "kept"),
    [
        (f"00-{TRACE}-00f067aa0ba902b7-01", TRACE),
        (f"01-{TRACE}-00f067aa0ba902b7-01-later", TRACE),
        (f"ff-{TRACE}-00f067aa0ba902b7-01", None),
        (f"00-{'0' * 32}-00f067aa0ba902b7-01", None),
        (f"00-{TRACE}-{'0' * 16}-01", None),
        (f"00-{TRACE.upper()}-00f067aa0ba902b7-01", None),
        (f'00-{TRACE}-00f067aa0ba902b7-01","level":"x', None),
        ("", None),
    ],
)
def test_trace_id_goes_to_the_log_if_it_is_one(service, sent, kept):
    service.get("/health/live", headers={"traceparent": sent})
    assert service.log[-1]["trace_id"] == kept


def test_log_line_names_route_and_outcome_and_nothing_that_was_sent(service):
    service.get("/v1/chains/80-2?nope=secret")
    line = service.log[-1]
    assert (line["method"], line["route"], line["status"], line["problem"]) == (
        "GET",
        "/v1/chains/{designation}",
        422,
        "invalid_request",
    )
    assert line["duration_ms"] > 0
    assert "secret" not in str(line)


def test_security_headers_stand_on_answers_and_refusals(service):
    for response in (service.get("/health/live"), service.get("/nope"), service.get("/health/live/")):
        assert response.headers["x-content-type-options"] == "nosniff"
        assert response.headers["referrer-policy"] == "no-referrer"
        assert response.headers["cross-origin-resource-policy"] == "same-origin"
        assert re.fullmatch(r"app;dur=\d+\.\d\d", response.headers["server-timing"])


def test_head_is_get_without_body(service):
    got, headed = service.get("/health/live"), service.request("HEAD", "/health/live")
    assert headed.status_code == 200
    assert headed.headers["content-length"] == got.headers["content-length"]
    assert service.log[-1]["method"] == "HEAD"


def sample(text: str, name: str) -> float:
    found = [line for line in text.splitlines() if line.startswith(name + " ")]
    return float(found[0].rsplit(" ", 1)[1]) if found else 0.0


def test_metrics_count_by_route_and_status(make_caller):
    service = make_caller()
    for _ in range(3):
        service.post(POST, SOUND)
    service.post(POST, {})
    response = service.get("/metrics")
    assert response.headers["content-type"].startswith("text/plain; version=0.0.4")
    requests = 'chain_service_requests_total{method="POST",route="/v1/chain-lengths",status="%d"}'
    assert sample(response.text, requests % 200) == 3
    assert sample(response.text, requests % 422) == 1
    assert sample(response.text, 'chain_service_request_seconds_count{route="/v1/chain-lengths"}') == 4


def test_nothing_that_callers_invent_grows_the_metrics(make_caller):
    service = make_caller()
    service.get("/v1/chains/80"), service.get("/nope"), service.request("BREW", "/nope")
    before = len(service.get("/metrics").text.splitlines())
    for number in range(50):
        service.get(f"/v1/chains/no-such-chain-{number}")
        service.get(f"/nope/{number}")
        service.request(f"BREW{number}", "/nope")
    service.get("/metrics")
    # One further series: the first refusal of a chain that is unknown.
    assert len(service.get("/metrics").text.splitlines()) <= before + 40
    assert "no-such-chain" not in service.get("/metrics").text
    assert "BREW" not in service.get("/metrics").text


def test_reading_of_metrics_works_as_a_scraper_asks(service):
    accept = "application/openmetrics-text;version=1.0.0;q=0.5,text/plain;version=0.0.4;q=0.3,*/*;q=0.1"
    assert service.get("/metrics", headers={"accept": accept}).status_code == 200


def test_start_and_stop_of_the_server_reach_the_framework():
    with TestClient(create_app()) as client:
        assert client.get("/health/live").status_code == 200
