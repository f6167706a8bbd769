"""Fields of a request that a caller may leave out, as calculations take them."""

from __future__ import annotations

from typing import TypeVar

from msgspec import UnsetType

Sent = TypeVar("Sent")


def sent(value: Sent | UnsetType) -> Sent | None:
    """A field's value, or None where it was not sent."""
    return None if isinstance(value, UnsetType) else value


def whole(value: float | UnsetType) -> int | None:
    """A whole number, or None where it was not sent."""
    return None if isinstance(value, UnsetType) else int(value)
