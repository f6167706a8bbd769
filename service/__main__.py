"""``python -m service``: serve on one worker."""

from __future__ import annotations

import argparse
import gc

import uvicorn

from service.api.logs import SERVER_LOGGING
from service.settings import read_settings


def main() -> None:
    """Read the command line and serve until told to stop."""
    parser = argparse.ArgumentParser(prog="python -m service", description="Serve chain engineering over HTTP.")
    parser.add_argument("--host", default="127.0.0.1", help="address to listen on (default %(default)s)")
    parser.add_argument("--port", type=int, default=8000, help="port to listen on (default %(default)s)")
    parser.add_argument("--workers", type=int, default=1, help="processes (default %(default)s)")
    arguments = parser.parse_args()
    # Hardly anything made while starting is garbage; the application switches the collector on when it stands.
    gc.disable()
    uvicorn.run(
        "service.app:create_served_app",
        factory=True,
        host=arguments.host,
        port=arguments.port,
        workers=arguments.workers,
        # The outer layer writes one line for each request; the server's own would be a second.
        access_log=False,
        log_config=SERVER_LOGGING,
        server_header=False,
        # Without a limit one half-sent request keeps the process alive past its signal to stop.
        timeout_graceful_shutdown=read_settings().shutdown_timeout_s,
        ws="none",
    )


if __name__ == "__main__":
    main()
