"""The unit table: factors by their legal definitions, by pint, and in agreement with what the contract accepts."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import get_args, get_type_hints

import msgspec
import pytest

from service.api.quantities import KIND_OF, PRESENTERS, Inputs, Length, Power, Temperature
from service.core import conversions
from service.units.__main__ import compute
from service.units.table import FACTORS, UNITS, Factors

INCH_M = Fraction(254, 10_000)  # international yard and pound agreement, 1959
FOOT_M = 12 * INCH_M
POUND_KG = Fraction(45_359_237, 100_000_000)  # the same
GRAVITY = Fraction(980_665, 100_000)  # standard gravity, 3rd CGPM, 1901
POUND_FORCE_N = POUND_KG * GRAVITY

DEFINED = {
    ("length", "mm"): Fraction(1),
    ("length", "cm"): Fraction(10),
    ("length", "m"): Fraction(1000),
    ("length", "in"): INCH_M * 1000,
    ("length", "ft"): FOOT_M * 1000,
    ("area", "mm2"): Fraction(1),
    ("area", "in2"): (INCH_M * 1000) ** 2,
    ("force", "N"): Fraction(1),
    ("force", "kN"): Fraction(1000),
    ("force", "lbf"): POUND_FORCE_N,
    ("force", "lb"): POUND_FORCE_N,
    ("mass", "kg"): Fraction(1),
    ("mass", "lb"): POUND_KG,
    ("mass", "t"): Fraction(1000),
    ("mass", "short_ton"): 2000 * POUND_KG,
    ("mass_per_length", "kg/m"): Fraction(1),
    ("mass_per_length", "lb/ft"): POUND_KG / FOOT_M,
    ("mass_flow", "t/h"): Fraction(1),
    ("mass_flow", "kg/h"): Fraction(1, 1000),
    ("mass_flow", "kg/s"): Fraction(36, 10),
    ("mass_flow", "lb/h"): POUND_KG / 1000,
    ("mass_flow", "short_ton/h"): 2 * POUND_KG,
    ("density", "kg/m3"): Fraction(1),
    ("density", "t/m3"): Fraction(1000),
    ("density", "lb/ft3"): POUND_KG / FOOT_M**3,
    ("volume", "L"): Fraction(1),
    ("volume", "m3"): Fraction(1000),
    ("volume", "in3"): 1000 * INCH_M**3,
    ("volume", "ft3"): 1000 * FOOT_M**3,
    ("power", "W"): Fraction(1, 1000),
    ("power", "kW"): Fraction(1),
    ("power", "hp"): 550 * FOOT_M * POUND_FORCE_N / 1000,
    ("power", "HP"): 550 * FOOT_M * POUND_FORCE_N / 1000,
    ("power", "hp_metric"): 75 * GRAVITY / 1000,
    ("torque", "N.m"): Fraction(1),
    ("torque", "lbf.ft"): FOOT_M * POUND_FORCE_N,
    ("torque", "lbf.in"): INCH_M * POUND_FORCE_N,
    ("rotational_speed", "r/min"): Fraction(1),
    ("rotational_speed", "rpm"): Fraction(1),
    ("rotational_speed", "r/s"): Fraction(60),
    ("rotational_speed", "rad/s"): 30 / Fraction(math.pi),
    ("speed", "m/s"): Fraction(1),
    ("speed", "m/min"): Fraction(1, 60),
    ("speed", "ft/min"): FOOT_M / 60,
    ("frequency", "Hz"): Fraction(1),
    ("angle", "deg"): Fraction(1),
    ("angle", "rad"): 180 / Fraction(math.pi),
    ("stress", "N/mm2"): Fraction(1),
    ("stress", "psi"): POUND_FORCE_N / (INCH_M * 1000) ** 2,
    ("time", "s"): Fraction(1, 3600),
    ("time", "min"): Fraction(1, 60),
    ("time", "h"): Fraction(1),
    ("time", "d"): Fraction(24),
    ("temperature", "degC"): Fraction(1),
    ("temperature", "degF"): Fraction(5, 9),
}
"""Canonical units in one of the unit, from the definitions alone."""


def tokens() -> list[tuple[str, str]]:
    return [(kind, token) for kind, definition in UNITS.kinds.items() for token in definition.tokens]


def test_file_is_what_pint_computes():
    written = msgspec.json.decode(FACTORS.read_bytes(), type=Factors)
    assert written == compute(), "run python -m service.units"


def test_every_token_is_checked_by_hand():
    assert set(tokens()) == set(DEFINED)


@pytest.mark.parametrize(("kind", "token"), tokens())
def test_factor_follows_from_the_definition(kind, token):
    # A float holds a definition to half a unit in its last place; pi is rounded once more.
    assert UNITS.factors[kind][token].factor == pytest.approx(float(DEFINED[kind, token]), rel=3e-16)


def test_constants_of_the_core_are_the_same():
    assert float(INCH_M * 1000) == conversions.MM_PER_INCH
    assert float(FOOT_M * 1000) == conversions.MM_PER_FOOT
    assert float(GRAVITY) == conversions.FREE_FALL_M_S2
    assert float(POUND_KG) == conversions.KG_PER_POUND
    assert float(POUND_FORCE_N) == conversions.N_PER_LBF
    assert float(DEFINED["power", "hp"]) == conversions.KW_PER_HP
    assert float(DEFINED["speed", "ft/min"]) == conversions.M_S_PER_FT_MIN


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"), [(32.0, 0.0), (212.0, 100.0), (-40.0, -40.0), (98.6, 37.0), (-459.67, -273.15)]
)
def test_temperatures_have_an_offset(fahrenheit, celsius):
    assert Inputs().canonical(Temperature(fahrenheit, "degF"), "/t") == pytest.approx(celsius, abs=1e-12)
    assert PRESENTERS["inch"].quantity(celsius, "temperature").value == pytest.approx(fahrenheit, abs=1e-9)


def test_only_temperatures_have_an_offset():
    with_offset = {(kind, token) for kind, token in tokens() if UNITS.factors[kind][token].offset}
    assert with_offset == {("temperature", "degF")}


def test_mechanical_and_metric_horsepower_differ_by_the_percentage_that_the_warning_names():
    ratio = UNITS.factors["power"]["hp"].factor / UNITS.factors["power"]["hp_metric"].factor
    assert f"{100 * (1 - 1 / ratio):.1f} % less" in UNITS.kinds["power"].tokens["HP"].reading
    # The other name that is read: HP.
    read = Inputs()
    assert read.canonical(Power(10, "HP"), "/power") == read.canonical(Power(10, "hp"), "/power")
    assert [(reading.code, reading.pointer) for reading in read.readings] == [("unit_assumed", "/power/unit")]


@pytest.mark.parametrize("model", list(KIND_OF), ids=lambda model: model.__name__)
def test_contract_accepts_the_tokens_of_the_table(model):
    accepted = get_args(get_type_hints(model)["unit"])
    assert list(accepted) == list(UNITS.kinds[KIND_OF[model]].tokens)


def test_refused_tokens_are_not_accepted_ones_and_say_what_to_send():
    for name, kind in UNITS.kinds.items():
        assert not set(kind.refused) & set(kind.tokens), name
        for token, hint in kind.refused.items():
            wanted = hint.partition(": send ")[2].rstrip(".")
            named = [part.strip() for part in wanted.replace(" or ", ", ").split(",")]
            known = {known for other in UNITS.kinds.values() for known in other.tokens}
            assert named, token
            assert set(named) & set(known), hint
            with pytest.raises(msgspec.ValidationError):
                msgspec.convert({"value": 1, "unit": token}, model_of(name))


def model_of(kind: str) -> type:
    return next(model for model, name in KIND_OF.items() if name == kind)


@pytest.mark.parametrize("system", ["metric", "inch"])
@pytest.mark.parametrize("kind", list(UNITS.kinds))
def test_answers_come_back_as_the_same_value(system, kind):
    for canonical in (1e-6, 0.1, 1.0, 1234.5678, 9.99999999999e8):
        shown = PRESENTERS[system].quantity(canonical, kind)
        token = UNITS.factors[kind][shown.unit]
        # Answers are rid of binary noise at 12 significant digits; a temperature loses some to its offset.
        allowed = {"rel": 1e-11, "abs": 1e-9 if kind == "temperature" else 0.0}
        assert shown.value * token.factor + token.offset == pytest.approx(canonical, **allowed)


def test_one_inch_stays_one_inch():
    canonical = Inputs().canonical(Length(1, "in"), "/pitch")
    assert canonical == 25.4
    assert PRESENTERS["inch"].length(canonical).value == 1.0


@pytest.mark.parametrize("value", [math.inf, -math.inf, math.nan, 1e301])
def test_what_is_not_finite_is_never_shown(value):
    with pytest.raises(ArithmeticError):
        PRESENTERS["metric"].number(value)


@pytest.mark.parametrize(("value", "shown"), [(0.1 + 0.2, 0.3), (1 / 3, 0.333333333333), (-0.0, 0.0)])
def test_binary_noise_is_hidden(value, shown):
    assert PRESENTERS["metric"].number(value) == shown
