"""The duty of a drive: power, speeds or ratio, and the service factor, settled to one set of figures."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, Literal

from service.calculations.drive_tables import DriveTables, used_of
from service.core.errors import Inconsistent, Issue, MoreNeeded, NotInReference, OutOfRange
from service.core.forces import power_from_torque_kw

if TYPE_CHECKING:
    from collections.abc import Iterable

    from service.calculations.trace import Trace

LoadClass = Literal["smooth", "moderate_shock", "heavy_shock"]
PrimeMover = Literal["engine_fluid_coupled", "electric_motor_or_turbine", "engine_mechanical"]
Material = Literal["carbon_steel", "stainless_steel"]
Shafts = Literal["horizontal", "vertical", "not_parallel"]

AGREEMENT = 0.005
"""Two values of one figure agree within this share; nameplates round."""

RATED_AMBIENT_C = (-5.0, 70.0)
"""Ambient temperature of the ISO power charts (ISO 10823, recalled)."""

RATED_LIFE_H = 15_000
"""Operating hours at full load on which the printed ratings rest (jiang-2019, p. 156)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DriveDuty:
    """What the caller knows of the duty; speeds in r/min."""

    driver_speed_rpm: float
    power_kw: float | None = None
    torque_n_m: float | None = None
    driven_speed_rpm: float | None = None
    ratio: float | None = None
    service_factor: float | None = None
    load_class: LoadClass | None = None
    prime_mover: PrimeMover | None = None
    driven_machine: str | None = None
    hours_per_day: float | None = None
    ambient_temperature_c: float | None = None
    material: Material = "carbon_steel"
    shafts: Shafts = "horizontal"


@dataclass(frozen=True, slots=True, kw_only=True)
class SettledDuty:
    """The duty with nothing left open."""

    power_kw: float
    driver_speed_rpm: float
    driven_speed_rpm: float
    ratio: float
    service_factor: float
    load_class: LoadClass | None


def settle_duty(duty: DriveDuty, tables: DriveTables, trace: Trace) -> SettledDuty:
    """Ratio and service factor from what was sent.

    Raises:
        MoreNeeded: speed and ratio are both missing, or the duty says nothing of the load.
        Inconsistent: driven speed and ratio contradict each other, or the factor would count twice.
        OutOfRange: the ratio is beyond one stage.
    """
    power_kw = _power(duty, trace)
    ratio = _ratio(duty)
    load_class = _load_class(duty, tables, trace)
    factor = service_factor(duty, load_class, tables, trace)
    _check_ratio(ratio, tables, trace)
    check_surroundings(duty, trace)
    return SettledDuty(
        power_kw=power_kw,
        driver_speed_rpm=duty.driver_speed_rpm,
        driven_speed_rpm=duty.driver_speed_rpm / ratio,
        ratio=ratio,
        service_factor=factor,
        load_class=load_class,
    )


def _power(duty: DriveDuty, trace: Trace) -> float:
    if duty.power_kw is None and duty.torque_n_m is None:
        raise MoreNeeded(Issue("duty.power", "field_required", "Send power, or torque on the driver shaft."))
    if duty.torque_n_m is None:
        return duty.power_kw or 0.0
    power_kw = trace.take(power_from_torque_kw, torque_n_m=duty.torque_n_m, speed_rpm=duty.driver_speed_rpm)
    if duty.power_kw is not None and abs(duty.power_kw / power_kw - 1.0) > AGREEMENT:
        raise Inconsistent(
            Issue(
                "duty.torque_n_m",
                "over_determined",
                f"Torque and speed give {power_kw:.4g} kW, but {duty.power_kw:.4g} kW were sent; leave one out.",
                power_kw,
                duty.power_kw,
            )
        )
    return duty.power_kw or power_kw


def _load_class(duty: DriveDuty, tables: DriveTables, trace: Trace) -> LoadClass | None:
    """The class sent, or that of the driven machine in the printed examples."""
    if duty.driven_machine is None:
        return duty.load_class
    examples = {row.example: row for row in tables.reference.load_classes.rows}
    name = duty.driven_machine.strip().lower()
    close = get_close_matches(name, _spellings(examples), n=1, cutoff=0.7)
    if not close:
        raise NotInReference(
            Issue(
                "duty.driven_machine",
                "driven_machine_unknown",
                f"{duty.driven_machine[:60]!r} is not among the examples of load classes.",
                None,
                duty.driven_machine[:60],
                "Send load_class instead; known machines: " + ", ".join(examples) + ".",
            ),
            nearest=tuple(examples)[:5],
        )
    row = examples[_spellings(examples)[close[0]]]
    if close[0] != name:
        trace.warn(
            "matched_by_spelling",
            f"{duty.driven_machine[:60]!r} was read as {row.example}.",
            severity="info",
            field="duty.driven_machine",
        )
    if duty.load_class is not None and duty.load_class != row.load_class:
        raise Inconsistent(
            Issue(
                "duty.load_class",
                "over_determined",
                f"{row.example} are classed as {row.load_class}, but {duty.load_class} was sent; leave one out.",
            )
        )
    trace.note((used_of(row, f"load class of {row.example}"),))
    trace.assume("load_class", row.load_class, "table", row.example)
    return row.load_class


def _spellings(examples: Iterable[str]) -> dict[str, str]:
    """An example under its own name, and a single machine under its plural."""
    spelled = {}
    for example in examples:
        spelled[example] = example
        spelled[example.removesuffix("s")] = example
    return spelled


def check_surroundings(duty: DriveDuty, trace: Trace) -> None:
    """What the printed ratings take for granted: parallel shafts, carbon steel, usual temperature, hours.

    Raises:
        OutOfRange: the shafts are not parallel, or a day has no such number of hours.
    """
    if duty.shafts == "not_parallel":
        raise OutOfRange(
            Issue("duty.shafts", "shafts_not_parallel", "Roller chain needs parallel shafts and wheels in one plane.")
        )
    if duty.shafts == "vertical":
        trace.warn(
            "vertical_shafts",
            "The shafts stand vertical: the ratings are for horizontal ones, and the strands need guides from below.",
            field="duty.shafts",
        )
    if duty.material == "stainless_steel":
        trace.warn(
            "rating_basis_differs",
            "The ratings are those of heat-treated carbon steel chain; no standard rates stainless chain, which "
            "carries and lasts less. Take the derating from the maker of the chain.",
            field="duty.material",
        )
    low_c, high_c = RATED_AMBIENT_C
    if duty.ambient_temperature_c is not None and not low_c <= duty.ambient_temperature_c <= high_c:
        trace.warn(
            "temperature_outside",
            f"{duty.ambient_temperature_c:g} degC lies outside the {low_c:g} to {high_c:g} degC for which the ratings "
            "are made (recalled from ISO 10823, verify): oil, hardness and clearances change.",
            field="duty.ambient_temperature_c",
        )
    if duty.hours_per_day is not None:
        if duty.hours_per_day > 24.0:
            raise OutOfRange(
                Issue(
                    "duty.hours_per_day",
                    "hours_out_of_range",
                    f"{duty.hours_per_day:g} hours a day were sent; a day has 24.",
                    24.0,
                    duty.hours_per_day,
                )
            )
        days = RATED_LIFE_H / duty.hours_per_day
        trace.assume(
            "hours_per_day",
            duty.hours_per_day,
            "given",
            f"the ratings rest on {RATED_LIFE_H} h at full load, {days:.0f} days of such use; the printed service "
            "factors hold no hours, so they change no factor",
        )


def _ratio(duty: DriveDuty) -> float:
    if duty.driven_speed_rpm is None and duty.ratio is None:
        raise MoreNeeded(
            Issue("duty.ratio", "field_required", "Send driven_speed or ratio (driver speed over driven speed).")
        )
    if duty.driven_speed_rpm is None:
        return duty.ratio or 1.0
    ratio = duty.driver_speed_rpm / duty.driven_speed_rpm
    if duty.ratio is not None and abs(duty.ratio / ratio - 1.0) > AGREEMENT:
        raise Inconsistent(
            Issue(
                "duty.ratio",
                "over_determined",
                f"The speeds give a ratio of {ratio:.4g}, but {duty.ratio:g} was sent; leave one of them out.",
                ratio,
                duty.ratio,
            )
        )
    return ratio


def service_factor(duty: DriveDuty, load_class: LoadClass | None, tables: DriveTables, trace: Trace) -> float:
    """The factor sent, or that of the printed table for load class and prime mover.

    Raises:
        MoreNeeded: neither a factor nor a load class was sent.
        Inconsistent: both were sent, so that the load would count twice.
    """
    if duty.service_factor is not None:
        if load_class is not None or duty.prime_mover is not None:
            raise Inconsistent(
                Issue(
                    "duty.service_factor",
                    "factor_double_counted",
                    "Send service_factor, or load_class with prime_mover, not both: the load would count twice.",
                )
            )
        if duty.service_factor < 1.0:
            trace.warn(
                "factor_below_one",
                f"A service factor of {duty.service_factor:g} lowers the load; the printed factors begin at 1.",
                field="duty.service_factor",
            )
        if duty.service_factor > 5.0:
            trace.warn(
                "factor_suspect",
                f"A service factor of {duty.service_factor:g} is far above the printed ones (1.0 to 1.7): is the "
                f"decimal point right ({duty.service_factor / 10:g})?",
                field="duty.service_factor",
            )
        return duty.service_factor
    if load_class is None:
        raise MoreNeeded(
            Issue(
                "duty.load_class",
                "field_required",
                "Send load_class (smooth, moderate_shock, heavy_shock) with prime_mover, or your own service_factor.",
            )
        )
    mover = duty.prime_mover
    if mover is None:
        mover = "electric_motor_or_turbine"
        trace.assume("prime_mover", mover, "default", "none was sent")
    row = tables.service_factors["asme", load_class, mover]
    trace.note((used_of(row, "service factor"),))
    trace.assume("service_factor", row.factor, "table", f"{load_class}, {mover}")
    return row.factor


def _check_ratio(ratio: float, tables: DriveTables, trace: Trace) -> None:
    usual, most = tables.advice("speed_ratio_max"), tables.advice("speed_ratio_max_slow")
    span = max(ratio, 1.0 / ratio)
    if span > most:
        first = span**0.5
        raise OutOfRange(
            Issue(
                "duty.ratio",
                "ratio_beyond_single_stage",
                f"A ratio of {span:.4g} is beyond one stage: {usual:g} is usual and {most:g} the most at low speed.",
                most,
                ratio,
                f"Split it into two stages of about {first:.2f} each.",
                "machinerys-27",
            )
        )
    if span > usual:
        trace.note(tables.advice_used("speed_ratio_max"))
        trace.warn(
            "ratio_high",
            f"A ratio of {span:.4g} in one stage is above the usual {usual:g}: look at wrap and space.",
            field="duty.ratio",
        )
    if ratio < 1.0:
        trace.warn(
            "step_up_drive",
            "The driven wheel turns faster than the driver: the small wheel is driven, and the tolerable elongation "
            "follows the large one.",
            severity="info",
            field="duty.ratio",
        )
