"""Elongation checks as CSV: the same answers as the JSON, read and written by the csv library, odd tables refused."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest

PATH = "/v1/elongation-checks/batch"
HEADER = "client_ref,chain,length.value,length.unit,pitch_count,tension_state,findings,parallel_chains"
ROWS = [
    "C-104,80,625.4,mm,24,tight_span,,",
    "C-105,16B,1562.1,mm,60,tight_span,stiff_joint red_dust_at_joints,true",
]
ITEMS: list[dict[str, Any]] = [
    {
        "client_ref": "C-104",
        "chain": "80",
        "length": {"value": 625.4, "unit": "mm"},
        "pitch_count": 24,
        "tension_state": "tight_span",
    },
    {
        "client_ref": "C-105",
        "chain": "16B",
        "length": {"value": 1562.1, "unit": "mm"},
        "pitch_count": 60,
        "tension_state": "tight_span",
        "findings": ["stiff_joint", "red_dust_at_joints"],
        "parallel_chains": True,
    },
]


def table(*rows: str, header: str = HEADER, end: str = "\r\n") -> bytes:
    return end.join([header, *rows, ""]).encode()


def send(service: Any, content: bytes, **headers: str) -> Any:
    return service.request("POST", PATH, content=content, headers={"content-type": "text/csv", **headers})


def rows_of(response: Any) -> list[dict[str, str]]:
    assert response.status_code == 200, response.text
    assert response.headers["content-type"] == "text/csv; header=present; charset=utf-8"
    return list(csv.DictReader(io.StringIO(response.text, newline=""), strict=True))


FORMS = [
    table(*ROWS),
    table(*ROWS, end="\n"),
    b"\xef\xbb\xbf" + table(*ROWS),
    table(*ROWS).rstrip(b"\r\n"),
    table(*ROWS, "", ",,,,,,,"),
    table(*(row.replace("C-10", '"C-10').replace(",80", '",80').replace(",16B", '",16B') for row in ROWS)),
    table(*ROWS).replace(b"joint red", b"joint;red"),
    table(*ROWS).replace(b"true", b"TRUE").replace(b"625.4", b" 625.40 "),
]


@pytest.mark.parametrize("content", FORMS)
def test_a_table_is_the_same_batch(service, content):
    assert send(service, content).json() == service.post(PATH, {"items": ITEMS}).json()


@pytest.mark.parametrize(
    "media_type", ["text/csv", "text/csv; charset=utf-8", 'TEXT/CSV;charset="UTF-8"', "text/csv;header=present"]
)
def test_media_types_that_are_tables(service, media_type):
    assert send(service, table(*ROWS), **{"content-type": media_type}).status_code == 200


@pytest.mark.parametrize("media_type", ["text/csv; charset=latin-1", "text/csv; header=absent", "text/plain", ""])
def test_other_media_types_name_both_that_are_read(service, media_type):
    response = send(service, table(*ROWS), **{"content-type": media_type})
    assert response.status_code == 415
    assert response.headers["accept-post"] == "application/json, text/csv"
    assert "application/json or text/csv" in response.json()["detail"]


def test_no_other_path_reads_tables(service):
    for path in ("/v1/elongation-checks", "/v1/elongation-trends/batch"):
        response = service.request("POST", path, content=table(*ROWS), headers={"content-type": "text/csv"})
        assert response.status_code == 415
        assert response.headers["accept-post"] == "application/json"
        assert service.post(path, {}, headers={"accept": "text/csv"}).status_code == 406


def test_answers_as_a_table_hold_the_figures_of_the_json(service):
    rows = rows_of(service.post(PATH, {"items": ITEMS}, headers={"accept": "text/csv"}))
    answers = [item["answer"] for item in service.post(PATH, {"items": ITEMS}).json()["items"]]
    for row, answer in zip(rows, answers, strict=True):
        result = answer["result"]
        assert float(row["elongation_percent"]) == result["elongation_percent"]
        assert (float(row["limit.percent"]), row["status"]) == (result["limit"]["percent"], result["status"])
        assert (float(row["measured_length.value"]), row["measured_length.unit"]) == (
            result["measured_length"]["value"],
            "mm",
        )
        assert row["next_step"] == result["next_step"]
        assert row["warnings"].split() == [warning["code"] for warning in answer["warnings"]]
        assert row["data_version"] == answer["versions"]["data"]
    assert [row["client_ref"] for row in rows] == ["C-104", "C-105"]
    assert rows[0]["lifting_status"] == ""


def test_the_unit_of_a_column_is_stated_once_in_its_header(service):
    header = "client_ref,chain,length [mm],inner_length [in],outer_length[ in ],pitch_count,pair_length [mm]"
    content = table("a,80,625.4,,,24,626", "b,40,,11.866,12.496,24,", "c,80,,,,24,", header=header)
    items = [
        {"client_ref": "a", "chain": "80", "length": {"value": 625.4, "unit": "mm"}, "pitch_count": 24,
         "pair_length": {"value": 626, "unit": "mm"}},
        {"client_ref": "b", "chain": "40", "inner_length": {"value": 11.866, "unit": "in"},
         "outer_length": {"value": 12.496, "unit": "in"}, "pitch_count": 24},
        {"client_ref": "c", "chain": "80", "pitch_count": 24},
    ]  # fmt: skip
    answer = send(service, content).json()
    assert answer == service.post(PATH, {"items": items}).json()
    assert [item["answer"]["result"]["method"] for item in answer["items"][:2]] == [
        "length_over_pitches",
        "roller_inside_outside_mean",
    ]
    assert answer["items"][2]["problem"]["errors"][0]["code"] == "field_required"


def test_texts_that_would_run_in_a_spreadsheet_are_made_plain(service):
    references = ["=1+1", "+1", "-1", "@SUM(A1)", "plain"]
    items = [{**ITEMS[0], "client_ref": reference} for reference in references]
    rows = rows_of(service.post(PATH, {"items": items}, headers={"accept": "text/csv"}))
    assert [row["client_ref"] for row in rows] == ["'=1+1", "'+1", "'-1", "'@SUM(A1)", "plain"]
    # Numbers stay numbers, also below zero.
    short = {**ITEMS[0], "length": {"value": 608, "unit": "mm"}}
    (row,) = rows_of(service.post(PATH, {"items": [short]}, headers={"accept": "text/csv"}))
    assert float(row["elongation_percent"]) < 0


def test_in_and_out_as_tables(service):
    out = rows_of(send(service, table(*ROWS), accept="text/csv"))
    assert out == rows_of(service.post(PATH, {"items": ITEMS}, headers={"accept": "text/csv"}))


WRONG_ROWS = [
    # a row, and the code and column of its fault
    ("x,80,625.4,mm,,tight_span,,", "pitches_missing", "/items/1/pitch_count"),
    ('x,80,"625,4",mm,24,,,', "decimal_comma", "/items/1/length/value"),
    ("x,80,625,4,mm,24,,,", "csv_row_length", "/items/1"),
    ("x,80", "csv_row_length", "/items/1"),
    ("x,80,long,mm,24,,,", "wrong_type", "/items/1/length/value"),
    ("x,80,NaN,mm,24,,,", "number_as_text", "/items/1/length/value"),
    ("x,80,1e999,mm,24,,,", "number_as_text", "/items/1/length/value"),
    ("x,80,625.4,cms,24,,,", "unit_unknown", "/items/1/length/unit"),
    ("x,80,625.4,,24,,,", "unit_missing", "/items/1/length/unit"),
    ("x,80,625.4,mm,24.5,,,", "must_be_whole", "/items/1/pitch_count"),
    ("x,80,-625.4,mm,24,,,", "must_be_positive", "/items/1/length/value"),
    ("x,80,625.4,mm,24,loose,,", "enum_unknown", "/items/1/tension_state"),
    ("x,80,625.4,mm,24,,cracked,", "enum_unknown", "/items/1/findings/0"),
    ("x,80,625.4,mm,24,,,yes", "wrong_type", "/items/1/parallel_chains"),
    ("x,99,625.4,mm,24,,,", "designation_unknown", "/items/1/chain"),
]


@pytest.mark.parametrize(("row", "code", "pointer"), WRONG_ROWS)
def test_a_wrong_row_spoils_no_other(service, row, code, pointer):
    content = table(ROWS[0], row, ROWS[1])
    answer = send(service, content).json()
    assert ["answer" in item for item in answer["items"]] == [True, False, True]
    faults = answer["items"][1]["problem"]["errors"]
    assert (code, pointer) in {(fault["code"], fault["pointer"]) for fault in faults}, faults
    told = rows_of(send(service, content, accept="text/csv"))
    assert [row["outcome"] for row in told] == ["answered", "refused", "answered"]
    assert pointer in told[1]["problem_pointers"].split()
    assert told[1]["problem_detail"]


UNREADABLE = [
    ("unknown column", table("1,2", header="chain,pitch_cuont"), "field_unknown", "/pitch_cuont"),
    ("unit not known", table("80,625", header="chain,length [parsec]"), "unit_unknown", "/length"),
    ("unit of another kind", table("80,625", header="chain,length [N]"), "unit_unknown", "/length"),
    ("no unit at all", table("80,625", header="chain,length"), "field_unknown", "/length"),
    ("unit for a count", table("80,24", header="chain,pitch_count [mm]"), "field_unknown", "/pitch_count"),
    ("twice with units", table("80,1,2", header="chain,length [mm],length [in]"), "csv_column_repeated", "/length"),
    ("value twice", table("80,1,2", header="chain,length [mm],length.value"), "csv_column_repeated", "/length/value"),
    ("semicolons", table("80;24", header="chain;pitch_count"), "field_unknown", ""),
    ("no header", table("80,24", header="80,24"), "field_unknown", "/80"),
    ("column twice", table("80,80", header="chain,chain"), "csv_column_repeated", "/chain"),
    ("empty column", table("80,1", header="chain,"), "field_unknown", "/"),
    ("no rows", table(), "too_few_items", ""),
    ("blank rows only", table(",,,,,,,", ""), "too_few_items", ""),
    ("1001 rows", table(*[ROWS[0]] * 1001), "too_many_items", ""),
    ("open quote", table('"x,80,1,mm,24,,,'), "csv_invalid", ""),
    ("Latin-1", table("½,80,1,mm,24,,,").decode().encode("latin-1"), "encoding_invalid", ""),
    ("UTF-16", table(*ROWS).decode().encode("utf-16"), "encoding_invalid", ""),
    ("JSON", b'{"items": []}', "field_unknown", ""),
]


@pytest.mark.parametrize(("what", "content", "code", "pointer"), UNREADABLE, ids=[case[0] for case in UNREADABLE])
def test_a_table_that_cannot_be_read(service, what, content, code, pointer):
    response = send(service, content)
    assert response.status_code == 422, (what, response.text)
    problem = response.json()
    assert problem["code"] == "unreadable_csv"
    assert code in {fault["code"] for fault in problem["errors"]}
    assert any(fault["pointer"].startswith(pointer) for fault in problem["errors"])


def test_five_hundred_rows_are_read(service):
    assert send(service, table(*[ROWS[0]] * 1000)).json()["counts"]["answered"] == 1000


def test_every_fault_of_a_header_is_told(service):
    problem = send(service, table("1", header="chian,length.valeu,chain,chain")).json()
    assert len(problem["errors"]) == 3


FORMULAS = ['=HYPERLINK("http://a.invalid";"x")', "+1", "-1", "@SUM(A1)", "-2+3"]


@pytest.mark.parametrize("formula", FORMULAS)
def test_no_cell_runs_as_a_formula(service, formula):
    # X42: echoed in JSON as it came, plain text for a spreadsheet
    items = [{**ITEMS[0], "client_ref": formula}, {"client_ref": formula, "chain": formula}]
    assert [item["client_ref"] for item in service.post(PATH, {"items": items}).json()["items"]] == [formula] * 2
    rows = rows_of(service.post(PATH, {"items": items}, headers={"accept": "text/csv"}))
    assert [row["client_ref"] for row in rows] == [f"'{formula}"] * 2
    text = [cell for row in rows for cell in row.values() if cell.startswith(("=", "+", "-", "@"))]
    assert all(cell.lstrip("+-").replace(".", "").isdecimal() for cell in text), text


def test_negative_figures_stay_numbers(service):
    short = {**ITEMS[0], "length": {"value": 606, "unit": "mm"}}
    (row,) = rows_of(service.post(PATH, {"items": [short]}, headers={"accept": "text/csv"}))
    assert float(row["elongation_percent"]) < 0


def test_commas_and_quotes_of_a_reference_come_back(service):
    name = 'head "A", left'
    (row,) = rows_of(service.post(PATH, {"items": [{**ITEMS[0], "client_ref": name}]}, headers={"accept": "text/csv"}))
    assert row["client_ref"] == name


def test_the_same_table_gives_the_same_bytes(service):
    once, again = (send(service, table(*ROWS), accept="text/csv").content for _ in range(2))
    assert once == again
    assert once.count(b"\r\n") == 3


def test_verdicts_in_short_are_a_table_too(service):
    hot = {**ITEMS[1], "chain_temperature": {"value": 300, "unit": "degC"}}
    lifting = {"client_ref": "F-12", "chain": "BL834", "elongation_percent": 3.0}
    sent = {"detail": "verdicts", "items": [ITEMS[0], hot, lifting, {"client_ref": "C-1", "chain": "no such"}]}
    items = service.post(PATH, sent).json()["items"]
    rows = rows_of(service.post(PATH, sent, headers={"accept": "text/csv"}))
    assert [row["outcome"] for row in rows] == ["answered", "answered", "answered", "refused"]
    for item, row in zip(items[:3], rows[:3], strict=True):
        verdict = item["verdict"]
        words = ("status", "lifting_status", "governed_by", "next_step_code")
        assert {name: row[name] for name in words} == {name: verdict.get(name, "") for name in words}
        assert float(row["elongation_percent"]) == verdict["elongation_percent"]
        assert row["warnings"].split() == verdict.get("warnings", [])
        assert row["data_version"]
    assert "figure_from_memory" in rows[1]["warnings"]
    assert rows[3]["problem_code"] == items[3]["problem"]["code"]
