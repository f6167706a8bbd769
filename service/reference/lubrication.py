"""Lubrication of roller chain: the speeds up to which each method serves, and the grade of oil."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from service.reference.loader import TABLES, Row, Table, load_table


class SpeedLimitRow(Row, frozen=True, kw_only=True):
    """Highest speeds of manual or drip and of bath or disc lubrication for one chain; oil stream above them.

    The older edition states chain speeds, the newer one a speed of the small wheel, whatever its teeth. None is a hole.
    """

    edition: Literal["older", "newer"]
    designation: str
    manual_or_drip_max_ft_min: float | None = None
    bath_or_disc_max_ft_min: float | None = None
    manual_or_drip_max_rpm: float | None = None


class ViscosityRow(Row, frozen=True, kw_only=True):
    """Grade of oil for one range of ambient temperature and of pitch; both ranges exclude their lower end."""

    ambient_above_degc: float
    ambient_to_degc: float
    pitch_above_in: float
    pitch_to_in: float
    sae_grade: str


def load_speed_limits(folder: Path = TABLES) -> Table[SpeedLimitRow]:
    """Load ``lubrication_speed_limits``; BadTable if it breaks its card."""
    return load_table("lubrication_speed_limits", SpeedLimitRow, folder)


def load_viscosities(folder: Path = TABLES) -> Table[ViscosityRow]:
    """Load ``lubricant_viscosities``; BadTable if it breaks its card."""
    return load_table("lubricant_viscosities", ViscosityRow, folder)
