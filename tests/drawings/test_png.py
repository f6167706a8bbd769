"""The picture: of the asked size, on white, showing the wheel, the same each time, and made outside of the service."""

from __future__ import annotations

import struct
import subprocess
import sys
import zlib

import pytest

from service.drawings.png import png
from service.drawings.svg import svg
from service.drawings.wheel import wheel_sheet
from tests.drawings.wheels import asme_view


def pixels_of(content: bytes) -> tuple[int, int, list[bytes]]:
    """Width, height and rows of an 8-bit PNG without interlace, by the PNG specification."""
    assert content.startswith(b"\x89PNG\r\n\x1a\n")
    at, data, header = 8, b"", b""
    while at < len(content):
        length, kind = struct.unpack(">I4s", content[at : at + 8])
        chunk = content[at + 8 : at + 8 + length]
        assert struct.unpack(">I", content[at + 8 + length : at + 12 + length])[0] == zlib.crc32(kind + chunk)
        header = chunk if kind == b"IHDR" else header
        data += chunk if kind == b"IDAT" else b""
        at += 12 + length
    width, height, depth, colour, _, _, interlace = struct.unpack(">IIBBBBB", header)
    assert (depth, interlace) == (8, 0)
    size = {0: 1, 2: 3, 4: 2, 6: 4}[colour]
    raw, rows, above = zlib.decompress(data), [], bytes(width * size)
    for row in range(height):
        begin = row * (width * size + 1)
        above = _unfiltered(raw[begin], raw[begin + 1 : begin + 1 + width * size], above, size)
        rows.append(bytes(above[column * size] for column in range(width)))
    return width, height, rows


def _unfiltered(kind: int, line: bytes, above: bytes, size: int) -> bytes:
    out = bytearray(line)
    for i in range(len(out)):
        left = out[i - size] if i >= size else 0
        corner = above[i - size] if i >= size else 0
        guess = 0
        if kind == 1:
            guess = left
        elif kind == 2:
            guess = above[i]
        elif kind == 3:
            guess = (left + above[i]) // 2
        elif kind == 4:
            near = left + above[i] - corner
            guess = min((left, above[i], corner), key=lambda value: abs(near - value))
        out[i] = (out[i] + guess) & 255
    return bytes(out)


def test_picture_shows_the_wheel_on_white():
    sheet = wheel_sheet(asme_view(17))
    width, height, rows = pixels_of(png(svg(sheet), 1200))
    assert width == 1200
    assert height == pytest.approx(1200 * sheet.height / sheet.width, abs=1)
    assert rows[0][0] == rows[-1][-1] == 255
    scale = width / sheet.width
    centre = round(-sheet.left * scale), round((sheet.bottom + sheet.height) * scale)
    # Up the vertical from above the centre, beside the dashed axis, the first dark line is the bottom of the gap there.
    up = [min(rows[centre[1] - step][centre[0] + beside] for beside in (5, 6)) < 128 for step in range(60, centre[1])]
    assert (60 + up.index(True)) / scale == pytest.approx(asme_view(17).root_diameter_mm / 2, abs=2 / scale)


def test_text_is_drawn_without_fonts_of_the_machine():
    bare = asme_view(17, facts=(), notes=())
    told = asme_view(17, facts=(("Żółw", "Ø 25 mm ½"),), notes=())
    rows = [pixels_of(png(svg(wheel_sheet(view)), 800))[2] for view in (bare, told)]
    dark = [sum(value < 128 for row in picture for value in row) for picture in rows]
    assert dark[1] > dark[0] + 40


def test_same_document_is_the_same_picture():
    document = svg(wheel_sheet(asme_view(17)))
    assert png(document, 320) == png(document, 320)


def test_start_of_the_service_loads_no_drawing_library():
    code = (
        "import sys; from service.app import create_app; create_app(); "
        "print([name for name in ('ezdxf', 'numpy', 'resvg_py', 'fontTools') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    assert done.stdout.splitlines()[-1] == "[]"
