"""Prometheus metrics: requests by route and status, and their duration."""

from __future__ import annotations

from prometheus_client import CollectorRegistry, Counter, Histogram, generate_latest

CONTENT_TYPE = "text/plain; version=0.0.4; charset=utf-8"
_BUCKETS = (0.0005, 0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5)


class Metrics:
    """Counters of one process; label children are kept, since looking them up costs more than counting."""

    def __init__(self) -> None:
        self.registry = CollectorRegistry()
        self._requests = Counter(
            "chain_service_requests_total", "Requests answered.", ["method", "route", "status"], registry=self.registry
        )
        self._seconds = Histogram(
            "chain_service_request_seconds", "Time to answer.", ["route"], buckets=_BUCKETS, registry=self.registry
        )
        self._children: dict[tuple[str, str, int | None], tuple[Counter, Histogram]] = {}

    def count(self, method: str, route: str, status: int | None, seconds: float) -> None:
        """Count one request; ``route`` is the template, so that the number of series stays bounded.

        A status of None stands for a request that ended without an answer.
        """
        key = (method, route, status)
        children = self._children.get(key)
        if children is None:
            children = self._children[key] = (
                self._requests.labels(method, route, str(status or "none")),
                self._seconds.labels(route),
            )
        children[0].inc()
        children[1].observe(seconds)

    def text(self) -> bytes:
        """The exposition format."""
        return generate_latest(self.registry)
