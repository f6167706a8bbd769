"""The short way of plain calculations answers byte for byte as the framework's own way, and takes nothing else."""

from __future__ import annotations

import asyncio
from typing import Any

import httpx
import pytest
from litestar.handlers import HTTPRouteHandler

from service.api.answers import Context
from service.api.direct import Direct
from service.api.metrics import Metrics
from service.app import create_inner
from service.settings import Settings

LENGTH = "/v1/chain-lengths"
SOUND = {"chain": "16B", "driver_teeth": 19, "driven_teeth": 57, "centre_distance": {"value": 800, "unit": "mm"}}
MOST = 100_000


class Watched:
    """The framework's application, and how often it was asked."""

    def __init__(self, app: Any) -> None:
        self._app = app
        self.routes = app.routes
        self.asked = 0

    async def __call__(self, *event: Any) -> None:
        self.asked += 1
        await self._app(*event)


@pytest.fixture(scope="module", name="framework")
def _framework(reference):
    settings = Settings()
    return create_inner(settings, Context.of(reference, settings.max_batch_body_bytes), Metrics())


def ask(app: Any, path: str, **arguments: Any) -> httpx.Response:
    async def call() -> httpx.Response:
        transport = httpx.ASGITransport(app=app, raise_app_exceptions=False)
        async with httpx.AsyncClient(transport=transport, base_url="http://test.invalid") as client:
            return await client.request(arguments.pop("method", "POST"), path, **arguments)

    return asyncio.run(call())


def examples(framework: Any) -> list[tuple[str, dict[str, Any], int]]:
    return [
        (route.path, example.body, example.status)
        for route in framework.routes
        for handler in getattr(route, "route_handlers", ())
        if isinstance(handler, HTTPRouteHandler) and handler.http_methods == {"POST"}
        for example in handler.opt["examples"].values()
        if example.body is not None
    ]


def test_every_example_is_answered_as_by_the_framework(framework):
    watched = Watched(framework)
    direct = Direct(watched, MOST)
    short = set()
    for path, body, status in examples(framework):
        for extra in ({}, {"units": "inch", "working": "full"}):
            asked = watched.asked
            mine, its = ask(direct, path, json={**body, **extra}), ask(framework, path, json={**body, **extra})
            told = (mine.status_code, mine.content, mine.headers.multi_items())
            assert told == (its.status_code, its.content, its.headers.multi_items()), (path, body)
            assert extra or mine.status_code == status
            if watched.asked == asked:
                short.add(path)
    assert LENGTH in short
    assert len(short) > 15, "hardly any calculation goes the short way"


@pytest.mark.parametrize(
    "arguments",
    [
        pytest.param({"json": SOUND, "headers": {"accept": "text/html"}}, id="a type that is not answered"),
        pytest.param({"json": SOUND, "headers": {"accept": "application/json;q=0"}}, id="a type that is refused"),
        pytest.param({"json": SOUND, "headers": {"content-encoding": "gzip"}}, id="a coding"),
        pytest.param({"json": SOUND, "params": {"units": "inch"}}, id="a query"),
        pytest.param({"content": b"{}", "headers": {"content-type": "text/plain"}}, id="another media type"),
        pytest.param({"content": b"{}"}, id="no media type"),
        pytest.param({"content": b"", "headers": {"content-type": "application/json"}}, id="no body"),
        pytest.param({"content": b"{", "headers": {"content-type": "application/json"}}, id="no JSON"),
        pytest.param(
            {"content": b'{"a":1,"a":2}', "headers": {"content-type": "application/json"}}, id="a repeated key"
        ),
        pytest.param({"json": {**SOUND, "driver_teeth": 2.5}}, id="half a tooth"),
        pytest.param({"json": {**SOUND, "chain": "no such chain"}}, id="an unknown chain"),
        pytest.param({"json": SOUND, "method": "PUT"}, id="another method"),
    ],
)
def test_what_is_not_plain_is_told_by_the_framework(framework, arguments):
    watched = Watched(framework)
    mine, its = ask(Direct(watched, MOST), LENGTH, **dict(arguments)), ask(framework, LENGTH, **dict(arguments))
    assert watched.asked == 1
    assert its.status_code >= 400
    assert (mine.status_code, mine.content) == (its.status_code, its.content)


def test_body_of_several_parts_and_of_untold_length(framework):
    watched = Watched(framework)
    whole = httpx.Request("POST", "http://test.invalid/", json=SOUND).content

    async def parts() -> Any:
        yield whole[:10]
        yield whole[10:]

    expected = ask(framework, LENGTH, json=SOUND).content
    told = {"content-type": "application/json", "content-length": str(len(whole))}
    assert ask(Direct(watched, MOST), LENGTH, content=parts(), headers=told).content == expected
    assert watched.asked == 0
    untold = ask(Direct(watched, MOST), LENGTH, content=parts(), headers={"content-type": "application/json"})
    assert untold.content == expected
    assert watched.asked == 1


def test_body_above_the_limit_is_left_to_the_framework(framework):
    watched = Watched(framework)
    ask(Direct(watched, 20), LENGTH, json=SOUND)
    assert watched.asked == 1


def test_refusal_after_several_parts_reads_the_same_body_again(framework):
    body = {**SOUND, "driver_teeth": -1}
    whole = httpx.Request("POST", "http://test.invalid/", json=body).content

    async def parts() -> Any:
        yield whole[:7]
        yield whole[7:]

    told = {"content-type": "application/json", "content-length": str(len(whole))}
    answer = ask(Direct(framework, MOST), LENGTH, content=parts(), headers=told)
    assert answer.status_code == 422
    assert answer.content == ask(framework, LENGTH, json=body).content
