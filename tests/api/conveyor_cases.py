"""Bodies of conveyors for the tests of the API."""

from __future__ import annotations

from typing import Any

PATH = "/v1/conveyor-sizings"


def of(value: float, unit: str) -> dict[str, Any]:
    return {"value": value, "unit": unit}


def run(length_m: float, *, loaded: bool = False, **more: Any) -> dict[str, Any]:
    return {"run": {"length": of(length_m, "m"), "loaded": loaded, **more}}


def strong(mass_kg_m: float | None = None, **more: Any) -> dict[str, Any]:
    """A chain of the caller's own that any of these conveyors leaves cold."""
    own = {"name": "strong", "pitch": of(100, "mm"), "minimum_tensile_strength": of(900_000, "kN"), **more}
    return own if mass_kg_m is None else {**own, "mass_per_length": of(mass_kg_m, "kg/m")}


def body(**changes: Any) -> dict[str, Any]:
    """A level slat conveyor of 20 m; a change to None leaves a field out."""
    sound = {
        "path": [
            {"name": "back", **run(20)},
            {"name": "tail", "tension_ratio": 1.05},
            {"name": "out", **run(20, loaded=True)},
        ],
        "load": {"carried": "on_chain", "load_per_length": of(50, "kg/m")},
        "chains": {"friction": 0.2},
        "chain_speed": of(0.5, "m/s"),
        "head_wheel": {"teeth": 12},
        "own_chain": strong(15),
    }
    return {name: value for name, value in {**sound, **changes}.items() if value is not None}


def load(**changes: Any) -> dict[str, Any]:
    sound = {"carried": "on_chain", "load_per_length": of(50, "kg/m")}
    return {name: value for name, value in {**sound, **changes}.items() if value is not None}


def buckets(**changes: Any) -> dict[str, Any]:
    sound = {"volume": of(5, "L"), "spacing": of(300, "mm"), "depth": of(150, "mm"), "discharge": "continuous"}
    return {
        "carried": "in_buckets",
        "fill": 0.75,
        "density": of(800, "kg/m3"),
        "buckets": {**sound, **changes},
    }


def elevator(**changes: Any) -> dict[str, Any]:
    up, down = of(90, "deg"), of(-90, "deg")
    sound = {
        "path": [
            {"name": "down", **run(15, incline=down)},
            {"name": "boot", "boot": {"tail_pitch_diameter": of(500, "mm")}},
            {"name": "up", **run(15, incline=up, loaded=True)},
        ],
        "load": buckets(),
        "chain_speed": of(0.6, "m/s"),
    }
    return body(**{**sound, **changes})
