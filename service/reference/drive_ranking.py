"""Weights by which feasible drives are ranked: our policy, as data."""

from pathlib import Path
from typing import Literal

from service.reference.loader import TABLES, Row, Table, load_table

Term = Literal["mass", "strands", "chordal_variation", "ratio_error", "lubrication", "even_teeth", "small_reserve"]


class RankingRow(Row, frozen=True, kw_only=True):
    """Weight of one term of the score; a lower score ranks better."""

    term: Term
    weight: float
    unit: str


def load_drive_ranking(folder: Path = TABLES) -> Table[RankingRow]:
    """Load ``drive_ranking``; BadTable if it breaks its card."""
    return load_table("drive_ranking", RankingRow, folder)
