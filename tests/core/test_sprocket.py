"""Diameters and widths of sprockets: limits, and what must hold between them."""

from __future__ import annotations

from math import cos, hypot, pi, sin, tan
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core import sprocket_asme, sprocket_asme_width, sprocket_iso, sprocket_iso_rim
from service.core.conversions import MM_PER_INCH
from service.core.errors import EngineeringError, Inconsistent, OutOfRange
from service.core.sprocket import MOST_TEETH, pitch_diameter

if TYPE_CHECKING:
    from collections.abc import Callable

pitches = st.floats(4.0, 120.0)
shares = st.floats(0.3, 0.8)
counts = st.integers(3, MOST_TEETH)


def pin(pitch: float, teeth: int, number: int) -> tuple[float, float]:
    """A corner of the pitch polygon, from its circumscribed circle."""
    radius = pitch / (2 * sin(pi / teeth))
    return radius * sin(2 * pi * number / teeth), radius * cos(2 * pi * number / teeth)


def apart(first: tuple[float, float], second: tuple[float, float]) -> float:
    return hypot(first[0] - second[0], first[1] - second[1])


@given(pitches, counts)
def test_pitch_is_the_side_of_the_polygon_in_the_pitch_circle(pitch: float, teeth: int) -> None:
    radius = pitch_diameter(pitch_mm=pitch, teeth=teeth) / 2
    first, second = (0.0, radius), (radius * sin(2 * pi / teeth), radius * cos(2 * pi / teeth))
    assert apart(first, second) == pytest.approx(pitch, rel=1e-9)


@given(pitches, shares, counts)
def test_caliper_and_pin_dimensions_are_those_of_the_most_distant_pins(pitch: float, share: float, teeth: int) -> None:
    roller = share * pitch
    across = max(apart(pin(pitch, teeth, 0), pin(pitch, teeth, number)) for number in range(1, teeth))
    given_mm = {"pitch_mm": pitch, "roller_diameter_mm": roller, "teeth": teeth}
    given_in = {"pitch_in": pitch, "roller_diameter_in": roller, "teeth": teeth}
    for caliper, pins in (
        (sprocket_iso.caliper_diameter(**given_mm), sprocket_iso.over_pins(**given_mm)),  # type: ignore[arg-type]
        (sprocket_asme.caliper_diameter(**given_in), sprocket_asme.over_pins(**given_in)),  # type: ignore[arg-type]
    ):
        assert caliper == pytest.approx(across - roller, rel=1e-9)
        assert pins == pytest.approx(across + roller, rel=1e-9)


@given(pitches, shares, st.integers(3, 500).map(lambda half: 2 * half))
def test_even_wheels_are_measured_across_the_bottom_circle(pitch: float, share: float, teeth: int) -> None:
    arguments = {"pitch_in": pitch, "roller_diameter_in": share * pitch, "teeth": teeth}
    assert sprocket_asme.caliper_diameter(**arguments) == sprocket_asme.bottom_diameter(**arguments)  # type: ignore[arg-type]


@given(pitches, shares, counts)
def test_inch_and_metric_relations_agree(pitch: float, share: float, teeth: int) -> None:
    metric = sprocket_iso.root_diameter(pitch_mm=pitch, roller_diameter_mm=share * pitch, teeth=teeth)
    inch = sprocket_asme.bottom_diameter(
        pitch_in=pitch / MM_PER_INCH, roller_diameter_in=share * pitch / MM_PER_INCH, teeth=teeth
    )
    assert inch * MM_PER_INCH == pytest.approx(metric, rel=1e-9)


@given(pitches, shares, st.integers(5, MOST_TEETH))
def test_smallest_tip_lies_between_pitch_polygon_and_largest_tip(pitch: float, share: float, teeth: int) -> None:
    arguments = {"pitch_mm": pitch, "roller_diameter_mm": share * pitch, "teeth": teeth}
    least = sprocket_iso.tip_diameter_min(**arguments)  # type: ignore[arg-type]
    most = sprocket_iso.tip_diameter_max(**arguments)  # type: ignore[arg-type]
    assert pitch / tan(pi / teeth) < least < most
    assert most - least == pytest.approx(pitch * (0.25 + 1.6 / teeth), rel=1e-6)


@pytest.mark.parametrize("teeth", [9, 12, 17, 25, 60, 150])
def test_hub_clears_the_plates_of_the_chain_on_the_wheel(teeth: int) -> None:
    # Inner plates are at most 0.95 P high (Machinery's Handbook) and lie along the sides of the pitch polygon.
    inner_edge = 1 / (2 * tan(pi / teeth)) - 0.95 / 2
    hub = sprocket_asme.hub_diameter_max(pitch_in=1.0, teeth=teeth) / 2
    assert 0 < inner_edge - hub < 0.05


@pytest.mark.parametrize("teeth", [9, 17, 40])
def test_shroud_clears_the_plates_of_the_chain_on_the_wheel(teeth: int) -> None:
    inner_edge = 19.05 / (2 * tan(pi / teeth)) - 18.08 / 2
    shroud = sprocket_iso_rim.shroud_diameter_max(pitch_mm=19.05, inner_plate_height_mm=18.08, teeth=teeth) / 2
    assert 0 < inner_edge - shroud < 1.0


@given(st.floats(0.1, 3.0))
def test_more_strands_ask_for_narrower_teeth(inner: float) -> None:
    single = sprocket_asme_width.face_width_single(inner_width_in=inner)
    double = sprocket_asme_width.face_width_two_three(inner_width_in=inner)
    quadruple = sprocket_asme_width.face_width_four_more(inner_width_in=inner)
    assert inner > single > double > quadruple > 0


@pytest.mark.parametrize(
    ("inner", "metric_table", "inch_table"),
    [(0.3125, 6.5, 0.256), (0.5, 10.6, 0.418), (0.75, 16.1, 0.633), (1.25, 27.0, 1.063)],
)
def test_width_for_four_strands_follows_both_recalled_tables(
    inner: float, metric_table: float, inch_table: float
) -> None:
    # Recalled columns that decide between the recalled relations; memory, so no published check.
    width = sprocket_asme_width.face_width_four_more(inner_width_in=inner)
    assert width * MM_PER_INCH == pytest.approx(metric_table, abs=0.06)
    assert width == pytest.approx(inch_table, abs=0.001)


def test_tooth_width_takes_the_narrow_share_at_half_an_inch_itself() -> None:
    at = sprocket_iso_rim.tooth_width_single(inner_width_mm=10.0, pitch_mm=12.7)
    above = sprocket_iso_rim.tooth_width_single(inner_width_mm=10.0, pitch_mm=12.7000001)
    assert (at, above) == pytest.approx((9.3, 9.5))


@pytest.mark.parametrize(("diameter", "tolerance"), [(127.0, 0.25), (127.0001, 0.30), (250.0, 0.30)])
def test_root_tolerance_steps_behind_its_limits(diameter: float, tolerance: float) -> None:
    assert sprocket_iso_rim.root_diameter_tolerance(root_diameter_mm=diameter) == tolerance


def test_root_tolerance_ends_at_250_mm() -> None:
    with pytest.raises(OutOfRange) as refused:
        sprocket_iso_rim.root_diameter_tolerance(root_diameter_mm=250.0001)
    assert refused.value.issues[0].limit == 250


def test_run_outs_are_capped() -> None:
    assert sprocket_iso_rim.radial_run_out(root_diameter_mm=850.0) == pytest.approx(0.76)
    assert sprocket_iso_rim.radial_run_out(root_diameter_mm=2000.0) == 0.76
    assert sprocket_iso_rim.axial_run_out(root_diameter_mm=2000.0) == 1.14


@pytest.mark.parametrize("strands", [0, 4])
def test_iso_rims_have_one_to_three_strands(strands: int) -> None:
    with pytest.raises(OutOfRange) as refused:
        sprocket_iso_rim.width_over_teeth(tooth_width_mm=10.0, transverse_pitch_mm=20.0, strand_count=strands)
    assert refused.value.issues[0].code == "strands_out_of_range"


@pytest.mark.parametrize(
    ("teeth", "code"),
    [(0, "teeth_below_minimum"), (2, "teeth_below_minimum"), (3, None), (1000, None), (1001, "teeth_above_limit")],
)
def test_wheels_have_three_to_a_thousand_teeth(teeth: int, code: str | None) -> None:
    calls: list[Callable[[], float]] = [
        lambda: pitch_diameter(pitch_mm=25.4, teeth=teeth),
        lambda: sprocket_asme.outside_diameter(pitch_in=1.0, teeth=teeth),
        lambda: sprocket_asme.hub_diameter_max(pitch_in=1.0, teeth=teeth),
        lambda: sprocket_asme.caliper_tolerance_precision(pitch_in=1.0, teeth=teeth),
        lambda: sprocket_iso.tip_diameter_min(pitch_mm=25.4, roller_diameter_mm=15.88, teeth=teeth),
        lambda: sprocket_iso_rim.shroud_diameter_max(pitch_mm=25.4, inner_plate_height_mm=24.13, teeth=teeth),
    ]
    for call in calls:
        if code is None:
            call()
        else:
            with pytest.raises(EngineeringError) as refused:
                call()
            assert refused.value.issues[0].code == code


def test_three_teeth_have_a_pitch_circle() -> None:
    assert pitch_diameter(pitch_mm=25.4, teeth=3) == pytest.approx(29.33, abs=0.005)


@pytest.mark.parametrize("roller", [1.0, 1.5])
def test_a_roller_as_large_as_the_pitch_is_refused(roller: float) -> None:
    with pytest.raises(Inconsistent) as refused:
        sprocket_asme.bottom_diameter(pitch_in=1.0, roller_diameter_in=roller, teeth=20)
    assert refused.value.issues[0].field == "roller_diameter_in"
