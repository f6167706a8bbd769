"""Paging by cursor: opaque to the caller, and bound to the data and the filters for which it was handed out."""

from __future__ import annotations

import hashlib
from base64 import urlsafe_b64decode, urlsafe_b64encode
from collections.abc import Sequence
from typing import Annotated, TypeVar

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.problems import Fault, Refusal, summary

Limit = Annotated[int, Meta(ge=1, le=500, description="Most items of one page.")]
Cursor = Annotated[
    str, Meta(min_length=1, max_length=200, description="`next_cursor` of the page before; filters stay the same.")
]
Item = TypeVar("Item")


def page_of(
    found: Sequence[Item], cursor: str | UnsetType, limit: int, *, filters: object, data_version: str
) -> tuple[list[Item], str | UnsetType]:
    """The items of the page that a cursor names, or of the first, and the cursor of the next where there is one.

    Raises:
        Refusal: 422 ``cursor_expired`` for another version of the data, ``cursor_invalid`` for anything else.
    """
    binding = hashlib.sha256(msgspec.json.encode(filters)).hexdigest()[:8]
    start = 0 if isinstance(cursor, UnsetType) else _offset(cursor, binding, data_version)
    text = f"{data_version}.{binding}.{start + limit}".encode()
    more = start + limit < len(found)
    return list(found[start : start + limit]), urlsafe_b64encode(text).decode() if more else UNSET


def _offset(cursor: str, binding: str, data_version: str) -> int:
    try:
        version, bound, offset = urlsafe_b64decode(cursor.encode("ascii")).decode("ascii").split(".")
        start = int(offset)
    except ValueError:
        raise _refused("cursor_invalid", "The cursor is not one of this service.") from None
    if version != data_version:
        raise _refused("cursor_expired", "The cursor belongs to an older version of the data.")
    if bound != binding or start < 0:
        raise _refused("cursor_invalid", "The cursor was handed out for other filters.")
    return start


def _refused(code: str, message: str) -> Refusal:
    fault = Fault(pointer="?cursor", code=code, message=message, hint="Start again without a cursor.")
    return Refusal(422, "invalid_request", summary([fault]), [fault])
