"""Lubrication of roller chain: speeds up to which each method serves, grade of oil, quantities, states and places."""

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


LubricationState = Literal[
    "adequate",
    "dry",
    "reddish_brown_at_joints",
    "contaminated_paste",
    "washed_out",
    "wrong_product",
    "not_intended",
    "under_water_grit",
]
"""What is seen of the lubricant on a chain; table ``lubrication_states`` holds each once."""

LubricationAction = Literal["keep", "lubricate", "clean_and_lubricate", "change_lubricant", "do_not_oil"]
Method = Literal["manual", "drip", "bath", "disc", "stream", "any"]
Case = Literal[
    "grit_under_water",
    "clean_water",
    "grit",
    "wash_down",
    "food",
    "hot",
    "self_lubricating",
    "sealed_joint",
    "leaf_chain",
]
"""Places and chains where lubrication differs; table ``lubrication_cases`` holds each once."""


class LubricationStateRow(Row, frozen=True, kw_only=True):
    """One state of lubrication and what is done about it."""

    state: LubricationState
    action: LubricationAction
    meaning: str
    advice: str


class LubricationQuantityRow(Row, frozen=True, kw_only=True):
    """One interval, quantity or speed of a method, in the unit of its print."""

    method: Method
    quantity: str
    unit: Literal["h", "drops/min", "mm", "m/s", "m/min", "ISO VG"]
    applies_to: Literal["drive", "conveyor"]
    condition: str
    least: float | None = None
    greatest: float | None = None


class LubricationCaseRow(Row, frozen=True, kw_only=True):
    """One place or kind of chain where lubrication differs."""

    case: Case
    oil: Literal["yes", "no", "special"]
    advice: str


def load_lubrication_states(folder: Path = TABLES) -> Table[LubricationStateRow]:
    """Load ``lubrication_states``; BadTable if it breaks its card."""
    return load_table("lubrication_states", LubricationStateRow, folder)


def load_lubrication_quantities(folder: Path = TABLES) -> Table[LubricationQuantityRow]:
    """Load ``lubrication_quantities``; BadTable if it breaks its card."""
    return load_table("lubrication_quantities", LubricationQuantityRow, folder)


def load_lubrication_cases(folder: Path = TABLES) -> Table[LubricationCaseRow]:
    """Load ``lubrication_cases``; BadTable if it breaks its card."""
    return load_table("lubrication_cases", LubricationCaseRow, folder)


def load_speed_limits(folder: Path = TABLES) -> Table[SpeedLimitRow]:
    """Load ``lubrication_speed_limits``; BadTable if it breaks its card."""
    return load_table("lubrication_speed_limits", SpeedLimitRow, folder)


def load_viscosities(folder: Path = TABLES) -> Table[ViscosityRow]:
    """Load ``lubricant_viscosities``; BadTable if it breaks its card."""
    return load_table("lubricant_viscosities", ViscosityRow, folder)
