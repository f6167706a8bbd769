"""Layouts of drives and loops: the chain on its circles, what a guard encloses, rotation and strands, by geometry."""

from __future__ import annotations

from math import hypot, pi

import pytest
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as Spot

from service.core.loops import Wheel, path
from service.drawings.dxf import dxf
from service.drawings.layout import LayoutView, layout_sheet
from service.drawings.svg import svg
from tests.drawings.dxf_reading import entities_of
from tests.drawings.svg_reading import SPACE, group, pieces_of, root_of

HALF_HEIGHT = 9.0


def wheel(x, y, radius, side="inside"):
    return Wheel(x_mm=x, y_mm=y, pitch_radius_mm=radius, outside_radius_mm=radius + 6, teeth=None, side=side)


DRIVE = (wheel(0, 0, 60), wheel(700, 0, 180))
LOOP = (wheel(0, 0, 90), wheel(400, -60, 60, "outside"), wheel(800, 0, 110), wheel(850, 500, 75))
CASES = [(DRIVE, "counter_clockwise"), (DRIVE, "clockwise"), (LOOP, "counter_clockwise")]

by_case = pytest.mark.parametrize(("wheels", "travel"), CASES)


def view_of(wheels, travel, **extra):
    return LayoutView(
        **{
            "title": "A layout",
            "description": "A layout for a test.",
            "wheels": wheels,
            "loop": path(wheels=wheels, pitch_mm=25.4, travel=travel),
            "driver": 0,
            "half_height_mm": HALF_HEIGHT,
            "centre_distance": "700 mm" if len(wheels) == 2 else None,
            "facts": (("Chain", "16B"),),
            "notes": ("A note.",),
            **extra,
        }
    )


def drawn(view, layer):
    found = group(root_of(svg(layout_sheet(view))), layer)
    return [point for piece in pieces_of(found[0].get("d")) for point in piece.points(64)]


@by_case
def test_chain_is_as_long_as_its_loop_and_closes(wheels, travel):
    view = view_of(wheels, travel)
    points = drawn(view, "CHAIN")
    length = LineString([*points, points[0]]).length
    assert length == pytest.approx(view.loop.length_along_circles_mm, rel=1e-4)
    for one in wheels:
        nearest = min(hypot(x - one.x_mm, y - one.y_mm) for x, y in points)
        assert nearest == pytest.approx(one.pitch_radius_mm, abs=0.01)


@by_case
def test_envelope_holds_wheels_and_chain_plates_and_no_more(wheels, travel):
    view = view_of(wheels, travel)
    envelope = Polygon(drawn(view, "ENVELOPE"))
    chain = LineString(drawn(view, "CHAIN")).buffer(HALF_HEIGHT)
    discs = [Spot(one.x_mm, one.y_mm).buffer(one.outside_radius_mm) for one in wheels]
    assert envelope.buffer(0.2).contains(chain)
    for disc in discs:
        assert envelope.buffer(0.2).contains(disc)
    reach = [Spot(one.x_mm, one.y_mm).buffer(one.pitch_radius_mm + HALF_HEIGHT, quad_segs=64) for one in wheels]
    hull = reach[0]
    for disc in reach[1:]:
        hull = hull.union(disc)
    assert envelope.area == pytest.approx(hull.convex_hull.area, rel=1e-3)


@by_case
def test_names_of_the_strands_stand_beside_them(wheels, travel):
    """The tight strand ends on the driver, the slack one begins there."""
    view = view_of(wheels, travel)
    sheet = layout_sheet(view)
    letter = sheet.words[0].height
    spans = view.loop.spans
    for text, span in (("tight", spans[-1]), ("slack", spans[0])):
        at = next(words.at for words in sheet.words if words.text == text)
        strand = LineString([(span.start_x_mm, span.start_y_mm), (span.end_x_mm, span.end_y_mm)])
        assert strand.distance(Spot(at.x, at.y)) < 3 * letter
        others = [other for other in spans if other is not span]
        lines = [LineString([(o.start_x_mm, o.start_y_mm), (o.end_x_mm, o.end_y_mm)]) for o in others]
        assert all(strand.distance(Spot(at.x, at.y)) < line.distance(Spot(at.x, at.y)) for line in lines)


def test_names_of_the_strands_of_a_slender_loop_stand_apart():
    sheet = layout_sheet(view_of((wheel(0, 0, 60), wheel(9000, 0, 60)), "counter_clockwise"))
    tight, slack = (next(words for words in sheet.words if words.text == text) for text in ("tight", "slack"))
    assert tight.at.y - slack.at.y > 2 * tight.height


@by_case
def test_arrows_turn_with_the_chain(wheels, travel):
    view = view_of(wheels, travel)
    root = root_of(svg(layout_sheet(view)))
    arcs = [found.get("d") for found in group(root, "DIMENSIONS") if "A" in found.get("d")]
    assert len(arcs) == len(wheels)
    for one, contact, arrow in zip(wheels, view.loop.contacts, arcs, strict=True):
        turn = pieces_of(f"{arrow}Z")[0].turn
        assert abs(turn) == pytest.approx(pi / 2, abs=0.01)
        assert (
            (turn > 0)
            == (contact.turns == "counter_clockwise")
            == ((one.side == "inside") == (travel == "counter_clockwise"))
        )


def test_dxf_shows_wheels_where_they_stand():
    found = entities_of(dxf(layout_sheet(view_of(LOOP, "counter_clockwise")), "in"))
    circles = [entity for entity in found if (entity.kind, entity.layer) == ("CIRCLE", "PITCH_CIRCLE")]
    for one, circle in zip(LOOP, circles, strict=True):
        assert circle.point(10) == pytest.approx((one.x_mm / 25.4, one.y_mm / 25.4))
        assert circle.number(40) == pytest.approx(one.pitch_radius_mm / 25.4)
    assert {entity.kind for entity in found if entity.layer == "CHAIN"} == {"LINE", "ARC"}


@by_case
def test_everything_lies_inside_the_frame(wheels, travel):
    long_note = "A note that is long enough to be broken into several lines of the table below the view. " * 5
    sheet = layout_sheet(view_of(wheels, travel, notes=(long_note, long_note)))
    for words in sheet.words:
        assert sheet.left <= words.at.x <= sheet.left + sheet.width
        assert sheet.bottom <= words.at.y <= sheet.bottom + sheet.height
    for one in wheels:
        assert sheet.left < one.x_mm - one.outside_radius_mm
        assert one.x_mm + one.outside_radius_mm < sheet.left + sheet.width
        assert one.y_mm + one.outside_radius_mm < sheet.bottom + sheet.height


def test_a_tall_layout_leaves_room_for_its_table():
    tall = tuple(one._replace(x_mm=one.y_mm, y_mm=one.x_mm) for one in DRIVE)
    sheet = layout_sheet(view_of(tall, "counter_clockwise", centre_distance=None))
    letter = min(words.height for words in sheet.words)
    assert sheet.width > 80 * 0.55 * letter


def test_document_is_accessible():
    root = root_of(svg(layout_sheet(view_of(DRIVE, "counter_clockwise"))))
    assert root.get("role") == "img"
    assert root[0].tag == f"{SPACE}title"
    assert root[1].text == "A layout for a test."
