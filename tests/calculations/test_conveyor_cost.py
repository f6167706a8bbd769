"""The work of sizing a conveyor grows in proportion to its runs and to the chains, counted and not timed."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

import pytest

from service.calculations.conveyor_sizing import size_conveyor
from service.calculations.conveyor_stock import ConveyorStock
from service.reference.catalogue import load_reference
from service.reference.records import replace
from tests.benchmarks.conveyors import conveyor

if TYPE_CHECKING:
    from service.calculations.conveyor_input import ConveyorSizingInput


@pytest.fixture(scope="module")
def stock() -> ConveyorStock:
    return ConveyorStock(load_reference())


def calls(given: ConveyorSizingInput, stock: ConveyorStock) -> int:
    """Calls of Python functions that one sizing takes, the first of a process left out."""
    size_conveyor(given, stock)
    count = 0

    def counted(_frame: Any, event: str, _argument: Any) -> None:
        nonlocal count
        count += event == "call"

    sys.setprofile(counted)
    try:
        size_conveyor(given, stock)
    finally:
        sys.setprofile(None)
    return count


def test_work_grows_in_proportion_to_the_runs(stock: ConveyorStock) -> None:
    fifty, hundred, two_hundred = (calls(conveyor(runs), stock) for runs in (50, 100, 200))
    assert two_hundred - hundred == pytest.approx(2 * (hundred - fifty), rel=0.02)


def test_a_chain_costs_the_same_however_long_the_path_is(stock: ConveyorStock) -> None:
    """Half of the chains take away as much work from a path of 20 runs as from one of 200."""
    half = tuple(chain.size for chain in stock.chains[::2])
    spared = []
    for runs in (20, 200):
        given = conveyor(runs)
        fewer = replace(given, choice=replace(given.choice, chains=half))
        every = replace(given, choice=replace(given.choice, chains=tuple(chain.size for chain in stock.chains)))
        spared.append(calls(every, stock) - calls(fewer, stock))
    assert spared[0] > 0
    assert spared[1] == pytest.approx(spared[0], rel=0.25)
