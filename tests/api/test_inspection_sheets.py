"""Inspection sheets: the page holds the figures of the checks, escapes every text and loads nothing from outside."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from typing import Any

import pytest

PATH = "/v1/inspection-sheets"
PAGE = {"accept": "text/html"}


def mm(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "mm"}


DRIVE: dict[str, Any] = {
    "client_ref": "C-104",
    "chain": "80",
    "length": mm(625.4),
    "pitch_count": 24,
    "tension_state": "tight_span",
    "instrument": {"accuracy_class": "II", "division": mm(1)},
    "large_wheel_teeth": 57,
    "centre_type": "adjustable",
}
MAST: dict[str, Any] = {
    "client_ref": "F-12 left",
    "chain": "BL834",
    "length": {"value": 12.375, "unit": "in"},
    "pins_counted": 13,
    "tension_state": "tight_span",
    "units": "inch",
}
HOIST: dict[str, Any] = {
    "client_ref": "H-3",
    "chain": "EN 818-7 10x30",
    "hoist_drive": "hand",
    "link_count": 11,
    "inside_length": mm(335.2),
}
ROUND: dict[str, Any] = {"chain_items": [DRIVE, MAST], "load_chain_items": [HOIST]}


class Page(HTMLParser):
    """The words of a page: rows of cells, and all tags with their attributes."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.rows: list[list[str]] = []
        self.words: list[str] = []
        self._cell = False
        self.feed(text)

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attributes)))
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append("")
            self._cell = True
        if tag == "br" and self._cell:
            self.rows[-1][-1] += "\n"

    def handle_endtag(self, tag: str) -> None:
        if tag in ("td", "th"):
            self._cell = False

    def handle_data(self, data: str) -> None:
        self.words.append(data)
        if self._cell:
            self.rows[-1][-1] += data

    def row(self, name: str) -> list[str]:
        (found,) = [row for row in self.rows if len(row) > 1 and row[1] == name]
        return found


def page(service: Any, **body: Any) -> Page:
    response = service.post(PATH, body, headers=PAGE)
    assert response.status_code == 200, response.text
    return Page(response.text)


def sheet(service: Any, **body: Any) -> dict[str, Any]:
    response = service.post(PATH, body)
    assert response.status_code == 200, response.text
    return dict(response.json())


def test_rows_hold_the_answers_of_the_checks_themselves(service):
    rows = sheet(service, **ROUND)["rows"]
    assert [row["number"] for row in rows] == [1, 2, 3]
    assert rows[0]["check"] == service.post("/v1/elongation-checks", DRIVE).json()
    assert rows[1]["check"] == service.post("/v1/elongation-checks", MAST).json()
    assert rows[2]["load_chain_check"] == service.post("/v1/load-chain-wear-checks", HOIST).json()


def test_the_page_shows_the_figures_of_the_data(service):
    rows = sheet(service, **ROUND)["rows"]
    shown = page(service, **ROUND)
    result = rows[0]["check"]["result"]
    assert shown.row("C-104")[2:10] == [
        "80",
        "24",
        f"{result['measured_length']['value']:.2f} mm",
        f"{result['nominal_length']['value']:.2f} mm",
        f"{result['length_at_limit']['value']:.2f} mm",
        f"{result['elongation_percent']:.2f} %\n± {result['uncertainty_percent']:.2f}",
        f"{result['limit']['percent']:.2f} %",
        "plan renewal",
    ]
    hoist = rows[2]["load_chain_check"]["result"]["criteria"][0]
    assert f"{hoist['measured_percent']:.2f} % of {hoist['limit_percent']:.2f} %" in shown.row("H-3")[4]


def test_worked_by_hand(service):
    # 24 pitches of 25.4 mm are 609.6 mm; 625.4 is 2.59 % more; 3 % more is 627.888 mm
    assert page(service, **ROUND).row("C-104")[4:8] == ["625.40 mm", "609.60 mm", "627.89 mm", "2.59 %\n± 0.12"]


def test_both_units_where_asked(service):
    # E14: 625.4 mm are 24.622 in, 12.375 in are 314.325 mm
    shown = page(service, **ROUND, dual_units=True)
    assert shown.row("C-104")[4] == "625.40 mm\n(24.622 in)"
    assert shown.row("F-12 left")[4] in ("12.375 in\n(314.32 mm)", "12.375 in\n(314.33 mm)")


def test_a_chain_that_is_out_stands_out_without_colour(service):
    text = service.post(PATH, {"chain_items": [MAST]}, headers=PAGE).text
    assert "<strong>REMOVE FROM SERVICE</strong>" in text
    assert set(re.findall(r"#[0-9a-f]{3,6}\b", text)) <= {"#000", "#fff"}


def test_what_was_not_measured_is_left_open(service):
    items = [{"client_ref": "F-12 right", "chain": "BL834", "findings": ["turned_pin"]}]
    body = {"chain_items": items, "load_chain_items": [{"client_ref": "H-4", "chain": "EN 818-7 10x30"}]}
    made = sheet(service, **body, blank_rows=2)
    assert made["counts"] == {"measured": 0, "refused": 0, "not_measured": 2, "blank": 2}
    assert made["rows"][0]["findings"][0]["least_status"] == "remove_from_service"
    shown = page(service, **body, blank_rows=2)
    assert shown.row("F-12 right")[3:10] == [""] * 7
    assert "a pin has turned in its plates (remove from service)" in shown.row("F-12 right")[10]
    assert shown.row("H-4")[3:6] == [""] * 3
    blank = [row for row in shown.rows if row[0] in ("3", "4")]
    assert [set(row[1:]) for row in blank] == [{""}, {""}]


def test_a_refused_item_spoils_no_other_and_is_told(service):
    items = [DRIVE, {**DRIVE, "client_ref": "C-105", "pitch_count": None, "pins_counted": 1}, {"chian": "80"}, 7]
    rows = sheet(service, chain_items=items)["rows"]
    assert [row["state"] for row in rows] == ["measured", "refused", "refused", "refused"]
    assert rows[2]["problem"]["errors"][0]["pointer"] == "/chain_items/2/chian"
    assert "Not judged" in page(service, chain_items=items).row("C-105")[10]


def test_no_certificate_and_room_to_sign(service):
    shown = page(service, **ROUND)
    text = " ".join(shown.words)
    assert "no certificate and no permission" in text
    assert [row for row in shown.rows if row[0] == "Competent person"] == [
        ["Competent person", "Name", "Signature", "Date"]
    ]
    assert re.search(r"\b(safe|safely|fit to lift|approved|certified)\b", text, re.IGNORECASE) is None


def test_cautions_and_sources_stand_on_the_page(service):
    text = " ".join(page(service, **ROUND).words)
    assert "A competent person must examine lifting chain" in text
    assert "isolate every source of energy" in text
    assert "TM 10-3930-671-24" in text
    assert "(published)" in text


HOSTILE = '</title><script>alert(1)</script><img src="http://a.invalid/x.png" onerror=x> & \'"'


@pytest.mark.parametrize("place", ["title", "place", "reference", "client_ref", "own_chain"])
def test_texts_of_the_caller_are_escaped(service, place):
    # E15
    body: dict[str, Any] = {"chain_items": [DRIVE]}
    if place == "client_ref":
        body["chain_items"] = [{**DRIVE, "client_ref": HOSTILE}]
    elif place == "own_chain":
        own = {"name": HOSTILE, "pitch": mm(25.4)}
        body["chain_items"] = [{**{k: v for k, v in DRIVE.items() if k != "chain"}, "own_chain": own}]
    else:
        body[place] = HOSTILE
    shown = page(service, **body)
    assert {tag for tag, _ in shown.tags} <= {
        "html", "head", "meta", "title", "style", "body", "header", "h1", "h2", "p", "bdi", "table", "thead", "tbody",
        "tr", "th", "td", "br", "strong", "ul", "li", "footer",
    }  # fmt: skip
    assert HOSTILE in "".join(shown.words)


def test_a_refused_text_is_escaped_too(service):
    shown = page(service, chain_items=[{"client_ref": "x", "chain": "<script>"}])
    assert "script" not in {tag for tag, _ in shown.tags}


def test_nothing_comes_from_outside(service):
    response = service.post(PATH, {**ROUND, "blank_rows": 3}, headers=PAGE)
    assert response.headers["content-type"] == "text/html; charset=utf-8"
    assert response.headers["content-language"] == "en"
    assert "default-src 'none'" in response.headers["content-security-policy"]
    assert not re.search(r"https?:|//[a-z]|@import|url\(", response.text)
    attributes = {name for _, given in Page(response.text).tags for name in given}
    assert attributes <= {"lang", "charset", "class", "scope"}


@pytest.mark.parametrize(("paper", "size"), [("a4", "A4 landscape"), ("letter", "letter landscape")])
def test_paper(service, paper, size):
    assert f"@page {{ size: {size}; }}" in service.post(PATH, {**ROUND, "paper": paper}, headers=PAGE).text


def test_an_empty_sheet_says_so(service):
    # E12
    assert [warning["code"] for warning in sheet(service)["warnings"]] == ["sheet_empty"]
    text = " ".join(page(service, blank_rows=5).words)
    assert "there is nothing to report" in text
    assert "None: nothing was calculated." in text


def test_another_language_falls_back_to_english(service):
    # E13
    response = service.post(PATH, ROUND, headers={**PAGE, "accept-language": "xx"})
    assert (response.status_code, response.headers["content-language"]) == (200, "en")


def test_the_same_round_gives_the_same_bytes(service):
    once, again = (service.post(PATH, ROUND, headers=PAGE).content for _ in range(2))
    assert once == again


@pytest.mark.parametrize("length", [1, 120])
def test_titles_up_to_120_characters(service, length):
    assert sheet(service, title="t" * length)["title"] == "t" * length


REFUSED = [
    ("E16 long title", {"title": "x" * 5000}, "text_too_long", "/title"),
    ("title of 121", {"title": "x" * 121}, "text_too_long", "/title"),
    ("empty title", {"title": ""}, "text_invalid", "/title"),
    ("line break in the title", {"title": "a\nb"}, "text_invalid", "/title"),
    ("61 blank rows", {"blank_rows": 61}, "number_out_of_range", "/blank_rows"),
    ("half a row", {"blank_rows": 0.5}, "must_be_whole", "/blank_rows"),
    ("101 items", {"chain_items": [DRIVE] * 101}, "too_many_items", "/chain_items"),
    ("a logo", {"logo": "x"}, "field_unknown", "/logo"),
    ("other paper", {"paper": "a3"}, "enum_unknown", "/paper"),
]


@pytest.mark.parametrize(("what", "body", "code", "pointer"), REFUSED, ids=[case[0] for case in REFUSED])
def test_refused_input(service, what, body, code, pointer):
    response = service.post(PATH, body, headers=PAGE)
    assert response.status_code == 422, (what, response.text)
    assert (code, pointer) in {(fault["code"], fault["pointer"]) for fault in response.json()["errors"]}


def test_other_forms_are_not_offered(service):
    assert service.post(PATH, ROUND, headers={"accept": "application/pdf"}).status_code == 406
