"""Problem documents (RFC 9457): the one place where a refusal becomes HTTP."""

from __future__ import annotations

import difflib
import re
from functools import lru_cache
from typing import TYPE_CHECKING, Annotated, Any

import msgspec
import structlog
from litestar import Response
from litestar.exceptions import HTTPException, MethodNotAllowedException, NotFoundException
from msgspec import UNSET, Meta, UnsetType

from service.core.errors import EngineeringError, MoreNeeded, NotInReference
from service.reference.codes import load_codes

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from litestar import Request

    from service.core.errors import Issue

CODES = load_codes()
MEDIA_TYPE = "application/problem+json"

_UNIT_SUFFIX = re.compile(
    r"_(mm|m|in|n|n_m|kn|lbf|kw|hp|rpm|m_s|ft_min|kg_m3|kg_m|kg|t_h|l|s|deg|rad|h|n_mm2|pitches|c)(?=/|$)"
)


class Fault(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One thing that was wrong: where, what, what is allowed, what to do."""

    pointer: Annotated[
        str,
        Meta(description="JSON pointer (RFC 6901) into the body, empty for all of it; `?name` for a query parameter."),
    ]
    code: Annotated[str, Meta(description="As listed at `GET /v1/codes`.")]
    message: str
    received: str | UnsetType = UNSET
    allowed: str | UnsetType = UNSET
    hint: str | UnsetType = UNSET
    source_id: str | UnsetType = UNSET


class Problem(msgspec.Struct, frozen=True, kw_only=True):
    """Why there is no answer, as RFC 9457 lays it down; ``errors`` lists every fault found."""

    type: str
    title: str
    status: int
    code: str
    detail: str
    instance: Annotated[str, Meta(description="`urn:request:` and the request id, as in X-Request-ID.")]
    errors: list[Fault] = []
    candidates: Annotated[
        list[str], Meta(description="What may have been meant, best first: each can be sent as it stands.")
    ] = []


class Refusal(Exception):
    """A refusal raised at the edge."""

    def __init__(
        self,
        status: int,
        code: str,
        detail: str,
        faults: Iterable[Fault] = (),
        *,
        headers: Mapping[str, str] | None = None,
        candidates: Iterable[str] = (),
    ) -> None:
        super().__init__(detail)
        self.status = status
        self.code = code
        self.detail = detail
        self.faults = tuple(faults)
        self.headers = dict(headers or {})
        self.candidates = tuple(candidates)


def problem(refusal: Refusal, request_id: str) -> Problem:
    """The document of a refusal."""
    return Problem(
        type=f"/v1/codes/{refusal.code}",
        title=CODES[refusal.code].title,
        status=refusal.status,
        code=refusal.code,
        detail=refusal.detail,
        instance=f"urn:request:{request_id}",
        errors=list(refusal.faults),
        candidates=list(refusal.candidates),
    )


def refuse_engineering(error: EngineeringError) -> Refusal:
    """An engineering refusal: 422, with a pointer for each issue."""
    return _refuse(422, error)


def refuse_unknown_entry(error: EngineeringError) -> Refusal:
    """A path that names no entry, or more than one: 404 with what may have been meant."""
    return _refuse(404, error)


def unknown_entry(kind: str, name: str, known: Iterable[str], parameter: str | None = None) -> Refusal:
    """A path that names no entry of a register, 404, or a query parameter, 422; with the nearest names."""
    near = difflib.get_close_matches(name[:60], known, n=5, cutoff=0.5)
    message = f"There is no {kind} {name[:60]!r} here."
    hint = f"Did you mean {near[0]!r}?" if near else "The list of this path without the name holds all."
    pointer = "" if parameter is None else f"?{parameter}"
    fault = Fault(pointer=pointer, code="entry_unknown", message=message, received=name[:60], hint=hint)
    return Refusal(404 if parameter is None else 422, "not_in_reference", message, [fault], candidates=near)


def _refuse(status: int, error: EngineeringError) -> Refusal:
    faults = [_fault(issue) for issue in error.issues]
    return Refusal(status, error.code, summary(faults), faults, candidates=candidates(error))


def candidates(error: EngineeringError) -> tuple[str, ...]:
    """What may have been meant, where a refusal names it."""
    if isinstance(error, MoreNeeded):
        return error.candidates
    return error.nearest if isinstance(error, NotInReference) else ()


def summary(faults: list[Fault]) -> str:
    """One sentence for a person: the first fault, and how many more there are."""
    more = len(faults) - 1
    tail = f" ({more} more in errors.)" if more > 0 else ""
    return f"{faults[0].message}{tail}"


def _fault(issue: Issue) -> Fault:
    allowed: str | UnsetType = UNSET if issue.limit is None else f"{issue.limit:.6g}"
    return Fault(
        pointer=pointer_of(issue.field),
        code=issue.code,
        message=issue.message,
        received=UNSET if issue.received is None else _text(issue.received),
        allowed=allowed,
        hint=issue.hint or UNSET,
        source_id=issue.source_id or UNSET,
    )


def _text(value: float | str) -> str:
    return value if isinstance(value, str) else f"{value:.12g}"


@lru_cache(maxsize=4096)
def pointer_of(field: str) -> str:
    """JSON pointer of an argument name: dots become steps, unit suffixes go.

    Examples:
        >>> pointer_of("own_chain.pitch_mm")
        '/own_chain/pitch'
    """
    return _UNIT_SUFFIX.sub("", "/" + field.replace(".", "/")) if field else ""


def respond(request: Request[Any, Any, Any], refusal: Refusal) -> Response[Problem]:
    """The HTTP answer of a refusal; its code goes to the log line too."""
    request.scope["problem_code"] = refusal.code  # type: ignore[typeddict-unknown-key]
    return Response(
        problem(refusal, request_id_of(request)),
        status_code=refusal.status,
        media_type=MEDIA_TYPE,
        headers={"cache-control": "no-store", **refusal.headers},
    )


def request_id_of(request: Request[Any, Any, Any]) -> str:
    """The id that the outer layer gave this request."""
    return str(request.scope.get("request_id", "unknown"))


def on_refusal(request: Request[Any, Any, Any], error: Refusal) -> Response[Problem]:
    """Exception handler of refusals raised at the edge."""
    return respond(request, error)


def on_engineering_error(request: Request[Any, Any, Any], error: EngineeringError) -> Response[Problem]:
    """Exception handler of the core's typed refusals."""
    return respond(request, refuse_engineering(error))


def on_http_exception(request: Request[Any, Any, Any], error: HTTPException) -> Response[Problem]:
    """Exception handler of what the framework itself refuses."""
    if isinstance(error, NotFoundException):
        refusal = Refusal(
            404, "not_found", f"There is nothing at {request.scope['path'][:200]}; /openapi.json lists paths."
        )
    elif isinstance(error, MethodNotAllowedException):
        refusal = Refusal(405, "method_not_allowed", f"{request.method} is not offered here.", headers=error.headers)
    elif error.status_code == 413:
        refusal = _too_large(request)
    elif error.status_code < 500:
        refusal = Refusal(error.status_code, "invalid_request", str(error.detail)[:200])
    else:
        return on_fault(request, error)
    return respond(request, refusal)


def _too_large(request: Request[Any, Any, Any]) -> Refusal:
    """The refusal of a body over the limit of its path: how large it was, what is read, and into how many to split."""
    limit = request.route_handler.resolve_request_max_body_size() or 0
    announced = request.headers.get("content-length", "")
    what = "batch" if request.scope["path"].endswith("/batch") else "request"
    said, parts = f"The body holds more than {limit} bytes, the most that this path reads.", "smaller bodies"
    if announced.isdecimal():
        said = f"The body holds {announced} bytes; this path reads at most {limit} bytes."
        parts = f"{-(-int(announced) // max(limit, 1))} or more bodies"
    return Refusal(413, "content_too_large", f"{said} Split the {what} into {parts}.")


def on_fault(request: Request[Any, Any, Any], error: Exception) -> Response[Problem]:
    """Exception handler of a fault of ours: the log gets the traceback, the caller gets the request id only."""
    request_id = request_id_of(request)
    structlog.get_logger().error("fault", request_id=request_id, path=request.scope["path"][:200], exc_info=error)
    return respond(request, Refusal(500, "internal", f"An unexpected fault; quote request id {request_id}."))
