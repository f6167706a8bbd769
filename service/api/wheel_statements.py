"""What is known in words of the wheels of a family, as answers show it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import msgspec

if TYPE_CHECKING:
    from collections.abc import Iterable

    from service.reference.families import StatementRow


class WheelStatement(msgspec.Struct, frozen=True, kw_only=True):
    """One statement on the wheels of the chain's family, with its source."""

    topic: str
    statement: str
    source_id: str
    confidence: Literal["published", "secondary", "memory", "practice"]


def present_statements(rows: Iterable[StatementRow]) -> list[WheelStatement]:
    """Statements in the order of their topics."""
    return [
        WheelStatement(topic=row.topic, statement=row.statement, source_id=row.source_id, confidence=row.confidence)
        for row in rows
    ]
