"""Sizes of silent, leaf, round-link and engineering-class chain: what must hold across their tables."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest

from service.reference.catalogue import load_reference
from service.reference.chains import ChainSize, load_chains
from service.reference.engineering_chain import load_engineering
from service.reference.errors import BadTable
from service.reference.loader import TABLES, read_card, read_cells, table_names

CHAINS = load_chains()
PREFIXES = ("silent_", "leaf_", "round_link_", "engineering_")
FAMILIES = {
    "silent",
    "leaf",
    "round_link",
    "detachable",
    "cast_pintle",
    "steel_pintle",
    "cast_mill",
    "cast_drag",
    "welded_steel_mill",
    "welded_steel_drag",
    "engineering_steel",
    "combination",
    "rivetless",
    "conveyor",
    "agricultural",
    "flat_top",
}
SIZES = [size for size in CHAINS.sizes if size.row.family in FAMILIES]
OURS = [path.stem for path in sorted(TABLES.glob("*.csv")) if path.stem.startswith(PREFIXES)]


def of_family(family: str, series: str = "") -> list[ChainSize]:
    return [size for size in SIZES if size.row.family == family and size.row.series.startswith(series)]


def test_every_family_has_sizes() -> None:
    assert {size.row.family for size in SIZES} == FAMILIES
    assert len({size.designation for size in SIZES}) == len(SIZES) > 500


@pytest.mark.parametrize("name", OURS)
def test_table_has_rows_and_its_recalled_rows_are_marked(name: str) -> None:
    rows = read_cells(name, read_card(name))
    assert rows
    for line, cells in rows:
        words = f"{cells['locator']} {cells['note']}".lower()
        if "not seen" in words or "recalled" in words.split(";")[0]:
            assert cells["confidence"] == "memory" or "guide is recalled" in words, f"{name} line {line}"


def test_pitch_is_known_except_where_the_maker_chooses_it() -> None:
    without = Counter(size.row.standard for size in SIZES if size.find("pitch") is None)
    assert without.keys() == {"ISO 1977; DIN 8167", "ISO 1977"}
    pitches = {
        cells["designation"]
        for _, cells in read_cells("engineering_conveyor_pitches", read_card("engineering_conveyor_pitches"))
    }
    assert {size.designation for size in of_family("conveyor", "solid_pin")} < pitches


def test_overall_width_of_read_centre_guide_chain_is_its_width_and_a_quarter_pitch() -> None:
    """The regularity that the notes of the recalled rows lean on, shown on the rows that were read."""
    read = of_family("silent", "centre_guide") + of_family("silent", "two_centre_guides")
    read = [size for size in read if (width := size.find("overall_width")) and width.confidence == "published"]
    assert len(read) == 20
    for size in read:
        expected = size.figure("nominal_width").printed_value + size.figure("pitch").printed_value / 4
        assert size.figure("overall_width").printed_value == pytest.approx(expected, abs=0.0005)


def test_side_guide_chain_is_wider_than_that_rule() -> None:
    wider = {size.designation: size.figure("overall_width").printed_value for size in of_family("silent", "side_guide")}
    assert wider == {"SC302": 0.594, "SC402": 0.75}


def test_mill_and_combination_chain_carry_no_tensile_strength_of_a_standard_that_lists_proof_loads() -> None:
    for size in of_family("cast_mill") + of_family("combination"):
        assert size.find("minimum_tensile_strength") is None, size.designation


@pytest.mark.parametrize("series", ["al", "bl", "ll"])
def test_leaf_strength_of_one_pitch_grows_with_the_pin_link_plates(series: str) -> None:
    for size in of_family("leaf", series):
        same = [
            other for other in of_family("leaf", series) if other.figure("pitch").value == size.figure("pitch").value
        ]
        for other in same:
            if other.figure("pin_link_plate_count").value > size.figure("pin_link_plate_count").value:
                assert other.figure("minimum_tensile_strength").value > size.figure("minimum_tensile_strength").value


def test_two_strengths_that_disagree_are_two_figures_and_the_read_one_wins() -> None:
    both = [figure for figure in CHAINS.get("LL1022").figures if figure.quantity == "minimum_tensile_strength"]
    assert sorted(figure.printed_value for figure in both) == [22, 22.2]
    assert CHAINS.get("LL1022").figure("minimum_tensile_strength").printed_value == 22.2
    assert CHAINS.get("BL1666").figure("minimum_tensile_strength").printed_value == 867.4


def test_lh_names_the_bl_size_with_half_the_first_number() -> None:
    for size in of_family("leaf", "bl"):
        (alias,) = [alias.alias for alias in size.aliases if alias.scheme == "ISO 4347"]
        assert alias[:2] == "LH"
        assert alias[-2:] == size.designation[-2:]
        assert int(alias[2:-2]) == 2 * int(size.designation[2:-2])
    assert CHAINS.get("LH1234").designation == "BL634"


def test_round_link_pitch_suits_its_wire() -> None:
    for size in of_family("round_link"):
        if (pitch := size.find("pitch")) is not None:
            ratio = pitch.value / size.figure("wire_diameter").value
            assert 2.7 <= ratio <= 6, size.designation
        if (gauge := size.find("gauge_length")) is not None:
            assert gauge.value == pytest.approx(11 * size.figure("pitch").value, abs=0.01), size.designation


def test_names_of_one_wheel_group_share_pitch_and_seat() -> None:
    """Chains of one group of wheels must agree in what the wheel sees, or the group is wrong."""
    groups: dict[str, set[tuple[str, str]]] = {}
    name = "engineering_wheel_groups"
    for _, cells in read_cells(name, read_card(name)):
        if cells["seating_diameter_in"] and "/" not in cells["wheel_group"]:
            groups.setdefault(cells["wheel_group"], set()).add((cells["pitch_in"], cells["seating_diameter_in"]))
    assert groups
    for group, seats in groups.items():
        diameters = [float(diameter) for _, diameter in seats]
        assert len({pitch for pitch, _ in seats}) == 1, group
        assert max(diameters) - min(diameters) < 0.01, group


def test_all_family_tables_are_found_by_kind() -> None:
    found = {name for kind in ("sizes", "aliases", "figures") for name in table_names(kind)}  # type: ignore[arg-type]
    rows = {name for name in OURS if read_card(name).kind == "rows"}
    assert set(OURS) - found == rows


def test_length_tolerances_are_fractions_of_any_length() -> None:
    rows = {row.chain: row for row in load_reference().engineering.length_tolerances.rows}
    assert 3048 * rows["mill_cast"].over_fraction == pytest.approx(19.05)
    assert rows["mill_cast"].under_fraction == 0
    assert 3000 * rows["conveyor_fv"].over_fraction == pytest.approx(7.5)
    assert 1000 * rows["leaf_bl"].over_fraction == pytest.approx(2.58, abs=0.005)
    assert rows["leaf_bl"].under_fraction == rows["leaf_bl"].over_fraction


def test_combination_and_bushed_chain_of_one_number_share_a_wheel() -> None:
    engineering = load_reference().engineering
    assert "SBS188" in {row.designation for row in engineering.sharing_wheel("C188")}
    assert "WH78" in {row.designation for row in engineering.sharing_wheel("H78")}
    assert "667X" not in {row.designation for row in engineering.sharing_wheel("667H")}
    assert engineering.sharing_wheel("M56") == ()


def test_conveyor_size_lists_its_pitches() -> None:
    assert load_reference().engineering.pitches_mm("M20") == (40, 50, 63, 80, 100, 125, 160)


def test_wheel_group_of_no_size_stops_the_start() -> None:
    known = {size.designation for size in CHAINS.sizes} - {"WR78"}
    with pytest.raises(BadTable, match=r"engineering_wheel_groups\.csv: WR78"):
        load_engineering(known)


def test_two_pins_rock_and_wear_least() -> None:
    joints = {row.joint: row for row in load_reference().silent.joints.rows}
    assert min(joints.values(), key=lambda row: row.life_order).joint == "round_pin_in_plates"
    assert max(joints.values(), key=lambda row: row.life_order).joint == "rocker"
    assert {row.joint for row in joints.values() if row.motion == "rolling"} == {"rocker"}
    assert {row.joint for row in joints.values() if row.pins_in_a_joint == 2} == {"rocker"}


def test_over_pin_bands_leave_no_tooth_count_out() -> None:
    rows = load_reference().silent.over_pin_tolerances.rows
    for row, following in pairwise(rows):
        assert following.teeth_from == (row.teeth_to or 0) + 1
    assert rows[-1].teeth_to is None
