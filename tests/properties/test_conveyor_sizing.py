"""Whole conveyor sizings against a numerical integration of the path written here, and the laws they obey."""

from __future__ import annotations

from math import cos, pi, radians, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.calculations.conveyor_input import (
    ChainSet,
    Choice,
    ConveyorSizingInput,
    Curve,
    Drive,
    HeadWheel,
    Load,
    Named,
    Resistance,
    Rules,
    Run,
    TakeUp,
    Wheel,
)
from service.calculations.conveyor_sizing import ConveyorSizingResult, size_conveyor
from service.calculations.conveyor_stock import ConveyorStock
from service.core.errors import EngineeringError, OutOfRange
from service.reference.catalogue import load_reference
from service.reference.chains import own_size
from service.reference.records import replace

G = 9.80665
STOCK = ConveyorStock(load_reference())
OWN = own_size("strong", {"pitch": 100.0, "minimum_tensile_strength": 1e15})


def conveyor(path, *, mass=12.0, load=30.0, carried="on_chain", friction=0.2, **more):
    """A conveyor of one strong chain, so that the chain never decides."""
    return ConveyorSizingInput(
        path=tuple(Named(name=f"p{index}", part=part) for index, part in enumerate(path)),
        load=Load(carried=carried, load_per_length_kg_m=load, friction=more.pop("load_friction", None)),
        chains=ChainSet(chain_lines=more.pop("chain_lines", 1), friction=friction, mass_kg_m=mass),
        chain_speed_m_s=0.4,
        head_wheel=HeadWheel(teeth=12),
        rules=more.pop("rules", Rules(static_factor=7.0)),
        choice=more.pop("choice", Choice(chains=(OWN,))),
        **more,
    )


def result(given_) -> ConveyorSizingResult:
    return size_conveyor(given_, STOCK).result


def profile(given_, state="full"):
    return next(one.path for one in result(given_).profile.states if one.state == state)


runs = st.builds(
    lambda length, incline, loaded: Run(length_m=length, incline_deg=incline, loaded=loaded),
    st.floats(0.5, 60.0),
    st.one_of(st.just(0.0), st.floats(-90.0, 90.0)),
    st.booleans(),
)
curves = st.builds(
    lambda angle, friction: Curve(angle_deg=angle, friction=friction), st.floats(0.0, 180.0), st.floats(0.0, 0.3)
)
wheels = st.builds(
    lambda shaft, friction, joint: Wheel(
        pitch_diameter_mm=500.0,
        wrap_deg=180.0,
        shaft_diameter_mm=shaft,
        bearing_friction=friction,
        pin_diameter_mm=20.0,
        joint_friction=joint,
    ),
    st.floats(20.0, 90.0),
    st.floats(0.0, 0.3),
    st.floats(0.0, 0.3),
)
lumps = st.builds(lambda force: Resistance(force_n=force), st.floats(1.0, 2000.0))
paths = st.builds(
    lambda first, rest: [first, *rest], runs, st.lists(st.one_of(runs, curves, wheels, lumps), max_size=10)
)


def integrated(path, start, *, mass, load, chain_friction, load_friction):
    """Tension after each part: the balance of forces on small pieces of chain, added up or carried round a bend."""
    tensions = [start]
    for part in path:
        tension = tensions[-1]
        if isinstance(part, Run):
            count = 64
            step, angle = part.length_m / count, radians(part.incline_deg or 0.0)
            on = load if part.loaded else 0.0
            for _ in range(count):
                weight_along = (mass + on) * G * sin(angle)
                rub = mass * G * cos(angle) * chain_friction + on * G * cos(angle) * load_friction
                tension += (weight_along + rub) * step
        elif isinstance(part, Curve):
            tension = round_curve(tension, radians(part.angle_deg), part.friction)
        elif isinstance(part, Wheel):
            tension = round_wheel(tension, part)
        else:
            tension += part.force_n
        tensions.append(tension)
    return tensions


def round_curve(tension, angle, friction):
    """dT/dangle = friction T by the classic fourth-order steps."""
    count = 400
    h = angle / count
    for _ in range(count):
        one = friction * tension
        two = friction * (tension + h / 2 * one)
        three = friction * (tension + h / 2 * two)
        four = friction * (tension + h * three)
        tension += h / 6 * (one + 2 * two + 2 * three + four)
    return tension


def round_wheel(tension, wheel):
    """Moments about the shaft: the outgoing strand overcomes joints and bearing, whose loads depend on it."""
    radius = wheel.pitch_diameter_mm / 2
    out = tension
    for _ in range(200):
        joints = wheel.joint_friction * wheel.pin_diameter_mm / 2 * (tension + out)
        bearing = wheel.bearing_friction * wheel.shaft_diameter_mm / 2 * (tension + out) * sin(pi / 2)
        out = tension + (joints + bearing) / radius
    return out


@settings(deadline=None)
@given(
    path=paths,
    mass=st.floats(0.5, 80.0),
    load=st.floats(0.0, 200.0),
    friction=st.floats(0.0, 0.5),
    dragged=st.one_of(st.none(), st.floats(0.0, 0.9)),
)
def test_random_paths_agree_with_numerical_integration(path, mass, load, friction, dragged):
    carried = "on_chain" if dragged is None else "in_trough"
    asked = conveyor(path, mass=mass, load=load, carried=carried, friction=friction, load_friction=dragged)
    rub = friction if dragged is None else dragged
    for state in result(asked).profile.states:
        if state.state not in {"full", "empty"}:
            continue
        on = load if state.state == "full" else 0.0
        walked = integrated(
            path, state.path.tensions_n[0], mass=mass, load=on, chain_friction=friction, load_friction=rub
        )
        scale = max(1.0, *(abs(tension) for tension in walked))
        assert list(state.path.tensions_n) == pytest.approx(walked, rel=1e-9, abs=1e-9 * scale)
        assert state.path.least_n >= -1e-9 * scale
        assert min(abs(tension) for tension in state.path.tensions_n) <= 1e-9 * scale  # no more than it must


@settings(deadline=None)
@given(path=paths, held=st.floats(100.0, 1e6), place=st.integers(0, 10))
def test_a_take_up_holds_its_tension_in_every_state(path, held, place):
    point = min(place, len(path) - 1)
    asked = conveyor(path, take_up=TakeUp(after=f"p{point}", force_n=held, strand_count=1))
    try:
        states = result(asked).profile.states
    except OutOfRange as refused:
        codes = {issue.code for issue in refused.issues}
        states = ()
    else:
        codes = {"take_up_too_weak"}
    assert codes == {"take_up_too_weak"}
    for state in states:
        scale = max(held, state.path.greatest_n)
        assert state.path.tensions_n[point + 1] == pytest.approx(held, abs=1e-9 * scale)


@settings(deadline=None)
@given(path=paths, factor=st.floats(0.1, 10.0))
def test_tensions_scale_with_all_masses_and_forces(path, factor):
    heavier = [replace(p, force_n=factor * p.force_n) if isinstance(p, Resistance) else p for p in path]
    once = profile(conveyor(path)).tensions_n
    scaled = profile(conveyor(heavier, mass=12.0 * factor, load=30.0 * factor)).tensions_n
    assert list(scaled) == pytest.approx([factor * tension for tension in once], rel=1e-9, abs=1e-6)


@settings(deadline=None)
@given(lines=st.integers(1, 6), shares=st.lists(st.floats(0.1, 1.0), min_size=6, max_size=6))
def test_chains_share_the_pull(lines, shares):
    total = sum(shares[:lines])
    told = tuple(share / total for share in shares[:lines])
    path = [Run(length_m=20.0), Run(length_m=20.0, loaded=True)]
    asked = conveyor(path, chain_lines=lines, mass=12.0 / lines)
    even = result(asked).chains[0].option
    uneven = result(replace(asked, chains=replace(asked.chains, shares=told))).chains[0].option
    assert even.greatest_tension_n == pytest.approx(profile(conveyor(path)).greatest_n, rel=1e-9)
    assert even.one_chain_tension_n == pytest.approx(even.greatest_tension_n * (1.2 / lines if lines > 1 else 1.0))
    assert uneven.one_chain_tension_n == pytest.approx(max(told) * even.greatest_tension_n, rel=1e-9)


@settings(deadline=None)
@given(path=st.lists(runs, min_size=1, max_size=8))
def test_reversing_an_unloaded_path_turns_rises_into_falls(path):
    """Without turns the pull there and back adds up to friction alone, twice."""
    empty = [replace(run, loaded=False) for run in path]
    back = [replace(run, incline_deg=-(run.incline_deg or 0.0)) for run in reversed(empty)]
    both = profile(conveyor(empty)).effective_pull_n + profile(conveyor(back)).effective_pull_n
    rub = sum(12.0 * G * 0.2 * cos(radians(run.incline_deg or 0.0)) * run.length_m for run in empty)
    assert both == pytest.approx(2 * rub, rel=1e-9, abs=1e-6)


@settings(deadline=None)
@given(incline=st.floats(0.0, 60.0), more=st.floats(0.5, 10.0), length=st.floats(1.0, 80.0))
def test_more_incline_needs_more_pull_up_to_the_angle_of_friction(incline, more, length):
    def pull(degrees):
        there = Run(length_m=length, incline_deg=degrees, loaded=True)
        return profile(conveyor([Run(length_m=length, incline_deg=-degrees), there])).effective_pull_n

    assert pull(incline + more) > pull(incline)


@settings(deadline=None)
@given(path=paths, ratio=st.floats(1.0, 2.0), seconds=st.floats(0.5, 20.0))
def test_a_start_needs_at_least_what_the_worst_running_state_needs(path, ratio, seconds):
    asked = conveyor(path, drive=Drive(starting_friction_ratio=ratio, start_time_s=seconds))
    states = {state.state: state.path for state in result(asked).profile.states}
    running = max(path.effective_pull_n for name, path in states.items() if name != "start")
    assert states["start"].effective_pull_n >= running - 1e-6 * abs(running) - 1e-6


@settings(deadline=None, max_examples=25)
@given(path=st.lists(runs, min_size=1, max_size=6))
def test_each_chain_is_judged_as_if_its_mass_had_been_sent(path):
    """The affine route over all chains against the sum of the path for one chain at a time."""
    found = size_conveyor(
        replace(conveyor(path, choice=Choice(limit=5)), chains=ChainSet(friction=0.2)), STOCK
    ).result.chains
    for ranked in found:
        option = ranked.option
        walked = profile(conveyor(path, mass=option.chain_mass_kg_m))
        states = [
            state.path
            for state in result(conveyor(path, mass=option.chain_mass_kg_m)).profile.states
            if state.state != "start"
        ]
        assert option.greatest_tension_n == pytest.approx(max(one.greatest_n for one in states), rel=1e-9, abs=1e-6)
        assert option.effective_pull_n >= walked.effective_pull_n - 1e-6
        assert all(limit.actual <= limit.allowed for limit in option.limits)


def test_refusals_are_engineering_errors():
    with pytest.raises(EngineeringError):
        result(conveyor([Run(length_m=1.0, incline_deg=91.0)]))
