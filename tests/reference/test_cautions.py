"""The register of cautions: complete, sourced, and never a word that sounds like permission."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, get_args

import pytest

from service.reference.cautions import Topic, load_cautions
from service.reference.errors import BadTable
from service.reference.register import load_register

if TYPE_CHECKING:
    from pathlib import Path

CAUTIONS = load_cautions()


def test_every_caution_names_a_registered_source():
    register = load_register()
    assert [caution.code for caution in CAUTIONS if caution.source_id not in register] == []


def test_codes_are_snake_case():
    assert all(re.fullmatch(r"[a-z]+(_[a-z]+)*", caution.code) for caution in CAUTIONS)


@pytest.mark.parametrize("topic", get_args(Topic))
def test_every_topic_defers_to_local_codes(topic: Topic):
    assert "local_codes" in {caution.code for caution in CAUTIONS.for_topic(topic)}


def test_lifting_names_the_competent_person_and_refuses_people():
    codes = {caution.code for caution in CAUTIONS.for_topic("lifting")}
    assert {"competent_person", "overhead_lifting", "no_people", "stored_energy", "isolate_and_lock_off"} <= codes


def test_powered_chain_is_guarded_and_isolated():
    for topic in ("drive", "conveyor", "elevator"):
        codes = {caution.code for caution in CAUTIONS.for_topic(topic)}
        assert {"guard_the_drive", "isolate_and_lock_off", "stored_energy"} <= codes


def test_no_caution_calls_anything_safe_or_fit():
    forbidden = re.compile(r"\b(safe|safely|fit to lift|approved|certified)\b", re.IGNORECASE)
    assert [caution.code for caution in CAUTIONS if forbidden.search(caution.text)] == []


def test_gravest_first():
    order = ["danger", "caution", "info"]
    for topic in get_args(Topic):
        ranks = [order.index(caution.severity) for caution in CAUTIONS.for_topic(topic)]
        assert ranks == sorted(ranks)


def test_a_code_that_stands_twice_stops_the_start(tmp_path: Path):
    one = (
        '[[caution]]\ncode = "twice"\nseverity = "info"\ntopics = ["drive"]\ntext = "t"\nwhen = "w"\n'
        'source_id = "common-practice"\nlocator = "l"\nconfidence = "practice"\n'
    )
    (tmp_path / "cautions.toml").write_text(one + one, encoding="utf-8")
    with pytest.raises(BadTable, match="twice stands twice"):
        load_cautions(tmp_path)


def test_an_unknown_topic_stops_the_start(tmp_path: Path):
    (tmp_path / "cautions.toml").write_text(
        '[[caution]]\ncode = "c"\nseverity = "info"\ntopics = ["bicycle"]\ntext = "t"\nwhen = "w"\n'
        'source_id = "common-practice"\nlocator = "l"\nconfidence = "practice"\n',
        encoding="utf-8",
    )
    with pytest.raises(BadTable):
        load_cautions(tmp_path)
