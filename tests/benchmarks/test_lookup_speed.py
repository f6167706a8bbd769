"""A look-up, outer layer included, against a bare handler of the framework in the same run."""

from __future__ import annotations

import asyncio
from time import perf_counter
from typing import Any

import msgspec
from litestar import Litestar, get

from service.app import create_app
from service.settings import Settings

LEAST_SHARE = 0.4
"""Of the bare handler's requests per second in one process without a server; 0.69 was measured on an idle machine."""


class Alive(msgspec.Struct):
    status: str


@get("/bare", sync_to_thread=False)
def bare() -> Alive:
    return Alive("alive")


async def receive() -> dict[str, Any]:
    return {"type": "http.request", "body": b"", "more_body": False}


async def send(_: Any) -> None:
    pass


async def seconds(app: Any, path: str, count: int = 300) -> float:
    scope = {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": "GET",
        "scheme": "http",
        "path": path,
        "raw_path": path.encode(),
        "query_string": b"",
        "root_path": "",
        "headers": [(b"host", b"test.invalid"), (b"accept", b"*/*")],
        "client": ("127.0.0.1", 1),
        "server": ("test.invalid", 80),
    }
    started = perf_counter()
    for _ in range(count):
        await app({**scope, "state": {}}, receive, send)
    return perf_counter() - started


def test_a_lookup_keeps_up_with_a_bare_handler():
    floor, service = Litestar([bare], openapi_config=None), create_app(Settings(log_requests=False))

    async def rounds() -> float:
        shares = []
        for _ in range(7):
            least = await seconds(floor, "/bare")
            shares.append(least / await seconds(service, "/v1/chains/80-2"))
        return max(shares)

    assert asyncio.run(rounds()) >= LEAST_SHARE
