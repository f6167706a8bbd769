"""Units as people spell them in running text, resolved to the tokens of the unit table."""

from __future__ import annotations

import difflib
import re
import unicodedata
from pathlib import Path
from typing import NamedTuple

import msgspec

from service.units.table import UNITS

_DASHES = str.maketrans("\u2010\u2011\u2212", "---")
_TIMES = re.compile(r"\s*[*\u00b7\u22c5\u00d7]\s*")
_ABBREVIATED = re.compile(r"\.(?=[/ -]|$)")
SPELLINGS = Path(__file__).parent / "spellings.toml"


LEAST_LIKENESS = 0.76
"""A unit that is less like what was written is not offered."""


class UnitRead(NamedTuple):
    """A unit of a kind of quantity."""

    kind: str
    token: str


def _folded(text: str) -> str:
    """Longer spellings are read in any case; a single letter is not, since M is not metre."""
    plain = " ".join(unicodedata.normalize("NFKC", text).translate(_DASHES).split())
    plain = _TIMES.sub(".", _ABBREVIATED.sub("", plain))
    return plain.casefold() if len(plain) > 1 else plain


def _index() -> tuple[dict[str, dict[UnitRead, None]], dict[str, dict[UnitRead, None]]]:
    """Units by exact token, and by spelling in any case."""
    spellings: dict[str, dict[str, list[str]]] = msgspec.toml.decode(
        SPELLINGS.read_bytes(), type=dict[str, dict[str, list[str]]]
    )
    exact: dict[str, dict[UnitRead, None]] = {}
    folded: dict[str, dict[UnitRead, None]] = {}
    for kind, definition in UNITS.kinds.items():
        for token, described in definition.tokens.items():
            unit = UnitRead(kind, token)
            exact.setdefault(token, {})[unit] = None
            # A token that stands for a reading of its own, such as HP, counts as it is written only.
            names = spellings.get(kind, {}).get(token, [])
            for name in names if described.assumed == "unit_assumed" else (token, *names):
                folded.setdefault(_folded(name), {})[unit] = None
    return exact, folded


_EXACT, _FOLDED = _index()


def read_unit(text: str, kind: str | None = None) -> tuple[UnitRead, ...]:
    """Every unit that a spelling can mean, of one kind of quantity or of any; empty where it is unknown."""
    plain = text.strip()
    found = _EXACT.get(plain) or _FOLDED.get(_folded(plain), {})
    return tuple(unit for unit in found if kind in (None, unit.kind))


def refused_unit(text: str, kind: str | None = None) -> str | None:
    """Why a spelling is refused, where it means several things."""
    plain = text.strip()
    for name, definition in UNITS.kinds.items():
        if kind in (None, name) and plain in definition.refused:
            return definition.refused[plain]
    return None


def nearest_units(text: str, kind: str | None = None) -> tuple[str, ...]:
    """Tokens whose spelling is most like a text, best first."""
    close = difflib.get_close_matches(_folded(text)[:30], _FOLDED, n=10, cutoff=LEAST_LIKENESS)
    tokens = dict.fromkeys(unit.token for name in close for unit in _FOLDED[name] if kind in (None, unit.kind))
    return tuple(tokens)[:3]
