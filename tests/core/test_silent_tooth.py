"""The recalled silent-chain formulas say one tooth: each diameter is measured on the drawn tooth and on drawn links."""

from __future__ import annotations

from math import cos, degrees, hypot, pi, radians, sin

import mpmath
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as Spot

from service.core import silent_sprocket, silent_sprocket_small, silent_tooth
from service.core.errors import OutOfRange
from service.core.plane_curves import Arc, Line, Piece
from service.core.tooth_form import whole_wheel

teeth_of_use = st.integers(17, 120)
pitches = st.sampled_from([0.375, 0.5, 0.625, 0.75, 1.0, 1.25, 1.5, 2.0])


def gap(pitch: float, teeth: int, top: silent_tooth.ToothTop = "round", depth: float = 0.62) -> tuple[Piece, ...]:
    root = 2 * (pitch / 2 / mpmath.tan(mpmath.pi / teeth) - depth * pitch)
    return silent_tooth.gap(pitch_in=pitch, teeth=teeth, root_diameter_in=float(root), tooth_top=top)


def points(piece: Piece, count: int = 40) -> list[tuple[float, float]]:
    if isinstance(piece, Line):
        return [(piece.start.x, piece.start.y)]
    first = mpmath.atan2(piece.start.y - piece.centre.y, piece.start.x - piece.centre.x)
    last = mpmath.atan2(piece.end.y - piece.centre.y, piece.end.x - piece.centre.x)
    sweep = float((last - first) % (2 * mpmath.pi))
    assert piece.anticlockwise
    angles = [float(first) + sweep * step / count for step in range(count)]
    return [(piece.centre.x + piece.radius * cos(a), piece.centre.y + piece.radius * sin(a)) for a in angles]


def wheel(pitch: float, teeth: int, **wishes: object) -> Polygon:
    return Polygon([spot for piece in whole_wheel(gap(pitch, teeth, **wishes), teeth) for spot in points(piece)])  # type: ignore[arg-type]


def link_outline(pitch: float, teeth: int, number: int = 0) -> Polygon:
    """The outer working faces of a link that lies on a wheel, 60 degrees apart and 0.375 P outside its joints.

    The joints are those at either side of the tooth axis right of the +y gap, turned ``number`` teeth on.
    """
    turn = -pi / teeth - 2 * pi * number / teeth
    chord = pitch / 2 / float(mpmath.tan(mpmath.pi / teeth))
    outside = 0.5 + 0.375 / cos(radians(30))

    def at(x: float, depth: float) -> tuple[float, float]:
        y = chord - depth * pitch
        return x * pitch * cos(turn) - y * sin(turn), x * pitch * sin(turn) + y * cos(turn)

    low = outside - 0.55 * float(mpmath.tan(mpmath.pi / 6))
    return Polygon([at(-outside, 0), at(-low, 0.55), at(low, 0.55), at(outside, 0)])


@settings(max_examples=25)
@given(pitch=pitches, teeth=teeth_of_use, top=st.sampled_from(["square", "round"]))
def test_the_contour_closes_without_crossing_itself(pitch, teeth, top):
    pieces = whole_wheel(gap(pitch, teeth, top), teeth)
    for before, after in zip(pieces, (*pieces[1:], pieces[0]), strict=True):
        assert (before.end.x, before.end.y) == pytest.approx((after.start.x, after.start.y), abs=1e-9)
    for piece in pieces:
        if isinstance(piece, Arc):
            for end in (piece.start, piece.end):
                assert hypot(end.x - piece.centre.x, end.y - piece.centre.y) == pytest.approx(piece.radius)
    shape = wheel(pitch, teeth, top=top)
    assert shape.is_valid
    assert shape.exterior.is_ccw


@settings(max_examples=25)
@given(pitch=pitches, teeth=teeth_of_use)
def test_measured_diameters_of_the_drawn_wheel_are_those_of_the_formulas(pitch, teeth):
    rounded = max(hypot(x, y) for x, y in wheel(pitch, teeth).exterior.coords)
    square = max(hypot(x, y) for x, y in wheel(pitch, teeth, top="square").exterior.coords)
    size = {"pitch_in": pitch, "teeth": teeth}
    assert 2 * rounded == pytest.approx(silent_sprocket.outside_diameter_round_teeth(**size), rel=1e-6)
    assert 2 * square == pytest.approx(silent_sprocket.outside_diameter_square_teeth(**size), rel=1e-9)


@settings(max_examples=25)
@given(pitch=pitches, teeth=teeth_of_use)
def test_pins_laid_into_the_gaps_measure_as_the_formula_says(pitch, teeth):
    flank = gap(pitch, teeth)[0]
    line = LineString([(flank.start.x, flank.start.y), (flank.end.x, flank.end.y)])
    pin = 0.625 * pitch
    outer = float(hypot(flank.start.x, flank.start.y))

    def too_deep(height: float) -> bool:
        return bool(Spot(0, height).distance(line) < pin / 2)

    low, high = float(hypot(flank.end.x, flank.end.y)) * 0.8, outer * 1.2
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if too_deep(middle) else (low, middle)
    opposite = 1.0 if teeth % 2 == 0 else cos(pi / 2 / teeth)
    printed = silent_sprocket.measurement_over_pins(pitch_in=pitch, teeth=teeth)
    assert 2 * low * opposite + pin == pytest.approx(printed, rel=1e-9)


@settings(max_examples=25)
@given(pitch=pitches, teeth=teeth_of_use)
def test_a_link_beds_on_both_faces_and_cuts_nothing(pitch, teeth):
    """Its faces touch those of the wheel along their length, down to the base of the working face."""
    metal, link = wheel(pitch, teeth), link_outline(pitch, teeth)
    corners = list(link.exterior.coords)
    base = silent_tooth.base_diameter(pitch_in=pitch, teeth=teeth)
    assert 2 * hypot(*corners[1]) == pytest.approx(base, rel=1e-6)
    flank = gap(pitch, teeth)[2]
    face = LineString([(flank.start.x, flank.start.y), (flank.end.x, flank.end.y)])
    assert face.distance(Spot(*corners[1])) == pytest.approx(0, abs=1e-9 * pitch)
    inside = metal.buffer(-1e-6 * pitch)
    for outer in (LineString(corners[0:2]), LineString(corners[2:4])):
        assert not inside.intersects(outer)


@given(pitch=pitches, teeth=teeth_of_use)
def test_angles_are_those_of_the_drawn_faces(pitch, teeth):
    found = silent_tooth.angles(teeth=teeth)
    right = gap(pitch, teeth)[0]
    to_gap_axis = degrees(mpmath.atan2(right.start.x - right.end.x, right.start.y - right.end.y))
    assert 2 * to_gap_axis == pytest.approx(found.gap_angle_deg)
    assert to_gap_axis - 180 / teeth == pytest.approx(found.face_to_tooth_axis_deg)


def test_root_circle_at_its_limits():
    size = {"pitch_in": 1.0, "teeth": 21, "tooth_top": "square"}
    base = silent_tooth.base_diameter(pitch_in=1.0, teeth=21)
    apex = 1 / sin(pi / 21) - 0.75 / sin(pi / 6 - pi / 21)
    silent_tooth.gap(root_diameter_in=base, **size)
    for wrong in (base * 1.000001, apex, 0.1):
        with pytest.raises(OutOfRange) as refused:
            silent_tooth.gap(root_diameter_in=wrong, **size)
        assert refused.value.issues[0].code == "root_diameter_unsuitable"


@given(teeth=st.integers(11, 120))
def test_small_class_nests_and_its_pins_stand_proud(teeth):
    groove = silent_sprocket_small.guide_groove_diameter(teeth=teeth)
    outside = silent_sprocket_small.outside_diameter(teeth=teeth)
    over_pins = silent_sprocket_small.measurement_over_pins(teeth=teeth)
    pitch_diameter = 0.1875 / sin(pi / teeth)
    assert groove < outside < over_pins
    assert outside < pitch_diameter < over_pins


def test_small_class_begins_where_tooth_faces_converge():
    assert 35 - 360 / silent_sprocket_small.LEAST_TEETH > 0 > 35 - 360 / (silent_sprocket_small.LEAST_TEETH - 1)
    with pytest.raises(OutOfRange):
        silent_sprocket_small.outside_diameter(teeth=10)
