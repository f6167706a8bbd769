"""TOML files of the reference data, read from the copy that was parsed before wherever it is of the same text.

The standard parser is written in Python and would take a tenth of the start. ``python -m service.reference seal``
writes what it finds into ``parsed.jsonl``, one line for each file with the hash of its text; a file whose text has no
line there is parsed, so that an edit counts at once. Several loaders read the same card or register, so what was read
is kept.
"""

import hashlib
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeVar

import msgspec

HERE = Path(__file__).parent
PARSED = HERE / "parsed.jsonl"

Model = TypeVar("Model")


class Parsed(msgspec.Struct, frozen=True, kw_only=True):
    """The content of one TOML file, and the hash of the text that it was parsed from."""

    file: str
    sha256: str
    content: msgspec.Raw


_ENCODER = msgspec.json.Encoder()
_LINES = msgspec.json.Decoder(Parsed)
_READ: dict[tuple[str, type], Any] = {}
"""What was read, by the hash of its text and by its Struct."""


def read_toml(path: Path, model: type[Model]) -> Model:
    """A TOML file as a frozen Struct.

    Raises:
        OSError: the file cannot be read.
        msgspec.DecodeError: it does not fit the Struct.
    """
    text = path.read_bytes()
    digest = hashlib.sha256(text).hexdigest()
    found: Model | None = _READ.get((digest, model))
    if found is None:
        content = _parsed_before().get(digest)
        found = msgspec.toml.decode(text, type=model) if content is None else msgspec.json.decode(content, type=model)
        _READ[digest, model] = found
    return found


def parse_again() -> bytes:
    """``parsed.jsonl`` as it should be: every TOML file of the reference data, in alphabetical order."""
    lines = []
    for path in sorted(HERE.glob("**/*.toml")):
        text = path.read_bytes()
        content = msgspec.Raw(_ENCODER.encode(msgspec.toml.decode(text)))
        name = path.relative_to(HERE).as_posix()
        lines.append(Parsed(file=name, sha256=hashlib.sha256(text).hexdigest(), content=content))
    return _ENCODER.encode_lines(lines)


@lru_cache(maxsize=1)
def _parsed_before() -> dict[str, msgspec.Raw]:
    kept = PARSED.read_bytes() if PARSED.exists() else b""
    return {line.sha256: line.content for line in _LINES.decode_lines(kept)}
