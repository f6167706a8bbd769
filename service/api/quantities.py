"""Quantities on the wire: one closed input type for each kind, one output type, and the conversion both ways."""

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from math import floor
from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from service.units.table import UNITS, System

# Bounds on both sides keep products and quotients of a few magnitudes far from the ends of double precision.
Value = Annotated[float, Meta(ge=1e-9, le=1e9, description="Magnitude, above zero.")]


class _Input(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    value: Value


class Length(_Input, frozen=True, forbid_unknown_fields=True):
    """A length with its unit."""

    unit: Literal["mm", "cm", "m", "in", "ft"]


class LengthOrZero(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A length with its unit; it may be zero."""

    value: Annotated[float, Meta(ge=0, le=1e9, description="Magnitude, zero or above.")]
    unit: Literal["mm", "cm", "m", "in", "ft"]


class SignedLength(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A coordinate or a change of length with its unit; it may be zero or negative."""

    value: Annotated[float, Meta(ge=-1e6, le=1e6, description="Magnitude with its sign.")]
    unit: Literal["mm", "cm", "m", "in", "ft"]


class Angle(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """An angle with its unit; it may be zero or negative."""

    value: Annotated[float, Meta(ge=-1e6, le=1e6, description="Magnitude with its sign.")]
    unit: Literal["deg", "rad"]


class Force(_Input, frozen=True, forbid_unknown_fields=True):
    """A force with its unit; ``lb`` is read as pound-force, with a warning."""

    unit: Literal["N", "kN", "lbf", "lb"]


class MassPerLength(_Input, frozen=True, forbid_unknown_fields=True):
    """A mass per length with its unit."""

    unit: Literal["kg/m", "lb/ft"]


class MassFlow(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A throughput with its unit; it may be zero."""

    value: Annotated[float, Meta(ge=0, le=1e9, description="Magnitude, zero or above.")]
    unit: Literal["t/h", "kg/h", "kg/s", "lb/h", "short_ton/h"]


class Density(_Input, frozen=True, forbid_unknown_fields=True):
    """A bulk density with its unit."""

    unit: Literal["kg/m3", "t/m3", "lb/ft3"]


class Volume(_Input, frozen=True, forbid_unknown_fields=True):
    """A volume with its unit."""

    unit: Literal["L", "m3", "in3", "ft3"]


class ForceOrZero(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A force with its unit; it may be zero."""

    value: Annotated[float, Meta(ge=0, le=1e9, description="Magnitude, zero or above.")]
    unit: Literal["N", "kN", "lbf", "lb"]


class Duration(_Input, frozen=True, forbid_unknown_fields=True):
    """A time with its unit."""

    unit: Literal["s", "min", "h", "d"]


class Mass(_Input, frozen=True, forbid_unknown_fields=True):
    """A mass with its unit."""

    unit: Literal["kg", "lb", "t", "short_ton"]


class Power(_Input, frozen=True, forbid_unknown_fields=True):
    """A power with its unit; ``hp`` is mechanical (550 ft lbf/s), ``HP`` is read as that with a warning."""

    unit: Literal["W", "kW", "hp", "hp_metric", "HP"]


class Torque(_Input, frozen=True, forbid_unknown_fields=True):
    """A torque with its unit."""

    unit: Literal["N.m", "lbf.ft", "lbf.in"]


class Stress(_Input, frozen=True, forbid_unknown_fields=True):
    """A stress or pressure with its unit."""

    unit: Literal["N/mm2", "psi"]


class RotationalSpeed(_Input, frozen=True, forbid_unknown_fields=True):
    """A rotational speed with its unit."""

    unit: Literal["r/min", "rpm", "r/s", "rad/s"]


class Speed(_Input, frozen=True, forbid_unknown_fields=True):
    """A linear speed with its unit."""

    unit: Literal["m/s", "m/min", "ft/min"]


class Temperature(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A temperature with its scale."""

    value: Annotated[float, Meta(ge=-273.15, le=3000, description="Reading of the scale.")]
    unit: Literal["degC", "degF"]


InputQuantity = (
    Length
    | LengthOrZero
    | SignedLength
    | Angle
    | Force
    | MassPerLength
    | MassFlow
    | Density
    | Volume
    | ForceOrZero
    | Duration
    | Mass
    | Power
    | Torque
    | Stress
    | RotationalSpeed
    | Speed
    | Temperature
)

KIND_OF: dict[type, str] = {
    Length: "length",
    LengthOrZero: "length",
    SignedLength: "length",
    Angle: "angle",
    Force: "force",
    MassPerLength: "mass_per_length",
    MassFlow: "mass_flow",
    Density: "density",
    Volume: "volume",
    ForceOrZero: "force",
    Duration: "time",
    Mass: "mass",
    Power: "power",
    Torque: "torque",
    Stress: "stress",
    RotationalSpeed: "rotational_speed",
    Speed: "speed",
    Temperature: "temperature",
}


class Quantity(msgspec.Struct, frozen=True):
    """A computed or tabulated quantity: a magnitude and its unit token (see ``GET /v1/units``)."""

    value: float
    unit: str


@dataclass(frozen=True, slots=True)
class Reading:
    """How an ambiguous unit token was read, or why a unit looks wrong."""

    code: str
    message: str
    pointer: str
    severity: Literal["info", "caution"] = "info"


class Inputs:
    """Converts a request's quantities to canonical floats and keeps how ambiguous tokens were read."""

    __slots__ = ("readings",)

    def __init__(self) -> None:
        self.readings: list[Reading] = []

    def canonical(self, quantity: InputQuantity, pointer: str) -> float:
        """Magnitude in the one unit that calculations use for this kind."""
        kind = KIND_OF[type(quantity)]
        unit = quantity.unit
        definition = UNITS.kinds[kind].tokens[unit]
        if definition.assumed is not None:
            self.readings.append(Reading(definition.assumed, definition.reading, f"{pointer}/unit"))
        token = UNITS.factors[kind][unit]
        return quantity.value * token.factor + token.offset

    def optional(self, quantity: InputQuantity | msgspec.UnsetType, pointer: str) -> float | None:
        """As ``canonical``; None where the field was not sent."""
        return None if isinstance(quantity, msgspec.UnsetType) else self.canonical(quantity, pointer)


_DECADES = tuple(float(f"1e{exponent}") for exponent in range(-6, 9))
_SCALES = tuple(10.0**exponent for exponent in range(18, 2, -1))
"""What makes a whole number of 12 digits of a number below the decade of the same place."""


def clean(value: float) -> float:
    """A number rid of binary noise: the nearest of 12 significant digits.

    Usual magnitudes are rounded as a whole number of 12 digits over a power of ten, both exact, which costs half of
    the way through text that the others take.

    Raises:
        ArithmeticError: the value is not finite, which is a fault of the service.
    """
    if 1e-6 < value < 1e9:
        scale = _SCALES[bisect_right(_DECADES, value)]
        return floor(value * scale + 0.5) / scale
    if not -1e300 < value < 1e300:
        raise ArithmeticError(f"a result is not finite: {value}")
    return float(f"{value:.12g}")


def _converter(unit: str, factor: float, offset: float) -> Callable[[float], Quantity]:
    """What makes a canonical value a quantity in a unit; most units of the metric system are the canonical ones."""
    if factor == 1 and offset == 0:
        return lambda value: Quantity(clean(value), unit)
    return lambda value: Quantity(clean((value - offset) / factor), unit)


class Presenter:
    """Turns canonical floats into quantities of one system of units, rid of binary noise (12 significant digits).

    ``length`` and its like are the converters themselves, since an answer has hundreds of quantities.
    """

    __slots__ = ("_of_kind", "force", "length", "number", "power", "speed")

    def __init__(self, system: System) -> None:
        self.number = clean
        self._of_kind = {
            kind: _converter(token, factors.factor, factors.offset)
            for kind in UNITS.kinds
            for token, factors in [UNITS.preferred(kind, system)]
        }
        self.length = self._of_kind["length"]
        self.force = self._of_kind["force"]
        self.power = self._of_kind["power"]
        self.speed = self._of_kind["speed"]

    def of(self, kind: str) -> Callable[[float], Quantity]:
        """What turns canonical values of one kind into quantities, for answers with many of them."""
        return self._of_kind[kind]

    def quantity(self, value: float, kind: str) -> Quantity:
        """A canonical value of a kind in the unit of this system."""
        return self._of_kind[kind](value)

    def known(self, value: float | None, kind: str) -> Quantity | msgspec.UnsetType:
        """As ``quantity``; no field where the value is not known."""
        return msgspec.UNSET if value is None else self._of_kind[kind](value)

    def known_number(self, value: float | None) -> float | msgspec.UnsetType:
        """A number without a unit; no field where it is not known."""
        return msgspec.UNSET if value is None else self.number(value)

    def known_length(self, value_mm: float | None) -> Quantity | msgspec.UnsetType:
        """A length from mm; no field where it is not known."""
        return msgspec.UNSET if value_mm is None else self.length(value_mm)


PRESENTERS: dict[System, Presenter] = {"metric": Presenter("metric"), "inch": Presenter("inch")}
