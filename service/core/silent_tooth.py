"""The tooth of a silent-chain sprocket of 3/8 in pitch and larger: working face, topping and contour.

The recalled diameter formulas of the handbook all say one and the same tooth: flanks at 30 degrees to the centre line
of the link that lies on the tooth, 0.375 P from the joint centres; working down to 0.55 P below the line of the joints;
topped by a circle of 0.15 P about a point of the tooth's centre line 0.11 P below that line. The form of the gap below
the working face is not among them.
"""

from __future__ import annotations

from math import cos, hypot, pi, sin, sqrt, tan
from typing import Literal, NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import positive
from service.core.plane_curves import Arc, Line, Piece, Point, mirrored, moved_along, rotated
from service.core.silent_sprocket import check_teeth

LINK_HALF_ANGLE_DEG = 30.0
FACE_DISTANCE = 0.375
FACE_DEPTH_SQUARE = 1.515213
FACE_DEPTH = 1.1
TOPPING_RADIUS = 0.15
TOPPING_DEPTH = 0.11
"""Proportions of the recalled formulas, in pitches."""

ToothTop = Literal["square", "round"]

_FORMULAS = (Source("machinerys-27", "silent chain sprocket diameters, formulas and tooth drawing", "memory"),)


class ToothAngles(NamedTuple):
    """Angles of the working faces in degrees: each to the tooth's centre line, and the two of a gap to each other."""

    face_to_tooth_axis_deg: float
    gap_angle_deg: float


@equation("silent_tooth.angles", symbol="a", unit="°", sources=_FORMULAS)
def angles(*, teeth: int) -> ToothAngles:
    """Angles of the working faces of a sprocket for links with working faces at 60 degrees.

    Equation:
        to the centre line of the tooth a = 30° - 360°/N; between the faces of one gap 60° - 360°/N

    Args:
        teeth: Teeth N, [-]; N >= 13.

    Returns:
        Both angles, [°].

    Raises:
        OutOfRange: too few teeth.

    Validity: 3/8 in pitch and larger.
    Deviations: none known; recalled.
    Sources: machinerys-27 silent chain sprocket diameters [memory].

    Examples:
        >>> angles(teeth=24).face_to_tooth_axis_deg
        15.0
    """
    check_teeth(teeth)
    return ToothAngles(
        face_to_tooth_axis_deg=LINK_HALF_ANGLE_DEG - 360 / teeth, gap_angle_deg=2 * LINK_HALF_ANGLE_DEG - 360 / teeth
    )


@equation("silent_tooth.base_diameter", symbol="B", unit="in", sources=_FORMULAS)
def base_diameter(*, pitch_in: float, teeth: int) -> float:
    """Diameter to the base of the working face.

    Equation:
        B = P sqrt(1.515213 + (cot(180/N) - 1.1)^2)

    Args:
        pitch_in: Chain pitch P, [in]; P > 0.
        teeth: Teeth N, [-]; N >= 13.

    Returns:
        Diameter B, [in].

    Raises:
        OutOfRange: the pitch is not above zero or there are too few teeth.

    Validity: 3/8 in pitch and larger.
    Deviations: none known; recalled.
    Sources: machinerys-27 silent chain sprocket diameters [memory].

    Examples:
        >>> base_diameter(pitch_in=1, teeth=21)
        5.670
    """
    positive("pitch_in", pitch_in)
    check_teeth(teeth)
    return pitch_in * sqrt(FACE_DEPTH_SQUARE + (1 / tan(pi / teeth) - FACE_DEPTH) ** 2)


@equation("silent_tooth.gap", symbol="contour", unit="object", sources=_FORMULAS)
def gap(*, pitch_in: float, teeth: int, root_diameter_in: float, tooth_top: ToothTop) -> tuple[Piece, ...]:
    """Contour of one gap and one tip, the gap closed by a root circle of the caller's choice.

    Equation:
        faces at 30° - 180°/N to the axis of the gap, 0.375 P from the joint centre on it, from the root circle to the
        circle of 0.15 P about a point of the tooth's axis at P (cot(180/N)/2 - 0.11) from the wheel's centre; round
        teeth end in that circle, square teeth in the circle about the wheel's centre through its ends

    Args:
        pitch_in: Chain pitch P, [in]; P > 0.
        teeth: Teeth N, [-]; 13 <= N <= 1000.
        root_diameter_in: Diameter at the bottom of the gap, [in]; not above the base of the working face.
        tooth_top: ``square`` or ``round``, [text].

    Returns:
        Four pieces, anticlockwise, in inches: working, root, working, tip.

    Raises:
        OutOfRange: the pitch is not positive, the teeth are too few, or the root circle cuts the working face or lies
            below the point where the faces meet.

    Validity: 3/8 in pitch and larger.
    Deviations: the gap below the base of the working face is closed along the face, which no link touches there; the
        standard's own root form was not read.
    Sources: machinerys-27 silent chain sprocket diameters [memory].

    Examples:
        >>> contour = gap(pitch_in=1, teeth=21, root_diameter_in=5.4, tooth_top="round")
        >>> [piece.part for piece in contour]
        ['working', 'root', 'working', 'tip']
    """
    base_in = base_diameter(pitch_in=pitch_in, teeth=teeth)
    half_tooth = pi / teeth
    half_gap = pi / 6 - half_tooth
    apex = Point(0.0, pitch_in * (0.5 / sin(half_tooth) - FACE_DISTANCE / sin(half_gap)))
    _check_root(root_diameter_in, 2 * apex.y, base_in)
    along = Point(sin(half_gap), cos(half_gap))
    topping = _on_axis(half_tooth, pitch_in * (0.5 / tan(half_tooth) - TOPPING_DEPTH))
    foot = _last_crossing(apex, along, Point(0.0, 0.0), root_diameter_in / 2)
    head = _last_crossing(apex, along, topping, pitch_in * TOPPING_RADIUS)
    right = Line("working", head, foot)
    root = Arc("root", foot, Point(-foot.x, foot.y), Point(0.0, 0.0), root_diameter_in / 2, anticlockwise=True)
    left = mirrored(right)
    return (right, root, left, _tip(left.end, rotated(right, 2 * half_tooth).start, topping, pitch_in, tooth_top))


def _check_root(root_in: float, least: float, most: float) -> None:
    positive("root_diameter_in", root_in)
    if not least < root_in <= most:
        message = f"A root diameter of {root_in:.5g} does not suit; it must lie above {least:.5g} and up to {most:.5g}."
        limit = most if root_in > most else least
        raise OutOfRange(Issue("root_diameter_in", "root_diameter_unsuitable", message, limit, root_in))


def _on_axis(angle_rad: float, distance: float) -> Point:
    """The point of the centre line of the tooth right of the gap at a distance from the wheel's centre."""
    return Point(distance * sin(angle_rad), distance * cos(angle_rad))


def _last_crossing(start: Point, direction: Point, centre: Point, radius: float) -> Point:
    """Where a ray leaves a circle; the caller makes sure that it does."""
    to_centre = Point(centre.x - start.x, centre.y - start.y)
    foot = to_centre.x * direction.x + to_centre.y * direction.y
    beside = to_centre.x * direction.y - to_centre.y * direction.x
    return moved_along(start, direction, foot + sqrt((radius - beside) * (radius + beside)))


def _tip(start: Point, end: Point, topping: Point, pitch_in: float, tooth_top: ToothTop) -> Arc:
    """The top of the tooth left of the gap."""
    if tooth_top == "square":
        return Arc("tip", start, end, Point(0.0, 0.0), hypot(start.x, start.y), anticlockwise=True)
    centre = Point(-topping.x, topping.y)
    return Arc("tip", start, end, centre, pitch_in * TOPPING_RADIUS, anticlockwise=True)
