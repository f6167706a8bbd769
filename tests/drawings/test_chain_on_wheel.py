"""Wheels of any chain as they are drawn: read back exactly, free of crossings, and the chain lies in their gaps."""

from __future__ import annotations

import io
from math import cos, hypot, pi, sin

import pytest
from ezdxf import read
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point as Spot
from shapely.geometry import Polygon

from service.core.plane_curves import Arc
from service.core.tooth_form import whole_wheel
from service.drawings.dxf import dxf
from service.drawings.wheel import WheelView, wheel_sheet
from service.reference.catalogue import load_reference
from tests.drawings.dxf_reading import entities_of
from tests.drawings.wheels import asme_view, iso_view

EXACT_MM = 1e-6
CHAINS = {
    size.designation: (size.row.standard, size.figure("pitch").value, size.figure("roller_diameter").value)
    for size in load_reference().chains.sizes
    if size.row.standard in ("ASME B29.1", "ISO 606") and size.find("roller_diameter") is not None
}
any_chain = st.sampled_from(sorted(CHAINS))
any_teeth = st.integers(9, 150)


def view_of(chain: str, teeth: int) -> WheelView:
    standard, pitch, roller = CHAINS[chain]
    if standard == "ASME B29.1":
        return asme_view(teeth, pitch_in=pitch / 25.4, roller_in=roller / 25.4)
    return iso_view(teeth, pitch_mm=pitch, roller_mm=roller)


def apart(one: tuple[float, float], other: tuple[float, float]) -> float:
    return hypot(one[0] - other[0], one[1] - other[1])


def drawn(view: WheelView, flat_mm: float) -> Polygon:
    """The contour of a DXF as another program reads it, arcs broken into chords of a small height."""
    document = read(io.StringIO(dxf(wheel_sheet(view), "mm").decode("cp1252")))
    assert not document.audit().has_errors
    outline: list[tuple[float, float]] = []
    for entity in document.modelspace().query('*[layer=="CUT"]'):
        if entity.dxftype() == "LINE":
            points = [(p.x, p.y) for p in (entity.dxf.start, entity.dxf.end)]
        else:
            points = [(p.x, p.y) for p in entity.flattening(flat_mm)]
        # An arc is always written anticlockwise, whichever way the outline runs.
        if outline and min(apart(outline[-1], points[0]), apart(outline[-1], points[-1])) > EXACT_MM:
            outline.reverse()
        if outline and apart(outline[-1], points[0]) > EXACT_MM:
            points.reverse()
        assert not outline or apart(outline[-1], points[0]) < EXACT_MM
        outline += points[1:] if outline else points
    assert apart(outline[0], outline[-1]) < EXACT_MM
    return Polygon(outline[:-1])


@settings(max_examples=15)
@given(any_chain, any_teeth)
def test_the_contour_of_any_chain_is_read_back_to_a_millionth_of_a_millimetre(chain: str, teeth: int) -> None:
    view = view_of(chain, teeth)
    found = [entity for entity in entities_of(dxf(wheel_sheet(view), "mm")) if entity.layer == "CUT"]
    exact = whole_wheel(view.gap, teeth)
    assert len(found) == len(exact)
    for entity, piece in zip(found, exact, strict=True):
        wanted = [(piece.start.x, piece.start.y), (piece.end.x, piece.end.y)]
        if isinstance(piece, Arc):
            assert entity.kind == "ARC"
            assert entity.point(10) == pytest.approx((piece.centre.x, piece.centre.y), abs=EXACT_MM)
            assert entity.number(40) == pytest.approx(piece.radius, abs=EXACT_MM)
            wanted = wanted if piece.anticlockwise else wanted[::-1]
        else:
            assert entity.kind == "LINE"
        for end, place in zip(entity.ends(), wanted, strict=True):
            assert end == pytest.approx(place, abs=EXACT_MM)


@settings(max_examples=15)
@given(any_chain, any_teeth)
def test_the_chain_lies_in_the_gaps_of_the_drawn_wheel(chain: str, teeth: int) -> None:
    """A roller in each gap, a pitch from the next: they touch the wheel, and go nowhere into it or into each other."""
    _, pitch, roller = CHAINS[chain]
    flat = 1e-3
    wheel = drawn(view_of(chain, teeth), flat)
    assert wheel.is_valid
    radius = pitch / (2 * sin(pi / teeth))
    spots = [(-radius * sin(2 * pi * gap / teeth), radius * cos(2 * pi * gap / teeth)) for gap in range(teeth)]
    for (x, y), (next_x, next_y) in zip(spots, [*spots[1:], spots[0]], strict=True):
        assert apart((x, y), (next_x, next_y)) == pytest.approx(pitch)
        assert wheel.exterior.distance(Spot(x, y)) == pytest.approx(roller / 2, abs=2 * flat)
        assert not wheel.contains(Spot(x, y))
    assert roller < pitch
    rollers = [Spot(x, y).buffer(roller / 2 - 2 * flat, quad_segs=32) for x, y in spots[:3]]
    assert all(wheel.intersection(one).area == 0 for one in rollers)
