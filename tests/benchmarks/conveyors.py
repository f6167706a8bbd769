"""Conveyors of many runs, sized against every chain of the tables."""

from __future__ import annotations

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
