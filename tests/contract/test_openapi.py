"""The committed contract is what the code states, and it is valid OpenAPI 3.1."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from typing import Any

import pytest
import yaml
from openapi_spec_validator import OpenAPIV31SpecValidator

HERE = Path(__file__).parent
_SPEC = importlib.util.spec_from_file_location("write_openapi", HERE / "write_openapi.py")
assert _SPEC is not None
assert _SPEC.loader is not None
writer = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(writer)


@pytest.fixture(scope="module")
def document() -> dict[str, Any]:
    return writer.generated()


def test_committed_contract_is_the_generated_one(document):
    assert writer.CONTRACT.read_text(encoding="utf-8") == writer.as_yaml(document), (
        "openapi/openapi.yaml is stale: run python tests/contract/write_openapi.py and read the difference"
    )


def test_contract_is_valid(document):
    assert not list(OpenAPIV31SpecValidator(document).iter_errors())


def operations(document: dict[str, Any]) -> list[tuple[str, str, dict[str, Any]]]:
    return [(path, method, described) for path, item in document["paths"].items() for method, described in item.items()]


def test_every_operation_is_described_and_shown(document):
    for path, method, described in operations(document):
        assert described["summary"], path
        assert described["description"], path
        content = described["responses"]["200"]["content"]
        if "application/json" in content:
            assert content["application/json"]["examples"], f"{method} {path} shows no answer"
        if method == "post":
            problem = described["responses"]["422"]["content"]["application/problem+json"]
            assert problem["examples"], f"{method} {path} shows no refusal"


def test_every_field_of_a_request_is_closed(document):
    for name, schema in document["components"]["schemas"].items():
        if name.endswith("Request"):
            assert schema["additionalProperties"] is False, name


def test_contract_reads_back(document):
    assert yaml.safe_load(writer.as_yaml(document)) == document
