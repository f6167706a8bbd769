"""Sizes, aliases and figures of several families join by designation, and a fault in the join stops the start."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from service.reference.chains import load_chains
from service.reference.errors import BadTable

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

SIZES = "designation,family,series,standard,max_strand_count"
ALIASES = "designation,alias,scheme,status"
FIGURES = "designation,pitch_in"
END = ",invented,table 1,published,"


@pytest.fixture
def two_families(write_table: Callable[..., None]) -> Callable[..., None]:
    write_table("first_sizes", "sizes", SIZES, "Q1,roller,standard,X 1,3" + END)
    write_table("second_sizes", "sizes", SIZES, "V2,silent,standard,X 2," + END)
    write_table("first_aliases", "aliases", ALIASES, "Q1,q-one,x,current" + END)
    write_table("second_aliases", "aliases", ALIASES, "V2,v-two,x,informal" + END)
    write_table("any_figures", "figures", FIGURES, "Q1,0.5" + END, "V2,2" + END)
    return write_table


@pytest.mark.usefixtures("two_families")
def test_tables_of_several_families_join(tmp_path: Path) -> None:
    chains = load_chains(tmp_path)
    assert [(size.designation, size.row.family) for size in chains.sizes] == [("Q1", "roller"), ("V2", "silent")]
    assert chains.get("V-Two").designation == "V2"
    assert chains.get("q1").figure("pitch").value == pytest.approx(12.7)
    assert chains.get("V2").row.max_strand_count == 1


def test_size_in_two_tables_stops_the_start(two_families: Callable[..., None], tmp_path: Path) -> None:
    two_families("third_sizes", "sizes", SIZES, "Q1,leaf,standard,X 3,1" + END)
    with pytest.raises(BadTable, match=r"third_sizes\.csv: Q1 stands in two tables of sizes"):
        load_chains(tmp_path)


def test_alias_of_no_size_stops_the_start(two_families: Callable[..., None], tmp_path: Path) -> None:
    two_families("third_aliases", "aliases", ALIASES, "Z9,zed,x,current" + END)
    with pytest.raises(BadTable, match=r"third_aliases\.csv: Z9 is in no table of sizes"):
        load_chains(tmp_path)


def test_figure_of_no_size_stops_the_start(two_families: Callable[..., None], tmp_path: Path) -> None:
    two_families("third_figures", "figures", FIGURES, "Z9,1" + END)
    with pytest.raises(BadTable, match=r"third_figures\.csv: Z9 is in no table of sizes"):
        load_chains(tmp_path)


def test_alias_of_two_sizes_stops_the_start(two_families: Callable[..., None], tmp_path: Path) -> None:
    two_families("third_aliases", "aliases", ALIASES, "Q1,v - two,x,current" + END)
    with pytest.raises(BadTable, match=r"names both Q1 and V2"):
        load_chains(tmp_path)


def test_unknown_family_stops_the_start(two_families: Callable[..., None], tmp_path: Path) -> None:
    two_families("third_sizes", "sizes", SIZES, "K1,belt,standard,X 3,1" + END)
    with pytest.raises(BadTable, match=r"third_sizes\.csv line 2: Invalid enum value 'belt'"):
        load_chains(tmp_path)
