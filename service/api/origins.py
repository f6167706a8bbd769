"""Cross-origin calls from browsers: which origins may read answers, and the answer to their preflight.

It stands in the outer layer, so that refusals of the outer layer can be read by a browser too.
"""

from __future__ import annotations

Headers = list[tuple[bytes, bytes]]

_METHODS = b"GET, HEAD, POST, OPTIONS"
_ASKED = b"Content-Type, If-None-Match, Accept-Language, X-Request-ID, X-API-Key, traceparent"
_EXPOSED = b"ETag, Link, X-Request-ID, Retry-After, Server-Timing"


class Origins:
    """The origins that an operator allows; ``*`` allows every one."""

    __slots__ = ("_allowed", "_every")

    def __init__(self, allowed: tuple[str, ...]) -> None:
        self._allowed = frozenset(origin.encode() for origin in allowed)
        self._every = b"*" in self._allowed

    def __bool__(self) -> bool:
        """Whether any origin is allowed."""
        return bool(self._allowed)

    def headers(self, origin: bytes) -> Headers:
        """What an answer says to a browser; only that it differs by origin where the origin is not allowed."""
        if self._every:
            return [(b"access-control-allow-origin", b"*"), (b"access-control-expose-headers", _EXPOSED)]
        if origin in self._allowed:
            return [
                (b"access-control-allow-origin", origin),
                (b"access-control-expose-headers", _EXPOSED),
                (b"vary", b"Origin"),
            ]
        return [(b"vary", b"Origin")]

    def preflight(self, origin: bytes) -> Headers:
        """What the answer to a preflight says beside ``headers``; nothing where the origin is not allowed."""
        if not (self._every or origin in self._allowed):
            return []
        return [
            (b"access-control-allow-methods", _METHODS),
            (b"access-control-allow-headers", _ASKED),
            (b"access-control-max-age", b"3600"),
        ]
