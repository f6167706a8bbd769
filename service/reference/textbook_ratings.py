"""Power ratings in kilowatts that a textbook prints for chain of ISO 606."""

from pathlib import Path

from service.reference.loader import TABLES, Row, Table, load_table


class KilowattRatingRow(Row, frozen=True, kw_only=True):
    """Rating of one strand on a wheel of 17 teeth at one speed."""

    designation: str
    speed_rpm: float
    power_kw: float


def load_kw_ratings(folder: Path = TABLES) -> Table[KilowattRatingRow]:
    """Load ``textbook_kw_ratings``; BadTable if it breaks its card."""
    return load_table("textbook_kw_ratings", KilowattRatingRow, folder)
