"""The sheet of a wheel of which no tooth form is published: circles and seats to set it out by, and what is cut."""

from __future__ import annotations

from math import cos, sin
from typing import TYPE_CHECKING, NamedTuple

from service.core.plane_curves import Point
from service.drawings.sheet import Circle, Stroke
from service.drawings.wheel import CENTRE, Cuts, axes, caliper_dimension, openings
from service.drawings.wheel_frame import Writing, framed, letter_height

if TYPE_CHECKING:
    from service.drawings.sheet import Layer, Shape, Sheet, Words

CROSS_SHARE = 0.015
"""Half the length of the cross at a joint, in the size of the view."""


class Seats(NamedTuple):
    """Joints on the pitch circle by their angles from the top, and the diameter of the part that seats there."""

    angles_rad: tuple[float, ...]
    diameter_mm: float | None = None


class SettingOutView(NamedTuple):
    """What is drawn of a wheel without a tooth form.

    ``circles`` are diameters with the layers that they lie on; ``links`` straight pieces between points of the chain on
    the wheel; ``caliper`` the gaps and the diameter at their bottoms, where the caliper dimension is known.
    """

    writing: Writing
    pitch_diameter_mm: float | None
    circles: tuple[tuple[Layer, float], ...]
    seats: Seats = Seats(())
    links: tuple[tuple[float, float], ...] = ()
    caliper: tuple[int, float] | None = None
    cuts: Cuts = Cuts()


def setting_out_sheet(view: SettingOutView, *, upright: bool = False) -> Sheet:
    """The drawing, the centre of the wheel at the origin; nothing on it but the openings is to be cut."""
    seat = view.seats.diameter_mm or 0.0
    pitch_circle = () if view.pitch_diameter_mm is None else (("PITCH_CIRCLE", view.pitch_diameter_mm),)
    size = max([diameter for _, diameter in view.circles] + [d + seat for _, d in pitch_circle])
    shapes: list[Shape] = [*openings(view.cuts, size)]
    shapes += [Circle(layer, CENTRE, diameter / 2) for layer, diameter in (*view.circles, *pitch_circle)]
    if view.pitch_diameter_mm is not None:
        shapes += _seats(view.seats, view.pitch_diameter_mm / 2, CROSS_SHARE * size)
        shapes += [
            Stroke("SEATS", _on_circle(start, view.pitch_diameter_mm / 2), _on_circle(end, view.pitch_diameter_mm / 2))
            for start, end in view.links
        ]
    words: tuple[Words, ...] = ()
    if view.caliper is not None:
        strokes, letter = caliper_dimension(*view.caliper, letter_height(size, view.writing, upright=upright))
        shapes += strokes
        words = (letter,)
    return framed(view.writing, size, (*shapes, *axes(size)), words, upright=upright)


def _seats(seats: Seats, radius: float, cross: float) -> list[Shape]:
    """Each joint as a cross, with the circle of what seats there."""
    shapes: list[Shape] = []
    for angle in seats.angles_rad:
        at, along = _on_circle(angle, radius), Point(cos(angle) * cross, sin(angle) * cross)
        if seats.diameter_mm is not None:
            shapes.append(Circle("SEATS", at, seats.diameter_mm / 2))
        shapes.append(Stroke("AXES", Point(at.x - along.x, at.y - along.y), Point(at.x + along.x, at.y + along.y)))
        shapes.append(Stroke("AXES", Point(at.x + along.y, at.y - along.x), Point(at.x - along.y, at.y + along.x)))
    return shapes


def _on_circle(angle: float, radius: float) -> Point:
    return Point(-sin(angle) * radius, cos(angle) * radius)
