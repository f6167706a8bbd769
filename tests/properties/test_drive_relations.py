"""Laws of the drive relations: inverses, monotony, scaling, unit invariance, agreement of two routes."""

from __future__ import annotations

from math import isclose, pi, sin

import mpmath
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from service.core.centre_factor import centre_distance_by_factor_mm, centre_factor
from service.core.chain_length import centre_distance_exact, pitches_approximate, pitches_exact
from service.core.conversions import KW_PER_HP, M_S_PER_FT_MIN, MM_PER_INCH, N_PER_LBF
from service.core.drive_factors import tooth_factor_impact, tooth_factor_link_plate
from service.core.errors import NoSolution, OutOfRange
from service.core.forces import effective_pull_lbf, effective_pull_n
from service.core.roller_rating import impact_power
from service.core.roller_rating_newer import link_plate_power_newer, strand_rating_newer, table_end_newer
from service.core.roller_rating_older import link_plate_power_older, strand_rating_older
from service.core.roller_rating_teeth import teeth_for_impact, teeth_for_link_plate_newer, teeth_for_link_plate_older
from service.core.slack import centre_distance_shortening_mm, excess_length_mm, sag_of_excess_mm
from service.core.speeds import chain_speed_ft_min, chain_speed_m_s
from service.core.wrap import teeth_engaged, wrap_large_rad, wrap_small_rad

PITCHES_IN = [0.5, 0.625, 0.75, 1.0]
rated_teeth = st.integers(11, 45)
rated_speeds = st.floats(1.0, 6000.0)
pitches_in = st.sampled_from(PITCHES_IN)

INVERSES = [
    (teeth_for_link_plate_older, link_plate_power_older),
    (teeth_for_link_plate_newer, link_plate_power_newer),
    (teeth_for_impact, impact_power),
]


@pytest.mark.parametrize(("inverse", "line"), INVERSES)
@given(power=st.floats(1e-3, 1e3), pitch=pitches_in, speed=rated_speeds)
def test_fewest_teeth_carry_the_power_and_one_less_does_not(inverse, line, power, pitch, speed):
    place = {"chain_class": "roller", "pitch_in": pitch, "speed_rpm": speed}
    try:
        teeth = inverse(power_hp=power, **place)
    except NoSolution:
        assert line(teeth=45, **place) < power
        return
    assert line(teeth=teeth, **place) >= power
    assert teeth == 11 or line(teeth=teeth - 1, **place) < power


@pytest.mark.parametrize("line", [link_plate_power_older, link_plate_power_newer, impact_power])
@given(teeth=st.integers(11, 44), pitch=pitches_in, speed=rated_speeds)
def test_more_teeth_carry_more(line, teeth, pitch, speed):
    place = {"chain_class": "roller", "pitch_in": pitch, "speed_rpm": speed}
    assert line(teeth=teeth + 1, **place) > line(teeth=teeth, **place)


@given(teeth=rated_teeth, pitch=pitches_in, speed=st.floats(1.0, 3000.0))
def test_lines_scale_with_speed_as_their_powers(teeth, pitch, speed):
    def at(line, factor):
        return line(chain_class="roller", pitch_in=pitch, teeth=teeth, speed_rpm=speed * factor)

    assert isclose(at(link_plate_power_older, 2), 2**0.9 * at(link_plate_power_older, 1), rel_tol=1e-12)
    assert isclose(at(link_plate_power_newer, 2), 2**0.96 * at(link_plate_power_newer, 1), rel_tol=1e-12)
    assert isclose(at(impact_power, 2), 2**-1.5 * at(impact_power, 1), rel_tol=1e-12)


@given(teeth=rated_teeth, speed=rated_speeds)
def test_tooth_factors_are_ratios_to_the_rating_of_seventeen_teeth(teeth, speed):
    def ratio(line):
        place = {"chain_class": "roller", "pitch_in": 0.75, "speed_rpm": speed}
        return line(teeth=teeth, **place) / line(teeth=17, **place)

    assert isclose(ratio(link_plate_power_older), tooth_factor_link_plate(teeth=teeth), rel_tol=1e-12)
    assert isclose(ratio(impact_power), tooth_factor_impact(teeth=teeth), rel_tol=1e-12)


def test_both_editions_stay_within_a_band_and_their_difference_is_explained():
    """Right of both peaks the editions are one; left of them they differ by 1.1 n^0.06 / N^0.08, no more.

    The newer edition rates a fast small wheel up to a half higher, a very slow large one up to a tenth lower.
    """
    compared = 0
    for pitch in (0.5, 0.75, 1.0):
        for teeth in range(11, 46, 2):
            for speed in (10, 50, 100, 300, 600, 900, 1200, 1800, 2500, 4000):
                place = {"chain_class": "roller", "pitch_in": pitch, "teeth": teeth, "speed_rpm": float(speed)}
                if pitch * teeth * speed / 12 > table_end_newer(teeth=teeth):
                    continue
                older, newer = strand_rating_older(**place), strand_rating_newer(**place)
                ratio = newer.power_hp / older.power_hp
                assert 0.9 < ratio < 1.5, place
                if older.governed_by == newer.governed_by == "link_plate":
                    assert ratio == pytest.approx(1.1 * speed**0.06 / teeth**0.08, rel=1e-12)
                elif older.governed_by == "impact":
                    assert newer.governed_by == "impact"
                    assert ratio == 1.0
                compared += 1
    assert compared > 400


@given(small=st.integers(9, 45), ratio=st.floats(1.0, 7.0), centre=st.floats(15.0, 100.0))
def test_exact_length_is_not_below_the_approximation_but_for_the_polygon(small, ratio, centre):
    """The series is cut after a term and so too short; polygon radii take back at most (d - o)^2 / C.

    d is the difference of the teeth over 2 pi, o that of the polygon radii.
    """
    large = round(small * ratio)
    wheels = {"teeth_small": small, "teeth_large": large}
    circles = (large - small) / (2 * pi)
    polygons = 0.5 / sin(pi / large) - 0.5 / sin(pi / small)
    assume(centre > circles + 1)
    exact = pitches_exact(centre_distance_pitches=centre, **wheels)
    approximate = pitches_approximate(centre_distance_pitches=centre, **wheels)
    assert exact >= approximate - (circles - polygons) ** 2 / centre - 1e-9


@given(small=st.integers(9, 45), large=st.integers(9, 150), centre=st.floats(1.0, 100.0))
def test_centre_distance_is_the_inverse_of_the_length(small, large, centre):
    wheels = {"teeth_small": min(small, large), "teeth_large": max(small, large)}
    radii = [0.5 / sin(pi / teeth) for teeth in wheels.values()]
    assume(centre > sum(radii))
    length = pitches_exact(centre_distance_pitches=centre, **wheels)
    assert isclose(centre_distance_exact(pitch_count=length, **wheels), centre, rel_tol=1e-9)


@given(st.floats(1.02, 200.0))
@example(1.02)
@example(13.0)
def test_f4_solves_its_equation(ratio):
    """The root is found with forty digits by bisection, and the factor formed from it."""
    with mpmath.workdps(40):
        target = mpmath.mpf(ratio)
        root = mpmath.findroot(
            lambda u: mpmath.mpf(1) / 2 + (mpmath.cot(u) + u) / mpmath.pi - target,
            (mpmath.mpf("1e-6"), mpmath.pi / 2),
            solver="bisect",
            tol=mpmath.mpf("1e-30"),
            maxsteps=400,
        )
        factor = 1 / (4 * (mpmath.cos(root) + root * mpmath.sin(root)))
    assert isclose(centre_factor(link_ratio=ratio), float(factor), rel_tol=1e-11)


@given(small=st.integers(15, 45), ratio=st.floats(1.0, 7.0), centre=st.floats(25.0, 80.0))
def test_both_routes_to_the_centre_distance_agree_at_usual_proportions(small, ratio, centre):
    """Circles of circumference z p and pitch polygons differ by less than a hundredth of a pitch."""
    wheels = {"teeth_small": small, "teeth_large": min(120, round(small * ratio))}
    assume(0.5 / sin(pi / wheels["teeth_large"]) + 0.5 / sin(pi / small) < 0.8 * centre)
    pitches = round(pitches_exact(centre_distance_pitches=centre, **wheels))
    by_factor = centre_distance_by_factor_mm(pitch_mm=1.0, pitch_count=pitches, **wheels)
    assert abs(by_factor - centre_distance_exact(pitch_count=pitches, **wheels)) < 0.01


@given(pitch=st.floats(0.1, 5.0), teeth=st.integers(6, 200), speed=st.floats(0.1, 1e4), power=st.floats(1e-3, 1e4))
def test_inch_and_metric_forms_are_one_relation(pitch, teeth, speed, power):
    feet = chain_speed_ft_min(pitch_in=pitch, teeth=teeth, speed_rpm=speed)
    metres = chain_speed_m_s(pitch_mm=pitch * MM_PER_INCH, teeth=teeth, speed_rpm=speed)
    assert isclose(feet * M_S_PER_FT_MIN, metres, rel_tol=1e-12)
    pull = effective_pull_lbf(power_hp=power, chain_speed_ft_min=feet)
    assert isclose(
        pull * N_PER_LBF, effective_pull_n(power_kw=power * KW_PER_HP, chain_speed_m_s=metres), rel_tol=1e-12
    )


@given(small=st.floats(1.0, 500.0), large=st.floats(1.0, 2000.0), gap=st.floats(1.0, 5000.0))
def test_the_wraps_of_two_wheels_make_one_turn(small, large, gap):
    small, large = min(small, large), max(small, large)
    wheels = {
        "pitch_diameter_small_mm": small,
        "pitch_diameter_large_mm": large,
        "centre_distance_mm": (small + large) / 2 + gap,
    }
    first, second = wrap_small_rad(**wheels), wrap_large_rad(**wheels)
    assert isclose(first + second, 2 * pi, rel_tol=1e-12)
    assert 0 < first <= pi <= second
    assert isclose(teeth_engaged(wrap_rad=first, teeth=20) + teeth_engaged(wrap_rad=second, teeth=20), 20)


@given(small=st.integers(9, 60), large=st.integers(9, 120), centre=st.floats(30.0, 100.0))
def test_engaged_teeth_and_free_spans_make_up_the_chain(small, large, centre):
    """Teeth in mesh at both wheels and two tangents, counted apart, are the exact chain length."""
    small, large = min(small, large), max(small, large)
    diameters = [1 / sin(pi / small), 1 / sin(pi / large)]
    wheels = {
        "pitch_diameter_small_mm": diameters[0],
        "pitch_diameter_large_mm": diameters[1],
        "centre_distance_mm": centre,
    }
    assume(centre > sum(diameters) / 2)
    tangent = (centre**2 - ((diameters[1] - diameters[0]) / 2) ** 2) ** 0.5
    in_mesh = teeth_engaged(wrap_rad=wrap_small_rad(**wheels), teeth=small) + teeth_engaged(
        wrap_rad=wrap_large_rad(**wheels), teeth=large
    )
    length = pitches_exact(centre_distance_pitches=centre, teeth_small=small, teeth_large=large)
    assert isclose(in_mesh + 2 * tangent, length, rel_tol=1e-12)


@given(span=st.floats(10.0, 1e4), fraction=st.floats(0.0, 0.0999))
def test_sag_is_the_inverse_of_the_excess_length(span, fraction):
    excess = excess_length_mm(span_mm=span, sag_mm=span * fraction)
    assert isclose(sag_of_excess_mm(span_mm=span, excess_length_mm=excess), span * fraction, abs_tol=1e-9)


@given(teeth=st.integers(11, 60), centre=st.floats(20.0, 80.0), fraction=st.floats(0.005, 0.04))
def test_shortened_centres_free_the_length_of_the_sag(teeth, centre, fraction):
    """On equal wheels the chain let out by the shorter centres is what the sagging strand takes."""
    span, sag = centre * 12.7, centre * 12.7 * fraction
    shorter = centre_distance_shortening_mm(span_mm=span, sag_mm=sag) / 12.7

    def length(centres):
        return pitches_exact(centre_distance_pitches=centres, teeth_small=teeth, teeth_large=teeth)

    freed = (length(centre) - length(centre - shorter)) * 12.7
    assert isclose(freed, excess_length_mm(span_mm=span, sag_mm=sag), rel_tol=1e-6)


@given(teeth=st.integers(-5, 60), pitch=st.floats(-1.0, 5.0), speed=st.floats(-10.0, 1e6))
def test_a_rating_is_a_positive_figure_or_a_refusal(teeth, pitch, speed):
    inside = 11 <= teeth <= 45 and 0.5 <= pitch <= 3.0 and 1.0 <= speed <= 10_000.0
    place = {"chain_class": "roller", "pitch_in": pitch, "teeth": teeth, "speed_rpm": speed}
    if inside:
        assert 0 < strand_rating_older(**place).power_hp < float("inf")
    else:
        with pytest.raises(OutOfRange):
            strand_rating_older(**place)
