"""Bulk materials: densities, angles of repose, handling classes and the letters of the material code."""

from pathlib import Path
from typing import Literal

from service.reference.loader import TABLES, Row, Table, load_table
from service.reference.records import Record

Degree = Literal["", "I", "II", "III", "IV"]


class BulkMaterialRow(Row, frozen=True, kw_only=True):
    """One material as its source prints it; an empty cell is a hole."""

    material: str
    density_min_lb_ft3: float
    density_max_lb_ft3: float
    repose_min_deg: float | None = None
    repose_max_deg: float | None = None
    belt_incline_max_deg: float | None = None
    abrasiveness: Degree = ""
    corrosiveness: Degree = ""
    flowability: Degree = ""
    code: str = ""


class BulkDensityRow(Row, frozen=True, kw_only=True):
    """Density of one material in the two units of the print."""

    material: str
    density_lb_ft3: float
    density_min_kg_m3: float
    density_max_kg_m3: float


class FlowabilityRow(Row, frozen=True, kw_only=True):
    """One class of flowability."""

    flowability: Literal["very_free_flowing", "free_flowing", "average", "sluggish"]
    repose_min_deg: float
    repose_max_deg: float | None = None
    surcharge_deg: float | None = None


class CodeLetterRow(Row, frozen=True, kw_only=True):
    """One letter or digit of the material code."""

    letter: str
    meaning: str


class BulkMaterials(Record, frozen=True):
    """All tables on bulk materials."""

    materials: Table[BulkMaterialRow]
    densities: Table[BulkDensityRow]
    flowability: Table[FlowabilityRow]
    code_letters: Table[CodeLetterRow]


def load_bulk_materials(folder: Path = TABLES) -> BulkMaterials:
    """Load every table on bulk materials; BadTable if one breaks its card."""
    return BulkMaterials(
        materials=load_table("bulk_materials", BulkMaterialRow, folder),
        densities=load_table("bulk_densities", BulkDensityRow, folder),
        flowability=load_table("flowability_classes", FlowabilityRow, folder),
        code_letters=load_table("bulk_code_letters", CodeLetterRow, folder),
    )
