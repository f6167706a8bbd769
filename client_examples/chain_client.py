"""A small typed client: timeouts, retries of what is safe to repeat, problem documents as exceptions.

Every POST of the service is a pure calculation, so a call that met a broken connection or a busy service is simply
sent again. Copy this file into your own program; it needs httpx and nothing else.
"""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Self, TypedDict, cast

import httpx

if TYPE_CHECKING:
    from types import TracebackType

RETRIED_STATUSES = frozenset({502, 503, 504})


class Quantity(TypedDict):
    """A magnitude and its unit."""

    value: float
    unit: str


class Answer(TypedDict):
    """What every calculation answers; further fields may come, so unknown ones are to be ignored."""

    result: dict[str, Any]
    checks: list[dict[str, Any]]
    warnings: list[dict[str, Any]]
    assumptions: list[dict[str, Any]]
    sources: list[dict[str, Any]]
    cautions: list[dict[str, Any]]
    versions: dict[str, str]


@dataclass(frozen=True)
class Fault:
    """One thing that was wrong with a request."""

    pointer: str
    code: str
    message: str
    hint: str


class ServiceProblem(Exception):
    """The service refused, and says why."""

    def __init__(self, document: dict[str, Any]) -> None:
        super().__init__(f"{document.get('title', 'refused')}: {document.get('detail', '')}")
        self.status = int(document.get("status", 0))
        self.code = str(document.get("code", "unknown"))
        self.faults = tuple(
            Fault(fault["pointer"], fault["code"], fault["message"], fault.get("hint", ""))
            for fault in document.get("errors", ())
        )


class ServiceUnreachable(Exception):
    """No answer after the last attempt."""


class ChainClient:
    """Calls the service; use it as a context manager, or call ``close``."""

    def __init__(
        self,
        base_url: str,
        *,
        timeout_s: float = 10.0,
        attempts: int = 3,
        pause_s: float = 0.4,
        api_key: str | None = None,
        transport: httpx.BaseTransport | None = None,
    ) -> None:
        headers = {"Accept": "application/json"} | ({"X-API-Key": api_key} if api_key else {})
        self._http = httpx.Client(base_url=base_url, timeout=timeout_s, headers=headers, transport=transport)
        self._attempts = attempts
        self._pause_s = pause_s

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, traceback: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Give the connections back."""
        self._http.close()

    def chain(self, designation: str, *, units: str = "metric") -> dict[str, Any]:
        """The specification of a chain."""
        return self._call("GET", f"/v1/chains/{designation}", params={"units": units})

    def size_drive(self, request: dict[str, Any]) -> Answer:
        """Ranked drives for a load."""
        return self.calculate("drive-sizings", request)

    def chain_length(self, request: dict[str, Any]) -> Answer:
        """Pitches and centres of two wheels."""
        return self.calculate("chain-lengths", request)

    def sprocket_geometry(self, request: dict[str, Any]) -> Answer:
        """Diameters, widths and tooth form of a wheel."""
        return self.calculate("sprocket-geometries", request)

    def elongation_check(self, request: dict[str, Any]) -> Answer:
        """Verdict on a wear reading."""
        return self.calculate("elongation-checks", request)

    def calculate(self, resource: str, request: dict[str, Any]) -> Answer:
        """Any calculation by the name of its resource.

        Raises:
            ServiceProblem: the service refused the request.
            ServiceUnreachable: no answer after the last attempt.
        """
        return cast("Answer", self._call("POST", f"/v1/{resource}", json=request))

    def is_ready(self) -> bool:
        """Whether the service can answer; never raises."""
        try:
            return self._http.get("/health/ready").status_code == httpx.codes.OK
        except httpx.TransportError:
            return False

    def _call(self, method: str, path: str, **arguments: Any) -> dict[str, Any]:  # noqa: ANN401 passed to httpx
        last = "no attempt was made"
        for attempt in range(self._attempts):
            if attempt:
                time.sleep(self._pause_s * 2 ** (attempt - 1))
            try:
                response = self._http.request(method, path, **arguments)
            except httpx.TransportError as error:
                last = repr(error)
                continue
            if response.status_code in RETRIED_STATUSES:
                last = f"status {response.status_code}"
                continue
            return self._read(response)
        raise ServiceUnreachable(f"{method} {path}: {last} after {self._attempts} attempts")

    @staticmethod
    def _read(response: httpx.Response) -> dict[str, Any]:
        try:
            document = response.json()
        except ValueError as error:
            raise ServiceUnreachable(f"status {response.status_code} with no JSON: {response.text[:80]!r}") from error
        if response.is_success:
            return cast("dict[str, Any]", document)
        raise ServiceProblem(document)
