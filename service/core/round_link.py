"""Round-link chain: force and mean stress of a link, grade, and the working load limit as its table prints it."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING, Literal, NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Issue, NotInReference
from service.core.guards import not_negative, positive

if TYPE_CHECKING:
    from collections.abc import Sequence

HoistDrive = Literal["hand", "power"]


class WorkingLoadRow(NamedTuple):
    """One printed working load limit of round-link chain."""

    chain_type: str
    diameter_mm: float
    working_load_limit_kg: float


@equation(
    "round_link.force",
    symbol="F",
    unit="kN",
    sources=(
        Source("en-818-3-1999", "Table 5, forces of grade 4", "published"),
        Source("nacm-2010", "annex A", "published"),
    ),
)
def force(*, diameter_mm: float, stress_n_mm2: float) -> float:
    """Force on a round-link chain at a mean stress in the two legs of a link.

    Equation:
        F = (pi/2) d^2 sigma/1000

    Args:
        diameter_mm: Nominal wire diameter d, [mm]; d > 0.
        stress_n_mm2: Mean stress over both legs sigma, [N/mm2]; sigma > 0.

    Returns:
        Force F, [kN].

    Raises:
        OutOfRange: a value is not a finite number above zero.

    Validity: nominal diameter; printed tables are rounded to preferred numbers, so that the table is the answer
        and this relation its check.
    Deviations: none.
    Sources: en-818-3-1999 Table 5 [published]; nacm-2010 annex A [published].

    Examples:
        >>> force(diameter_mm=10, stress_n_mm2=400)
        62.8
    """
    positive("diameter_mm", diameter_mm)
    positive("stress_n_mm2", stress_n_mm2)
    return pi / 2 * diameter_mm * diameter_mm * stress_n_mm2 / 1000


@equation(
    "round_link.stress",
    symbol="sigma",
    unit="N/mm2",
    sources=(Source("nacm-2010", "annex A, mean stress", "published"),),
)
def stress(*, force_kn: float, diameter_mm: float) -> float:
    """Mean stress in the two legs of a round link.

    Equation:
        sigma = 2000 F/(pi d^2)

    Args:
        force_kn: Force on the chain F, [kN]; F >= 0.
        diameter_mm: Wire diameter d, [mm]; d > 0.

    Returns:
        Mean stress sigma, [N/mm2]; bending in the link raises the true stress well above it.

    Raises:
        OutOfRange: a value is outside its range.

    Validity: a convention for comparing chains.
    Deviations: none.
    Sources: nacm-2010 annex A [published].

    Examples:
        >>> stress(force_kn=62.8318530718, diameter_mm=10)
        400.0
    """
    not_negative("force_kn", force_kn)
    positive("diameter_mm", diameter_mm)
    return 2000 * force_kn / (pi * diameter_mm * diameter_mm)


@equation(
    "round_link.grade",
    symbol="grade",
    unit="-",
    sources=(Source("nacm-2010", "annex A, grade from minimum breaking force", "published"),),
)
def grade(*, breaking_force_kn: float, diameter_mm: float) -> float:
    """Grade number of welded chain from its minimum breaking force.

    Equation:
        grade = MBF/(0.005 pi d^2)

    Args:
        breaking_force_kn: Minimum breaking force MBF, [kN]; MBF > 0.
        diameter_mm: Nominal wire diameter d, [mm]; d > 0.

    Returns:
        Grade, [-]: mean stress at breaking force over ten.

    Raises:
        OutOfRange: a value is not a finite number above zero.

    Validity: a force from a standard; a grade is a marking of the maker and never inferred for use.
    Deviations: none.
    Sources: nacm-2010 annex A [published].

    Examples:
        >>> grade(breaking_force_kn=125.66, diameter_mm=10)
        80.0
    """
    positive("breaking_force_kn", breaking_force_kn)
    positive("diameter_mm", diameter_mm)
    return breaking_force_kn / (0.005 * pi * diameter_mm * diameter_mm)


@equation(
    "round_link.working_load_limit",
    symbol="WLL",
    unit="kg",
    sources=(Source("en-818-7-2002", "Table 5 and footnote 1", "published"),),
)
def working_load_limit(
    *, chain_type: str, diameter_mm: float, hoist_drive: HoistDrive, rows: Sequence[WorkingLoadRow]
) -> float:
    """Working load limit of calibrated hoist chain as the table prints it.

    Equation:
        the printed cell of type and diameter; no interpolation

    Args:
        chain_type: Type of the chain such as T, DAT, DT, [text].
        diameter_mm: Nominal wire diameter, [mm].
        hoist_drive: ``hand`` or ``power``, [text].
        rows: Printed rows of the table, [object].

    Returns:
        Working load limit WLL, [kg].

    Raises:
        NotInReference: code ``power_hoist_not_rated``: power-driven hoists need the duty-group rules of annex B, which
            were not read; ``size_not_in_table`` for a cell that is not printed.

    Validity: hand-operated hoists.
    Deviations: none.
    Sources: en-818-7-2002 Table 5 [published].

    Examples:
        >>> working_load_limit(chain_type="T", diameter_mm=10, hoist_drive="hand",
        ...     rows=[WorkingLoadRow(chain_type="T", diameter_mm=10, working_load_limit_kg=3200)])
        3200
    """
    if hoist_drive == "power":
        message = (
            "The working load limit of a power-driven hoist chain depends on its duty; that rule is not held here."
        )
        raise NotInReference(
            Issue("hoist_drive", "power_hoist_not_rated", message, None, hoist_drive, "Use the hoist maker's figure.")
        )
    for row in rows:
        if row.chain_type == chain_type and row.diameter_mm == diameter_mm:
            return row.working_load_limit_kg
    message = f"The table prints no working load limit of type {chain_type[:20]} at {diameter_mm:g} mm."
    raise NotInReference(Issue("diameter_mm", "size_not_in_table", message, None, diameter_mm))
