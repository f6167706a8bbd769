"""The unit table: accepted tokens of each kind of quantity, their exact factors, and the units answers come in."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import msgspec

HERE = Path(__file__).parent
DEFINITIONS = HERE / "definitions.toml"
FACTORS = HERE / "factors.json"

System = Literal["metric", "inch"]


class Token(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """``canonical = value * factor + offset``."""

    factor: float
    offset: float


class Definition(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One accepted token as ``definitions.toml`` describes it."""

    pint: str
    ucum: str
    rec20: str
    assumed: str | None = None
    reading: str = ""


class Kind(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One kind of quantity: its tokens, the unit used inside, and the units of answers."""

    canonical: str
    metric: str
    inch: str
    tokens: dict[str, Definition]
    refused: dict[str, str] = {}


Factors = dict[str, dict[str, Token]]
Kinds = dict[str, Kind]


class UnitTable:
    """Tokens to factors, built once when the service starts."""

    def __init__(self) -> None:
        self.kinds: Kinds = msgspec.toml.decode(DEFINITIONS.read_bytes(), type=Kinds)
        self.factors: Factors = msgspec.json.decode(FACTORS.read_bytes(), type=Factors)

    def preferred(self, kind: str, system: System) -> tuple[str, Token]:
        """Token and factor of the unit in which answers of a kind come in a system of units."""
        definition = self.kinds[kind]
        token = definition.metric if system == "metric" else definition.inch
        return token, self.factors[kind][token]


UNITS = UnitTable()
