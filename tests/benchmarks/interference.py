"""How late a look-up comes while the service is busy with something else, against the same look-up on a quiet service.

One look-up is sent every ten milliseconds, by a client that has at most one under way; the other request runs all the
while on connections of its own, as fast as it is answered. The first row tells what machine and client add themselves.
"""

from __future__ import annotations

import statistics
import subprocess
import tempfile
import time
from dataclasses import dataclass
from http.client import HTTPConnection
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import httpx

from service.api.sprocket_geometries import EXAMPLES as SPROCKETS
from tests.benchmarks.cases import CASES, Case
from tests.benchmarks.load import SERVICE, script, server
from tests.benchmarks.wear_batches import checks_case, trends_case

if TYPE_CHECKING:
    from collections.abc import Iterable

LOOK_UP = "/v1/chains/80"
GAP_S = 0.01
"""Time from look-up to look-up."""


@dataclass(frozen=True)
class Busy:
    """A request that keeps the service busy, and on how many connections at once."""

    name: str
    case: Case | None
    connections: int = 2


def _drawing(media_type: str) -> Case:
    body = {**(SPROCKETS["plate_wheel"].body or {}), "teeth": 120, "drawing": {"png_width": 1200}}
    return Case(f"drawing {media_type}", "/v1/sprocket-geometries", 0.0, None, None, body, accept=media_type)


def _sizing() -> Case:
    return next(case for case in CASES if case.path.endswith("drive-sizings"))


BUSY = (
    Busy("nothing else", None),
    Busy("SVG drawings of 120 teeth", _drawing("image/svg+xml")),
    Busy("DXF drawings of 120 teeth", _drawing("image/vnd.dxf")),
    Busy("PNG drawings of 120 teeth", _drawing("image/png")),
    Busy("drive sizings, ten best", _sizing()),
    Busy("batches of 1,000 wear checks", checks_case(), 1),
    Busy("batches of 1,000 histories of 50 readings", trends_case(), 1),
)


def waits_ms(url: str, seconds: float, gap_s: float = GAP_S) -> list[float]:
    """Times from sending each look-up until its answer was read, in ms."""
    address = urlsplit(url)
    connection = HTTPConnection(address.hostname or "", address.port, timeout=30)
    waits = []
    due = time.perf_counter() + gap_s
    end = due + seconds
    while due < end:
        time.sleep(max(0.0, due - time.perf_counter()))
        begun = time.perf_counter()
        connection.request("GET", LOOK_UP)
        reply = connection.getresponse()
        reply.read()
        ended = time.perf_counter()
        if reply.status != 200:
            raise SystemExit(f"{reply.status} for {LOOK_UP}")
        waits.append(1000.0 * (ended - begun))
        due = max(due + gap_s, ended)
    connection.close()
    return waits


def waits_beside(url: str, busy: Busy, seconds: int, folder: Path) -> tuple[list[float], float]:
    """The waits of look-ups while a request keeps the service busy, and how many of those it answered in a second."""
    if busy.case is None:
        return waits_ms(url, seconds), 0.0
    command = ["taskset", "-c", "1", "wrk", "-t1", f"-c{busy.connections}", f"-d{seconds + 2}s", "--timeout", "60s"]
    command += ["-s", str(script(busy.case, url, folder)), url]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as background:
        time.sleep(1.0)
        waits = waits_ms(url, seconds)
        text, _ = background.communicate()
    if "Non-2xx" in text:
        raise SystemExit(f"{busy.name} was refused:\n{text}")
    return waits, float(text.split("Requests/sec:")[1].split()[0])


def percentile(values: Iterable[float], per_cent: int) -> float:
    return statistics.quantiles(values, n=100)[per_cent - 1]


def interference_rows(seconds: int, rounds: int, busy_with: Iterable[Busy] = BUSY) -> list[str]:
    """The rows of the table: the median over the rounds of the percentiles of each."""
    found: dict[str, list[tuple[float, float, float]]] = {busy.name: [] for busy in busy_with}
    with tempfile.TemporaryDirectory() as name, server(SERVICE) as (url, *_):
        # What is loaded by the first drawing is no matter of the later ones.
        _once(url, busy_with)
        for _ in range(rounds):
            for busy in busy_with:
                waits, rate = waits_beside(url, busy, seconds, Path(name))
                found[busy.name].append((percentile(waits, 50), percentile(waits, 99), rate))
    rows = []
    for busy in busy_with:
        half, late, rate = (statistics.median(values) for values in zip(*found[busy.name], strict=True))
        answered = f"{rate:,.0f}/s" if busy.case is not None else ""
        rows.append(f"| {busy.name} | {answered} | {half:.2f} ms | {late:.2f} ms |")
    return rows


def _once(url: str, busy_with: Iterable[Busy]) -> None:
    for busy in busy_with:
        if busy.case is not None:
            headers = {"accept": busy.case.accept} if busy.case.accept else {}
            httpx.post(url + busy.case.path, json=busy.case.body, headers=headers, timeout=60).raise_for_status()
