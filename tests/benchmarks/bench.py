"""``python -m tests.benchmarks.bench``: ratios against the bare framework, measured in one run, as a Markdown table.

One worker (uvloop, httptools) pinned to core 0 with everything on as in production, wrk with 16 connections on core 1,
rounds alternating between service and floor, medians. Needs wrk and taskset (Debian: wrk, util-linux).
"""

from __future__ import annotations

import argparse
import shutil
import statistics
import tempfile
from pathlib import Path
from typing import Any

from tests.benchmarks.cases import CASES
from tests.benchmarks.costs import cost_rows
from tests.benchmarks.interference import interference_rows
from tests.benchmarks.load import SERVICE, load, script, server

FLOOR = ["-m", "uvicorn", "--factory", "tests.benchmarks.bare:create_app", "--no-access-log", "--log-level", "error"]
EMPTY = [part.replace("create_app", "create_empty_app") for part in FLOOR]
START_GOAL, MEMORY_GOAL = 1.6, 1.5


def http_rows(seconds: int, rounds: int) -> list[str]:
    rows = []
    with tempfile.TemporaryDirectory() as name, server(SERVICE) as (ours, *_), server(FLOOR) as (floor, *_):
        for case in CASES:
            scripts = {url: script(case, url, Path(name)) for url in (ours, floor)}
            found: dict[str, list[tuple[float, float]]] = {ours: [], floor: []}
            for number in range(rounds + 1):
                for url, results in found.items():
                    result = load(url, scripts[url], seconds)
                    if number:
                        results.append(result)
            rate, bare = (statistics.median(r for r, _ in found[url]) for url in (ours, floor))
            late = statistics.median(p for _, p in found[ours])
            ratio = rate / bare
            verdict = "" if ratio >= case.goal else " (short)"
            rows.append(
                f"| {case.name} | {rate:,.0f}/s | {bare:,.0f}/s | {ratio:.2f}{verdict} | at least {case.goal} | "
                f"{late:.2f} ms |"
            )
    return rows


def start_rows(rounds: int) -> list[str]:
    measured: dict[str, list[tuple[float, float]]] = {"service": [], "bare": []}
    for _ in range(rounds):
        for name, command in (("service", SERVICE), ("bare", EMPTY)):
            with server(command) as (_, first, memory):
                measured[name].append((first, memory))
    rows = []
    for place, name, unit, goal in (
        (0, "start to first answer", "ms", START_GOAL),
        (1, "idle memory", "MiB", MEMORY_GOAL),
    ):
        ours, bare = (statistics.median(m[place] for m in measured[which]) for which in ("service", "bare"))
        scale = 1000 if unit == "ms" else 1
        verdict = "" if ours / bare <= goal else " (short)"
        rows.append(
            f"| {name} | {ours * scale:.0f} {unit} | {bare * scale:.0f} {unit} | {ours / bare:.2f}{verdict} | "
            f"at most {goal} | |"
        )
    return rows


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=int, default=2)
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--only", choices=["http", "start", "interference", "costs"])
    chosen: Any = parser.parse_args()
    missing = [name for name in ("wrk", "taskset") if shutil.which(name) is None]
    if missing and chosen.only != "costs":
        raise SystemExit(f"{' and '.join(missing)} not found; on Debian: apt-get install wrk util-linux")
    rows: list[str] = []
    if chosen.only in (None, "http"):
        rows += http_rows(chosen.seconds, chosen.rounds)
    if chosen.only in (None, "start"):
        rows += start_rows(chosen.rounds)
    if rows:
        print("| what | service | bare framework | ratio | goal | p99 |\n|---|---|---|---|---|---|")
        print("\n".join(rows))
    if chosen.only in (None, "interference"):
        print("\n| a look-up beside | which are answered | p50 | p99 |\n|---|---|---|---|")
        print("\n".join(interference_rows(2 * chosen.seconds, chosen.rounds)))
    if chosen.only in (None, "costs"):
        print("\n| computation | median | goal | decode and encode its bodies | ratio |\n|---|---|---|---|---|")
        print("\n".join(cost_rows()))


if __name__ == "__main__":
    main()
