"""Every example of the contract, changed at random in what an engineer would change: an answer or a reasoned refusal.

A fuzzer that knows only the schema seldom sends two fields that belong together. Here the examples do, and their
numbers, units, words and parts are changed, so that most requests reach the calculation.
"""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import msgspec
import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from service.api.problems import Problem
from service.reference.codes import load_codes

CODES = load_codes()
CONTRACT = yaml.safe_load((Path(__file__).parents[2] / "openapi" / "openapi.yaml").read_text(encoding="utf-8"))
SCHEMAS = CONTRACT["components"]["schemas"]
CALCULATIONS = sorted(path for path, item in CONTRACT["paths"].items() if "post" in item)

FACTORS = [0.0, -1.0, 0.04, 0.1, 0.5, 0.9, 1.01, 1.1, 2.0, 3.0, 10.0, 25.4, 1000.0]
CHAINS = ["08B-1", "16B-2", "40", "80-3", "2040", "C2080H", "SC4", "BL834", "10x30", "16", "no such chain", "WHX78"]

Place = tuple[dict[str, Any] | list[Any], str | int]


def examples(path: str) -> list[dict[str, Any]]:
    content = CONTRACT["paths"][path]["post"]["requestBody"]["content"]["application/json"]
    return [example["value"] for example in content["examples"].values()]


def request_fields(path: str) -> dict[str, Any]:
    reference = CONTRACT["paths"][path]["post"]["requestBody"]["content"]["application/json"]["schema"]["$ref"]
    return SCHEMAS[reference.rsplit("/", 1)[1]]["properties"]


def places(node: Any) -> list[Place]:
    """Every field and item below a body, by what holds it."""
    found: list[Place] = []
    entries = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, value in entries:
        found.append((node, key))
        found += places(value)
    return found


def words() -> dict[str, list[str]]:
    """The members of every closed list of the contract, by the name of its field."""
    found: dict[str, list[str]] = {}
    for schema in SCHEMAS.values():
        for name, described in schema.get("properties", {}).items():
            found.setdefault(name, []).extend(described.get("enum", []))
    return found


WORDS = words()


def change(draw: Any, place: Place) -> None:
    holder, key = place
    value = holder[key]
    if draw(st.integers(0, 9)) == 0:
        del holder[key]
    elif isinstance(value, bool):
        holder[key] = not value
    elif isinstance(value, int | float):
        changed = value * draw(st.sampled_from(FACTORS))
        whole = isinstance(value, int) and draw(st.booleans())
        holder[key] = round(changed) if whole else changed
    elif isinstance(value, str):
        known = CHAINS if "chain" in str(key) else WORDS.get(str(key), [])
        if known:
            holder[key] = draw(st.sampled_from(known))
    elif isinstance(value, list) and value:
        holder[key] = value * draw(st.integers(0, 3))


@st.composite
def bodies(draw: Any, path: str) -> dict[str, Any]:
    shown = examples(path)
    body = copy.deepcopy(draw(st.sampled_from(shown)))
    for name, value in draw(st.sampled_from(shown)).items():
        # A field of another example beside it: the ways of asking meet.
        if draw(st.integers(0, 7)) == 0:
            body[name] = copy.deepcopy(value)
    for name, members in (("units", ["metric", "inch"]), ("working", ["none", "full"])):
        if name in request_fields(path):
            body[name] = draw(st.sampled_from(members))
    for _ in range(draw(st.integers(1, 3))):
        if at := places(body):
            change(draw, at[draw(st.integers(0, len(at) - 1))])
    return body


def validator(schema: dict[str, Any]) -> Draft202012Validator:
    return Draft202012Validator({**schema, "components": {"schemas": SCHEMAS}})


@pytest.mark.parametrize("path", CALCULATIONS)
def test_changed_examples_are_answered_or_refused_with_reason(service, path):
    operation = CONTRACT["paths"][path]["post"]
    answer = validator(operation["responses"]["200"]["content"]["application/json"]["schema"])
    seen = {200: 0, 422: 0}

    @settings(suppress_health_check=list(HealthCheck))
    @given(bodies(path))
    def hold(body: dict[str, Any]) -> None:
        response = service.post(path, body)
        assert response.status_code in (200, 422), (body, response.text)
        seen[response.status_code] += 1
        if response.status_code == 200:
            assert service.post(path, body).content == response.content, "the same body must give the same bytes"
            content = response.json()
            # A sheet answers each item on its own: a refused item is a refusal too.
            seen[422] += content.get("counts", {}).get("refused", 0) > 0
            assert not list(answer.iter_errors(content)), body
            assert json.dumps(content, allow_nan=False)
            for warning in content.get("warnings", []):
                assert "warning" in CODES[warning["code"]].kind, warning
        else:
            problem = msgspec.json.decode(response.content, type=Problem)
            assert problem.errors, body
            assert all(fault.message and "fault" in CODES[fault.code].kind for fault in problem.errors), body

    hold()
    assert min(seen.values()) > 5, seen
