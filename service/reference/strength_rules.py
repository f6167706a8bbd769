"""Rules on strength: fractions of the ultimate, factors of conveyor chain, factors of chain that lifts."""

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from service.reference.loader import TABLES, Row, Table, load_table

FractionOfUltimate = Literal[
    "yield_over_ultimate",
    "fatigue_over_ultimate",
    "peak_over_ultimate_max",
    "service_over_ultimate_max",
    "service_over_ultimate_offset_max",
]


class StrengthFractionRow(Row, frozen=True, kw_only=True):
    """A strength or allowed load of a family as a fraction of its ultimate."""

    family: Literal["roller", "conveyor"]
    quantity: FractionOfUltimate
    fraction_min: float
    fraction_max: float


class ConveyorStrengthRow(Row, frozen=True, kw_only=True):
    """One rule for a use of conveyor or elevator chain."""

    use: str
    rule: str
    value_min: float | None = None
    value_max: float | None = None


class LiftingFactorRow(Row, frozen=True, kw_only=True):
    """Least factor of one rule on lifting."""

    use: str
    basis: str
    factor_min: float


class LeafServiceRow(Row, frozen=True, kw_only=True):
    """Service factor of leaf chain."""

    shock: Literal["smooth", "some_shock", "heavy_shock"]
    factor: float


@dataclass(frozen=True)
class StrengthRules:
    """All tables on strength and lifting."""

    fractions: Table[StrengthFractionRow]
    conveyor_rules: Table[ConveyorStrengthRow]
    lifting_factors: Table[LiftingFactorRow]
    leaf_service_factors: Table[LeafServiceRow]


def load_strength_rules(folder: Path = TABLES) -> StrengthRules:
    """Load every table on strength and lifting; BadTable if one breaks its card."""
    return StrengthRules(
        fractions=load_table("strength_fractions", StrengthFractionRow, folder),
        conveyor_rules=load_table("conveyor_strength_rules", ConveyorStrengthRow, folder),
        lifting_factors=load_table("lifting_factors", LiftingFactorRow, folder),
        leaf_service_factors=load_table("leaf_service_factors", LeafServiceRow, folder),
    )
