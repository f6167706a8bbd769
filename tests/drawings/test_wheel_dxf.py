"""The DXF of a wheel: exact, closed, in declared units, the same each time; read back in two ways."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import time
from math import hypot, pi

import pytest
from ezdxf.filemanagement import read
from shapely.geometry import Polygon

from service.core.kerf import cut_path
from service.core.openings import hole_centres, keyed_bore, round_hole
from service.core.plane_curves import Arc, rotated
from service.core.tooth_form import whole_wheel
from service.drawings.dxf import dxf
from service.drawings.wheel import wheel_sheet
from tests.drawings.dxf_reading import entities_of, header_of, pairs_of
from tests.drawings.wheels import asme_view, iso_view

EXACT_MM = 1e-6
VIEWS = [asme_view(9), asme_view(17), asme_view(60), iso_view(10), iso_view(25), iso_view(114)]
MM_PER = {"mm": 1.0, "in": 25.4}

by_view = pytest.mark.parametrize("view", VIEWS, ids=lambda view: view.writing.title)
by_unit = pytest.mark.parametrize("unit", ["mm", "in"])


def near(one, other):
    return hypot(one[0] - other[0], one[1] - other[1]) < EXACT_MM


@by_view
@by_unit
def test_contour_read_by_group_codes_is_the_exact_one(view, unit):
    drawn = [found for found in entities_of(dxf(wheel_sheet(view), unit)) if found.layer == "CUT"]
    exact = whole_wheel(view.gap, view.teeth)
    scale = MM_PER[unit]
    assert len(drawn) == len(exact)
    for found, piece in zip(drawn, exact, strict=True):
        assert found.kind == ("ARC" if isinstance(piece, Arc) else "LINE")
        ends = [(x * scale, y * scale) for x, y in found.ends()]
        if isinstance(piece, Arc):
            if not piece.anticlockwise:
                ends.reverse()
            x, y = found.point(10)
            assert near((x * scale, y * scale), (piece.centre.x, piece.centre.y))
            assert found.number(40) * scale == pytest.approx(piece.radius, abs=EXACT_MM)
            assert (found.number(51) - found.number(50)) % 360 < 180
        assert near(ends[0], (piece.start.x, piece.start.y))
        assert near(ends[1], (piece.end.x, piece.end.y))


@by_view
@by_unit
def test_contour_read_by_a_library_is_closed_and_simple(view, unit):
    document = read(io.StringIO(dxf(wheel_sheet(view), unit).decode("cp1252")))
    assert not document.audit().has_errors
    outline, scale = [], MM_PER[unit]
    for entity in document.modelspace().query('*[layer=="CUT"]'):
        ends = [(point.x * scale, point.y * scale) for point in (
            (entity.dxf.start, entity.dxf.end) if entity.dxftype() == "LINE" else (entity.start_point, entity.end_point)
        )]  # fmt: skip
        points = ends
        if entity.dxftype() == "ARC":
            points = [(p.x * scale, p.y * scale) for p in entity.flattening(0.001 / scale)]
        if outline and not near(outline[-1], points[0]):
            points = points[::-1]
        assert not outline or near(outline[-1], points[0])
        outline += points[1:] if outline else points
    assert near(outline[0], outline[-1])
    ring = Polygon(outline)
    assert ring.is_valid
    # The pitch circle of the drawing lies between the bottoms and the tips of the teeth.
    circle = document.modelspace().query('CIRCLE[layer=="PITCH_CIRCLE"]').first
    assert circle.dxf.radius * scale == pytest.approx(view.pitch_diameter_mm / 2, abs=EXACT_MM)
    assert ring.hausdorff_distance(Polygon(outline).centroid) == pytest.approx(view.tip_diameter_mm / 2, abs=0.01)


@by_unit
def test_unit_is_declared_and_written(unit):
    content = dxf(wheel_sheet(asme_view(17)), unit)
    assert header_of(content, "$INSUNITS").strip() == {"mm": "4", "in": "1"}[unit]
    words = [found.codes[1] for found in entities_of(content) if found.kind == "TEXT"]
    assert f"Unit of this drawing: {unit}" in words


def test_layers_are_those_of_a_shop_and_colour_tells_nothing():
    content = dxf(wheel_sheet(asme_view(17)), "mm")
    found = entities_of(content)
    assert {entity.layer for entity in found} == {"CUT", "PITCH_CIRCLE", "AXES", "DIMENSIONS", "TEXT"}
    assert {entity.kind for entity in found if entity.layer == "CUT"} == {"LINE", "ARC"}
    assert {entity.kind for entity in found if entity.layer == "TEXT"} == {"TEXT"}
    assert all(62 not in entity.codes for entity in found)


def test_the_same_wheel_is_the_same_file_also_later_and_elsewhere():
    view = asme_view(23)
    first = dxf(wheel_sheet(view), "mm")
    time.sleep(1.1)
    assert dxf(wheel_sheet(view), "mm") == first
    code = (
        "import hashlib; from service.drawings.dxf import dxf; from service.drawings.wheel import wheel_sheet; "
        "from tests.drawings.wheels import asme_view; "
        "print(hashlib.sha256(dxf(wheel_sheet(asme_view(23)), 'mm')).hexdigest())"
    )
    hashes = {subprocess.run([sys.executable, "-c", code], capture_output=True, check=True).stdout for _ in range(2)}
    assert len(hashes) == 1


def test_loading_the_library_says_nothing_where_the_home_folder_cannot_be_written(tmp_path):
    home = tmp_path / "file"
    home.touch()
    done = subprocess.run(
        [sys.executable, "-c", "import service.drawings.dxf"],
        env={**os.environ, "HOME": str(home), "XDG_CACHE_HOME": str(home)},
        capture_output=True,
        check=True,
    )
    assert (done.stdout, done.stderr) == (b"", b"")


def test_odd_text_stays_text():
    odd = "żółw ½ ^J %%d\\P\n0\nSECTION"
    content = dxf(wheel_sheet(asme_view(17, facts=((odd, "x"),))), "mm")
    plain = dxf(wheel_sheet(asme_view(17, facts=(("plain", "x"),))), "mm")
    assert [entity.kind for entity in entities_of(content)] == [entity.kind for entity in entities_of(plain)]
    assert pairs_of(content).count((0, "SECTION")) == pairs_of(plain).count((0, "SECTION"))
    assert not read(io.StringIO(content.decode("cp1252"))).audit().has_errors


KEYED = keyed_bore(bore_diameter_mm=30, keyway_width_mm=8, depth_to_opposite_side_mm=33.3, angle_rad=0)
HOLES = tuple(
    round_hole(centre=centre, diameter_mm=6, part="hole")
    for centre in hole_centres(circle_diameter_mm=44, hole_count=4, first_rad=pi / 4)
)


def test_bore_keyway_and_holes_lie_on_their_layers_and_close():
    view = asme_view(17, outlines=(KEYED, *HOLES), hub_diameter_mm=40, hole_circle_mm=44, split_rad=1.5)
    found = entities_of(dxf(wheel_sheet(view), "mm"))
    by_layer = {layer: [e for e in found if e.layer == layer] for layer in ("BORE", "KEY", "HOLES", "HUB", "SPLIT")}
    assert [entity.kind for entity in by_layer["BORE"]] == ["ARC"]
    assert [entity.kind for entity in by_layer["KEY"]] == ["LINE"] * 3
    assert [(entity.kind, entity.number(40)) for entity in by_layer["HOLES"]] == [("CIRCLE", 3)] * 4
    assert [entity.kind for entity in by_layer["HUB"]] == ["CIRCLE"]
    assert [entity.kind for entity in by_layer["SPLIT"]] == ["LINE"]
    loop = [*by_layer["BORE"], *by_layer["KEY"]]
    ends = [end for entity in loop for end in entity.ends()]
    for end in ends:
        assert sum(near(end, other) for other in ends) == 2
    for entity, x, y in zip(by_layer["HOLES"], (-1, -1, 1, 1), (1, -1, -1, 1), strict=True):
        assert near(entity.point(10), (x * 22 / 2**0.5, y * 22 / 2**0.5))


def test_outlines_of_a_jet_close_too():
    gap = asme_view(17).gap
    path = cut_path(gap, rotated(gap[0], 2 * pi / 17), kerf_mm=1.2)
    view = asme_view(17, gap=path, outlines=(cut_path(KEYED, KEYED[0], kerf_mm=1.2),))
    found = entities_of(dxf(wheel_sheet(view), "mm"))
    for layers in (("CUT",), ("BORE", "KEY")):
        ends = [end for entity in found if entity.layer in layers for end in entity.ends()]
        assert ends
        for end in ends:
            assert sum(near(end, other) for other in ends) == 2
