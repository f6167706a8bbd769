"""The register of publications: every source id used anywhere resolves here."""

from pathlib import Path
from typing import Literal

import msgspec

from service.reference.errors import BadTable
from service.reference.toml_files import read_toml

HERE = Path(__file__).parent

SourceKind = Literal[
    "standard", "regulation", "handbook", "textbook", "paper", "trade_literature", "geometry", "practice"
]


class Publication(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One publication: what it is, which edition, and how it was seen."""

    id: str
    title: str
    issuer: str
    edition: str
    kind: SourceKind
    seen: str
    used_for: str


class _Register(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    source: list[Publication]


def load_register(folder: Path = HERE) -> dict[str, Publication]:
    """Read ``sources.toml``.

    Raises:
        BadTable: the file does not fit its form, or an id stands twice.
    """
    path = folder / "sources.toml"
    try:
        register = read_toml(path, _Register)
    except msgspec.DecodeError as error:
        raise BadTable(f"{path.name}: {error}") from error
    publications: dict[str, Publication] = {}
    for publication in register.source:
        if publication.id in publications:
            raise BadTable(f"{path.name}: source {publication.id} stands twice")
        publications[publication.id] = publication
    return publications
