"""Speeds, factors, forces, wrap, slack and lubrication: independent routes, and the limits on both sides."""

from __future__ import annotations

import cmath
from math import inf, nan, nextafter, pi

import pytest

from service.core import centre_factor, drive_factors, forces, lubrication, slack, speeds, wrap
from service.core.conversions import FREE_FALL_M_S2
from service.core.errors import Inconsistent, NoSolution, OutOfRange

BAD = [0.0, -1.0, inf, nan]
PAIR = {"pitch_diameter_small_mm": 100.0, "pitch_diameter_large_mm": 300.0}
LIMITS = {"manual_or_drip_limit_ft_min": 300.0, "bath_or_disc_limit_ft_min": 2300.0}


def codes(function, **arguments) -> list[str]:
    with pytest.raises((OutOfRange, NoSolution, Inconsistent)) as refused:
        function(**arguments)
    return [issue.code for issue in refused.value.issues]


POSITIVE = [
    (speeds.chain_speed_m_s, {"pitch_mm": 12.7, "teeth": 17, "speed_rpm": 900.0}, {"teeth"}),
    (speeds.chain_speed_ft_min, {"pitch_in": 0.5, "teeth": 17, "speed_rpm": 900.0}, {"teeth"}),
    (speeds.mesh_frequency_hz, {"teeth": 17, "speed_rpm": 900.0}, {"teeth"}),
    (
        drive_factors.corrected_power_kw,
        {"power_kw": 5.0, "application_factor": 1.1, "tooth_factor": 1.0},
        set(),
    ),
    (
        drive_factors.required_power_kw,
        {"power_kw": 5.0, "service_factor": 1.3, "design_factor": 1.0, "tooth_factor": 1.0, "strand_factor": 1.7},
        set(),
    ),
    (forces.effective_pull_n, {"power_kw": 5.0, "chain_speed_m_s": 3.0}, set()),
    (forces.effective_pull_lbf, {"power_hp": 5.0, "chain_speed_ft_min": 600.0}, set()),
    (forces.torque_n_m, {"power_kw": 5.0, "speed_rpm": 900.0}, set()),
    (forces.breaking_safety, {"breaking_load_n": 1e4, "tension_n": 1e3, "service_factor": 1.0}, set()),
    (
        forces.sag_tension_from_coefficient_n,
        {"mass_per_length_kg_m": 1.0, "centre_distance_m": 1.0, "sag_coefficient": 6.0},
        set(),
    ),
    (slack.centre_distance_with_take_off_mm, {"centre_distance_mm": 800.0}, set()),
]


@pytest.mark.parametrize(
    ("function", "arguments", "name"),
    [(function, given, name) for function, given, skip in POSITIVE for name in given if name not in skip],
    ids=lambda value: value.__name__ if callable(value) else None,
)
@pytest.mark.parametrize("value", BAD)
def test_quantities_are_finite_and_above_zero(function, arguments, name, value):
    assert codes(function, **{**arguments, name: value}) == ["must_be_positive"]


@pytest.mark.parametrize(
    ("function", "field"),
    [
        (lambda teeth: speeds.chordal_speed_variation(teeth=teeth), "teeth"),
        (lambda teeth: speeds.chain_speed_m_s(pitch_mm=12.7, teeth=teeth, speed_rpm=1.0), "teeth"),
        (lambda teeth: speeds.mesh_frequency_hz(teeth=teeth, speed_rpm=1.0), "teeth"),
        (lambda teeth: speeds.speed_ratio(driver_teeth=teeth, driven_teeth=19), "driver_teeth"),
        (lambda teeth: speeds.speed_ratio(driver_teeth=19, driven_teeth=teeth), "driven_teeth"),
        (lambda teeth: drive_factors.tooth_factor_link_plate(teeth=teeth), "teeth"),
        (lambda teeth: drive_factors.tooth_factor_impact(teeth=teeth), "teeth"),
        (lambda teeth: drive_factors.tooth_factor_iso(teeth_small=teeth), "teeth_small"),
        (lambda teeth: wrap.teeth_engaged(wrap_rad=pi, teeth=teeth), "teeth"),
    ],
)
def test_three_teeth_close_a_polygon_and_two_do_not(function, field):
    assert function(3) > 0
    with pytest.raises(OutOfRange) as refused:
        function(2)
    (issue,) = refused.value.issues
    assert (issue.field, issue.code, issue.limit) == (field, "teeth_below_minimum", 3)


def test_each_factor_of_the_iso_method_multiplies_the_power():
    found = drive_factors.corrected_power_kw(power_kw=3.0, application_factor=1.5, tooth_factor=2.0)
    assert found == 9.0


class TestSpeeds:
    """Definitions, held by counting."""

    def test_one_turn_a_second_meshes_as_many_teeth_as_the_wheel_has(self):
        assert speeds.mesh_frequency_hz(teeth=19, speed_rpm=60.0) == 19

    def test_the_ratio_makes_both_chain_speeds_equal(self):
        ratio = speeds.speed_ratio(driver_teeth=19, driven_teeth=57)
        driver = speeds.chain_speed_m_s(pitch_mm=12.7, teeth=19, speed_rpm=960.0)
        driven = speeds.chain_speed_m_s(pitch_mm=12.7, teeth=57, speed_rpm=960.0 / ratio)
        assert driven == pytest.approx(driver, rel=1e-15)


class TestForces:
    """Statics and dynamics by another way."""

    def test_centrifugal_tension_balances_the_turning_momentum(self):
        """A strand of mass m per length turned through half a circle loses 2 q v^2 of momentum each second."""
        momentum_each_second = 2 * 0.7 * 8.0 * 8.0
        tension = forces.centrifugal_tension_n(mass_per_length_kg_m=0.7, chain_speed_m_s=8.0)
        assert 2 * tension == pytest.approx(momentum_each_second)

    def test_a_service_factor_takes_its_share_of_the_safety(self):
        safety = forces.breaking_safety(breaking_load_n=24_000.0, tension_n=1500.0, service_factor=1.6)
        assert safety * 1.6 * 1500.0 == pytest.approx(24_000.0)

    def test_a_chain_at_rest_has_no_centrifugal_tension(self):
        assert forces.centrifugal_tension_n(mass_per_length_kg_m=0.7, chain_speed_m_s=0.0) == 0.0
        assert codes(forces.centrifugal_tension_n, mass_per_length_kg_m=0.7, chain_speed_m_s=-0.1) == [
            "must_not_be_negative"
        ]

    def test_power_is_torque_times_angular_speed(self):
        torque = forces.torque_n_m(power_kw=7.5, speed_rpm=1450.0)
        assert torque * 2 * pi * 1450.0 / 60 == pytest.approx(7500.0)

    def test_coefficient_six_is_the_parabola_at_two_per_cent_sag(self):
        book = forces.sag_tension_from_coefficient_n(
            mass_per_length_kg_m=2.0, centre_distance_m=1.5, sag_coefficient=6.25
        )
        assert slack.sag_tension_n(mass_per_length_kg_m=2.0, span_m=1.5, sag_m=0.03) == pytest.approx(book)

    @pytest.mark.parametrize("wrap_rad", [0.5, 2.0, pi, 4.0])
    def test_shaft_load_is_the_vector_sum_of_both_strands(self, wrap_rad):
        """Strands that leave the ends of an arc of contact point away from each other by pi less the wrap."""
        total = abs(cmath.rect(900.0, 0.0) + cmath.rect(150.0, pi - wrap_rad))
        found = forces.shaft_load_from_tensions_n(tight_tension_n=900.0, slack_tension_n=150.0, wrap_rad=wrap_rad)
        assert found == pytest.approx(total)

    def test_a_slack_strand_without_tension_leaves_the_pull(self):
        assert forces.shaft_load_from_tensions_n(
            tight_tension_n=900.0, slack_tension_n=0.0, wrap_rad=2.5
        ) == pytest.approx(900.0)

    def test_a_shaft_carries_at_least_the_pull(self):
        assert forces.shaft_load_from_factor_n(effective_pull_n=500.0, shaft_load_factor=1.0) == 500.0
        for factor in (nextafter(1.0, 0.0), nan, inf):
            assert codes(forces.shaft_load_from_factor_n, effective_pull_n=500.0, shaft_load_factor=factor) == [
                "factor_below_minimum"
            ]


class TestWrap:
    """Two wheels and their tangents."""

    def test_one_wheel_inside_the_other_has_no_wrap(self):
        for function in (wrap.wrap_small_rad, wrap.wrap_large_rad):
            assert function(**PAIR, centre_distance_mm=100.1) > 0
            assert codes(function, **PAIR, centre_distance_mm=100.0) == ["centres_overlap"]

    def test_exchanged_wheels_are_named(self):
        assert codes(
            wrap.wrap_small_rad,
            pitch_diameter_small_mm=300.0,
            pitch_diameter_large_mm=100.0,
            centre_distance_mm=500.0,
        ) == ["range_reversed"]

    @pytest.mark.parametrize("name", ["pitch_diameter_small_mm", "pitch_diameter_large_mm", "centre_distance_mm"])
    @pytest.mark.parametrize("value", BAD)
    def test_lengths_are_finite_and_above_zero(self, name, value):
        arguments = {**PAIR, "centre_distance_mm": 500.0, name: value}
        assert codes(wrap.wrap_small_rad, **arguments) == ["must_be_positive"]

    def test_two_equal_wheels_engage_as_many_teeth_as_one_has(self):
        angle = wrap.wrap_small_rad(
            pitch_diameter_small_mm=150.0, pitch_diameter_large_mm=150.0, centre_distance_mm=400.0
        )
        assert 2 * wrap.teeth_engaged(wrap_rad=angle, teeth=23) == pytest.approx(23)

    def test_a_whole_turn_is_the_most(self):
        assert wrap.teeth_engaged(wrap_rad=2 * pi, teeth=23) == pytest.approx(23)
        assert codes(wrap.teeth_engaged, wrap_rad=nextafter(2 * pi, 7.0), teeth=23) == ["angle_out_of_range"]
        assert codes(wrap.teeth_engaged, wrap_rad=0.0, teeth=23) == ["must_be_positive"]


class TestSlack:
    """The parabola ends where it stops being one."""

    def test_a_tenth_of_the_span_is_allowed_and_more_is_not(self):
        for function in (slack.excess_length_mm, slack.centre_distance_shortening_mm):
            assert function(span_mm=500.0, sag_mm=50.0) > 0
            assert codes(function, span_mm=500.0, sag_mm=nextafter(50.0, 51.0)) == ["sag_excessive"]
        assert codes(slack.sag_tension_n, mass_per_length_kg_m=1.0, span_m=0.5, sag_m=0.06) == ["sag_excessive"]
        assert codes(slack.sag_of_excess_mm, span_mm=500.0, excess_length_mm=14.0) == ["sag_excessive"]

    def test_a_taut_strand_takes_no_length(self):
        assert slack.excess_length_mm(span_mm=500.0, sag_mm=0.0) == 0.0
        assert slack.sag_of_excess_mm(span_mm=500.0, excess_length_mm=0.0) == 0.0

    def test_a_taut_strand_has_no_finite_tension(self):
        assert codes(slack.sag_tension_n, mass_per_length_kg_m=1.0, span_m=1.0, sag_m=0.0) == ["must_be_positive"]

    def test_half_the_strand_balances_about_its_end(self):
        mass, span, sag = 1.3, 0.8, 0.02
        weight = mass * FREE_FALL_M_S2 * span / 2
        tension = slack.sag_tension_n(mass_per_length_kg_m=mass, span_m=span, sag_m=sag)
        assert tension * sag == pytest.approx(weight * span / 4)

    @pytest.mark.parametrize("value", [-0.1, nan])
    def test_negative_sag_is_refused(self, value):
        assert codes(slack.excess_length_mm, span_mm=500.0, sag_mm=value) == ["must_not_be_negative"]


class TestLubrication:
    """A limit belongs to the simpler way."""

    @pytest.mark.parametrize(
        ("speed", "way"),
        [
            (0.0, "manual_or_drip"),
            (300.0, "manual_or_drip"),
            (nextafter(300.0, 301.0), "bath_or_disc"),
            (2300.0, "bath_or_disc"),
            (nextafter(2300.0, 2301.0), "forced_stream"),
        ],
    )
    def test_way_on_both_sides_of_each_limit(self, speed, way):
        assert lubrication.lubrication_type(chain_speed_ft_min=speed, **LIMITS) == way

    def test_exchanged_limits_contradict_each_other(self):
        assert codes(
            lubrication.lubrication_type,
            chain_speed_ft_min=100.0,
            manual_or_drip_limit_ft_min=300.0,
            bath_or_disc_limit_ft_min=300.0,
        ) == ["range_reversed"]


class TestCentreFactor:
    """The factor of the ISO method ends where the chain does not go round."""

    def test_a_ratio_of_one_is_too_short(self):
        assert centre_factor.centre_factor(link_ratio=1.01) > 0
        for ratio in (1.0, 0.0, nan, inf):
            assert codes(centre_factor.centre_factor, link_ratio=ratio) == ["chain_too_short"]

    def test_equal_wheels_need_no_factor(self):
        found = centre_factor.centre_distance_by_factor_mm(
            pitch_mm=10.0, pitch_count=100, teeth_small=20, teeth_large=20
        )
        assert found == 400.0

    def test_more_links_than_teeth_are_needed(self):
        wheels = {"pitch_mm": 10.0, "teeth_small": 20, "teeth_large": 40}
        assert codes(centre_factor.centre_distance_by_factor_mm, pitch_count=40, **wheels) == ["chain_too_short"]
        assert centre_factor.centre_distance_by_factor_mm(pitch_count=41, **wheels) > 0

    def test_wheels_are_given_in_order(self):
        assert codes(
            centre_factor.centre_distance_by_factor_mm,
            pitch_mm=10.0,
            pitch_count=100,
            teeth_small=40,
            teeth_large=20,
        ) == ["teeth_below_minimum"]
