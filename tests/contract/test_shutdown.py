"""Stopping: what is under way is answered, what never comes does not hold the process, and time is bounded."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

BODY = json.dumps(
    {
        "own_chain": {"pitch": {"value": 25.4, "unit": "mm"}},
        "driver_teeth": 19,
        "driven_teeth": 57,
        "centre_distance": {"value": 800, "unit": "mm"},
    }
).encode()
HEAD = (
    b"POST /v1/chain-lengths HTTP/1.1\r\nHost: x\r\nConnection: close\r\nContent-Type: application/json\r\n"
    b"Content-Length: %d\r\n\r\n" % len(BODY)
)


def stop(server, limit_s: float) -> float:
    """Ask the process to stop; how long it took."""
    started = time.perf_counter()
    server.process.send_signal(signal.SIGTERM)
    server.process.wait(limit_s)
    return time.perf_counter() - started


def test_idle_service_stops_at_once(start_service):
    with start_service() as server:
        assert stop(server, 5) < 2
        assert server.process.returncode in (0, -signal.SIGTERM)


def test_request_under_way_is_answered_before_the_end(start_service):
    with start_service() as server, server.connect() as connection:
        connection.sendall(HEAD + BODY[:20])
        time.sleep(0.3)
        threading.Timer(0.5, connection.sendall, [BODY[20:]]).start()
        took = stop(server, 8)
        reply = server.read(connection)
        assert reply.status == 200
        assert 0.4 < took < 4


def test_half_a_body_does_not_keep_the_process(start_service):
    with (
        start_service(CHAIN_SERVICE_SHUTDOWN_TIMEOUT_S="1", CHAIN_SERVICE_BODY_TIMEOUT_S="60") as server,
        server.connect() as connection,
    ):
        connection.sendall(HEAD + BODY[:20])
        time.sleep(0.3)
        assert stop(server, 8) < 4
        # What the server logs of the cut request is one JSON line like every other.
        assert all("event" in line for line in server.lines())


def test_half_a_body_is_answered_when_its_time_is_over(start_service):
    with start_service(CHAIN_SERVICE_BODY_TIMEOUT_S="0.5") as server, server.connect() as connection:
        connection.sendall(HEAD + BODY[:20])
        started = time.perf_counter()
        reply = server.read(connection)
        assert 0.3 < time.perf_counter() - started < 3
        assert (reply.status, reply.json()["code"]) == (408, "request_timeout")
        assert reply.headers["connection"] == "close"


def test_caller_that_hangs_up_leaves_a_line_and_no_fault(start_service):
    with start_service() as server:
        with server.connect() as connection:
            connection.sendall(HEAD + BODY[:20])
            time.sleep(0.2)
        time.sleep(0.3)
        lines = server.lines()
        assert [line["problem"] for line in lines if line["event"] == "request"] == ["request_incomplete"]
        assert [line for line in lines if line["level"] == "error"] == []


def test_wrong_setting_stops_the_start(start_service):
    with (
        pytest.raises(AssertionError, match="CHAIN_SERVICE_BODY_TIMEOUT_S"),
        start_service(CHAIN_SERVICE_BODY_TIMEOUT_S="soon"),
    ):
        pass


def test_taken_port_is_said(start_service):
    with start_service() as server:
        second = subprocess.run(
            [sys.executable, "-m", "service", "--port", str(server.port)], capture_output=True, timeout=30, check=False
        )
        assert second.returncode != 0
        assert b"address already in use" in second.stdout + second.stderr


WHEEL = json.dumps({"chain": "16B", "teeth": 21}).encode()
DRAWING = (
    b"POST /v1/sprocket-geometries HTTP/1.1\r\nHost: x\r\nConnection: close\r\nContent-Type: application/json\r\n"
    b"Accept: image/svg+xml\r\nContent-Length: %d\r\n\r\n" % len(WHEEL)
)


@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGKILL])
def test_the_process_that_draws_ends_with_the_service(start_service, how):
    """It is no child that is left behind, however the service ends."""
    with start_service() as server:
        assert server.send(DRAWING + WHEEL).status == 200
        listed = Path(f"/proc/{server.process.pid}/task/{server.process.pid}/children")
        own = [pid for thread in listed.parents[1].iterdir() for pid in (thread / "children").read_text().split()]
        (drawing,) = [pid for pid in own if b"write_drawings" in Path(f"/proc/{pid}/cmdline").read_bytes()]
        server.process.send_signal(how)
        server.process.wait(10)
        until = time.monotonic() + 10
        while Path(f"/proc/{drawing}").exists() and time.monotonic() < until:
            time.sleep(0.05)
        assert not Path(f"/proc/{drawing}").exists()
