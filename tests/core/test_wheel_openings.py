"""Bores with keyways, holes and the path of a cutting jet, held by shapely and by statics."""

from __future__ import annotations

from math import atan2, cos, hypot, pi, radians, sin

import pytest
from shapely.geometry import LinearRing, Polygon
from shapely.geometry import Point as Spot

from service.core.errors import Inconsistent, OutOfRange
from service.core.kerf import cut_path
from service.core.keyways import bearing_stress_n_mm2, corner_reach, hub_depth_control, shear_stress_n_mm2
from service.core.openings import hole_centres, keyed_bore, round_hole
from service.core.plane_curves import Arc, Line, Point, rotated, scaled
from service.core.silent_tooth import gap as silent_gap
from service.core.sprocket_asme import outside_diameter
from service.core.sprocket_iso import minimum_gap_form, tip_diameter_min
from service.core.tooth_form import asme_gap, iso_gap, whole_wheel

STEPS = 200


def points_of(piece, steps=STEPS):
    """Points along a piece without its end."""
    if isinstance(piece, Line):
        return [(piece.start.x, piece.start.y)]
    begin = atan2(piece.start.y - piece.centre.y, piece.start.x - piece.centre.x)
    end = atan2(piece.end.y - piece.centre.y, piece.end.x - piece.centre.x)
    turn = (end - begin) % (2 * pi) if piece.anticlockwise else -((begin - end) % (2 * pi))
    angles = (begin + turn * step / steps for step in range(steps))
    return [(piece.centre.x + piece.radius * cos(a), piece.centre.y + piece.radius * sin(a)) for a in angles]


def ring_of(pieces, steps=STEPS):
    """The outline as a ring; neighbours must meet."""
    for one, other in zip(pieces, (*pieces[1:], pieces[0]), strict=True):
        assert hypot(one.end.x - other.start.x, one.end.y - other.start.y) < 1e-9
    return LinearRing([point for piece in pieces for point in points_of(piece, steps)])


BORE = {"bore_diameter_mm": 50.0, "keyway_width_mm": 14.0, "depth_to_opposite_side_mm": 53.8}


@pytest.mark.parametrize("angle", [0.0, radians(37), pi])
def test_keyed_bore_is_a_disc_and_a_slot(angle):
    outline = Polygon(ring_of(keyed_bore(**BORE, angle_rad=angle), 2000))
    disc = Spot(0, 0).buffer(25, quad_segs=2000)
    corners = [Point(-7, 0), Point(7, 0), Point(7, 28.8), Point(-7, 28.8)]
    slot = [rotated(Line("", corner, corner), angle).start for corner in corners]
    wanted = disc.union(Polygon([(corner.x, corner.y) for corner in slot]))
    assert outline.symmetric_difference(wanted).area < 0.01
    assert not ring_of(keyed_bore(**BORE, angle_rad=angle)).is_ccw


def test_corner_reach_is_the_farthest_point_of_the_keyed_bore():
    outline = ring_of(keyed_bore(**BORE, angle_rad=0.3))
    assert max(hypot(*point) for point in outline.coords) == pytest.approx(corner_reach(**BORE), rel=1e-12)


def test_a_keyway_as_wide_as_the_bore_is_refused():
    with pytest.raises(Inconsistent) as refusal:
        keyed_bore(bore_diameter_mm=14, keyway_width_mm=14, depth_to_opposite_side_mm=18, angle_rad=0)
    assert refusal.value.issues[0].code == "geometry_impossible"


def test_inch_keyseats_of_shaft_and_hub_hold_the_key_with_its_room():
    hub = hub_depth_control(shaft_diameter_in=1.5, key_width_in=0.375, key_height_in=0.375)
    # The key stands half its height above the corner of shaft and key; the hub leaves 0.005 in above it.
    corner = (0.75**2 - 0.1875**2) ** 0.5
    assert hub - 0.75 == pytest.approx(corner + 0.1875 + 0.005, rel=1e-12)


def test_stresses_of_a_key_balance_the_torque():
    given = {"torque_n_m": 640.0, "shaft_diameter_mm": 60.0, "key_length_mm": 70.0}
    force_of_shear = shear_stress_n_mm2(**given, key_width_mm=18.0) * 18 * 70
    force_on_side = bearing_stress_n_mm2(**given, bearing_depth_mm=4.0) * 4 * 70
    assert force_of_shear * 30 / 1000 == pytest.approx(640)
    assert force_on_side * 30 / 1000 == pytest.approx(640)


def test_holes_are_spread_evenly_from_their_first():
    centres = hole_centres(circle_diameter_mm=80, hole_count=6, first_rad=radians(30))
    assert centres[0].x == pytest.approx(-20)
    assert centres[0].y == pytest.approx(40 * cos(radians(30)))
    for one, other in zip(centres, (*centres[1:], centres[0]), strict=True):
        assert hypot(one.x - other.x, one.y - other.y) == pytest.approx(40)


def asme_wheel(teeth):
    gap = asme_gap(
        pitch_in=1, roller_diameter_in=0.625, teeth=teeth, outside_diameter_in=outside_diameter(pitch_in=1, teeth=teeth)
    )
    return tuple(scaled(piece, 25.4) for piece in gap)


def iso_wheel(teeth):
    form = minimum_gap_form(roller_diameter_mm=15.88, teeth=teeth)
    return iso_gap(
        pitch_mm=25.4, roller_diameter_mm=15.88, teeth=teeth, seating_radius_mm=form.seating_radius_mm,
        seating_angle_deg=form.seating_angle_deg, flank_radius_mm=form.flank_radius_mm,
        tip_diameter_mm=tip_diameter_min(pitch_mm=25.4, roller_diameter_mm=15.88, teeth=teeth),
    )  # fmt: skip


@pytest.mark.parametrize("gap_of", [asme_wheel, iso_wheel])
@pytest.mark.parametrize("kerf", [0.2, 1.5, 6.0])
def test_jet_leaves_the_wheel_as_drawn(gap_of, kerf):
    """The path lies half a kerf outside the wheel everywhere, so that what the jet takes away ends at the contour."""
    teeth = 17
    gap = gap_of(teeth)
    path = whole_wheel(cut_path(gap, rotated(gap[0], 2 * pi / teeth), kerf_mm=kerf), teeth)
    wheel = Polygon(ring_of(whole_wheel(gap, teeth)))
    jet = ring_of(path)
    assert jet.is_simple
    assert jet.is_ccw
    for x, y in jet.coords[::7]:
        assert wheel.exterior.distance(Spot(x, y)) == pytest.approx(kerf / 2, abs=2e-4)
    grown = wheel.buffer(kerf / 2, quad_segs=200)
    assert Polygon(jet).symmetric_difference(grown).area < 1e-4 * wheel.area


@pytest.mark.parametrize("kerf", [0.1, 1.0, 3.0])
@pytest.mark.parametrize("top", ["round", "square"])
def test_jet_leaves_the_silent_wheel_but_for_its_inward_corners(top, kerf):
    """The jet goes nowhere nearer than half a kerf, and what it leaves too much is the rounding of the root corners."""
    teeth = 21
    drawn = silent_gap(pitch_in=0.5, teeth=teeth, root_diameter_in=2.68, tooth_top=top)
    gap = tuple(scaled(piece, 25.4) for piece in drawn)
    jet = ring_of(whole_wheel(cut_path(gap, rotated(gap[0], 2 * pi / teeth), kerf_mm=kerf), teeth))
    wheel = Polygon(ring_of(whole_wheel(gap, teeth)))
    assert jet.is_simple
    assert min(wheel.exterior.distance(Spot(x, y)) for x, y in jet.coords[::7]) == pytest.approx(kerf / 2, abs=2e-4)
    left = Polygon(jet).buffer(-kerf / 2, quad_segs=200)
    assert left.difference(wheel).area < teeth * 2 * (1 - pi / 4) * (kerf / 2) ** 2
    assert wheel.difference(left).area < 1e-4 * wheel.area


def test_a_jet_wider_than_the_bottom_of_a_silent_gap_is_refused():
    gap = tuple(scaled(p, 25.4) for p in silent_gap(pitch_in=0.5, teeth=21, root_diameter_in=2.68, tooth_top="round"))
    with pytest.raises(OutOfRange) as refusal:
        cut_path(gap, rotated(gap[0], 2 * pi / 21), kerf_mm=9.0)
    assert refusal.value.issues[0].code == "kerf_too_wide"


@pytest.mark.parametrize("kerf", [0.2, 1.5, 6.0])
def test_jet_leaves_bore_and_keyway_as_drawn(kerf):
    outline = keyed_bore(**BORE, angle_rad=0.4)
    opening = Polygon(ring_of(outline, 2000))
    jet = ring_of(cut_path(outline, outline[0], kerf_mm=kerf), 2000)
    assert jet.is_simple
    for x, y in jet.coords[::50]:
        assert opening.contains(Spot(x, y))
        assert opening.exterior.distance(Spot(x, y)) == pytest.approx(kerf / 2, abs=2e-4)
    # Inward corners stay as round as the jet: metal of a quarter square less a quarter disc is left in each of two.
    swept = Polygon(jet).buffer(kerf / 2, quad_segs=200)
    assert opening.area - swept.area == pytest.approx(2 * (1 - pi / 4) * (kerf / 2) ** 2, abs=0.02)


def test_jet_in_a_round_hole_runs_on_a_smaller_circle():
    hole = round_hole(centre=Point(3.0, 4.0), diameter_mm=10, part="hole")
    path = cut_path(hole, hole[0], kerf_mm=2)
    assert [piece.radius for piece in path] == pytest.approx([4, 4])
    assert all(isinstance(piece, Arc) and piece.centre == Point(3.0, 4.0) for piece in path)


@pytest.mark.parametrize(
    ("outline", "kerf"),
    [
        (round_hole(centre=Point(0.0, 0.0), diameter_mm=5, part="hole"), 5.0),
        (keyed_bore(**BORE, angle_rad=0.0), 2 * (28.8 - 24.0)),
        (iso_wheel(17), 2 * 0.505 * 15.88),
    ],
)
def test_a_jet_as_wide_as_a_hollow_is_refused(outline, kerf):
    with pytest.raises(OutOfRange) as refusal:
        cut_path(outline, outline[0], kerf_mm=kerf)
    assert refusal.value.issues[0].code == "kerf_too_wide"
    assert cut_path(outline, outline[0], kerf_mm=kerf * 0.9)


def test_a_kerf_of_nought_is_refused():
    hole = round_hole(centre=Point(0.0, 0.0), diameter_mm=5, part="hole")
    with pytest.raises(OutOfRange):
        cut_path(hole, hole[0], kerf_mm=0)
