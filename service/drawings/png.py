"""A drawing as PNG, rendered from its SVG."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

RENDERER = Path(__file__).with_name("render_png.py")
LONGEST_S = 30.0
"""A picture takes about 0.2 s; a renderer that hangs is given up after this."""


def png(document: bytes, width: int) -> bytes:
    """An SVG document as a picture of a width in pixels, on white.

    The renderer is a program of its own: it holds the interpreter for the whole of its work, which would keep every
    other request waiting, and what breaks in its compiled code breaks nothing else.

    Raises:
        subprocess.CalledProcessError: the renderer failed, which is a fault of the service.
    """
    command = [sys.executable, "-I", str(RENDERER), str(width)]
    done = subprocess.run(command, input=document, capture_output=True, timeout=LONGEST_S, check=True)  # noqa: S603 our own program and a number
    return done.stdout
