"""Silent chain beside its sizes: kinds of joint, tolerances of the wheel, limits of the wheels of GOST 13552."""

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from service.reference.loader import TABLES, Row, Table, load_table

SilentJoint = Literal["round_pin_in_plates", "full_bushing", "split_bushing", "rocker"]
FaceDimension = Literal["C", "D", "F", "H", "R", "W"]


class JointRow(Row, frozen=True, kw_only=True):
    """One kind of joint; ``life_order`` 1 wears fastest under like load."""

    joint: SilentJoint
    motion: Literal["sliding", "rolling"]
    life_order: int
    pins_in_a_joint: int
    back_bending: Literal["yes", "no"]


class WheelToleranceRow(Row, frozen=True, kw_only=True):
    """Tolerance of one dimension of the wheel face."""

    dimension: FaceDimension
    lower_in: float
    upper_in: float


class OverPinToleranceRow(Row, frozen=True, kw_only=True):
    """Lower tolerance of the diameter over pins for a band of teeth; the upper is zero."""

    pitch_in: float
    teeth_from: int
    teeth_to: int | None = None
    lower_in: float
    lower_mm: float


class GostWheelRow(Row, frozen=True, kw_only=True):
    """Teeth and working face of the wheels of one type of chain."""

    chain_type: Literal["one_sided", "two_sided"]
    teeth_from: int
    teeth_to: int
    working_face_angle_deg: float


@dataclass(frozen=True)
class SilentReference:
    """The tables of silent chain that are not figures of a size."""

    joints: Table[JointRow]
    wheel_tolerances: Table[WheelToleranceRow]
    over_pin_tolerances: Table[OverPinToleranceRow]
    gost_wheels: Table[GostWheelRow]


def load_silent(folder: Path = TABLES) -> SilentReference:
    """Load the tables; BadTable if one breaks its card."""
    return SilentReference(
        joints=load_table("silent_joints", JointRow, folder),
        wheel_tolerances=load_table("silent_wheel_tolerances", WheelToleranceRow, folder),
        over_pin_tolerances=load_table("silent_over_pin_tolerances", OverPinToleranceRow, folder),
        gost_wheels=load_table("silent_gost_wheels", GostWheelRow, folder),
    )
