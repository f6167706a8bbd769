"""Load, friction, power and limiter of a conveyor against mechanics worked out another way."""

from __future__ import annotations

from math import pi, radians, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core import conveyor_capacity, conveyor_friction, conveyor_power, limiter_window
from service.core.errors import Inconsistent, NoSolution, OutOfRange

CUBIC_INCH_L = 0.016387064
LB_FT3 = 16.018463373960142
LONG_TON_T = 1.0160469088


def test_bucket_capacity_constant_of_print_answers_to_two_thirds_fill() -> None:
    tons_per_hour = (
        conveyor_capacity.bucket_throughput(
            bucket_volume_l=CUBIC_INCH_L,
            spacing_m=0.3048,
            fill=2 / 3,
            density_kg_m3=LB_FT3,
            chain_speed_m_s=0.00508,
        )
        / LONG_TON_T
    )
    assert 1 / tons_per_hour == pytest.approx(96_768, abs=0.5)


@given(
    width=st.floats(0.1, 2),
    depth=st.floats(0.02, 1),
    fill=st.floats(0.05, 1),
    density=st.floats(100, 4000),
    speed=st.floats(0.01, 3),
)
def test_section_and_throughput_are_two_ways_to_one_load(
    width: float, depth: float, fill: float, density: float, speed: float
) -> None:
    load = conveyor_capacity.load_from_section(width_m=width, depth_m=depth, fill=fill, density_kg_m3=density)
    in_an_hour_t = width * depth * fill * (speed * 3600) * density / 1000
    throughput = conveyor_capacity.load_from_throughput(throughput_t_h=in_an_hour_t, chain_speed_m_s=speed)
    assert throughput == pytest.approx(load)


def test_inch_and_metric_loads_agree() -> None:
    on_one_foot = conveyor_capacity.weight_on_span(throughput_lb_h=50_000, span_ft=1, speed_ft_min=80)
    metric = conveyor_capacity.load_from_throughput(throughput_t_h=50_000 * 0.00045359237, chain_speed_m_s=80 * 0.00508)
    assert metric == pytest.approx(on_one_foot * 0.45359237 / 0.3048)


def test_buckets_are_pieces_at_a_spacing() -> None:
    load = conveyor_capacity.bucket_load(bucket_volume_l=8, spacing_m=0.4, fill=0.75, density_kg_m3=900)
    assert load == pytest.approx(conveyor_capacity.load_from_pieces(piece_mass_kg=0.008 * 0.75 * 900, spacing_m=0.4))


def test_moving_mass_counts_every_chain() -> None:
    one = conveyor_capacity.moving_mass(chain_count=1, chain_mass_kg_m=5, attached_mass_kg=6, attachment_spacing_m=0.5)
    two = conveyor_capacity.moving_mass(chain_count=2, chain_mass_kg_m=5, attached_mass_kg=6, attachment_spacing_m=0.5)
    assert (one, two) == pytest.approx((17, 22))


@given(pitch=st.floats(10, 400), count=st.integers(1, 40))
def test_whole_spacings_pass_and_others_are_refused_with_neighbours(pitch: float, count: int) -> None:
    assert conveyor_capacity.pitches_between_attachments(spacing_mm=count * pitch, pitch_mm=pitch) == count
    with pytest.raises(Inconsistent) as refused:
        conveyor_capacity.pitches_between_attachments(spacing_mm=(count + 0.5) * pitch, pitch_mm=pitch)
    issue = refused.value.issues[0]
    assert issue.code == "spacing_invalid"
    assert f"{count * pitch:g} mm" in (issue.hint or "")
    assert f"{(count + 1) * pitch:g} mm" in (issue.hint or "")


def test_at_the_discharge_speed_centrifugal_force_is_the_weight() -> None:
    omega = conveyor_capacity.discharge_speed(path_radius_mm=400) * pi / 30
    assert omega * omega * 0.4 == pytest.approx(9.80665)


def test_roller_friction_balances_the_moments_of_a_loaded_roller() -> None:
    weight, diameter, axle, arm, friction = 1000.0, 80.0, 24.0, 1.2, 0.18
    force = (friction * weight * axle / 2 + weight * arm) / (diameter / 2)
    ours = conveyor_friction.rolling(
        axle_friction=friction, axle_diameter_mm=axle, roller_diameter_mm=diameter, rolling_arm_mm=arm, flange_factor=1
    )
    assert ours * weight == pytest.approx(force)
    no_arm = conveyor_friction.rolling(
        axle_friction=friction, axle_diameter_mm=axle, roller_diameter_mm=diameter, rolling_arm_mm=0, flange_factor=1
    )
    assert no_arm == conveyor_friction.rolling_by_bush(
        bush_friction=friction, bush_diameter_mm=axle, roller_diameter_mm=diameter
    )


def test_a_bush_as_large_as_its_roller_is_refused() -> None:
    with pytest.raises(OutOfRange):
        conveyor_friction.rolling_by_bush(bush_friction=0.2, bush_diameter_mm=50, roller_diameter_mm=50)


@given(angle=st.floats(0, 89))
def test_lateral_ratio_in_its_other_form(angle: float) -> None:
    ours = conveyor_friction.lateral_pressure_ratio(internal_friction_rad=radians(angle))
    assert ours == pytest.approx(tan(radians(45 - angle / 2)) ** 2, abs=1e-12)


def test_wall_resistance_is_the_integral_over_both_walls() -> None:
    slices, depth = 20_000, 0.42
    height = depth / slices
    pressure = (650 * 9.80665 * (index + 0.5) * height * 0.35 for index in range(slices))
    summed = 2 * sum(0.5 * p * height for p in pressure)
    ours = conveyor_friction.wall_resistance(density_kg_m3=650, lateral_ratio=0.35, wall_friction=0.5, depth_m=depth)
    assert ours == pytest.approx(summed, rel=1e-6)


@given(joint=st.floats(0, 0.3), bearing=st.floats(0, 0.3), tension=st.floats(10, 1e5))
def test_wheel_ratio_balances_the_work_of_a_turn(joint: float, bearing: float, tension: float) -> None:
    pin, shaft, radius = 20.0, 60.0, 250.0
    ratio = conveyor_friction.wheel_ratio(
        joint_friction=joint,
        pin_diameter_mm=pin,
        bearing_friction=bearing,
        shaft_diameter_mm=shaft,
        wheel_radius_mm=radius,
        wrap_rad=pi,
    )
    after = tension * ratio
    # Work on one radian: pull difference on the rim against joints on entry and exit and the shaft in its bearing.
    friction_work = joint * pin / 2 * (tension + after) + bearing * shaft / 2 * (tension + after)
    assert (after - tension) * radius == pytest.approx(friction_work, rel=1e-9, abs=1e-7 * tension)


def test_a_wheel_that_friction_locks_is_refused() -> None:
    with pytest.raises(OutOfRange) as refused:
        conveyor_friction.wheel_ratio(
            joint_friction=1.0,
            pin_diameter_mm=100,
            bearing_friction=0,
            shaft_diameter_mm=0,
            wheel_radius_mm=50,
            wrap_rad=pi,
        )
    assert refused.value.issues[0].code == "self_locking"


@given(pull=st.floats(-1e5, 1e5), speed=st.floats(0.01, 5), diameter=st.floats(50, 2000))
def test_torque_times_turning_is_pull_times_speed(pull: float, speed: float, diameter: float) -> None:
    omega = speed / (diameter / 2000)
    torque = conveyor_power.torque(effective_pull_n=pull, pitch_diameter_mm=diameter)
    power = conveyor_power.power(effective_pull_n=pull, chain_speed_m_s=speed, efficiency=1)
    assert torque * omega / 1000 == pytest.approx(power, abs=1e-9)


@given(pull=st.floats(1, 1e5), diameter=st.floats(50, 2000), ratio=st.floats(1, 200))
def test_pull_of_a_torque_inverts_the_torque_of_a_pull(pull: float, diameter: float, ratio: float) -> None:
    at_motor = conveyor_power.torque(effective_pull_n=pull, pitch_diameter_mm=diameter) / ratio
    back = conveyor_power.pull_of_torque(
        torque_n_m=at_motor, gear_ratio=ratio, efficiency=1, pitch_diameter_mm=diameter
    )
    assert back == pytest.approx(pull)


def test_acceleration_pull_gives_the_kinetic_energy() -> None:
    mass, speed, time = 3500.0, 0.6, 4.0
    way = speed * time / 2
    pull = conveyor_power.acceleration_pull(moved_mass_kg=mass, chain_speed_m_s=speed, start_time_s=time)
    assert pull * way == pytest.approx(mass * speed * speed / 2)


@pytest.mark.parametrize(("chains", "share"), [(1, 1.0), (2, 0.6), (3, 0.4), (4, 0.3)])
def test_share_of_one_chain(chains: int, share: float) -> None:
    assert conveyor_power.chain_share(chain_count=chains) == pytest.approx(share)


def test_design_pull_is_the_product_and_refuses_to_flatter() -> None:
    assert conveyor_power.design_pull(
        pull_n=1000, speed_factor=0.9, service_factor=1.2 * 1.4, chain_share=0.6
    ) == pytest.approx(1000 * 0.9 * 1.68 * 0.6)
    with pytest.raises(OutOfRange):
        conveyor_power.design_pull(pull_n=1000, speed_factor=1, service_factor=0.99, chain_share=1)


@given(needed=st.floats(10, 1e5), margin=st.floats(1.01, 10), scatter=st.floats(0, 0.4))
def test_every_trip_of_a_setting_in_the_window_lies_between_start_and_chain(
    needed: float, margin: float, scatter: float
) -> None:
    allowed = needed * margin
    if needed / (1 - scatter) > allowed / (1 + scatter):
        with pytest.raises(NoSolution) as refused:
            limiter_window.window(needed_n_m=needed, allowed_n_m=allowed, scatter=scatter)
        assert refused.value.issues[0].code == "limiter_no_window"
        return
    window = limiter_window.window(needed_n_m=needed, allowed_n_m=allowed, scatter=scatter)
    for share in (0.0, 0.5, 1.0):
        setting = window.lowest_n_m + share * (window.highest_n_m - window.lowest_n_m)
        for trip in (setting * (1 - scatter), setting, setting * (1 + scatter)):
            assert needed * (1 - 1e-9) <= trip <= allowed * (1 + 1e-9)


def test_settings_at_the_edges_pass_and_beyond_are_refused() -> None:
    window = limiter_window.Window(lowest_n_m=1000.0, highest_n_m=2000.0)
    limiter_window.check_setting(setting_n_m=1000.0, allowed=window)
    limiter_window.check_setting(setting_n_m=2000.0, allowed=window)
    for setting, code in ((999.0, "limiter_too_low"), (2001.0, "limiter_ineffective")):
        with pytest.raises(OutOfRange) as refused:
            limiter_window.check_setting(setting_n_m=setting, allowed=window)
        assert refused.value.issues[0].code == code


@given(torque=st.floats(1, 1e6), strength=st.floats(50, 1000), radius=st.floats(10, 500), sections=st.integers(1, 8))
def test_pin_diameter_inverts_pin_torque(torque: float, strength: float, radius: float, sections: int) -> None:
    diameter = limiter_window.pin_diameter(
        torque_n_m=torque, shear_strength_n_mm2=strength, pin_circle_radius_mm=radius, sheared_sections=sections
    )
    back = limiter_window.pin_torque(
        pin_diameter_mm=diameter,
        shear_strength_n_mm2=strength,
        pin_circle_radius_mm=radius,
        sheared_sections=sections,
    )
    assert back == pytest.approx(torque)
