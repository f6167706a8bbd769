"""The drawn tooth gaps: closed, tangent where the standards say so, simple, and fitting the roller."""

from __future__ import annotations

from math import acos, atan2, cos, degrees, hypot, pi, sin
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq
from shapely.geometry import LinearRing, LineString, Polygon
from shapely.geometry import Point as Spot

from service.core.conversions import MM_PER_INCH
from service.core.errors import EngineeringError, NoSolution, OutOfRange
from service.core.plane_curves import Arc, Line, Piece, Point, mirrored, rotated, scaled
from service.core.sprocket_asme import bottom_diameter, outside_diameter
from service.core.sprocket_asme_form import outside_diameter_to_point, tooth_form
from service.core.sprocket_iso import (
    IsoGapForm,
    maximum_gap_form,
    minimum_gap_form,
    root_diameter,
    tip_diameter_max,
    tip_diameter_min,
)
from service.core.tooth_form import asme_gap, iso_gap, iso_pointed_diameter, whole_wheel
from service.reference.chains import load_chains

if TYPE_CHECKING:
    from collections.abc import Callable

CLOSE = 1e-9
ROLLER_CHAINS = [size for size in load_chains().sizes if size.row.family == "roller"]
INCH = {
    size.designation: (size.figure("pitch").value / MM_PER_INCH, size.figure("roller_diameter").value / MM_PER_INCH)
    for size in ROLLER_CHAINS
    if size.row.standard == "ASME B29.1"
}
METRIC = {
    size.designation: (size.figure("pitch").value, size.figure("roller_diameter").value)
    for size in ROLLER_CHAINS
    if size.row.standard == "ISO 606"
}
FORMS = {"minimum": minimum_gap_form, "maximum": maximum_gap_form}

chain_inch = st.sampled_from(sorted(INCH))
chain_metric = st.sampled_from(sorted(METRIC))
teeth_of_standard = st.integers(9, 150)
form_name = st.sampled_from(sorted(FORMS))


def asme(chain: str, teeth: int) -> tuple[Piece, ...]:
    pitch, roller = INCH[chain]
    outside = outside_diameter(pitch_in=pitch, teeth=teeth)
    return asme_gap(pitch_in=pitch, roller_diameter_in=roller, teeth=teeth, outside_diameter_in=outside)


def flank_arguments(chain: str, teeth: int, form: IsoGapForm) -> dict[str, float | int]:
    pitch, roller = METRIC[chain]
    return {
        "pitch_mm": pitch,
        "roller_diameter_mm": roller,
        "teeth": teeth,
        "seating_radius_mm": form.seating_radius_mm,
        "seating_angle_deg": form.seating_angle_deg,
        "flank_radius_mm": form.flank_radius_mm,
    }


def iso(chain: str, teeth: int, name: str, tip: float | None = None) -> tuple[Piece, ...]:
    pitch, roller = METRIC[chain]
    form = FORMS[name](roller_diameter_mm=roller, teeth=teeth)
    least = tip_diameter_min(pitch_mm=pitch, roller_diameter_mm=roller, teeth=teeth)
    return iso_gap(**flank_arguments(chain, teeth, form), tip_diameter_mm=least if tip is None else tip)  # type: ignore[arg-type]


def sample(piece: Piece, count: int = 24) -> list[Point]:
    """Points along a piece, its start included and its end left out."""
    if isinstance(piece, Line):
        return [piece.start]
    first = atan2(piece.start.y - piece.centre.y, piece.start.x - piece.centre.x)
    last = atan2(piece.end.y - piece.centre.y, piece.end.x - piece.centre.x)
    turn = (last - first) % (2 * pi) if piece.anticlockwise else -((first - last) % (2 * pi))
    angles = (first + turn * step / count for step in range(count))
    return [
        Point(piece.centre.x + piece.radius * cos(angle), piece.centre.y + piece.radius * sin(angle))
        for angle in angles
    ]


def outline(pieces: tuple[Piece, ...], count: int = 24) -> list[tuple[float, float]]:
    return [(point.x, point.y) for piece in pieces for point in sample(piece, count)]


def direction(piece: Piece, at: Point) -> tuple[float, float]:
    """Unit vector of travel."""
    if isinstance(piece, Line):
        length = hypot(piece.end.x - piece.start.x, piece.end.y - piece.start.y)
        return (piece.end.x - piece.start.x) / length, (piece.end.y - piece.start.y) / length
    x, y = (at.x - piece.centre.x) / piece.radius, (at.y - piece.centre.y) / piece.radius
    return (-y, x) if piece.anticlockwise else (y, -x)


def check_contour(gap: tuple[Piece, ...], teeth: int) -> None:
    following = (*gap[1:], rotated(gap[0], 2 * pi / teeth))
    for piece, after in zip(gap, following, strict=True):
        assert hypot(piece.end.x - after.start.x, piece.end.y - after.start.y) < CLOSE
        if isinstance(piece, Arc):
            for end in (piece.start, piece.end):
                assert hypot(end.x - piece.centre.x, end.y - piece.centre.y) == pytest.approx(piece.radius, abs=CLOSE)
        if "tip" not in (piece.part, after.part):
            assert direction(piece, piece.end) == pytest.approx(direction(after, after.start), abs=CLOSE)
    half = pi / teeth
    ring = outline(gap)
    assert LineString([*ring, (following[-1].start.x, following[-1].start.y)]).is_simple
    # Between the centre lines of its two teeth the contour cannot meet itself when it is turned tooth by tooth.
    angles = [atan2(x, y) for x, y in outline(gap[:-1])] + [atan2(gap[-1].start.x, gap[-1].start.y)]
    assert max(angles) < half
    assert min(angles) > -half
    assert hypot(gap[-1].start.x, gap[-1].start.y) == pytest.approx(gap[-1].radius, abs=CLOSE)


def distance_to(piece: Piece, spot: Point) -> float:
    """Exact distance of a point from a piece."""
    if isinstance(piece, Line):
        return LineString([(piece.start.x, piece.start.y), (piece.end.x, piece.end.y)]).distance(Spot(spot.x, spot.y))
    to_ends = min(hypot(spot.x - end.x, spot.y - end.y) for end in (piece.start, piece.end))
    from_centre = hypot(spot.x - piece.centre.x, spot.y - piece.centre.y)
    foot = piece.radius / from_centre
    nearest = Point(
        piece.centre.x + (spot.x - piece.centre.x) * foot, piece.centre.y + (spot.y - piece.centre.y) * foot
    )
    fan = [atan2(point.y - piece.centre.y, point.x - piece.centre.x) for point in (piece.start, nearest, piece.end)]
    way = 1 if piece.anticlockwise else -1
    within = (way * (fan[1] - fan[0])) % (2 * pi) <= (way * (fan[2] - fan[0])) % (2 * pi)
    return min(to_ends, abs(from_centre - piece.radius)) if within else to_ends


def check_roller(gap: tuple[Piece, ...], pitch: float, roller: float, teeth: int) -> None:
    """The roller of a chain on the pitch circle rests on the bottom of the gap and touches nothing else."""
    centre = Point(0.0, pitch / (2 * sin(pi / teeth)))
    (seating,) = (piece for piece in gap if piece.part == "seating")
    assert isinstance(seating, Arc)
    bottom = seating.centre.y - seating.radius
    assert bottom == pytest.approx(centre.y - roller / 2, abs=CLOSE)
    assert seating.centre.x == 0
    assert seating.radius > roller / 2
    assert distance_to(seating, centre) == pytest.approx(roller / 2, abs=CLOSE)
    for piece in gap:
        if piece is not seating:
            assert distance_to(piece, centre) > roller / 2 * 1.0005


@settings(deadline=None, max_examples=150)
@given(chain_inch, teeth_of_standard)
def test_asme_contour_joins_is_tangent_and_does_not_meet_itself(chain: str, teeth: int) -> None:
    gap = asme(chain, teeth)
    assert [piece.part for piece in gap] == [
        *("topping", "straight", "working", "seating", "working", "straight", "topping", "tip")
    ]
    check_contour(gap, teeth)
    check_roller(gap, *INCH[chain], teeth)


@settings(deadline=None, max_examples=200)
@given(chain_metric, teeth_of_standard, form_name)
def test_iso_contour_joins_is_tangent_and_does_not_meet_itself(chain: str, teeth: int, name: str) -> None:
    gap = iso(chain, teeth, name)
    assert [piece.part for piece in gap] == ["flank", "seating", "flank", "tip"]
    check_contour(gap, teeth)
    check_roller(gap, *METRIC[chain], teeth)


@pytest.mark.parametrize("teeth", [5, 6, 7, 8, 200, 1000])
def test_forms_hold_beyond_the_range_of_the_standards(teeth: int) -> None:
    for chain in INCH:
        check_contour(asme(chain, teeth), teeth)
    for chain in METRIC:
        for name in FORMS:
            check_contour(iso(chain, teeth, name), teeth)


@pytest.mark.parametrize("teeth", [9, 10, 17, 40, 150])
def test_whole_wheel_is_a_closed_simple_ring_of_the_right_size(teeth: int) -> None:
    for wheel, tip, root in (
        (
            whole_wheel(asme("60", teeth), teeth),
            outside_diameter(pitch_in=INCH["60"][0], teeth=teeth),
            bottom_diameter(pitch_in=INCH["60"][0], roller_diameter_in=INCH["60"][1], teeth=teeth),
        ),
        (
            whole_wheel(iso("12B", teeth, "minimum"), teeth),
            tip_diameter_min(pitch_mm=19.05, roller_diameter_mm=12.07, teeth=teeth),
            root_diameter(pitch_mm=19.05, roller_diameter_mm=12.07, teeth=teeth),
        ),
    ):
        for piece, after in zip(wheel, (*wheel[1:], wheel[0]), strict=True):
            assert hypot(piece.end.x - after.start.x, piece.end.y - after.start.y) < CLOSE
        ring = LinearRing(outline(wheel, 16))
        assert ring.is_simple
        assert ring.is_ccw
        radii = [hypot(x, y) for x, y in outline(wheel, 16)]
        assert 2 * max(radii) == pytest.approx(tip, abs=CLOSE)
        assert 2 * min(radii) == pytest.approx(root, abs=CLOSE)


@settings(deadline=None)
@given(chain_inch, teeth_of_standard)
def test_constants_of_the_asme_form_can_be_measured_on_its_drawing(chain: str, teeth: int) -> None:
    pitch, roller = INCH[chain]
    form = tooth_form(pitch_in=pitch, roller_diameter_in=roller, teeth=teeth)
    topping, straight, working, seating, *_ = asme(chain, teeth)
    assert isinstance(topping, Arc)
    assert isinstance(working, Arc)
    assert isinstance(seating, Arc)
    a, b, c, x = seating.centre, topping.centre, working.centre, working.end
    assert hypot(straight.end.x - straight.start.x, straight.end.y - straight.start.y) == pytest.approx(
        form.straight_yz_in, abs=CLOSE
    )
    assert hypot(working.end.x - working.start.x, working.end.y - working.start.y) == pytest.approx(
        form.chord_xy_in, abs=CLOSE
    )
    assert hypot(a.x - c.x, a.y - c.y) == pytest.approx(form.centre_a_c_in, abs=CLOSE)
    assert hypot(a.x - b.x, a.y - b.y) == pytest.approx(form.centre_a_b_in, abs=CLOSE)
    xab = acos(((x.x - a.x) * (b.x - a.x) + (x.y - a.y) * (b.y - a.y)) / (form.seating_radius_in * form.centre_a_b_in))
    assert degrees(xab) == pytest.approx(form.pressure_angle_max_deg, abs=1e-7)
    assert form.pressure_angle_min_deg == pytest.approx(form.pressure_angle_max_deg - form.angle_b_deg)
    mean = (form.pressure_angle_max_deg + form.pressure_angle_min_deg) / 2
    assert form.pressure_angle_mean_deg == pytest.approx(mean)


def test_only_the_seating_constant_1_005_lets_the_working_curve_touch_the_seating_curve() -> None:
    roller = 0.625
    form = tooth_form(pitch_in=1.0, roller_diameter_in=roller, teeth=28)
    reach = form.working_radius_in - form.centre_a_c_in
    assert reach == pytest.approx((1.005 * roller + 0.003) / 2, abs=1e-12)
    assert reach != pytest.approx((1.0005 * roller + 0.003) / 2, abs=1e-3)


@settings(deadline=None)
@given(chain_inch, teeth_of_standard)
def test_printed_diameter_to_a_point_is_that_of_the_drawing_within_its_deviation(chain: str, teeth: int) -> None:
    pitch, roller = INCH[chain]
    printed = outside_diameter_to_point(pitch_in=pitch, roller_diameter_in=roller, teeth=teeth)
    topping = asme(chain, teeth)[0]
    assert isinstance(topping, Arc)
    axis = (sin(pi / teeth), cos(pi / teeth))
    drawn = 2 * brentq(
        lambda r: hypot(r * axis[0] - topping.centre.x, r * axis[1] - topping.centre.y) - topping.radius,
        hypot(topping.start.x, topping.start.y),
        hypot(topping.start.x, topping.start.y) + pitch,
    )
    assert drawn == pytest.approx(printed, abs=0.0032 * pitch)
    with pytest.raises(OutOfRange) as refused:
        asme_gap(pitch_in=pitch, roller_diameter_in=roller, teeth=teeth, outside_diameter_in=drawn + 1e-6)
    assert refused.value.issues[0].code == "tooth_pointed"
    assert refused.value.issues[0].limit == pytest.approx(drawn, abs=1e-9)


@settings(deadline=None)
@given(chain_metric, teeth_of_standard, form_name)
def test_iso_flanks_meet_at_the_pointed_diameter(chain: str, teeth: int, name: str) -> None:
    pitch, roller = METRIC[chain]
    arguments = flank_arguments(chain, teeth, FORMS[name](roller_diameter_mm=roller, teeth=teeth))
    pointed = iso_pointed_diameter(**arguments)  # type: ignore[arg-type]
    gap = iso(chain, teeth, name, pointed - 1e-7)
    tip = gap[-1]
    assert hypot(tip.end.x - tip.start.x, tip.end.y - tip.start.y) < 1e-5 * pitch
    with pytest.raises(OutOfRange, match="come to a point"):
        iso(chain, teeth, name, pointed)


@settings(deadline=None)
@given(chain_metric, teeth_of_standard)
def test_minimum_gap_lies_inside_the_maximum_gap(chain: str, teeth: int) -> None:
    tip = tip_diameter_min(pitch_mm=METRIC[chain][0], roller_diameter_mm=METRIC[chain][1], teeth=teeth)

    def opening(name: str) -> Polygon:
        gap = iso(chain, teeth, name, tip)[:-1]
        return Polygon([*outline(gap, 60), (gap[-1].end.x, gap[-1].end.y), (0.0, 2 * tip)])

    # Chords of the sampled arcs stand off by less than a ten-thousandth of the pitch.
    assert opening("maximum").buffer(1e-4 * METRIC[chain][0]).contains(opening("minimum"))


def test_largest_tip_diameter_is_not_always_to_be_had_in_the_maximum_gap_form() -> None:
    pitch, roller = METRIC["08B"]
    largest = tip_diameter_max(pitch_mm=pitch, roller_diameter_mm=roller, teeth=25)
    assert iso("08B", 25, "minimum", largest)
    with pytest.raises(OutOfRange, match="come to a point"):
        iso("08B", 25, "maximum", largest)


def test_tip_below_the_topping_curve_is_refused_with_the_least_diameter() -> None:
    with pytest.raises(OutOfRange) as refused:
        asme_gap(pitch_in=1.0, roller_diameter_in=0.625, teeth=28, outside_diameter_in=8.9)
    issue = refused.value.issues[0]
    assert issue.code == "tooth_too_short"
    assert issue.limit is not None
    assert asme_gap(pitch_in=1.0, roller_diameter_in=0.625, teeth=28, outside_diameter_in=issue.limit + 1e-9)


@pytest.mark.parametrize(("teeth", "code"), [(2, "teeth_below_minimum"), (4, "teeth_below_minimum")])
def test_too_few_teeth_have_no_form(teeth: int, code: str) -> None:
    calls: list[Callable[[], object]] = [
        lambda: tooth_form(pitch_in=1.0, roller_diameter_in=0.625, teeth=teeth),
        lambda: minimum_gap_form(roller_diameter_mm=12.07, teeth=teeth),
        lambda: maximum_gap_form(roller_diameter_mm=12.07, teeth=teeth),
    ]
    for call in calls:
        with pytest.raises(EngineeringError) as refused:
            call()
        assert refused.value.issues[0].code == code


def test_the_straight_part_vanishes_between_four_and_five_teeth() -> None:
    def straight(teeth: int) -> float:
        return 1.4 * sin((17 - 64 / teeth) * pi / 180) - 0.8 * sin((18 - 56 / teeth) * pi / 180)

    assert straight(4) < 0 < straight(5)


def test_a_roller_too_small_for_its_pitch_has_no_asme_tooth() -> None:
    with pytest.raises(NoSolution) as refused:
        tooth_form(pitch_in=1.0, roller_diameter_in=0.2, teeth=20)
    assert refused.value.issues[0].code == "geometry_impossible"


def test_mirroring_twice_and_scaling_back_give_the_piece_again() -> None:
    for piece in asme("40", 17):
        assert mirrored(mirrored(piece)) == piece
        assert scaled(scaled(piece, 4.0), 0.25) == piece
