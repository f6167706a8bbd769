"""Assembly: the one place that wires settings, reference data, routes and the outer layer together."""

from __future__ import annotations

import asyncio
import gc
import sys
from typing import TYPE_CHECKING, Any

import msgspec
import structlog
from litestar import Litestar, Request, Response, get
from litestar.exceptions import HTTPException
from litestar.openapi.config import OpenAPIConfig
from litestar.openapi.spec import Contact, License, Server, Tag

from service import __version__
from service.api import (
    attachment_layouts,
    attachments,
    chain_extensions,
    chain_lengths,
    chain_loops,
    chain_sags,
    chains,
    codes,
    conveyor_sizings,
    designation_matches,
    documentation,
    drive_checks,
    drive_sizings,
    elongation_batches,
    elongation_checks,
    elongation_trends,
    engineering_sprocket_geometries,
    equations,
    factors,
    families,
    family_selections,
    fault_findings,
    finding_codes,
    health,
    identifications,
    inspection_sheets,
    interchange_batches,
    interchange_checks,
    lifting_checks,
    load_chain_wear_checks,
    lubrication_advice,
    plain_wheel_geometries,
    pocket_wheel_geometries,
    quantity_readings,
    silent_sprocket_geometries,
    sources,
    sprocket_geometries,
    strength_checks,
    tables,
    units,
)
from service.api.answers import Context
from service.api.contract import build_contract
from service.api.edge import Edge
from service.api.logs import RequestLog, configure_logging
from service.api.metrics import Metrics
from service.api.problems import Refusal, on_engineering_error, on_fault, on_http_exception, on_refusal
from service.api.protocol import check_protocol
from service.api.representations import StructResponse
from service.core.errors import EngineeringError
from service.reference.catalogue import load_reference
from service.settings import Settings, read_settings

if TYPE_CHECKING:
    from litestar.handlers import HTTPRouteHandler

HAND_ON_S = 0.0002
"""After so long a thread that computes hands the interpreter on to one that waits."""

DESCRIPTION = """Engineering of power-transmission and conveying chain: specifications, drive sizing, chain length,
sprocket geometry and wear, each by computation from published relations, each figure with its source.

Every POST is a pure calculation: nothing is stored, the same body and versions give the same bytes, and a request is
safe to repeat. Where a JSON object names a key twice the body is refused. Request lines over 64 KiB and malformed HTTP
are answered by the server itself in plain text."""

TAGS = [
    Tag("catalogue", "Chains and what is known of them"),
    Tag("choice", "Choice and exchange of chain"),
    Tag("drives", "Sizing and checking of drives"),
    Tag("layout", "Lengths, centres and loops"),
    Tag("wheels", "Geometry of wheels"),
    Tag("conveyors", "Conveyors and elevators"),
    Tag("strength", "Strength of chain, and chain that lifts"),
    Tag("wear", "Elongation and its limits"),
    Tag("provenance", "Publications, equations, units and codes"),
    Tag("operation", "Health and metrics"),
]


def create_served_app() -> Edge:
    """The application of a process that does nothing but serve it.

    What is made here lives as long as the process, so the collector of reference cycles need not walk it: neither
    while it is made, which would take a third of the start, nor in the pauses of later requests.
    """
    # Drawings and batches compute in threads; at the interpreter's own 5 ms a look-up would wait that long for each of
    # its steps while one of them runs (measured: p50 5 ms against 0.7 ms with a drawing under way).
    sys.setswitchinterval(HAND_ON_S)
    gc.disable()
    app = create_app()
    gc.freeze()
    gc.enable()
    return app


def create_app(settings: Settings | None = None) -> Edge:
    """The service as an ASGI application.

    Raises:
        BadTable: a reference file is wrong; the service does not start.
    """
    settings = settings or read_settings()
    configure_logging()
    context = Context.of(load_reference(), settings.max_batch_body_bytes)
    metrics = Metrics()
    inner = create_inner(settings, context, metrics)
    log = structlog.get_logger()
    log.info(
        "started",
        engine=context.versions.engine,
        data=context.versions.data,
        chain_sizes=len(context.reference.chains.sizes),
    )
    # Tables, routes and types live as long as the process: the collector need not walk them again and again.
    gc.freeze()
    gc.enable()
    return Edge(inner, settings, metrics, RequestLog(context.versions.engine, context.versions.data))


def create_inner(settings: Settings, context: Context, metrics: Metrics) -> Litestar:
    """The routes without the outer layer."""
    return Litestar(
        [*_routes(context, metrics), *documentation.routes(), _openapi_route()],
        before_request=check_protocol,
        exception_handlers={
            Refusal: on_refusal,
            EngineeringError: on_engineering_error,
            HTTPException: on_http_exception,
            Exception: on_fault,
        },
        response_class=StructResponse,
        request_max_body_size=settings.max_body_bytes,
        logging_config=None,
        openapi_config=OpenAPIConfig(
            "Chain engineering service",
            __version__,
            description=DESCRIPTION,
            contact=Contact(name="The maintainers"),
            license=License(name="Apache-2.0", identifier="Apache-2.0"),
            servers=[Server(url="/", description="Where this document was read")],
            tags=TAGS,
            path="/framework-document",
            render_plugins=[],
        ),
    )


def _routes(context: Context, metrics: Metrics) -> list[HTTPRouteHandler]:
    return [
        *chains.routes(context),
        *families.routes(context),
        *attachments.routes(context),
        *family_selections.routes(context),
        *designation_matches.routes(context),
        *interchange_checks.routes(context),
        *interchange_batches.routes(context),
        *identifications.routes(context),
        *chain_lengths.routes(context),
        *chain_loops.routes(context),
        *chain_sags.routes(context),
        *chain_extensions.routes(context),
        *attachment_layouts.routes(context),
        *sprocket_geometries.routes(context),
        *silent_sprocket_geometries.routes(context),
        *engineering_sprocket_geometries.routes(context),
        *pocket_wheel_geometries.routes(context),
        *plain_wheel_geometries.routes(context),
        *drive_sizings.routes(context),
        *drive_checks.routes(context),
        *elongation_checks.routes(context),
        *elongation_batches.routes(context),
        *fault_findings.routes(context),
        *finding_codes.routes(context),
        *lubrication_advice.routes(context),
        *inspection_sheets.routes(context),
        *lifting_checks.routes(context),
        *strength_checks.routes(context),
        *conveyor_sizings.routes(context),
        *quantity_readings.routes(context),
        *sources.routes(context),
        *equations.routes(context),
        *units.routes(context),
        *codes.routes(context),
        *tables.routes(context),
        *factors.routes(context),
        *elongation_trends.routes(context),
        *load_chain_wear_checks.routes(context),
        *health.routes(context, metrics),
    ]


def _openapi_route() -> HTTPRouteHandler:
    made: list[bytes] = []
    one_at_a_time = asyncio.Lock()

    def make(app: Litestar) -> None:
        made.append(msgspec.json.encode(asyncio.run(build_contract(app))))

    @get("/openapi.json", include_in_schema=False)
    async def get_openapi(request: Request[Any, Any, Any]) -> Response[bytes]:
        # All examples are executed, which takes a second or two: other requests are answered meanwhile.
        async with one_at_a_time:
            if not made:
                await asyncio.to_thread(make, request.app)
        return Response(made[0], media_type="application/json", headers={"cache-control": "no-cache"})

    return get_openapi
