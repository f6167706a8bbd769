"""Ratings and service factors of silent chain; a later generation of ratings replaces its table as a whole."""

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from service.core.silent_rating import RatingPoint
from service.reference.loader import TABLES, Row, Table, load_table

ServiceSet = Literal["by_prime_mover_class", "by_drive_and_hours"]


class SilentRatingRow(Row, frozen=True, kw_only=True):
    """Power per inch of width of one generation of ratings."""

    generation: str
    pitch_in: float
    teeth: int
    speed_rpm: float
    power_hp_per_in: float


class SilentServiceRow(Row, frozen=True, kw_only=True):
    """Service factor of one set; sets are never mixed."""

    set: ServiceSet
    driven_machine: str
    prime_mover: Literal["I", "II", "III", "motor_10_h"]
    factor: float


class PrimeMoverClassRow(Row, frozen=True, kw_only=True):
    """Class of a prime mover for the set by class."""

    prime_mover: str
    prime_mover_class: Literal["I", "II", "III"]
    peak_min_percent: float | None = None
    peak_max_percent: float | None = None


@dataclass(frozen=True)
class SilentFactors:
    """All tables on the rating of silent chain."""

    ratings: Table[SilentRatingRow]
    service_factors: Table[SilentServiceRow]
    prime_mover_classes: Table[PrimeMoverClassRow]

    def rating_points(self, pitch_in: float, generation: str) -> tuple[RatingPoint, ...]:
        """The printed ratings of one pitch and generation; empty where the table has a hole."""
        return tuple(
            RatingPoint(teeth=row.teeth, speed_rpm=row.speed_rpm, power_hp_per_in=row.power_hp_per_in)
            for row in self.ratings.rows
            if row.pitch_in == pitch_in and row.generation == generation
        )


def load_silent_factors(folder: Path = TABLES) -> SilentFactors:
    """Load every table on the rating of silent chain; BadTable if one breaks its card."""
    return SilentFactors(
        ratings=load_table("silent_ratings", SilentRatingRow, folder),
        service_factors=load_table("silent_service_factors", SilentServiceRow, folder),
        prime_mover_classes=load_table("silent_prime_mover_classes", PrimeMoverClassRow, folder),
    )
