"""The outline round circles, against the convex hull of buffered points."""

from __future__ import annotations

from math import hypot, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import unary_union
from shapely.geometry import Point as Spot
from shapely.geometry import Polygon

from service.core.circle_hull import Disc, hull
from service.core.plane_curves import Arc, Point
from tests.core.test_wheel_openings import ring_of

lengths = st.floats(-100, 100).map(lambda value: round(value, 3))
radii = st.floats(0.5, 60).map(lambda value: round(value, 3))
discs = st.builds(lambda x, y, radius: Disc(Point(x, y), radius), lengths, lengths, radii)
# Equal radii on a coarse grid touch the same lines again and again.
aligned = st.builds(lambda x, y: Disc(Point(10.0 * x, 10.0 * y), 7.0), st.integers(-3, 3), st.integers(-3, 3))


@given(st.lists(discs, min_size=1, max_size=8) | st.lists(aligned, min_size=1, max_size=8))
def test_outline_is_the_convex_hull(found):
    outline = hull(found, "envelope")
    ring = ring_of(outline)
    wanted = unary_union([Spot(d.centre.x, d.centre.y).buffer(d.radius, quad_segs=200) for d in found]).convex_hull
    assert Polygon(ring).symmetric_difference(wanted).area < 2e-4 * wanted.area
    assert ring.is_ccw


def test_one_disc_is_its_own_outline():
    outline = hull([Disc(Point(3.0, 4.0), 5.0), Disc(Point(3.0, 5.0), 1.0)], "envelope")
    assert all(isinstance(piece, Arc) and piece.radius == 5 for piece in outline)


def test_equal_discs_in_a_row_are_a_stadium():
    outline = hull([Disc(Point(x, 0.0), 2.0) for x in (0.0, 5.0, 9.0)], "envelope")
    ring = Polygon(ring_of(outline))
    assert ring.area == pytest.approx(9 * 4 + pi * 4, rel=1e-4)
    lines = [piece for piece in outline if not isinstance(piece, Arc)]
    assert sum(hypot(piece.end.x - piece.start.x, piece.end.y - piece.start.y) for piece in lines) == pytest.approx(18)
