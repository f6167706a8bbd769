"""Applications for tests of the API, called in process."""

from __future__ import annotations

import asyncio
from dataclasses import dataclass, field
from typing import Any

import httpx
import pytest

from service.app import create_app
from service.reference.catalogue import Reference, load_reference
from service.settings import Settings


@dataclass
class Caller:
    """Calls the whole application, outer layer included, without a socket."""

    app: Any
    log: list[dict[str, Any]] = field(default_factory=list)
    """What the log lines of the requests said."""

    def request(self, method: str, path: str, **arguments: Any) -> httpx.Response:
        async def call() -> httpx.Response:
            transport = httpx.ASGITransport(app=self.app)
            async with httpx.AsyncClient(transport=transport, base_url="http://test.invalid") as client:
                return await client.request(method, path, **arguments)

        return asyncio.run(call())

    def get(self, path: str, **arguments: Any) -> httpx.Response:
        return self.request("GET", path, **arguments)

    def post(self, path: str, body: Any, **arguments: Any) -> httpx.Response:
        return self.request("POST", path, json=body, **arguments)

    def codes(self, path: str, body: Any) -> tuple[int, set[str]]:
        """Status, and the codes of all faults of a refusal or of all warnings of an answer."""
        response = self.post(path, body)
        answer = response.json()
        listed = answer.get("errors", []) if response.status_code >= 400 else answer["warnings"]
        return response.status_code, {entry["code"] for entry in listed}

    def messages(self, path: str, body: Any, status: int, code: str) -> list[str]:
        """Messages of the faults or warnings of one code, once the answer has the status that is expected."""
        response = self.post(path, body)
        answer = response.json()
        assert response.status_code == status, answer
        listed = answer["errors"] if status >= 400 else answer["warnings"]
        assert code in {entry["code"] for entry in listed}, listed
        return [entry["message"] for entry in listed if entry["code"] == code]


class LineKeeper:
    """Stands for the request log and keeps the fields of each line."""

    def __init__(self, kept: list[dict[str, Any]]) -> None:
        self._kept = kept

    def write(self, **fields: object) -> None:
        self._kept.append(fields)


def caller(**settings: Any) -> Caller:
    """An application with settings of a test's own."""
    made = Caller(create_app(Settings(log_requests=False, **settings)))
    made.app._log = LineKeeper(made.log)
    return made


@pytest.fixture(scope="session")
def service() -> Caller:
    return caller()


@pytest.fixture(scope="session", name="make_caller")
def _make_caller() -> Any:
    return caller


@pytest.fixture(scope="session", name="reference")
def _reference() -> Reference:
    return load_reference()
