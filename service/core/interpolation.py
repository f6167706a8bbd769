"""Straight-line interpolation between printed points; outside them there is no answer."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange

if TYPE_CHECKING:
    from collections.abc import Sequence


@equation(
    "interpolation.between_points",
    symbol="y",
    unit="-",
    sources=(Source("plane-geometry", "straight line through two points", "derived"),),
)
def between_points(*, at: float, points: Sequence[tuple[float, float]], field: str) -> float:
    """Value on the straight line between the two printed points that enclose a place.

    Equation:
        y = y0 + (x - x0) (y1 - y0)/(x1 - x0)

    Args:
        at: Place x, [-]; first x <= x <= last x.
        points: Printed pairs x, y with rising x, [object].
        field: Name of the place in a refusal, [text].

    Returns:
        Value y, [-], in the unit of the points; a printed point gives its printed value.

    Raises:
        OutOfRange: code ``outside_table``; a table is never prolonged.

    Validity: between the first and the last printed point, both included.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> between_points(at=25, points=((10, 0.8), (40, 1.1)), field="speed_ft_min")
        0.95
    """
    for (x0, y0), (x1, y1) in pairwise(points):
        if x0 <= at <= x1:
            return y0 + (at - x0) * (y1 - y0) / (x1 - x0)
    if points and at == points[0][0]:
        return points[0][1]
    raise _outside(at, points, field)


def _outside(at: float, points: Sequence[tuple[float, float]], field: str) -> OutOfRange:
    if not points:
        return OutOfRange(Issue(field, "outside_table", f"The table holds no figure at all for {field} {at:g}."))
    first, last = points[0][0], points[-1][0]
    limit = first if at < first else last
    message = f"{field} is {at:g}; the table runs from {first:g} to {last:g} and is not prolonged."
    return OutOfRange(Issue(field, "outside_table", message, limit, at))
