"""Logging: JSON lines on standard output, one canonical line for each request."""

from __future__ import annotations

import logging
import sys
import time
from typing import Any

import msgspec
import structlog

ENCODER = msgspec.json.Encoder()


def configure_logging() -> None:
    """Set structlog up for JSON lines; the framework's own logging set-up is left out on purpose."""
    structlog.configure(
        cache_logger_on_first_use=True,
        processors=[
            structlog.contextvars.merge_contextvars,
            structlog.processors.add_log_level,
            structlog.processors.TimeStamper(fmt="iso", utc=True),
            structlog.processors.format_exc_info,
            structlog.processors.JSONRenderer(serializer=_encode),
        ],
        wrapper_class=structlog.make_filtering_bound_logger("info"),
        logger_factory=structlog.BytesLoggerFactory(sys.stdout.buffer),
    )


def _encode(event: dict[str, Any], **_: object) -> bytes:
    return msgspec.json.encode(event, enc_hook=repr)


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
    """Writes the canonical line of a request.

    The line is encoded by msgspec and handed to structlog's bytes logger as it is: running the processor chain for
    every request costs four times as much and adds nothing to a line whose fields are fixed.
    """

    def __init__(self, engine: str, data: str) -> None:
        self._logger = structlog.BytesLogger(sys.stdout.buffer)
        self._fixed = {"event": "request", "level": "info", "engine": engine, "data": data}

    def write(self, **fields: object) -> None:
        """One line; the caller's fields follow the fixed ones."""
        self._logger.msg(ENCODER.encode({**self._fixed, **fields}))
