"""Published advice on the slack of a strand by situation."""

from collections.abc import Sequence
from pathlib import Path
from typing import Literal

from service.reference.loader import TABLES, Row, Table, load_table

Situation = Literal[
    "ordinary",
    "near_vertical",
    "centres_over_one_metre",
    "heavy_frequent_starts",
    "reversing",
    "high_speed",
    "impulse",
    "conveyor_return",
]
Measure = Literal["movement", "sag"]


class SagRow(Row, frozen=True, kw_only=True):
    """Slack that one source advises in one situation."""

    situation: Situation
    measure: Measure
    of: Literal["span", "centre_distance"]
    least_percent: float | None = None
    greatest_percent: float | None = None


class RecommendedSags:
    """The rows of advice, the preferred source first."""

    def __init__(self, table: Table[SagRow]) -> None:
        self.rows = tuple(sorted(table.rows, key=table.preference))

    def advice(self, situations: Sequence[Situation]) -> tuple[SagRow, ...]:
        """The rows that hold where all of these situations hold; those of an ordinary drive if none is named.

        Of one source and measure only the smallest slack counts, since each demanding condition asks for less. Recalled
        rows are left out where a read one holds.
        """
        wanted = set(situations) or {"ordinary"}
        least: dict[tuple[str, Measure], SagRow] = {}
        for row in self.rows:
            if row.situation not in wanted:
                continue
            known = least.setdefault((row.source_id, row.measure), row)
            if (row.greatest_percent or 0) < (known.greatest_percent or 0):
                least[row.source_id, row.measure] = row
        found = tuple(least.values())
        return tuple(row for row in found if row.confidence != "memory") or found


def load_recommended_sags(folder: Path = TABLES) -> RecommendedSags:
    """Load ``recommended_sags``; BadTable if it breaks its card."""
    return RecommendedSags(load_table("recommended_sags", SagRow, folder))
