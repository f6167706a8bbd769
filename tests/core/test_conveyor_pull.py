"""Conveyor tensions against an independent integration, closed forms of print, and what physics demands."""

from __future__ import annotations

from math import atan2, cos, exp, hypot, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core.conveyor_friction import curve_ratio, dragged_pull
from service.core.conveyor_pull import (
    Lump,
    Run,
    Section,
    Turn,
    gravity_take_up_tension,
    inclined_carried,
    least_start_tension,
    run_tension_change,
    start_tension_for_take_up,
    tensions_along_path,
)
from service.core.errors import OutOfRange

G = 9.80665


def run(
    length: float,
    angle: float,
    *,
    moving: float = 15.0,
    load: float = 0.0,
    chain_friction: float = 0.2,
    load_friction: float = 0.2,
    walls: float = 0.0,
) -> Run:
    return Run(
        length_m=length,
        angle_rad=angle,
        moving_mass_kg_m=moving,
        load_mass_kg_m=load,
        chain_friction=chain_friction,
        load_friction=load_friction,
        wall_resistance_n_m=walls,
    )


def integrated(start: float, sections: list[Section], curves: dict[int, tuple[float, float]]) -> list[float]:
    """Tension by classical Runge-Kutta along the path, element by element, curves as dT/db = mu T."""
    tensions = [start]
    tension = start
    for index, section in enumerate(sections):
        if isinstance(section, Lump):
            tension += section.force_n
        elif isinstance(section, Turn):
            friction, wrap = curves[index]
            tension = _runge_kutta(tension, wrap, lambda _, t, f=friction: f * t)
        else:
            tension = _runge_kutta(tension, section.length_m, lambda _, __, s=section: _resistance(s))
        tensions.append(tension)
    return tensions


def _resistance(section: Run) -> float:
    """Force on one metre: components of the weights along and across the track, taken from its two projections."""
    horizontal, vertical = cos(section.angle_rad), sin(section.angle_rad)
    chain = G * section.moving_mass_kg_m * (vertical + section.chain_friction * horizontal)
    load = G * section.load_mass_kg_m * (vertical + section.load_friction * horizontal)
    return chain + load + section.wall_resistance_n_m


def _runge_kutta(value: float, length: float, slope, steps: int = 400) -> float:
    h = length / steps
    for step in range(steps):
        x = step * h
        k1 = slope(x, value)
        k2 = slope(x + h / 2, value + h * k1 / 2)
        k3 = slope(x + h / 2, value + h * k2 / 2)
        k4 = slope(x + h, value + h * k3)
        value += h * (k1 + 2 * k2 + 2 * k3 + k4) / 6
    return value


def test_path_agrees_with_a_numerical_integration() -> None:
    curve = curve_ratio(friction=0.25, wrap_rad=0.6)
    wheel = curve_ratio(friction=0.02, wrap_rad=pi)
    sections: list[Section] = [
        run(18.0, -0.35, chain_friction=0.12),
        run(12.0, 0.0, chain_friction=0.12),
        Turn(tension_ratio=wheel),
        Lump(force_n=430.0),
        run(12.0, 0.0, load=42.0, chain_friction=0.12, load_friction=0.55, walls=61.0),
        Turn(tension_ratio=curve),
        run(18.0, 0.35, load=42.0, chain_friction=0.12, load_friction=0.55, walls=61.0),
    ]
    ours = tensions_along_path(start_tension_n=1500.0, sections=sections)
    theirs = integrated(1500.0, sections, {2: (0.02, pi), 5: (0.25, 0.6)})
    assert ours.tensions_n == pytest.approx(theirs, rel=1e-9)
    assert ours.effective_pull_n == pytest.approx(theirs[-1] - 1500.0, rel=1e-9)
    assert (ours.least_n, ours.greatest_n) == pytest.approx((min(theirs), max(theirs)), rel=1e-9)


@pytest.mark.parametrize(
    ("start", "sections", "expected"),
    [
        (300.0, [(20.0, 0, 0.0), 1.05, (20.0, 0, 50.0)], [300.0, 888.399, 932.81895, 3482.54795]),
        (
            800.0,
            [(12.0, 15, 0.0), 1.05, (12.0, -15, 40.0)],
            [800.0, 2159.37719242383, 2267.34605204502, 2690.54481365382],
        ),
    ],
)
def test_paths_computed_elsewhere(start: float, sections: list[tuple | float], expected: list[float]) -> None:
    moving, friction = (15.0, 0.2) if start == 300.0 else (20.0, 0.33)
    path: list[Section] = [
        Turn(tension_ratio=part)
        if isinstance(part, float)
        else run(
            part[0], part[1] * pi / 180, moving=moving, load=part[2], chain_friction=friction, load_friction=friction
        )
        for part in sections
    ]
    assert tensions_along_path(start_tension_n=start, sections=path).tensions_n == pytest.approx(expected, rel=1e-11)


@given(
    horizontal=st.floats(5, 200),
    rise=st.floats(0, 60),
    moving=st.floats(1, 200),
    load=st.floats(0, 300),
    friction=st.floats(0.05, 0.6),
)
def test_printed_carried_form_is_the_sum_of_two_runs(
    horizontal: float, rise: float, moving: float, load: float, friction: float
) -> None:
    length, angle = hypot(horizontal, rise), atan2(rise, horizontal)
    up = run(length, angle, moving=moving, load=load, chain_friction=friction, load_friction=friction)
    down = run(length, -angle, moving=moving, chain_friction=friction)
    start = least_start_tension(least_tension_n=0.0, sections=[down])
    path = tensions_along_path(start_tension_n=start, sections=[down, up])
    printed = inclined_carried(
        horizontal_m=horizontal, rise_m=rise, moving_mass_kg_m=moving, load_mass_kg_m=load, chain_friction=friction
    )
    assert path.greatest_n == pytest.approx(max(printed, start), rel=1e-9)


@given(
    horizontal=st.floats(5, 200),
    rise=st.floats(0, 60),
    moving=st.floats(1, 200),
    load=st.floats(0, 300),
    walls=st.floats(0, 50),
)
def test_printed_dragged_form_is_the_sum_of_two_runs(
    horizontal: float, rise: float, moving: float, load: float, walls: float
) -> None:
    length, angle = hypot(horizontal, rise), atan2(rise, horizontal)
    # The print takes the walls along the projection.
    up = run(length, angle, moving=moving, load=load, load_friction=0.6, walls=walls * G * cos(angle))
    down = run(length, -angle, moving=moving)
    start = least_start_tension(least_tension_n=0.0, sections=[down])
    pull = tensions_along_path(start_tension_n=start, sections=[down, up]).tensions_n[-1]
    printed = dragged_pull(
        horizontal_m=horizontal,
        rise_m=rise,
        moving_mass_kg_m=moving,
        load_mass_kg_m=load,
        chain_friction=0.2,
        load_friction=0.6,
        wall_load_kg_m=walls,
    )
    assert pull == pytest.approx(printed * G, rel=1e-9)


@given(
    lift=st.floats(2, 80),
    moving=st.floats(2, 80),
    load=st.floats(0, 120),
    digging=st.floats(0, 5000),
    boot=st.floats(0, 5000),
)
def test_a_vertical_elevator_hangs_on_its_head(
    lift: float, moving: float, load: float, digging: float, boot: float
) -> None:
    path: list[Section] = [
        run(lift, -pi / 2, moving=moving),
        Lump(force_n=digging),
        run(lift, pi / 2, moving=moving, load=load),
    ]
    start = least_start_tension(least_tension_n=boot, sections=path)
    found = tensions_along_path(start_tension_n=start, sections=path)
    assert start == pytest.approx(G * moving * lift + boot)
    assert found.greatest_n == pytest.approx(G * (moving + load) * lift + digging + boot)
    assert found.effective_pull_n == pytest.approx(G * load * lift + digging, abs=1e-6 * found.greatest_n)


masses = st.floats(0, 300)
frictions = st.floats(0, 0.8)
runs = st.builds(
    run,
    st.floats(0.5, 100),
    st.floats(-1.5, 1.5),
    moving=masses,
    load=masses,
    chain_friction=frictions,
    load_friction=frictions,
    walls=st.floats(0, 300),
)
paths = st.lists(
    st.one_of(
        runs,
        st.builds(Turn, tension_ratio=st.floats(1, 1.6)),
        st.builds(Lump, force_n=st.floats(-500, 3000)),
    ),
    min_size=1,
    max_size=8,
)


@given(sections=paths, least=st.floats(0, 5000))
def test_least_start_tension_is_the_least_that_does(sections: list[Section], least: float) -> None:
    start = least_start_tension(least_tension_n=least, sections=sections)
    path = tensions_along_path(start_tension_n=start, sections=sections)
    assert start >= least
    assert path.least_n == pytest.approx(least, abs=1e-6 * (1 + path.greatest_n))


@given(sections=paths, extra=st.floats(0, 5000), data=st.data())
def test_a_take_up_is_met_at_its_point(sections: list[Section], extra: float, data: st.DataObject) -> None:
    start = least_start_tension(least_tension_n=0.0, sections=sections) + extra
    tensions = tensions_along_path(start_tension_n=start, sections=sections).tensions_n
    point = data.draw(st.integers(0, len(sections)))
    held = max(tensions[point], 0.0)
    try:
        found = start_tension_for_take_up(take_up_tension_n=held, point=point, sections=sections)
    except OutOfRange:
        found = 0.0  # rounding just below zero
    assert found == pytest.approx(start, abs=1e-6 * (1 + max(tensions)))


@given(sections=paths, factor=st.floats(0.1, 10))
def test_masses_and_forces_scale_the_tensions(sections: list[Section], factor: float) -> None:
    def scaled(section: Section) -> Section:
        if isinstance(section, Turn):
            return section
        if isinstance(section, Lump):
            return Lump(force_n=section.force_n * factor)
        return run(
            section.length_m,
            section.angle_rad,
            moving=section.moving_mass_kg_m * factor,
            load=section.load_mass_kg_m * factor,
            chain_friction=section.chain_friction,
            load_friction=section.load_friction,
            walls=section.wall_resistance_n_m * factor,
        )

    one = tensions_along_path(start_tension_n=1000.0, sections=sections)
    other = tensions_along_path(start_tension_n=1000.0 * factor, sections=[scaled(part) for part in sections])
    expected = [tension * factor for tension in one.tensions_n]
    assert other.tensions_n == pytest.approx(expected, rel=1e-9, abs=1e-6)


def test_the_angle_may_be_vertical_and_no_more() -> None:
    values = {
        "length_m": 1.0,
        "moving_mass_kg_m": 1.0,
        "load_mass_kg_m": 0.0,
        "chain_friction": 0.2,
        "load_friction": 0.2,
        "wall_resistance_n_m": 0.0,
    }
    assert run_tension_change(angle_rad=pi / 2, **values) == pytest.approx(G)
    assert run_tension_change(angle_rad=-pi / 2, **values) == pytest.approx(-G)
    with pytest.raises(OutOfRange) as refused:
        run_tension_change(angle_rad=1.6, **values)
    assert refused.value.issues[0].code == "angle_out_of_range"


def test_a_take_up_too_weak_is_refused() -> None:
    sections: list[Section] = [run(20.0, 0.0)]
    needed = tensions_along_path(start_tension_n=0.0, sections=sections).tensions_n[1]
    assert start_tension_for_take_up(take_up_tension_n=needed, point=1, sections=sections) == 0.0
    with pytest.raises(OutOfRange) as refused:
        start_tension_for_take_up(take_up_tension_n=needed * 0.999, point=1, sections=sections)
    assert refused.value.issues[0].code == "take_up_too_weak"
    with pytest.raises(OutOfRange):
        start_tension_for_take_up(take_up_tension_n=needed, point=2, sections=sections)


def test_gravity_take_up_shares_its_weight() -> None:
    assert gravity_take_up_tension(take_up_mass_kg=120, strand_count=4) * 4 == pytest.approx(120 * G)


def test_curve_ratio_is_the_limit_of_many_small_curves() -> None:
    assert curve_ratio(friction=0.3, wrap_rad=1.2) == pytest.approx(exp(0.36))
    step = curve_ratio(friction=0.3, wrap_rad=1.2 / 50)
    assert step**50 == pytest.approx(curve_ratio(friction=0.3, wrap_rad=1.2))
