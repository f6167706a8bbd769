"""Attachments on a chain, against links laid out one by one, and an underside against a drawn wheel."""

from __future__ import annotations

from math import cos, pi, sin, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from service.core.attachment_patterns import (
    attachment_count,
    attachment_links,
    attachment_spacing,
    first_shared_link,
    rim_clearance,
    space_at_joint,
)
from service.core.errors import OutOfRange


@st.composite
def patterns(draw: st.DrawFn) -> tuple[int, int, int]:
    """A strand, a spacing and a first link that fit each other."""
    count = draw(st.integers(1, 240))
    every = draw(st.integers(1, count))
    return count, every, draw(st.integers(1, every))


def walked(count: int, every: int, start: int) -> list[int]:
    """Links with an attachment, found by walking along the strand."""
    found, left = [], start
    for link in range(1, count + 1):
        left -= 1
        if left == 0:
            found.append(link)
            left = every
    return found


@given(patterns())
def test_links_are_those_of_a_walk_along_the_strand(pattern: tuple[int, int, int]) -> None:
    count, every, start = pattern
    expected = walked(count, every, start)
    assert list(attachment_links(pitch_count=count, every=every, start=start)) == expected
    assert attachment_count(pitch_count=count, every=every, start=start) == len(expected)


@given(patterns())
def test_the_space_at_the_joint_is_walked_from_the_last_to_the_first(pattern: tuple[int, int, int]) -> None:
    count, every, start = pattern
    carrying = walked(count, every, start)
    link, steps = carrying[-1], 0
    while True:
        link, steps = link % count + 1, steps + 1
        if link == carrying[0]:
            break
    found = space_at_joint(pitch_count=count, every=every, start=start)
    assert found == steps
    assert (found == every) == (count % every == 0)


def test_every_fourth_of_214_pitches() -> None:
    """By hand: links 1, 5, ... 213 are 54; from 213 over 214 to 1 are two pitches."""
    assert attachment_count(pitch_count=214, every=4, start=1) == 54
    assert space_at_joint(pitch_count=214, every=4, start=1) == 2
    assert space_at_joint(pitch_count=214, every=4, start=3) == 6
    assert space_at_joint(pitch_count=216, every=4, start=3) == 4


@given(st.integers(1, 200), st.data())
def test_the_first_shared_link_is_the_first_of_both_walks(count: int, data: st.DataObject) -> None:
    one, other = ((data.draw(st.integers(1, count)), data.draw(st.integers(1, count))) for _ in range(2))
    ours, theirs = (set(range(start, count + 1, every)) for every, start in (one, other))
    found = first_shared_link(pitch_count=count, every=one[0], start=one[1], other_every=other[0], other_start=other[1])
    assert found == min(ours & theirs, default=None)


@given(st.integers(1, 60), st.floats(5, 500), st.floats(0, 5))
def test_the_spacing_is_that_of_pitches_laid_end_to_end(every: int, pitch: float, worn: float) -> None:
    laid = sum(pitch + pitch * worn / 100 for _ in range(every))
    assert attachment_spacing(every=every, pitch_mm=pitch, elongation_percent=worn) == pytest.approx(laid, rel=1e-12)


def side(pitch: float, teeth: int) -> LineString:
    """A side of the pitch polygon round the origin, between two corners of its circle."""
    radius = pitch / (2 * sin(pi / teeth))
    return LineString([(radius * cos(turn), radius * sin(turn)) for turn in (0.3, 0.3 + 2 * pi / teeth)])


@pytest.mark.parametrize("teeth", [3, 6, 11, 24])
@pytest.mark.parametrize("height", [0.0, 30.0])
def test_the_clearance_is_that_of_a_drawn_underside_and_rim(teeth: int, height: float) -> None:
    """The underside lies along a link at its height; what is left to a drawn rim of 30 mm radius is its distance."""
    link = side(152.4, teeth)
    underside = max((link.parallel_offset(height, hand) for hand in ("left", "right")), key=Point(0, 0).distance)
    found = rim_clearance(pitch_mm=152.4, teeth=teeth, underside_height_mm=height, rim_diameter_mm=60)
    assert found == pytest.approx(underside.distance(Point(0, 0)) - 30, rel=1e-9)


def test_an_underside_below_the_rim_meets_it() -> None:
    """Six teeth of 152.4 mm: the link stands 152.4/2 x sqrt(3) = 131.98 mm off the shaft."""
    found = rim_clearance(pitch_mm=152.4, teeth=6, underside_height_mm=-12, rim_diameter_mm=260)
    assert found == pytest.approx(152.4 / 2 * sqrt(3) - 12 - 130)


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (lambda: attachment_count(pitch_count=0, every=1, start=1), "must_be_positive"),
        (lambda: attachment_count(pitch_count=10, every=11, start=1), "spacing_invalid"),
        (lambda: attachment_count(pitch_count=10, every=0, start=1), "spacing_invalid"),
        (lambda: attachment_links(pitch_count=10, every=2, start=11), "start_invalid"),
        (lambda: space_at_joint(pitch_count=10, every=2, start=0), "start_invalid"),
        (lambda: attachment_spacing(every=0, pitch_mm=10, elongation_percent=0), "must_be_positive"),
        (lambda: attachment_spacing(every=1, pitch_mm=10, elongation_percent=-1), "must_not_be_negative"),
        (lambda: rim_clearance(pitch_mm=10, teeth=2, underside_height_mm=0, rim_diameter_mm=1), "teeth_below_minimum"),
        (lambda: rim_clearance(pitch_mm=10, teeth=9, underside_height_mm=0, rim_diameter_mm=0), "must_be_positive"),
    ],
)
def test_impossible_figures_are_refused(call: object, code: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        call()  # type: ignore[operator]
    assert refused.value.issues[0].code == code


def test_the_limits_themselves_are_allowed() -> None:
    assert attachment_count(pitch_count=10, every=10, start=10) == 1
    assert rim_clearance(pitch_mm=10, teeth=3, underside_height_mm=0, rim_diameter_mm=1) > 0
