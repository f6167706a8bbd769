"""The short way of a sound calculation: from the bytes of the body to the bytes of the answer.

The framework's way (routing, a request object, media types, its own injection of arguments) takes longer than most
calculations. A request that is plain in every respect, as nearly all are, needs none of it: its handler is called with
the decoded body. Whatever is not plain, and every refusal, goes the framework's way with the same body, so that each
check and each problem document has one place only.
"""

from __future__ import annotations

from inspect import iscoroutinefunction
from typing import TYPE_CHECKING, Any, NamedTuple

from litestar import Request
from litestar.handlers import HTTPRouteHandler

from service.api.body import JsonBody, decode
from service.api.protocol import JSON, JSON_TYPES
from service.api.representations import StructResponse

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable, MutableMapping

    import msgspec
    from litestar import Litestar

    Scope = MutableMapping[str, Any]
    Message = MutableMapping[str, Any]
    Receive = Callable[[], Awaitable[Message]]
    Send = Callable[[Message], Awaitable[None]]

_ACCEPTED = frozenset({b"*/*", b"application/json"})


class _Calculation(NamedTuple):
    """A handler that computes in the event loop, and how its body is read."""

    handle: Callable[..., Any]
    model: type
    decoder: msgspec.json.Decoder[Any]
    awaited: bool
    wants_request: bool


class Direct:
    """Answers plain requests for calculations itself and hands everything else to the framework."""

    def __init__(self, app: Litestar, max_body_bytes: int) -> None:
        self._app = app
        self._most = max_body_bytes
        self._calculations = {
            route.path: found
            for route in app.routes
            for handler in getattr(route, "route_handlers", ())
            if isinstance(handler, HTTPRouteHandler) and (found := _calculation(handler)) is not None
        }

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one connection event (ASGI)."""
        calculation = self._calculations.get(scope.get("path", ""))
        if calculation is None or not self._is_plain(scope):
            await self._app(scope, receive, send)  # type: ignore[arg-type]
            return
        heard: list[Message] = []
        try:
            body = await _read(receive, heard)
            data = decode(body, calculation.decoder, calculation.model)
            if calculation.wants_request:
                # What the handler asks it is the media type that the caller wants.
                request: Request[Any, Any, Any] = Request({**scope, "media_type": JSON})  # type: ignore[arg-type]
                answer = calculation.handle(data=data, request=request)
            else:
                answer = calculation.handle(data=data)
            if calculation.awaited:
                answer = await answer
            reply = StructResponse(answer).to_asgi_response()
        except Exception:  # noqa: BLE001 whatever it is, the framework meets it again and tells it
            await self._app(scope, _again(heard, receive), send)  # type: ignore[arg-type]
            return
        scope["path_template"] = scope["path"]
        await reply(scope, receive, send)

    def _is_plain(self, scope: Scope) -> bool:
        """Whether a request is a POST of JSON of a told length that takes JSON, and nothing else is to be looked at."""
        if scope["method"] != "POST" or scope["query_string"]:
            return False
        length = content_types = 0
        for name, value in scope["headers"]:
            if name == b"content-type":
                if value not in JSON_TYPES:
                    return False
                content_types += 1
            elif name == b"content-length":
                length = int(value) if value.isdigit() else 0
            elif name == b"content-encoding" or (name == b"accept" and value not in _ACCEPTED):
                return False
        return content_types == 1 and 0 < length <= self._most


def _calculation(handler: HTTPRouteHandler) -> _Calculation | None:
    """What a handler needs to be called directly; None where it reads, answers or runs in another way."""
    reader = handler.resolve_data_dto() if handler.http_methods == {"POST"} else None
    names = set(handler.parsed_fn_signature.parameters)
    awaited = iscoroutinefunction(handler.fn)
    in_loop = awaited or handler.sync_to_thread is False
    plain = handler.opt.get("reads") == (JSON,) and names in ({"data"}, {"data", "request"})
    if reader is None or not issubclass(reader, JsonBody) or not in_loop or not plain:
        return None
    if reader.decode_bytes is not JsonBody.decode_bytes:
        return None
    return _Calculation(handler.fn, reader.model, reader.decoder, awaited, "request" in names)


async def _read(receive: Receive, heard: list[Message]) -> bytes:
    """The whole body; ``heard`` keeps its messages."""
    message = await receive()
    heard.append(message)
    if not message.get("more_body", False):
        return message["body"]  # type: ignore[no-any-return]
    while message.get("more_body", False):
        message = await receive()
        heard.append(message)
    return b"".join(part["body"] for part in heard)


def _again(heard: list[Message], receive: Receive) -> Receive:
    """The messages of a body that was read before, then those that are still to come."""
    messages = iter(heard)

    async def again() -> Message:
        for message in messages:
            return message
        return await receive()

    return again
