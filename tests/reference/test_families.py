"""What is said of the families of chain agrees with common practice, and the list of families is complete."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from service.core.errors import NotInReference
from service.reference.chains import load_chains
from service.reference.errors import BadTable
from service.reference.families import ANY, load_families
from service.reference.register import load_register

FAMILIES = load_families()
IDS = [family.id for family in FAMILIES.families]
PRACTICE: dict[str, list[dict[str, Any]]] = tomllib.loads(
    (Path(__file__).parent / "practice_facts.toml").read_text(encoding="utf-8")
)
NOT_FOR_ALL = {"strength", "interchange"}
CAST = {family.id for family in FAMILIES.families if "cast" in family.made_by}


@pytest.mark.parametrize("fact", PRACTICE["fact"], ids=lambda fact: fact["id"])
def test_fact_of_common_practice_is_stated_and_marked_as_practice(fact: dict[str, Any]) -> None:
    statements = FAMILIES.statements(fact["family"], fact["topic"])
    saying = [row for row in statements if all(words in row.statement.lower() for words in fact["says"])]
    assert saying, [row.statement for row in statements]
    assert {(row.confidence, row.source_id) for row in saying} == {("practice", "common-practice")}


@pytest.mark.parametrize("fact", PRACTICE["published"], ids=lambda fact: fact["id"])
def test_fact_of_a_publication_is_stated_with_its_source(fact: dict[str, Any]) -> None:
    statements = FAMILIES.statements(fact["family"], fact["topic"])
    saying = [row for row in statements if all(words in row.statement.lower() for words in fact["says"])]
    assert saying, [row.statement for row in statements]
    assert {(row.confidence, row.source_id) for row in saying} == {("published", fact["source"])}


@pytest.mark.parametrize("choice", PRACTICE["choice"], ids=lambda choice: choice["id"])
def test_grades_let_the_usual_family_come_first(choice: dict[str, Any]) -> None:
    severe = choice.get("severe", [])
    totals = {}
    for family in IDS:
        grades = [FAMILIES.rating(family, criterion).rating for criterion in choice["criteria"]]
        hard = [FAMILIES.rating(family, criterion).rating for criterion in severe]
        if all(grades) and all(grade >= 3 for grade in hard):
            totals[family] = sum(grades) + sum(hard)
    for family in choice["expected"]:
        above = [other for other, total in totals.items() if total > totals[family]]
        assert len(above) < choice["first"], (family, totals)


def test_silent_and_cast_chain_fall_out_under_severe_shock() -> None:
    assert [family for family in ("silent", *CAST) if FAMILIES.rating(family, "shock").rating >= 3] == []


@pytest.mark.parametrize("family", IDS)
def test_family_is_described_under_every_topic(family: str) -> None:
    silent_on = {topic.id for topic in FAMILIES.topics if not FAMILIES.statements(family, topic.id)}
    assert silent_on <= NOT_FOR_ALL


@pytest.mark.parametrize("row", FAMILIES.statements(ANY) + tuple(r for f in IDS for r in FAMILIES.statements(f)))
def test_statement_is_a_sentence_with_a_registered_source(row: Any) -> None:
    assert row.statement[0].isupper() or row.statement[0].isdigit()
    assert row.statement.endswith(".")
    assert row.source_id in load_register()
    assert (row.confidence == "practice") == (row.source_id == "common-practice")


def test_own_dimensions_are_asked_for_where_no_sizes_are_held() -> None:
    held = {family.id for size in load_chains().sizes if (family := FAMILIES.of_size(size.row)) is not None}
    for family in FAMILIES.families:
        assert (family.sizes == "own_dimensions") == (family.id not in held), family.id
        (note,) = FAMILIES.statements(family.id, "sizes_note")
        assert ("enter your own" in note.statement) == (family.sizes == "own_dimensions")


def test_a_size_belongs_to_one_family_at_most() -> None:
    for size in load_chains().sizes:
        groups = [f.id for f in FAMILIES.families if any(group.holds(size.row) for group in f.size_groups)]
        assert len(groups) <= 1, size.designation


def test_every_criterion_tells_families_apart() -> None:
    for criterion in FAMILIES.criteria:
        grades = {FAMILIES.rating(family, criterion.id).rating for family in IDS}
        assert len(grades) > 1, criterion.id
        assert max(grades) >= 3, criterion.id


def test_reasons_are_sentences() -> None:
    for family in IDS:
        for criterion in FAMILIES.criteria:
            row = FAMILIES.rating(family, criterion.id)
            assert row.reason[:1].isupper() or row.reason[:1].isdigit(), row
            assert row.reason.endswith("."), row
            assert row.confidence == "practice", "a grade is judgement, whatever its reason leans on"


def test_unknown_family_is_refused_with_the_known_ones() -> None:
    with pytest.raises(NotInReference) as refused:
        FAMILIES.get("belt")
    (issue,) = refused.value.issues
    assert issue.code == "family_unknown"
    assert "round_link" in (issue.hint or "")
    assert FAMILIES.get("leaf").name == "Leaf chain"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the reference data whose list of families may be spoilt."""
    here = Path(__file__).parents[2] / "service" / "reference"
    (tmp_path / "tables").symlink_to(here / "tables")
    (tmp_path / "families.toml").write_bytes((here / "families.toml").read_bytes())
    return tmp_path


def spoil(folder: Path, old: str, new: str) -> None:
    path = folder / "families.toml"
    path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")


def test_a_rating_without_a_family_stops_the_start(folder: Path) -> None:
    spoil(folder, 'id = "bar_loop"', 'id = "bar_hoop"')
    with pytest.raises(BadTable, match=r"no bar_loop"):
        load_families(folder)


def test_a_criterion_without_ratings_stops_the_start(folder: Path) -> None:
    spoil(folder, 'id = "pocket_wheel"', 'id = "cable_drum"')
    with pytest.raises(BadTable, match=r"family_ratings\.csv: .* is missing or not in families\.toml"):
        load_families(folder)


def test_a_family_that_stands_twice_stops_the_start(folder: Path) -> None:
    spoil(folder, 'id = "bar_loop"', 'id = "leaf"')
    with pytest.raises(BadTable, match=r"leaf stands twice"):
        load_families(folder)


def test_a_list_out_of_form_stops_the_start(folder: Path) -> None:
    spoil(folder, 'load_class = "light"', 'load_class = "feather"')
    with pytest.raises(BadTable, match=r"families\.toml: "):
        load_families(folder)
