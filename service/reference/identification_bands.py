"""How far the dimensions of an actual chain lie from the printed ones: making and wear, as practice has them."""

from pathlib import Path
from typing import Literal

from service.reference.loader import TABLES, Row, Table, load_table


class BandRow(Row, frozen=True, kw_only=True):
    """Differences from the printed figure of one quantity, in per cent of it."""

    quantity: str
    side: Literal["nominal", "min", "max"]
    new_low_percent: float
    new_high_percent: float
    worn_low_percent: float
    worn_high_percent: float


def load_identification_bands(folder: Path = TABLES) -> Table[BandRow]:
    """Load ``identification_bands``; BadTable if it breaks its card."""
    return load_table("identification_bands", BandRow, folder)
