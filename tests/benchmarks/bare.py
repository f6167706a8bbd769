"""The floor of the benchmark: handlers of the bare framework that decode the same request and encode an equal answer.

``uvicorn --factory tests.benchmarks.bare:create_app`` serves one handler for each case; ``:create_empty_app`` serves a
single tiny one, whose start and memory are those of the framework alone.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import msgspec
from litestar import Litestar, get, post
from litestar.params import JSONBody

if TYPE_CHECKING:
    from litestar.handlers import HTTPRouteHandler


class Alive(msgspec.Struct):
    """A tiny answer."""

    status: str


@get("/health/live", sync_to_thread=False)
def get_liveness() -> Alive:
    """As the service's own."""
    return Alive("alive")


def create_empty_app() -> Litestar:
    """One handler, nothing else."""
    return Litestar([get_liveness], openapi_config=None, logging_config=None)


def create_app() -> Litestar:
    """One handler for each case, at the path of the service."""
    from tests.benchmarks.cases import CASES, recorded

    handlers = [handler_of(case, recorded(case)) for case in CASES]
    return Litestar([get_liveness, *handlers], openapi_config=None, logging_config=None)


def handler_of(case: Any, recording: bytes) -> HTTPRouteHandler:
    """Decodes what the service decodes and encodes what it encodes, and does nothing between."""
    answer = msgspec.json.decode(recording, type=case.answer)
    if case.body is None:

        @get(case.path, sync_to_thread=False)
        def look_up() -> Any:
            return answer

        return look_up

    def calculate(data: Any) -> Any:  # noqa: ARG001 decoding it is the point
        return answer

    calculate.__annotations__ = {"data": JSONBody[case.request], "return": case.answer}
    return post(case.path, sync_to_thread=False, status_code=200)(calculate)
