"""Layouts of attachments over HTTP: worked cases by hand, a walk link by link, strands, and wrong input by table."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

PATH = "/v1/attachment-layouts"
SIX_INCH = {"pitch": {"value": 152.4, "unit": "mm"}}


def one(kind: str = "K2", every: int = 4, **more: Any) -> dict[str, Any]:
    return {"kind": kind, "every": every, **more}


def body(*attachments: dict[str, Any], **more: Any) -> dict[str, Any]:
    sent = {"own_chain": SIX_INCH, "family": "bushed_steel", "pitch_count": 216, "attachments": list(attachments)}
    return {name: value for name, value in {**sent, **more}.items() if value is not None}


def result(service, *attachments: dict[str, Any], **more: Any) -> dict[str, Any]:
    response = service.post(PATH, body(*attachments, **more))
    assert response.status_code == 200, response.text
    return response.json()["result"]


def test_every_fourth_of_214_pitches_leaves_a_short_space(service):
    """L29: 54 lugs, two pitches over the joint; 212 or 216 pitches close."""
    found = result(service, one(), pitch_count=214)
    (laid,) = found["sets"]
    assert (laid["count_on_each_strand"], laid["pitches_at_joint"], laid["closes"]) == (54, 2, False)
    assert laid["joint_difference"]["value"] == pytest.approx(-2 * 152.4)
    assert [near["pitch_count"] for near in found["nearest_closing"]] == [212, 216]
    assert found["nearest_closing"][0]["length"]["value"] == pytest.approx(212 * 152.4)
    assert (found["closes"], found["joins_without_offset_link"]) == (False, True)


def test_a_mirrored_pair_with_lugs_inwards(service):
    """Two strands of 216 pitches, a lug every fourth: 54 right-hand ones on one strand, 54 left-hand on the other."""
    lug = one("A2", hand="right", mass={"value": 1.5, "unit": "kg"})
    found = result(service, lug, strand_count=2, strand_pairing="mirrored")
    lines = [(strand["strand"], line["hand"], line["count"]) for strand in found["strands"] for line in strand["lines"]]
    assert lines == [(1, "right", 54), (2, "left", 54)]
    assert found["strands"][0]["added_mass"]["value"] == pytest.approx(54 * 1.5)
    assert found["strands"][0]["added_mass_per_length"]["value"] == pytest.approx(1.5 / (4 * 0.1524))
    assert "54 A2 right hand on pin links, every 4th pitch from link 1" in found["strands"][0]["order"]
    assert found["sets"][0]["count_on_all_strands"] == 108


def test_hands_by_turns_are_ordered_by_their_own_places(service):
    """Every fourth of 24, hands by turns: left on 1, 9, 17 and right on 5, 13, 21; a lug alone has its link."""
    found = result(service, one("A1", hand="alternating"), pitch_count=24)
    lines = found["strands"][0]["lines"]
    assert [(line["count"], line["first_link"], line["every"]) for line in lines] == [(3, 1, 8), (3, 5, 8)]
    alone = result(service, one("A1", 24, hand="left"), pitch_count=24)["strands"][0]
    assert alone["order"] == "Strand 1: 24 pitches, 1 A1 left hand on pin link 1."


def test_spacing_new_and_worn(service):
    """609.6 mm new; 2 % longer is 621.792 mm."""
    found = result(service, one(), elongation_percent=2)
    assert found["sets"][0]["spacing"]["value"] == pytest.approx(609.6)
    assert found["sets"][0]["worn_spacing"]["value"] == pytest.approx(621.792)
    assert found["worn_length"]["value"] == pytest.approx(216 * 152.4 * 1.02)


def test_odd_spacing_comes_on_both_kinds_of_link_by_turns(service):
    """Every third of 18: links 1, 4, 7, 10, 13, 16, of which three are outer; it repeats on its kind after six."""
    found = result(service, one("SK1", 3), chain="60", own_chain=None, family=None, pitch_count=18)
    assert [(line["on"], line["count"]) for line in found["strands"][0]["lines"]] == [("outer", 3), ("inner", 3)]
    assert (found["closing_multiple"], found["closes"]) == (6, True)
    # Each kind of link is ordered by its own places: the outer from link 1, the inner from link 4, each every sixth.
    assert [(line["first_link"], line["every"]) for line in found["strands"][0]["lines"]] == [(1, 6), (4, 6)]
    assert "on pin links, every 6th pitch from link 1; 3 SK1" in found["strands"][0]["order"]
    assert found["strands"][0]["order"].endswith("on roller links, every 6th pitch from link 4.")
    odd = result(service, one("SK1", 3), chain="60", own_chain=None, family=None, pitch_count=21)
    assert (odd["evenly_spaced"], odd["joins_without_offset_link"], odd["closes"]) == (True, False, False)


def test_identical_links_close_at_any_multiple_of_the_spacing(service):
    found = result(service, one("H1", 5), chain="WR78", own_chain=None, family=None, pitch_count=85)
    assert (found["link_pattern"], found["closing_multiple"], found["closes"]) == ("identical", 5, True)
    line = {"set_index": 0, "kind": "H1", "hand": "both", "count": 17, "first_link": 1, "every": 5}
    assert found["strands"][0]["lines"] == [line]
    assert "outer_link" not in found


def test_hands_by_turns_close_after_two_spacings(service):
    found = result(service, one("A1", 4, hand="alternating"), pitch_count=220)
    assert found["evenly_spaced"] is False
    assert found["closing_multiple"] == 8
    assert [(line["hand"], line["count"]) for line in found["strands"][0]["lines"]] == [("left", 28), ("right", 27)]


def test_the_kind_of_link_chooses_the_first_link(service):
    inner = result(service, one(on="inner"))
    assert inner["sets"][0]["start"] == 2
    assert inner["strands"][0]["first_plain_outer_link"] == 1
    outer = result(service, one("K2", 2, on="outer"))
    assert outer["sets"][0]["start"] == 1
    assert outer["strands"][0]["connecting_link_carries"] is True
    assert "first_plain_outer_link" not in outer["strands"][0]


def test_new_chain_with_attachments_may_be_longer(service):
    """A handbook gives 0.25 % for double-pitch chain with attachments: 288 pitches of 38.1 mm are 27.43 mm more."""
    found = result(service, one("K1"), chain="C2060H", own_chain=None, family=None, pitch_count=288)
    assert found["new_length"]["over_percent"] == 0.25
    assert found["new_length"]["longest"]["value"] == pytest.approx(288 * 38.1 + 27.432)
    assert found["new_length"]["provenance"]["confidence"] == "published"
    mill = result(service, one("K2"), chain="H78", own_chain=None, family=None, pitch_count=48)
    assert mill["new_length"]["over_percent"] == pytest.approx(100 * 0.75 / 120)
    assert "new_length" not in result(service, one())


def test_an_underside_below_the_rim_strikes(service):
    """Six teeth of 152.4 mm: the middle of a link stands 131.98 mm off the shaft; a rim of 270 mm leaves -3.02 mm."""
    wheel = {"teeth": 6, "rim_diameter": {"value": 270, "unit": "mm"}}
    sent = body(one(underside_height={"value": 0, "unit": "mm"}), wheel=wheel)
    answer = service.post(PATH, sent).json()
    assert answer["result"]["sets"][0]["rim_clearance"]["value"] == pytest.approx(131.982 - 135, abs=1e-3)
    assert [check["verdict"] for check in answer["checks"]] == ["fail"]
    assert "attachment_strikes_wheel" in {warning["code"] for warning in answer["warnings"]}
    clear = service.post(PATH, body(one(underside_height={"value": 10, "unit": "mm"}), wheel=wheel)).json()
    assert [check["verdict"] for check in clear["checks"]] == ["pass"]
    assert "wheel_under_attachments_not_checked" not in {warning["code"] for warning in clear["warnings"]}


def test_a_length_without_a_joint_says_nothing_of_closing(service):
    found = result(service, one(start=3), endless=False, pitch_count=10)
    assert "closes" not in found
    assert "pitches_at_joint" not in found["sets"][0]
    assert found["nearest_closing"] == []
    assert [position["link"] for position in result(service, one(start=3), endless=False, pitch_count=10,
                                                    positions="all")["positions"]] == [3, 7]  # fmt: skip


def test_the_positions_are_bounded(service):
    found = result(service, one("K2", 1), pitch_count=5000, positions="all")
    assert (len(found["positions"]), found["position_count"]) == (1000, 5000)


@given(data=st.data(), count=st.integers(2, 80), strands=st.integers(1, 3), mirrored=st.booleans())
def test_positions_and_counts_are_those_of_a_walk_along_the_links(service, data, count, strands, mirrored):
    """One set of a hand and one across, laid link by link on every strand."""
    every, start = data.draw(st.integers(1, count)), data.draw(st.integers(1, count))
    start = min(start, every)
    hand = data.draw(st.sampled_from(["left", "right", "alternating", "both"]))
    found = result(
        service,
        one("A1", every, start=start, hand=hand),
        pitch_count=count,
        strand_count=strands,
        strand_pairing="mirrored" if mirrored else "alike",
        positions="all",
    )
    expected = []
    for strand in range(1, strands + 1):
        turn = 0
        for link in range(1, count + 1):
            if (link - start) % every or link < start:
                continue
            side = hand if hand != "alternating" else ("left", "right")[turn % 2]
            if mirrored and strand % 2 == 0 and side != "both":
                side = "right" if side == "left" else "left"
            expected.append((strand, link, "outer" if link % 2 else "inner", side))
            turn += 1
    assert [(p["strand"], p["link"], p["on"], p["hand"]) for p in found["positions"]] == expected
    for strand in found["strands"]:
        mine = [entry for entry in expected if entry[0] == strand["strand"]]
        assert strand["attachment_count"] == len(mine)
        for line in strand["lines"]:
            assert line["count"] == sum(entry[2:] == (line["on"], line["hand"]) for entry in mine)
        plain = [link for link in range(1, count + 1, 2) if link not in {entry[1] for entry in mine}]
        assert strand.get("first_plain_outer_link") == (plain[0] if plain else None)


@given(count=st.integers(1, 120), every=st.integers(1, 20), alternate=st.booleans(), alike=st.booleans())
def test_a_loop_closes_where_two_rounds_of_it_look_the_same(service, count, every, alternate, alike):
    """A loop closes if the spaces round it are all alike, hands take turns throughout, and the kinds of link do."""
    every = min(every, count)
    found = result(
        service,
        one("A1", every, hand="alternating" if alternate else "left"),
        family=None,
        link_pattern="identical" if alike else "alternating",
        pitch_count=count,
    )
    links = list(range(1, count + 1, every))
    round_twice = links + [link + count for link in links]
    spaces = {after - before for before, after in pairwise(round_twice)}
    even_spaces = spaces == {every}
    hands = not alternate or len(links) % 2 == 0
    kinds = alike or count % 2 == 0
    assert found["closes"] == (even_spaces and hands and kinds)
    assert (count % found["closing_multiple"] == 0) == found["closes"]


WARNED = [
    ("L29 does not close", body(one(), pitch_count=214), "pattern_does_not_close", "212 or 216"),
    ("hands do not close", body(one("A1", 4, hand="alternating"), pitch_count=220), "pattern_does_not_close",
     "alternate over the joint; 216 or 224"),
    ("odd count", body(one("K2", 5), pitch_count=215), "odd_pitch_count", "offset link"),
    ("attachment on the offset link", body(one("K2", 5, start=5), pitch_count=215), "odd_pitch_count",
     "takes no attachment"),
    ("one hand on two strands", body(one("A2", hand="left"), strand_count=2), "hands_of_strands", "mirrored"),
    ("strands out of step", body(one(strands=[1]), one(start=2, strands=[2]), strand_count=2), "strands_out_of_step",
     "askew"),
    ("two strands", body(one(), strand_count=2), "order_as_matched_set", "2 strands"),
    ("not of this family", body(one(), family="silent"), "attachment_not_listed", "silent"),
    ("number not listed", body(one("K9")), "attachment_number_not_listed", "K9"),
    ("family not said", body(one(), family=None), "family_not_said", "own figures"),
    ("both sides by the letter of one", body(one("A2", hand="both")), "both_sides_have_a_letter", "K2"),
    ("seldom made", body(one("WK2"), chain="60", own_chain=None, family=None), "attachment_seldom", "WK2"),
    ("every outer link", body(one("K2", 2, on="outer")), "connecting_link_carries_attachment", "pin link"),
    ("wheel not known", body(one()), "wheel_under_attachments_not_checked", "underside_height"),
    ("worn", body(one("K2", 3), elongation_percent=1), "worn_spacing_is_a_mean", "mean"),
]  # fmt: skip


@pytest.mark.parametrize(("sent", "code", "word"), [case[1:] for case in WARNED], ids=[case[0] for case in WARNED])
def test_doubts_are_told(service, sent, code, word):
    messages = service.messages(PATH, sent, 200, code)
    assert any(word in message for message in messages), messages


REFUSED = [
    ("L30 spacing of nothing", body(one(every=0)), "must_be_positive", "/attachments/0/every", "every"),
    ("L30 spacing over the count", body(one(every=300)), "spacing_invalid", "/attachments/0/every", "216"),
    ("half a spacing", body(one(every=2.5)), "must_be_whole", "/attachments/0/every", "whole"),
    ("first link beyond the end", body(one(start=217), endless=False), "start_invalid", "/attachments/0/start", "216"),
    ("first link beyond the spacing", body(one(start=5)), "start_invalid", "/attachments/0/start", "first 4"),
    ("strand that there is not", body(one(strands=[2])), "strands_out_of_range", "/attachments/0/strands", "strand 2"),
    ("odd spacing on one kind", body(one(every=3, on="outer")), "spacing_changes_link", "/attachments/0/every",
     "outer"),
    ("first link of the other kind", body(one(start=2, on="outer")), "start_on_other_link", "/attachments/0/start",
     "inner link"),
    ("kinds of link that there are not", body(one(on="outer"), family="mill_welded"), "links_alike",
     "/attachments/0/on", "alike"),
    ("no side", body(one("A1")), "hand_needed", "/attachments/0/hand", "one side"),
    ("side of both sides", body(one("K1", hand="left")), "hand_not_applicable", "/attachments/0/hand", "K1"),
    ("unknown letter", body(one("Q7")), "attachment_unknown", "/attachments/0/kind", "Q7"),
    ("one place twice", body(one(), one("K1", 6, start=3)), "attachments_share_link", "/attachments/1", "link 9"),
    ("one side twice", body(one("A1", hand="left"), one("A2", 8, hand="left")), "attachments_share_link",
     "/attachments/1", "link 1"),
    ("no length", body(one(), pitch_count=None), "field_required", "/pitch_count", "length"),
    ("two lengths", body(one(), length={"value": 10, "unit": "m"}), "over_determined", "/length", "not both"),
    ("no whole number of pitches", body(one(), pitch_count=None, length={"value": 10, "unit": "m"}), "must_be_whole",
     "/length", "65.617"),
    ("shorter than a pitch", body(one(), pitch_count=None, length={"value": 1, "unit": "mm"}), "must_be_whole",
     "/length", "pitches"),
    ("longer than is laid out", body(one(), pitch_count=None, length={"value": 152400, "unit": "m"}),
     "number_out_of_range", "/length", "1000000"),
    ("family of a designation", body(one("K1"), chain="60", own_chain=None), "over_determined", "/family", "60"),
    ("family that there is not", body(one(), family="paper"), "family_unknown", "/family", "paper"),
    ("pattern of another family", body(one(), link_pattern="identical"), "over_determined", "/link_pattern",
     "alternating"),
    ("wear of 150 %", body(one(), elongation_percent=150), "implausible_elongation", "/elongation_percent", "150 %"),
    ("wheel of two teeth", body(one(underside_height={"value": 1, "unit": "mm"}), wheel={"teeth": 2, "rim_diameter":
     {"value": 100, "unit": "mm"}}), "teeth_below_minimum", "/wheel/teeth", "2 teeth"),
    ("no attachments", body(), "too_few_items", "/attachments", "0 items"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("sent", "code", "pointer", "word"), [case[1:] for case in REFUSED], ids=[case[0] for case in REFUSED]
)
def test_wrong_input(service, sent, code, pointer, word):
    response = service.post(PATH, sent)
    assert response.status_code == 422, response.text
    faults = {(fault["code"], fault["pointer"]): fault["message"] for fault in response.json()["errors"]}
    assert (code, pointer) in faults, faults
    assert word in faults[code, pointer]


def test_every_wrong_set_is_told_at_once(service):
    response = service.post(PATH, body(one("A1"), one("Q7"), one(every=300)))
    codes = [fault["code"] for fault in response.json()["errors"]]
    assert codes == ["hand_needed", "attachment_unknown", "spacing_invalid"]


def test_lugs_of_either_hand_and_pins_share_a_link(service):
    """A left and a right lug on one link, and extended pins beside them, want different places."""
    both = result(service, one("A1", hand="left"), one("A1", hand="right"), one("D3", hand="left"))
    assert both["strands"][0]["links_with_attachments"] == 54
    assert both["strands"][0]["attachment_count"] == 162
