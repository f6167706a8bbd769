"""The duty of a drive: power, speeds or ratio, and the service factor, settled to one set of figures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from service.calculations.drive_tables import DriveTables, used_of
from service.core.errors import Inconsistent, Issue, MoreNeeded, OutOfRange

if TYPE_CHECKING:
    from service.calculations.trace import Trace

LoadClass = Literal["smooth", "moderate_shock", "heavy_shock"]
PrimeMover = Literal["engine_fluid_coupled", "electric_motor_or_turbine", "engine_mechanical"]

RATED_LIFE_H = 15_000
"""Operating hours at full load on which the printed ratings rest (jiang-2019, p. 156)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DriveDuty:
    """What the caller knows of the duty; speeds in r/min."""

    power_kw: float
    driver_speed_rpm: float
    driven_speed_rpm: float | None = None
    ratio: float | None = None
    service_factor: float | None = None
    load_class: LoadClass | None = None
    prime_mover: PrimeMover | None = None
    hours_per_day: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SettledDuty:
    """The duty with nothing left open."""

    power_kw: float
    driver_speed_rpm: float
    driven_speed_rpm: float
    ratio: float
    service_factor: float


def settle_duty(duty: DriveDuty, tables: DriveTables, trace: Trace) -> SettledDuty:
    """Ratio and service factor from what was sent.

    Raises:
        MoreNeeded: speed and ratio are both missing, or the duty says nothing of the load.
        Inconsistent: driven speed and ratio contradict each other, or the factor would count twice.
        OutOfRange: the ratio is beyond one stage.
    """
    ratio = _ratio(duty)
    factor = service_factor(duty, tables, trace)
    _check_ratio(ratio, tables, trace)
    if duty.hours_per_day is not None:
        days = RATED_LIFE_H / duty.hours_per_day
        trace.assume(
            "hours_per_day",
            duty.hours_per_day,
            "given",
            f"the ratings rest on {RATED_LIFE_H} h at full load, {days:.0f} days of such use; the printed service "
            "factors hold no hours, so they change no factor",
        )
    return SettledDuty(
        power_kw=duty.power_kw,
        driver_speed_rpm=duty.driver_speed_rpm,
        driven_speed_rpm=duty.driver_speed_rpm / ratio,
        ratio=ratio,
        service_factor=factor,
    )


def _ratio(duty: DriveDuty) -> float:
    if duty.driven_speed_rpm is None and duty.ratio is None:
        raise MoreNeeded(
            Issue("ratio", "field_required", "Send driven_speed or ratio (driver speed over driven speed).")
        )
    if duty.driven_speed_rpm is None:
        return duty.ratio or 1.0
    ratio = duty.driver_speed_rpm / duty.driven_speed_rpm
    if duty.ratio is not None and abs(duty.ratio / ratio - 1.0) > 0.005:
        raise Inconsistent(
            Issue(
                "ratio",
                "over_determined",
                f"The speeds give a ratio of {ratio:.4g}, but {duty.ratio:g} was sent; leave one of them out.",
                ratio,
                duty.ratio,
            )
        )
    return ratio


def service_factor(duty: DriveDuty, tables: DriveTables, trace: Trace) -> float:
    """The factor sent, or that of the printed table for load class and prime mover.

    Raises:
        MoreNeeded: neither a factor nor a load class was sent.
        Inconsistent: both were sent, so that the load would count twice.
    """
    if duty.service_factor is not None:
        if duty.load_class is not None or duty.prime_mover is not None:
            raise Inconsistent(
                Issue(
                    "service_factor",
                    "factor_double_counted",
                    "Send service_factor, or load_class with prime_mover, not both: the load would count twice.",
                )
            )
        if duty.service_factor < 1.0:
            trace.warn(
                "factor_below_one",
                f"A service factor of {duty.service_factor:g} lowers the load; the printed factors begin at 1.",
                field="service_factor",
            )
        if duty.service_factor > 5.0:
            trace.warn(
                "factor_suspect",
                f"A service factor of {duty.service_factor:g} is far above the printed ones (1.0 to 1.7): is the "
                f"decimal point right ({duty.service_factor / 10:g})?",
                field="service_factor",
            )
        return duty.service_factor
    if duty.load_class is None:
        raise MoreNeeded(
            Issue(
                "load_class",
                "field_required",
                "Send load_class (smooth, moderate_shock, heavy_shock) with prime_mover, or your own service_factor.",
            )
        )
    mover = duty.prime_mover
    if mover is None:
        mover = "electric_motor_or_turbine"
        trace.assume("prime_mover", mover, "default", "none was sent")
    row = tables.service_factors["asme", duty.load_class, mover]
    trace.note((used_of(row, "service factor"),))
    trace.assume("service_factor", row.factor, "table", f"{duty.load_class}, {mover}")
    return row.factor


def _check_ratio(ratio: float, tables: DriveTables, trace: Trace) -> None:
    usual, most = tables.advice("speed_ratio_max"), tables.advice("speed_ratio_max_slow")
    span = max(ratio, 1.0 / ratio)
    if span > most:
        first = span**0.5
        raise OutOfRange(
            Issue(
                "ratio",
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
            field="ratio",
        )
    if ratio < 1.0:
        trace.warn(
            "step_up_drive",
            "The driven wheel turns faster than the driver: the small wheel is driven, and the tolerable elongation "
            "follows the large one.",
            severity="info",
            field="ratio",
        )
