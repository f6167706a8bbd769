"""Polygon surge and roller loads against mechanics worked out in another way."""

from __future__ import annotations

from math import asin, cos, hypot, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core.conveyor_rollers import bore_pressure, load_in_curve, load_on_track
from service.core.conveyor_surge import peak_acceleration, surge_pull
from service.core.errors import OutOfRange

TEETH = st.integers(min_value=3, max_value=60)


@given(TEETH, st.floats(min_value=0.05, max_value=5), st.floats(min_value=20, max_value=400))
def test_peak_acceleration_is_the_slope_of_the_chain_speed(teeth: int, speed: float, pitch: float) -> None:
    """Chain speed w R cos(angle) of a turning polygon, differentiated numerically where a tooth takes over."""
    turning = 2 * pi * speed / (teeth * pitch / 1000)
    radius = pitch / 1000 / (2 * sin(pi / teeth))
    step = 1e-6
    slope = turning * radius * (cos(pi / teeth - turning * step) - cos(pi / teeth + turning * step)) / (2 * step)
    found = peak_acceleration(chain_speed_m_s=speed, teeth=teeth, pitch_mm=pitch)
    assert found == pytest.approx(slope, rel=1e-5)


def test_surge_is_the_peak_of_an_elastic_chain_that_is_struck() -> None:
    """A mass on a spring rides with the acceleration -a; then its end is accelerated by +a from one moment to the next.

    The relative motion is integrated step by step; the greatest pull of the spring is 3 m a.
    """
    mass, acceleration, stiffness = 800.0, 0.7, 2.0e6
    stretch, speed, step, greatest = -mass * acceleration / stiffness, 0.0, 1e-5, 0.0
    for _ in range(20_000):
        speed += (acceleration - stiffness * stretch / mass) * step
        stretch += speed * step
        greatest = max(greatest, stiffness * stretch)
    assert greatest == pytest.approx(surge_pull(moved_mass_kg=mass, peak_acceleration_m_s2=acceleration), rel=1e-3)


@given(st.floats(min_value=0, max_value=1.5), st.integers(min_value=1, max_value=4))
def test_rollers_of_a_run_carry_its_weight_normal_to_the_track(angle: float, chains: int) -> None:
    """30 rollers of each chain, 0.2 m apart, on 6 m of 45 kg/m."""
    one = load_on_track(resting_mass_kg_m=45, angle_rad=angle, roller_spacing_mm=200, share=1 / chains)
    assert 30 * chains * one == pytest.approx(6 * 45 * 9.80665 * cos(angle))


@given(st.floats(min_value=1, max_value=1e5), st.floats(min_value=10, max_value=500), st.floats(1, 50))
def test_curve_closes_the_triangle_of_forces(tension: float, spacing: float, ratio: float) -> None:
    """Two pulls that differ in direction by the turn from roller to roller; the rollers lie on the circle."""
    radius = spacing * ratio
    half = asin(spacing / (2 * radius))
    incoming = (tension * cos(half), tension * sin(half))
    outgoing = (tension * cos(half), -tension * sin(half))
    resultant = hypot(incoming[0] - outgoing[0], incoming[1] - outgoing[1])
    found = load_in_curve(tension_n=tension, roller_spacing_mm=spacing, radius_mm=radius)
    assert found == pytest.approx(resultant, rel=1e-9)


def test_bore_pressure_times_its_area_is_the_load() -> None:
    assert bore_pressure(roller_load_n=1200, bush_diameter_mm=30, roller_width_mm=32) * 30 * 32 == pytest.approx(1200)


REFUSED = [
    (lambda: peak_acceleration(chain_speed_m_s=0, teeth=6, pitch_mm=100), "chain_speed_m_s"),
    (lambda: peak_acceleration(chain_speed_m_s=1, teeth=2, pitch_mm=100), "teeth"),
    (lambda: surge_pull(moved_mass_kg=-1, peak_acceleration_m_s2=1), "moved_mass_kg"),
    (lambda: load_on_track(resting_mass_kg_m=1, angle_rad=1.6, roller_spacing_mm=1, share=1), "angle_rad"),
    (lambda: load_on_track(resting_mass_kg_m=1, angle_rad=0, roller_spacing_mm=1, share=1.1), "share"),
    (lambda: load_in_curve(tension_n=1, roller_spacing_mm=201, radius_mm=100), "radius_mm"),
    (lambda: bore_pressure(roller_load_n=1, bush_diameter_mm=0, roller_width_mm=1), "bush_diameter_mm"),
]


@pytest.mark.parametrize(("call", "field"), REFUSED)
def test_impossible_figures_are_refused(call, field) -> None:
    with pytest.raises(OutOfRange) as refusal:
        call()
    assert [issue.field for issue in refusal.value.issues] == [field]
