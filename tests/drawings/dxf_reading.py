"""Reads a DXF back by its group codes alone, without the library that wrote it."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin


@dataclass(frozen=True)
class Entity:
    """One entity: its kind, its layer and the other group codes."""

    kind: str
    layer: str
    codes: dict[int, str]

    def number(self, code: int) -> float:
        return float(self.codes[code])

    def point(self, code: int) -> tuple[float, float]:
        return self.number(code), self.number(code + 10)

    def ends(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Both ends of a line or an arc."""
        if self.kind == "LINE":
            return self.point(10), self.point(11)
        x, y = self.point(10)
        radius = self.number(40)
        begin, end = (radians(self.number(code)) for code in (50, 51))
        return (x + radius * cos(begin), y + radius * sin(begin)), (x + radius * cos(end), y + radius * sin(end))


def pairs_of(content: bytes) -> list[tuple[int, str]]:
    lines = content.decode("cp1252").split("\n")
    return [(int(code), value) for code, value in zip(lines[0::2], lines[1::2], strict=False) if code.strip()]


def header_of(content: bytes, name: str) -> str:
    pairs = pairs_of(content)
    return pairs[pairs.index((9, name)) + 1][1]


def entities_of(content: bytes) -> list[Entity]:
    pairs = pairs_of(content)
    begin = pairs.index((2, "ENTITIES")) + 1
    found: list[Entity] = []
    for code, value in pairs[begin : pairs.index((0, "ENDSEC"), begin)]:
        if code == 0:
            found.append(Entity(value, "", {}))
        elif code == 8:
            found[-1] = Entity(found[-1].kind, value, found[-1].codes)
        else:
            found[-1].codes.setdefault(code, value)
    return found
