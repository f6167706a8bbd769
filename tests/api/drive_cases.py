"""What tests of drive sizings and drive checks share: a sound duty, and how a case of wrong input reads."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

MOTOR = {"load_class": "moderate_shock", "prime_mover": "electric_motor_or_turbine"}


def quantity(value: float, unit: str) -> dict[str, Any]:
    return {"value": value, "unit": unit}


def mm(value: float) -> dict[str, Any]:
    return quantity(value, "mm")


def kw(value: float) -> dict[str, Any]:
    return quantity(value, "kW")


def rpm(value: float) -> dict[str, Any]:
    return quantity(value, "r/min")


def without_none(fields: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in fields.items() if value is not None}


@dataclass(frozen=True)
class Wrong:
    """One row of wrong input: what is sent, and what the answer must say to a technician."""

    row: str
    code: str
    says: str
    status: int = 422
    pointer: str = ""
    duty: dict[str, Any] = field(default_factory=dict)
    changes: dict[str, Any] = field(default_factory=dict)

    def __str__(self) -> str:
        return f"{self.row} {self.code} {self.pointer}"


def assert_told(case: Wrong, response: Any) -> None:
    """The verdict, the code, the place and the words of a case."""
    answer = response.json()
    assert response.status_code == case.status, (case.row, answer)
    listed = answer["errors"] if case.status >= 400 else answer["warnings"]
    told = [entry for entry in listed if entry["code"] == case.code]
    assert told, (case.row, [(entry["code"], entry["message"]) for entry in listed])
    words = " ".join(entry["message"] + " " + entry.get("hint", "") for entry in told)
    assert case.says in words, (case.row, words)
    if case.pointer:
        assert case.pointer in {entry.get("pointer") for entry in told}, (case.row, told)
