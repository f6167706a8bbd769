"""Logging: JSON lines on standard output, one canonical line for each request.

Fields are fixed and few, so msgspec writes the lines; a logging library brought 65 ms to the start and 10 MiB of
formatters for terminals, and its chain of processors cost four times as much for each request.
"""

from __future__ import annotations

import logging
import sys
import time
from datetime import UTC, datetime
from traceback import format_exception
from typing import TYPE_CHECKING, Any

import msgspec

if TYPE_CHECKING:
    from typing import BinaryIO, Literal

ENCODER = msgspec.json.Encoder()


def tell(level: Literal["info", "error"], event: str, fault: BaseException | None = None, **fields: object) -> None:
    """Write what happened beside requests as one line, with the traceback of a fault."""
    line = {"event": event, "level": level, "timestamp": datetime.now(UTC).isoformat().replace("+00:00", "Z"), **fields}
    if fault is not None:
        line["exception"] = "".join(format_exception(fault)).rstrip()
    _write(sys.stdout.buffer, line)


def _write(stream: BinaryIO, line: dict[str, object]) -> None:
    # One write for each line, so that lines of several threads do not mix; at once, so that a stop loses none.
    stream.write(ENCODER.encode(line) + b"\n")
    stream.flush()


class JsonLine(logging.Formatter):
    """What the server itself says (malformed HTTP, a request cancelled at the stop), in lines of the same form."""

    def format(self, record: logging.LogRecord) -> str:
        """One record as one line."""
        line = {
            "event": record.getMessage()[:500],
            "level": record.levelname.lower(),
            "logger": record.name,
            "timestamp": time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(record.created)),
        }
        if record.exc_info:
            line["exception"] = self.formatException(record.exc_info)
        return ENCODER.encode(line).decode()


SERVER_LOGGING: dict[str, Any] = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"json": {"()": "service.api.logs.JsonLine"}},
    "handlers": {"out": {"class": "logging.StreamHandler", "formatter": "json", "stream": "ext://sys.stdout"}},
    "loggers": {"uvicorn": {"handlers": ["out"], "level": "WARNING", "propagate": False}},
}


class RequestLog:
    """Writes the canonical line of a request."""

    def __init__(self, engine: str, data: str) -> None:
        self._stream = sys.stdout.buffer
        self._fixed = {"event": "request", "level": "info", "engine": engine, "data": data}

    def write(self, **fields: object) -> None:
        """One line; the caller's fields follow the fixed ones."""
        _write(self._stream, {**self._fixed, **fields})
