"""The closed list of quantities that figures of chain sizes may carry, each with its kind and meaning."""

from pathlib import Path
from typing import Literal

import msgspec

from service.reference.errors import BadTable
from service.reference.toml_files import read_toml

HERE = Path(__file__).parent

QuantityKind = Literal["length", "force", "mass_per_length", "area", "number"]


class Quantity(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One quantity: what it is, and the kind that says which units it may be printed in."""

    id: str
    kind: QuantityKind
    meaning: str


class _Quantities(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    quantity: list[Quantity]


def load_quantities(folder: Path = HERE) -> dict[str, Quantity]:
    """Read ``quantities.toml``.

    Raises:
        BadTable: the file does not fit its form, or an id stands twice.
    """
    path = folder / "quantities.toml"
    try:
        listed = read_toml(path, _Quantities).quantity
    except (OSError, msgspec.DecodeError) as error:
        raise BadTable(f"{path.name}: {error}") from error
    quantities: dict[str, Quantity] = {}
    for quantity in listed:
        if quantities.setdefault(quantity.id, quantity) is not quantity:
            raise BadTable(f"{path.name}: quantity {quantity.id} stands twice")
    return quantities
