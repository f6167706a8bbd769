"""Protocol checks that the framework does not make: media types, an empty body, a query where none is read."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from service.api.body import missing_body
from service.api.problems import Refusal
from service.api.query import NoQuery, read_query

if TYPE_CHECKING:
    from litestar import Request
    from litestar.connection import ASGIConnection

JSON_TYPES = frozenset({b"application/json", b"application/json;charset=utf-8"})

JSON = "application/json"

_PLAIN_PARAMETERS = frozenset({b"charset=utf-8", b"header=present"})
"""Parameters of a media type that say what is taken for granted here."""

_WEIGHT = re.compile(r"[01](\.[0-9]{0,3})?")


async def check_protocol(request: Request[Any, Any, Any]) -> None:
    """Refuse media types that are not spoken here, an empty body, and a query where none is read.

    A coroutine, because the framework runs a plain function in a thread.

    Raises:
        Refusal: 400, 406, 415 or 422.
    """
    scope = request.scope
    handler = request.route_handler
    offered: tuple[str, ...] = handler.opt.get("produces", (JSON,))
    accept: bytes | None = None
    content_type, coding = b"", b"identity"
    for name, value in scope["headers"]:
        if name == b"accept":
            accept = value if accept is None else accept + b"," + value
        elif name == b"content-type":
            # Two of them make a text that no media type has, so that neither is silently taken.
            content_type = value if not content_type else content_type + b", " + value
        elif name == b"content-encoding":
            coding = value
    if accept is not None and accept != b"*/*":
        best = choose(accept.decode("latin-1"), offered)
        if best is None:
            message = f"This path answers {' or '.join(offered)}; none of them is in the Accept header."
            raise Refusal(406, "not_acceptable", message, candidates=offered)
        scope["media_type"] = best  # type: ignore[typeddict-unknown-key]
    if scope["method"] == "POST":
        reads: tuple[str, ...] = handler.opt.get("reads", (JSON,))
        scope["content_media_type"] = _read_as(content_type, reads)  # type: ignore[typeddict-unknown-key]
        _check_coding(coding)
        if not await request.body():
            raise missing_body(handler.resolve_data_dto())
    if scope["query_string"] and "query" not in handler.opt and scope["method"] != "OPTIONS":
        read_query(request, NoQuery)


def media_type_of(request: Request[Any, Any, Any]) -> str:
    """The media type in which the caller wants the answer: the path's first one unless the caller says otherwise."""
    chosen = request.scope.get("media_type")
    return chosen if isinstance(chosen, str) else str(request.route_handler.opt["produces"][0])


def content_type_of(request: ASGIConnection[Any, Any, Any, Any]) -> str:
    """The media type in which the body came, as ``check_protocol`` read it."""
    return str(request.scope.get("content_media_type", JSON))


def choose(accept: str, offered: tuple[str, ...]) -> str | None:
    """The offered media type that an Accept header prefers, the earlier one where it is indifferent; None if none is.

    Of the ranges that admit a type the most specific one decides (RFC 9110, 12.5.1).

    Examples:
        >>> choose("text/html, application/*;q=0.5", ("application/json",))
        'application/json'
        >>> choose("*/*, application/json;q=0", ("application/json",)) is None
        True
        >>> choose("image/*, application/json;q=0.9", ("application/json", "image/svg+xml", "image/png"))
        'image/svg+xml'
    """
    weights: dict[str, float] = {}
    for part in accept.lower().split(",")[:100]:
        media_range, *parameters = [piece.strip() for piece in part.split(";")]
        weight = next((text[2:] for text in parameters if text.startswith("q=")), "1")
        weights[media_range] = _weight(weight)
    best, most = None, 0.0
    for media_type in offered:
        weight_of = next((weights[name] for name in _ranges(media_type) if name in weights), 0.0)
        if weight_of > most:
            best, most = media_type, weight_of
    return best


def _ranges(media_type: str) -> tuple[str, str, str]:
    """The ranges that admit a media type, the most specific one first."""
    return media_type, f"{media_type.partition('/')[0]}/*", "*/*"


def _weight(text: str) -> float:
    return float(text) if _WEIGHT.fullmatch(text) else 0.0


def _read_as(content_type: bytes, reads: tuple[str, ...]) -> str:
    """The media type that a body is read as.

    Raises:
        Refusal: 415, the path does not read it.
    """
    if content_type in JSON_TYPES:
        return JSON
    plain = content_type.lower().replace(b" ", b"").replace(b'"', b"")
    media_type, *parameters = plain.split(b";")
    name = media_type.decode("latin-1")
    if name in reads and set(parameters) <= _PLAIN_PARAMETERS and (name != JSON or plain in JSON_TYPES):
        return name
    received = content_type[:60].decode("latin-1") or "nothing"
    raise Refusal(
        415,
        "unsupported_media_type",
        f"Content-Type is {received}; send {' or '.join(reads)}.",
        headers={"accept-post": ", ".join(reads)},
    )


def _check_coding(coding: bytes) -> None:
    if coding != b"identity":
        raise Refusal(
            415,
            "unsupported_media_type",
            "Content codings are not read; send the body as it is.",
            headers={"accept-encoding": "identity"},
        )
