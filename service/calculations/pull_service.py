"""Service factor of engineering-class chain: the product of the conditions that apply, from their own table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.drive_service import ServiceInput, question_factor, settle_load_class
from service.calculations.drive_tables import used_of
from service.core.errors import Inconsistent, Issue, MoreNeeded, OutOfRange

if TYPE_CHECKING:
    from service.calculations.drive_duty import DriveDuty
    from service.calculations.drive_service import LoadClass
    from service.calculations.drive_tables import DriveTables
    from service.calculations.trace import Trace
    from service.reference.conveyor_factors import ServiceConditionRow, ServiceGroup
    from service.reference.loader import Table

_LOADS: dict[LoadClass, str] = {"smooth": "uniform", "moderate_shock": "moderate_shock", "heavy_shock": "heavy_shock"}
LONG_DAY_H = 10.0
"""From more hours a day on the factor of long days applies, as the condition's name says."""


def settle_pull_factor(duty: DriveDuty, tables: DriveTables, trace: Trace) -> float:
    """The caller's own factor, or the product of load and hours of the table.

    Raises:
        MoreNeeded: neither a factor nor a load class was sent.
        Inconsistent: both were sent, so that the load would count twice, or machine and class contradict each other.
        NotInReference: the driven machine is not among the printed examples.
        OutOfRange: the caller's factor is below one.
    """
    sent = ServiceInput(duty.service_factor, duty.load_class, None, duty.driven_machine, duty.at)
    load_class = settle_load_class(sent, tables, trace)
    if duty.service_factor is not None:
        if load_class is not None:
            message = "Send service_factor or load_class, not both: the load would count twice."
            raise Inconsistent(Issue(f"{duty.at}.service_factor", "factor_double_counted", message))
        if duty.service_factor < 1.0:
            message = f"A service factor of {duty.service_factor:g} is below 1, where those of the pull method begin."
            raise OutOfRange(
                Issue(f"{duty.at}.service_factor", "factor_below_minimum", message, 1.0, duty.service_factor)
            )
        question_factor(duty.service_factor, duty.at, trace)
        return duty.service_factor
    if load_class is None:
        message = "Send load_class (smooth, moderate_shock, heavy_shock) or driven_machine, or your own service_factor."
        raise MoreNeeded(Issue(f"{duty.at}.load_class", "field_required", message))
    if load_class == "heavy_shock":
        trace.warn(
            "heavy_shock",
            "Heavy shock: provide hardened teeth, and a shear pin or torque limiter that gives way before the chain "
            "does.",
            field=f"{duty.at}.{'load_class' if duty.load_class is not None else 'driven_machine'}",
        )
    table = tables.reference.factors.conveyor.service_factors
    factor = _factor(table, "load", _LOADS[load_class], trace)
    hours = "hours as sent" if duty.hours_per_day is not None else f"up to {LONG_DAY_H:g} hours a day"
    if duty.hours_per_day is not None and duty.hours_per_day > LONG_DAY_H:
        factor *= _factor(table, "daily_hours", "10_to_24_h", trace)
    note = (
        f"pull method: {load_class.replace('_', ' ')}, {hours}; rare shocks in clean surroundings are taken (others: "
        "GET /v1/tables/conveyor_service_factors, sent as your own service_factor)"
    )
    trace.assume(f"{duty.at}.service_factor", factor, "table", note)
    return factor


def pull_hours_note(duty: DriveDuty) -> str:
    """What hours a day mean to the pull method."""
    if duty.service_factor is not None:
        return "your own service factor stands for the hours too; no life is stated with the allowable loads"
    long_day = duty.hours_per_day is not None and duty.hours_per_day > LONG_DAY_H
    said = "raised the service factor" if long_day else f"a day of up to {LONG_DAY_H:g} hours raises no factor"
    return f"{said}; no life is stated with the allowable loads"


def _factor(table: Table[ServiceConditionRow], group: ServiceGroup, condition: str, trace: Trace) -> float:
    row = table.where(group=group, condition=condition)[0]
    trace.note((used_of(row, f"service factor of {condition.replace('_', ' ')}"),))
    return row.factor
