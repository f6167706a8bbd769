"""Numbers of leaf, engineering-class and round-link chain: what is read, what is refused, and the inverse of names."""

from __future__ import annotations

import pytest

from service.core import engineering_numbering, leaf_numbering, round_link_size, silent_rating
from service.core.errors import EngineeringError, Inconsistent, MoreNeeded, NotInReference
from service.reference.chains import load_chains

CHAINS = load_chains()


def sizes(family: str, series: str = "") -> list[str]:
    found = [size for size in CHAINS.sizes if size.row.family == family and size.row.series.startswith(series)]
    assert found
    return [size.designation for size in found]


@pytest.mark.parametrize("number", sizes("leaf"))
def test_leaf_number_states_what_the_tables_hold(number: str) -> None:
    chain, read = CHAINS.get(number), leaf_numbering.read(number=number)
    assert read.pitch_in * 25.4 == pytest.approx(chain.figure("pitch").value, abs=1e-9)
    assert read.pin_link_plates == chain.figure("pin_link_plate_count").value
    assert read.articulating_plates == chain.figure("articulating_plate_count").value


@pytest.mark.parametrize("number", sizes("leaf", "bl"))
def test_names_of_the_heavy_series_lead_to_each_other(number: str) -> None:
    international = leaf_numbering.other_name(number=number)
    assert leaf_numbering.other_name(number=international) == number
    assert leaf_numbering.read(number=international).pitch_in == leaf_numbering.read(number=number).pitch_in
    assert CHAINS.get(international).designation == number


def test_equal_digits_of_bl_and_ll_are_twice_the_pitch_apart() -> None:
    bl, ll = leaf_numbering.read(number="BL1644"), leaf_numbering.read(number="LL1644")
    assert bl.pitch_in == 2 * ll.pitch_in == 2


@pytest.mark.parametrize(
    "number", ["BL", "BL6", "BL34", "BL034", "BL630", "BL604", "XL634", "bl634", "BL6344X", " BL634", "BL٦34"]
)
def test_text_that_is_no_leaf_number_is_refused(number: str) -> None:
    with pytest.raises(NotInReference) as refused:
        leaf_numbering.read(number=number)
    assert refused.value.issues[0].code == "not_a_designation"


@pytest.mark.parametrize("number", ["LL0822", "AL422", "LH0722"])
def test_other_name_is_refused_where_there_is_none(number: str) -> None:
    with pytest.raises(NotInReference) as refused:
        leaf_numbering.other_name(number=number)
    assert refused.value.issues[0].code == "no_other_name"


@pytest.mark.parametrize("number", sizes("engineering_steel", "offset_sidebar"))
def test_offset_sidebar_number_is_nominal_within_two_per_cent(number: str) -> None:
    chain, read = CHAINS.get(number), engineering_numbering.offset_sidebar(number=number)
    assert chain.figure("pitch").value == pytest.approx(read.pitch_in * 25.4, rel=0.02)
    assert chain.figure("pin_diameter").value == pytest.approx(read.pin_diameter_in * 25.4, rel=0.025)


@pytest.mark.parametrize("number", sizes("rivetless"))
def test_rivetless_number_is_nominal_within_two_per_cent(number: str) -> None:
    chain, read = CHAINS.get(number), engineering_numbering.rivetless(number=number)
    assert chain.figure("pitch").value == pytest.approx(read.pitch_in * 25.4, rel=0.02)
    assert chain.figure("pin_diameter").value == pytest.approx(read.pin_diameter_in * 25.4, abs=0.01)


@pytest.mark.parametrize(
    ("read", "number"),
    [
        (engineering_numbering.offset_sidebar, "281"),
        (engineering_numbering.offset_sidebar, "0014"),
        (engineering_numbering.offset_sidebar, "2800"),
        (engineering_numbering.rivetless, "459"),
        (engineering_numbering.rivetless, "X48"),
        (engineering_numbering.rivetless, "X408"),
        (engineering_numbering.iso_conveyor_strength, "M5"),
        (engineering_numbering.iso_conveyor_strength, "M056"),
        (engineering_numbering.iso_conveyor_strength, "MX56"),
    ],
)
def test_text_that_is_no_such_number_is_refused(read: object, number: str) -> None:
    with pytest.raises(NotInReference) as refused:
        read(number=number)  # type: ignore[operator]
    assert refused.value.issues[0].code == "not_a_designation"


@pytest.mark.parametrize(
    ("text", "error", "code"),
    [
        ("10-30", MoreNeeded, "designation_ambiguous"),
        ("10.30", MoreNeeded, "designation_ambiguous"),
        ("10/30", MoreNeeded, "designation_ambiguous"),
        ("30x10", Inconsistent, "geometry_impossible"),
        ("10x20", Inconsistent, "geometry_impossible"),
        ("0x30", Inconsistent, "geometry_impossible"),
        ("ten by thirty", NotInReference, "not_a_designation"),
        ("10x30x5", NotInReference, "not_a_designation"),
        ("", NotInReference, "not_a_designation"),
    ],
)
def test_unclear_round_link_size_is_refused(text: str, error: type[EngineeringError], code: str) -> None:
    with pytest.raises(error) as refused:
        round_link_size.read(text=text)
    assert refused.value.issues[0].code == code


@pytest.mark.parametrize("text", ["5x18.5", "5 X 18,5", " 5×18.5 "])
def test_round_link_size_is_read_in_its_usual_forms(text: str) -> None:
    size = round_link_size.read(text=text)
    assert (size.diameter_mm, size.pitch_mm) == (5, 18.5)


def test_two_wires_and_a_hair_are_the_shortest_link() -> None:
    assert round_link_size.read(text="10x20.01").pitch_mm == 20.01


SILENT = [size for size in sizes("silent") if size.startswith("SC")]


@pytest.mark.parametrize("number", SILENT)
def test_silent_number_states_pitch_and_width_of_the_tables(number: str) -> None:
    chain, read = CHAINS.get(number), silent_rating.size_of_number(number=number)
    assert chain.figure("pitch").printed_value == read.pitch_in
    assert chain.figure("nominal_width").printed_value == read.width_in


@pytest.mark.parametrize("number", SILENT)
def test_listed_guide_and_width_keep_the_rules_of_the_standard(number: str) -> None:
    chain, read = CHAINS.get(number), silent_rating.size_of_number(number=number)
    rule = silent_rating.guide_rule(pitch_in=read.pitch_in, width_in=read.width_in)
    assert rule == "side_or_centre" or "centre_guide" in chain.row.series
    assert read.width_in <= silent_rating.greatest_width(pitch_in=read.pitch_in)


def test_silent_number_takes_no_other_digits() -> None:
    with pytest.raises(NotInReference):
        silent_rating.size_of_number(number="SC3٠٢")
