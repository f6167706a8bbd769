"""Families over HTTP: filters against the register, statements and ratings with their sources."""

from __future__ import annotations

import pytest

from service.reference.families import load_families

FAMILIES = load_families()
PATH = "/v1/families"


def get(service, path=PATH, **query):
    response = service.get(path, params=query)
    assert response.status_code == 200, response.text
    return response.json()


def test_every_family_is_listed_and_reached(service):
    listed = get(service, limit=500)["items"]
    assert [item["id"] for item in listed] == [family.id for family in FAMILIES.families]
    for item in listed:
        sheet = get(service, f"{PATH}/{item['id']}")
        assert len(sheet["ratings"]) == len(FAMILIES.criteria)
        assert sheet["statements"]
        assert all(row["provenance"]["source_id"] for row in [*sheet["statements"], *sheet["ratings"]])


def test_families_by_criterion(service):
    found = get(service, criterion="under_water", min_rating=4)["items"]
    assert "pintle_700" in {item["id"] for item in found}
    assert {item["rating"] for item in found} == {4}
    unfit = get(service, criterion="lift", min_rating=0)["items"]
    assert len(unfit) == len(FAMILIES.families)


def test_families_by_class(service):
    found = get(service, load_class="heavy", speed_class="fast")["items"]
    assert {item["id"] for item in found} == {"roller", "silent"}


def test_a_topic_alone(service):
    sheet = get(service, f"{PATH}/silent", topic="joint")
    assert {row["topic"] for row in sheet["statements"]} == {"joint"}


def test_sizes_of_a_family_are_counted(service):
    groups = get(service, f"{PATH}/detachable_malleable")["size_groups"]
    listed = get(service, "/v1/chains", family="detachable", series="malleable")["total"]
    assert [group["count"] for group in groups] == [listed]


@pytest.mark.parametrize("family", ["leaf", "round_link"])
def test_families_that_lift_carry_cautions(service, family):
    assert "competent_person" in {caution["code"] for caution in get(service, f"{PATH}/{family}")["cautions"]}
    assert get(service, f"{PATH}/flat_top")["cautions"] == []


@pytest.mark.parametrize(
    ("path", "query", "status", "code"),
    [
        (f"{PATH}/paper", {}, 404, "entry_unknown"),
        (f"{PATH}/silent", {"topic": "jiont"}, 422, "entry_unknown"),
        (PATH, {"criterion": "beauty"}, 422, "entry_unknown"),
        (PATH, {"min_rating": "5"}, 422, "number_out_of_range"),
        (PATH, {"load_class": "huge"}, 422, "enum_unknown"),
        (PATH, {"speed": "fast"}, 422, "field_unknown"),
        (f"{PATH}/silent", {"units": "inch"}, 422, "field_unknown"),
    ],
)
def test_refused(service, path, query, status, code):
    response = service.get(path, params=query)
    assert response.status_code == status
    assert [fault["code"] for fault in response.json()["errors"]] == [code]


def test_nearest_names(service):
    assert service.get(f"{PATH}/silents").json()["candidates"][0] == "silent"
    assert service.get(f"{PATH}/silent", params={"topic": "jiont"}).json()["candidates"] == ["joint"]
