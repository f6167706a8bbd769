"""Identification held by simulation: worn pieces of every family, measured as a technician measures them."""

from __future__ import annotations

import random
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

import pytest

from service.calculations.identification import Identification, identify
from service.calculations.identification_index import QUANTITIES, Dimension, IdentificationIndex, Kind
from service.calculations.identification_ranking import Measured, Sample, rank
from service.reference.catalogue import load_reference
from service.reference.records import replace

if TYPE_CHECKING:
    from collections.abc import Callable

    from service.reference.chains import ChainSize

REFERENCE = load_reference()
INDEX = IdentificationIndex(REFERENCE)
SAMPLES = 2000
SEEDS = (17, 1, 2)
CALLIPER_MM, TAPE_MM, PITCHES = 0.1, 0.5, 10
WEARING = {"roller_diameter": 0.7, "pin_diameter": 1.0, "wire_diameter": 1.0}
"""How fast a part loses diameter beside the elongation of the chain, in shares of it."""


@dataclass(frozen=True)
class Piece:
    """A worn piece whose size is known."""

    size: ChainSize
    sample: Sample


def kind_of(size: ChainSize) -> Kind:
    return next(kind for kind in INDEX.kinds if kind.holds(size))


def made(rng: random.Random, printed: float, side: str) -> float:
    """An actual new dimension: within 1.2 % inside a limit, or scattered about a nominal figure."""
    if side == "max":
        return printed * (1 - rng.uniform(0, 0.012))
    return printed * (1 + (rng.uniform(0, 0.012) if side == "min" else rng.gauss(0, 0.003)))


def piece(rng: random.Random, *, looks_known: bool) -> Piece:
    size = rng.choice(REFERENCE.chains.sizes)
    wear = rng.uniform(0, 0.04)
    values: dict[Dimension, Measured] = {}
    for dimension, quantities in QUANTITIES.items():
        figure = next((found for name in quantities if (found := size.find(name)) is not None), None)
        if figure is None:
            continue
        if dimension == "pitch":
            uncertainty = TAPE_MM / PITCHES
            actual = figure.value * (1 + wear + rng.uniform(-0.0005, 0.001))
        else:
            uncertainty = CALLIPER_MM
            lost = rng.uniform(0, wear * WEARING.get(dimension, 0.0))
            actual = made(rng, figure.value, figure.side) * (1 - lost)
        values[dimension] = Measured(actual + rng.gauss(0, uncertainty), uncertainty)
    kind = kind_of(size)
    return Piece(
        size,
        Sample(
            values=values,
            counts=dict(kind.counts),
            condition="worn",
            families=frozenset({size.row.family}) if looks_known else frozenset(),
            edges=kind.edges,
            guide=min(kind.guides, default=None),
            made_by=min(kind.made_by, default=None) if looks_known else None,
        ),
    )


def declared(found: Identification) -> list[Kind]:
    """The size that is named, or all between which it stands."""
    if found.outcome == "no_match":
        return []
    return list(found.not_separable) or [found.candidates[0].kind]


@dataclass(frozen=True)
class Trial:
    """What was found of the simulated pieces of one seed."""

    looks_known: bool
    found: list[tuple[Piece, list[Kind]]]

    def share(self, holds: Callable[[Piece, list[Kind]], bool], *, least: int = 1) -> float:
        """Share of the pieces on which at least so many dimensions were measured."""
        counted = [holds(one, kinds) for one, kinds in self.found if len(one.sample.values) >= least]
        return sum(counted) / len(counted)


@pytest.fixture(
    scope="module", params=[(seed, looks) for seed in SEEDS for looks in (True, False)],
    ids=lambda given: f"seed {given[0]}, {'looks known' if given[1] else 'dimensions only'}",
)  # fmt: skip
def trial(request):
    seed, looks_known = request.param
    rng = random.Random(seed)  # noqa: S311 a simulation
    pieces = [piece(rng, looks_known=looks_known) for _ in range(SAMPLES)]
    return Trial(looks_known, [(one, declared(identify(INDEX, one.sample))) for one in pieces])


def three_sizes_at_most(_: Piece, kinds: list[Kind]) -> bool:
    return len(kinds) <= 3


def three_chains_at_most(_: Piece, kinds: list[Kind]) -> bool:
    return sum(len(kind.chains) for kind in kinds) <= 3


def test_the_true_size_is_named_or_stands_among_those_not_told_apart(trial):
    assert trial.share(lambda one, kinds: any(kind.holds(one.size) for kind in kinds)) >= 0.97


def test_three_sizes_at_most_are_left_open(trial):
    """A size is one set of printed dimensions: chains that share it cannot be told apart by measuring."""
    if trial.looks_known:
        assert trial.share(three_sizes_at_most) >= 0.95
    assert trial.share(three_sizes_at_most, least=2) >= 0.95


def test_three_chains_at_most_are_left_open_where_looks_and_two_dimensions_are_known(trial):
    """Every chain counted by itself, those of equal dimensions too; by dimensions alone fewer are told apart."""
    assert trial.share(three_chains_at_most, least=2) >= (0.95 if trial.looks_known else 0.92)


def test_a_pitch_alone_is_answered_with_more_sizes(trial):
    """Of detachable and much cast chain the pitch alone is printed: no measurement helps, only a look at the chain."""
    assert trial.share(three_sizes_at_most) >= (0.98 if trial.looks_known else 0.86)


def test_a_wrong_size_is_hardly_ever_named_alone(trial):
    assert trial.share(lambda one, kinds: len(kinds) == 1 and not kinds[0].holds(one.size)) <= 0.002


def test_three_measurements_of_a_fitter_leave_three_sizes_at_most():
    """Pitch and the next two of roller, width, pin and plates, the kind of chain known by its looks."""
    rng = random.Random(23)  # noqa: S311 a simulation
    few = found = tried = 0
    while tried < SAMPLES:
        one = piece(rng, looks_known=True)
        values = dict(list(one.sample.values.items())[:3])
        if len(values) < 2:
            continue
        kinds = declared(identify(INDEX, replace(one.sample, values=values)))
        tried += 1
        few += len(kinds) <= 3
        found += any(kind.holds(one.size) for kind in kinds)
    assert few >= 0.95 * SAMPLES
    assert found >= 0.97 * SAMPLES


def test_chains_of_equal_dimensions_are_of_one_family_and_share_every_printed_dimension():
    joined = [kind for kind in INDEX.kinds if len(kind.chains) > 1]
    assert any({"WR78", "WH78"} == {equals[0].designation for equals in kind.chains} for kind in joined)
    for kind in joined:
        sizes = [equals[0] for equals in kind.chains]
        assert len({size.row.family for size in sizes}) == 1
        for quantities in QUANTITIES.values():
            for quantity in quantities:
                printed = {None if (figure := size.find(quantity)) is None else figure.value for size in sizes}
                assert len(printed) == 1, (sizes[0].designation, quantity)


def test_no_chain_is_lost_or_named_twice():
    named = [size.designation for kind in INDEX.kinds for equals in kind.chains for size in equals]
    assert sorted(named) == sorted(size.designation for size in REFERENCE.chains.sizes)


def test_the_next_measurement_parts_as_many_pairs_as_any():
    """Against every pair of the sizes that remain, tried one by one."""
    rng = random.Random(31)  # noqa: S311 a simulation
    tried = 0
    while tried < 60:
        one = piece(rng, looks_known=rng.random() < 0.5)
        sample = replace(one.sample, values=dict(list(one.sample.values.items())[:2]))
        found = identify(INDEX, sample)
        advice = found.next_measurement
        if advice is None:
            continue
        tried += 1
        pairs = list(combinations(found.not_separable, 2))
        assert advice.pairs == len(pairs)
        parted = {
            dimension: sum(apart(left, right, dimension) for left, right in pairs)
            for dimension in QUANTITIES
            if dimension not in sample.values and (dimension != "transverse_pitch" or sample.strand_count > 1)
        }
        if advice.dimension is not None:
            assert advice.pairs_parted == parted[advice.dimension]
        if advice.look == "families":
            assert advice.pairs_parted == sum(left.family != right.family for left, right in pairs)
        assert advice.pairs_parted == max(advice.pairs_parted, *parted.values())


def apart(left: Kind, right: Kind, dimension: Dimension) -> bool:
    """Whether all plausible values of two sizes lie more than two callipers' errors apart."""
    ours, theirs = left.bands.get(dimension, ()), right.bands.get(dimension, ())
    if not ours or not theirs:
        return False
    low, high = min(band.worn_low for band in ours), max(band.worn_high for band in ours)
    others_low, others_high = min(band.worn_low for band in theirs), max(band.worn_high for band in theirs)
    return low > others_high + 2 * CALLIPER_MM or others_low > high + 2 * CALLIPER_MM


def test_printed_dimensions_of_every_size_fit_it_as_new():
    for kind in INDEX.kinds:
        values = {dimension: Measured(bands[0].figure.value, CALLIPER_MM) for dimension, bands in kind.bands.items()}
        sample = Sample(values=values, counts=dict(kind.counts), condition="new", edges=kind.edges)
        assert kind in declared(identify(INDEX, sample)), kind.size.designation


@pytest.mark.parametrize("factor", [2.0, 5.0])
def test_a_coarser_measurement_never_rules_more_sizes_out(factor):
    rng = random.Random(5)  # noqa: S311 a simulation
    for _ in range(200):
        fine = piece(rng, looks_known=True).sample
        values = {name: Measured(value.value_mm, factor * value.uncertainty_mm) for name, value in fine.values.items()}
        coarse = replace(fine, values=values)
        fitting = {scored.kind.size.designation for scored in rank(INDEX, fine).fitting}
        assert fitting <= {scored.kind.size.designation for scored in rank(INDEX, coarse).fitting}
