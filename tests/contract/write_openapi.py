"""``python tests/contract/write_openapi.py``: write openapi/openapi.yaml from the code, and the copy of parsed TOML."""

from __future__ import annotations

import asyncio
import re
import sys
from pathlib import Path
from typing import Any

import yaml

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))
NUMERIC = re.compile(r"[-+]?[0-9.][0-9_.eE+-]*")
CONTRACT = ROOT / "openapi" / "openapi.yaml"


def generated() -> dict[str, Any]:
    """The contract as the code states it."""
    from service.api.answers import Context
    from service.api.contract import build_contract
    from service.api.metrics import Metrics
    from service.app import create_inner
    from service.reference.catalogue import load_reference
    from service.settings import Settings

    return asyncio.run(build_contract(create_inner(Settings(), Context.of(load_reference()), Metrics())))


def as_yaml(document: dict[str, Any]) -> str:
    """Stable text: keys in the order of the document, no anchors, long lines left whole."""

    class Plain(yaml.SafeDumper):
        def ignore_aliases(self, data: object) -> bool:  # noqa: ARG002 as the base declares it
            return True

    def quoted(dumper: yaml.SafeDumper, text: str) -> yaml.ScalarNode:
        # 084 is text to this writer and a number to readers of YAML 1.2.
        style = "'" if NUMERIC.fullmatch(text) else None
        return dumper.represent_scalar("tag:yaml.org,2002:str", text, style=style)

    Plain.add_representer(str, quoted)
    return yaml.dump(document, Dumper=Plain, sort_keys=False, allow_unicode=True, width=100_000)


if __name__ == "__main__":
    from service.reference.toml_files import PARSED, parse_again

    PARSED.write_bytes(parse_again())
    CONTRACT.write_text(as_yaml(generated()), encoding="utf-8")
    sys.stdout.write(f"wrote {CONTRACT.name}\n")
