"""Conveyors with figures at the ends of what the contract lets in: an answer or a refusal, never a fault."""

from __future__ import annotations

import copy
import random
from collections import Counter
from typing import TYPE_CHECKING, Any

from tests.api.conveyor_cases import PATH, body, elevator, of, run, strong

if TYPE_CHECKING:
    from collections.abc import Iterator

ENDS = [0, 5e-324, 1e-300, 1e-9, 1e-3, 0.5, 1, 1.0000001, 3, 90, -90, 360, 1e6, 1e9, 1e300, -1]
ROUNDS = 400


def everything(**changes: Any) -> dict[str, Any]:
    """A conveyor that uses every field."""
    wheel = {"pitch_diameter": of(500, "mm"), "shaft_diameter": of(50, "mm"), "bearing_friction": 0.1}
    joint = {"pin_diameter": of(20, "mm"), "joint_friction": 0.1}
    rollers = {"axle_friction": 0.2, "axle_diameter": of(20, "mm"), "roller_diameter": of(60, "mm")}
    pin = {"diameter": of(8, "mm"), "shear_strength": of(300, "N/mm2"), "circle_radius": of(100, "mm")}
    sound = {
        "path": [
            {"name": "a", **run(5, incline=of(10, "deg"))},
            {"wheel": {**wheel, **joint}},
            {"curve": {"angle": of(90, "deg"), "friction": 0.2, "radius": of(2, "m")}},
            {"resistance": of(100, "N")},
            run(8, loaded=True, lift=of(1, "m"), supported=False),
            run(8, loaded=True, lengthened_by=of(1, "m")),
        ],
        "load": {
            "carried": "in_trough",
            "throughput": of(30, "t/h"),
            "section": {"width": of(400, "mm"), "depth": of(300, "mm")},
            "density": of(800, "kg/m3"),
            "friction": 0.5,
            "walls": {"lateral_ratio": 0.3, "wall_friction": 0.5},
        },
        "chains": {
            "chain_lines": 2,
            "shares": [0.5, 0.5],
            "roller_spacing": of(200, "mm"),
            "rollers": {**rollers, "rolling_arm": of(1, "mm"), "flange_factor": 1.2},
        },
        "attached": {"mass": of(5, "kg"), "spacing": of(300, "mm")},
        "take_up": {"after": "a", "mass": of(2000, "kg")},
        "drive": {
            "motor_power": of(5, "kW"),
            "stall_torque_ratio": 2.5,
            "efficiency": 0.9,
            "start_time": of(3, "s"),
            "starting_friction_ratio": 1.4,
        },
        "limiter": {"scatter": 0.1, "shaft_speed": of(100, "r/min"), "pin": pin},
        "rules": {
            "static_factor": 7,
            "peak_fraction": 0.5,
            "fatigue_limit": of(50, "kN"),
            "surge_share": 0.5,
            "allowed_roller_load": of(20, "kN"),
            "allowed_roller_pressure": of(9, "N/mm2"),
            "allowed_joint_pressure": of(20, "N/mm2"),
            "temperature": of(160, "degC"),
            "speed_factor": 1.1,
            "service_factor": 1.2,
        },
        "own_chain": strong(15, pin_diameter=of(20, "mm"), bearing_length=of(50, "mm"), allowable_load=of(5e5, "kN")),
    }
    return body(**{**sound, **changes})


def numbers(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Where the numbers of a body stand."""
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from numbers(inner, (*path, name))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from numbers(inner, (*path, index))
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield path


def changed(sound: dict[str, Any], rng: random.Random) -> dict[str, Any]:
    made = copy.deepcopy(sound)
    places = list(numbers(made))
    for path in rng.sample(places, k=min(rng.choice([1, 1, 2, 4]), len(places))):
        inside = made
        for step in path[:-1]:
            inside = inside[step]
        inside[path[-1]] = rng.choice(ENDS)
    return made


def test_a_conveyor_of_every_field_is_sized(service):
    assert service.post(PATH, everything()).json()["result"]["passing_count"] == 1


def test_figures_at_the_ends_give_an_answer_or_a_refusal(service):
    rng = random.Random(20)  # noqa: S311 a simulation
    traction = {"kind": "traction", "pitch_diameter": of(500, "mm"), "grip_friction": 0.3, "wrap": of(170, "deg")}
    pocket = {"own_chain": None, "choice": {"chains": ["DIN 766 10x28"]}, "head_wheel": {"kind": "pocket", "teeth": 6}}
    rolling = {"own_chain": None, "choice": {"chains": ["M80"]}, "rules": {"fatigue_fraction": 0.1, "surge_share": 1}}
    sound = [everything(), everything(head_wheel=traction), body(own_chain=None), elevator()]
    sound += [body(**pocket), body(**rolling, chains={"friction": 0.1, "roller_spacing": of(630, "mm")})]
    statuses: Counter[int] = Counter()
    for _ in range(ROUNDS):
        sent = changed(rng.choice(sound), rng)
        response = service.post(PATH, sent)
        assert response.status_code in {200, 422}, sent
        statuses[response.status_code] += 1
    assert min(statuses[200], statuses[422]) > ROUNDS / 10
