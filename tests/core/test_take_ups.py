"""A wheel on a slide: slopes against differences, positions against their loops, wear against growth of the pitch."""

from __future__ import annotations

from math import atan2, cos, hypot, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core import chain_length, elongation
from service.core.errors import NoSolution, OutOfRange
from service.core.loops import Travel, Wheel, path, travel_of
from service.core.sliding_loops import Slide, SlidingLoop, WornLoop, length_slope, moved
from service.core.take_ups import (
    GREATEST_ELONGATION_PERCENT,
    LengthRange,
    length_range,
    travels_for_pitches,
    wear_reserve,
)
from tests.core.loop_layouts import SERPENTINE, plain, ring, toothed

PITCH = 12.7


def length(wheels: list[Wheel] | tuple[Wheel, ...]) -> float:
    return path(wheels=wheels, pitch_mm=PITCH, travel="counter_clockwise").length_pitches


def sliding(wheels: list[Wheel], slide: Slide, travel: Travel = "counter_clockwise") -> SlidingLoop:
    return SlidingLoop(wheels=wheels, pitch_mm=PITCH, travel=travel, slide=slide)


def outwards(wheels: list[Wheel], index: int, least: float, greatest: float) -> Slide:
    """A slide that tightens the loop as the travel grows: away from the neighbours of the wheel."""
    before, wheel, after = wheels[index - 1], wheels[index], wheels[(index + 1) % len(wheels)]
    dx, dy = 2 * wheel.x_mm - before.x_mm - after.x_mm, 2 * wheel.y_mm - before.y_mm - after.y_mm
    return Slide(wheel=index, direction_rad=atan2(dy, dx), minimum_travel_mm=least, maximum_travel_mm=greatest)


@given(st.integers(0, 50), st.integers(0, 7), st.floats(0, 2 * pi))
def test_the_slope_is_the_limit_of_differences(seed: int, index: int, direction: float) -> None:
    wheels = ring(8, PITCH, seed=seed)
    slide = Slide(wheel=index, direction_rad=direction, minimum_travel_mm=0, maximum_travel_mm=0)
    loop = path(wheels=wheels, pitch_mm=PITCH, travel="counter_clockwise")
    step = 1e-3
    ahead, behind = (length(moved(wheels=wheels, slide=slide, travel_mm=s)) for s in (step, -step))
    slope = length_slope(spans=loop.spans, contacts=loop.contacts, slide=slide, pitch_mm=PITCH)
    assert slope == pytest.approx((ahead - behind) / (2 * step), abs=1e-7)


def test_the_slope_of_a_two_wheel_loop_is_two_over_the_pitch() -> None:
    wheels = [toothed(0, 0, 20, PITCH), toothed(500, 0, 20, PITCH)]
    loop = path(wheels=wheels, pitch_mm=PITCH, travel="counter_clockwise")
    slide = Slide(wheel=1, direction_rad=0, minimum_travel_mm=0, maximum_travel_mm=1)
    assert length_slope(spans=loop.spans, contacts=loop.contacts, slide=slide, pitch_mm=PITCH) == pytest.approx(
        2 / PITCH
    )


@given(st.integers(0, 50), st.integers(0, 7), st.floats(-20, 20))
def test_the_position_for_a_length_gives_that_length(seed: int, index: int, travel: float) -> None:
    wheels = ring(8, PITCH, seed=seed)
    slide = outwards(wheels, index, -25, 25)
    wanted = length(moved(wheels=wheels, slide=slide, travel_mm=travel))
    found = travels_for_pitches(sliding=sliding(wheels, slide), pitch_count=wanted)
    assert any(s == pytest.approx(travel, abs=1e-6) for s in found)
    for s in found:
        assert length(moved(wheels=wheels, slide=slide, travel_mm=s)) == pytest.approx(wanted, rel=1e-12)


@pytest.mark.parametrize(("small", "large", "count"), [(17, 65, 104), (19, 38, 108), (20, 63, 114), (20, 20, 80)])
def test_the_centre_distance_of_two_wheels_is_found_as_by_the_two_wheel_formula(
    small: int, large: int, count: int
) -> None:
    exact = chain_length.centre_distance_exact(pitch_count=count, teeth_small=small, teeth_large=large)
    wheels = [toothed(0, 0, small, PITCH), toothed(30 * PITCH, 0, large, PITCH)]
    slide = Slide(wheel=1, direction_rad=0, minimum_travel_mm=-2 * PITCH, maximum_travel_mm=20 * PITCH)
    (found,) = travels_for_pitches(sliding=sliding(wheels, slide), pitch_count=count)
    assert 30 + found / PITCH == pytest.approx(exact, rel=1e-11)


def test_a_slide_across_the_loop_has_two_positions_and_a_least_length() -> None:
    wheels = [plain(0, 0, 50), plain(400, 0, 50), plain(200, 300, 50)]
    slide = Slide(wheel=2, direction_rad=0, minimum_travel_mm=-150, maximum_travel_mm=180)
    at_least = length(wheels)
    found = length_range(sliding=sliding(wheels, slide))
    assert found.least_at_mm == pytest.approx(0, abs=1e-6)
    assert found.least_pitches == pytest.approx(at_least, rel=1e-12)
    assert found.greatest_at_mm == 180
    wanted = length(moved(wheels=wheels, slide=slide, travel_mm=100))
    both = travels_for_pitches(sliding=sliding(wheels, slide), pitch_count=wanted)
    assert both == pytest.approx((-100, 100))


@given(st.integers(0, 50), st.integers(0, 7), st.floats(0, 2 * pi), st.floats(0, 1))
def test_the_length_is_convex_along_a_line(seed: int, index: int, direction: float, share: float) -> None:
    wheels = ring(8, PITCH, seed=seed)
    slide = Slide(wheel=index, direction_rad=direction, minimum_travel_mm=-20, maximum_travel_mm=20)
    low, middle, high = (length(moved(wheels=wheels, slide=slide, travel_mm=s)) for s in (-20, 40 * share - 20, 20))
    assert middle <= (1 - share) * low + share * high + 1e-9


@given(st.integers(0, 50), st.integers(0, 7), st.floats(0, 2 * pi), st.floats(-20, 20))
def test_no_length_within_the_travel_lies_outside_the_range(
    seed: int, index: int, direction: float, travel: float
) -> None:
    wheels = ring(8, PITCH, seed=seed)
    slide = Slide(wheel=index, direction_rad=direction, minimum_travel_mm=-20, maximum_travel_mm=20)
    found = length_range(sliding=sliding(wheels, slide))
    here = length(moved(wheels=wheels, slide=slide, travel_mm=travel))
    assert found.least_pitches - 1e-9 <= here <= found.greatest_pitches + 1e-9


def test_a_chain_that_the_travel_cannot_take_is_refused_with_the_nearest_length() -> None:
    slide = outwards(SERPENTINE, 3, 0, 40)
    reach = length_range(sliding=sliding(SERPENTINE, slide))
    for count, code, limit in (
        (180, "chain_too_short", reach.least_pitches),
        (230, "chain_too_long", reach.greatest_pitches),
    ):
        with pytest.raises(NoSolution) as refused:
            travels_for_pitches(sliding=sliding(SERPENTINE, slide), pitch_count=count)
        assert refused.value.issues[0].code == code
        assert refused.value.issues[0].limit == limit


def test_a_travel_written_the_wrong_way_round() -> None:
    slide = Slide(wheel=1, direction_rad=0, minimum_travel_mm=10, maximum_travel_mm=-10)
    with pytest.raises(OutOfRange) as refused:
        length_range(sliding=sliding(SERPENTINE, slide))
    assert refused.value.issues[0].code == "range_reversed"


def test_a_travel_that_lets_go_of_the_chain_is_refused() -> None:
    """The outside wheel below the lower strand, let down until the chain would have to loop round it."""
    slide = Slide(wheel=1, direction_rad=-pi / 2, minimum_travel_mm=0, maximum_travel_mm=100)
    with pytest.raises(OutOfRange) as refused:
        length_range(sliding=sliding(SERPENTINE, slide))
    assert refused.value.issues[0].code == "travel_leaves_loop"
    assert refused.value.issues[0].received == 100


def test_a_slide_of_no_travel_is_one_length() -> None:
    slide = outwards(SERPENTINE, 3, 5, 5)
    here = length(moved(wheels=SERPENTINE, slide=slide, travel_mm=5))
    found = length_range(sliding=sliding(SERPENTINE, slide))
    assert found == LengthRange(here, 5, here, 5)


@pytest.mark.parametrize("travel", [1.0, 5.0, 20.0])
def test_the_reserve_of_a_plain_conveyor_is_twice_the_travel_over_its_strands(travel: float) -> None:
    """Equal wheels: n p (1 + e) = 2 (C + s) + N p (1 + e), so e = s/C where the chain is tight at the start."""
    centre = 30 * PITCH
    wheels = [toothed(0, 0, 20, PITCH), toothed(centre, 0, 20, PITCH)]
    slide = Slide(wheel=1, direction_rad=0, minimum_travel_mm=0, maximum_travel_mm=travel)
    found = wear_reserve(sliding=sliding(wheels, slide), pitch_count=80)
    assert found == pytest.approx(100 * travel / centre, rel=1e-10)


@given(st.integers(0, 50), st.floats(5, 25))
def test_worn_by_the_reserve_the_chain_fits_at_the_end_of_the_travel(seed: int, travel: float) -> None:
    wheels = ring(8, PITCH, seed=seed)
    slide = outwards(wheels, 2, 0, travel)
    here = length(wheels)
    count = int(length(moved(wheels=wheels, slide=slide, travel_mm=travel)))
    if count < here:
        return
    reserve = wear_reserve(sliding=sliding(wheels, slide), pitch_count=count)
    worn_pitch = PITCH * (1 + reserve / 100)
    worn = [
        toothed(w.x_mm, w.y_mm, w.teeth or 0, worn_pitch, w.side)
        for w in moved(wheels=wheels, slide=slide, travel_mm=travel)
    ]
    assert path(wheels=worn, pitch_mm=worn_pitch, travel="counter_clockwise").length_pitches == pytest.approx(count)


def test_a_plain_guide_wheel_keeps_its_radius_when_the_chain_wears() -> None:
    """A plain pair: n p' = 2 C' + 2 pi/tau(p') p', solved here by halving."""
    wheels = [plain(0, 0, 60), plain(400, 0, 60)]
    slide = Slide(wheel=1, direction_rad=0, minimum_travel_mm=0, maximum_travel_mm=10)
    count = 92

    def room(percent: float) -> float:
        from math import asin

        pitch = PITCH * (1 + percent / 100)
        return 2 * 410 / pitch + 2 * pi / (2 * asin(pitch / 120)) - count

    low, high = 0.0, 10.0
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if room(middle) > 0 else (low, middle)
    found = wear_reserve(sliding=sliding(wheels, slide), pitch_count=count)
    assert found == pytest.approx(low, rel=1e-9)


@given(st.integers(0, 50), st.integers(0, 7), st.floats(0, 2 * pi), st.floats(-20, 20))
def test_what_the_moving_wheel_changes_is_all_that_changes(
    seed: int, index: int, direction: float, travel: float
) -> None:
    """Length and slope of a part of the loop at a time, against the whole loop anew."""
    slide = Slide(wheel=index, direction_rad=direction, minimum_travel_mm=-20, maximum_travel_mm=20)
    loop = sliding(ring(8, PITCH, seed=seed), slide)
    whole = loop.loop(travel)
    found = loop.at(travel)
    assert found.length == pytest.approx(whole.length_pitches, rel=1e-13)
    slope = length_slope(spans=whole.spans, contacts=whole.contacts, slide=slide, pitch_mm=PITCH)
    assert found.slope == pytest.approx(slope, abs=1e-13)


@given(st.integers(0, 50), st.floats(0, 5))
def test_a_worn_loop_is_the_path_over_wheels_at_the_worn_pitch(seed: int, percent: float) -> None:
    wheels = [*ring(8, PITCH, seed=seed)]
    wheels[2] = wheels[2]._replace(teeth=None)
    factor = 1 + percent / 100
    worn = [w if w.teeth is None else toothed(w.x_mm, w.y_mm, w.teeth, factor * PITCH, w.side) for w in wheels]
    at = WornLoop(wheels=wheels, pitch_mm=PITCH, travel="counter_clockwise").at
    expected = path(wheels=worn, pitch_mm=factor * PITCH, travel="counter_clockwise").length_pitches
    here, ahead, behind = at(percent), at(percent + 1e-4), at(percent - 1e-4)
    assert here is not None
    assert ahead is not None
    assert behind is not None
    assert here.length == pytest.approx(expected, rel=1e-13)
    assert here.slope == pytest.approx((ahead.length - behind.length) / 2e-4, rel=1e-6)


def test_a_plain_wheel_too_small_for_the_worn_pitch_ends_the_loop() -> None:
    wheels = [toothed(0, 0, 20, PITCH), plain(400, 0, 0.51 * PITCH)]
    worn = WornLoop(wheels=wheels, pitch_mm=PITCH, travel="counter_clockwise")
    assert worn.at(1.9) is not None
    assert worn.at(2.1) is None


def test_a_chain_already_too_long_has_no_reserve() -> None:
    wheels = [toothed(0, 0, 20, PITCH), toothed(30 * PITCH, 0, 20, PITCH)]
    slide = Slide(wheel=1, direction_rad=0, minimum_travel_mm=0, maximum_travel_mm=10)
    with pytest.raises(NoSolution) as refused:
        wear_reserve(sliding=sliding(wheels, slide), pitch_count=82)
    assert refused.value.issues[0].code == "chain_too_long"


def test_a_chain_tight_at_the_end_of_the_travel_has_a_reserve_of_nothing() -> None:
    wheels = [toothed(0, 0, 20, PITCH), toothed(30 * PITCH, 0, 20, PITCH)]
    slide = Slide(wheel=1, direction_rad=0, minimum_travel_mm=-10, maximum_travel_mm=0)
    found = wear_reserve(sliding=sliding(wheels, slide), pitch_count=80)
    assert found == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("large", [20, 60])
def test_the_reserve_agrees_with_the_reading_of_a_take_up_scale(large: int) -> None:
    """Chain on the wheels does not move the take-up: Y = n - 2 C/p gives back the wear of the loop."""
    wheels = [toothed(0, 0, 20, PITCH), toothed(60 * PITCH, 0, large, PITCH)]
    slide = Slide(wheel=1, direction_rad=0, minimum_travel_mm=-PITCH, maximum_travel_mm=15)
    count = int(length(wheels))
    (new,) = travels_for_pitches(sliding=sliding(wheels, slide), pitch_count=count)
    reserve = wear_reserve(sliding=sliding(wheels, slide), pitch_count=count)
    read = elongation.from_takeup(
        takeup_travel_mm=15 - new,
        runs=2,
        loop_pitch_count=count,
        pitches_removed=0,
        pitches_on_wheels=count - 2 * (60 + new / PITCH),
        pitch_mm=PITCH,
    )
    assert read == pytest.approx(reserve, rel=1e-9)


@given(st.floats(-100, 100), st.floats(0, 2 * pi))
def test_moving_moves_one_wheel_along_the_line(travel: float, direction: float) -> None:
    slide = Slide(wheel=2, direction_rad=direction, minimum_travel_mm=0, maximum_travel_mm=0)
    found = moved(wheels=SERPENTINE, slide=slide, travel_mm=travel)
    here = SERPENTINE[2]
    dx, dy = found[2].x_mm - here.x_mm, found[2].y_mm - here.y_mm
    assert hypot(dx, dy) == pytest.approx(abs(travel), abs=1e-9)
    assert (dx, dy) == pytest.approx((travel * cos(direction), travel * sin(direction)), abs=1e-9)
    assert list(found[:2] + found[3:]) == SERPENTINE[:2] + SERPENTINE[3:]
    assert found[2]._replace(x_mm=here.x_mm, y_mm=here.y_mm) == here


def test_a_reserve_beyond_any_wear_is_not_worked_out() -> None:
    wheels = [toothed(0, 0, 20, PITCH), toothed(30 * PITCH, 0, 20, PITCH)]
    slide = Slide(wheel=1, direction_rad=0, minimum_travel_mm=0, maximum_travel_mm=1000)
    found = wear_reserve(sliding=sliding(wheels, slide), pitch_count=80)
    assert found == GREATEST_ELONGATION_PERCENT


def test_wheels_that_worn_chain_would_bring_together_end_the_reserve() -> None:
    """Opposite wheels nearly touching: riding out by a hundredth brings the chain of one to the other."""
    near = 2 * toothed(0, 0, 20, PITCH).pitch_radius_mm * 1.01
    wheels = [toothed(0, 0, 20, PITCH), toothed(0, near, 20, PITCH, "outside"), toothed(2000, 0, 20, PITCH)]
    travel = travel_of(wheels=wheels, pitch_mm=PITCH)
    slide = Slide(wheel=2, direction_rad=0, minimum_travel_mm=0, maximum_travel_mm=500)
    count = int(path(wheels=wheels, pitch_mm=PITCH, travel=travel).length_pitches) + 1
    found = wear_reserve(sliding=sliding(wheels, slide, travel), pitch_count=count)
    assert found == pytest.approx(1, abs=1e-3)
