"""The search for drives against brute force over all wheels, and its answers against their own rating."""

from __future__ import annotations

from math import floor
from typing import TYPE_CHECKING

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from service.calculations.drive_check import DriveCheckInput, check_drive
from service.calculations.drive_duty import DriveDuty
from service.calculations.drive_option import evaluate
from service.calculations.drive_relations import DriveRelations, Wheels
from service.calculations.drive_search import DriveConstraints, DriveSearch
from service.calculations.drive_sizing import DriveSizingInput, RankedDrive, size_drive
from service.calculations.drive_tables import DriveTables, RatedChain
from service.calculations.silent_tables import SilentTables
from service.calculations.trace import Trace
from service.core.chain_length import pitches_exact
from service.core.conversions import KW_PER_HP
from service.core.errors import EngineeringError
from service.core.roller_rating_newer import strand_rating_newer, table_end_newer
from service.core.roller_rating_older import galling_speed_older, strand_rating_older
from service.core.sprocket_asme import outside_diameter
from service.reference.catalogue import load_reference
from service.reference.records import replace

if TYPE_CHECKING:
    from service.calculations.drive_relations import DriveLoad

REFERENCE = load_reference()
TABLES = DriveTables(REFERENCE)
SILENT = SilentTables(REFERENCE)
ALL = 10_000

log_uniform = st.floats(0.0, 1.0)
powers = log_uniform.map(lambda share: 0.2 * (200.0 / 0.2) ** share)
speeds = log_uniform.map(lambda share: 15.0 * (3000.0 / 15.0) ** share)
ratios = st.one_of(st.floats(1.0, 7.0), st.floats(0.2, 1.0), st.sampled_from([1.0, 2.0, 2.5, 3.0, 0.5]))
centres = st.one_of(st.none(), log_uniform.map(lambda share: 150.0 * 20.0**share))
ranges = st.tuples(st.floats(100.0, 1500.0), st.floats(2.0, 60.0)).map(lambda pair: (pair[0], pair[0] + pair[1]))


def sizing(
    power_kw: float,
    speed_rpm: float,
    ratio: float,
    *,
    edition: str = "older",
    centre_mm: float | None = None,
    centre_range: tuple[float, float] | None = None,
    **constraints: object,
) -> DriveSizingInput:
    low, high = centre_range or (None, None)
    return DriveSizingInput(
        duty=DriveDuty(power_kw=power_kw, driver_speed_rpm=speed_rpm, ratio=ratio, service_factor=1.3),
        edition=edition,  # type: ignore[arg-type]
        centre_distance_mm=centre_mm,
        minimum_centre_distance_mm=low,
        maximum_centre_distance_mm=high,
        constraints=DriveConstraints(**constraints),  # type: ignore[arg-type]
        limit=ALL,
    )


def sized(given_: DriveSizingInput) -> tuple[RankedDrive, ...]:
    """All drives; none where the whole request is refused as nonsense."""
    try:
        return size_drive(given_, TABLES, SILENT).result.roller.drives
    except EngineeringError:
        return ()


def carries(chain: RatedChain, strands: int, small: int, speed_rpm: float, given_: DriveSizingInput) -> bool:
    """By the printed rating of the core alone, without a shortcut of the search."""
    need = (given_.duty.power_kw or 0) * 1.3 / KW_PER_HP / TABLES.strand_factors[strands].factor
    rating = strand_rating_older if given_.edition == "older" else strand_rating_newer
    try:
        rated = rating(chain_class=chain.chain_class, pitch_in=chain.pitch_in, teeth=small, speed_rpm=speed_rpm)
    except EngineeringError:
        return False
    if given_.edition == "newer":
        end = 12.0 * table_end_newer(teeth=small) / (chain.pitch_in * small)
    else:
        pull = 396_000.0 * need / (chain.pitch_in * small * speed_rpm)
        end = galling_speed_older(pitch_in=chain.pitch_in, teeth=small, tension_lbf=pull)
    return need <= rated.power_hp * (1 + 1e-12) and speed_rpm <= end


def centres_serve(chain: RatedChain, small: int, large: int, given_: DriveSizingInput) -> bool:
    tips = sum(outside_diameter(pitch_in=chain.pitch_in, teeth=n) for n in (small, large)) / 2 * 25.4
    low, high = given_.minimum_centre_distance_mm, given_.maximum_centre_distance_mm
    if low is None or high is None:
        return given_.centre_distance_mm is None or given_.centre_distance_mm > tips
    if high <= tips:
        return False
    first, last = (
        pitches_exact(centre_distance_pitches=c / chain.pitch_mm, teeth_small=small, teeth_large=large)
        for c in (max(low, tips), high)
    )
    return 2 * floor(last / 2 + 1e-9) >= first - 1e-9


def brute_force(given_: DriveSizingInput) -> set[tuple[str, int, int, int]]:
    """Chain, strands and wheels: the smallest for each number of strands that allows smaller ones than fewer do."""
    duty, limits = given_.duty, given_.constraints
    ratio = duty.ratio or 1.0
    up = max(ratio, 1 / ratio)
    expected = set()
    for chain in TABLES.rated[given_.edition]:
        fewest = 1000
        for strands in range(1, min(limits.maximum_strand_count, chain.max_strand_count) + 1):
            for small in range(limits.minimum_small_teeth or 17, limits.maximum_small_teeth + 1):
                large = min(floor(small * up + 0.5), 120)
                if abs(large / (small * up) - 1) * 100 > limits.ratio_tolerance_percent:
                    continue
                speed = duty.driver_speed_rpm * (1.0 if ratio >= 1 else large / small)
                if carries(chain, strands, small, speed, given_) and centres_serve(chain, small, large, given_):
                    if small < fewest:
                        expected.add((chain.designation, strands, small, large))
                        fewest = small
                    break
    return expected


def found(drives: tuple[RankedDrive, ...]) -> set[tuple[str, int, int, int]]:
    options = [drive.option for drive in drives]
    return {(o.chain.designation, o.strand_count, o.wheels.small, o.wheels.large) for o in options}


@settings(max_examples=60)
@given(powers, speeds, ratios, centres, st.sampled_from(["older", "newer"]), st.sampled_from([0.0, 1.0, 3.0]))
def test_the_search_finds_what_brute_force_finds(power, speed, ratio, centre, edition, tolerance):
    case = sizing(power, speed, ratio, edition=edition, centre_mm=centre, ratio_tolerance_percent=tolerance)
    assert found(sized(case)) == brute_force(case)


@settings(max_examples=30)
@given(powers, speeds, ratios, ranges)
def test_the_search_in_a_range_of_centres_finds_what_brute_force_finds(power, speed, ratio, centre_range):
    case = sizing(power, speed, ratio, centre_range=centre_range)
    assert found(sized(case)) == brute_force(case)


@settings(max_examples=30)
@given(powers, speeds, st.floats(1.0, 6.0), st.integers(11, 30), st.integers(0, 15), st.integers(1, 6))
def test_bounds_of_teeth_and_strands_hold_in_both(power, speed, ratio, least, more, strands):
    case = sizing(
        power, speed, ratio,
        minimum_small_teeth=least, maximum_small_teeth=min(least + more, 45), maximum_strand_count=strands,
    )  # fmt: skip
    assert found(sized(case)) == brute_force(case)


@settings(max_examples=60)
@given(powers, speeds, ratios, centres, st.sampled_from(["older", "newer"]))
def test_every_drive_carries_by_its_own_check(power, speed, ratio, centre, edition):
    for ranked in sized(sizing(power, speed, ratio, edition=edition, centre_mm=centre)):
        option = ranked.option
        checked = check_drive(
            DriveCheckInput(
                chain=option.chain.size,
                strand_count=option.strand_count,
                driver_teeth=option.wheels.driver,
                driven_teeth=option.wheels.driven,
                duty=DriveDuty(power_kw=power, driver_speed_rpm=speed, service_factor=1.3),
                edition=edition,
                pitch_count=option.pitch_count,
            ),
            TABLES,
            SILENT,
        )
        assert all(check.passes for check in checked.trace.checks), option
        # The check knows no ratio that was asked for; all else is the same drive.
        assert replace(checked.result.point.option, ratio_error_percent=None) == replace(
            option, ratio_error_percent=None
        )


@settings(max_examples=60)
@given(powers, speeds, ratios, st.sampled_from(["older", "newer"]))
def test_the_scaling_of_the_search_is_the_relation_of_the_core(power, speed, ratio, edition):
    case = sizing(power, speed, ratio, edition=edition)
    load = _load(case)
    assume(load is not None)
    search = DriveSearch(case.constraints, ratio, DriveRelations(load, TABLES, Trace()))
    for candidate in search.candidates():
        exact = evaluate(candidate.chain, candidate.strand_count, candidate.wheels, search.relations)
        assert candidate.utilisation == pytest.approx(exact.utilisation, rel=1e-9)
        assert candidate.known.range_end_rpm == pytest.approx(exact.range_end_rpm, rel=1e-9)
        assert candidate.known.lubrication == exact.lubrication


@given(powers, speeds, ratios, st.sampled_from(["older", "newer"]))
def test_one_tooth_and_one_strand_more_are_what_such_a_drive_has(power, speed, ratio, edition):
    case = sizing(power, speed, max(ratio, 1.0), edition=edition)
    load = _load(case)
    assume(load is not None)
    relations = DriveRelations(load, TABLES, Trace())
    for ranked in sized(case)[:3]:
        option = ranked.option
        wheels, strands = option.wheels, option.strand_count
        if option.utilisation_one_tooth_more is not None:
            larger = Wheels.of(wheels.driver + 1, wheels.driven)
            exact = evaluate(option.chain, strands, larger, relations)
            plain = exact.design_power_kw / exact.rated_power_kw
            if larger.small == wheels.small + 1:
                assert option.utilisation_one_tooth_more == pytest.approx(plain, rel=1e-9)
        if option.utilisation_one_strand_more is not None:
            exact = evaluate(option.chain, strands + 1, wheels, relations)
            assert option.utilisation_one_strand_more == pytest.approx(exact.utilisation, rel=1e-9)


def _load(case: DriveSizingInput) -> DriveLoad | None:
    try:
        return size_drive(case, TABLES, SILENT).result.roller.load
    except EngineeringError:
        return None


@given(powers, speeds, ratios, centres)
def test_the_ranking_is_a_sort_of_the_sum_of_its_terms(power, speed, ratio, centre):
    drives = sized(sizing(power, speed, ratio, centre_mm=centre))
    assert [drive.score for drive in drives] == sorted(drive.score for drive in drives)
    for drive in drives:
        assert drive.score == pytest.approx(sum(drive.terms))
        assert all(term >= 0 for term in drive.terms)
    if drives:
        assert min(drive.terms.mass for drive in drives) == 0.0


def test_each_term_follows_its_weight():
    (first, *_) = sized(sizing(7.5, 1450, 2.5, centre_mm=700))
    option = first.option
    assert first.terms.chordal_variation == pytest.approx(0.15 * option.chordal_variation_percent)
    assert first.terms.ratio_error == pytest.approx(0.10 * abs(option.ratio_error_percent or 0))
    assert first.terms.strands == pytest.approx(0.10 * (option.strand_count - 1))


def test_a_rated_share_of_one_is_enough():
    """The limit itself passes: the load that uses a rating up is still carried."""
    (first, *_) = sized(sizing(7.5, 1450, 2.5, centre_mm=700, maximum_strand_count=1))
    up = sizing(7.5 / first.option.utilisation, 1450, 2.5, centre_mm=700, maximum_strand_count=1)
    same = next(drive for drive in sized(up) if drive.option.chain is first.option.chain)
    assert same.option.wheels == first.option.wheels
    assert same.option.utilisation == pytest.approx(1.0)
