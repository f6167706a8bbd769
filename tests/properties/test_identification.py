"""Identification held by simulation: worn pieces of every family, measured as a technician measures them."""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest

from service.calculations.identification import Identification, Measured, Sample, identify
from service.calculations.identification_index import QUANTITIES, Dimension, IdentificationIndex, Kind
from service.reference.catalogue import load_reference

if TYPE_CHECKING:
    from service.reference.chains import ChainSize

REFERENCE = load_reference()
INDEX = IdentificationIndex(REFERENCE)
SAMPLES = 2000
CALLIPER_MM, TAPE_MM, PITCHES = 0.1, 0.5, 10
WEARING = {"roller_diameter": 0.7, "pin_diameter": 1.0, "wire_diameter": 1.0}
"""How fast a part loses diameter beside the elongation of the chain, in shares of it."""


@dataclass(frozen=True)
class Piece:
    """A worn piece whose size is known."""

    size: ChainSize
    sample: Sample


def kind_of(size: ChainSize) -> Kind:
    return next(kind for kind in INDEX.kinds if size in kind.sizes)


def made(rng: random.Random, printed: float, side: str) -> float:
    """An actual new dimension: within 1.2 % inside a limit, or scattered about a nominal figure."""
    if side == "max":
        return printed * (1 - rng.uniform(0, 0.012))
    return printed * (1 + (rng.uniform(0, 0.012) if side == "min" else rng.gauss(0, 0.003)))


def piece(rng: random.Random, *, looks_known: bool) -> Piece:
    size = rng.choice(REFERENCE.chains.sizes)
    wear = rng.uniform(0, 0.03)
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
        values[dimension] = Measured(actual + rng.gauss(0, uncertainty / 2), uncertainty)
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
    return [candidate.kind for candidate in found.not_separable or found.candidates[:1]]


@pytest.fixture(scope="module", params=[True, False], ids=["looks known", "dimensions only"])
def simulated(request):
    rng = random.Random(17)  # noqa: S311 a simulation
    pieces = [piece(rng, looks_known=request.param) for _ in range(SAMPLES)]
    return request.param, [(one.size, declared(identify(INDEX, one.sample))) for one in pieces]


def test_the_true_size_is_named_or_stands_among_those_not_told_apart(simulated):
    _, found = simulated
    right = sum(any(size in kind.sizes for kind in kinds) for size, kinds in found)
    assert right >= 0.97 * SAMPLES


def printed_alike(kinds: list[Kind]) -> int:
    """Sizes whose printed dimensions differ; those that differ in heat treatment only cannot be measured apart."""
    return len({tuple(sorted((name, bands[0].figure.value) for name, bands in kind.bands.items())) for kind in kinds})


def test_few_sizes_are_left_open(simulated):
    """Of detachable and cast chain little but the pitch is printed, so without its looks more sizes stay open."""
    looks_known, found = simulated
    few = sum(printed_alike(kinds) <= 3 for _, kinds in found)
    assert few >= (0.95 if looks_known else 0.80) * SAMPLES


def test_a_wrong_size_is_never_named_alone(simulated):
    _, found = simulated
    false = [(size.designation, kinds[0].size.designation) for size, kinds in found
             if len(kinds) == 1 and size not in kinds[0].sizes]  # fmt: skip
    assert len(false) <= 0.01 * SAMPLES, false


def test_printed_dimensions_of_every_size_fit_it_as_new():
    for kind in INDEX.kinds:
        values = {dimension: Measured(bands[0].figure.value, CALLIPER_MM) for dimension, bands in kind.bands.items()}
        sample = Sample(values=values, counts=dict(kind.counts), condition="new", edges=kind.edges)
        assert kind in declared(identify(INDEX, sample)), kind.size.designation


@pytest.mark.parametrize("factor", [2.0, 5.0])
def test_a_coarser_measurement_never_rules_more_sizes_out(factor):
    rng = random.Random(5)  # noqa: S311 a simulation
    for _ in range(200):
        one = piece(rng, looks_known=True).sample
        coarse = {name: Measured(value.value_mm, factor * value.uncertainty_mm) for name, value in one.values.items()}
        fine_fits = {id(c.kind) for c in identify(INDEX, one).candidates if c.fits}
        loose = identify(INDEX, Sample(**{**_fields(one), "values": coarse}))
        assert len(fine_fits) <= len([c for c in loose.candidates if c.fits]) or len(loose.candidates) == 10


def _fields(sample: Sample) -> dict:
    return {name: getattr(sample, name) for name in sample.__slots__}
