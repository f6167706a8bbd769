"""Published advice on the proportions of a drive: teeth, ratio, wrap, centre distance, oiling by hand."""

from pathlib import Path
from typing import Literal

from service.reference.loader import TABLES, Row, Table, load_table

Rule = Literal[
    "small_wheel_teeth_min",
    "small_wheel_teeth_preferred",
    "small_wheel_teeth_min_heavy_shock",
    "slow_speed_below",
    "large_wheel_teeth_max",
    "sum_of_teeth_min",
    "wheel_teeth_min",
    "wheel_teeth_max",
    "wheel_teeth_preferred",
    "speed_ratio_max",
    "speed_ratio_max_slow",
    "wrap_min",
    "centre_distance_min",
    "centre_distance_trial",
    "centre_distance_max",
    "centre_distance_max_unguided",
    "silent_drip_speed_max",
    "silent_offset_width_factor",
]


class ProportionRow(Row, frozen=True, kw_only=True):
    """One figure of advice; several rows of one rule are either alternatives or disagreeing sources, as noted."""

    rule: Rule
    value: float
    unit: str
    condition: str = ""


def load_proportions(folder: Path = TABLES) -> Table[ProportionRow]:
    """Load ``tooth_recommendations``; BadTable if it breaks its card."""
    return load_table("tooth_recommendations", ProportionRow, folder)
