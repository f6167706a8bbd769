"""Round-link chain: working load limits by type, and the sizes that a written diameter and pitch may mean."""

from pathlib import Path
from typing import Literal

from service.core.errors import Issue, MoreNeeded, NotInReference
from service.core.round_link import WorkingLoadRow
from service.core.round_link_size import RoundLinkSize, read
from service.reference.chains import Chains, ChainSize
from service.reference.loader import TABLES, Row, Table, load_table

LinkUse = Literal["hoist", "sling", "not_for_lifting"]
PrintedDrive = Literal["hand", "none"]

USE_OF_SERIES: dict[str, LinkUse] = {
    "hoist_fine_tolerance": "hoist",
    "sling_grade_4": "sling",
    "sling_grade_8": "sling",
    "calibrated_grade_3": "not_for_lifting",
    "conveyor_pitch_three_and_a_half_diameters": "not_for_lifting",
}
"""What the sizes of a series serve; DIN 766 chain is held as its data sheet marks it."""


class WorkingLoadLimitRow(Row, frozen=True, kw_only=True):
    """Working load limit of one fall or leg.

    ``drive_kind`` ``hand`` is the figure for hand-operated hoists; power-driven hoists have no row, because annex B
    of EN 818-7 rates them. ``use`` ``not_for_lifting`` keeps a printed figure that must not serve a lift.
    """

    standard: str
    chain_type: str
    diameter_mm: float
    drive_kind: PrintedDrive
    use: LinkUse
    working_load_limit_kg: float
    mean_stress_n_mm2: float | None = None


class PropertyRow(Row, frozen=True, kw_only=True):
    """Least elongation and surface hardness of one type of hoist chain in one band of diameters."""

    chain_type: Literal["T", "DAT", "DT"]
    diameter_from_mm: float
    diameter_to_mm: float | None = None
    band_excludes_end: Literal["yes", "no"]
    elongation_min_percent: float
    hardness_min: float
    hardness_test: Literal["HV5", "HV10"]


def load_properties(folder: Path = TABLES) -> Table[PropertyRow]:
    """Load ``round_link_properties``; BadTable if it breaks its card."""
    return load_table("round_link_properties", PropertyRow, folder)


def load_working_load_limits(folder: Path = TABLES) -> Table[WorkingLoadLimitRow]:
    """Load ``round_link_working_load_limits``; BadTable if it breaks its card."""
    return load_table("round_link_working_load_limits", WorkingLoadLimitRow, folder)


def hoist_limits(table: Table[WorkingLoadLimitRow], standard: str) -> tuple[WorkingLoadRow, ...]:
    """The printed working load limits of hoist chain in one standard; sling chain and others are left out."""
    return tuple(
        WorkingLoadRow(
            chain_type=row.chain_type, diameter_mm=row.diameter_mm, working_load_limit_kg=row.working_load_limit_kg
        )
        for row in table.rows
        if row.standard == standard and row.use == "hoist"
    )


def sizes_of(chains: Chains, size: RoundLinkSize) -> tuple[ChainSize, ...]:
    """All sizes of a wire diameter and pitch, whatever their standard."""
    return tuple(
        chain
        for chain in chains.sizes
        if chain.row.family == "round_link"
        and (wire := chain.find("wire_diameter")) is not None
        and wire.value == size.diameter_mm
        and (pitch := chain.find("pitch")) is not None
        and pitch.value == size.pitch_mm
    )


def find_size(chains: Chains, text: str, use: LinkUse | None = None, field: str = "chain") -> ChainSize:
    """The one size that a written diameter and pitch mean for a use.

    Raises:
        NotInReference: ``not_a_designation`` or ``designation_unknown``.
        MoreNeeded: ``application_needed`` with the candidates, where several standards have the size.
    """
    wanted = read(text=text)
    found = [size for size in sizes_of(chains, wanted) if use in (None, USE_OF_SERIES[size.row.series])]
    names = tuple(size.designation for size in found)
    if not found:
        message = f"No round-link chain of {wanted.diameter_mm:g} x {wanted.pitch_mm:g} mm stands in the tables."
        raise NotInReference(Issue(field, "designation_unknown", message, None, text[:40]))
    if len(found) > 1:
        message = f"Round-link chain {text.strip()[:40]} is made for several uses: {', '.join(names)}."
        hint = "Say whether it is hoist, sling or conveyor chain; they differ in tolerance and hardness."
        raise MoreNeeded(Issue(field, "application_needed", message, None, text[:40], hint), candidates=names)
    return found[0]
