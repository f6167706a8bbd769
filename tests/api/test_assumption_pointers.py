"""An assumption that says "given" points at something that was sent; every other one at a field of the request."""

from __future__ import annotations

from typing import Any

import pytest

from tests.api.test_mutated_examples import CALCULATIONS, examples

Caller = Any


def found_at(body: Any, pointer: str) -> bool:
    node = body
    for part in pointer.removeprefix("/").split("/"):
        if isinstance(node, list):
            if not part.isdigit() or int(part) >= len(node):
                return False
            node = node[int(part)]
        elif isinstance(node, dict) and part in node:
            node = node[part]
        else:
            return False
    return True


def assumptions(answer: Any) -> list[dict[str, Any]]:
    """Assumptions anywhere in an answer."""
    if isinstance(answer, list):
        return [entry for item in answer for entry in assumptions(item)]
    if not isinstance(answer, dict):
        return []
    here = answer.get("assumptions", [])
    return [*here, *(entry for value in answer.values() for entry in assumptions(value) if entry not in here)]


@pytest.mark.parametrize("path", [path for path in CALCULATIONS if not path.endswith("/batch")])
def test_what_was_given_can_be_found_in_the_request(service: Caller, path: str) -> None:
    for body in examples(path):
        response = service.post(path, body)
        if response.status_code != 200:
            continue
        for entry in assumptions(response.json()):
            if entry["origin"] == "given":
                assert found_at(body, entry["field"]), (entry, body)


def test_figures_of_a_link_of_ones_own_are_those_of_own_link(service: Caller) -> None:
    size = {"wire_diameter": {"value": 5, "unit": "mm"}, "pitch": {"value": 15.1, "unit": "mm"}}
    answer = service.post("/v1/pocket-wheel-geometries", {"own_link": size, "pockets": 6}).json()
    assert {entry["field"] for entry in answer["assumptions"]} == {"/own_link/wire_diameter", "/own_link/pitch"}


def test_figures_of_one_of_two_chains_are_those_of_that_chain(service: Caller) -> None:
    own = {"pitch": {"value": 12.7, "unit": "mm"}, "roller_diameter": {"value": 8.51, "unit": "mm"}}
    body = {"purpose": "chain_on_wheel", "replacement": {"own_chain": own}, "wheel": {"chain": "08B", "teeth": 19}}
    answer = service.post("/v1/interchange-checks", body).json()
    given = {entry["field"] for entry in answer.get("assumptions", []) if entry["origin"] == "given"}
    assert given == {"/replacement/own_chain/pitch", "/replacement/own_chain/roller_diameter"}, given
