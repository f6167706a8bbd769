"""Length of roller chain: tolerances of new chain, and the limits of elongation in service."""

from pathlib import Path
from typing import Literal

from service.reference.loader import TABLES, Row, Table, load_table

ElongationRule = Literal["general", "large_wheel", "fixed_centres", "european_guide", "double_pitch", "rating_basis"]


class ElongationLimitRow(Row, frozen=True, kw_only=True):
    """One limit: a percentage, or a product of percentage and teeth of the largest wheel above a number of teeth."""

    family: Literal["roller", "double_pitch_roller"]
    rule: ElongationRule
    limit_percent: float | None = None
    percent_times_teeth: float | None = None
    above_teeth: int | None = None
    condition: str = ""


class LengthToleranceRow(Row, frozen=True, kw_only=True):
    """How much longer than nominal a new chain may be under its measuring force; it is never shorter.

    ``applies_to`` is a designation or a plain word for a group of sizes; ``measured_over`` the least length measured.
    """

    scheme: str
    applies_to: str
    over: float
    over_unit: Literal["%", "in/ft"]
    measured_over: float | None = None
    measured_over_unit: Literal["mm", "in"] | None = None


def load_elongation_limits(folder: Path = TABLES) -> Table[ElongationLimitRow]:
    """Load ``elongation_limits``; BadTable if it breaks its card."""
    return load_table("elongation_limits", ElongationLimitRow, folder)


def load_length_tolerances(folder: Path = TABLES) -> Table[LengthToleranceRow]:
    """Load ``length_tolerances``; BadTable if it breaks its card."""
    return load_table("length_tolerances", LengthToleranceRow, folder)
