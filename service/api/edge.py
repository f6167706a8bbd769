"""The outermost layer: request id, trace context, HEAD, limits, API keys, CORS, security headers, log line, metrics.

One plain ASGI layer does it all: each layer of the framework's own would cost three to eight per cent of the
throughput. The scope is copied, never changed in place, because the server reads the method from its own copy to
drop the body of an answer to HEAD.
"""

from __future__ import annotations

import asyncio
import hmac
import os
import re
from time import perf_counter
from typing import TYPE_CHECKING, Any

from service.api import documentation
from service.api.logs import ENCODER
from service.api.origins import Origins
from service.api.problems import MEDIA_TYPE, Refusal, problem

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable, MutableMapping

    from service.api.logs import RequestLog
    from service.api.metrics import Metrics
    from service.settings import Settings

    Scope = MutableMapping[str, Any]
    Message = MutableMapping[str, Any]
    Receive = Callable[[], Awaitable[Message]]
    Send = Callable[[Message], Awaitable[None]]
    App = Callable[[Any, Any, Any], Awaitable[None]]

_REQUEST_ID = re.compile(rb"[A-Za-z0-9._-]{1,64}")
# W3C Trace Context; later versions may append fields, ids of zeros alone are invalid.
_TRACEPARENT = re.compile(rb"(?!ff)[0-9a-f]{2}-(?!0{32})([0-9a-f]{32})-(?!0{16})[0-9a-f]{16}-[0-9a-f]{2}(?:-.*)?")
_METHODS = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "CONNECT"})
_SECURITY_HEADERS = [
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-resource-policy", b"same-origin"),
]
_OPEN_PATHS = frozenset({"/health/live", "/health/ready", "/metrics", "/openapi.json", *documentation.FILES})
"""Answered without a key: what a probe, a scraper and the documentation page need, and no engineering answer."""
_NAMES_WITH_A_SLASH = "/v1/chains/"
"""A designation may hold a slash, as SBS102-1/2 does, and clients code it."""


class Edge:
    """Wraps the application; everything that goes in or out passes here once."""

    def __init__(self, inner: App, settings: Settings, metrics: Metrics, log: RequestLog) -> None:
        self._inner = inner
        self._settings = settings
        self._metrics = metrics
        self._log = log if settings.log_requests else None
        self._keys = [key.encode() for key in settings.api_keys]
        self._origins = Origins(settings.allowed_origins)
        self._under_way = 0

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one connection event (ASGI)."""
        if scope["type"] != "http":
            await self._inner(scope, receive, send)
            return
        started = perf_counter()
        method = scope["method"]
        request_id, trace_id, key, origin, size = _headers(scope["headers"])
        inner_scope = {**scope, "request_id": request_id}
        if method == "HEAD":
            inner_scope["method"] = "GET"
        added = [(b"x-request-id", request_id.encode()), *_SECURITY_HEADERS]
        if self._origins:
            added += self._origins.headers(origin)
        status: int | None = None

        async def tagged(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
                spent = (b"server-timing", b"app;dur=%.2f" % ((perf_counter() - started) * 1000))
                message["headers"] = [*message["headers"], *added, spent]
            await send(message)

        self._under_way += 1
        try:
            refusal = self._refusal(scope, key, size)
            if refusal is not None:
                inner_scope["problem_code"] = refusal.code
                await _send_refusal(refusal, request_id, tagged)
            elif method == "POST":
                await self._inner(inner_scope, self._timed(receive), tagged)
            elif method == "OPTIONS" and self._origins and _is_preflight(scope["headers"]):
                await tagged({"type": "http.response.start", "status": 204, "headers": self._origins.preflight(origin)})
                await tagged({"type": "http.response.body", "body": b""})
            else:
                await self._inner(inner_scope, receive, tagged)
        finally:
            self._under_way -= 1
            seconds = perf_counter() - started
            route = inner_scope.get("path_template") or "unrouted"
            self._metrics.count(method if method in _METHODS else "other", route, status, seconds)
            if self._log is not None:
                self._log.write(
                    request_id=request_id,
                    trace_id=trace_id,
                    method=method,
                    route=route,
                    status=status,
                    problem=inner_scope.get("problem_code"),
                    duration_ms=round(seconds * 1000, 3),
                )

    def _refusal(self, scope: Scope, key: bytes, header_bytes: int) -> Refusal | None:
        """Why a request is not let in, if it is not."""
        if self._under_way > self._settings.max_concurrent_requests:
            return Refusal(503, "overloaded", "Too many requests are under way; repeat.", headers={"retry-after": "1"})
        limit = self._settings.max_header_bytes
        if header_bytes > limit:
            return Refusal(431, "header_too_large", f"The headers hold {header_bytes} bytes; {limit} are allowed.")
        path = scope["path"]
        if self._keys and path not in _OPEN_PATHS and scope["method"] != "OPTIONS":
            # Every key is compared, so that the time tells nothing about which one was nearly right.
            matches = [hmac.compare_digest(key, known) for known in self._keys]
            if not any(matches):
                return Refusal(
                    401,
                    "unauthorised",
                    "Send a valid key in the X-API-Key header.",
                    headers={"www-authenticate": "ApiKey"},
                )
        slashed = b"%2f" in scope.get("raw_path", b"").lower() and not path.startswith(_NAMES_WITH_A_SLASH)
        if "//" in path or (path[-1:] == "/" and path != "/") or slashed:
            # The framework would serve these as if they were the path without the slash: two names for one thing.
            return Refusal(
                404, "not_found", "There is nothing at this path; mind the slashes. /openapi.json lists paths."
            )
        return None

    def _timed(self, receive: Receive) -> Receive:
        deadline = asyncio.get_running_loop().time() + self._settings.body_timeout_s

        async def timed() -> Message:
            try:
                async with asyncio.timeout_at(deadline):
                    message = await receive()
            except TimeoutError:
                detail = f"The body did not arrive within {self._settings.body_timeout_s:g} s."
                raise Refusal(408, "request_timeout", detail, headers={"connection": "close"}) from None
            if message["type"] == "http.disconnect":
                raise Refusal(400, "request_incomplete", "The connection ended before the body was complete.")
            return message

        return timed


def _headers(headers: list[tuple[bytes, bytes]]) -> tuple[str, str | None, bytes, bytes, int]:
    """Request id, trace id, API key, origin and the bytes of all headers, in one pass."""
    given, trace, key, origin, size = b"", None, b"", b"", 0
    for name, value in headers:
        size += len(name) + len(value)
        if name == b"x-request-id":
            given = value
        elif name == b"traceparent":
            trace = value
        elif name == b"x-api-key":
            key = value
        elif name == b"origin":
            origin = value
    request_id = given.decode("ascii") if _REQUEST_ID.fullmatch(given) else os.urandom(16).hex()
    found = _TRACEPARENT.fullmatch(trace) if trace else None
    return request_id, found[1].decode("ascii") if found else None, key, origin, size


def _is_preflight(headers: list[tuple[bytes, bytes]]) -> bool:
    return any(name == b"access-control-request-method" for name, _ in headers)


async def _send_refusal(refusal: Refusal, request_id: str, send: Send) -> None:
    body = ENCODER.encode(problem(refusal, request_id))
    headers = [(b"content-type", MEDIA_TYPE.encode()), (b"content-length", str(len(body)).encode())]
    headers.append((b"cache-control", b"no-store"))
    headers += [(name.encode(), value.encode()) for name, value in refusal.headers.items()]
    await send({"type": "http.response.start", "status": refusal.status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
