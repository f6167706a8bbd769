"""Factors on the power of a drive: service factors of two schemes, strand factors, and examples of load classes."""

from pathlib import Path
from typing import Literal

from service.reference.loader import TABLES, Row, Table, load_table

Scheme = Literal["asme", "iso"]
LoadClass = Literal["smooth", "moderate_shock", "heavy_shock"]
Driver = Literal[
    "engine_fluid_coupled",
    "electric_motor_or_turbine",
    "engine_mechanical",
    "smooth_running",
    "slight_shocks",
    "moderate_shocks",
]
"""The ASME scheme tells drivers apart by machine (first three), the ISO scheme by how they run (last three)."""


class ServiceFactorRow(Row, frozen=True, kw_only=True):
    """One cell of a three by three table of service factors."""

    scheme: Scheme
    driven_load: LoadClass
    driver: Driver
    factor: float


class StrandFactorRow(Row, frozen=True, kw_only=True):
    """Power of a number of strands over that of one."""

    scheme: Scheme
    strand_count: int
    factor: float


class LoadClassRow(Row, frozen=True, kw_only=True):
    """One example of a driven machine, in our own words."""

    load_class: LoadClass
    example: str


def load_service_factors(folder: Path = TABLES) -> Table[ServiceFactorRow]:
    """Load ``service_factors``; BadTable if it breaks its card."""
    return load_table("service_factors", ServiceFactorRow, folder)


def load_strand_factors(folder: Path = TABLES) -> Table[StrandFactorRow]:
    """Load ``strand_factors``; BadTable if it breaks its card."""
    return load_table("strand_factors", StrandFactorRow, folder)


def load_load_classes(folder: Path = TABLES) -> Table[LoadClassRow]:
    """Load ``load_class_examples``; BadTable if it breaks its card."""
    return load_table("load_class_examples", LoadClassRow, folder)
