"""The contour of roller-chain sprockets as true lines and arcs.

Wheel coordinates: the centre of the wheel is the origin, the gap that is drawn lies on the +y axis. The contour is run
through anticlockwise, from the tip of the tooth right of the gap through the gap to the tip of the tooth left of it and
over that tip to where the next gap begins; turned about the origin tooth by tooth it closes.
"""

from __future__ import annotations

from math import cos, hypot, pi, radians, sin, sqrt

from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import positive
from service.core.plane_curves import Arc, Line, Piece, Point, crossing_about_origin, mirrored, moved_along, rotated
from service.core.sprocket import check_form, check_roller, pitch_diameter_factor
from service.core.sprocket_asme_form import tooth_form

_GEOMETRY = Source("plane-geometry", "tangent arcs and lines from the constants of the form", "derived")


@equation(
    "tooth_form.asme_gap",
    symbol="contour",
    unit="object",
    sources=(_GEOMETRY, Source("aca-tooth-form-sheet", "tooth form drawing", "secondary")),
)
def asme_gap(
    *, pitch_in: float, roller_diameter_in: float, teeth: int, outside_diameter_in: float
) -> tuple[Piece, ...]:
    """Contour of one gap and one tip of the standard ASME form.

    Equation:
        centre a of the seating curve at (0, (PD + Ds - Dr)/2); c = a + (-M, T); b = a + (W, -V);
        n = (cos(A - B), -sin(A - B)); x = a + R (cos A, -sin A); y = c + E n; z = b - F n;
        the topping curve ends on the circle of the outside diameter

    Args:
        pitch_in: Chain pitch P, [in].
        roller_diameter_in: Nominal roller diameter Dr, of a chain without rollers the bush diameter, [in]; Dr < P.
        teeth: Number of teeth N, [-]; 5 <= N <= 1000.
        outside_diameter_in: Outside diameter, [in]; above the straight part, below the diameter to a point.

    Returns:
        Eight pieces, anticlockwise, in inches: topping, straight, working, seating, working, straight, topping, tip.

    Raises:
        OutOfRange: a dimension is not positive, the teeth are too few, or the outside diameter leaves no topping curve
            or no tip.
        Inconsistent: the roller is not smaller than the pitch.
        NoSolution: the flanks of a tooth do not meet.

    Validity: as for ``sprocket_asme.tooth_form``.
    Deviations: the centres a are set out by (Ds - Dr)/2 from the pitch circle, so that the bottom of the gap lies on
        the bottom diameter PD - Dr; the metric print says so by its pitch pa of the centres, the inch print leaves it
        to the drawing.
    Sources: plane-geometry [derived]; aca-tooth-form-sheet tooth form drawing [secondary].

    Examples:
        >>> gap = asme_gap(pitch_in=1, roller_diameter_in=0.625, teeth=28, outside_diameter_in=9.4751)
        >>> [piece.part for piece in gap][:4]
        ['topping', 'straight', 'working', 'seating']
    """
    form = tooth_form(pitch_in=pitch_in, roller_diameter_in=roller_diameter_in, teeth=teeth)
    R, E, F = form.seating_radius_in, form.working_radius_in, form.topping_radius_in
    a = Point(0.0, (pitch_in * pitch_diameter_factor(teeth) - roller_diameter_in) / 2 + R)
    b = Point(form.offset_w_in, a.y - form.offset_v_in)
    c = Point(-form.offset_m_in, a.y + form.offset_t_in)
    x = moved_along(a, _below(form.angle_a_deg), R)
    n = _below(form.angle_a_deg - form.angle_b_deg)
    y, z = moved_along(c, n, E), moved_along(b, n, -F)
    tip = _tip(b, F, z, field="outside_diameter_in", diameter=outside_diameter_in, teeth=teeth)
    right = (
        Arc("topping", tip, z, b, F, anticlockwise=True),
        Line("straight", z, y),
        Arc("working", y, x, c, E, anticlockwise=False),
    )
    return _gap(right, Arc("seating", x, Point(-x.x, x.y), a, R, anticlockwise=False), teeth)


@equation(
    "tooth_form.iso_gap",
    symbol="contour",
    unit="object",
    sources=(_GEOMETRY, Source("iso-606-2015", "clause 5.4, tooth gap forms", "secondary")),
)
def iso_gap(
    *,
    pitch_mm: float,
    roller_diameter_mm: float,
    teeth: int,
    seating_radius_mm: float,
    seating_angle_deg: float,
    flank_radius_mm: float,
    tip_diameter_mm: float,
) -> tuple[Piece, ...]:
    """Contour of one gap and one tip of a gap form of ISO 606.

    Equation:
        centre a of the seating arc at (0, (d - d1)/2 + ri); u at half the seating angle from the radius;
        seating arc up to a + ri u; flank arc of radius re about a + (ri + re) u up to the tip circle

    Args:
        pitch_mm: Chain pitch p, [mm].
        roller_diameter_mm: Largest roller diameter d1, of a bush chain the bush diameter, [mm]; d1 < p.
        teeth: Number of teeth z, [-]; 5 <= z <= 1000.
        seating_radius_mm: Roller seating radius ri, [mm].
        seating_angle_deg: Roller seating angle, from flank to flank, [°].
        flank_radius_mm: Tooth flank radius re, [mm].
        tip_diameter_mm: Tip diameter da, [mm]; above the seating arc, below ``tooth_form.iso_pointed_diameter``.

    Returns:
        Four pieces, anticlockwise, in millimetres: flank, seating, flank, tip.

    Raises:
        OutOfRange: a dimension is not positive, the teeth are too few, or the tip diameter leaves no flank or no tip.
        Inconsistent: the roller is not smaller than the pitch.

    Validity: radii and angle of a gap form, or between those of the two limiting forms.
    Deviations: the seating arc, which is wider than the roller, touches the root circle d - d1 of the standard from
        outside the wheel; its centre therefore lies ri - d1/2 outside the pitch circle.
    Sources: plane-geometry [derived]; iso-606-2015 clause 5.4 [secondary].

    Examples:
        >>> gap = iso_gap(pitch_mm=19.05, roller_diameter_mm=11.91, teeth=17, seating_radius_mm=6.0146,
        ...     seating_angle_deg=134.7, flank_radius_mm=27.15, tip_diameter_mm=112.3)
        >>> [piece.part for piece in gap]
        ['flank', 'seating', 'flank', 'tip']
    """
    a, u = _iso_seat(pitch_mm, roller_diameter_mm, teeth, seating_radius_mm, seating_angle_deg)
    positive("flank_radius_mm", flank_radius_mm)
    x = moved_along(a, u, seating_radius_mm)
    b = moved_along(a, u, seating_radius_mm + flank_radius_mm)
    tip = _tip(b, flank_radius_mm, x, field="tip_diameter_mm", diameter=tip_diameter_mm, teeth=teeth)
    right = (Arc("flank", tip, x, b, flank_radius_mm, anticlockwise=True),)
    return _gap(right, Arc("seating", x, Point(-x.x, x.y), a, seating_radius_mm, anticlockwise=False), teeth)


@equation("tooth_form.iso_pointed_diameter", symbol="pointed tip", unit="mm", sources=(_GEOMETRY,))
def iso_pointed_diameter(
    *,
    pitch_mm: float,
    roller_diameter_mm: float,
    teeth: int,
    seating_radius_mm: float,
    seating_angle_deg: float,
    flank_radius_mm: float,
) -> float:
    """Diameter at which the two flanks of a tooth of an ISO 606 gap form meet in a point.

    Equation:
        with b = a + (ri + re) u as in ``tooth_form.iso_gap`` and e the unit vector along the centre line of the tooth:
        2 [b·e + sqrt(re^2 - (b x e)^2)]

    Args:
        pitch_mm: Chain pitch p, [mm].
        roller_diameter_mm: Largest roller diameter d1, of a bush chain the bush diameter, [mm]; d1 < p.
        teeth: Number of teeth z, [-]; 5 <= z <= 1000.
        seating_radius_mm: Roller seating radius ri, [mm].
        seating_angle_deg: Roller seating angle, from flank to flank, [°].
        flank_radius_mm: Tooth flank radius re, [mm].

    Returns:
        Diameter of the pointed tooth, [mm]; no tip diameter of this form reaches it.

    Raises:
        OutOfRange: a dimension is not positive, the teeth are too few, or the gaps are so wide that no tooth is left.
        Inconsistent: the roller is not smaller than the pitch.

    Validity: as for ``tooth_form.iso_gap``.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> iso_pointed_diameter(pitch_mm=19.05, roller_diameter_mm=11.91, teeth=17, seating_radius_mm=6.0146,
        ...     seating_angle_deg=134.7, flank_radius_mm=27.15)
        117.35
    """
    a, u = _iso_seat(pitch_mm, roller_diameter_mm, teeth, seating_radius_mm, seating_angle_deg)
    positive("flank_radius_mm", flank_radius_mm)
    b = moved_along(a, u, seating_radius_mm + flank_radius_mm)
    return 2 * _point(b, flank_radius_mm, teeth)


def whole_wheel(gap: tuple[Piece, ...], teeth: int) -> tuple[Piece, ...]:
    """The closed contour of the wheel, anticlockwise: the gap turned tooth by tooth."""
    return tuple(rotated(piece, 2 * pi * tooth / teeth) for tooth in range(teeth) for piece in gap)


def _below(angle_deg: float) -> Point:
    """Unit vector at an angle below the x axis."""
    return Point(cos(radians(angle_deg)), -sin(radians(angle_deg)))


def _iso_seat(
    pitch_mm: float, roller_diameter_mm: float, teeth: int, seating_radius_mm: float, seating_angle_deg: float
) -> tuple[Point, Point]:
    """Centre of the seating arc, and the direction from it to the right end of the arc."""
    check_roller(pitch_mm, roller_diameter_mm, "mm")
    check_form(teeth)
    positive("seating_radius_mm", seating_radius_mm)
    positive("seating_angle_deg", seating_angle_deg)
    root_radius = (pitch_mm * pitch_diameter_factor(teeth) - roller_diameter_mm) / 2
    return Point(0.0, root_radius + seating_radius_mm), _below(90 - seating_angle_deg / 2)


def _point(centre: Point, radius: float, teeth: int) -> float:
    """Distance from the origin at which a flank arc meets the centre line of the tooth right of the gap."""
    half_tooth = pi / teeth
    across = centre.x * cos(half_tooth) - centre.y * sin(half_tooth)
    if not radius > abs(across):
        raise OutOfRange(
            Issue("flank_radius_mm", "geometry_impossible", "The gaps are so wide that no tooth is left between them.")
        )
    along = centre.x * sin(half_tooth) + centre.y * cos(half_tooth)
    return along + sqrt((radius - across) * (radius + across))


def _tip(centre: Point, radius: float, foot: Point, *, field: str, diameter: float, teeth: int) -> Point:
    """Where the outermost arc of the right flank, which starts at ``foot``, ends on the tip circle."""
    positive(field, diameter)
    pointed, least = 2 * _point(centre, radius, teeth), 2 * hypot(foot.x, foot.y)
    if not diameter < pointed:
        message = f"At {diameter:g} the tooth has come to a point; the flanks meet at {pointed:g}."
        raise OutOfRange(Issue(field, "tooth_pointed", message, pointed, diameter))
    if not diameter > least:
        message = f"At {diameter:g} the tooth ends before its outer curve begins, which is at {least:g}."
        raise OutOfRange(Issue(field, "tooth_too_short", message, least, diameter))
    return crossing_about_origin(centre, radius, diameter / 2)


def _gap(right: tuple[Piece, ...], seating: Arc, teeth: int) -> tuple[Piece, ...]:
    """A gap from its right flank, run through inwards, and its seating arc; the tip left of it closes the pitch."""
    left = tuple(mirrored(piece) for piece in reversed(right))
    next_start = rotated(right[0], 2 * pi / teeth).start
    tip_start = left[-1].end
    tip = Arc("tip", tip_start, next_start, Point(0.0, 0.0), hypot(tip_start.x, tip_start.y), anticlockwise=True)
    return (*right, seating, *left, tip)
