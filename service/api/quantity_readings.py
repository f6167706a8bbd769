"""``POST /v1/quantity-readings``: a quantity as people write it, read into a number and a unit."""

from typing import Annotated, Literal

import msgspec
from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, CalculationRequest, Context, common
from service.api.body import json_body
from service.api.contract import Example, operation
from service.api.optional_fields import sent
from service.api.quantities import PRESENTERS, Inputs, Quantity
from service.calculations.trace import Trace
from service.core.errors import Inconsistent, Issue, MoreNeeded, NotInReference, OutOfRange
from service.core.quantity_text import MAX_TEXT, QuantityText, read
from service.units.spellings import UnitRead, nearest_units, read_unit, refused_unit
from service.units.table import UNITS

AGREEMENT = 0.001
"""Largest relative difference of a text and a number that are taken for the same: a fraction is often sent rounded."""

KindOfQuantity = Literal[
    "length",
    "area",
    "force",
    "mass",
    "mass_per_length",
    "mass_flow",
    "density",
    "volume",
    "power",
    "torque",
    "rotational_speed",
    "speed",
    "frequency",
    "angle",
    "stress",
    "time",
    "temperature",
]


class SentQuantity(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The same quantity as a number, where the caller holds both."""

    value: float
    unit: Annotated[str, Meta(min_length=1, max_length=20, description="Unit token, see `GET /v1/units`.")]


class QuantityReadingRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A text such as `1-1/2 in`, `38,1 mm` or `5' 3-1/4"`, and what is known of it."""

    text: Annotated[str, Meta(min_length=1, max_length=MAX_TEXT, description="Number and unit.", examples=["1-1/2 in"])]
    kind: (
        Annotated[KindOfQuantity, Meta(description="Needed where a unit serves two kinds, as `lb` does.")] | UnsetType
    ) = UNSET
    quantity: Annotated[SentQuantity, Meta(description="To be compared with the text; must agree.")] | UnsetType = UNSET


class QuantityReading(msgspec.Struct, frozen=True, kw_only=True):
    """What the text says."""

    kind: str
    quantity: Annotated[Quantity, Meta(description="Number and unit token as read; can be sent on as it stands.")]
    read_as: Annotated[str, Meta(description="The text in plain form, to show to its writer.")]
    metric: Quantity
    inch: Quantity


class QuantityReadingAnswer(Answer[QuantityReading], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/quantity-readings`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/quantity-readings",
        dto=json_body(QuantityReadingRequest),
        **operation(
            "read_quantity",
            tag="provenance",
            summary="A quantity as people write it, read into a number and a unit",
            description=(
                "Reads fractions (`1-1/2`, `1 1/2`, `1½`), feet and inches, decimal commas and the usual spellings of "
                "units. What can be read in two ways, such as `1,250` or a number without unit, is refused with the "
                "readings it could have; no other path reads quantities from text."
            ),
            examples=EXAMPLES,
        ),
    )
    def read_quantity(data: JSONBody[QuantityReadingRequest]) -> QuantityReadingAnswer:
        trace, inputs = Trace(), Inputs()
        found = read(text=data.text)
        unit = _unit(found, data)
        _note(found, unit, trace)
        canonical = _canonical(found.magnitude, unit)
        _check_sign(found, unit)
        if not isinstance(data.quantity, UnsetType):
            _compare(data.quantity, found, unit, canonical)
        return QuantityReadingAnswer(
            result=QuantityReading(
                kind=unit.kind,
                quantity=Quantity(PRESENTERS["metric"].number(found.magnitude), unit.token),
                read_as=_read_as(found, unit),
                metric=PRESENTERS["metric"].quantity(canonical, unit.kind),
                inch=PRESENTERS["inch"].quantity(canonical, unit.kind),
            ),
            **common(data, trace, inputs, context),
        )

    return [read_quantity]


def _unit(found: QuantityText, data: QuantityReadingRequest) -> UnitRead:
    """The one unit that the text names.

    Raises:
        MoreNeeded: there is none, it means several things, or it serves several kinds of quantity.
        NotInReference: it is unknown, or of another kind than was asked.
    """
    kind = sent(data.kind)
    if not found.unit:
        message = f"The text was read as {found.plain}; of what? No unit is assumed."
        raise MoreNeeded(Issue("text", "unit_missing", message, None, data.text, "Write the unit, such as mm or in."))
    if (reason := refused_unit(found.unit, kind)) is not None and not (kind is None and read_unit(found.unit)):
        raise MoreNeeded(Issue("text", "unit_ambiguous", reason, None, found.unit))
    units = read_unit(found.unit, kind)
    if len(units) > 1:
        kinds = tuple(unit.kind for unit in units)
        message = f"{found.unit} is a unit of {' and of '.join(name.replace('_', ' ') for name in kinds)}."
        raise MoreNeeded(Issue("kind", "field_required", message, None, None, "Send kind."), candidates=kinds)
    if not units:
        raise _unknown_unit(found.unit, kind)
    return units[0]


def _unknown_unit(text: str, kind: str | None) -> NotInReference:
    others = read_unit(text)
    if kind is not None and others:
        message = f"{text} is a unit of {others[0].kind.replace('_', ' ')}, not of {kind.replace('_', ' ')}."
        return NotInReference(Issue("text", "unit_wrong_quantity", message, None, text))
    near = nearest_units(text, kind)
    hint = f"Did you mean {near[0]}?" if near else "GET /v1/units lists the units."
    message = f"{text[:40]!r} is not a unit known here."
    return NotInReference(Issue("text", "unit_unknown", message, None, text[:40], hint), nearest=near)


def _canonical(value: float, unit: UnitRead) -> float:
    factors = UNITS.factors[unit.kind][unit.token]
    return value * factors.factor + factors.offset


def _check_sign(found: QuantityText, unit: UnitRead) -> None:
    if found.magnitude <= 0 and unit.kind != "temperature":
        message = f"The text was read as {_read_as(found, unit)}; a value above zero is needed."
        raise OutOfRange(
            Issue("text", "must_be_positive", message, 0.0, found.plain, "Is the sign a dash from a list?")
        )


def _note(found: QuantityText, unit: UnitRead, trace: Trace) -> None:
    definition = UNITS.kinds[unit.kind].tokens[unit.token]
    if definition.assumed is not None:
        trace.warn(definition.assumed, definition.reading, severity="info", field="text")
    if found.joined_by_point:
        message = f"The point between the whole number and its fraction was read as a joint: {found.plain}."
        trace.warn("joint_read_from_point", message, field="text")
    if found.point_before_three:
        message = f"The point was read as the decimal point: {found.plain}. Thousands are not parted."
        trace.warn("point_read_as_decimal", message, severity="info", field="text")


def _compare(sent: SentQuantity, found: QuantityText, unit: UnitRead, canonical: float) -> None:
    """Refuse a number that says something else than the text."""
    units = read_unit(sent.unit, unit.kind)
    if not units:
        raise _unknown_unit(sent.unit, unit.kind)
    other = _canonical(sent.value, units[0])
    if abs(other - canonical) > AGREEMENT * abs(canonical):
        token = UNITS.kinds[unit.kind].canonical
        message = (
            f"The text says {_read_as(found, unit)} ({canonical:.6g} {token}), the number {sent.value:.6g} {sent.unit} "
            f"({other:.6g} {token})."
        )
        raise Inconsistent(Issue("quantity", "quantity_conflict", message, None, None, "Send one of the two."))


def _read_as(found: QuantityText, unit: UnitRead) -> str:
    return found.plain if " ft " in found.plain else f"{found.plain} {unit.token}"


EXAMPLES = {
    "fraction": Example("A pitch as a technician types it", {"text": '1½"'}),
    "feet_and_inches": Example("A centre distance from a tape", {"text": "5' 3-1/4\""}),
    "comma_or_thousands": Example("A comma before three digits", {"text": "1,250 mm"}, status=422),
}
