"""``GET /docs``: a page of our own that lists the operations, shows schemas and examples, and sends requests.

It asks nothing of any other host, so it works without internet; its policy forbids the browser to try.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from litestar import Request, get
from litestar.handlers import HTTPRouteHandler

from service.api.representations import Reply, Representation

FOLDER = Path(__file__).parent / "docs_page"
FILES = {
    "/docs": ("page.html", "text/html"),
    "/docs/page.js": ("page.js", "text/javascript"),
    "/docs/page.css": ("page.css", "text/css"),
}
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src blob: data:; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)


def routes() -> list[HTTPRouteHandler]:
    """The page and its parts, read once."""
    return [_route(path, name, media_type) for path, (name, media_type) in FILES.items()]


def _route(path: str, name: str, media_type: str) -> HTTPRouteHandler:
    policy = [(b"content-security-policy", POLICY.encode())]
    page = Representation((FOLDER / name).read_bytes(), f"{media_type}; charset=utf-8", policy)

    @get(path, include_in_schema=False, sync_to_thread=False, opt={"produces": (media_type,)})
    def get_page(request: Request[Any, Any, Any]) -> Reply:
        return page.reply(request)

    return get_page
