"""How every calculation reads the name of its chain: strands, and what is unclear is asked with the candidates."""

from __future__ import annotations

import pytest

PATH = "/v1/chain-lengths"

REFUSED = [
    # what was sent, code of the fault, candidates
    ("08", "designation_ambiguous", ["08A", "08B"]),
    ("16", "designation_ambiguous", ["16A", "16B"]),
    ("80B", "designation_ambiguous", ["80", "16B"]),
    ("80-99", "strands_out_of_range", []),
    ("80-2-3", "designation_unreadable", []),
    ("41-2", "strands_out_of_range", []),
]


def body(chain):
    return {"chain": chain, "driver_teeth": 19, "driven_teeth": 57, "centre_distance": {"value": 800, "unit": "mm"}}


@pytest.mark.parametrize(("chain", "code", "candidates"), REFUSED, ids=[case[0] for case in REFUSED])
def test_refused_designation(service, chain, code, candidates):
    response = service.post(PATH, body(chain))
    problem = response.json()
    assert response.status_code == 422
    assert [fault["code"] for fault in problem["errors"]] == [code]
    assert problem["errors"][0]["pointer"] == "/chain"
    assert problem["candidates"] == candidates


def test_unknown_designation_names_the_nearest(service):
    problem = service.post(PATH, body("16D")).json()
    assert {"16A", "16B"} <= set(problem["candidates"])


@pytest.mark.parametrize("chain", ["16B-2", " 16B - 2 ", "１６B-2", "16b"])
def test_spelling_and_strands_do_not_change_the_pitch(service, chain):
    plain = service.post(PATH, body("16B")).json()["result"]
    assert service.post(PATH, body(chain)).json()["result"] == plain
