"""Reads the paths of an SVG back, independently of how they were written: only M, L, A and Z, y turned upwards."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from math import atan2, cos, hypot, pi, sin, sqrt

SPACE = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class Piece:
    """A line (no centre) or an arc of a path."""

    start: tuple[float, float]
    end: tuple[float, float]
    centre: tuple[float, float] | None = None
    radius: float = 0.0
    turn: float = 0.0
    """Angle from start to end about the centre, anticlockwise positive."""

    def points(self, count: int = 16) -> list[tuple[float, float]]:
        """Points along the piece, without its end."""
        if self.centre is None:
            return [self.start]
        (x, y), begin = self.centre, atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])
        angles = [begin + self.turn * step / count for step in range(count)]
        return [(x + self.radius * cos(angle), y + self.radius * sin(angle)) for angle in angles]

    def distance(self, x: float, y: float) -> float:
        """From a point to the piece."""
        ends = min(hypot(x - self.start[0], y - self.start[1]), hypot(x - self.end[0], y - self.end[1]))
        if self.centre is None:
            dx, dy = self.end[0] - self.start[0], self.end[1] - self.start[1]
            along = ((x - self.start[0]) * dx + (y - self.start[1]) * dy) / (dx * dx + dy * dy)
            on = 0 <= along <= 1
            return abs((x - self.start[0]) * dy - (y - self.start[1]) * dx) / hypot(dx, dy) if on else ends
        begin = atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])
        ray = atan2(y - self.centre[1], x - self.centre[0])
        swept = (ray - begin if self.turn > 0 else begin - ray) % (2 * pi)
        if swept > abs(self.turn):
            return ends
        return abs(hypot(x - self.centre[0], y - self.centre[1]) - self.radius)


def root_of(content: bytes) -> ET.Element:
    return ET.fromstring(content)  # noqa: S314 our own document


def group(root: ET.Element, layer: str) -> ET.Element:
    return next(found for found in root.iter(f"{SPACE}g") if found.get("id") == layer)


def pieces_of(path: str) -> list[Piece]:
    """The pieces of a closed path."""
    assert path.endswith("Z")
    pieces, here = [], (0.0, 0.0)
    for command, text in re.findall("([MLA])([^MLAZ]*)", path):
        numbers = [float(number) for number in text.split()]
        end = (numbers[-2], -numbers[-1])
        if command == "L":
            pieces.append(Piece(here, end))
        elif command == "A":
            radius, other, tilt, large, sweep = numbers[:5]
            assert radius == other
            assert tilt == 0
            pieces.append(arc(here, end, radius, large=bool(large), anticlockwise=not sweep))
        here = end
    return pieces


def arc(
    start: tuple[float, float], end: tuple[float, float], radius: float, *, large: bool, anticlockwise: bool
) -> Piece:
    """Centre and turn of an arc given by its ends (SVG 1.1, implementation notes)."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    chord = hypot(dx, dy)
    rise = sqrt(max(radius * radius - chord * chord / 4, 0.0))
    # Seen from the start, the centre of a small anticlockwise arc lies left of the chord.
    side = 1 if anticlockwise != large else -1
    centre = (
        (start[0] + end[0]) / 2 - side * rise * dy / chord,
        (start[1] + end[1]) / 2 + side * rise * dx / chord,
    )
    begin = atan2(start[1] - centre[1], start[0] - centre[0])
    finish = atan2(end[1] - centre[1], end[0] - centre[0])
    swept = (finish - begin if anticlockwise else begin - finish) % (2 * pi)
    return Piece(start, end, centre, radius, swept if anticlockwise else -swept)
