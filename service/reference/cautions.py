"""Cautions that an answer carries where work can hurt someone: code, words, when they apply, whence they come."""

from collections.abc import Iterator
from pathlib import Path
from typing import Literal

import msgspec

from service.core.equations import Confidence
from service.reference.errors import BadTable
from service.reference.toml_files import read_toml

HERE = Path(__file__).parent

Topic = Literal["drive", "conveyor", "elevator", "lifting", "wear", "layout", "limiter"]
Severity = Literal["info", "caution", "danger"]
_ORDER: dict[Severity, int] = {"danger": 0, "caution": 1, "info": 2}


class Caution(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One caution of the register.

    ``topics`` are the kinds of answer that carry it; ``when`` says in words what makes it apply.
    """

    code: str
    severity: Severity
    topics: tuple[Topic, ...]
    text: str
    when: str
    source_id: str
    locator: str
    confidence: Confidence


class _Register(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    caution: list[Caution]


class Cautions:
    """All cautions by code, in the order of the register."""

    def __init__(self, cautions: tuple[Caution, ...]) -> None:
        self._by_code = {caution.code: caution for caution in cautions}

    def __iter__(self) -> Iterator[Caution]:
        return iter(self._by_code.values())

    def get(self, code: str) -> Caution:
        """The caution of a code; KeyError if the register has none, for a code in the program is ours to spell."""
        return self._by_code[code]

    def named(self, *codes: str) -> tuple[Caution, ...]:
        """The cautions of some codes, once each, the gravest first and otherwise as asked."""
        chosen = [self._by_code[code] for code in dict.fromkeys(codes)]
        return tuple(sorted(chosen, key=lambda caution: _ORDER[caution.severity]))

    def for_topic(self, topic: Topic) -> tuple[Caution, ...]:
        """Every caution of a topic, the gravest first and otherwise in register order."""
        return self.named(*(caution.code for caution in self if topic in caution.topics))


def load_cautions(folder: Path = HERE) -> Cautions:
    """Read ``cautions.toml``.

    Raises:
        BadTable: the file does not fit its form, or a code stands twice.
    """
    path = folder / "cautions.toml"
    try:
        register = read_toml(path, _Register)
    except msgspec.DecodeError as error:
        raise BadTable(f"{path.name}: {error}") from error
    seen: set[str] = set()
    for caution in register.caution:
        if caution.code in seen:
            raise BadTable(f"{path.name}: caution {caution.code} stands twice")
        seen.add(caution.code)
    return Cautions(tuple(register.caution))
