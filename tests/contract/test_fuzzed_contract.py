"""The served contract under fire: every check and phase of a fuzzer that reads openapi.yaml, the same each time."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
CASES = 25
"""Generated requests of each operation in each phase that draws them."""
LIMIT_S = 400


def test_contract_holds_under_fuzzing(server):
    command = [
        str(Path(sys.executable).with_name("schemathesis")),
        "--config-file=tests/contract/schemathesis.toml",
        "run",
        "openapi/openapi.yaml",
        f"--url={server.url}",
        "--checks=all",
        "--phases=examples,coverage,fuzzing,stateful",
        "--mode=all",
        f"--max-examples={CASES}",
        "--continue-on-failure",
        "--seed=1",
        "--generation-deterministic",
        "--no-color",
    ]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=LIMIT_S, check=False)
    assert done.returncode == 0, done.stdout[-12_000:] + done.stderr[-2000:]
    generated = re.search(r"(\d+) generated, (\d+) passed", done.stdout)
    assert generated, done.stdout[-3000:]
    assert int(generated[1]) > 1000, "the fuzzer hardly ran"
    faults = [line for line in server.lines() if line.get("event") == "fault"]
    assert faults == []
