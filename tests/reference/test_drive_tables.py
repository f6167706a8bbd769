"""Tables of factors, speeds and limits against figures read in other places."""

from __future__ import annotations

import itertools

import pytest

from service.reference.catalogue import Reference, load_reference


@pytest.fixture(scope="module")
def reference() -> Reference:
    return load_reference()


# The same nine factors and the strand factors as a chain handbook prints them (its Tables 4.1 and 4.2).
@pytest.mark.parametrize(
    ("load", "electric", "engine_fluid", "engine_mechanical"),
    [("smooth", 1.0, 1.0, 1.2), ("moderate_shock", 1.3, 1.2, 1.4), ("heavy_shock", 1.5, 1.4, 1.7)],
)
def test_american_service_factors(
    reference: Reference, load: str, electric: float, engine_fluid: float, engine_mechanical: float
) -> None:
    rows = reference.service_factors.where(scheme="asme", driven_load=load)
    assert {row.driver: row.factor for row in rows} == {
        "electric_motor_or_turbine": electric,
        "engine_fluid_coupled": engine_fluid,
        "engine_mechanical": engine_mechanical,
    }


def test_strand_factors(reference: Reference) -> None:
    rows = reference.strand_factors.where(scheme="asme")
    assert [row.factor for row in rows] == [1.0, 1.7, 2.5, 3.3, 3.9, 4.6]


def test_each_scheme_is_a_full_table_that_rises_with_shock(reference: Reference) -> None:
    for scheme in ("asme", "iso"):
        rows = reference.service_factors.where(scheme=scheme)
        assert len(rows) == 9
        for driver in {row.driver for row in rows}:
            loads = {row.driven_load: row.factor for row in rows if row.driver == driver}
            assert loads["smooth"] < loads["moderate_shock"] < loads["heavy_shock"], (scheme, driver)


# A dealer's service page, limits of manual lubrication and of oil bath in ft/min.
@pytest.mark.parametrize(
    ("designation", "manual", "bath"),
    [("40", 300, 2300), ("50", 250, 2000), ("60", 220, 1800), ("80", 170, 1500),
     ("100", 150, 1300), ("120", 130, 1200), ("140", 115, 1100), ("160", 100, 1000)],
)  # fmt: skip
def test_lubrication_limits(reference: Reference, designation: str, manual: float, bath: float) -> None:
    (row,) = reference.lubrication_speed_limits.where(edition="older", designation=designation)
    assert (row.manual_or_drip_max_ft_min, row.bath_or_disc_max_ft_min) == (manual, bath)


def test_lubrication_rows_name_known_chains(reference: Reference) -> None:
    for row in reference.lubrication_speed_limits.rows:
        assert reference.chains.find(row.designation) is not None
        if row.edition == "newer":
            assert row.manual_or_drip_max_ft_min is None


def test_oil_bands_leave_no_gap_and_thicken(reference: Reference) -> None:
    bands: dict[float, list[tuple[float, float, int]]] = {}
    for row in reference.lubricant_viscosities.rows:
        grade = int(row.sae_grade.removesuffix("W"))
        bands.setdefault(row.pitch_above_in, []).append((row.ambient_above_degc, row.ambient_to_degc, grade))
    for band in bands.values():
        assert all(before[1] == after[0] for before, after in itertools.pairwise(band))
        assert all(before[2] <= after[2] for before, after in itertools.pairwise(band))


# Worked examples of the textbook's chapter, which interpolate linearly in speed: 3.61 kW and 13.12 kW at 900 rev/min.
@pytest.mark.parametrize(("designation", "printed_kw"), [("08A", 3.61), ("12A", 13.12)])
def test_kilowatt_ratings_give_the_worked_examples(reference: Reference, designation: str, printed_kw: float) -> None:
    (low,) = reference.kw_ratings.where(designation=designation, speed_rpm=700.0)
    (high,) = reference.kw_ratings.where(designation=designation, speed_rpm=1000.0)
    rating = low.power_kw + (high.power_kw - low.power_kw) * (900 - 700) / (1000 - 700)
    assert rating == pytest.approx(printed_kw, abs=0.005)


def test_only_confirmed_ratings_are_more_than_recalled(reference: Reference) -> None:
    confirmed = {(row.designation, row.speed_rpm) for row in reference.kw_ratings.rows if row.confidence != "memory"}
    assert confirmed == {
        ("08A", 700), ("08A", 1000), ("08A", 1400), ("12A", 700), ("12A", 1000), ("12B", 1400), ("10B", 1400)
    }  # fmt: skip


def test_product_rule_meets_the_general_limit_where_it_starts(reference: Reference) -> None:
    (general,) = reference.elongation_limits.where(rule="general")
    (large,) = reference.elongation_limits.where(rule="large_wheel")
    assert large.percent_times_teeth is not None
    assert large.above_teeth is not None
    assert large.percent_times_teeth / large.above_teeth == pytest.approx(general.limit_percent, abs=0.02)


def test_disagreeing_advice_keeps_both_and_prefers_what_was_read(reference: Reference) -> None:
    rows = reference.proportions.where(rule="large_wheel_teeth_max")
    assert [(row.value, row.confidence) for row in rows] == [(120, "published"), (114, "memory")]


def test_each_load_class_has_examples(reference: Reference) -> None:
    assert {row.load_class for row in reference.load_classes.rows} == {"smooth", "moderate_shock", "heavy_shock"}
