"""TOML files of the reference data, parsed once however often the start asks for them.

The standard parser is written in Python and makes up most of the start; several loaders read the same card or
register, so a parsed file is kept by its text and type.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any, TypeVar, cast

import msgspec

if TYPE_CHECKING:
    from pathlib import Path

Model = TypeVar("Model")


def read_toml(path: Path, model: type[Model]) -> Model:
    """A TOML file as a frozen Struct.

    Raises:
        OSError: the file cannot be read.
        msgspec.DecodeError: it does not fit the Struct.
    """
    decoded: Model = _decode(path.read_bytes(), cast("Any", model))
    return decoded


@lru_cache(maxsize=1024)
def _decode(raw: bytes, model: type[Any]) -> Any:  # noqa: ANN401 the model's instance
    return msgspec.toml.decode(raw, type=model)
