"""Registers over HTTP: publications, relations, units, quantities, codes and tables, each entry by its name."""

from __future__ import annotations

import csv
import io

import pytest

from service.core.equations import load_catalogue
from service.reference.catalogue import load_reference
from service.reference.loader import TABLES

REFERENCE = load_reference()
NAMES = {
    # list: names of all entries, and the field of an item that is its name
    "/v1/sources": (set(REFERENCE.publications), "id"),
    "/v1/equations": (set(load_catalogue()), "id"),
    "/v1/codes": (set(REFERENCE.codes), "id"),
    "/v1/tables": (set(REFERENCE.printed_tables), "name"),
    "/v1/quantities": (set(REFERENCE.quantities), "id"),
}


def get(service, path, **query):
    response = service.get(path, params=query)
    assert response.status_code == 200, response.text
    return response.json()


@pytest.mark.parametrize("path", NAMES)
def test_pages_join_to_every_entry_once(service, path):
    names, field = NAMES[path]
    found, cursor = [], {}
    while True:
        page = get(service, path, limit=37, **cursor)
        found += [item[field] for item in page["items"]]
        assert page["total"] == len(names)
        if "next_cursor" not in page:
            break
        cursor = {"cursor": page["next_cursor"]}
    assert len(found) == len(names)
    assert set(found) == names


@pytest.mark.parametrize("path", [path for path in NAMES if path != "/v1/quantities"])
def test_every_entry_is_reached_by_its_name(service, path):
    names, field = NAMES[path]
    for name in names:
        assert get(service, f"{path}/{name}")[field] == name


@pytest.mark.parametrize("path", [*NAMES, "/v1/units", "/v1/tables/strand_factors", "/v1/codes/no_solution"])
def test_conditional_requests(service, path):
    tag = service.get(path).headers["etag"]
    assert service.get(path, headers={"If-None-Match": tag}).status_code == 304


@pytest.mark.parametrize(
    ("path", "nearest"),
    [
        ("/v1/sources/mott4", "mott-4"),
        ("/v1/equations/chain_length.pitches", "chain_length.pitches_exact"),
        ("/v1/codes/designation_ambigous", "designation_ambiguous"),
        ("/v1/tables/strand_factor", "strand_factors"),
        ("/v1/codes/%3Cscript%3E", None),
    ],
)
def test_unknown_entry_names_the_nearest(service, path, nearest):
    response = service.get(path)
    problem = response.json()
    assert response.status_code == 404
    assert problem["errors"][0]["code"] == "entry_unknown"
    assert nearest is None or nearest in problem["candidates"]


def test_the_type_of_a_problem_is_an_address_that_explains_it(service):
    problem = service.get("/v1/chains/16").json()
    assert get(service, problem["type"])["id"] == problem["code"]
    for fault in problem["errors"]:
        assert get(service, f"/v1/codes/{fault['code']}")["kind"] in ("fault", "fault_or_warning")


def test_a_source_names_what_rests_on_it(service):
    sheet = get(service, "/v1/sources/mott-4")
    assert "chain_length.pitches_approximate" in sheet["equations"]
    for name in sheet["tables"]:
        rows = get(service, f"/v1/tables/{name}")["rows"]
        assert any(row["source_id"] == "mott-4" for row in rows)


def test_an_equation_is_told_in_full(service):
    sheet = get(service, "/v1/equations/chain_length.pitches_approximate")
    assert [argument["name"] for argument in sheet["arguments"]] == [
        "centre_distance_pitches",
        "teeth_small",
        "teeth_large",
    ]
    assert {argument["unit"] for argument in sheet["arguments"]} == {"pitches", "-"}
    assert sheet["example"].startswith(">>>")
    for name in ("relation", "returns", "refusals", "validity", "deviations"):
        assert sheet[name]


def test_every_argument_of_every_equation_has_its_unit(service):
    for name in NAMES["/v1/equations"][0]:
        sheet = get(service, f"/v1/equations/{name}")
        assert all(argument["meaning"] for argument in sheet["arguments"]), name
        assert all(argument["unit"] for argument in sheet["arguments"]), name


@pytest.mark.parametrize(
    ("path", "filters", "field", "value"),
    [
        ("/v1/sources", {"kind": "regulation"}, "kind", "regulation"),
        ("/v1/codes", {"kind": "warning"}, "kind", "warning"),
        ("/v1/tables", {"kind": "sizes"}, "kind", "sizes"),
        ("/v1/quantities", {"kind": "force"}, "kind", "force"),
    ],
)
def test_filters(service, path, filters, field, value):
    items = get(service, path, **filters)["items"]
    assert items
    assert {item[field] for item in items} == {value}


def test_equations_by_subject_and_source(service):
    items = get(service, "/v1/equations", subject="chain_length", source_id="mott-4", limit=500)["items"]
    assert items
    assert all(item["id"].startswith("chain_length.") for item in items)
    assert all("mott-4" in {source["source_id"] for source in item["sources"]} for item in items)


def test_units_convert_by_their_definition(service):
    """International inch 25.4 mm and pound-force 4.4482216152605 N, both exact by definition."""
    kinds = {kind["kind"]: kind for kind in get(service, "/v1/units")["items"]}
    tokens = {kind: {entry["token"]: entry for entry in kinds[kind]["tokens"]} for kind in kinds}
    inch, pound = tokens["length"]["in"], tokens["force"]["lbf"]
    assert (inch["factor"], inch["rec20"], kinds["length"]["canonical"]) == (25.4, "INH", "mm")
    assert pound["factor"] == 4.4482216152605
    assert "ton" in {token["token"] for token in kinds["force"]["refused"]}
    assert get(service, "/v1/units", kind="smell")["items"] == []


def test_a_table_is_shown_as_printed(service):
    for name in REFERENCE.printed_tables:
        sheet = get(service, f"/v1/tables/{name}")
        with (TABLES / f"{name}.csv").open(encoding="utf-8", newline="") as file:
            assert sheet["rows"] == list(csv.DictReader(file)), name
        assert [*sheet["rows"][0]][-4:] == ["source_id", "locator", "confidence", "note"]


def test_a_table_as_csv(service):
    response = service.get("/v1/tables/strand_factors", headers={"Accept": "text/csv"})
    assert response.headers["content-type"].startswith("text/csv")
    rows = list(csv.DictReader(io.StringIO(response.text)))
    assert rows == get(service, "/v1/tables/strand_factors")["rows"]
    assert service.get("/v1/tables/strand_factors", headers={"Accept": "image/png"}).status_code == 406
    assert service.get("/v1/codes", headers={"Accept": "text/csv"}).status_code == 406


REFUSED = [
    ("/v1/sources", {"kind": "leaflet"}, "enum_unknown"),
    ("/v1/equations", {"limit": "501"}, "paging_invalid"),
    ("/v1/equations", {"subject": ""}, "query_too_short"),
    ("/v1/codes", {"cursor": "x"}, "cursor_invalid"),
    ("/v1/tables", {"offset": "3"}, "paging_invalid"),
    ("/v1/tables/strand_factors", {"units": "inch"}, "field_unknown"),
    ("/v1/units", {"kind": ["a", "b"]}, "parameter_repeated"),
]


@pytest.mark.parametrize(("path", "query", "code"), REFUSED)
def test_refused_filters(service, path, query, code):
    response = service.get(path, params=query)
    assert response.status_code == 422
    assert code in {fault["code"] for fault in response.json()["errors"]}
