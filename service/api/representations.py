"""Reference data over HTTP: bytes with a strong ETag, conditional requests, and paging by cursor."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING, Any

import msgspec
from litestar import Response

if TYPE_CHECKING:
    from collections.abc import Callable

    from litestar import Request

_ENCODER = msgspec.json.Encoder()


class Representation:
    """The bytes of one reference resource and their tag."""

    __slots__ = ("body", "etag", "headers")

    def __init__(self, content: object) -> None:
        self.body = _ENCODER.encode(content)
        self.etag = f'"{hashlib.sha256(self.body).hexdigest()[:20]}"'
        self.headers = {"etag": self.etag, "cache-control": "no-cache"}


class Representations:
    """Representations by key, encoded when first asked for; keys come from the tables, so their number is bounded."""

    def __init__(self) -> None:
        self._known: dict[object, Representation] = {}

    def get(self, key: object, make: Callable[[], object]) -> Representation:
        """The representation of a key."""
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = Representation(make())
        return found


def respond(request: Request[Any, Any, Any], representation: Representation) -> Response[bytes]:
    """The representation, or 304 where the caller holds it already (RFC 9110, If-None-Match)."""
    wanted = request.headers.get("if-none-match")
    if wanted is not None and _matches(wanted, representation.etag):
        return Response(b"", status_code=304, headers=representation.headers)
    return Response(representation.body, media_type="application/json", headers=representation.headers)


def _matches(wanted: str, etag: str) -> bool:
    if wanted.strip() == "*":
        return True
    return any(tag.strip().removeprefix("W/") == etag for tag in wanted.split(","))
