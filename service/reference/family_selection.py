"""Choice of a family as data: what each fact of a duty asks for, with weights and least ratings."""

from pathlib import Path
from typing import Annotated, Literal

import msgspec

from service.reference.errors import BadTable
from service.reference.families import Families
from service.reference.loader import TABLES, Row, Table, load_table
from service.reference.records import Record


class WeightRow(Row, frozen=True, kw_only=True):
    """What one level of a fact asks of a family: the weight of a rating, and the least rating if there is one."""

    fact: str
    level: str
    criterion: str
    weight: Annotated[float, msgspec.Meta(gt=0)]
    least: Annotated[int, msgspec.Meta(ge=1, le=4)] | None = None
    sentence: str


class FamilyRuleRow(Row, frozen=True, kw_only=True):
    """What a fact means for one family whatever its ratings."""

    fact: str
    level: str
    family: str
    effect: Literal["leave_out", "caution"]
    sentence: str


class LevelRow(Row, frozen=True, kw_only=True):
    """From which value on a measured fact has a level."""

    fact: str
    level: str
    above: float


class SelectionReference(Record, frozen=True):
    """The tables of the choice of a family."""

    weights: Table[WeightRow]
    family_rules: Table[FamilyRuleRow]
    levels: Table[LevelRow]

    def level(self, fact: str, value: float) -> LevelRow:
        """The level of a measured fact: the highest that the value passes, else the lowest."""
        rows = sorted(self.levels.where(fact=fact), key=lambda row: row.above)
        return next((row for row in reversed(rows) if value > row.above), rows[0])


def load_family_selection(families: Families, folder: Path = TABLES) -> SelectionReference:
    """Load the tables.

    Raises:
        BadTable: a table breaks its card, or names a criterion or family that there is not.
    """
    weights = load_table("selection_weights", WeightRow, folder)
    rules = load_table("selection_family_rules", FamilyRuleRow, folder)
    if unknown := {row.criterion for row in weights.rows} - {criterion.id for criterion in families.criteria}:
        raise BadTable(f"selection_weights.csv: {min(unknown)} is no criterion of families.toml")
    if unknown := {row.family for row in rules.rows} - {family.id for family in families.families}:
        raise BadTable(f"selection_family_rules.csv: {min(unknown)} is no family of families.toml")
    return SelectionReference(weights, rules, load_table("selection_levels", LevelRow, folder))
