"""A sheet as SVG: units are millimetres, lines take the colour of the page, and nothing is told by colour alone."""

from __future__ import annotations

import re
from html import escape
from math import atan2, pi
from typing import TYPE_CHECKING, assert_never

from service.core.plane_curves import Arc
from service.drawings.sheet import Circle, Outline, Stroke

if TYPE_CHECKING:
    from collections.abc import Iterator

    from service.core.plane_curves import Piece
    from service.drawings.sheet import Layer, Shape, Sheet, Words

_NOT_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
"""Characters that XML 1.0 leaves out."""

THICK_SHARE = 1 / 700
"""Width of a visible edge, in widths of the sheet; thin lines have half of it (practice: 0.5 and 0.25 mm on A3)."""

_DASHES: dict[Layer, tuple[float, ...]] = {
    "PITCH_CIRCLE": (18, 3, 3, 3),
    "AXES": (18, 3, 3, 3),
    "SPLIT": (10, 5),
    "ENVELOPE": (8, 4),
    "CIRCLES": (3, 3),
    "BLANK": (14, 4),
}
"""Dashes and gaps of the layers that are no edges, in thick line widths."""

_EDGES: frozenset[Layer] = frozenset({"CUT", "BORE", "KEY", "HOLES", "SPLIT", "CHAIN"})


def svg(sheet: Sheet) -> bytes:
    """The sheet as an SVG document, true to scale in millimetres."""
    width, height = _number(sheet.width), _number(sheet.height)
    view = f"{_number(sheet.left)} {_number(-sheet.bottom - sheet.height)} {width} {height}"
    title = _text(sheet.title)
    frame = f'width="{width}mm" height="{height}mm" viewBox="{view}"'
    style = 'fill="none" stroke="currentColor" stroke-linejoin="round"'
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{title}" {frame} {style}>',
        f"<title>{title}</title><desc>{_text(sheet.description)}</desc>",
        *_layers(sheet),
        '<g fill="currentColor" stroke="none" font-family="sans-serif">',
        *(_words(words) for words in sheet.words),
        "</g></svg>",
    ]
    return "\n".join(parts).encode()


def _layers(sheet: Sheet) -> Iterator[str]:
    """A group for each layer, in the order in which the layers come on the sheet."""
    groups: dict[Layer, list[str]] = {}
    for shape in sheet.shapes:
        groups.setdefault(_layer(shape), []).append(_shape(shape))
    thick = sheet.width * THICK_SHARE
    for layer, drawn in groups.items():
        line = thick if layer in _EDGES else thick / 2
        dashes = " ".join(_number(step * thick) for step in _DASHES.get(layer, ()))
        dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
        yield f'<g id="{layer}" stroke-width="{_number(line)}"{dashed}>{"".join(drawn)}</g>'


def _layer(shape: Shape) -> Layer:
    return shape.runs[0].layer if isinstance(shape, Outline) else shape.layer


def _shape(shape: Shape) -> str:
    match shape:
        case Outline():
            pieces = [piece for run in shape.runs for piece in run.pieces]
            start = pieces[0].start
            path = "".join(_step(piece) for piece in pieces)
            close = "Z" if shape.closed else ""
            return f'<path d="M{_number(start.x)} {_number(-start.y)}{path}{close}"/>'
        case Circle():
            x, y = _number(shape.centre.x), _number(-shape.centre.y)
            return f'<circle cx="{x}" cy="{y}" r="{_number(shape.radius)}"/>'
        case Stroke():
            start, end = shape.start, shape.end
            return f'<path d="M{_number(start.x)} {_number(-start.y)}L{_number(end.x)} {_number(-end.y)}"/>'
        case _:
            assert_never(shape)


def _step(piece: Piece) -> str:
    end = f"{_number(piece.end.x)} {_number(-piece.end.y)}"
    if not isinstance(piece, Arc):
        return f"L{end}"
    radius = _number(piece.radius)
    # With y pointing down, an arc that runs anticlockwise on paper has the sweep flag 0.
    return f"A{radius} {radius} 0 {int(_sweep(piece) > pi)} {int(not piece.anticlockwise)} {end}"


def _sweep(arc: Arc) -> float:
    start = atan2(arc.start.y - arc.centre.y, arc.start.x - arc.centre.x)
    end = atan2(arc.end.y - arc.centre.y, arc.end.x - arc.centre.x)
    return (end - start if arc.anticlockwise else start - end) % (2 * pi)


def _words(words: Words) -> str:
    anchor = "" if words.anchor == "start" else f' text-anchor="{words.anchor}"'
    at = f'x="{_number(words.at.x)}" y="{_number(-words.at.y)}"'
    return f'<text {at} font-size="{_number(words.height)}"{anchor}>{_text(words.text)}</text>'


def _text(text: str) -> str:
    return escape(_NOT_XML.sub("\ufffd", text))


def _number(value: float) -> str:
    """To the nearest micrometre."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
