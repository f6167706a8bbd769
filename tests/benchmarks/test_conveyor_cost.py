"""Cost of sizing a conveyor against every chain of the tables, on one core."""

from __future__ import annotations

from time import perf_counter

from service.calculations.conveyor_input import (
    ChainSet,
    ConveyorSizingInput,
    Drive,
    HeadWheel,
    Load,
    Named,
    Rules,
    Run,
)
from service.calculations.conveyor_sizing import size_conveyor
from service.calculations.conveyor_stock import ConveyorStock
from service.reference.catalogue import load_reference

STOCK = ConveyorStock(load_reference())
SLOPES = (0.0, 10.0, -10.0, 25.0, -25.0)


def conveyor(run_count: int) -> ConveyorSizingInput:
    """Runs up and down, the second half loaded, with a start, for every family."""
    runs = [
        Run(length_m=3.0 + index % 5, incline_deg=SLOPES[index % 5], loaded=2 * index >= run_count)
        for index in range(run_count)
    ]
    return ConveyorSizingInput(
        path=tuple(Named(name=f"run {index}", part=run) for index, run in enumerate(runs)),
        load=Load(carried="on_chain", load_per_length_kg_m=20.0),
        chains=ChainSet(chain_lines=2, friction=0.2, mass_where_unknown_kg_m=8.0),
        chain_speed_m_s=0.3,
        head_wheel=HeadWheel(teeth=12),
        drive=Drive(motor_power_kw=11.0, stall_torque_ratio=2.5, starting_friction_ratio=1.3, start_time_s=2.0),
        rules=Rules(peak_fraction=0.5),
    )


def least_seconds(run_count: int, rounds: int = 25) -> float:
    given = conveyor(run_count)
    taken = []
    for _ in range(rounds):
        started = perf_counter()
        size_conveyor(given, STOCK)
        taken.append(perf_counter() - started)
    return min(taken)


def test_fifty_runs_are_sized_against_all_families_within_five_milliseconds() -> None:
    assert least_seconds(50) < 0.005


def test_cost_grows_in_proportion_to_the_runs() -> None:
    few, many = least_seconds(100), least_seconds(400)
    assert many < 5.0 * few
