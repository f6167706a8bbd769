"""The table of standard tolerances against the rule of ISO 286 that its figures are rounded from."""

from __future__ import annotations

from math import sqrt

import pytest

from service.core.errors import NotInReference
from service.reference.standard_tolerances import load_standard_tolerances, tolerance_row

TABLE = load_standard_tolerances()


def test_figures_follow_the_rule_of_the_standard() -> None:
    # i = 0.45 D^(1/3) + 0.001 D up to 500 mm, I = 0.004 D + 2.1 above, D the geometric mean of the step, in µm;
    # IT11 is 100 and IT14 400 units, rounded by the standard to few figures.
    for row in TABLE.rows[1:]:
        size = sqrt(row.size_over_mm * row.size_up_to_mm)
        unit = 0.45 * size ** (1 / 3) + 0.001 * size if row.size_up_to_mm <= 500 else 0.004 * size + 2.1
        assert row.it11_mm * 1000 == pytest.approx(100 * unit, rel=0.035)
        if row.it14_mm is not None:
            assert row.it14_mm * 1000 == pytest.approx(400 * unit, rel=0.035)


def test_steps_join() -> None:
    for row, after in zip(TABLE.rows, TABLE.rows[1:], strict=False):
        assert row.size_up_to_mm == after.size_over_mm


@pytest.mark.parametrize(("size", "tolerance"), [(315.0, 0.32), (315.001, 0.36), (3150.0, 1.35)])
def test_a_size_on_a_limit_belongs_below(size: float, tolerance: float) -> None:
    assert tolerance_row(TABLE, "root_diameter_mm", size).it11_mm == tolerance


def test_sizes_beyond_the_table_are_refused_with_its_end() -> None:
    with pytest.raises(NotInReference) as refused:
        tolerance_row(TABLE, "root_diameter_mm", 3151.0)
    assert refused.value.issues[0].limit == 3150
