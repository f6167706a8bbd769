"""Factor tables: all load, holes stay holes, disagreeing sources both stand, doubtful figures stay out of use."""

from __future__ import annotations

from collections import defaultdict

import pytest

from service.core.chain_pull_drive import speed_factor
from service.core.errors import NotInReference, OutOfRange
from service.core.round_link import working_load_limit
from service.core.silent_rating import rating_per_width
from service.reference.factors import load_factors
from service.reference.round_link import hoist_limits, load_working_load_limits

FACTORS = load_factors()
LIMITS = load_working_load_limits()
GENERATION = "b29.2m-1982"


def test_speed_factors_rise_with_speed_and_fall_with_teeth():
    by_teeth = defaultdict(list)
    by_speed = defaultdict(list)
    for point in FACTORS.conveyor.speed_factor_points():
        by_teeth[point.teeth].append((point.speed_ft_min, point.factor))
        by_speed[point.speed_ft_min].append((point.teeth, point.factor))
    for line in by_teeth.values():
        assert [factor for _, factor in sorted(line)] == sorted(factor for _, factor in line)
    for line in by_speed.values():
        assert [factor for _, factor in sorted(line)] == sorted((factor for _, factor in line), reverse=True)


def test_the_doubtful_speed_factor_is_shown_and_not_used():
    shown = [row for row in FACTORS.conveyor.speed_factors.rows if row.doubtful]
    assert [(row.teeth, row.speed_ft_min, row.factor) for row in shown] == [(9, 500, 2.94)]
    used = speed_factor(teeth=9, speed_ft_min=500, points=FACTORS.conveyor.speed_factor_points())
    assert used == pytest.approx((2.56 + 4.29) / 2)


def test_the_blank_corner_of_the_speed_factors_is_refused():
    points = FACTORS.conveyor.speed_factor_points()
    assert speed_factor(teeth=6, speed_ft_min=300, points=points) == pytest.approx(16.7)
    with pytest.raises(OutOfRange):
        speed_factor(teeth=6, speed_ft_min=301, points=points)


def test_disagreeing_frictions_both_stand_and_the_read_one_is_preferred():
    table = FACTORS.conveyor.material_frictions
    for material, read, recalled in (("grain", 0.50, 0.40), ("ashes", 0.70, 0.50), ("coal", 0.60, 0.50)):
        rows = sorted((row for row in table.rows if row.material == material), key=table.preference)
        assert [row.friction for row in rows] == [read, recalled]
        assert [row.confidence for row in rows] == ["secondary", "memory"]


def test_the_two_systems_of_wall_constants_tell_one_story():
    constants = {(row.material, row.system): row.constant for row in FACTORS.conveyor.wall_constants.rows}
    for material in {material for material, _ in constants} - {"coke", "sand, clay or limestone, wet"}:
        # c = 0.4335 C by the two definitions; both are printed to whole numbers.
        assert constants[material, "metric"] == pytest.approx(0.4335 * constants[material, "inch"], abs=0.75)


def test_speed_bands_join_without_gap():
    by_system = defaultdict(list)
    for row in FACTORS.conveyor.speed_bands.rows:
        by_system[row.system].append(row)
    for rows in by_system.values():
        assert [row.above for row in rows[1:]] == [row.up_to for row in rows[:-1]]
        assert [row.factor for row in rows] == sorted(row.factor for row in rows)


def test_temperature_bands_join_without_gap():
    rows = FACTORS.conveyor.temperature_factors.rows
    assert [row.temperature_min_f for row in rows[1:]] == [row.temperature_max_f for row in rows[:-1]]


def test_holes_of_bulk_materials_stay_empty():
    by_name = {row.material: row for row in FACTORS.bulk.materials.rows}
    assert by_name["dolomite, lumpy"].repose_min_deg is None
    assert by_name["copper ore"].repose_max_deg == 44
    assert all(row.density_min_lb_ft3 <= row.density_max_lb_ft3 for row in FACTORS.bulk.materials.rows)
    assert FACTORS.bulk.flowability.rows[0].surcharge_deg is None


def test_metric_and_inch_densities_of_a_row_belong_together():
    for row in FACTORS.bulk.densities.rows:
        metric = row.density_lb_ft3 * 16.018463
        assert row.density_min_kg_m3 * 0.9 <= metric <= row.density_max_kg_m3 * 1.1, row.material


def test_silent_ratings_say_that_they_are_recalled_and_of_an_earlier_generation():
    rows = FACTORS.silent.ratings.rows
    assert {row.confidence for row in rows} == {"memory"}
    assert {row.generation for row in rows} == {GENERATION}
    assert "2006" in FACTORS.silent.ratings.card.disagreements


def test_silent_ratings_interpolate_inside_and_refuse_outside():
    points = FACTORS.silent.rating_points(0.5, GENERATION)
    assert rating_per_width(teeth=21, speed_rpm=1000, points=points) == pytest.approx(8.8)
    assert rating_per_width(teeth=22, speed_rpm=1100, points=points) == pytest.approx((8.8 + 10 + 10 + 11) / 4)
    for teeth, speed in ((25, 1000), (21, 3501)):
        with pytest.raises(OutOfRange):
            rating_per_width(teeth=teeth, speed_rpm=speed, points=points)
    assert FACTORS.silent.rating_points(1.25, GENERATION) == ()


def test_sets_of_silent_service_factors_are_told_apart():
    sets = {row.set for row in FACTORS.silent.service_factors.rows}
    assert sets == {"by_prime_mover_class", "by_drive_and_hours"}
    for row in FACTORS.silent.service_factors.rows:
        assert (row.prime_mover == "motor_10_h") == (row.set == "by_drive_and_hours")


def test_lifting_factors_leave_passengers_out():
    assert not any("passenger" in row.use for row in FACTORS.strength.lifting_factors.rows)
    assert all(row.factor_min > 1 for row in FACTORS.strength.lifting_factors.rows)


def test_hoist_limits_hold_hoist_chain_only():
    rows = hoist_limits(LIMITS, "EN 818-7")
    assert len(rows) == 45
    assert hoist_limits(LIMITS, "EN 818-2") == ()
    assert hoist_limits(LIMITS, "DIN 766") == ()
    assert working_load_limit(chain_type="DAT", diameter_mm=16, hoist_drive="hand", rows=rows) == 6300
    with pytest.raises(NotInReference):
        working_load_limit(chain_type="DAT", diameter_mm=16, hoist_drive="power", rows=rows)


def test_yield_fractions_keep_both_sources():
    fractions = [
        (row.fraction_min, row.fraction_max)
        for row in FACTORS.strength.fractions.rows
        if row.family == "roller" and row.quantity == "yield_over_ultimate"
    ]
    assert fractions == [(0.70, 0.70), (0.40, 0.60)]
