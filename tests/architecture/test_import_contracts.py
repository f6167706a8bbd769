"""The layers hold: the import contracts of ``pyproject.toml`` are kept."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path


def test_import_contracts_are_kept() -> None:
    program = Path(sys.executable).with_name("lint-imports")
    done = subprocess.run([program, "--no-cache"], cwd=Path(__file__).parents[2], capture_output=True, check=False)
    assert done.returncode == 0, done.stdout.decode() + done.stderr.decode()
