"""Liveness, readiness and metrics; none of them tells more than an operator needs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import msgspec
from litestar import Response, get
from litestar.handlers import HTTPRouteHandler

from service.api.answers import Context, Versions
from service.api.contract import Example, operation
from service.api.metrics import CONTENT_TYPE
from service.api.problems import Refusal
from service.core.chain_length import pitches_approximate

if TYPE_CHECKING:
    from service.api.metrics import Metrics

PRINTED_LENGTH = 102.9
"""Chain length in pitches that mott-4 prints in example 7-3 for 17 and 65 teeth at 30 pitches."""


class Liveness(msgspec.Struct, frozen=True, kw_only=True):
    """The process answers."""

    status: Literal["alive"]


class Readiness(msgspec.Struct, frozen=True, kw_only=True):
    """The tables are loaded and a printed value was reproduced."""

    status: Literal["ready"]
    chain_sizes: int
    publications: int
    versions: Versions


def reproduces_print() -> bool:
    """Whether the engine still computes a value that a textbook prints."""
    length = pitches_approximate(centre_distance_pitches=30, teeth_small=17, teeth_large=65)
    return abs(length - PRINTED_LENGTH) <= 0.05


def routes(context: Context, metrics: Metrics) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @get(
        "/health/live",
        **operation(
            "get_liveness",
            tag="operation",
            summary="Whether the process answers",
            description="For restarts; says nothing about data.",
            examples={"alive": Example("The process answers")},
        ),
    )
    def get_liveness() -> Liveness:
        return Liveness(status="alive")

    @get(
        "/health/ready",
        **operation(
            "get_readiness",
            tag="operation",
            summary="Whether the service can answer calculations",
            description="Tables loaded and checked, and one printed value reproduced; 503 otherwise.",
            examples={"ready": Example("Tables loaded", varying=("chain_sizes", "publications"))},
        ),
    )
    def get_readiness() -> Readiness:
        if not reproduces_print():
            raise Refusal(503, "not_ready", "The self-check does not reproduce its printed value.")
        return Readiness(
            status="ready",
            chain_sizes=len(context.reference.chains.sizes),
            publications=len(context.reference.publications),
            versions=context.versions,
        )

    @get(
        "/metrics",
        **operation(
            "get_metrics",
            tag="operation",
            summary="Counters and durations",
            description="Prometheus exposition format.",
            examples={},
            produces=("text/plain",),
        ),
    )
    def get_metrics() -> Response[bytes]:
        return Response(metrics.text(), media_type=CONTENT_TYPE)

    return [get_liveness, get_readiness, get_metrics]
