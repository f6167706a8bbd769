"""Tables of factors over HTTP: every condition with all its rows, the preferred one first."""

from __future__ import annotations

import pytest


def entries(service, table):
    return service.get(f"/v1/factors/{table}").json()["entries"]


def test_every_conveyor_table_is_listed_with_meaning_and_sources(service):
    items = service.get("/v1/factors", params={"subject": "conveyors"}).json()["items"]
    names = {item["name"] for item in items}
    assert {"track_frictions", "material_frictions", "conveyor_speed_factors", "digging_factors"} <= names
    for item in items:
        assert item["subject"] == "conveyors"
        assert all(column["meaning"] for column in item["columns"])
        assert item["sources"]
        assert item["row_count"] >= 1


def test_conflicting_rows_are_both_shown_and_the_preferred_one_named(service):
    grain = next(entry for entry in entries(service, "material_frictions") if entry["key"]["material"] == "grain")
    assert [row["friction"] for row in grain["rows"]] == ["0.5", "0.4"]
    assert grain["preferred_source_id"] == "trade-conveyor-method"
    assert grain["disagree"] is True


def test_agreeing_rows_are_no_conflict(service):
    found = {entry["key"]["material"]: entry for entry in entries(service, "material_frictions")}
    assert found["wood chips"]["disagree"] is False
    assert len(found["wood chips"]["rows"]) == 2


def test_the_conflicts_of_a_list_are_those_of_its_entries(service):
    listed = service.get("/v1/factors").json()["items"]
    for item in listed:
        assert item["conflict_count"] == sum(entry["disagree"] for entry in entries(service, item["name"]))


def test_every_row_of_a_table_is_in_one_entry(service):
    for item in service.get("/v1/factors").json()["items"]:
        rows = service.get(f"/v1/tables/{item['name']}").json()["rows"]
        assert sum(len(entry["rows"]) for entry in entries(service, item["name"])) == len(rows) == item["row_count"]


def test_the_row_that_a_sizing_uses_is_the_preferred_one(service, reference):
    tables = reference.factors.conveyor
    for table in (tables.material_frictions, tables.track_frictions, tables.wall_constants):
        shown = entries(service, table.name)
        for entry in shown:
            assert table.where(**entry["key"])[0].source_id == entry["preferred_source_id"]


def test_unchanged_factors_are_not_sent_again(service):
    first = service.get("/v1/factors/track_frictions")
    again = service.get("/v1/factors/track_frictions", headers={"if-none-match": first.headers["etag"]})
    assert again.status_code == 304


@pytest.mark.parametrize(
    ("path", "status", "code"),
    [
        ("/v1/factors/track_friction", 404, "entry_unknown"),
        ("/v1/factors/roller_sizes", 404, "entry_unknown"),
        ("/v1/factors?subject=belts", 422, "enum_unknown"),
        ("/v1/factors?page=2", 422, "field_unknown"),
    ],
)
def test_what_there_is_not_is_refused(service, path, status, code):
    response = service.get(path)
    assert response.status_code == status
    assert code in {fault["code"] for fault in response.json()["errors"]}
