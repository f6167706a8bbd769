"""A designation is read as its writer meant it, or the reader asks."""

from __future__ import annotations

import pytest

from service.core.errors import MoreNeeded, NotInReference, OutOfRange
from service.reference.chains import Chains, load_chains
from service.reference.designations import read_designation


@pytest.fixture(scope="module")
def chains() -> Chains:
    return load_chains()


@pytest.mark.parametrize(
    ("text", "designation", "strands"),
    [
        ("80", "80", 1),
        ("80-2", "80", 2),
        ("16B-3", "16B", 3),
        ("16b - 1", "16B", 1),
        (" 80\u00a0-\u00a02 ", "80", 2),
        ("\uff18\uff10", "80", 1),
        ("\uff18\uff10\uff0d\uff12", "80", 2),
        ("80\u20132", "80", 2),
        ("#80-6", "80", 6),
        ("RC60", "60", 1),
        ("ANSI 60-2", "60", 2),
        ("ISO 12A-2", "12A", 2),
        ("40-1", "40", 1),  # not 40A nor 40B, though both exist
        ("40-2", "40", 2),
        ("2080", "2080", 1),
        ("C2080H", "C2080H", 1),
        ("C2082H", "C2082H", 1),
        ("2060H", "C2060H", 1),
        ("41", "41", 1),
        ("40A", "40A", 1),  # 2.5 in pitch, not chain 40
    ],
)
def test_reads(chains: Chains, text: str, designation: str, strands: int) -> None:
    found = read_designation(chains, text)
    assert (found.size.designation, found.strand_count) == (designation, strands)


@pytest.mark.parametrize(
    ("text", "candidates"),
    [
        ("08", ("08A", "08B")),
        ("16", ("16A", "16B")),
        ("16-2", ("16A", "16B")),
        ("06", ("06B", "06C")),
        ("80B", ("80", "16B")),
        ("60A", ("60", "12A")),
    ],
)
def test_asks(chains: Chains, text: str, candidates: tuple[str, ...]) -> None:
    with pytest.raises(MoreNeeded) as caught:
        read_designation(chains, text, "driver.chain")
    assert caught.value.candidates == candidates
    assert (caught.value.issues[0].code, caught.value.issues[0].field) == ("designation_ambiguous", "driver.chain")


@pytest.mark.parametrize(("text", "most"), [("80-0", 6), ("80-7", 6), ("80-99", 6), ("16B-4", 3), ("41-2", 1)])
def test_refuses_strands(chains: Chains, text: str, most: int) -> None:
    with pytest.raises(OutOfRange) as caught:
        read_designation(chains, text)
    assert (caught.value.issues[0].code, caught.value.issues[0].limit) == ("strands_out_of_range", most)


@pytest.mark.parametrize("text", ["80-2-3", "80-", "80-2R", "80--2", "", "   ", "#", "8" * 100])
def test_cannot_read(chains: Chains, text: str) -> None:
    with pytest.raises(NotInReference) as caught:
        read_designation(chains, text)
    assert caught.value.issues[0].code == "designation_unreadable"


@pytest.mark.parametrize("text", ["16C", "-80", "%", "'; drop", "80\u00b2", "\u0661\u0666"])
def test_does_not_know(chains: Chains, text: str) -> None:
    with pytest.raises(NotInReference) as caught:
        read_designation(chains, text)
    assert caught.value.issues[0].code == "designation_unknown"


def test_nearest_of_an_unknown_series(chains: Chains) -> None:
    with pytest.raises(NotInReference) as caught:
        read_designation(chains, "16C")
    assert set(caught.value.nearest[:2]) == {"16A", "16B"}
