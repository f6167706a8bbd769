"""Attachments over HTTP: the catalogue by filters, one letter, and what a family of chain says of them."""

from __future__ import annotations

import pytest

PATH = "/v1/attachments"


def get(service, path=PATH, **query):
    response = service.get(path, params=query)
    assert response.status_code == 200, response.text
    return response.json()


def letters(service, **query):
    return [item["letter"] for item in get(service, **query)["items"]]


def test_every_letter_is_listed_and_reached(service, reference):
    listed = letters(service)
    assert listed == list(reference.attachments.letters)
    for letter in listed:
        sheet = get(service, f"{PATH}/{letter}")["attachment"]
        assert sheet["letter"] == letter
        rows = [sheet, *sheet["kinds"], *sheet["carries"], *sheet["families"]]
        assert all(row["provenance"]["source_id"] and row["provenance"]["confidence"] for row in rows)


def test_welded_mill_chain_may_be_welded_on_its_side_bars(service):
    answer = get(service, family="mill_welded")
    (rule,) = answer["welding"]
    assert rule["permission"] == "on_side_bars"
    assert "side bars" in rule["where"]
    assert "Before the link is hardened" in rule["when"]
    assert "pins" in rule["never"]
    assert {"A", "K", "F", "RR", "S"} <= {item["letter"] for item in answer["items"]}
    assert [caution["code"] for caution in answer["cautions"]] == ["hot_work_on_hardened_chain"]


def test_rules_of_welding_cover_every_family(service, reference):
    rules = {rule["family"]: rule for rule in get(service)["welding"]}
    assert set(rules) == {family.id for family in reference.families.families}
    assert all(rule["never"] for rule in rules.values())


@pytest.mark.parametrize(
    ("query", "expected"),
    [
        ({"standard": "ISO 606"}, {"K", "M"}),
        ({"standard": "ASME B29.12M"}, {"A", "K"}),
        ({"carries": "bucket"}, {"A", "K", "G"}),
        ({"form": "extended_pin"}, {"D"}),
        ({"family": "silent"}, set()),
        ({"family": "bushed_steel", "form": "straight_lug"}, set()),
    ],
    ids=lambda given: str(given) if isinstance(given, dict) else "",
)
def test_filters_hold_together(service, query, expected):
    assert set(letters(service, **query)) == expected


def test_a_bent_lug_with_two_holes_on_each_side(service):
    """A handbook: K-1 or K-2 by the number of bolt holes on one side, A attachments on both sides of the chain."""
    sheet = get(service, f"{PATH}/k-2")["attachment"]
    kinds = {kind["kind"]: kind for kind in sheet["kinds"]}
    assert kinds["K2"]["holes_in_each_lug"] == 2
    assert (sheet["sides"], sheet["form"]) == ("both", "bent_lug")
    assert kinds["K2"]["provenance"]["confidence"] == "published"


def test_rules_of_spacing_hands_and_closing_are_told(service):
    said = " ".join(rule["statement"] for rule in get(service)["rules"])
    for words in ("even spacing keeps", "multiple of every spacing", "mirrored pair", "matched set"):
        assert words in said


def test_dimensions_are_said_to_be_missing_and_where_they_are_printed(service):
    for answer in (get(service), get(service, f"{PATH}/A1")):
        assert "Dimensions of attachments are not held" in answer["not_held"]
        assert "ISO 606" in answer["not_held"]


def test_a_copy_that_is_current_is_not_sent_again(service):
    first = service.get(PATH, params={"family": "roller"})
    again = service.get(PATH, params={"family": "roller"}, headers={"If-None-Match": first.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    assert service.get(PATH).headers["etag"] != first.headers["etag"]


REFUSED = [
    (PATH, {"family": "paper"}, 422, "entry_unknown", "?family"),
    (PATH, {"standard": "ISO 607"}, 422, "entry_unknown", "?standard"),
    (PATH, {"form": "bent"}, 422, "enum_unknown", "?form"),
    (PATH, {"carries": "Becher"}, 422, "enum_unknown", "?carries"),
    (PATH, {"letter": "A"}, 422, "field_unknown", "?letter"),
    (f"{PATH}/Z9", {}, 404, "entry_unknown", ""),
    (f"{PATH}/A999", {}, 404, "entry_unknown", ""),
    (f"{PATH}/A%C2%B2", {}, 404, "entry_unknown", ""),
]


@pytest.mark.parametrize(("path", "query", "status", "code", "pointer"), REFUSED, ids=str)
def test_refused(service, path, query, status, code, pointer):
    response = service.get(path, params=query)
    assert response.status_code == status, response.text
    assert (code, pointer) in {(fault["code"], fault["pointer"]) for fault in response.json()["errors"]}


def test_a_family_names_its_attachments(service, reference):
    for family in reference.families.families:
        said = get(service, f"/v1/families/{family.id}")["attachments"]
        expected = [(row.letter, row.standing) for row in reference.attachments.of_family(family.id)]
        assert [(row["letter"], row["standing"]) for row in said["carries"]] == expected
        assert said["welding"]["family"] == family.id
        assert said["link_pattern"] == reference.attachments.links[family.id].pattern


def test_letters_of_descriptions_are_found_here(service):
    """What a description of a stock item names is explained by this resource."""
    texts = ["CHAIN 40 ATT K1 EVERY 4TH", "60 SA-1 ATT", "80-1 D3 ATTACHMENT"]
    answer = service.post("/v1/designation-matches", {"items": [{"text": text} for text in texts]}).json()
    named = [code for item in answer["items"] for code in item["attachments"]]
    assert named == ["K1", "SA1", "D3"]
    for code in named:
        assert code in {kind["kind"] for kind in get(service, f"{PATH}/{code}")["attachment"]["kinds"]}
