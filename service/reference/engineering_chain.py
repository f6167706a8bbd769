"""Engineering-class chain beside its sizes: groups of wheels, pitches of conveyor chain, length tolerances."""

from pathlib import Path
from typing import Literal

from service.reference.errors import BadTable
from service.reference.loader import TABLES, Row, Table, load_table
from service.reference.records import Record


class WheelGroupRow(Row, frozen=True, kw_only=True):
    """The group of wheels on which a size runs; seat and pitch are what the wheel sees, where they are known."""

    designation: str
    wheel_group: str
    pitch_in: float | None = None
    seating_diameter_in: float | None = None


class ConveyorPitchRow(Row, frozen=True, kw_only=True):
    """One pitch in which a size of conveyor chain is made."""

    designation: str
    pitch_mm: float


class FamilyLengthToleranceRow(Row, frozen=True, kw_only=True):
    """How much longer or shorter than nominal a new chain may be, for a printed length."""

    chain: str
    over: float
    under: float
    per_length: float
    length_unit: Literal["in", "mm"]

    @property
    def over_fraction(self) -> float:
        """Greatest excess over the length to which it belongs."""
        return self.over / self.per_length

    @property
    def under_fraction(self) -> float:
        """Greatest shortness over the length to which it belongs."""
        return self.under / self.per_length


class EngineeringReference(Record, frozen=True):
    """The tables of engineering-class chain that are not figures of a size."""

    wheel_groups: Table[WheelGroupRow]
    conveyor_pitches: Table[ConveyorPitchRow]
    length_tolerances: Table[FamilyLengthToleranceRow]

    def sharing_wheel(self, designation: str) -> tuple[WheelGroupRow, ...]:
        """Other sizes sold for the same wheel; empty where the group of a size is not known."""
        groups = {row.wheel_group for row in self.wheel_groups.where(designation=designation)}
        return tuple(
            row for row in self.wheel_groups.rows if row.wheel_group in groups and row.designation != designation
        )

    def pitches_mm(self, designation: str) -> tuple[float, ...]:
        """Pitches in which a size of conveyor chain is made, rising."""
        return tuple(sorted(row.pitch_mm for row in self.conveyor_pitches.where(designation=designation)))


def load_engineering(designations: set[str], folder: Path = TABLES) -> EngineeringReference:
    """Load the tables.

    Raises:
        BadTable: a table breaks its card or names a size that is in no table of sizes.
    """
    groups = load_table("engineering_wheel_groups", WheelGroupRow, folder)
    pitches = load_table("engineering_conveyor_pitches", ConveyorPitchRow, folder)
    for name, named in (
        (groups.name, [row.designation for row in groups.rows]),
        (pitches.name, [row.designation for row in pitches.rows]),
    ):
        if unknown := sorted(set(named) - designations):
            raise BadTable(f"{name}.csv: {unknown[0]} is in no table of sizes")
    return EngineeringReference(
        groups, pitches, load_table("family_length_tolerances", FamilyLengthToleranceRow, folder)
    )
