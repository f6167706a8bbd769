"""The service factor of a silent-chain drive, which has sets of its own that are never mixed with others."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.calculations.drive_service import match_example, question_factor
from service.calculations.drive_tables import used_of
from service.core.errors import Inconsistent, Issue, MoreNeeded, NotInReference, OutOfRange
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.drive_duty import DriveDuty
    from service.calculations.trace import Trace
    from service.reference.silent_factors import PrimeMoverClassRow, ServiceSet, SilentFactors

PrimeMoverClass = Literal["I", "II", "III"]

FIELD = "silent_load"

COLUMN_HOURS = 10.0
"""Hours a day of the one column that was read of the set by drive and hours."""


class SilentLoad(Record, frozen=True, kw_only=True):
    """What the caller says of the load of a silent-chain drive."""

    driven_machine: str
    service_set: ServiceSet = "by_prime_mover_class"
    prime_mover_class: PrimeMoverClass | None = None
    peak_load_percent: float | None = None


def settle_silent_factor(duty: DriveDuty, load: SilentLoad | None, factors: SilentFactors, trace: Trace) -> float:
    """The caller's own factor, or that of one of the two sets.

    Raises:
        MoreNeeded: neither a factor nor a load was sent, or nothing tells the class of the prime mover.
        Inconsistent: both were sent, so that the load would count twice.
        NotInReference: the machine is not in the set, or the set was not read for it, its hours or its prime mover.
        OutOfRange: the caller's factor is below one, or the peak of the load above all classes.
    """
    service_factor, at = duty.service_factor, duty.at
    if service_factor is not None:
        if load is not None:
            message = "Send service_factor or silent_load, not both: the load would count twice."
            raise Inconsistent(Issue(f"{at}.service_factor", "factor_double_counted", message))
        if service_factor < 1.0:
            message = f"A service factor of {service_factor:g} is below 1, where those of silent chain begin."
            raise OutOfRange(Issue(f"{at}.service_factor", "factor_below_minimum", message, 1.0, service_factor))
        question_factor(service_factor, at, trace)
        return service_factor
    if load is None:
        message = (
            "Silent chain has its own service factors: send silent_load (driven machine and prime mover), or your own "
            "service_factor for every kind of chain."
        )
        raise MoreNeeded(Issue(FIELD, "field_required", message))
    if load.service_set == "by_drive_and_hours":
        _check_column(duty, load)
    return _of_set(load, factors, trace, at)


def hours_note(duty: DriveDuty, load: SilentLoad | None) -> str:
    """What hours a day mean for the ratings of silent chain."""
    life = "no life is stated with the ratings of silent chain"
    if duty.service_factor is not None or load is None:
        return f"your own service factor stands for the hours too; {life}"
    if load.service_set == "by_drive_and_hours":
        return f"the column of {COLUMN_HOURS:g} hours a day was taken; {life}"
    return f"the set by prime mover class holds no hours, so they change no factor; {life}"


def _check_column(duty: DriveDuty, load: SilentLoad) -> None:
    """Refuse what the one column that was read of the set by drive and hours does not cover.

    Raises:
        NotInReference: longer days, or an engine with a mechanical drive.
        Inconsistent: a class or a peak was sent, by which the other set is entered.
    """
    for name in ("prime_mover_class", "peak_load_percent"):
        if getattr(load, name) is not None:
            message = f"The set by drive and hours has no {name.replace('_', ' ')}; it belongs to the other set."
            hint = "Leave it out, or take service_set by_prime_mover_class."
            raise Inconsistent(Issue(f"{FIELD}.{name}", "over_determined", message, None, getattr(load, name), hint))
    issues = []
    hint = "Send your own service_factor, or take service_set by_prime_mover_class."
    if duty.hours_per_day is not None and duty.hours_per_day > COLUMN_HOURS:
        message = (
            f"{duty.hours_per_day:g} hours a day: of the set by drive and hours only the column of {COLUMN_HOURS:g} "
            "hours was read."
        )
        issues.append(
            Issue(
                f"{duty.at}.hours_per_day", "figure_not_in_reference", message, COLUMN_HOURS, duty.hours_per_day, hint
            )
        )
    if duty.prime_mover == "engine_mechanical":
        message = "Of the set by drive and hours only the column of motors and fluid-coupled engines was read."
        issues.append(Issue(f"{duty.at}.prime_mover", "figure_not_in_reference", message, None, duty.prime_mover, hint))
    if issues:
        raise NotInReference(*issues)


def _of_set(load: SilentLoad, factors: SilentFactors, trace: Trace, at: str) -> float:
    rows = [row for row in factors.service_factors.rows if row.set == load.service_set]
    machines = dict.fromkeys(row.driven_machine for row in rows)
    machine = match_example(load.driven_machine, machines, f"{FIELD}.driven_machine", trace)
    column = "motor_10_h" if load.service_set == "by_drive_and_hours" else _mover_class(load, factors, trace)
    for row in rows:
        if (row.driven_machine, row.prime_mover) == (machine, column):
            words = load.service_set.replace("_", " ")
            trace.note((used_of(row, f"service factor of silent chain {words}"),))
            note = f"silent chain: {machine}, {column.replace('_', ' ')}, set {words}"
            trace.assume(f"{at}.service_factor", row.factor, "table", note)
            return row.factor
    raise NotInReference(
        Issue(
            f"{FIELD}.prime_mover_class",
            "figure_not_in_reference",
            f"The set has no factor for {machine} with a prime mover of class {column}.",
            None,
            column,
            "Send your own service_factor.",
        )
    )


def _mover_class(load: SilentLoad, factors: SilentFactors, trace: Trace) -> PrimeMoverClass:
    """The class sent, or that of the momentary peak load."""
    if load.peak_load_percent is None:
        if load.prime_mover_class is None:
            movers = ", ".join(
                f"{row.prime_mover}: {row.prime_mover_class}"
                for row in factors.prime_mover_classes.rows
                if not _peak(row)
            )
            raise MoreNeeded(
                Issue(
                    f"{FIELD}.prime_mover_class",
                    "field_required",
                    "Send prime_mover_class or peak_load_percent (momentary peak in per cent of the rated load).",
                    hint=f"Classes: {movers}.",
                )
            )
        return load.prime_mover_class
    # A class begins at its printed least; the last begins where the one before it ends.
    reached = [row for row in factors.prime_mover_classes.rows if _peak(row) and _least(row) <= load.peak_load_percent]
    row = max(reached, key=_least)
    most = row.peak_max_percent or 0.0
    if load.peak_load_percent > most and row.prime_mover_class == "III":
        message = (
            f"A peak of {load.peak_load_percent:g} % of the rated load is above the classes, which end at {most:g} %."
        )
        raise OutOfRange(
            Issue(f"{FIELD}.peak_load_percent", "number_out_of_range", message, most, load.peak_load_percent)
        )
    if load.prime_mover_class is not None and load.prime_mover_class != row.prime_mover_class:
        message = f"A peak of {load.peak_load_percent:g} % is class {row.prime_mover_class}; leave one out."
        raise Inconsistent(Issue(f"{FIELD}.prime_mover_class", "over_determined", message))
    trace.note((used_of(row, "class of the prime mover"),))
    trace.assume(f"{FIELD}.prime_mover_class", row.prime_mover_class, "table", "by the momentary peak load")
    return row.prime_mover_class


def _peak(row: PrimeMoverClassRow) -> bool:
    return row.peak_min_percent is not None or row.peak_max_percent is not None


def _least(row: PrimeMoverClassRow) -> float:
    return row.peak_min_percent or 0.0
