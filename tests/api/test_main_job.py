"""The README's first command, less the installation: the main job runs against a real service on loopback."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_the_main_job_runs_end_to_end():
    done = subprocess.run(
        [sys.executable, "-m", "client_examples.main_job"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=240,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    for number in range(1, 6):
        assert f"\n{number}  " in done.stdout
    assert "invented" in done.stdout
    assert "16C is refused" in done.stdout
