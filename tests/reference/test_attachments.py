"""Attachments agree with what else is said of the families, with the words of descriptions, and among themselves."""

from __future__ import annotations

import re

import pytest

from service.core.errors import NotInReference
from service.reference.attachments import load_attachments
from service.reference.families import load_families
from service.reference.item_words import load_item_words

FAMILIES = load_families()
ATTACHMENTS = load_attachments(FAMILIES)
WITHOUT = {"silent", "draw_bench", "offset_sidebar", "leaf"}
"""Families that common practice says carry none."""

_CODE = re.compile(r"(?<![A-Za-z0-9-])([A-Z]{1,2})(?:-?(\d{1,3}))?(?![A-Za-z0-9])")


def said_of(family: str) -> set[str]:
    """Attachments that the statements on a family name by letter, with their numbers."""
    words = " ".join(row.statement for row in FAMILIES.statements(family, "attachments"))
    return {letter + number for letter, number in _CODE.findall(words) if letter in ATTACHMENTS.letters}


@pytest.mark.parametrize("family", [family.id for family in FAMILIES.families])
def test_what_the_statements_name_is_what_the_family_carries(family: str) -> None:
    """Every letter named in words stands in the table."""
    missing = {name for name in said_of(family) if not ATTACHMENTS.carried(family, ATTACHMENTS.get(name))}
    assert missing == set()


@pytest.mark.parametrize("family", sorted(WITHOUT))
def test_families_without_attachments_carry_none(family: str) -> None:
    assert ATTACHMENTS.of_family(family) == ()


@pytest.mark.parametrize("family", [family.id for family in FAMILIES.families])
def test_welding_follows_the_grade_of_the_family(family: str) -> None:
    grade = FAMILIES.rating(family, "weldable_attachments").rating
    allowed = {
        0: {"not_permitted"},
        1: {"by_maker"},
        2: {"by_maker", "where_not_hardened"},
        3: {"on_side_bars"},
        4: {"on_side_bars"},
    }
    assert ATTACHMENTS.welding[family].permission in allowed[grade]


def test_nothing_that_is_cast_or_made_to_lift_is_welded() -> None:
    cast = {family.id for family in FAMILIES.families if "cast" in family.made_by and "built_up" not in family.made_by}
    lifting = {family.id for family in FAMILIES.families if FAMILIES.rating(family.id, "lift").rating >= 3}
    for family in (cast | lifting) - {"combination"}:
        assert ATTACHMENTS.welding[family].permission == "not_permitted", family


def test_letters_before_a_digit_are_those_that_descriptions_are_read_by() -> None:
    read = set(load_item_words().at("code"))
    assert read == {row.letter for row in ATTACHMENTS.letters.values() if row.in_descriptions == "yes"}


def test_lists_of_a_standard_hold_what_its_abstract_names() -> None:
    """ASME B29.12M, abstract: A-1, A-2, A-22, K-1, K-2, K-3, K-35, K-44 and K-443."""
    listed = " ".join(
        row.kinds for row in ATTACHMENTS.of_family("bushed_steel") if row.source_id == "asme-b29.12m-1997"
    )
    assert set(listed.split()) == {"A1", "A2", "A22", "K1", "K2", "K3", "K35", "K44", "K443"}


def test_identical_links_are_those_that_the_standards_call_so() -> None:
    """B29.10M, B29.14M and B29.16M define a series of identical offset links, B29.1 and B29.12M alternating ones."""
    assert {ATTACHMENTS.links[f].pattern for f in ("offset_sidebar", "mill_cast", "mill_welded")} == {"identical"}
    assert {ATTACHMENTS.links[f].pattern for f in ("roller", "bushed_steel", "conveyor_iso")} == {"alternating"}


def test_every_kind_belongs_to_its_letter_and_every_named_kind_is_listed() -> None:
    for kind in ATTACHMENTS.kinds.values():
        assert kind.kind.startswith(kind.letter)
        holes = ATTACHMENTS.letters[kind.letter].number_means == "holes_in_each_lug"
        if kind.holes_in_each_lug is not None:
            assert holes
            assert kind.kind == f"{kind.letter}{kind.holes_in_each_lug}"
    for row in ATTACHMENTS.families:
        for kind_name in row.kinds.split():
            assert ATTACHMENTS.kinds[kind_name].letter == row.letter, kind_name


def test_both_sides_have_the_form_of_one_side() -> None:
    pairs = {row.letter: row.both_sides_letter for row in ATTACHMENTS.letters.values() if row.both_sides_letter}
    assert pairs == {"A": "K", "SA": "SK", "WA": "WK", "WSA": "WSK"}
    for one, both in pairs.items():
        assert ATTACHMENTS.letters[one].form == ATTACHMENTS.letters[both].form
        assert (ATTACHMENTS.letters[one].sides, ATTACHMENTS.letters[both].sides) == ("one", "both")


@pytest.mark.parametrize("text", ["A-1", "a1", " A1 "])
def test_spellings_of_one_attachment(text: str) -> None:
    assert ATTACHMENTS.get(text).name == "A1"


@pytest.mark.parametrize("text", ["Z9", "", "A1B", "1A", "A1234", "Ä1"])
def test_what_is_no_attachment_is_refused(text: str) -> None:
    with pytest.raises(NotInReference) as refused:
        ATTACHMENTS.get(text)
    assert refused.value.issues[0].code == "attachment_unknown"
