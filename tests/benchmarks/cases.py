"""What the benchmark asks, and the share of the bare framework's requests per second that each must reach."""

from __future__ import annotations

import asyncio
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import httpx

from service.api.chain_lengths import EXAMPLES as LENGTHS
from service.api.chain_lengths import ChainLengthAnswer, ChainLengthRequest
from service.api.chain_sheets import Chain
from service.api.drive_sizings import EXAMPLES as SIZINGS
from service.api.drive_sizings import DriveSizingAnswer, DriveSizingRequest
from service.api.elongation_checks import EXAMPLES as ELONGATIONS
from service.api.elongation_checks import ElongationCheckAnswer, ElongationCheckRequest
from service.api.sprocket_geometries import EXAMPLES as SPROCKETS
from service.api.sprocket_geometries import SprocketGeometryAnswer, SprocketGeometryRequest
from service.app import create_app
from service.settings import Settings

if TYPE_CHECKING:
    from service.api.contract import Example


@dataclass(frozen=True)
class Case:
    """One request and its goal."""

    name: str
    path: str
    goal: float
    answer: Any
    request: Any = None
    body: dict[str, Any] | None = None
    conditional: bool = False
    accept: str = ""


def _first(examples: dict[str, Example]) -> dict[str, Any]:
    return next(example.body for example in examples.values() if example.status == 200 and example.body is not None)


def _sizing() -> dict[str, Any]:
    return {**_first(SIZINGS), "limit": 10}


CASES = [
    Case("specification look-up", "/v1/chains/80", 0.75, Chain),
    Case("the same, 304", "/v1/chains/16B", 0.75, Chain, conditional=True),
    Case("chain length", "/v1/chain-lengths", 0.55, ChainLengthAnswer, ChainLengthRequest, _first(LENGTHS)),
    Case(
        "sprocket geometry",
        "/v1/sprocket-geometries",
        0.55,
        SprocketGeometryAnswer,
        SprocketGeometryRequest,
        _first(SPROCKETS),
    ),
    Case(
        "elongation check",
        "/v1/elongation-checks",
        0.55,
        ElongationCheckAnswer,
        ElongationCheckRequest,
        _first(ELONGATIONS),
    ),
    Case("drive sizing, ten best", "/v1/drive-sizings", 0.25, DriveSizingAnswer, DriveSizingRequest, _sizing()),
]


def recorded(case: Case) -> bytes:
    """The service's own answer to a case, so that the floor encodes as much."""

    async def call() -> httpx.Response:
        transport = httpx.ASGITransport(app=create_app(Settings(log_requests=False)))
        async with httpx.AsyncClient(transport=transport, base_url="http://bench.invalid") as client:
            return await client.request("GET" if case.body is None else "POST", case.path, json=case.body)

    # In a thread of its own, since the floor is assembled inside the server's running loop.
    with ThreadPoolExecutor(1) as thread:
        response = thread.submit(asyncio.run, call()).result()
    response.raise_for_status()
    return response.content
