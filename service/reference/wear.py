"""Figures that wear is judged by: tapes, thresholds of status, limits by family, findings and states of wheels."""

from pathlib import Path
from typing import Literal

from service.core.wear_status import DriveStatus, LiftingStatus
from service.reference.errors import BadTable
from service.reference.loader import TABLES, Row, Table, load_table

WearAction = Literal["approaching", "replace"]
Comparison = Literal["reaches", "exceeds"]
AccuracyClass = Literal["I", "II", "III"]

Finding = Literal[
    "cracked_plate",
    "broken_part",
    "missing_part",
    "turned_pin",
    "protruding_pin",
    "stiff_joint",
    "seized_joint",
    "kinked_joint",
    "open_side_plates",
    "corrosion_cracking",
    "heat_damage",
    "weld_spatter",
    "weld_repair",
    "anchor_lock_missing",
    "corrosion_pits",
    "twisted_or_bowed",
    "plate_edge_worn",
    "inner_plate_worn",
    "bent_pin",
    "galled_pin",
    "roller_seized",
    "roller_cracked",
    "red_dust_at_joints",
    "necked_plate",
    "roller_flat_spotted",
]
"""What is found on a chain besides its length; table ``wear_findings`` holds each once."""

SprocketState = Literal[
    "new", "polished_symmetric", "thinned", "hooked", "pocketed_root", "side_worn", "broken_tooth", "chain_clings"
]
"""What is seen on the teeth; table ``sprocket_states`` holds each once."""

SprocketAction = Literal["keep", "reverse", "renew", "align"]


class TapeClassRow(Row, frozen=True, kw_only=True):
    """Permissible error of one accuracy class of tapes and rules."""

    accuracy_class: AccuracyClass
    error_mm: float
    error_per_metre: float
    end_surface_error_mm: float


class ThresholdRow(Row, frozen=True, kw_only=True):
    """One threshold of status or forecast."""

    name: str
    value: float
    unit: str


class WearLimitRow(Row, frozen=True, kw_only=True):
    """One limit of wear as printed."""

    family: str
    duty: str
    criterion: str
    action: WearAction
    value: float
    unit: str
    comparison: Comparison
    over: str = ""

    @property
    def percent(self) -> float:
        """The limit in per cent; a limit in inches is taken over the length it is printed for."""
        if self.unit == "%":
            return self.value
        if self.unit == "in" and self.over.endswith(" in"):
            return 100 * self.value / float(self.over.removesuffix(" in"))
        raise BadTable(f"wear_limits.csv: {self.family} {self.criterion} is no percentage")


class FindingRow(Row, frozen=True, kw_only=True):
    """One finding with the least status that it calls for."""

    finding: Finding
    part: Literal["plate", "pin", "joint", "roller", "anchor", "chain"]
    meaning: str
    drive_status: DriveStatus
    lifting_status: LiftingStatus


class SprocketStateRow(Row, frozen=True, kw_only=True):
    """One state of the teeth and what is done about it."""

    state: SprocketState
    action: SprocketAction
    advice: str


class WearReference:
    """The wear tables, looked up by name."""

    def __init__(
        self,
        *,
        tapes: Table[TapeClassRow],
        thresholds: Table[ThresholdRow],
        limits: Table[WearLimitRow],
        findings: Table[FindingRow],
        sprocket_states: Table[SprocketStateRow],
    ) -> None:
        self.tape_classes = {row.accuracy_class: row for row in tapes.rows}
        self.thresholds = {row.name: row for row in thresholds.rows}
        self.findings = {row.finding: row for row in findings.rows}
        self.sprocket_states = {row.state: row for row in sprocket_states.rows}
        self._limit_rows = limits.rows
        self._limits: dict[tuple[str, str, str, str], WearLimitRow] = {}
        for row in sorted(limits.rows, key=limits.preference):
            self._limits.setdefault((row.family, row.duty, row.criterion, row.action), row)

    def limit(
        self, family: str, criterion: str, *, duty: str = "any", action: WearAction = "replace"
    ) -> WearLimitRow | None:
        """The preferred limit of a family for one criterion; None where no limit was found in print."""
        return self._limits.get((family, duty, criterion, action))

    def limit_rows(self, family: str, criterion: str) -> list[WearLimitRow]:
        """Every row of a family for one criterion at which the chain is replaced, in printed order."""
        return [
            row for row in self._limit_rows if (row.family, row.criterion, row.action) == (family, criterion, "replace")
        ]


def load_wear(folder: Path = TABLES) -> WearReference:
    """Load the wear tables.

    Raises:
        BadTable: a file breaks its card.
    """
    return WearReference(
        tapes=load_table("tape_classes", TapeClassRow, folder),
        thresholds=load_table("wear_thresholds", ThresholdRow, folder),
        limits=load_table("wear_limits", WearLimitRow, folder),
        findings=load_table("wear_findings", FindingRow, folder),
        sprocket_states=load_table("sprocket_states", SprocketStateRow, folder),
    )
