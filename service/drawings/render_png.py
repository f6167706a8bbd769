"""Program: SVG on standard input, PNG of the width in the first argument on standard output."""

from __future__ import annotations

import sys
from pathlib import Path

import resvg_py

# The letters are our own file, so that the picture is the same on every machine, also where no fonts are installed.
LETTERS = Path(__file__).parent / "letters" / "DejaVuSans.ttf"
FAMILY = "DejaVu Sans"


def render(document: str, width: int) -> bytes:
    """The picture on white."""
    return resvg_py.svg_to_bytes(
        svg_string=document,
        width=width,
        background="white",
        dpi=96,
        skip_system_fonts=True,
        font_files=[str(LETTERS)],
        font_family=FAMILY,
        sans_serif_family=FAMILY,
    )


if __name__ == "__main__":
    sys.stdout.buffer.write(render(sys.stdin.buffer.read().decode(), int(sys.argv[1])))
