"""Tensions by chain mass: envelopes against all their lines, and against the path walked at many masses."""

from __future__ import annotations

from itertools import pairwise
from math import inf, isinf, radians

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core.conveyor_mass import (
    Line,
    StartRule,
    greatest_mass,
    tension_at_mass,
    tension_envelopes,
    upper_envelope,
)
from service.core.conveyor_pull import Lump, Run, Turn, least_start_tension, tensions_along_path
from service.core.errors import NoSolution, OutOfRange

numbers = st.floats(-1e3, 1e3).map(lambda x: round(x, 3))
line_lists = st.lists(st.builds(Line, numbers, numbers), min_size=1, max_size=30)
masses = st.floats(0.0, 1e4)


@given(lines=line_lists, mass=masses)
def test_envelope_is_the_greatest_of_all_lines(lines, mass):
    envelope = upper_envelope(lines=lines)
    whole = max(slope * mass + offset for slope, offset in lines)
    assert tension_at_mass(envelope=envelope, chain_mass_kg_m=mass) == pytest.approx(whole, rel=1e-12, abs=1e-9)


@given(lines=line_lists)
def test_every_line_of_an_envelope_counts_somewhere_and_slopes_rise(lines):
    envelope = upper_envelope(lines=lines)
    slopes = [line.slope for line in envelope]
    assert slopes == sorted(set(slopes))
    offsets = [line.offset for line in envelope]
    assert offsets == sorted(offsets, reverse=True)


@given(lines=line_lists, limit=numbers)
def test_greatest_mass_meets_the_limit_and_more_passes_it(lines, limit):
    envelope = upper_envelope(lines=lines)
    try:
        mass = greatest_mass(envelope=envelope, limit_n=limit)
    except NoSolution:
        # A convex function that is above the limit at its corners is above it everywhere.
        corners = [0.0] + [(a.offset - b.offset) / (b.slope - a.slope) for a, b in pairwise(envelope)]
        assert min(tension_at_mass(envelope=envelope, chain_mass_kg_m=at) for at in corners) > limit - 1e-6
        return
    if isinf(mass):
        assert envelope[-1].slope <= 0
        return
    assert tension_at_mass(envelope=envelope, chain_mass_kg_m=mass) == pytest.approx(limit, rel=1e-9, abs=1e-6)
    assert tension_at_mass(envelope=envelope, chain_mass_kg_m=mass * 1.001 + 1.0) > limit


def test_a_level_line_above_the_limit_leaves_no_mass():
    with pytest.raises(NoSolution) as refused:
        greatest_mass(envelope=(Line(0.0, 10.0), Line(1.0, 0.0)), limit_n=9.0)
    assert refused.value.issues[0].code == "tension_above_limit"


@pytest.mark.parametrize("mass", [-1e-9, inf, float("nan")])
def test_a_mass_is_finite_and_not_negative(mass):
    with pytest.raises(OutOfRange):
        tension_at_mass(envelope=(Line(1.0, 0.0),), chain_mass_kg_m=mass)


runs = st.builds(
    lambda length, angle, load, friction, walls: ("run", length, radians(angle), load, friction, walls),
    st.floats(0.1, 60.0),
    st.floats(-90.0, 90.0),
    st.sampled_from([0.0, 15.0, 60.0]),
    st.sampled_from([0.0, 0.12, 0.33]),
    st.sampled_from([0.0, 40.0]),
)
turns = st.builds(lambda ratio: ("turn", ratio), st.floats(1.0, 1.3))
lumps = st.builds(lambda force: ("lump", force), st.floats(0.0, 500.0))
paths = st.lists(st.one_of(runs, turns, lumps), min_size=1, max_size=12)


def sections(path, chain, *, attached=5.0, alone=False):
    made = []
    for kind, *what in path:
        if kind == "run":
            length, angle, load, friction, walls = what
            made.append(
                Run(
                    length_m=length,
                    angle_rad=angle,
                    moving_mass_kg_m=chain if alone else chain + attached,
                    load_mass_kg_m=0.0 if alone else load,
                    chain_friction=friction,
                    load_friction=friction,
                    wall_resistance_n_m=0.0 if alone else walls,
                )
            )
        elif kind == "turn":
            made.append(Turn(tension_ratio=what[0]))
        else:
            made.append(Lump(force_n=0.0 if alone else what[0]))
    return made


@given(path=paths, mass=st.floats(0.0, 200.0), least=st.sampled_from([0.0, 300.0]), slack=st.sampled_from([0.0, 900.0]))
def test_envelopes_are_the_path_walked_with_that_chain(path, mass, least, slack):
    rule = StartRule(least_tension_n=least, slack_tension_n=slack)
    found = tension_envelopes(bare=sections(path, 0.0), chain_alone=sections(path, 1.0, alone=True), start=rule)
    whole = sections(path, mass)
    start = max(slack, least_start_tension(least_tension_n=least, sections=whole))
    walked = tensions_along_path(start_tension_n=start, sections=whole)
    near = {"rel": 1e-9, "abs": 1e-6}
    assert tension_at_mass(envelope=found.start, chain_mass_kg_m=mass) == pytest.approx(start, **near)
    assert tension_at_mass(envelope=found.greatest, chain_mass_kg_m=mass) == pytest.approx(walked.greatest_n, **near)
    pull = tension_at_mass(envelope=found.effective_pull, chain_mass_kg_m=mass)
    assert pull == pytest.approx(walked.effective_pull_n, **near)
    assert found.least_negated == ()


@given(path=paths, mass=st.floats(0.0, 200.0), place=st.integers(0, 12), held=st.floats(0.0, 1e5))
def test_with_a_take_up_the_tension_at_its_point_is_held(path, mass, place, held):
    point = min(place, len(path))
    rule = StartRule(least_tension_n=0.0, slack_tension_n=0.0, take_up_tension_n=held, take_up_point=point)
    found = tension_envelopes(bare=sections(path, 0.0), chain_alone=sections(path, 1.0, alone=True), start=rule)
    start = tension_at_mass(envelope=found.start, chain_mass_kg_m=mass)
    least = -tension_at_mass(envelope=found.least_negated, chain_mass_kg_m=mass)
    tension, lowest = start, start
    for section in sections(path, mass):
        alone = tensions_along_path(start_tension_n=0.0, sections=[section])
        tension = tension * section.tension_ratio if isinstance(section, Turn) else tension + alone.effective_pull_n
        lowest = min(lowest, tension)
    walked = [start]
    for section in sections(path, mass)[:point]:
        alone = tensions_along_path(start_tension_n=0.0, sections=[section])
        step = walked[-1] * section.tension_ratio if isinstance(section, Turn) else walked[-1] + alone.effective_pull_n
        walked.append(step)
    scale = 1e-9 * (abs(start) + abs(held) + 1e6)
    assert walked[-1] == pytest.approx(held, abs=scale)
    assert least == pytest.approx(lowest, abs=scale)


def test_a_take_up_off_the_path_is_refused():
    rule = StartRule(least_tension_n=0.0, slack_tension_n=0.0, take_up_tension_n=10.0, take_up_point=2)
    with pytest.raises(OutOfRange) as refused:
        tension_envelopes(bare=[Lump(force_n=1.0)], chain_alone=[Lump(force_n=0.0)], start=rule)
    assert refused.value.issues[0].code == "point_not_on_path"
