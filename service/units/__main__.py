"""``python -m service.units``: compute the exact factors with pint and write ``factors.json``.

The only place that imports pint. The service itself reads the file, since pint would add half of the start time and
a third of the memory; ``tests/units`` recomputes the file and compares it.
"""

from __future__ import annotations

import sys
from decimal import Decimal
from typing import Any

import msgspec
import pint

from service.units.table import DEFINITIONS, FACTORS, Factors, Kind, Kinds, Token


def compute() -> Factors:
    """Factor and offset of every token, exact in decimal arithmetic and rounded once to a float.

    ``canonical = value * factor + offset``.
    """
    # pint's annotations do not admit Decimal, its documentation and behaviour do.
    registry: Any = pint.UnitRegistry(non_int_type=Decimal)  # type: ignore[type-var, arg-type, unused-ignore]
    definitions = msgspec.toml.decode(DEFINITIONS.read_bytes(), type=Kinds)
    return {name: _factors(registry, kind) for name, kind in definitions.items()}


def _factors(registry: Any, kind: Kind) -> dict[str, Token]:  # noqa: ANN401 the registry class is generic in pint
    canonical = kind.tokens[kind.canonical].pint

    def convert(value: int, spelled: str) -> Decimal:
        magnitude: Decimal = registry.Quantity(Decimal(value), spelled).to(canonical).magnitude
        return magnitude

    factors = {}
    for token, definition in kind.tokens.items():
        offset = convert(0, definition.pint) if kind.canonical == "degC" else Decimal(0)
        factors[token] = Token(factor=float(convert(1, definition.pint) - offset), offset=float(offset))
    return factors


def main() -> int:
    """Write the file."""
    FACTORS.write_bytes(msgspec.json.format(msgspec.json.encode(compute()), indent=1) + b"\n")
    sys.stdout.write(f"wrote {FACTORS.name}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
