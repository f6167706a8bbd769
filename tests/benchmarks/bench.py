"""``python -m tests.benchmarks.bench``: ratios against the bare framework, measured in one run, as a Markdown table.

One worker (uvloop, httptools) pinned to core 0 with everything on as in production, wrk with 16 connections on core 1,
rounds alternating between service and floor, medians. Needs wrk and taskset (Debian: wrk, util-linux).
"""

from __future__ import annotations

import argparse
import json
import os
import re
import shutil
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import httpx

from tests.benchmarks.cases import CASES, Case
from tests.benchmarks.costs import cost_rows

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[2]
SERVICE = ["-m", "service"]
FLOOR = ["-m", "uvicorn", "--factory", "tests.benchmarks.bare:create_app", "--no-access-log", "--log-level", "error"]
EMPTY = [part.replace("create_app", "create_empty_app") for part in FLOOR]
START_GOAL, MEMORY_GOAL = 1.6, 1.5


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _environment() -> dict[str, str]:
    """As an installation has it: with the byte code of all modules written, which the first start does."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {**environment, "PYTHONPATH": str(ROOT)}


@contextmanager
def server(command: list[str]) -> Iterator[tuple[str, float, float]]:
    """Base address, seconds from start to the first answer, and resident memory in MiB."""
    port = free_port()
    started = time.perf_counter()
    process = subprocess.Popen(
        ["taskset", "-c", "0", sys.executable, *command, "--port", str(port)],
        cwd=ROOT,
        env=_environment(),
        stdout=subprocess.DEVNULL,
    )
    url = f"http://127.0.0.1:{port}"
    try:
        while True:
            try:
                httpx.get(f"{url}/health/live", timeout=2).raise_for_status()
                break
            except httpx.TransportError:
                if process.poll() is not None or time.perf_counter() - started > 60:
                    raise SystemExit(f"{command} does not answer") from None
                time.sleep(0.002)
        first = time.perf_counter() - started
        pages = int(Path(f"/proc/{process.pid}/statm").read_text().split()[1])
        yield url, first, pages * os.sysconf("SC_PAGE_SIZE") / 2**20
    finally:
        process.terminate()
        process.wait(20)


def script(case: Case, url: str, folder: Path) -> Path:
    """What wrk sends."""
    lines = [f"wrk.path = {json.dumps(case.path)}"]
    if case.body is not None:
        body = json.dumps(case.body, separators=(",", ":"))
        lines += [
            'wrk.method = "POST"',
            f"wrk.body = [==[{body}]==]",
            'wrk.headers["Content-Type"] = "application/json"',
        ]
    if case.conditional:
        etag = httpx.get(url + case.path).headers.get("etag")
        lines += [f"wrk.headers[\"If-None-Match\"] = '{etag}'"] if etag else []
    path = folder / f"{abs(hash((case.name, url)))}.lua"
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


def load(url: str, lua: Path, seconds: int) -> tuple[float, float]:
    """Requests per second and the 99th percentile in ms."""
    command = ["taskset", "-c", "1", "wrk", "-t1", "-c16", f"-d{seconds}s", "--latency", "-s", str(lua), url]
    text = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    if "Non-2xx" in text or "Socket errors" in text:
        raise SystemExit(f"errors under load at {url}:\n{text}")
    rate = re.search(r"Requests/sec:\s+([\d.]+)", text)
    late = re.search(r"99%\s+([\d.]+)(us|ms|s)", text)
    assert rate is not None
    assert late is not None
    return float(rate[1]), float(late[1]) * {"us": 0.001, "ms": 1.0, "s": 1000.0}[late[2]]


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
    parser.add_argument("--only", choices=["http", "start", "costs"])
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
    if chosen.only in (None, "costs"):
        print("\n| computation | median | goal | decode and encode its bodies | ratio |\n|---|---|---|---|---|")
        print("\n".join(cost_rows()))


if __name__ == "__main__":
    main()
