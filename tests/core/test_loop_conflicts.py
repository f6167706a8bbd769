"""Loops that cannot be built are refused with the reason; gaps are those of drawn shapes."""

from __future__ import annotations

from math import cos, degrees, inf, pi, radians, sin, tan

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from service.core.errors import OutOfRange
from service.core.loop_clearances import gaps
from service.core.loop_conflicts import LEAST_WRAP_RAD, ClearLoop, clear_loop
from service.core.loops import Travel, Wheel, path
from tests.core.loop_layouts import SERPENTINE, plain, ring, toothed, turned

PITCH = 12.7


def built(wheels: list[Wheel], half_height_mm: float = 0, travel: Travel = "counter_clockwise") -> ClearLoop:
    return clear_loop(wheels=wheels, pitch_mm=PITCH, half_height_mm=half_height_mm, travel=travel)


def refusal(
    wheels: list[Wheel], half_height_mm: float = 0, travel: Travel = "counter_clockwise"
) -> list[tuple[str, str]]:
    with pytest.raises(OutOfRange) as refused:
        built(wheels, half_height_mm, travel)
    return [(issue.field, issue.code) for issue in refused.value.issues]


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("count", [6, 10, 40])
def test_serpentines_are_built(count: int, seed: int) -> None:
    wheels = ring(count, PITCH, seed=seed)
    found = built(wheels, half_height_mm=0.47 * PITCH)
    assert found.loop == path(wheels=wheels, pitch_mm=PITCH, travel="counter_clockwise")
    assert found.least_gap_mm > 0


def test_wheels_at_one_point() -> None:
    assert refusal([plain(5, 5, 20), plain(5, 5, 30), plain(200, 0, 10)]) == [("wheels.1", "wheels_coincide")]


def test_pitch_circles_that_overlap() -> None:
    assert refusal([toothed(0, 0, 20, PITCH), toothed(80, 0, 20, PITCH)]) == [("wheels.1", "centres_overlap")]


def test_teeth_that_would_touch_at_the_limit() -> None:
    wheel = toothed(0, 0, 20, PITCH)
    touch = 2 * wheel.outside_radius_mm
    assert refusal([wheel, wheel._replace(x_mm=touch)]) == [("wheels.1", "teeth_would_touch")]
    assert built([wheel, wheel._replace(x_mm=touch + 1e-9)]).loop.length_pitches > 20


def test_all_pairs_at_fault_are_named_at_once() -> None:
    wheels = [plain(0, 0, 20), plain(0, 0, 20), plain(30, 0, 20)]
    assert refusal(wheels) == [
        ("wheels.1", "wheels_coincide"),
        ("wheels.2", "centres_overlap"),
        ("wheels.2", "centres_overlap"),
    ]


@pytest.mark.parametrize(
    ("wheel", "field", "code"),
    [
        (plain(inf, 0, 10), "wheels.1", "must_be_finite"),
        (plain(100, 0, -1), "wheels.1.pitch_radius_mm", "must_be_positive"),
        (plain(100, 0, float("nan")), "wheels.1.pitch_radius_mm", "must_be_positive"),
    ],
)
def test_wheels_that_are_none(wheel: Wheel, field: str, code: str) -> None:
    assert (field, code) in refusal([plain(0, 0, 10), wheel])


def test_one_wheel() -> None:
    assert refusal([plain(0, 0, 10)]) == [("wheels", "two_wheels_needed")]


def test_a_figure_of_eight_crosses() -> None:
    assert refusal([plain(0, 0, 40), plain(300, 0, 40, "outside")]) == [("wheels", "path_crosses")]


def test_wheels_out_of_order_cross() -> None:
    square = [plain(0, 0, 20), plain(400, 0, 20), plain(400, 400, 20), plain(0, 400, 20)]
    built(square)
    a, b, c, d = square
    assert ("wheels", "path_crosses") in refusal([a, c, b, d])


def test_travel_the_other_way_is_no_loop() -> None:
    square = [plain(0, 0, 20), plain(400, 0, 20), plain(400, 400, 20), plain(0, 400, 20)]
    built(square[::-1], travel="clockwise")
    assert {code for _, code in refusal(square, travel="clockwise")} == {"path_crosses"}


def test_a_wheel_inside_the_loop_that_the_chain_misses() -> None:
    wheels = [plain(0, 0, 50), plain(300, 0, 20), plain(600, 0, 50)]
    assert refusal(wheels) == [("wheels.1", "wheel_not_wrapped")]
    # Pushed out by more than the strand's height it is in the loop.
    assert built([wheels[0], plain(300, -31, 20), wheels[2]]).loop.contacts[1].wrap_rad > LEAST_WRAP_RAD


def test_a_wheel_outside_the_loop_that_the_chain_misses() -> None:
    wheels = [plain(0, 0, 50), plain(600, 0, 50), plain(300, 75, 20, "outside")]
    assert refusal(wheels) == [("wheels.2", "wheel_not_wrapped")]
    assert built([*wheels[:2], plain(300, 65, 20, "outside")]).loop.contacts[2].wrap_rad > LEAST_WRAP_RAD


def lifted_by(wrap_rad: float) -> list[Wheel]:
    """A small wheel midway between equal wheels that bends the lower strand by a wrap."""
    half = wrap_rad / 2
    lift = 1000 * tan(half) + (50 - 10) * (1 - 1 / cos(half))
    return [plain(0, 0, 50), plain(1000, -40 - lift, 10), plain(2000, 0, 50)]


def test_the_least_wrap_is_a_tenth_of_a_degree() -> None:
    loop = built(lifted_by(radians(0.102))).loop
    assert degrees(loop.contacts[1].wrap_rad) == pytest.approx(0.102, rel=1e-3)
    assert refusal(lifted_by(radians(0.098))) == [("wheels.1", "wheel_not_wrapped")]
    assert refusal(lifted_by(radians(-0.098))) == [("wheels.1", "wheel_not_wrapped")]


def test_a_wrap_of_nearly_a_full_turn_can_be_built_when_the_strands_do_not_meet() -> None:
    """Two wheels outside pinch the chain behind a wheel inside until it is wrapped by 300 degrees."""
    wheels = [
        plain(0, 0, 60),
        plain(-27, -90, 25, "outside"),
        plain(-400, -300, 30),
        plain(400, -300, 30),
        plain(27, -90, 25, "outside"),
    ]
    loop = built(wheels).loop
    assert 270 < degrees(loop.contacts[0].wrap_rad) < 300


def test_a_strand_that_passes_through_a_wheel() -> None:
    wheels = [
        plain(0, 0, 50),
        plain(500, 0, 50),
        plain(500, 400, 50),
        plain(250, -40, 20, "outside"),
        plain(0, 400, 50),
    ]
    assert refusal(wheels) == [("wheels.3", "strand_fouls_wheel")]


def test_the_plate_height_of_the_chain_counts() -> None:
    wheels = [
        plain(0, 0, 50),
        plain(500, 0, 50),
        plain(500, 400, 50),
        plain(250, -10, 20, "outside"),
        plain(0, 400, 50),
    ]
    # The strand below runs at y = -50, 20 mm under the outside wheel.
    assert built(wheels, half_height_mm=9.9).least_gap_mm == pytest.approx(0.2, abs=1e-9)
    assert refusal(wheels, half_height_mm=10.1) == [("wheels.3", "strand_fouls_wheel")]


def test_strands_that_run_too_close() -> None:
    """The run back passes 70 mm above the run out."""
    wheels = [
        plain(0, 0, 20),
        plain(600, 0, 20),
        plain(600, 60, 8),
        plain(60, 60, 8, "outside"),
        plain(600, 200, 20),
        plain(0, 200, 20),
    ]
    loop = path(wheels=wheels, pitch_mm=PITCH, travel="counter_clockwise")
    out, back = (
        shapely.LineString([(s.start_x_mm, s.start_y_mm), (s.end_x_mm, s.end_y_mm)])
        for s in (loop.spans[0], loop.spans[2])
    )
    apart = out.distance(back)
    touching = {
        gap.issue.code: gap.issue.received
        for gap in gaps(wheels=wheels, loop=loop, half_height_mm=apart / 2 + 0.01)
        if gap.issue
    }
    assert touching["strands_would_touch"] == pytest.approx(apart)
    free = gaps(wheels=wheels, loop=loop, half_height_mm=apart / 2 - 0.01)
    assert "strands_would_touch" not in {gap.issue.code for gap in free if gap.issue}


def drawn_gap(wheels: list[Wheel], half_height_mm: float) -> float:
    """Least distance of shapes drawn to size, by shapely: strands, wheels, and chain on its arcs."""
    loop = path(wheels=wheels, pitch_mm=PITCH, travel="counter_clockwise")
    strands = [shapely.LineString([(s.start_x_mm, s.start_y_mm), (s.end_x_mm, s.end_y_mm)]) for s in loop.spans]
    count = len(wheels)
    bodies = []
    for i, wheel in enumerate(wheels):
        centre = shapely.Point(wheel.x_mm, wheel.y_mm)
        before, after, contact = loop.spans[i - 1], loop.spans[i], loop.contacts[i]
        first = before if contact.turns == "counter_clockwise" else after
        x, y = (first.end_x_mm, first.end_y_mm) if first is before else (first.start_x_mm, first.start_y_mm)
        ux, uy = (x - wheel.x_mm) / wheel.pitch_radius_mm, (y - wheel.y_mm) / wheel.pitch_radius_mm
        reach = wheel.pitch_radius_mm + half_height_mm
        steps = [contact.wrap_rad * k / 500 for k in range(501)]
        rim = [
            (
                wheel.x_mm + reach * (ux * cos(a) - uy * sin(a)),
                wheel.y_mm + reach * (uy * cos(a) + ux * sin(a)),
            )
            for a in steps
        ]
        arc = shapely.Polygon([(wheel.x_mm, wheel.y_mm), *rim])
        bodies.append(shapely.union_all([centre.buffer(wheel.outside_radius_mm, quad_segs=400), arc]))
    found = [bodies[i].distance(bodies[j]) for j in range(count) for i in range(j)]
    found += [
        strands[i].distance(bodies[j]) - half_height_mm
        for i in range(count)
        for j in range(count)
        if j not in (i, (i + 1) % count)
    ]
    found += [
        strands[i].distance(strands[j]) - 2 * half_height_mm
        for j in range(count)
        for i in range(j)
        if 1 < j - i < count - 1 or loop.contacts[j if j - i == 1 else 0].wrap_rad > pi
    ]
    return min(found)


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("count", [6, 12])
def test_the_least_gap_is_that_of_drawn_shapes(count: int, seed: int) -> None:
    wheels = ring(count, PITCH, seed=seed)
    half = 0.47 * PITCH
    loop = path(wheels=wheels, pitch_mm=PITCH, travel="counter_clockwise")
    (least,) = gaps(wheels=wheels, loop=loop, half_height_mm=half)
    assert least.issue is None
    assert least.gap_mm == pytest.approx(drawn_gap(wheels, half), abs=2e-3)


@given(st.integers(0, 200), st.floats(0, 60))
def test_a_thicker_chain_never_has_more_room(seed: int, half: float) -> None:
    wheels = ring(8, PITCH, seed=seed)
    loop = path(wheels=wheels, pitch_mm=PITCH, travel="counter_clockwise")
    thin, thick = (min(g.gap_mm for g in gaps(wheels=wheels, loop=loop, half_height_mm=h)) for h in (half, half + 1))
    assert thin - 2.001 <= thick <= thin


@pytest.mark.parametrize("index", [0, 2, 3])
def test_a_corner_told_to_be_outside_is_refused(index: int) -> None:
    flipped = [w._replace(side="outside") if i == index else w for i, w in enumerate(SERPENTINE)]
    assert {code for _, code in refusal(flipped)} == {"wheel_not_wrapped"}


@pytest.mark.parametrize("index", [1, 4])
def test_a_wheel_near_the_strand_can_be_passed_on_either_side(index: int) -> None:
    built(SERPENTINE)
    built([w._replace(side="inside") if i == index else w for i, w in enumerate(SERPENTINE)])


def test_angles_are_compared_where_they_wrap_round() -> None:
    """The same layout turned in small steps keeps its least gap: no seam at 180 degrees."""
    found = {built(turned(SERPENTINE, radians(step)), half_height_mm=6).least_gap_mm for step in range(0, 360, 5)}
    assert max(found) - min(found) < 1e-9


def test_chain_between_two_wheels_needs_room() -> None:
    """Wheels that press both runs inwards: 10 mm between them, and on either a chain of half that height and more."""
    wheels = [
        plain(0, 0, 50),
        plain(500, 150, 50, "outside"),
        plain(1000, 0, 50),
        plain(1000, 400, 50),
        plain(500, 260, 50, "outside"),
        plain(0, 400, 50),
    ]
    assert built(wheels, half_height_mm=4.9).least_gap_mm == pytest.approx(0.2)
    assert refusal(wheels, half_height_mm=5.1) == [("wheels.4", "wheels_too_close")]


def test_a_loop_told_to_run_the_wrong_way_round_cannot_close() -> None:
    """Two wheels of unlike size, both told to be outside: the chain would have to turn against its own travel."""
    wheels = [plain(0, 0, 50, "outside"), plain(300, 0, 40, "outside")]
    assert refusal(wheels) == [("wheels", "path_crosses")]


def test_a_wheel_that_is_impossible_is_named() -> None:
    wheels = [plain(0, 0, 50), plain(300, 0, 50)._replace(teeth=2), plain(100, 200, 6)]
    assert refusal(wheels) == [("wheels.1.pitch_radius_mm", "teeth_below_minimum")]
    assert refusal([wheels[0], wheels[2]]) == [("wheels.1.pitch_radius_mm", "wheel_too_small")]
