"""Reading and evaluating the check cases: data in TOML, one form for equations, calculations and table look-ups."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, field
from decimal import Decimal
from math import ceil, prod
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from service.core.equations import load_catalogue
from service.reference.loader import read_card, read_cells

if TYPE_CHECKING:
    from collections.abc import Callable

HERE = Path(__file__).parent
NOT_CASES = {"unchecked.toml", "refused.toml"}
CATALOGUE = load_catalogue()


@dataclass(frozen=True, kw_only=True)
class Case:
    """One figure printed outside this project and the way to our figure for it.

    Attributes:
        source: Id in the register of publications.
        locator: Table, example, page or clause.
        confidence: ``published``, ``secondary`` or ``derived`` (independent arithmetic, not printed); never ``memory``.
        printed: The figure as printed; half of its last digit is the tolerance. Text is compared as text.
        unit: Unit of the printed figure.
        note: What a reader of the page has to know.
        tolerance: A wider tolerance, only together with ``tolerance_reason``.
        member: Attribute of a result that holds several figures.
        equation: Catalogue id, for a case of one equation with its ``inputs``.
        steps: For a calculation: equations and the few operations of ``OPERATIONS``, see ``run_steps``.
        table: For a look-up: name of the reference table, with ``match`` (column to text) and ``column``.
    """

    source: str
    locator: str
    confidence: str
    printed: str
    unit: str
    file: str
    number: int
    note: str = ""
    tolerance: str = ""
    tolerance_reason: str = ""
    member: str = ""
    equation: str = ""
    inputs: dict[str, Any] = field(default_factory=dict)
    calculation: str = ""
    steps: list[dict[str, Any]] = field(default_factory=list)
    table: str = ""
    match: dict[str, str] = field(default_factory=dict)
    column: str = ""

    @property
    def id(self) -> str:
        """Name of the test: what, the page to open, and a number to tell cases of one page apart."""
        what = self.equation or self.calculation or f"{self.table}.{self.column}"
        return f"{what}|{self.source}|{self.locator}|{self.number}"

    @property
    def equations(self) -> list[str]:
        """Ids of the equations that the case takes part in checking."""
        return [self.equation] if self.equation else [step["equation"] for step in self.steps if "equation" in step]

    def computed(self) -> Any:
        """Our figure."""
        if self.equation:
            return run_equation(self.equation, self.inputs, self.member)
        if self.steps:
            return run_steps(self.steps)
        return look_up(self.table, self.match, self.column)

    def matches(self, computed: Any) -> bool:
        """Whether our figure is the printed one, within what rounding in print can hide."""
        try:
            printed = Decimal(self.printed)
        except ArithmeticError:
            return str(computed) == self.printed
        exponent = printed.as_tuple().exponent
        assert isinstance(exponent, int)
        allowed = float(self.tolerance) if self.tolerance else 0.5 * 10.0**exponent
        # The factor forgives the binary form of a figure that lies exactly on the edge.
        return bool(float(computed) == pytest.approx(float(printed), abs=allowed * 1.0001, rel=0))


def run_equation(identifier: str, inputs: dict[str, Any], member: str = "") -> Any:
    """The result of a catalogued equation, or one attribute of it."""
    result = CATALOGUE[identifier].function(**inputs)
    return getattr(result, member) if member else result


OPERATIONS: dict[str, Callable[[list[float]], float]] = {
    "product": prod,
    "sum": sum,
    "smallest": min,
    "even_above": lambda values: 2 * ceil(values[0] / 2),
    "even_nearest": lambda values: 2 * round(values[0] / 2),
    "whole_above": lambda values: ceil(values[0]),
    "interpolated": lambda v: v[1] + (v[0] - v[2]) * (v[4] - v[1]) / (v[3] - v[2]),
}
"""What a textbook does between its equations; ``interpolated`` takes x, y0, x0, x1, y1."""


def run_steps(steps: list[dict[str, Any]]) -> Any:
    """Work through a calculation.

    A step is ``{equation, inputs}``, ``{table, match, column}`` or ``{OPERATION = [values]}``; ``name`` keeps its
    result, and ``"$name"`` stands for a kept result in later steps. ``member`` takes one attribute of a result.
    """
    kept: dict[str, Any] = {}

    def fill(value: Any) -> Any:
        return kept[value[1:]] if isinstance(value, str) and value.startswith("$") else value

    result: Any = None
    for step in steps:
        if "equation" in step:
            inputs = {name: fill(value) for name, value in step["inputs"].items()}
            result = run_equation(step["equation"], inputs, step.get("member", ""))
        elif "table" in step:
            result = float(look_up(step["table"], step["match"], step["column"]))
        else:
            (operation,) = step.keys() & OPERATIONS.keys()
            result = OPERATIONS[operation]([fill(value) for value in step[operation]])
        if "name" in step:
            kept[step["name"]] = result
    return result


def look_up(table: str, match: dict[str, str], column: str) -> str:
    """The one cell of a reference table whose row has the given texts."""
    rows = [
        cells
        for _, cells in read_cells(table, read_card(table))
        if all(cells[name] == text for name, text in match.items())
    ]
    assert len(rows) == 1, f"{table}: {len(rows)} rows with {match}"
    return rows[0][column]


def cells_of_grid(grid: dict[str, Any]) -> list[dict[str, Any]]:
    """The entries of a printed table as cases of one equation.

    ``row`` and ``column`` name the arguments that vary, ``columns`` the heads, ``[grid.rows]`` the printed rows; a
    dash is a cell that was not read or is refused.
    """
    rows, columns = grid.pop("rows"), grid.pop("columns")
    row, column, locator = grid.pop("row"), grid.pop("column"), grid["locator"]
    entries = []
    for row_head, line in rows.items():
        for column_value, printed in zip(columns, line.split(), strict=True):
            if printed != "-":
                inputs = {**grid["inputs"], row: int(row_head), column: column_value}
                place = f"{locator}, {row} {row_head}, {column} {column_value}"
                entries.append({**grid, "locator": place, "inputs": inputs, "printed": printed})
    return entries


def load_cases() -> list[Case]:
    """All cases: ``[[case]]`` for one equation, ``[[grid]]`` for a table of it, ``[[calculation]]``, ``[[lookup]]``."""
    cases = []
    for path in sorted(HERE.glob("*.toml")):
        if path.name in NOT_CASES:
            continue
        content = tomllib.loads(path.read_text(encoding="utf-8"))
        unknown = content.keys() - {"case", "grid", "calculation", "lookup"}
        assert not unknown, f"{path.name}: {unknown}"
        entries = [entry for kind in ("case", "calculation", "lookup") for entry in content.get(kind, ())]
        entries += [cell for grid in content.get("grid", ()) for cell in cells_of_grid(grid)]
        for number, entry in enumerate(entries, start=1):
            try:
                cases.append(Case(file=path.name, number=number, **entry))
            except TypeError as error:
                raise AssertionError(f"{path.name}, entry {number}: {error}") from error
    return cases


def load_reasons(file: str) -> dict[str, str]:
    """A file of id to reason."""
    return tomllib.loads((HERE / file).read_text(encoding="utf-8"))
