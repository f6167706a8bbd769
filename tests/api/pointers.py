"""Whether a JSON pointer leads to a field of a request."""

from __future__ import annotations

from msgspec import inspect


def points_into(model: inspect.Type, pointer: str) -> bool:
    """Follow a pointer step by step through a model; the last step must exist too."""
    here = [model]
    for name in pointer.removeprefix("/").split("/"):
        here = [found for place in here for found in _step(place, name)]
    return bool(here)


def _step(place: inspect.Type, name: str) -> list[inspect.Type]:
    if isinstance(place, inspect.Metadata):
        return _step(place.type, name)
    if isinstance(place, inspect.UnionType):
        return [found for arm in place.types for found in _step(arm, name)]
    if isinstance(place, inspect.ListType):
        return [place.item_type] if name.isdecimal() else []
    if isinstance(place, inspect.StructType):
        return [field.type for field in place.fields if field.encode_name == name]
    return []
