"""Hanging chain against fifty digits, against integration along the curve, and slack both ways."""

from __future__ import annotations

from math import hypot, inf

import mpmath
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import minimize_scalar

from service.core import mid_span, slack
from service.core.catenary import (
    GREATEST_HALF_ANGLE,
    GREATEST_SAG_RATIO,
    EndTensions,
    HangingChain,
    end_tensions,
    hanging_chain,
    parabola_tension_error,
    parameter_from_excess,
    parameter_from_length_and_sag,
    parameter_from_sag,
    parameter_from_tension,
    span_from_length,
)
from service.core.errors import OutOfRange

SPANS = st.floats(10, 1e5)
SLOPES = st.one_of(st.just(0.0), st.floats(1e-6, 30))
RATIOS = st.floats(1e-6, 20)


def hang(span: float, rise: float, parameter: float) -> HangingChain:
    return hanging_chain(span_mm=span, rise_mm=rise, parameter_mm=parameter)


def pulls(span: float, rise: float, parameter: float, mass: float = 1.0) -> EndTensions:
    return end_tensions(span_mm=span, rise_mm=rise, parameter_mm=parameter, mass_per_length_kg_m=mass)


@pytest.mark.parametrize(
    ("span", "sag", "mass", "expected"),
    [
        # Closed form and quadrature of slope and arc, agreeing to all digits: parameter, H, T, s, E.
        (2000, 40, 6.5, (12506.6609866462, 797.214905270511, 799.764634270511, 2002.1317428498, 2.13174284980243)),
        (600, 100, 3.0, (465.773659348172, 13.7030377693403, 16.6450327693403, 642.354207177425, 42.3542071774245)),
        (4000, 80, 46.0, (25013.3219732924, 11283.6571207519, 11319.7455927519, 4004.2634856996, 4.26348569960486)),
    ],
)
def test_level_rows(span: float, sag: float, mass: float, expected: tuple[float, ...]) -> None:
    parameter = parameter_from_sag(span_mm=span, rise_mm=0, sag_mm=sag)
    found, tensions = hang(span, 0, parameter), pulls(span, 0, parameter, mass)
    assert (
        parameter,
        tensions.horizontal_n,
        tensions.upper_n,
        found.length_mm,
        found.excess_length_mm,
    ) == pytest.approx(expected, rel=1e-11)
    assert found.sag_mm == pytest.approx(sag, rel=1e-14)
    assert found.sag_at_mm == pytest.approx(span / 2)
    assert tensions.lower_n == tensions.upper_n


def test_row_of_uneven_supports() -> None:
    """A steep strand, 0.5 m by 2 m, 2.1 m long, 10 kg/m."""
    parameter = parameter_from_excess(span_mm=500, rise_mm=2000, excess_length_mm=2100 - hypot(500, 2000))
    found, tensions = hang(500, 2000, parameter), pulls(500, 2000, parameter, 10)
    assert found.length_mm == pytest.approx(2100, rel=1e-13)
    assert tensions.horizontal_n == pytest.approx(19.6427956730958, rel=1e-12)
    assert tensions.lower_n == pytest.approx(23.3950631583644, rel=1e-12)
    assert tensions.upper_n == pytest.approx(219.528063158364, rel=1e-12)
    assert found.lowest_at_mm == pytest.approx(-121.915676217612, rel=1e-12)
    assert found.sag_mm == pytest.approx(603.329469364834, rel=1e-12)


def fifty_digits(span: float, rise: float, excess: float) -> tuple[mpmath.mpf, ...]:
    """Parameter, sag and upper tension over weight, by the logarithm of the arc and heights above the directrix."""
    with mpmath.workdps(50):
        a, h = mpmath.mpf(span), mpmath.mpf(rise)
        s = mpmath.sqrt(a * a + h * h) + mpmath.mpf(excess)
        ratio = mpmath.log(mpmath.sqrt(s * s - h * h) / a)
        # log(sinh q / q) rises from zero and is near q^2/6 below and q - log(2 q) above: a bracket for any ratio.
        high = 2 + mpmath.sqrt(6 * ratio) + 3 * ratio
        q = mpmath.findroot(
            lambda q: mpmath.log(mpmath.sinh(q) / q) - ratio,
            (mpmath.sqrt(ratio), high),
            solver="anderson",
            maxsteps=500,
        )
        c = a / (2 * q)
        x0 = a / 2 - c * mpmath.atanh(h / s)
        steepest = x0 + c * mpmath.asinh(h / a)
        base = c * mpmath.cosh(-x0 / c)
        sag = h / a * steepest - (c * mpmath.cosh((steepest - x0) / c) - base)
        return c, sag, c * mpmath.cosh((a - x0) / c)


@given(SPANS, SLOPES, RATIOS)
def test_excess_gives_the_catenary_of_fifty_digits(span: float, slope: float, ratio: float) -> None:
    rise = slope * span
    excess = ratio * hypot(span, rise)
    parameter = parameter_from_excess(span_mm=span, rise_mm=rise, excess_length_mm=excess)
    found, tensions = hang(span, rise, parameter), pulls(span, rise, parameter)
    c, sag, upper = fifty_digits(span, rise, excess)
    assert parameter == pytest.approx(float(c), rel=1e-11)
    assert found.excess_length_mm == pytest.approx(excess, rel=1e-11)
    assert found.sag_mm == pytest.approx(float(sag), rel=1e-9)
    assert tensions.upper_n == pytest.approx(float(upper) * 9.80665e-3, rel=1e-9)


@given(SPANS, SLOPES, RATIOS)
def test_sag_and_excess_are_two_ways_to_one_chain(span: float, slope: float, ratio: float) -> None:
    rise = slope * span
    sag = ratio * span
    parameter = parameter_from_sag(span_mm=span, rise_mm=rise, sag_mm=sag)
    found = hang(span, rise, parameter)
    assert found.sag_mm == pytest.approx(sag, rel=1e-10)
    back = parameter_from_excess(span_mm=span, rise_mm=rise, excess_length_mm=found.excess_length_mm)
    assert back == pytest.approx(parameter, rel=1e-9)


@given(st.floats(100, 5000), st.floats(0, 3), st.floats(0.01, 3))
def test_length_sag_and_tension_agree_with_integration(span: float, slope: float, share: float) -> None:
    """The curve from its slope alone: y' = sinh((x - x0)/c), integrated numerically."""
    rise, parameter = slope * span, span / (2 * share)
    found, tensions = hang(span, rise, parameter), pulls(span, rise, parameter, mass=2.5)

    def gradient(x: float) -> float:
        return float(mpmath.sinh((x - found.lowest_at_mm) / parameter))

    # With full_output the integrator reports a lost last digit in its result and not as a warning; the asserts judge.
    height = quad(gradient, 0, span, epsabs=1e-10, epsrel=1e-12, full_output=1)[0]
    arc = quad(lambda x: hypot(1, gradient(x)), 0, span, epsabs=1e-10, epsrel=1e-12, full_output=1)[0]
    assert height == pytest.approx(rise, rel=1e-8, abs=1e-7 * span)
    assert arc == pytest.approx(found.length_mm, rel=1e-9)
    deepest = minimize_scalar(
        lambda x: quad(gradient, 0, x, full_output=1)[0] - slope * x,
        bounds=(0, span),
        method="bounded",
        options={"xatol": 1e-6},
    )
    assert -deepest.fun == pytest.approx(found.sag_mm, rel=1e-8)
    weight = 2.5 * 9.80665 / 1000
    assert tensions.upper_n - tensions.lower_n == pytest.approx(weight * rise, abs=1e-9 * weight * arc)
    # Vertical parts of the end tensions carry the weight.
    up = weight * parameter * gradient(span)
    down = weight * parameter * gradient(0)
    assert up - down == pytest.approx(weight * found.length_mm, rel=1e-9)


@given(SPANS, SLOPES, RATIOS, st.floats(1e-3, 1e3))
def test_shape_scales_and_tension_grows_with_size_and_mass(
    span: float, slope: float, ratio: float, factor: float
) -> None:
    rise = slope * span
    parameter = parameter_from_sag(span_mm=span, rise_mm=rise, sag_mm=ratio * span)
    large_at = (span * factor, rise * factor, parameter * factor)
    small, large = hang(span, rise, parameter), hang(*large_at)
    assert large.length_mm == pytest.approx(small.length_mm * factor, rel=1e-11)
    assert large.sag_mm == pytest.approx(small.sag_mm * factor, rel=1e-11)
    pull = pulls(span, rise, parameter).upper_n
    assert pulls(*large_at, mass=3).upper_n == pytest.approx(3 * pull * factor, rel=1e-11)


@given(st.floats(1, 1e6), st.floats(0.01, 1e3), st.floats(100, 1e4))
def test_tension_gives_the_chain_of_that_tension(tension: float, mass: float, span: float) -> None:
    parameter = parameter_from_tension(horizontal_tension_n=tension, mass_per_length_kg_m=mass)
    if span / (2 * parameter) <= GREATEST_HALF_ANGLE:
        assert pulls(span, 0, parameter, mass).horizontal_n == pytest.approx(tension, rel=1e-12)


@given(SPANS, RATIOS)
def test_length_and_sag_of_a_level_chain_give_back_its_span(span: float, ratio: float) -> None:
    found = hang(span, 0, parameter_from_sag(span_mm=span, rise_mm=0, sag_mm=ratio * span))
    if found.sag_mm / found.length_mm < 1e-4:
        return  # the span is then lost in the digits of the length
    parameter = parameter_from_length_and_sag(length_mm=found.length_mm, sag_mm=found.sag_mm)
    assert span_from_length(length_mm=found.length_mm, parameter_mm=parameter) == pytest.approx(span, rel=1e-6)


@given(SPANS, st.floats(0, 10))
def test_more_slack_hangs_deeper_with_less_pull(span: float, slope: float) -> None:
    rise = slope * span
    parameters = [
        parameter_from_excess(span_mm=span, rise_mm=rise, excess_length_mm=share * span)
        for share in (0.001, 0.01, 0.1, 1)
    ]
    sags = [hang(span, rise, parameter).sag_mm for parameter in parameters]
    assert sags == sorted(sags)
    assert parameters == sorted(parameters, reverse=True)


@pytest.mark.parametrize(
    ("call", "field", "code"),
    [
        (lambda: hang(0, 0, 1), "span_mm", "must_be_positive"),
        (lambda: hang(inf, 0, 1), "span_mm", "must_be_positive"),
        (lambda: hang(0.00099, 0, 1), "span_mm", "must_be_positive"),
        (lambda: hang(10, -1, 1), "rise_mm", "must_not_be_negative"),
        (lambda: hang(10, 0, 0), "parameter_mm", "must_be_positive"),
        (lambda: pulls(10, 0, 5, 0), "mass_per_length_kg_m", "must_be_positive"),
        (lambda: hang(10, 0, 10 / 601), "parameter_mm", "sag_excessive"),
        (lambda: hang(10, 0, 5.1e12), "parameter_mm", "number_out_of_range"),
        (lambda: parameter_from_sag(span_mm=10, rise_mm=0, sag_mm=0), "sag_mm", "must_be_positive"),
        (lambda: parameter_from_sag(span_mm=10, rise_mm=0, sag_mm=1000.1), "sag_mm", "sag_excessive"),
        (
            lambda: parameter_from_excess(span_mm=10, rise_mm=0, excess_length_mm=-1),
            "excess_length_mm",
            "must_be_positive",
        ),
        (lambda: parameter_from_length_and_sag(length_mm=20, sag_mm=10), "sag_mm", "sag_excessive"),
        (
            lambda: parameter_from_tension(horizontal_tension_n=0, mass_per_length_kg_m=1),
            "horizontal_tension_n",
            "must_be_positive",
        ),
    ],
)
def test_refusals(call: object, field: str, code: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        call()  # type: ignore[operator]
    assert [(issue.field, issue.code) for issue in refused.value.issues] == [(field, code)]


def test_limits_themselves_are_allowed() -> None:
    assert hang(10, 0, 5e12).sag_mm == pytest.approx(10 * 1e-12 / 4)
    assert hang(0.001, 2000, 1).length_mm == pytest.approx(2000)
    assert hang(10, 0, 10 / (2 * GREATEST_HALF_ANGLE)).length_mm > 0
    parameter = parameter_from_sag(span_mm=10, rise_mm=0, sag_mm=GREATEST_SAG_RATIO * 10)
    assert hang(10, 0, parameter).sag_mm == pytest.approx(1000)
    assert parameter_from_length_and_sag(length_mm=20.001, sag_mm=10) > 0


def test_the_parabola_is_what_small_sag_comes_to() -> None:
    for sag, tension_percent, excess_percent in ((20, 0.0533, 0.075), (100, 1.29, 1.84)):
        parameter = parameter_from_sag(span_mm=1000, rise_mm=0, sag_mm=sag)
        exact = hang(1000, 0, parameter)
        pull = pulls(1000, 0, parameter).horizontal_n
        short = slack.sag_tension_n(span_m=1, sag_m=sag / 1000, mass_per_length_kg_m=1) / pull - 1
        assert short * 100 == pytest.approx(-tension_percent, abs=0.005)
        assert parabola_tension_error(span_mm=1000, parameter_mm=parameter) == pytest.approx(100 * short, rel=1e-9)
        over = slack.excess_length_mm(span_mm=1000, sag_mm=sag) / exact.excess_length_mm - 1
        assert over * 100 == pytest.approx(excess_percent, abs=0.01)


def test_the_error_of_the_parabola_is_four_thirds_of_the_square_of_the_sag_ratio() -> None:
    for ratio in (0.001, 0.005, 0.01, 0.02):
        parameter = parameter_from_sag(span_mm=1000, rise_mm=0, sag_mm=1000 * ratio)
        error = parabola_tension_error(span_mm=1000, parameter_mm=parameter)
        assert error == pytest.approx(-100 * 4 / 3 * ratio**2, rel=3 * ratio)


@given(st.floats(1, 1e5), st.floats(1e-6, 0.3))
def test_movement_and_excess_are_inverses(span: float, share: float) -> None:
    movement = mid_span.movement_from_excess(span_mm=span, excess_length_mm=share * span)
    back = mid_span.excess_from_movement(span_mm=span, movement_mm=movement)
    assert back == pytest.approx(share * span, rel=1e-9)


@pytest.mark.parametrize("sag", [0.1, 1, 5])
def test_pushed_from_side_to_side_a_strand_moves_four_over_root_three_times_its_sag(sag: float) -> None:
    parameter = parameter_from_sag(span_mm=1000, rise_mm=0, sag_mm=sag)
    excess = hang(1000, 0, parameter).excess_length_mm
    movement = mid_span.movement_from_excess(span_mm=1000, excess_length_mm=excess)
    assert movement / sag == pytest.approx(4 / 3**0.5, rel=1e-4)


@pytest.mark.parametrize("value", [0, -1, inf])
def test_movement_needs_figures_above_zero(value: float) -> None:
    for span, slack_mm in ((value, 1), (1, value)):
        with pytest.raises(OutOfRange):
            mid_span.movement_from_excess(span_mm=span, excess_length_mm=slack_mm)
        with pytest.raises(OutOfRange):
            mid_span.excess_from_movement(span_mm=span, movement_mm=slack_mm)
