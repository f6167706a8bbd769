"""Reference data over HTTP: bytes with a strong ETag, and conditional requests."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING, Any

import msgspec
from litestar import Response

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from litestar import Request

_ENCODER = msgspec.json.Encoder()


class Reply:
    """A finished answer as an ASGI application, which spares the framework's making of a response."""

    __slots__ = ("_body", "_headers", "_status")

    def __init__(self, status: int, body: bytes, headers: list[tuple[bytes, bytes]]) -> None:
        self._status = status
        self._body = body
        self._headers = headers

    async def __call__(self, _scope: object, _receive: object, send: Callable[[dict[str, Any]], Any]) -> None:
        """Send the answer; outer layers add headers, so each call sends a list of its own."""
        await send({"type": "http.response.start", "status": self._status, "headers": [*self._headers]})
        await send({"type": "http.response.body", "body": self._body})


class StructResponse(Response[Any]):
    """What a handler returned, encoded at once; the framework's own response costs four times as much."""

    def __init__(self, content: object, **_: object) -> None:
        self.content = content

    def to_asgi_response(self, *_: object, **__: object) -> Reply:  # type: ignore[override]
        """The finished answer."""
        body = _ENCODER.encode(self.content)
        length = (b"content-length", str(len(body)).encode())
        return Reply(200, body, [(b"content-type", b"application/json"), length])


class Representation:
    """The bytes of one reference resource and their tag."""

    __slots__ = ("_not_modified", "_whole", "etag")

    def __init__(
        self, body: bytes, media_type: str = "application/json", further: Sequence[tuple[bytes, bytes]] = ()
    ) -> None:
        self.etag = f'"{hashlib.sha256(body).hexdigest()[:20]}"'
        tagged = [(b"etag", self.etag.encode()), (b"cache-control", b"no-cache"), (b"vary", b"accept")]
        length = (b"content-length", str(len(body)).encode())
        self._whole = Reply(200, body, [(b"content-type", media_type.encode()), length, *tagged, *further])
        self._not_modified = Reply(304, b"", tagged)

    @classmethod
    def of(cls, content: object) -> Representation:
        """The JSON representation of a Struct."""
        return cls(_ENCODER.encode(content))

    def reply(self, request: Request[Any, Any, Any]) -> Reply:
        """The bytes, or 304 where the caller holds them already (RFC 9110, If-None-Match)."""
        wanted = request.headers.get("if-none-match")
        return self._not_modified if wanted is not None and _matches(wanted, self.etag) else self._whole


class Representations:
    """Representations by key, encoded when first asked for; keys come from the tables, so their number is bounded."""

    def __init__(self) -> None:
        self._known: dict[object, Representation] = {}

    def get(self, key: object, make: Callable[[], object]) -> Representation:
        """The representation of a key."""
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = Representation.of(make())
        return found


def _matches(wanted: str, etag: str) -> bool:
    if wanted.strip() == "*":
        return True
    return any(tag.strip().removeprefix("W/") == etag for tag in wanted.split(","))
