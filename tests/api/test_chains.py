"""Sizes over HTTP: filters against the tables themselves, paging, conditional requests, and wrong input by table."""

from __future__ import annotations

from collections import Counter
from urllib.parse import quote

import pytest

from service.reference.chains import load_chains

PATH = "/v1/chains"
SIZES = load_chains().sizes


def get(service, path=PATH, **query):
    response = service.get(path, params=query)
    assert response.status_code == 200, response.text
    return response.json()


def pages(service, **query):
    """Every item of a filter, page by page."""
    found, total, cursor = [], None, {}
    while True:
        page = get(service, **query, **cursor)
        assert total in (None, page["total"])
        total = page["total"]
        found += page["items"]
        if "next_cursor" not in page:
            assert len(found) == total
            return found
        cursor = {"cursor": page["next_cursor"]}


def test_pages_join_to_every_size_once(service):
    listed = [item["designation"] for item in pages(service, limit=97)]
    assert len(listed) == len(set(listed))
    assert set(listed) == {size.designation for size in SIZES}


def test_order_is_stable_by_family_and_pitch(service):
    items = pages(service, limit=500)
    families = [item["family"] for item in items]
    assert families == sorted(families, key=families.index)
    silent = [item["pitch"]["value"] for item in items if item["family"] == "silent"]
    assert silent == sorted(silent)


def test_filters_hold_together(service):
    items = pages(service, family="roller", standard="iso 606", min_pitch_mm=12.7, max_pitch_mm=25.4, strand_count=2)
    wanted = {"08A", "08B", "10A", "10B", "12A", "12B", "16A", "16B", "12AH", "16AH"}
    assert {item["designation"] for item in items} == wanted


def test_pitch_limits_hold_for_figures_printed_in_inches(service):
    items = pages(service, family="roller", min_pitch_mm=9.525, max_pitch_mm=9.525)
    assert {item["designation"] for item in items} == {"35", "06B", "06C"}


def test_strength_counts_the_strands_asked(service):
    """A row of 80-2 prints 25,000 lbf (111,206 N), one of 80 prints 12,500 lbf."""
    query = {"standard": "ASME B29.1", "series": "standard", "max_pitch_mm": 25.4, "min_tensile_strength_n": 111_000}
    assert "80" not in {item["designation"] for item in pages(service, **query)}
    assert "80" in {item["designation"] for item in pages(service, strand_count=2, **query)}


def test_name_is_taken_literally(service):
    assert get(service, name_contains="%")["total"] == 0
    assert get(service, name_contains="*")["total"] == 0
    assert get(service, name_contains="' or 1=1 --")["total"] == 0
    named = {item["designation"] for item in pages(service, name_contains="asa 8")}
    assert named == {"80", "80H"}


@pytest.mark.parametrize(
    ("path", "designation", "strands"),
    [
        ("80", "80", 1),
        ("80-2", "80", 2),
        (" 80\u00a0-\u00a02 ", "80", 2),
        ("\uff18\uff10", "80", 1),
        ("ASA 80", "80", 1),
        ("#80-3", "80", 3),
        ("C2080H", "C2080H", 1),
        ("BL 8-34".replace(" ", "").replace("-", ""), "BL834", 1),
        ("EN 818-7 10x30", "EN 818-7 10x30", 1),
        ("SBS102-1/2", "SBS102-1/2", 1),
        ("13 x 36", "DIN 766 13x36", 1),
    ],
)
def test_reads_the_name_in_the_path(service, path, designation, strands):
    chain = get(service, f"{PATH}/{quote(path, safe='')}")
    assert (chain["designation"], chain["strand_count"]) == (designation, strands)


def test_every_size_has_a_sheet_whose_sources_resolve(service):
    for size in SIZES:
        chain = get(service, f"{PATH}/{quote(size.designation, safe='')}")
        known = {source["id"] for source in chain["sources"]}
        rows = [chain, *chain["aliases"], *chain["figures"], *chain["relations"]]
        assert {row["provenance"]["source_id"] for row in rows} <= known
        preferred = Counter(figure["quantity"] for figure in chain["figures"] if figure["preferred"])
        assert preferred == Counter({figure["quantity"]: 1 for figure in chain["figures"]}), size.designation


def test_disagreeing_figures_stand_side_by_side(service):
    """Two sources print other strengths of one leaf chain; both are shown and one is preferred."""
    disagreeing = next(
        size
        for size in SIZES
        if len({(f.value, f.source_id) for f in size.figures if f.quantity == "minimum_tensile_strength"}) > 1
        and size.row.max_strand_count == 1
    )
    figures = get(service, f"{PATH}/{disagreeing.designation}")["figures"]
    strengths = [figure for figure in figures if figure["quantity"] == "minimum_tensile_strength"]
    assert len({figure["provenance"]["source_id"] for figure in strengths}) > 1
    assert sum(figure["preferred"] for figure in strengths) == 1


def test_units_are_those_asked(service):
    metric, inch = (
        {f["quantity"]: f["value"] for f in get(service, f"{PATH}/80-2", units=units)["figures"]}
        for units in ("metric", "inch")
    )
    assert metric["pitch"] == {"value": 25.4, "unit": "mm"}
    assert inch["pitch"] == {"value": 1.0, "unit": "in"}
    assert inch["minimum_tensile_strength"] == {"value": 25000.0, "unit": "lbf"}


def test_figures_are_those_of_the_strands(service):
    for strands in (1, 2, 3):
        figures = get(service, f"{PATH}/16B-{strands}")["figures"]
        assert {figure.get("strand_count", strands) for figure in figures} == {strands}


NOTES = [
    # size, code, word of its message
    ("80H", "series_differs", "heavy series of 80"),
    ("80", "series_differs", "80H"),
    ("2080", "double_pitch", "twice the pitch"),
    ("C2082H", "look_alike", "C2080H"),
    ("40", "look_alike", "41"),
    ("41", "look_alike", "40"),
    ("10B", "look_alike", "10A"),
    ("LL1644", "look_alike", "BL1644 (leaf, bl, pitch 50.8 mm)"),
    ("WR78", "look_alike", "H78"),
    ("WH78", "look_alike", "WR78"),
    ("AL844", "series_not_current", "no current"),
    ("35", "size_note", "No rollers"),
]


@pytest.mark.parametrize(("size", "code", "word"), NOTES, ids=[f"{size} {code}" for size, code, _ in NOTES])
def test_notes(service, size, code, word):
    messages = [note["message"] for note in get(service, f"{PATH}/{size}")["notes"] if note["code"] == code]
    assert any(word in message for message in messages), messages


def test_plain_number_and_its_name_in_the_other_standard(service):
    assert get(service, f"{PATH}/80")["also_listed_as"] == ["16A"]
    assert get(service, f"{PATH}/16A")["also_listed_as"] == ["80"]


def test_lifting_chain_carries_cautions(service):
    for name in ("BL834", "EN 818-7 10x30"):
        codes = {caution["code"] for caution in get(service, f"{PATH}/{name}")["cautions"]}
        assert {"competent_person", "overhead_lifting"} <= codes
    assert get(service, f"{PATH}/80")["cautions"] == []


def test_recalled_figures_are_said_to_be_recalled(service):
    chain = get(service, f"{PATH}/WR78")
    assert "memory" in {figure["provenance"]["confidence"] for figure in chain["figures"]}
    assert "figure_from_memory" in {note["code"] for note in chain["notes"]}


@pytest.mark.parametrize("path", [PATH, f"{PATH}/80-2"])
def test_conditional_requests(service, path):
    first = service.get(path)
    tag = first.headers["etag"]
    assert service.get(path).headers["etag"] == tag
    for sent in (tag, f"W/{tag}", f'"other", {tag}', "*"):
        again = service.get(path, headers={"If-None-Match": sent})
        assert (again.status_code, again.content) == (304, b"")
        assert again.headers["etag"] == tag
    assert service.get(path, headers={"If-None-Match": '"other"'}).status_code == 200


def test_head_answers_like_get_without_a_body(service):
    response = service.request("HEAD", f"{PATH}/80-2")
    whole = service.get(f"{PATH}/80-2")
    assert response.status_code == 200
    assert response.headers["content-length"] == str(len(whole.content))
    assert response.headers["etag"] == whole.headers["etag"]


UNKNOWN = [
    # name in the path, code of the fault, a candidate
    ("08", "designation_ambiguous", "08A"),
    ("16", "designation_ambiguous", "16B"),
    ("80B", "designation_ambiguous", "80"),
    ("16D", "designation_unknown", "16A"),
    ("O8B", "designation_unknown", "08B"),
    ("I6B", "designation_unknown", "16B"),
    ("BL843", "designation_unknown", "BL834"),
    ("80-0", "strands_out_of_range", None),
    ("80-99", "strands_out_of_range", None),
    ("80-2-3", "designation_unreadable", None),
    ("10x30", "application_needed", "EN 818-7 10x30"),
    ("10X30", "application_needed", "EN 818-2 10x30"),
    ("10 × 30", "application_needed", "EN 818-7 10x30"),
    ("10-30", "designation_ambiguous", "EN 818-7 10x30"),
    ("10.30", "designation_ambiguous", "EN 818-2 10x30"),
    ("30118847", "not_a_designation", None),
    ("420", "vehicle_series", None),
    ("520H", "vehicle_series", None),
    ("%", "designation_unknown", None),
    ("<script>alert(1)</script>", "designation_unknown", None),
]


@pytest.mark.parametrize(("name", "code", "candidate"), UNKNOWN, ids=[case[0] for case in UNKNOWN])
def test_a_name_of_no_size_or_of_several(service, name, code, candidate):
    response = service.get(f"{PATH}/{quote(name, safe='')}")
    problem = response.json()
    assert response.status_code == 404, problem
    assert [fault["code"] for fault in problem["errors"]] == [code]
    assert problem["errors"][0]["hint"]
    assert candidate is None or candidate in problem["candidates"]


REFUSED = [
    # query, code, parameter
    ({"limit": "0"}, "paging_invalid", "?limit"),
    ({"limit": "-1"}, "paging_invalid", "?limit"),
    ({"limit": "501"}, "paging_invalid", "?limit"),
    ({"limit": "1e9"}, "paging_invalid", "?limit"),
    ({"limit": "abc"}, "paging_invalid", "?limit"),
    ({"offset": "abc"}, "paging_invalid", "?offset"),
    ({"page": "2"}, "paging_invalid", "?page"),
    ({"q": ""}, "field_unknown", "?q"),
    ({"family": "Roller"}, "enum_unknown", "?family"),
    ({"family": "Rollenkette"}, "enum_unknown", "?family"),
    ({"name_contains": ""}, "query_too_short", "?name_contains"),
    ({"name_contains": "x" * 61}, "text_too_long", "?name_contains"),
    ({"strand_count": "0"}, "must_be_positive", "?strand_count"),
    ({"strand_count": "1.5"}, "must_be_whole", "?strand_count"),
    ({"min_pitch_mm": "-1"}, "must_not_be_negative", "?min_pitch_mm"),
    ({"min_pitch_mm": "12,7"}, "decimal_comma", "?min_pitch_mm"),
    ({"units": "imperial"}, "enum_unknown", "?units"),
    ({"cursor": "MDAwMDAwMDAwMDAwLmZmZmZmZmZmLjUw"}, "cursor_expired", "?cursor"),
    ({"cursor": "not a cursor"}, "cursor_invalid", "?cursor"),
    ({"cursor": "é"}, "cursor_invalid", "?cursor"),
    ({"cursor": ""}, "cursor_invalid", "?cursor"),
]


@pytest.mark.parametrize(("query", "code", "pointer"), REFUSED, ids=[f"{case[0]}" for case in REFUSED])
def test_refused_filters(service, query, code, pointer):
    response = service.get(PATH, params=query)
    problem = response.json()
    assert response.status_code == 422, problem
    assert (pointer, code) in {(fault["pointer"], fault["code"]) for fault in problem["errors"]}, problem["errors"]


def test_all_faults_of_a_query_at_once(service):
    problem = service.get(PATH, params={"limit": "0", "family": "x", "offset": "1"}).json()
    assert len(problem["errors"]) == 3


def test_a_cursor_serves_its_own_filters_only(service):
    cursor = get(service, family="silent", limit=2)["next_cursor"]
    response = service.get(PATH, params={"family": "leaf", "limit": 2, "cursor": cursor})
    assert [fault["code"] for fault in response.json()["errors"]] == ["cursor_invalid"]
    assert get(service, family="silent", limit=3, cursor=cursor)["items"]
