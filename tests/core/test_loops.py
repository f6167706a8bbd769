"""Loops over any number of wheels against hulls, tangents through centres of similitude, and symmetry."""

from __future__ import annotations

from math import degrees, hypot, isclose, pi, tau

import mpmath
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from service.core import chain_length
from service.core.errors import Inconsistent, OutOfRange
from service.core.loops import Loop, Travel, Wheel, path, speed_ratio, tangent, travel_of, turning_sign, turns_once
from service.core.pitch_circles import pitch_angle, pitch_radius
from tests.core.loop_layouts import SERPENTINE, mirrored, plain, ring, scaled, shifted, toothed, turned

Row = tuple[float, list[tuple[float, float, int, int]], list[float], list[float], float, float]

ROWS: list[Row] = [
    # Worked out on paths of tangent points found by root search, with arcs by quadrature; agreement there to 1e-20.
    (12.7, [(0, 0, 17, 1), (500, 0, 38, 1)], [498.204283752706] * 2, [170.285251905787, 189.714748094213],
     1353.72911458778, 106.52406115894),
    (12.7, [(0, 0, 13, 1), (300, 0, 76, 1)], [271.733234536967] * 2, [129.856393363258, 230.143606636742],
     1220.82002446515, 96.067766521582),
    (12.7, [(0, 0, 19, 1), (600, 50, 25, 1), (250, 420, 17, 1)],
     [601.958425196019, 509.058507347041, 488.757430348007], [124.847655775383, 131.607649334446, 103.544694890171],
     1862.66910340299, 146.584697784308),
    (12.7, [(0, 0, 24, 1), (400, -60, 17, -1), (800, 0, 30, 1), (850, 500, 19, 1), (380, 300, 15, -1)],
     [395.823912390374, 393.085984839624, 502.004501278028, 506.085195155505, 477.628283472877],
     [154.464547809268, 8.43874325243869, 91.9161084470699, 124.010632466826, 1.95254547072474],
     2592.87016532096, 204.086727352215),
    (12.7, [(0, 0, 20, 1), (450, 0, 20, -1)], [442.616236517241] * 2, [200.787195016637] * 2,
     1169.73403814281, 92.0130326686057),
    (25.4, [(0, 0, 21, 1), (1190, 0, 42, 1), (595, 153, 17, -1)],
     [1186.97940849633, 565.93635464744, 594.657308233718], [176.044564797664, 192.562429302185, 8.60699409984927],
     3190.92964446889, 125.565461088239),
]  # fmt: skip


@pytest.mark.parametrize("row", ROWS)
def test_independent_rows(row: Row) -> None:
    pitch_mm, wheels, spans, wraps, along_circles, pitches = row
    drawn = [toothed(x, y, teeth, pitch_mm, "inside" if side > 0 else "outside") for x, y, teeth, side in wheels]
    loop = path(wheels=drawn, pitch_mm=pitch_mm, travel="counter_clockwise")
    assert [span.length_mm for span in loop.spans] == pytest.approx(spans, rel=1e-12)
    assert [degrees(contact.wrap_rad) for contact in loop.contacts] == pytest.approx(wraps, rel=1e-12)
    assert loop.length_along_circles_mm == pytest.approx(along_circles, rel=1e-12)
    assert loop.length_pitches == pytest.approx(pitches, rel=1e-12)


@pytest.mark.parametrize("count", [2, 3, 7, 40])
def test_equal_wheels_all_inside_are_the_hull_of_their_centres_and_one_circle(count: int) -> None:
    radius, pitch_mm = 60.0, 12.7
    wheels = [plain(w.x_mm, w.y_mm, radius) for w in ring(count, pitch_mm, seed=count, outside=False)]
    loop = path(wheels=wheels, pitch_mm=pitch_mm, travel="counter_clockwise")
    hull = shapely.MultiPoint([(w.x_mm, w.y_mm) for w in wheels]).convex_hull
    hull_mm = hull.length if count > 2 else 2 * hull.length
    assert loop.length_along_circles_mm == pytest.approx(hull_mm + tau * radius, rel=1e-12)
    turn_pitches = tau / pitch_angle(pitch_radius_mm=radius, pitch_mm=pitch_mm)
    assert loop.length_pitches == pytest.approx(hull_mm / pitch_mm + turn_pitches, rel=1e-12)


@pytest.mark.parametrize("seed", range(3))
def test_unequal_wheels_all_inside_are_the_hull_of_their_circles(seed: int) -> None:
    wheels = ring(5, 25.4, seed=seed, outside=False)
    circles = [shapely.Point(w.x_mm, w.y_mm).buffer(w.pitch_radius_mm, quad_segs=2**14) for w in wheels]
    hull = shapely.convex_hull(shapely.union_all(circles))
    loop = path(wheels=wheels, pitch_mm=25.4, travel="counter_clockwise")
    # 65536 chords to the circle fall short of it by 4e-10.
    assert loop.length_along_circles_mm == pytest.approx(hull.length, rel=1e-9)


def similitude_loop(wheels: list[Wheel], pitch_mm: float, travel: Travel) -> tuple[mpmath.mpf, list[mpmath.mpf]]:
    """Length in pitches and wraps to 50 digits: tangents through the centres of similitude, wraps between contacts."""
    count = len(wheels)
    centres = [mpmath.mpc(w.x_mm, w.y_mm) for w in wheels]
    signs = [turning_sign(w, travel) for w in wheels]
    radii = [
        sign * (mpmath.mpf(w.pitch_radius_mm) if w.teeth is None else pitch_mm / (2 * mpmath.sin(mpmath.pi / w.teeth)))
        for sign, w in zip(signs, wheels, strict=True)
    ]
    leaves, meets = [mpmath.mpc(0)] * count, [mpmath.mpc(0)] * count
    straight = mpmath.mpf(0)
    for i in range(count):
        j = (i + 1) % count
        a, b, r, s = centres[i], centres[j], radii[i], radii[j]
        if r == s:
            along = (b - a) / abs(b - a)
            leaves[i], meets[j] = a - 1j * r * along, b - 1j * s * along
        else:
            centre = (r * b - s * a) / (r - s)
            leaves[i], meets[j] = (touching(c, q, centre, b - a) for c, q in ((a, r), (b, s)))
        straight += abs(meets[j] - leaves[i])
    wraps = [
        (s * mpmath.arg((out - c) / (into - c))) % (2 * mpmath.pi)
        for s, c, into, out in zip(signs, centres, meets, leaves, strict=True)
    ]
    turns = [
        2 * mpmath.pi / w.teeth if w.teeth else 2 * mpmath.asin(mpmath.mpf(pitch_mm) / (2 * w.pitch_radius_mm))
        for w in wheels
    ]
    return straight / pitch_mm + sum(w / t for w, t in zip(wraps, turns, strict=True)), wraps


def touching(c: mpmath.mpc, radius: mpmath.mpf, centre: mpmath.mpc, along: mpmath.mpc) -> mpmath.mpc:
    """The point of a circle whose tangent goes through the centre of similitude.

    A wheel of positive radius lies on the left of the travel.
    """
    away = centre - c
    foot = radius**2 / abs(away) ** 2
    half = mpmath.sqrt(1 - foot) * abs(radius) / abs(away)
    points = [c + away * (foot + sign * 1j * half) for sign in (1, -1)]
    return max(points, key=lambda p: mpmath.im(mpmath.conj(along) * (c - p)) * mpmath.sign(radius))


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("count", [6, 10, 40])
def test_serpentines_agree_with_fifty_digits(count: int, seed: int) -> None:
    wheels = ring(count, 19.05, seed=seed)
    with mpmath.workdps(50):
        pitches, wraps = similitude_loop(wheels, 19.05, "counter_clockwise")
    loop = path(wheels=wheels, pitch_mm=19.05, travel="counter_clockwise")
    assert turns_once(loop, "counter_clockwise")
    assert loop.length_pitches == pytest.approx(float(pitches), rel=1e-12)
    assert [c.wrap_rad for c in loop.contacts] == pytest.approx([float(w) for w in wraps], rel=1e-9, abs=1e-12)


@given(st.integers(9, 60), st.integers(9, 120), st.floats(1.02, 20))
def test_two_wheels_are_the_two_wheel_formula(one: int, other: int, apart: float) -> None:
    small, large = sorted((one, other))
    pitch_mm = 12.7
    radii = pitch_radius(teeth=small, pitch_mm=1) + pitch_radius(teeth=large, pitch_mm=1)
    centres = apart * radii
    wheels = [toothed(0, 0, one, pitch_mm), toothed(centres * pitch_mm, 0, other, pitch_mm)]
    expected = chain_length.pitches_exact(centre_distance_pitches=centres, teeth_small=small, teeth_large=large)
    loop = path(wheels=wheels, pitch_mm=pitch_mm, travel=travel_of(wheels=wheels, pitch_mm=pitch_mm))
    assert loop.length_pitches == pytest.approx(expected, rel=1e-12)


def figures(loop: Loop) -> list[float]:
    return [
        loop.length_pitches,
        loop.length_along_circles_mm,
        *(span.length_mm for span in loop.spans),
        *(contact.wrap_rad for contact in loop.contacts),
    ]


LAYOUTS = st.one_of(
    st.just(SERPENTINE),
    st.builds(ring, st.integers(3, 6).map(lambda n: 2 * n), st.just(12.7), st.integers(0, 99)),
)


@given(LAYOUTS, st.floats(-10, 10), st.floats(-1e4, 1e4), st.floats(-1e4, 1e4))
def test_turning_and_shifting_change_nothing(wheels: list[Wheel], angle: float, dx: float, dy: float) -> None:
    moved = shifted(turned(wheels, angle), dx, dy)
    before = path(wheels=wheels, pitch_mm=12.7, travel="counter_clockwise")
    after = path(wheels=moved, pitch_mm=12.7, travel="counter_clockwise")
    assert figures(after) == pytest.approx(figures(before), rel=1e-8, abs=1e-8)


@given(LAYOUTS)
def test_the_mirror_image_travels_the_other_way(wheels: list[Wheel]) -> None:
    before = path(wheels=wheels, pitch_mm=12.7, travel="counter_clockwise")
    image = mirrored(wheels)
    assert travel_of(wheels=image, pitch_mm=12.7) == "clockwise"
    after = path(wheels=image, pitch_mm=12.7, travel="clockwise")
    assert figures(after) == pytest.approx(figures(before), rel=1e-9, abs=1e-9)
    assert [c.turns for c in after.contacts] != [c.turns for c in before.contacts]


@given(LAYOUTS)
def test_the_reversed_order_is_the_same_loop(wheels: list[Wheel]) -> None:
    before = path(wheels=wheels, pitch_mm=12.7, travel="counter_clockwise")
    after = path(wheels=wheels[::-1], pitch_mm=12.7, travel="clockwise")
    assert after.length_pitches == pytest.approx(before.length_pitches, rel=1e-12)
    assert [c.wrap_rad for c in reversed(after.contacts)] == pytest.approx([c.wrap_rad for c in before.contacts])


@given(LAYOUTS, st.integers(0, 20))
def test_the_loop_may_start_at_any_wheel(wheels: list[Wheel], start: int) -> None:
    start %= len(wheels)
    before = path(wheels=wheels, pitch_mm=12.7, travel="counter_clockwise")
    after = path(wheels=wheels[start:] + wheels[:start], pitch_mm=12.7, travel="counter_clockwise")
    assert after.length_pitches == pytest.approx(before.length_pitches, rel=1e-12)


@given(LAYOUTS, st.floats(0.01, 100))
def test_pitches_and_wraps_do_not_depend_on_scale(wheels: list[Wheel], factor: float) -> None:
    before = path(wheels=wheels, pitch_mm=12.7, travel="counter_clockwise")
    after = path(wheels=scaled(wheels, factor), pitch_mm=12.7 * factor, travel="counter_clockwise")
    assert after.length_pitches == pytest.approx(before.length_pitches, rel=1e-10)
    assert after.length_along_circles_mm == pytest.approx(before.length_along_circles_mm * factor, rel=1e-10)


@given(LAYOUTS)
def test_the_path_closes_and_touches_its_wheels_square(wheels: list[Wheel]) -> None:
    loop = path(wheels=wheels, pitch_mm=12.7, travel="counter_clockwise")
    assert turns_once(loop, "counter_clockwise")
    for wheel, span, before in zip(wheels, loop.spans, (loop.spans[-1], *loop.spans), strict=False):
        for x, y, other_x, other_y in (
            (span.start_x_mm, span.start_y_mm, span.end_x_mm, span.end_y_mm),
            (before.end_x_mm, before.end_y_mm, before.start_x_mm, before.start_y_mm),
        ):
            rx, ry = x - wheel.x_mm, y - wheel.y_mm
            assert isclose(hypot(rx, ry), wheel.pitch_radius_mm, rel_tol=1e-9)
            assert abs(rx * (other_x - x) + ry * (other_y - y)) < 1e-6


@given(LAYOUTS)
def test_the_sense_of_travel_is_found(wheels: list[Wheel]) -> None:
    assert travel_of(wheels=wheels, pitch_mm=12.7) == "counter_clockwise"
    assert travel_of(wheels=wheels[::-1], pitch_mm=12.7) == "clockwise"


def test_of_two_senses_that_close_the_shorter_is_taken() -> None:
    """A back-bending wheel past the line of centres can be reached from either strand."""
    wheels = [plain(0, 0, 100), plain(500, 20, 30, "outside"), plain(1000, 0, 100)]
    lengths = {
        travel: path(wheels=wheels, pitch_mm=10, travel=travel).length_pitches
        for travel in ("counter_clockwise", "clockwise")
    }
    assert all(turns_once(path(wheels=wheels, pitch_mm=10, travel=t), t) for t in lengths)
    assert travel_of(wheels=wheels, pitch_mm=10) == min(lengths, key=lambda t: lengths[t])


def test_teeth_in_mesh_are_the_wrap_over_the_angle_of_a_tooth() -> None:
    wheels = [toothed(0, 0, 20, 10), toothed(400, 0, 20, 10)]
    loop = path(wheels=wheels, pitch_mm=10, travel="clockwise")
    assert [contact.pitches for contact in loop.contacts] == pytest.approx([10, 10])


def test_every_second_tooth_is_half_the_teeth() -> None:
    """A double-pitch chain on 38 teeth of the single pitch runs on 19 of its own."""
    wheel = toothed(0, 0, 38 / 2, 25.4)
    assert pitch_angle(pitch_radius_mm=wheel.pitch_radius_mm, pitch_mm=25.4) == pytest.approx(2 * pi / 19)


def test_speeds_follow_the_teeth_and_the_side() -> None:
    loop = path(wheels=SERPENTINE, pitch_mm=12.7, travel="counter_clockwise")
    ratios = [speed_ratio(driver=loop.contacts[0], driven=contact) for contact in loop.contacts]
    assert ratios == pytest.approx([1, -17 / 24, 30 / 24, 19 / 24, -15 / 24])
    assert [contact.turns for contact in loop.contacts][:2] == ["counter_clockwise", "clockwise"]


def test_a_wheel_of_another_pitch_is_refused() -> None:
    wheels = [toothed(0, 0, 20, 12.7), toothed(400, 0, 20, 15.875)]
    with pytest.raises(Inconsistent) as refused:
        path(wheels=wheels, pitch_mm=12.7, travel="clockwise")
    (issue,) = refused.value.issues
    assert (issue.field, issue.code) == ("wheels.1.pitch_radius_mm", "pitch_mismatch")
    assert issue.limit == pytest.approx(40.592, abs=5e-4)


@pytest.mark.parametrize(("wheels", "code"), [([], "two_wheels_needed"), ([plain(0, 0, 9)], "two_wheels_needed")])
def test_a_loop_needs_two_wheels(wheels: list[Wheel], code: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        path(wheels=wheels, pitch_mm=5, travel="clockwise")
    assert refused.value.issues[0].code == code


def test_wheels_without_a_common_tangent_are_refused_at_the_limit() -> None:
    at = {"start_x_mm": 0.0, "start_y_mm": 0.0, "end_y_mm": 0.0}
    radii = {"start_signed_radius_mm": 10.0, "end_signed_radius_mm": -5.0}
    with pytest.raises(OutOfRange) as refused:
        tangent(**at, **radii, end_x_mm=15.0)
    assert refused.value.issues[0].limit == 15
    assert tangent(**at, **radii, end_x_mm=15.000001).length_mm > 0


def test_neighbours_without_room_are_named() -> None:
    with pytest.raises(OutOfRange) as refused:
        path(wheels=[plain(0, 0, 10), plain(5, 0, 20), plain(90, 0, 5)], pitch_mm=5, travel="clockwise")
    assert refused.value.issues[0].field == "wheels.1"
    assert "Wheels 1 and 2" in refused.value.issues[0].message


def test_a_wheel_smaller_than_half_a_pitch_is_refused_and_two_pitches_may_go_round() -> None:
    assert pitch_angle(pitch_radius_mm=5, pitch_mm=10) == pytest.approx(pi)
    with pytest.raises(OutOfRange) as refused:
        pitch_angle(pitch_radius_mm=4.999, pitch_mm=10)
    assert refused.value.issues[0].code == "wheel_too_small"


@pytest.mark.parametrize("teeth", [2, 0, -5, float("nan"), float("inf")])
def test_impossible_teeth_are_refused(teeth: float) -> None:
    with pytest.raises(OutOfRange):
        pitch_radius(teeth=teeth, pitch_mm=10)
