"""The SVG of a wheel: sound, small, accessible, and with the shape of the wheel."""

from __future__ import annotations

import re
from math import cos, hypot, pi, sin

import pytest
from shapely.geometry import Polygon

from service.core.tooth_form import whole_wheel
from service.drawings.lettering import LETTER_WIDTH
from service.drawings.svg import svg
from service.drawings.wheel import wheel_sheet
from tests.drawings.svg_reading import SPACE, group, pieces_of, root_of
from tests.drawings.wheels import asme_view, iso_view

ROUNDING_MM = 0.002
"""Coordinates and radii are written to the micrometre; an arc found again from them may lie about two off."""

VIEWS = [asme_view(9), asme_view(17), asme_view(60), iso_view(10), iso_view(25), iso_view(114)]


def contour_of(view):
    return pieces_of(group(root_of(svg(wheel_sheet(view))), "CUT")[0].get("d"))


@pytest.mark.parametrize("view", VIEWS, ids=lambda view: view.writing.title)
def test_drawn_contour_is_the_exact_one(view):
    drawn, exact = contour_of(view), whole_wheel(view.gap, view.teeth)
    assert len(drawn) == len(exact)
    for found, piece in zip(drawn, exact, strict=True):
        assert hypot(found.end[0] - piece.end.x, found.end[1] - piece.end.y) < ROUNDING_MM
        assert hypot(found.start[0] - piece.start.x, found.start[1] - piece.start.y) < ROUNDING_MM
        assert (found.centre is None) == (not hasattr(piece, "centre"))
        if found.centre is not None:
            assert abs(found.radius - piece.radius) < ROUNDING_MM
            assert (found.turn > 0) == piece.anticlockwise
            for x, y in found.points():
                assert abs(hypot(x - piece.centre.x, y - piece.centre.y) - piece.radius) < ROUNDING_MM


@pytest.mark.parametrize("view", VIEWS, ids=lambda view: view.writing.title)
def test_drawn_contour_closes_and_does_not_meet_itself(view):
    drawn = contour_of(view)
    assert hypot(drawn[0].start[0] - drawn[-1].end[0], drawn[0].start[1] - drawn[-1].end[1]) < ROUNDING_MM
    outline = Polygon([point for piece in drawn for point in piece.points()])
    assert outline.is_valid
    assert outline.exterior.is_ccw


@pytest.mark.parametrize(
    ("view", "roller"),
    [(asme_view(teeth), 0.312 * 25.4) for teeth in (9, 17, 60)] + [(iso_view(teeth), 12.07) for teeth in (9, 25, 114)],
    ids=lambda value: getattr(value, "title", ""),
)
def test_a_chain_lies_on_the_drawn_wheel(view, roller):
    """Rollers a pitch apart on the pitch circle touch the bottoms of the gaps and cut into no tooth."""
    drawn = contour_of(view)
    for tooth in range(view.teeth):
        angle = 2 * pi * tooth / view.teeth
        x, y = -sin(angle) * view.pitch_diameter_mm / 2, cos(angle) * view.pitch_diameter_mm / 2
        nearest = min(piece.distance(x, y) for piece in drawn)
        assert nearest == pytest.approx(roller / 2, abs=ROUNDING_MM)


def test_document_is_accessible_and_true_to_scale():
    view = asme_view(17)
    sheet = wheel_sheet(view)
    root = root_of(svg(sheet))
    assert root.tag == f"{SPACE}svg"
    assert root.get("role") == "img"
    assert root.get("aria-label") == view.writing.title
    assert root[0].tag == f"{SPACE}title"
    assert root[0].text == view.writing.title
    assert root[1].tag == f"{SPACE}desc"
    assert root[1].text == view.writing.description
    left, top, width, height = (float(number) for number in root.get("viewBox").split())
    assert root.get("width") == f"{root.get('viewBox').split()[2]}mm"
    assert root.get("height") == f"{root.get('viewBox').split()[3]}mm"
    reach = view.tip_diameter_mm / 2
    assert left < -reach
    assert top < -reach
    assert left + width > reach
    assert top + height > reach


def test_nothing_is_told_by_colour_nor_fetched_nor_run():
    text = svg(wheel_sheet(asme_view(17))).decode()
    root = root_of(text.encode())
    colours = {root.get(name) for name in ("fill", "stroke")} | {
        found.get(name) for found in root.iter() for name in ("fill", "stroke", "color", "style")
    }
    assert colours <= {None, "none", "currentColor"}
    assert {found.tag.removeprefix(SPACE) for found in root.iter()} <= {
        "svg", "title", "desc", "g", "path", "circle", "text"
    }  # fmt: skip
    assert not re.search("href|url\\(|@import|on[a-z]+=", text)


def test_edges_and_construction_lines_differ_in_width_or_dashes():
    root = root_of(svg(wheel_sheet(asme_view(17))))
    styles = {
        layer: (group(root, layer).get("stroke-width"), group(root, layer).get("stroke-dasharray"))
        for layer in ("CUT", "PITCH_CIRCLE", "DIMENSIONS")
    }
    assert len(set(styles.values())) == len(styles)


def test_text_stays_inside_the_frame_and_apart():
    sheet = wheel_sheet(asme_view(17))
    rows = sorted((words.at.y, words.at.x) for words in sheet.words)
    for words in sheet.words:
        assert sheet.left <= words.at.x <= sheet.left + sheet.width
        assert sheet.bottom <= words.at.y <= sheet.bottom + sheet.height
    assert len(rows) == len(set(rows))


@pytest.mark.parametrize("view", [asme_view, iso_view])
def test_long_names_are_broken_into_lines_within_the_frame(view):
    name = "A chain with a name of a hundred and more letters, as the drawing office of a plant may write it down " * 2
    sheet = wheel_sheet(view(11, title=name, facts=(("Chain", name), ("Teeth", "11"))))
    right = sheet.left + sheet.width
    for words in sheet.words:
        if words.anchor == "start":
            assert words.at.x + len(words.text) * 0.55 * words.height < right
    places = [(words.at.x, words.at.y) for words in sheet.words]
    assert len(places) == len(set(places))
    label, value = (next(words for words in sheet.words if words.text == text) for text in ("Teeth", "11"))
    assert label.at.y == value.at.y


@pytest.mark.parametrize("text", ["<script>alert(1)</script>", "\"&'", "\ufffe\uffff\x85", "żółw ½ 鎖"])
def test_any_text_makes_sound_xml(text):
    view = asme_view(17, title=text, description=text, facts=((text, text),), notes=(text,))
    root = root_of(svg(wheel_sheet(view)))
    assert root[0].text.replace("\ufffd", "") == re.sub("[\ufffe\uffff]", "", text)
    assert root.find(f".//{SPACE}script") is None


def test_a_large_wheel_is_small():
    assert len(svg(wheel_sheet(asme_view(120)))) <= 60_000


def test_the_same_wheel_is_the_same_file():
    assert svg(wheel_sheet(asme_view(23))) == svg(wheel_sheet(asme_view(23)))


def test_words_of_upright_sheets_stay_on_them():
    """Sizes below the view, long labels and values broken into lines of their own."""
    view = asme_view(17, facts=(("A label that is rather long for its column", "a value that is long as well " * 3),))
    sheet = wheel_sheet(view, upright=True)
    for words in sheet.words:
        assert words.at.x >= sheet.left
        assert words.at.x + len(words.text) * words.height * LETTER_WIDTH <= sheet.left + sheet.width
        assert sheet.bottom <= words.at.y <= sheet.bottom + sheet.height
    starts = [(words.at.x, words.at.y) for words in sheet.words if words.anchor == "start"]
    assert len(starts) == len(set(starts))
