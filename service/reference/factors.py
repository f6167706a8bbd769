"""Every table of factors by one name, so that they can be listed and looked up alike."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from service.reference.bulk_materials import BulkMaterials, load_bulk_materials
from service.reference.conveyor_factors import ConveyorFactors, load_conveyor_factors
from service.reference.loader import TABLES, Table
from service.reference.silent_factors import SilentFactors, load_silent_factors
from service.reference.strength_rules import StrengthRules, load_strength_rules


@dataclass(frozen=True)
class Factors:
    """The factor tables by subject."""

    conveyor: ConveyorFactors
    bulk: BulkMaterials
    silent: SilentFactors
    strength: StrengthRules

    def tables(self) -> Mapping[str, Table[Any]]:
        """Each table by the name of its file."""
        return {table.name: table for subject in _values(self) for table in _values(subject)}


def _values(record: object) -> Iterator[Any]:
    return (getattr(record, field.name) for field in fields(record))  # type: ignore[arg-type]  # any dataclass


def load_factors(folder: Path = TABLES) -> Factors:
    """Load every factor table.

    Raises:
        BadTable: a table breaks its card; the message names file and line.
    """
    return Factors(
        conveyor=load_conveyor_factors(folder),
        bulk=load_bulk_materials(folder),
        silent=load_silent_factors(folder),
        strength=load_strength_rules(folder),
    )
