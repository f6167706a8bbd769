"""Settings of property tests, and the service as a process of its own for tests that need real sockets."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import tempfile
import time
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec
import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from collections.abc import Iterator

# The same cases in every run; HYPOTHESIS_PROFILE=deep looks further on demand.
settings.register_profile("steady", derandomize=True, deadline=None, database=None, print_blob=True)
settings.register_profile("deep", deadline=None, max_examples=2000, print_blob=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))

ROOT = Path(__file__).parents[1]
HOST = "127.0.0.1"


@dataclass
class Reply:
    """An HTTP answer as it came over the wire."""

    status: int
    headers: dict[str, str]
    body: bytes
    closed: bool

    def json(self) -> Any:
        return msgspec.json.decode(self.body)


@dataclass
class Server:
    """The service listening on loopback, and what it wrote."""

    port: int
    process: subprocess.Popen[bytes]
    output: Path

    @property
    def url(self) -> str:
        return f"http://{HOST}:{self.port}"

    def connect(self) -> socket.socket:
        return socket.create_connection((HOST, self.port), timeout=10)

    def send(self, raw: bytes) -> Reply:
        """Bytes out, one answer back."""
        with self.connect() as connection:
            # The server may answer and close before it has taken everything.
            with suppress(OSError):
                connection.sendall(raw)
            return self.read(connection)

    def read(self, connection: socket.socket) -> Reply:
        """What comes until the server closes; only for requests that ask it to."""
        return read_reply(connection)

    def lines(self) -> list[dict[str, Any]]:
        """The log so far."""
        return [msgspec.json.decode(line) for line in self.output.read_bytes().splitlines()]


def read_reply(connection: socket.socket) -> Reply:
    received = b""
    closed = True
    try:
        while part := connection.recv(65536):
            received += part
    except ConnectionResetError:
        pass
    except TimeoutError:
        closed = False
    head, _, body = received.partition(b"\r\n\r\n")
    first, *rest = head.decode("latin-1").split("\r\n")
    headers = {name.lower(): value for name, _, value in (line.partition(": ") for line in rest)}
    return Reply(int(first.split()[1]) if first else 0, headers, body, closed)


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind((HOST, 0))
        return int(probe.getsockname()[1])


@contextmanager
def run_service(**environment: str) -> Iterator[Server]:
    """Start the service as an operator does and stop it at the end."""
    port = free_port()
    with tempfile.TemporaryDirectory() as folder:
        output = Path(folder) / "log"
        with output.open("wb") as sink:
            process = subprocess.Popen(
                [sys.executable, "-m", "service", "--port", str(port)],
                cwd=ROOT,
                env={**os.environ, **environment},
                stdout=sink,
                stderr=subprocess.STDOUT,
            )
        server = Server(port, process, output)
        try:
            _wait(server)
            yield server
        finally:
            process.kill()
            process.wait()


def _wait(server: Server) -> None:
    for _ in range(1200):
        try:
            server.connect().close()
        except OSError:
            assert server.process.poll() is None, server.output.read_text(encoding="utf-8")
            time.sleep(0.05)
        else:
            return
    raise AssertionError("the service does not listen")


@pytest.fixture(scope="session", name="start_service")
def _start_service() -> Any:
    """How to start the service with settings of a test's own."""
    return run_service


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    """One service with its default settings."""
    with run_service() as started:
        yield started
