"""A sheet as DXF (release 2000): true lines, arcs and circles on named layers, in declared units."""

from __future__ import annotations

import io
import logging
from math import atan2, degrees
from typing import TYPE_CHECKING, Literal, assert_never

# While it is loaded the library looks for fonts, which are not used here, and complains where it cannot note them in
# the home folder, as in a container; its plain lines would stand among the log of the service.
logging.getLogger("ezdxf").setLevel(logging.ERROR)

# ruff: noqa: E402
from ezdxf._options import options
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new
from ezdxf.units import IN, MM

from service.core.conversions import MM_PER_INCH
from service.core.plane_curves import Arc, Point
from service.drawings.sheet import Circle, Outline, Stroke, Words

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

    from service.core.plane_curves import Piece
    from service.drawings.sheet import Layer, Shape, Sheet

Unit = Literal["mm", "in"]

# Dates, identifiers and the like are fixed, so that the same wheel is the same file.
options.write_fixed_meta_data_for_testing = True

_MM_PER: dict[Unit, float] = {"mm": 1.0, "in": MM_PER_INCH}
_UNITS_CODE: dict[Unit, int] = {"mm": MM, "in": IN}
_LINE_TYPES: dict[Layer, str] = {
    "PITCH_CIRCLE": "CENTRE",
    "AXES": "CENTRE",
    "SPLIT": "DASHED",
    "ENVELOPE": "DASHED",
    "CIRCLES": "DASHED",
    "BLANK": "DASHED",
}
_ALIGNMENT = {
    "start": TextEntityAlignment.LEFT,
    "middle": TextEntityAlignment.CENTER,
    "end": TextEntityAlignment.RIGHT,
}


def dxf(sheet: Sheet, unit: Unit) -> bytes:
    """The sheet as a DXF document in a unit of length."""
    document = new("R2000")
    document.units = _UNITS_CODE[unit]
    document.header["$MEASUREMENT"] = int(unit == "mm")
    scale = 1 / _MM_PER[unit]
    _lay_out_layers(document, sheet, scale)
    space = document.modelspace()
    for shape in sheet.shapes:
        _add_shape(space, shape, scale)
    for words in (*sheet.words, _unit_stated(sheet, unit)):
        _add_words(space, words, scale)
    written = io.StringIO()
    document.write(written)
    return written.getvalue().encode(document.output_encoding, errors="dxfreplace")


def _lay_out_layers(document: Drawing, sheet: Sheet, scale: float) -> None:
    """The layers that the sheet uses, in its order; dashes in proportion to the sheet."""
    step = sheet.width * scale / 200
    document.linetypes.add("DASHED", [3 * step, 2 * step, -step], description="dashes")
    document.linetypes.add("CENTRE", [6 * step, 4 * step, -step / 2, step, -step / 2], description="dash, dot")
    used: dict[Layer, None] = {}
    for shape in sheet.shapes:
        layers = [run.layer for run in shape.runs] if isinstance(shape, Outline) else [shape.layer]
        used.update(dict.fromkeys(layers))
    for layer in [*used, "TEXT"]:
        document.layers.add(layer, linetype=_LINE_TYPES.get(layer, "CONTINUOUS"))


def _add_shape(space: Modelspace, shape: Shape, scale: float) -> None:
    match shape:
        case Outline():
            for run in shape.runs:
                for piece in run.pieces:
                    _add_piece(space, piece, run.layer, scale)
        case Circle():
            space.add_circle(_at(shape.centre, scale), shape.radius * scale, {"layer": shape.layer})
        case Stroke():
            space.add_line(_at(shape.start, scale), _at(shape.end, scale), {"layer": shape.layer})
        case _:
            assert_never(shape)


def _add_piece(space: Modelspace, piece: Piece, layer: Layer, scale: float) -> None:
    if not isinstance(piece, Arc):
        space.add_line(_at(piece.start, scale), _at(piece.end, scale), {"layer": layer})
        return
    # An arc of DXF always runs anticlockwise.
    first, last = (piece.start, piece.end) if piece.anticlockwise else (piece.end, piece.start)
    begin, end = _direction(piece.centre, first), _direction(piece.centre, last)
    space.add_arc(_at(piece.centre, scale), piece.radius * scale, begin, end, dxfattribs={"layer": layer})


def _add_words(space: Modelspace, words: Words, scale: float) -> None:
    text = space.add_text(words.text, height=words.height * scale, dxfattribs={"layer": "TEXT"})
    text.set_placement(_at(words.at, scale), align=_ALIGNMENT[words.anchor])


def _unit_stated(sheet: Sheet, unit: Unit) -> Words:
    """The unit in plain words above the frame, for readers that ignore the declared one."""
    height = max(words.height for words in sheet.words)
    return Words(Point(sheet.left, sheet.bottom + sheet.height + height), height, f"Unit of this drawing: {unit}")


def _at(point: Point, scale: float) -> tuple[float, float]:
    return (point.x * scale, point.y * scale)


def _direction(centre: Point, point: Point) -> float:
    return degrees(atan2(point.y - centre.y, point.x - centre.x)) % 360
