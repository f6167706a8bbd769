"""The tables of factors by subject, loaded together."""

from pathlib import Path

from service.reference.bulk_materials import BulkMaterials, load_bulk_materials
from service.reference.conveyor_factors import ConveyorFactors, load_conveyor_factors
from service.reference.loader import TABLES
from service.reference.records import Record
from service.reference.silent_factors import SilentFactors, load_silent_factors
from service.reference.strength_rules import StrengthRules, load_strength_rules


class Factors(Record, frozen=True):
    """The factor tables by subject."""

    conveyor: ConveyorFactors
    bulk: BulkMaterials
    silent: SilentFactors
    strength: StrengthRules


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
