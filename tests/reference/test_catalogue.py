"""All reference data load together, and nothing is registered in vain."""

from __future__ import annotations

import shutil
import tomllib
from pathlib import Path

import pytest

from service.core.equations import load_catalogue
from service.reference.catalogue import HERE, Reference, data_version, load_reference
from service.reference.loader import TABLES, read_card, table_names

PUBLISHED = Path(__file__).parents[1] / "published"


@pytest.fixture(scope="module")
def reference() -> Reference:
    return load_reference()


def test_every_table_has_a_card_and_every_card_a_table() -> None:
    cards = {path.stem for path in TABLES.glob("*.toml")}
    assert cards == {path.stem for path in TABLES.glob("*.csv")}
    for name in cards:
        assert read_card(name).history, name


def test_every_figure_table_feeds_some_size(reference: Reference) -> None:
    feeding = {figure.table for size in reference.chains.sizes for figure in size.figures}
    assert feeding == set(table_names("figures"))


def sources_used(reference: Reference) -> set[str]:
    """Everything that names a source: rows, equations, cautions, and the printed figures the tests compare with."""
    in_equations = {source.id for entry in load_catalogue().values() for source in entry.sources}
    in_cautions = {caution.source_id for caution in reference.cautions}
    in_published_cases = {
        entry["source"]
        for path in PUBLISHED.glob("*.toml")
        for entries in tomllib.loads(path.read_text(encoding="utf-8")).values()
        for entry in entries
        if "source" in entry
    }
    return {*reference.table_source_ids, *in_equations, *in_cautions, *in_published_cases}


def test_every_source_in_use_is_registered(reference: Reference) -> None:
    assert sources_used(reference) - set(reference.publications) == set()


def test_version_changes_with_any_figure(tmp_path: Path) -> None:
    copy = tmp_path / "reference"
    shutil.copytree(HERE, copy)
    assert data_version(copy) == data_version()
    card = copy / "tables" / "roller_sizes.toml"
    card.write_text(card.read_text(encoding="utf-8").replace('sha256 = "', 'sha256 = "0', 1), encoding="utf-8")
    assert data_version(copy) != data_version()


def test_no_source_is_registered_in_vain(reference: Reference) -> None:
    assert set(reference.publications) - sources_used(reference) == set()
