"""The service or the bare framework as a process on one core, and the load that is put on it from another."""

from __future__ import annotations

import json
import os
import re
import socket
import subprocess
import sys
import time
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import httpx

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.benchmarks.cases import Case

ROOT = Path(__file__).parents[2]
SERVICE = ["-m", "service"]


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
    if case.accept:
        lines.append(f'wrk.headers["Accept"] = {json.dumps(case.accept)}')
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
