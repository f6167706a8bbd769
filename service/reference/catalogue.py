"""All reference data, loaded and checked once when the service starts."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

from service.reference.cautions import Cautions, load_cautions
from service.reference.chains import Chains, load_chains
from service.reference.codes import Code, load_codes
from service.reference.errors import BadTable
from service.reference.loader import TABLES, read_card
from service.reference.quantities import Quantity, load_quantities
from service.reference.register import Publication, load_register

HERE = Path(__file__).parent


@dataclass(frozen=True)
class Reference:
    """The loaded data; ``data_version`` changes whenever any of it does."""

    chains: Chains
    publications: dict[str, Publication]
    cautions: Cautions
    codes: dict[str, Code]
    quantities: dict[str, Quantity]
    data_version: str


def load_reference(folder: Path = HERE) -> Reference:
    """Load every register and table.

    Raises:
        BadTable: anything is wrong; the message names file and line, and the service does not start.
    """
    publications = load_register(folder)
    chains = load_chains(folder / TABLES.name)
    for size in chains.sizes:
        for source_id in {size.row.source_id, *(figure.source_id for figure in size.figures)}:
            if source_id not in publications:
                raise BadTable(f"{size.designation}: source {source_id} is not in sources.toml")
    return Reference(
        chains=chains,
        publications=publications,
        cautions=load_cautions(folder),
        codes=load_codes(),
        quantities=load_quantities(folder),
        data_version=_data_version(folder),
    )


def _data_version(folder: Path) -> str:
    digest = hashlib.sha256()
    for path in sorted((folder / TABLES.name).glob("*.toml")):
        digest.update(read_card(path.stem, folder / TABLES.name).sha256.encode())
    for path in sorted(folder.glob("*.toml")):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:12]
