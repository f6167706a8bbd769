"""The sheet of a drive or a loop: wheels, chain and what a guard has to enclose, to scale, with a table below."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, cos, hypot, pi, sin
from typing import TYPE_CHECKING, NamedTuple

from service.core.circle_hull import Disc, hull
from service.core.plane_curves import Arc, Line, Point, moved_along
from service.drawings.lettering import LEADING, LETTER_WIDTH, block, block_depth, rows_of, wrapped
from service.drawings.sheet import Circle, Outline, Run, Sheet, Stroke, Words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from service.core.loops import Contact, Loop, Span, Wheel
    from service.core.plane_curves import Piece
    from service.drawings.sheet import Shape

ENVELOPE_NOTE = (
    "The dashes hold wheels and taut chain; a guard stands outside of them, with room for the sag of the slack strand "
    "and for the take-up, and with the openings and distances that the rules of the place ask for."
)

LETTER_SHARE = 1 / 60
"""Height of letters in the larger side of the view."""

COLUMN_LETTERS = (26, 58)
"""Letters that the labels and the values of the table have room for."""

NAME_OFF = 1.8
"""Distance of the name of a strand from it, in letters."""

ARROW_SHARE = 0.62
"""Radius of the arrow of rotation in pitch radii."""

ARROW_RAD = pi / 2
"""Angle that the arrow of rotation spans."""

NUMBER_SHARE = 0.42
NUMBER_OFF = 0.36
"""Height of the number of a wheel, and its place to the right and below the centre, in pitch radii."""

LEAST_NUMBER = 0.7
"""Where less of the height of a letter has room in the wheel, its number stands beside it."""

OFF_AXIS_RAD = pi / 7
"""How far a number beside a wheel keeps from the direction of an axis."""


class LayoutView(NamedTuple):
    """Wheels in the order of the path, the chain round them, and what is written.

    The strand that runs onto the driver is the tight one, the one that leaves it the slack one.
    """

    title: str
    description: str
    wheels: tuple[Wheel, ...]
    loop: Loop
    driver: int
    half_height_mm: float
    centre_distance: str | None
    facts: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]


def layout_sheet(view: LayoutView) -> Sheet:
    """The drawing of a layout, in the coordinates of its wheels."""
    envelope = hull([_disc(wheel, view.half_height_mm) for wheel in view.wheels], "envelope")
    left, bottom, right, top = _box(envelope)
    letter = max(right - left, top - bottom) * LETTER_SHARE
    margin = 4 * letter
    shapes: list[Shape] = [Outline((Run("CHAIN", _chain(view)),)), Outline((Run("ENVELOPE", envelope),))]
    words: list[Words] = []
    for number, (wheel, contact) in enumerate(zip(view.wheels, view.loop.contacts, strict=True), start=1):
        shapes += _wheel(wheel, contact, letter)
        words.append(_numbered(view, number, letter))
    words += _strands(view, letter)
    if view.centre_distance is not None:
        bottom -= 3 * letter
        shapes += _dimension(view, bottom, letter)
        middle = (view.wheels[0].x_mm + view.wheels[1].x_mm) / 2
        words.append(Words(Point(middle, bottom + 0.4 * letter), letter, view.centre_distance, "middle"))
    columns = [letters * LETTER_WIDTH * letter for letters in COLUMN_LETTERS]
    width = max(right - left, sum(columns)) + 2 * margin
    title = wrapped(view.title, width=width - 2 * margin, height=1.4 * letter)
    title_depth = block_depth(len(title), 1.4 * letter)
    words += block(title, left=left, top=top + 4 * letter + title_depth, height=1.4 * letter)
    text, depth = _table(view, left=left, top=bottom - margin, width=width - 2 * margin, letter=letter)
    lowest = bottom - margin - depth - margin / 2
    return Sheet(
        title=view.title,
        description=view.description,
        shapes=tuple(shapes),
        words=(*words, *text),
        left=left - margin,
        bottom=lowest,
        width=width,
        height=top + 6 * letter + title_depth - lowest,
    )


def _disc(wheel: Wheel, half_height_mm: float) -> Disc:
    """How far a wheel and the chain on it reach."""
    reach = max(wheel.outside_radius_mm, wheel.pitch_radius_mm + half_height_mm)
    return Disc(Point(wheel.x_mm, wheel.y_mm), reach)


def _box(envelope: tuple[Piece, ...]) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of a convex outline of arcs and lines."""
    discs = {piece.centre: piece.radius for piece in envelope if isinstance(piece, Arc)}
    return (
        min(centre.x - radius for centre, radius in discs.items()),
        min(centre.y - radius for centre, radius in discs.items()),
        max(centre.x + radius for centre, radius in discs.items()),
        max(centre.y + radius for centre, radius in discs.items()),
    )


def _chain(view: LayoutView) -> tuple[Piece, ...]:
    """The taut chain along pitch circles and strands, from where it leaves the first wheel."""
    spans = view.loop.spans
    pieces: list[Piece] = []
    for index, span in enumerate(spans):
        following = (index + 1) % len(spans)
        wheel, contact = view.wheels[following], view.loop.contacts[following]
        start, end = _end(span), _start(spans[following])
        pieces.append(Line("strand", _start(span), start))
        pieces += _wrap(Point(wheel.x_mm, wheel.y_mm), wheel.pitch_radius_mm, start, contact, end)
    return tuple(pieces)


def _wrap(centre: Point, radius: float, start: Point, contact: Contact, end: Point) -> Iterator[Piece]:
    """The chain on a wheel, halved where it is more than half a circle."""
    sense = 1.0 if contact.turns == "counter_clockwise" else -1.0
    begin = atan2(start.y - centre.y, start.x - centre.x)
    turned = begin + sense * contact.wrap_rad / 2
    middle = Point(centre.x + radius * cos(turned), centre.y + radius * sin(turned))
    ends = (start, middle, end) if contact.wrap_rad > pi else (start, end)
    for one, other in pairwise(ends):
        yield Arc("wrap", one, other, centre, radius, anticlockwise=sense > 0)


def _start(span: Span) -> Point:
    return Point(span.start_x_mm, span.start_y_mm)


def _end(span: Span) -> Point:
    return Point(span.end_x_mm, span.end_y_mm)


def _wheel(wheel: Wheel, contact: Contact, letter: float) -> Iterator[Shape]:
    """Outside and pitch circle, axes and the arrow of rotation."""
    centre = Point(wheel.x_mm, wheel.y_mm)
    yield Circle("WHEELS", centre, wheel.outside_radius_mm)
    yield Circle("PITCH_CIRCLE", centre, wheel.pitch_radius_mm)
    reach = max(wheel.outside_radius_mm, wheel.pitch_radius_mm) + letter
    yield Stroke("AXES", Point(centre.x - reach, centre.y), Point(centre.x + reach, centre.y))
    yield Stroke("AXES", Point(centre.x, centre.y - reach), Point(centre.x, centre.y + reach))
    radius = wheel.pitch_radius_mm * ARROW_SHARE
    sense = 1.0 if contact.turns == "counter_clockwise" else -1.0
    begin, end = pi / 2 - sense * ARROW_RAD / 2, pi / 2 + sense * ARROW_RAD / 2
    tail, tip = (Point(centre.x + radius * cos(angle), centre.y + radius * sin(angle)) for angle in (begin, end))
    arrow = Arc("arrow", tail, tip, centre, radius, anticlockwise=sense > 0)
    yield Outline((Run("DIMENSIONS", (arrow,)),), closed=False)
    yield from _arrow_head(tip, Point(-sense * sin(end), sense * cos(end)), min(letter, radius / 3))


def _numbered(view: LayoutView, number: int, letter: float) -> Words:
    """The number of a wheel, between two of its axes; of one too small for it beside it, where no chain lies on it."""
    wheel, contact = view.wheels[number - 1], view.loop.contacts[number - 1]
    height = min(letter, NUMBER_SHARE * wheel.pitch_radius_mm)
    off = NUMBER_OFF * wheel.pitch_radius_mm
    x, y = wheel.x_mm + off, wheel.y_mm - off
    if height < LEAST_NUMBER * letter:
        height = letter
        leaving = view.loop.spans[number - 1]
        left = atan2(leaving.start_y_mm - wheel.y_mm, leaving.start_x_mm - wheel.x_mm)
        back = contact.wrap_rad / 2 if contact.turns == "clockwise" else -contact.wrap_rad / 2
        angle = left + back + pi
        # Clear of the axes, which stand out beyond the wheel.
        nearest = round(angle / (pi / 2)) * pi / 2
        if abs(angle - nearest) < OFF_AXIS_RAD:
            angle = nearest + (OFF_AXIS_RAD if angle >= nearest else -OFF_AXIS_RAD)
        reach = _disc(wheel, view.half_height_mm).radius + 1.3 * letter
        x, y = wheel.x_mm + reach * cos(angle), wheel.y_mm + reach * sin(angle)
    return Words(Point(x, y - height / 3), height, str(number), "middle")


def _arrow_head(tip: Point, direction: Point, size: float) -> Iterator[Shape]:
    across = Point(-direction.y, direction.x)
    back = moved_along(tip, direction, -size)
    for side in (size / 3, -size / 3):
        yield Stroke("DIMENSIONS", tip, moved_along(back, across, side))


def _strands(view: LayoutView, letter: float) -> Iterator[Words]:
    """Names of the tight and of the slack strand beside their middles: inside the loop where there is room for them."""
    spans = view.loop.spans
    inwards = 1.0 if view.loop.contacts[view.driver].turns == "counter_clockwise" else -1.0
    for span, name in ((spans[view.driver - 1], "tight"), (spans[view.driver], "slack")):
        across = Point(-sin(span.direction_rad) * inwards, cos(span.direction_rad) * inwards)
        middle = Point((span.start_x_mm + span.end_x_mm) / 2, (span.start_y_mm + span.end_y_mm) / 2)
        inside = moved_along(middle, across, NAME_OFF * letter)
        room = min(_distance(inside, other) for other in spans if other is not span)
        at = inside if room > 2 * NAME_OFF * letter else moved_along(middle, across, -NAME_OFF * letter)
        yield Words(Point(at.x, at.y - letter / 3), letter, name, "middle")


def _distance(point: Point, span: Span) -> float:
    """From a point to a strand."""
    dx, dy = span.end_x_mm - span.start_x_mm, span.end_y_mm - span.start_y_mm
    along = ((point.x - span.start_x_mm) * dx + (point.y - span.start_y_mm) * dy) / (dx * dx + dy * dy)
    nearest = min(max(along, 0.0), 1.0)
    return hypot(point.x - span.start_x_mm - nearest * dx, point.y - span.start_y_mm - nearest * dy)


def _dimension(view: LayoutView, level: float, letter: float) -> Iterator[Shape]:
    """The centre distance below two level wheels."""
    one, other = sorted(view.wheels, key=lambda wheel: wheel.x_mm)
    ends = Point(one.x_mm, level), Point(other.x_mm, level)
    yield Stroke("DIMENSIONS", *ends)
    for wheel, end, direction in ((one, ends[0], -1.0), (other, ends[1], 1.0)):
        yield Stroke("DIMENSIONS", Point(end.x, wheel.y_mm - wheel.outside_radius_mm), Point(end.x, level - letter / 2))
        yield from _arrow_head(end, Point(direction, 0.0), letter)


def _table(view: LayoutView, *, left: float, top: float, width: float, letter: float) -> tuple[list[Words], float]:
    """Facts in two columns and the notes below them, and how deep both are."""
    column = COLUMN_LETTERS[0] * LETTER_WIDTH * letter
    labels, values = rows_of(view.facts, width=width - column, height=letter)
    words = block(labels, left=left, top=top, height=letter)
    words += block(values, left=left + column, top=top, height=letter)
    depth = block_depth(len(values), letter) + LEADING * letter
    lines = [line for note in view.notes for line in wrapped(note, width=width, height=letter)]
    words += block(lines, left=left, top=top - depth, height=letter)
    return words, depth + block_depth(len(lines), letter)
