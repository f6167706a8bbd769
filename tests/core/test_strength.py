"""The three strengths, lifting, engineering-class drives and articulation against worked mechanics."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core import articulation, chain_pull_drive, interpolation, lifting, round_link, strength
from service.core.chain_pull_drive import SpeedFactorPoint
from service.core.errors import Inconsistent, NotInReference, OutOfRange
from service.core.forces import effective_pull_lbf

ULTIMATES = st.floats(1e3, 1e7)
SHARES = st.floats(0.001, 0.9)


@given(ultimate=ULTIMATES, limit=st.floats(0.02, 0.6), least=st.floats(0, 0.5))
def test_goodman_line_and_its_inverse(ultimate: float, limit: float, least: float) -> None:
    greatest = strength.greatest_tension_at_limit(
        pulsating_limit_n=limit * ultimate, least_tension_n=least * ultimate, minimum_tensile_strength_n=ultimate
    )
    back = strength.pulsating_equivalent(
        greatest_tension_n=greatest, least_tension_n=least * ultimate, minimum_tensile_strength_n=ultimate
    )
    assert back == pytest.approx(limit * ultimate)


@given(ultimate=ULTIMATES, greatest=SHARES, least=SHARES)
def test_equivalent_has_the_amplitude_that_the_line_gives_it(ultimate: float, greatest: float, least: float) -> None:
    high, low = max(greatest, least) * ultimate, min(greatest, least) * ultimate
    equivalent = strength.pulsating_equivalent(
        greatest_tension_n=high, least_tension_n=low, minimum_tensile_strength_n=ultimate
    )
    # Amplitude at rest S from both cycles: amplitude = S (1 - mean/Fu).
    at_rest = (high - low) / 2 / (1 - (high + low) / 2 / ultimate)
    of_equivalent = equivalent / 2 / (1 - equivalent / 2 / ultimate)
    assert of_equivalent == pytest.approx(at_rest, abs=1e-9 * ultimate)
    assert high - low <= equivalent * (1 + 1e-12) <= max(high, high - low) * (1 + 1e-9)


def test_impossible_cycles_are_refused() -> None:
    for greatest, least, code in ((10.0, 11.0, "cycle_reversed"), (100.0, 0.0, "load_above_ultimate")):
        with pytest.raises(Inconsistent) as refused:
            strength.pulsating_equivalent(
                greatest_tension_n=greatest, least_tension_n=least, minimum_tensile_strength_n=100.0
            )
        assert refused.value.issues[0].code == code


@given(fatigue=st.floats(0.01, 3), yielding=st.floats(0.01, 3), ultimate=st.floats(0.01, 3))
def test_at_the_load_multiple_one_strength_is_just_reached(fatigue: float, yielding: float, ultimate: float) -> None:
    found = strength.governing(fatigue_utilisation=fatigue, yield_utilisation=yielding, ultimate_utilisation=ultimate)
    scaled = [value * found.load_multiple for value in (fatigue, yielding, ultimate)]
    assert max(scaled) == pytest.approx(1)
    assert {"fatigue": fatigue, "yield": yielding, "ultimate": ultimate}[found.mode] == found.utilisation


def test_an_unknown_strength_does_not_govern() -> None:
    found = strength.governing(fatigue_utilisation=None, yield_utilisation=None, ultimate_utilisation=0.2)
    assert (found.mode, found.load_multiple) == ("ultimate", pytest.approx(5))


def test_margin_to_yield_crosses_zero_at_the_yield_load() -> None:
    limit = strength.yield_load(minimum_tensile_strength_n=100_000, yield_fraction=0.65)
    assert strength.margin_to_yield(yield_load_n=limit, peak_tension_n=limit) == 0
    assert strength.margin_to_yield(yield_load_n=limit, peak_tension_n=limit * 1.2) == pytest.approx(-0.2)


@given(mass=st.floats(1, 1e5), acceleration=st.floats(0, 5), falls=st.integers(1, 8))
def test_falls_together_carry_the_accelerated_mass(mass: float, acceleration: float, falls: int) -> None:
    one = lifting.load_per_chain(mass_kg=mass, acceleration_m_s2=acceleration, falls=falls, efficiency=1)
    assert one * falls - mass * 9.80665 == pytest.approx(mass * acceleration, abs=1e-6 * mass)


def test_a_safety_factor_of_one_is_refused() -> None:
    with pytest.raises(OutOfRange) as refused:
        lifting.required_tensile_strength(tension_n=1000, service_factor=1, safety_factor=1)
    assert refused.value.issues[0].code == "factor_below_minimum"


def test_breaking_force_carries_the_working_coefficient() -> None:
    force = lifting.breaking_force_for_limit(working_load_limit_kg=500, working_coefficient=4)
    assert force * 1000 / (500 * 9.80665) == pytest.approx(4)


def test_sheave_width_leaves_a_twentieth() -> None:
    assert lifting.sheave_width(pin_length_mm=60) - 60 == pytest.approx(3)


@given(diameter=st.floats(2, 60), stress=st.floats(1, 1200))
def test_stress_of_a_force_is_the_stress(diameter: float, stress: float) -> None:
    force = round_link.force(diameter_mm=diameter, stress_n_mm2=stress)
    assert round_link.stress(force_kn=force, diameter_mm=diameter) == pytest.approx(stress)
    assert round_link.grade(breaking_force_kn=force, diameter_mm=diameter) == pytest.approx(stress / 10)


def test_working_load_limits_are_printed_cells_only() -> None:
    rows = [
        round_link.WorkingLoadRow(chain_type="T", diameter_mm=8, working_load_limit_kg=2000),
        round_link.WorkingLoadRow(chain_type="DAT", diameter_mm=8, working_load_limit_kg=1600),
    ]
    ask = {"chain_type": "DAT", "diameter_mm": 8.0, "rows": rows}
    assert round_link.working_load_limit(**ask, hoist_drive="hand") == 1600
    with pytest.raises(NotInReference) as refused:
        round_link.working_load_limit(**ask, hoist_drive="power")
    assert refused.value.issues[0].code == "power_hoist_not_rated"
    with pytest.raises(NotInReference) as refused:
        round_link.working_load_limit(**{**ask, "diameter_mm": 8.5}, hoist_drive="hand")
    assert refused.value.issues[0].code == "size_not_in_table"


FACTORS = [
    SpeedFactorPoint(teeth=teeth, speed_ft_min=speed, factor=factor)
    for teeth, line in {12: (0.99, 1.21), 14: (0.935, 1.11)}.items()
    for speed, factor in zip((100.0, 200.0), line, strict=True)
]


def test_speed_factor_returns_its_printed_points() -> None:
    for point in FACTORS:
        assert chain_pull_drive.speed_factor(
            teeth=point.teeth, speed_ft_min=point.speed_ft_min, points=FACTORS
        ) == pytest.approx(point.factor)


@given(speed=st.floats(100, 200))
def test_speed_factor_between_tooth_counts_lies_between_them(speed: float) -> None:
    twelve, thirteen, fourteen = (
        chain_pull_drive.speed_factor(teeth=teeth, speed_ft_min=speed, points=FACTORS) for teeth in (12, 13, 14)
    )
    assert fourteen < thirteen < twelve
    # Linear in 1/N: 1/13 divides the way from 1/14 to 1/12 in the ratio 6 to 7.
    assert thirteen == pytest.approx(fourteen + (twelve - fourteen) * 6 / 13)


@pytest.mark.parametrize(("teeth", "speed"), [(11, 150), (15, 150), (12, 99), (14, 201)])
def test_speed_factor_is_not_prolonged(teeth: int, speed: float) -> None:
    with pytest.raises(OutOfRange) as refused:
        chain_pull_drive.speed_factor(teeth=teeth, speed_ft_min=speed, points=FACTORS)
    assert refused.value.issues[0].code == "outside_table"


def test_needed_working_load_is_met_at_the_rated_power() -> None:
    pull = effective_pull_lbf(power_hp=9.917355371900825, chain_speed_ft_min=3 * 12 * 20 / 12)
    needed = chain_pull_drive.needed_working_load(pull_lbf=pull, speed_factor=1.1, service_factor=1)
    assert needed == pytest.approx(6000)


def test_joint_pressure_times_area_is_the_tension() -> None:
    assert chain_pull_drive.joint_pressure(
        tension_n=5000, pin_diameter_mm=12.5, bush_length_mm=40
    ) * 12.5 * 40 == pytest.approx(5000)


def test_interpolation_keeps_points_and_halves() -> None:
    points = [(0.0, 1.0), (2.0, 5.0), (3.0, 4.0)]
    found = [interpolation.between_points(at=x, points=points, field="x") for x in (0, 1, 2, 2.5, 3)]
    assert found == pytest.approx([1, 3, 5, 4.5, 4])


def met(teeth: int, pitch_count: int) -> int:
    """Pitches until tooth 0 meets link 0 again, by counting."""
    moved = 1
    while moved % teeth or moved % pitch_count:
        moved += 1
    return moved


@given(teeth=st.integers(3, 40), pitch_count=st.integers(10, 150))
def test_repeat_is_what_counting_finds(teeth: int, pitch_count: int) -> None:
    found = articulation.repeat(teeth=teeth, pitch_count=pitch_count)
    assert found.pitches_before_repeat == met(teeth, pitch_count)
    assert found.wheel_turns * teeth == found.chain_laps * pitch_count == found.pitches_before_repeat


def test_laps_from_revolutions() -> None:
    teeth, rpm, pitch, pitch_count = 19, 300, 25.4, 110
    speed = teeth * rpm * pitch / 60_000
    laps = articulation.laps_per_hour(chain_speed_m_s=speed, pitch_count=pitch_count, pitch_mm=pitch)
    assert laps == pytest.approx(rpm * 60 * teeth / pitch_count)
    assert articulation.flexings_per_hour(laps_per_hour=laps, wheel_count=3) == pytest.approx(6 * laps)


def test_sliding_of_a_wheel_turned_once_is_the_pin_round() -> None:
    assert 17 * articulation.slide_per_flexing(pin_diameter_mm=9, teeth=17) == pytest.approx(pi * 9)


def test_joint_loss_is_the_friction_work_of_one_pitch() -> None:
    friction, pin, pitch, driver, driven, tight, slack = 0.12, 7.92, 25.4, 19, 57, 4000.0, 300.0
    work = 0.0
    for teeth in (driver, driven):
        for tension in (tight, slack):
            work += friction * tension * pin / 2 * 2 * pi / teeth
    ours = articulation.joint_loss(
        joint_friction=friction,
        pin_diameter_mm=pin,
        pitch_mm=pitch,
        teeth_driver=driver,
        teeth_driven=driven,
        tight_tension_n=tight,
        slack_tension_n=slack,
    )
    assert ours == pytest.approx(work / ((tight - slack) * pitch))
    assert 0.98 < 1 - ours < 1


def test_wear_index_adds_up_the_four_flexings_of_a_lap() -> None:
    pin, bush, small, large, tight, slack, laps = 7.92, 22.0, 19, 57, 4000.0, 300.0, 700.0
    hour = 0.0
    for teeth in (small, large):
        for tension in (tight, slack):
            hour += laps * tension / (pin * bush) * (pin / 2 * 2 * pi / teeth)
    ours = articulation.wear_index(
        tight_pressure_n_mm2=tight / (pin * bush),
        slack_pressure_n_mm2=slack / (pin * bush),
        slide_small_mm=articulation.slide_per_flexing(pin_diameter_mm=pin, teeth=small),
        slide_large_mm=articulation.slide_per_flexing(pin_diameter_mm=pin, teeth=large),
        laps_per_hour=laps,
    )
    assert ours == pytest.approx(hour)


def test_a_span_frequency_is_one_over_the_round_trip_of_a_wave() -> None:
    span, tension, mass, speed = 1.4, 2500.0, 3.1, 8.0
    wave = (tension / mass) ** 0.5
    round_trip = span / (wave - speed) + span / (wave + speed)
    ours = articulation.span_frequency(
        order=1, span_m=span, strand_tension_n=tension, mass_kg_m=mass, chain_speed_m_s=speed
    )
    assert ours == pytest.approx(1 / round_trip)


def test_a_span_below_its_centrifugal_tension_is_refused() -> None:
    with pytest.raises(OutOfRange) as refused:
        articulation.span_frequency(order=1, span_m=1, strand_tension_n=200, mass_kg_m=2, chain_speed_m_s=10)
    assert refused.value.issues[0].code == "tension_below_centrifugal"
