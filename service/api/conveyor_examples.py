"""Executed examples of `POST /v1/conveyor-sizings`; the plant is invented."""

from __future__ import annotations

from service.api.contract import Example

EXAMPLES = {
    "slat_conveyor": Example(
        "A slat conveyor of the invented Lindholm plant: 20 m level on two mill chains, loaded outward",
        {
            "path": [
                {"name": "tail side of the return", "run": {"length": {"value": 20, "unit": "m"}}},
                {"name": "tail wheel", "tension_ratio": 1.05},
                {"name": "carrying run", "run": {"length": {"value": 20, "unit": "m"}, "loaded": True}},
            ],
            "load": {
                "carried": "on_chain",
                "pieces": {"mass": {"value": 40, "unit": "kg"}, "spacing": {"value": 1, "unit": "m"}},
            },
            "chains": {"chain_lines": 2, "track": "sliding_lubricated", "running_direction": "narrow_end_forward"},
            "chain_speed": {"value": 0.3, "unit": "m/s"},
            "head_wheel": {"teeth": 12},
            "attached": {"mass": {"value": 6, "unit": "kg"}, "spacing": {"value": 304.8, "unit": "mm"}},
            "take_up": {"after": "tail side of the return", "force": {"value": 3, "unit": "kN"}},
            "drive": {
                "motor_power": {"value": 3, "unit": "kW"},
                "stall_torque_ratio": 2.5,
                "efficiency": 0.85,
                "starting_friction_ratio": 1.3,
                "start_time": {"value": 2, "unit": "s"},
            },
            "limiter": {"scatter": 0.1},
            "rules": {"load": "moderate_shock", "daily_hours": "10_to_24_h", "peak_fraction": 0.5},
            "limit": 2,
        },
    ),
    "bucket_elevator": Example(
        "A bucket elevator of 15 m for coal, in inch units, with one chain named",
        {
            "path": [
                {
                    "name": "down",
                    "run": {"length": {"value": 50, "unit": "ft"}, "incline": {"value": -90, "unit": "deg"}},
                },
                {"name": "boot", "boot": {"tail_pitch_diameter": {"value": 20, "unit": "in"}}},
                {
                    "name": "up",
                    "run": {
                        "length": {"value": 50, "unit": "ft"},
                        "incline": {"value": 90, "unit": "deg"},
                        "loaded": True,
                    },
                },
            ],
            "load": {
                "carried": "in_buckets",
                "throughput": {"value": 30, "unit": "short_ton/h"},
                "density": {"value": 50, "unit": "lb/ft3"},
                "buckets": {
                    "volume": {"value": 0.35, "unit": "ft3"},
                    "spacing": {"value": 12, "unit": "in"},
                    "depth": {"value": 8, "unit": "in"},
                    "discharge": "continuous",
                },
            },
            "chains": {"track": "sliding_dry", "running_direction": "narrow_end_forward"},
            "chain_speed": {"value": 120, "unit": "ft/min"},
            "head_wheel": {"teeth": 16},
            "attached": {"mass": {"value": 14, "unit": "lb"}, "spacing": {"value": 12, "unit": "in"}},
            "rules": {"static_rule": "bucket_line"},
            "choice": {"chains": ["WH124"]},
            "units": "inch",
        },
    ),
    "blank_cell": Example(
        "Five teeth, for which the table of speed factors has no cell",
        {
            "path": [{"run": {"length": {"value": 10, "unit": "m"}, "loaded": True}}],
            "load": {"carried": "on_chain", "load_per_length": {"value": 20, "unit": "kg/m"}},
            "chains": {"friction": 0.2},
            "chain_speed": {"value": 1, "unit": "m/s"},
            "head_wheel": {"teeth": 5},
        },
        status=422,
    ),
}
