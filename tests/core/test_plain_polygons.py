"""Wheels without a published form: each diameter against a polygon of links laid joint by joint."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, cos, hypot, pi, sin, sqrt

import mpmath
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq
from shapely.geometry import LineString, Point

from service.core import barrel_sprocket, pair_pitch, pitch_circles, plain_wheels, pocket_wheel, speeds
from service.core.errors import EngineeringError, Inconsistent, OutOfRange

lengths = st.floats(5, 400)


def laid_round(sides: list[float], radius: float) -> float:
    """Angle that chords of given lengths take up together on a circle."""
    return sum(2 * float(mpmath.asin(side / (2 * radius))) for side in sides)


def circumscribed(sides: list[float]) -> float:
    """Diameter of the circle in which chords of given lengths close, by search."""
    least = max(sides) / 2 * (1 + 1e-12)
    return 2 * float(brentq(lambda radius: laid_round(sides, radius) - 2 * pi, least, sum(sides), xtol=1e-12))


@given(first=lengths, second=lengths, teeth=st.integers(3, 40))
def test_pairs_of_links_close_round_the_circle(first, second, teeth):
    found = pair_pitch.pitch_diameter(first_pitch_mm=first, second_pitch_mm=second, teeth=teeth)
    assert laid_round([first, second] * teeth, found / 2) == pytest.approx(2 * pi, rel=1e-9)
    assert found == pytest.approx(
        pair_pitch.pitch_diameter(first_pitch_mm=second, second_pitch_mm=first, teeth=teeth), rel=1e-12
    )


@given(pitch=lengths, teeth=st.integers(2, 40))
def test_equal_pitches_make_the_polygon_of_twice_the_teeth(pitch, teeth):
    found = pair_pitch.pitch_diameter(first_pitch_mm=pitch, second_pitch_mm=pitch, teeth=teeth)
    assert found == pytest.approx(2 * pitch_circles.pitch_radius(teeth=2 * teeth, pitch_mm=pitch))


@given(wire=st.floats(3, 40), ratio=st.floats(2.1, 4), pockets=st.integers(4, 30))
def test_links_of_a_pocket_wheel_close_round_its_circle(wire, ratio, pockets):
    """Axes of flat links are p + d long, those of upright links between them p - d."""
    size = {"wire_diameter_mm": wire, "pitch_mm": ratio * wire, "pockets": pockets}
    sides = [size["pitch_mm"] + wire, size["pitch_mm"] - wire]
    diameter = pocket_wheel.pitch_diameter(**size)
    assert diameter == pytest.approx(circumscribed(sides * pockets), rel=1e-9)
    assert diameter == pytest.approx(
        pair_pitch.pitch_diameter(first_pitch_mm=sides[0], second_pitch_mm=sides[1], teeth=pockets)
    )
    apothem = sqrt(diameter**2 - sides[0] ** 2)
    assert pocket_wheel.inscribed_diameter(**size) == pytest.approx(apothem)


@settings(max_examples=25)
@given(pitch=st.floats(20, 300), share=st.floats(0.1, 0.5), clearance=st.floats(0, 0.05), teeth=st.integers(5, 40))
def test_bottom_and_caliper_diameter_on_a_drawn_wheel(pitch, share, clearance, teeth):
    diameter = 2 * pitch_circles.pitch_radius(teeth=teeth, pitch_mm=pitch)
    seat, gap = share * pitch, clearance * pitch
    joints = [
        Point(diameter / 2 * cos(2 * pi * k / teeth), diameter / 2 * sin(2 * pi * k / teeth)) for k in range(teeth)
    ]
    seats = [joint.buffer(seat / 2 + gap, quad_segs=128) for joint in joints]
    wanted = {"pitch_diameter_mm": diameter, "seating_diameter_mm": seat, "bottom_clearance_mm": gap}
    bottom = barrel_sprocket.bottom_diameter(**wanted)
    assert 2 * Point(0, 0).distance(seats[0]) == pytest.approx(bottom, rel=1e-4)
    caliper = barrel_sprocket.caliper_diameter(**wanted, teeth=teeth)
    assert max(seats[0].distance(other) for other in seats) == pytest.approx(caliper, rel=1e-4)


@given(pitch=st.floats(20, 300), pitches=st.floats(4, 60), height=st.floats(0.05, 0.4))
def test_bars_of_a_laid_chain_touch_the_hub_circle(pitch, pitches, height):
    diameter = 2 * pitch_circles.pitch_radius(teeth=pitches, pitch_mm=pitch)
    assert barrel_sprocket.equivalent_teeth(pitch_diameter_mm=diameter, pitch_mm=pitch) == pytest.approx(pitches)
    half = pi / pitches
    ends = [(diameter / 2 * sin(side * half), diameter / 2 * cos(half)) for side in (-1, 1)]
    bar = LineString(ends).buffer(height * pitch / 2, cap_style="flat")
    hub = barrel_sprocket.hub_diameter_max(pitch_diameter_mm=diameter, pitch_mm=pitch, plate_height_mm=height * pitch)
    assert 2 * Point(0, 0).distance(bar) == pytest.approx(hub)


@given(pitch=lengths, teeth=st.integers(4, 200))
def test_speed_variation_is_that_of_whole_teeth(pitch, teeth):
    diameter = 2 * pitch_circles.pitch_radius(teeth=teeth, pitch_mm=pitch)
    found = barrel_sprocket.speed_variation(pitch_diameter_mm=diameter, pitch_mm=pitch)
    assert found == pytest.approx(speeds.chordal_speed_variation(teeth=teeth), rel=1e-6)


def test_half_a_tooth_is_a_star_of_chords():
    """Eleven gaps at half the pitch: each link steps over two, and after two turns the star closes."""
    diameter = 2 * pitch_circles.pitch_radius(teeth=5.5, pitch_mm=152.4)
    spots = [(diameter / 2 * cos(4 * pi * k / 11), diameter / 2 * sin(4 * pi * k / 11)) for k in range(12)]
    steps = [hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(spots)]
    assert steps == pytest.approx([152.4] * 11)
    assert atan2(spots[11][1], spots[11][0]) == pytest.approx(0, abs=1e-12)


def test_barrels_on_a_plain_rim_lie_on_the_pitch_circle():
    found = plain_wheels.traction_pitch_diameter(tread_diameter_mm=600, seating_diameter_mm=44)
    centre = Point(found / 2, 0)
    assert centre.buffer(22, quad_segs=256).distance(Point(0, 0)) == pytest.approx(300, rel=1e-4)


REFUSED = [
    (pair_pitch.pitch_diameter, {"first_pitch_mm": 50, "second_pitch_mm": 50, "teeth": 1}, "teeth_below_minimum"),
    (pair_pitch.pitch_diameter, {"first_pitch_mm": 50, "second_pitch_mm": 50, "teeth": 1001}, "teeth_above_limit"),
    (pair_pitch.pitch_diameter, {"first_pitch_mm": 0, "second_pitch_mm": 50, "teeth": 6}, "must_be_positive"),
    (pocket_wheel.pitch_diameter, {"wire_diameter_mm": 10, "pitch_mm": 30, "pockets": 3}, "pockets_below_minimum"),
    (pocket_wheel.pitch_diameter, {"wire_diameter_mm": 15, "pitch_mm": 30, "pockets": 5}, "geometry_impossible"),
    (barrel_sprocket.equivalent_teeth, {"pitch_diameter_mm": 100, "pitch_mm": 100}, "wheel_too_small"),
    (
        barrel_sprocket.bottom_diameter,
        {"pitch_diameter_mm": 100, "seating_diameter_mm": 90, "bottom_clearance_mm": 5},
        "geometry_impossible",
    ),
    (
        barrel_sprocket.bottom_diameter,
        {"pitch_diameter_mm": 100, "seating_diameter_mm": 50, "bottom_clearance_mm": -1},
        "must_not_be_negative",
    ),
    (barrel_sprocket.tooth_width, {"inner_width_mm": 20, "side_clearance_mm": 20}, "clearance_too_large"),
    (barrel_sprocket.tooth_width_conveyor, {"inner_width_mm": 1.1}, "must_be_positive"),
    (
        barrel_sprocket.hub_diameter_max,
        {"pitch_diameter_mm": 120, "pitch_mm": 100, "plate_height_mm": 67},
        "geometry_impossible",
    ),
]


@pytest.mark.parametrize(("relation", "inputs", "code"), REFUSED)
def test_refusals(relation, inputs, code):
    with pytest.raises(EngineeringError) as refused:
        relation(**inputs)
    assert refused.value.issues[0].code == code
    assert isinstance(refused.value, (OutOfRange, Inconsistent))


def test_four_pockets_and_two_pairs_are_the_least():
    assert pocket_wheel.pitch_diameter(wire_diameter_mm=10, pitch_mm=30, pockets=4) > 0
    assert pair_pitch.pitch_diameter(first_pitch_mm=50, second_pitch_mm=40, teeth=2) == pytest.approx(hypot(50, 40))
