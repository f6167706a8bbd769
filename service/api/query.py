"""Query parameters by a Struct.

A handler names the Struct of its query in ``opt["query"]``; unknown, repeated and ``null`` parameters are refused,
and every fault is reported.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar
from urllib.parse import parse_qsl

import msgspec
from msgspec import inspect as mi

from service.api.faults import collect, field_words
from service.api.problems import Fault, Refusal, summary

if TYPE_CHECKING:
    from litestar import Request

Query = TypeVar("Query", bound=msgspec.Struct)


class NoQuery(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """No parameters."""


def read_query(request: Request[Any, Any, Any], model: type[Query]) -> Query:
    """The query string as a Struct; text becomes numbers where the Struct says so.

    Raises:
        Refusal: 422 with every unknown, repeated, null or unfit parameter.
    """
    raw = request.scope["query_string"]
    if not raw:
        return model()
    try:
        pairs = parse_qsl(raw.decode("ascii"), keep_blank_values=True, errors="strict", max_num_fields=100)
    except ValueError:
        message = "The query is not UTF-8 in percent coding."
        raise Refusal(
            422, "invalid_request", message, [Fault(pointer="?", code="encoding_invalid", message=message)]
        ) from None
    faults = _repeated(pairs)
    values = {name: _value(text, name, model) for name, text in pairs}
    if not faults:
        try:
            return msgspec.convert(values, model)
        except (msgspec.ValidationError, ValueError):
            pass
    for fault in collect(values, model):
        pointer = "?" + fault.pointer.removeprefix("/")
        faults.append(_told(msgspec.structs.replace(fault, pointer=pointer), model))
    if not faults:
        message = "The query does not fit the contract."
        faults = [Fault(pointer="?", code="text_invalid", message=message)]
    raise Refusal(422, "invalid_request", summary(faults), faults)


_LIMIT = "limit"
_PAGES_ELSEWHERE = frozenset({"offset", "page", "page_size", "per_page", "skip", "start", "top"})
"""What other services call the parameters of their pages."""
_SEARCHES_ELSEWHERE = frozenset({"q", "query", "search", "text", "name"})
"""What other services call the text that is looked for."""
_TEXT = "name_contains"


def _told(fault: Fault, model: type[msgspec.Struct]) -> Fault:
    """A fault of a parameter in the words of queries: pages, texts that are too short, names of other services."""
    name, known = fault.pointer[1:], _kinds(model)
    if fault.code == "field_unknown":
        message, hint, code = f"{name[:60]!r} is not a parameter of this path.", fault.hint, fault.code
        if name in _PAGES_ELSEWHERE and _LIMIT in known:
            code, hint = "paging_invalid", "Send limit, and as cursor the next_cursor of the page before."
        elif name in _SEARCHES_ELSEWHERE and _TEXT in known:
            hint = f"Did you mean {_TEXT!r}?"
        return msgspec.structs.replace(fault, message=message, hint=hint, code=code)
    if name == _LIMIT:
        hint = "Further items follow by the next_cursor of each page."
        return msgspec.structs.replace(fault, code="paging_invalid", hint=hint)
    if fault.code == "text_invalid" and fault.received == '""':
        words = field_words(name)
        if name == "cursor":
            return msgspec.structs.replace(
                fault, code="cursor_invalid", message="The cursor is empty.", hint="Start again without a cursor."
            )
        message, hint = f"The {words} is empty.", "Send one character or more, or leave the parameter out."
        return msgspec.structs.replace(fault, code="query_too_short", message=message, hint=hint)
    return fault


def _repeated(pairs: list[tuple[str, str]]) -> list[Fault]:
    names = [name for name, _ in pairs]
    twice = dict.fromkeys(name for name in names if names.count(name) > 1)
    return [
        Fault(
            pointer=f"?{name[:60]}",
            code="parameter_repeated",
            message=f"The {field_words(name)} parameter stands more than once.",
        )
        for name in twice
    ]


def _value(text: str, name: str, model: type[msgspec.Struct]) -> object:
    """A parameter's text as the JSON value it stands for, by the type of its field."""
    kind = _kinds(model).get(name)
    if kind is None or isinstance(kind, mi.StrType | mi.LiteralType):
        return text
    if isinstance(kind, mi.BoolType):
        return {"true": True, "false": False}.get(text, text)
    try:
        number = msgspec.json.decode(text)
    except (msgspec.DecodeError, ValueError, RecursionError):
        return text
    return number if isinstance(number, int | float) and not isinstance(number, bool) else text


_KINDS: dict[type, dict[str, mi.Type]] = {}


def _kinds(model: type[msgspec.Struct]) -> dict[str, mi.Type]:
    known = _KINDS.get(model)
    if known is None:
        info = mi.type_info(model)
        fields = info.fields if isinstance(info, mi.StructType) else ()
        known = _KINDS[model] = {field.encode_name: _plain(field.type) for field in fields}
    return known


def _plain(info: mi.Type) -> mi.Type:
    if isinstance(info, mi.Metadata):
        return _plain(info.type)
    if isinstance(info, mi.UnionType):
        return _plain(next(arm for arm in info.types if not isinstance(arm, mi.NoneType) and type(arm) is not mi.Type))
    return info
