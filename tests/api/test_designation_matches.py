"""Descriptions of stock items: a list with what a person reads in each, wrong merges forbidden, normal form stable."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest

from service.api.designation_matches import MOST_TEXTS
from service.calculations.designation_matching import DesignationMatcher
from service.calculations.designation_wording import normal_text
from service.core.item_text import MAX_TEXT, check_digit
from service.reference.catalogue import load_reference

PATH = "/v1/designation-matches"
REFERENCE = load_reference()
MATCHER = DesignationMatcher(REFERENCE)
LEAST_RIGHT = 0.98


@dataclass(frozen=True)
class Labelled:
    """A description and what a person reads in it."""

    text: str
    wanted: str
    strands: str
    component: str
    facts: dict[str, str]

    @property
    def is_size(self) -> bool:
        return self.wanted not in ("-", "!") and not self.wanted.startswith("?")


def labelled() -> list[Labelled]:
    lines = (Path(__file__).parent / "item_texts.txt").read_text(encoding="utf-8").splitlines()
    found = []
    for line in lines:
        if line and not line.startswith("## "):
            text, wanted, strands, component, facts = line.rsplit("|", 4)
            pairs = dict(fact.split("=") for fact in facts.split())
            found.append(Labelled(text.removesuffix(" "), wanted.strip(), strands.strip(), component.strip(), pairs))
    return found


LIST = labelled()


def answers(service, texts):
    found = []
    for start in range(0, len(texts), MOST_TEXTS):
        body = {"items": [{"text": text} for text in texts[start : start + MOST_TEXTS]]}
        response = service.post(PATH, body)
        assert response.status_code == 200, response.text
        found += response.json()["items"]
    return found


@pytest.fixture(scope="module")
def matched(service):
    return list(zip(LIST, answers(service, [entry.text for entry in LIST]), strict=True))


def is_right(entry: Labelled, item: dict) -> bool:
    if entry.wanted == "-":
        resolved = item["resolution"] == "none"
    elif entry.wanted == "!":
        resolved = "designation" not in item
    elif entry.wanted.startswith("?"):
        resolved = item["resolution"] == "ambiguous" and set(entry.wanted[1:].split(",")) <= set(item["candidates"])
    else:
        resolved = (item.get("designation"), str(item.get("strand_count")), item.get("component")) == (
            entry.wanted,
            entry.strands,
            entry.component,
        )
    return resolved and all(said(item, fact, value) for fact, value in entry.facts.items())


def said(item: dict, fact: str, value: str) -> bool:
    if fact == "note":
        return value in {note["code"] for note in item["notes"]}
    if fact == "pitches":
        return item["length"]["pitch_count"] == pytest.approx(float(value), rel=1e-9)
    if fact == "teeth":
        return item["teeth"] == float(value)
    field = {"material": "materials", "finish": "finishes", "variant": "variants"}.get(fact, fact)
    return value in item.get(field, [])


def test_the_list_is_long_enough_and_holds_no_text_twice():
    assert len(LIST) >= 400
    assert len({entry.text for entry in LIST}) == len(LIST)


def test_nearly_every_description_is_read_as_a_person_reads_it(matched):
    wrong = [(entry.text, item["resolution"], item.get("name")) for entry, item in matched if not is_right(entry, item)]
    assert len(wrong) <= (1 - LEAST_RIGHT) * len(matched), wrong


def test_no_description_is_merged_into_a_size_that_it_does_not_mean(matched):
    merged = [
        (entry.text, item["designation"])
        for entry, item in matched
        if "designation" in item and item["designation"] != entry.wanted
    ]
    assert merged == []


def test_what_is_settled_is_never_settled_and_left_open(matched):
    for _, item in matched:
        assert ("designation" in item) == (item["resolution"] in ("exact", "normalised", "probable"))
        if item["resolution"] == "ambiguous":
            assert item["candidates"]


def test_exact_is_a_designation_as_listed(matched):
    for entry, item in matched:
        if item["resolution"] == "exact":
            assert entry.text in (item["name"], item["designation"])
        if item["resolution"] == "normalised":
            assert item.get("leftover", []) == []


def test_normal_form_gives_itself(service, matched):
    normal = [item["normal_text"] for _, item in matched if "normal_text" in item]
    again = answers(service, normal)
    assert [item["normal_text"] for item in again] == normal
    first = [item for _, item in matched if "normal_text" in item]
    for before, after in zip(first, again, strict=True):
        for field in ("designation", "strand_count", "component", "duplicate_key"):
            assert before[field] == after[field], (before["text"], before["normal_text"])


APART = ["80", "80H", "80-2", "2080", "C2080", "16B", "80 SS", "80 NP", "80 CONN LINK", "80 OFFSET", "80B20", "80B21"]
APART += ["40", "41", "40HP", "80 A1 EVERY 2ND", "80 A1 EVERY 4TH", "BL1644", "LL1644", "WR78", "WH78", "H78"]


def test_duplicates_share_a_key_and_others_do_not(service):
    same = answers(service, ["CHAIN ROLLER 80 RIV 10FT", "80-1R", "RC80 RIVETED", "16A-1 RIV 5M", "#80-1R-10FT"])
    assert len({item["duplicate_key"] for item in same}) == 1
    apart = answers(service, APART)
    keys = [item["duplicate_key"] for item in apart]
    assert len(set(keys)) == len(keys)


def test_every_designation_and_alias_is_matched_to_its_size(service):
    sizes = REFERENCE.chains.sizes
    named = [(size, name) for size in sizes for name in (size.designation, *(alias.alias for alias in size.aliases))]
    for (size, name), item in zip(named, answers(service, [name for _, name in named]), strict=True):
        if item["resolution"] == "ambiguous":
            assert size.designation in item["candidates"], name
        else:
            assert item.get("designation") == size.designation, name


def test_words_account_for_the_whole_text(service):
    (item,) = answers(service, ["CHAIN ROLLER #80 RIV 10FT BOX LINE 3 DRYER"])
    assert " ".join(word["text"] for word in item["words"]) == "CHAIN ROLLER #80 RIV 10FT BOX LINE 3 DRYER"
    assert item["leftover"] == ["3", "DRYER"]
    assert item["resolution"] == "probable"


def test_conveyor_chain_of_two_pitches_is_no_duplicate(service):
    items = answers(service, ["M112-A-160", "DIN 8167 M112 A 160", "M112-A-200"])
    assert items[0]["duplicate_key"] == items[1]["duplicate_key"] != items[2]["duplicate_key"]


def test_feet_and_inches_are_one_length(service):
    """6 ft 3 in are 75 in, of chain 60 exactly 100 pitches; a pitch behind the feet is no part of the length."""
    items = answers(service, ["CHAIN 60 6'-3\" LG", "CHAIN 60 6FT 3IN", "CHAIN 80 10' 1\" PITCH"])
    assert [item["length"]["pitch_count"] for item in items] == pytest.approx([100, 100, 120])


def test_designations_are_explained(service):
    asme, iso, leaf = answers(service, ["80H-2", "16B-1", "BL834"])
    assert {"8: pitch 8/8 in", "H: heavy series, thicker plates", "2 strands"} <= set(asme["in_words"])
    assert "16: pitch 16/16 in" in iso["in_words"]
    assert any("3 x 4" in words for words in leaf["in_words"])


def test_lengths_come_in_the_units_asked(service):
    body = {"items": [{"text": "80 RIV 10FT"}], "units": "inch"}
    (item,) = service.post(PATH, body).json()["items"]
    assert item["length"] == {"length": {"value": 120.0, "unit": "in"}, "pitch_count": 120.0, "stated_in": "length"}


def test_references_come_back_in_order_with_counts(service):
    body = {"items": [{"text": "80", "client_ref": "b"}, {"text": "16"}, {"text": "80", "client_ref": "a"}]}
    answer = service.post(PATH, body).json()
    assert [item.get("client_ref") for item in answer["items"]] == ["b", None, "a"]
    assert [item["index"] for item in answer["items"]] == [0, 1, 2]
    assert answer["counts"] == {"exact": 2, "normalised": 0, "probable": 0, "ambiguous": 1, "none": 0}


ODD = [
    "",
    "   ",
    "\x00\x01",
    "\u202e80",
    "80\u0301",
    "é" * 255,
    "80 " * 85,
    "X" * 255,
    "1/0",
    "0/0 PITCH",
    "🔗 80",
    "١٦",
]


@pytest.mark.parametrize("text", ODD, ids=range(len(ODD)))
def test_odd_text_never_crashes(service, text):
    (item,) = answers(service, [text])
    assert item["resolution"] in ("exact", "normalised", "probable", "ambiguous", "none")


@pytest.mark.parametrize(
    ("text", "resolution", "code", "candidate"),
    [
        ("80-2-3", "none", "designation_unreadable", "80"),
        ("16C", "none", "suffix_unknown", "16A"),
        ("10-30", "ambiguous", "application_needed", "EN 818-7 10x30"),
        ("10x30", "ambiguous", "application_needed", "EN 818-2 10x30"),
        ("CHAIN DIN 8187 80", "ambiguous", "standard_differs", "16B"),
        ("DIN 8188 16B DUPLEX", "ambiguous", "standard_differs", "16A"),
        ("ANSI 08B-1", "ambiguous", "standard_differs", "40"),
    ],
)
def test_a_name_that_cannot_be_taken_says_why_and_what_is_near(service, text, resolution, code, candidate):
    (item,) = answers(service, [text])
    assert item["resolution"] == resolution
    assert [note["code"] for note in item["notes"]] == [code]
    assert candidate in item["candidates"]


def test_a_text_beyond_the_limit_is_not_read(service):
    (item,) = answers(service, ["80 " + "X" * MAX_TEXT])
    assert (item["resolution"], [note["code"] for note in item["notes"]]) == ("none", ["text_too_long"])
    assert service.post(PATH, {"items": [{"text": "X" * 1001}]}).status_code == 422


REFUSED = [
    ({}, "field_required", "/items"),
    ({"items": []}, "too_few_items", "/items"),
    ({"items": [{"text": "80"}] * 1001}, "too_many_items", "/items"),
    ({"items": [{"text": 80}]}, "number_as_identifier", "/items/0/text"),
    ({"items": [{"text": "80"}, {}]}, "field_required", "/items/1/text"),
    ({"items": ["80"]}, "wrong_type", "/items/0"),
    ({"items": [{"text": "80"}], "units": "imperial"}, "enum_unknown", "/units"),
]


@pytest.mark.parametrize(("body", "code", "pointer"), REFUSED, ids=[f"{case[1]} {case[2]}" for case in REFUSED])
def test_refused(service, body, code, pointer):
    response = service.post(PATH, body)
    assert response.status_code == 422
    assert (pointer, code) in {(fault["pointer"], fault["code"]) for fault in response.json()["errors"]}


def test_check_digits_of_trade_items():
    """The specimen number of the general specifications of trade item numbers: 6 29104 15002 1 and check digit 3."""
    assert check_digit(digits="629104150021") == 3


def test_a_match_without_a_size_has_no_normal_form():
    assert normal_text(MATCHER.match("BOLT M10 X 40"), REFERENCE.item_words) is None


@pytest.mark.parametrize(("text", "other"), [("CHAIN 40 10FT", "41"), ("LL1644", "BL1644"), ("WR78", "H78")])
def test_a_size_that_has_a_look_alike_says_so(service, text, other):
    (item,) = answers(service, [text])
    assert any(note["code"] == "look_alike" and other in note["message"] for note in item["notes"])
