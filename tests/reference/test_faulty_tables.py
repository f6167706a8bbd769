"""Each fault of a reference file stops the start with a message that names the place."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from service.reference.catalogue import check_sources
from service.reference.errors import BadTable
from service.reference.figures import load_figures
from service.reference.loader import read_card, read_cells
from service.reference.printed_tables import load_printed_tables
from service.reference.quantities import load_quantities

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

END = ",invented,table 1,published,"
RISING = """
key = ["speed"]
[columns.speed]
meaning = "speed"
required = true
ascending = true
"""


def read(name: str, folder: Path) -> None:
    read_cells(name, read_card(name, folder), folder)


def test_edited_file_without_its_card(write_table: Callable[..., None], tmp_path: Path) -> None:
    write_table("t", "figures", "designation,pitch_in", "Q1,0.5" + END)
    (tmp_path / "t.csv").write_text("designation,pitch_in\n", encoding="utf-8")
    with pytest.raises(BadTable, match=r"t\.csv: the file changed and its card did not"):
        read("t", tmp_path)


def test_header_that_differs_from_the_card(write_table: Callable[..., None], tmp_path: Path) -> None:
    write_table("t", "figures", "designation,pitch_mm", "Q1,0.5" + END)
    with pytest.raises(BadTable, match=r"t\.csv line 1: columns are .*pitch_mm.* the card says .*pitch_in"):
        read("t", tmp_path)


def test_row_of_wrong_length(write_table: Callable[..., None], tmp_path: Path) -> None:
    write_table("t", "figures", "designation,pitch_in", "Q1,0.5,0.6" + END)
    with pytest.raises(BadTable, match=r"t\.csv line 2: 7 cells, 6 columns"):
        read("t", tmp_path)


def test_key_that_stands_twice(write_table: Callable[..., None], tmp_path: Path) -> None:
    write_table("t", "figures", "designation,pitch_in", "Q1,0.5" + END, "Q1,0.6" + END)
    with pytest.raises(BadTable, match=r"t\.csv line 3: Q1 / invented stands already on line 2"):
        read("t", tmp_path)


@pytest.mark.parametrize("row", ["Q1," + END, "Q1,0.5,invented,,published,", "Q1,0.5,invented,table 1,,"])
def test_empty_required_cell(write_table: Callable[..., None], tmp_path: Path, row: str) -> None:
    write_table("t", "figures", "designation,pitch_in", row)
    with pytest.raises(BadTable, match=r"t\.csv line 2: (pitch_in|locator|confidence) is empty"):
        read("t", tmp_path)


def test_column_that_does_not_rise(write_table: Callable[..., None], tmp_path: Path) -> None:
    rows = [f"{speed},invented {speed},a table,published," for speed in (10, 20)]
    write_table("t", "rows", "speed", *rows, "20,second print,a table,published,", card=RISING)
    with pytest.raises(BadTable, match=r"t\.csv line 4: speed 20 does not rise above 20"):
        read("t", tmp_path)


def test_source_that_is_not_registered(write_table: Callable[..., None], tmp_path: Path) -> None:
    write_table("t", "figures", "designation,pitch_in", "Q1,0.5" + END)
    with pytest.raises(BadTable, match=r"t\.csv line 2: source invented is not in sources\.toml"):
        check_sources({"mott-4"}, load_printed_tables(tmp_path))
    assert check_sources({"invented", "mott-4"}, load_printed_tables(tmp_path)) == {"invented"}


def figure_card(**changes: str) -> str:
    column = {"unit": '"in"', "quantity": '"pitch"', "side": '"nominal"', **changes}
    lines = "\n".join(f"{name} = {value}" for name, value in column.items())
    return (
        'key = ["designation"]\n[columns.designation]\nmeaning = "size"\n[columns.value]\nmeaning = "figure"\n' + lines
    )


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"quantity": '"stretch"'}, r"t\.toml: value is called stretch, which is not in quantities\.toml"),
        ({"unit": '"lbf"'}, r"t\.toml: value needs a side and one of the units \['in', 'mm'\]"),
        ({"side": '"about"'}, r"t\.toml: Invalid enum value 'about'"),
    ],
)
def test_column_that_is_no_known_quantity(
    write_table: Callable[..., None], tmp_path: Path, changes: dict[str, str], message: str
) -> None:
    write_table("t", "figures", "designation,value", "Q1,0.5" + END, card=figure_card(**changes))
    with pytest.raises(BadTable, match=message):
        load_figures("t", tmp_path)


@pytest.mark.parametrize(
    ("cell", "message"),
    [("0.5 in", "is not a number"), ("0", "above zero"), ("-1", "above zero"), ("nan", "above zero"), ("inf", "zero")],
)
def test_cell_that_is_no_figure(write_table: Callable[..., None], tmp_path: Path, cell: str, message: str) -> None:
    write_table("t", "figures", "designation,value", f"Q1,{cell}" + END, card=figure_card())
    with pytest.raises(BadTable, match=rf"t\.csv line 2: value .*{message}"):
        load_figures("t", tmp_path)


def test_quantity_that_stands_twice(tmp_path: Path) -> None:
    entry = '[[quantity]]\nid = "pitch"\nkind = "length"\nmeaning = "pitch"\n'
    (tmp_path / "quantities.toml").write_text(entry + entry, encoding="utf-8")
    with pytest.raises(BadTable, match="quantity pitch stands twice"):
        load_quantities(tmp_path)
