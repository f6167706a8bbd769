"""Fixtures: small tables of invented sizes, written to a folder of their own so that each fault can be caused."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from pathlib import Path

WriteTable = Callable[..., None]

CARDS = {
    "sizes": """
key = ["designation"]
[columns.designation]
meaning = "size"
required = true
[columns.family]
meaning = "family"
required = true
[columns.series]
meaning = "series"
required = true
[columns.standard]
meaning = "standard"
required = true
[columns.max_strand_count]
meaning = "strands"
""",
    "aliases": """
key = ["designation", "alias"]
[columns.designation]
meaning = "size"
required = true
[columns.alias]
meaning = "other name"
required = true
[columns.scheme]
meaning = "naming scheme"
required = true
[columns.status]
meaning = "status"
required = true
""",
    "figures": """
key = ["designation"]
[columns.designation]
meaning = "size"
required = true
[columns.pitch_in]
meaning = "pitch"
unit = "in"
quantity = "pitch"
side = "nominal"
required = true
""",
}
"""Columns of an invented card of each kind."""


@pytest.fixture
def write_table(tmp_path: Path) -> WriteTable:
    """Write one table with its card into ``tmp_path``: ``write_table(name, kind, header, *rows)``."""

    def write(name: str, kind: str, header: str, *rows: str, card: str | None = None) -> None:
        text = "\n".join([f"{header},source_id,locator,confidence,note", *rows]) + "\n"
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8")
        digest = hashlib.sha256(text.encode()).hexdigest()
        head = f'title = "invented"\nkind = "{kind}"\nsha256 = "{digest}"\nhistory = []\n'
        (tmp_path / f"{name}.toml").write_text(head + (card or CARDS[kind]), encoding="utf-8")

    return write
