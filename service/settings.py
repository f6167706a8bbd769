"""Settings, read once from the environment when the process starts."""

from __future__ import annotations

import os
from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

PREFIX = "CHAIN_SERVICE_"

MOST_BATCH_BYTES = 8 * 1_048_576
"""Largest body of a batch unless set otherwise: a thousand histories of fifty readings with room to spare."""


@dataclass(frozen=True, slots=True)
class Settings:
    """What an operator may set; every default serves one worker on loopback.

    Attributes:
        api_keys: Accepted values of the X-API-Key header; empty switches the check off.
        allowed_origins: Origins that a browser may call from; empty switches CORS off.
        max_body_bytes: Largest body read.
        max_batch_body_bytes: Largest body read of a batch of wear readings, histories or pairs of chains.
        max_header_bytes: Largest sum of header names and values.
        max_concurrent_requests: Requests under way in one process before further ones get 503.
        body_timeout_s: Time in which a body must have arrived.
        shutdown_timeout_s: Time that requests under way are given when the process is told to stop.
        log_requests: Whether each request writes one JSON line to standard output.
    """

    api_keys: tuple[str, ...] = ()
    allowed_origins: tuple[str, ...] = ()
    max_body_bytes: int = 1_048_576
    max_batch_body_bytes: int = MOST_BATCH_BYTES
    max_header_bytes: int = 32_768
    max_concurrent_requests: int = 256
    body_timeout_s: float = 15.0
    shutdown_timeout_s: int = 10
    log_requests: bool = True


def read_settings(environment: Mapping[str, str] = os.environ) -> Settings:
    """Settings from ``CHAIN_SERVICE_...`` variables.

    Raises:
        ValueError: a number cannot be read; the message names the variable.
    """

    def number(name: str, default: float) -> float:
        text = environment.get(PREFIX + name, "")
        try:
            value = float(text) if text else default
        except ValueError as error:
            raise ValueError(f"{PREFIX}{name} is not a number: {text!r}") from error
        if not 0 < value < 1e9:
            raise ValueError(f"{PREFIX}{name} must be above zero and finite: {text!r}")
        return value

    def names(name: str) -> tuple[str, ...]:
        return tuple(part.strip() for part in environment.get(PREFIX + name, "").split(",") if part.strip())

    standard = Settings()
    return Settings(
        api_keys=names("API_KEYS"),
        allowed_origins=names("ALLOWED_ORIGINS"),
        max_body_bytes=int(number("MAX_BODY_BYTES", standard.max_body_bytes)),
        max_batch_body_bytes=int(number("MAX_BATCH_BODY_BYTES", standard.max_batch_body_bytes)),
        max_header_bytes=int(number("MAX_HEADER_BYTES", standard.max_header_bytes)),
        max_concurrent_requests=int(number("MAX_CONCURRENT_REQUESTS", standard.max_concurrent_requests)),
        body_timeout_s=number("BODY_TIMEOUT_S", standard.body_timeout_s),
        shutdown_timeout_s=ceil(number("SHUTDOWN_TIMEOUT_S", standard.shutdown_timeout_s)),
        log_requests=environment.get(PREFIX + "LOG_REQUESTS", "1") != "0",
    )
