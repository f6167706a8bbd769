"""Layouts of wheels for the tests of loops: rows computed independently, and rings of any number of wheels."""

from __future__ import annotations

import random
from math import cos, pi, sin, tau

from service.core.loops import Side, Wheel
from service.core.pitch_circles import pitch_radius


def toothed(x: float, y: float, teeth: float, pitch_mm: float, side: Side = "inside") -> Wheel:
    radius = pitch_radius(teeth=teeth, pitch_mm=pitch_mm)
    return Wheel(
        x_mm=x, y_mm=y, pitch_radius_mm=radius, outside_radius_mm=radius + 0.3 * pitch_mm, teeth=teeth, side=side
    )


def plain(x: float, y: float, radius: float, side: Side = "inside") -> Wheel:
    return Wheel(x_mm=x, y_mm=y, pitch_radius_mm=radius, outside_radius_mm=radius, teeth=None, side=side)


def ring(count: int, pitch_mm: float, seed: int, *, outside: bool = True) -> list[Wheel]:
    """Wheels of mixed size round a circle, listed anticlockwise; every second one presses in from outside if asked."""
    chance = random.Random(seed)  # noqa: S311 layouts are no secrets
    inner = [chance.randint(9, 25) for _ in range(count)]
    radius = pitch_mm * (6 * count + 40)
    wheels = []
    for index, teeth in enumerate(inner):
        angle = tau * (index + chance.uniform(-0.1, 0.1)) / count
        bends_back = outside and index % 2 == 1
        # Neighbours' outer tangent passes at this distance from the middle; an outside wheel has to reach below it.
        chord = radius * cos(tau / count) + 0.5 / sin(pi / 25) * pitch_mm
        own = pitch_radius(teeth=teeth, pitch_mm=pitch_mm)
        distance = chord + own - chance.uniform(15, 25) * pitch_mm if bends_back else radius
        side: Side = "outside" if bends_back else "inside"
        wheels.append(toothed(distance * cos(angle), distance * sin(angle), teeth, pitch_mm, side))
    return wheels


def turned(wheels: list[Wheel], angle: float) -> list[Wheel]:
    c, s = cos(angle), sin(angle)
    return [w._replace(x_mm=c * w.x_mm - s * w.y_mm, y_mm=s * w.x_mm + c * w.y_mm) for w in wheels]


def shifted(wheels: list[Wheel], dx: float, dy: float) -> list[Wheel]:
    return [w._replace(x_mm=w.x_mm + dx, y_mm=w.y_mm + dy) for w in wheels]


def mirrored(wheels: list[Wheel]) -> list[Wheel]:
    return [w._replace(y_mm=-w.y_mm) for w in wheels]


def scaled(wheels: list[Wheel], factor: float) -> list[Wheel]:
    return [
        w._replace(
            x_mm=w.x_mm * factor,
            y_mm=w.y_mm * factor,
            pitch_radius_mm=w.pitch_radius_mm * factor,
            outside_radius_mm=w.outside_radius_mm * factor,
        )
        for w in wheels
    ]


SERPENTINE = [
    toothed(0, 0, 24, 12.7),
    toothed(400, -60, 17, 12.7, "outside"),
    toothed(800, 0, 30, 12.7),
    toothed(850, 500, 19, 12.7),
    toothed(380, 300, 15, 12.7, "outside"),
]
"""Five wheels, two of them outside."""
