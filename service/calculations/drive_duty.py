"""The duty of a drive: power, speeds or ratio, and the service factor, settled to one set of figures."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING, Literal

from service.calculations.drive_service import LoadClass, PrimeMover, ServiceInput, settle_service
from service.calculations.refusals import Refusals
from service.core.conversions import KW_PER_HP
from service.core.errors import Inconsistent, Issue, MoreNeeded, OutOfRange
from service.core.forces import power_from_torque_kw
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Callable

    from service.calculations.drive_tables import DriveTables
    from service.calculations.trace import Trace

DriverRunning = Literal["smooth_running", "slight_shocks", "moderate_shocks"]
"""Class of the driver in ISO 10823."""
Material = Literal["carbon_steel", "stainless_steel"]
Shafts = Literal["horizontal", "vertical", "not_parallel"]

AGREEMENT = 0.005
"""Two values of one figure agree within this share; nameplates round."""

RATED_AMBIENT_C = (-5.0, 70.0)
"""Ambient temperature of the ISO power charts (ISO 10823, recalled)."""

RATED_LIFE_H = 15_000
"""Operating hours at full load on which the printed ratings rest (jiang-2019, p. 156)."""

MOTOR_SPEEDS_RPM = (2900, 1450, 960, 720, 3500, 1750, 1160, 870)
"""Usual nameplate speeds of motors of two to eight poles at 50 and 60 Hz (common practice); they only raise the
question whether a number in r/min was meant in rad/s."""


class DriveDuty(Record, frozen=True, kw_only=True):
    """What the caller knows of the duty; speeds in r/min. ``at`` is where it stands in the request."""

    driver_speed_rpm: float
    power_kw: float | None = None
    torque_n_m: float | None = None
    driven_speed_rpm: float | None = None
    ratio: float | None = None
    service_factor: float | None = None
    load_class: LoadClass | None = None
    prime_mover: PrimeMover | None = None
    driver_running: DriverRunning | None = None
    driven_machine: str | None = None
    hours_per_day: float | None = None
    ambient_temperature_c: float | None = None
    material: Material = "carbon_steel"
    shafts: Shafts = "horizontal"
    at: str = "duty"

    @property
    def load_field(self) -> str:
        """Where the load stands: the torque where that was sent and no power."""
        name = "torque_n_m" if self.power_kw is None and self.torque_n_m is not None else "power_kw"
        return f"{self.at}.{name}"


class SettledDuty(Record, frozen=True, kw_only=True):
    """The duty with nothing left open."""

    power_kw: float
    driver_speed_rpm: float
    driven_speed_rpm: float
    ratio: float
    service_factor: float
    load_class: LoadClass | None
    prime_mover: PrimeMover | None
    driver_running: DriverRunning | None
    at: str
    load_field: str


class OwnService(Record, frozen=True, kw_only=True):
    """The service factor of a kind of chain that has tables of its own, and what those say of hours a day."""

    factor: Callable[[], float]
    hours_note: str


def settle_duty(
    duty: DriveDuty, tables: DriveTables, trace: Trace, *, service: OwnService | None = None
) -> SettledDuty:
    """Power, ratio and service factor from what was sent; ``service`` settles the service factor in another way.

    Raises:
        MoreNeeded: power, ratio or load is not said at all.
        Inconsistent: figures contradict each other, or the factor would count twice.
        NotInReference: the driven machine is not among the examples.
        OutOfRange: the ratio is beyond one stage, or the shafts are not parallel.
    """
    refusals = Refusals()
    power_kw = refusals.attempt(_power, duty, trace)
    ratio = refusals.attempt(settle_ratio, duty, tables, trace)
    settled = refusals.attempt(_service, duty, tables, trace, service)
    refusals.attempt(check_surroundings, duty, trace, None if service is None else service.hours_note)
    refusals.tell()
    _question_speed_unit(duty, trace)
    load_class, service_factor = settled.value
    return SettledDuty(
        power_kw=power_kw.value,
        driver_speed_rpm=duty.driver_speed_rpm,
        driven_speed_rpm=duty.driver_speed_rpm / ratio.value,
        ratio=ratio.value,
        service_factor=service_factor,
        load_class=load_class,
        prime_mover=duty.prime_mover,
        driver_running=duty.driver_running,
        at=duty.at,
        load_field=duty.load_field,
    )


def _power(duty: DriveDuty, trace: Trace) -> float:
    """The power sent, or that of the torque; the power counts where both agree."""
    if duty.torque_n_m is None:
        if duty.power_kw is None:
            message = "Send power, or torque on the driver shaft."
            raise MoreNeeded(Issue(f"{duty.at}.power_kw", "field_required", message))
        return duty.power_kw
    power_kw = trace.take(power_from_torque_kw, torque_n_m=duty.torque_n_m, speed_rpm=duty.driver_speed_rpm)
    if duty.power_kw is None:
        return power_kw
    if abs(duty.power_kw / power_kw - 1.0) > AGREEMENT:
        raise Inconsistent(*_torque_contradiction(duty, duty.power_kw, power_kw))
    return duty.power_kw


def _torque_contradiction(duty: DriveDuty, sent_kw: float, power_kw: float) -> list[Issue]:
    issues = [
        Issue(
            f"{duty.at}.torque_n_m",
            "over_determined",
            f"Torque and speed give {power_kw:.4g} kW, but {sent_kw:.4g} kW were sent; leave one out.",
            power_kw,
            sent_kw,
        )
    ]
    if abs(sent_kw * KW_PER_HP / power_kw - 1.0) <= AGREEMENT:
        message = f"{sent_kw:.4g} hp would agree with the torque: is the unit of the power right?"
        issues.append(Issue(f"{duty.at}.power_kw", "unit_suspect", message, None, sent_kw, "Send the power in hp."))
    return issues


def settle_ratio(duty: DriveDuty, tables: DriveTables, trace: Trace) -> float:
    """Driver speed over driven speed, inside what one stage can do.

    Raises:
        MoreNeeded: neither the driven speed nor a ratio was sent.
        Inconsistent: they contradict each other.
        OutOfRange: one stage does not reach it.
    """
    ratio = _ratio(duty)
    usual, most = tables.advice("speed_ratio_max"), tables.advice("speed_ratio_max_slow")
    span = max(ratio, 1.0 / ratio)
    if span > most:
        trace.note(tables.advice_used("speed_ratio_max_slow"))
        raise OutOfRange(
            Issue(
                f"{duty.at}.ratio",
                "ratio_beyond_single_stage",
                f"A ratio of {span:.4g} is beyond one stage: {usual:g} is usual and {most:g} the most at low speed.",
                most,
                ratio,
                f"Split it into two stages of about {span**0.5:.2f} each.",
                "machinerys-27",
            )
        )
    if span > usual:
        trace.note(tables.advice_used("speed_ratio_max"))
        message = f"A ratio of {span:.4g} in one stage is above the usual {usual:g}: look at wrap and space."
        trace.warn("ratio_high", message, field=f"{duty.at}.ratio")
    if ratio < 1.0:
        trace.warn(
            "step_up_drive",
            "The driven wheel turns faster than the driver: the small wheel is driven, and the tolerable elongation "
            "follows the large one.",
            severity="info",
            field=f"{duty.at}.ratio",
        )
    return ratio


def _ratio(duty: DriveDuty) -> float:
    if duty.driven_speed_rpm is None:
        if duty.ratio is None:
            message = "Send driven_speed or ratio (driver speed over driven speed)."
            raise MoreNeeded(Issue(f"{duty.at}.ratio", "field_required", message))
        return duty.ratio
    ratio = duty.driver_speed_rpm / duty.driven_speed_rpm
    if duty.ratio is not None and abs(duty.ratio / ratio - 1.0) > AGREEMENT:
        raise Inconsistent(
            Issue(
                f"{duty.at}.ratio",
                "over_determined",
                f"The speeds give a ratio of {ratio:.4g}, but {duty.ratio:g} was sent; leave one of them out.",
                ratio,
                duty.ratio,
            )
        )
    return ratio


def _service(
    duty: DriveDuty, tables: DriveTables, trace: Trace, service: OwnService | None
) -> tuple[LoadClass | None, float]:
    if service is not None:
        return None, service.factor()
    sent = ServiceInput(duty.service_factor, duty.load_class, duty.prime_mover, duty.driven_machine, duty.at)
    return settle_service(sent, tables, trace)


def check_surroundings(duty: DriveDuty, trace: Trace, hours_note: str | None = None) -> None:
    """What the printed ratings take for granted: parallel shafts, carbon steel, usual temperature, hours.

    ``hours_note`` is what hours a day mean where the ratings of roller chain are not used.

    Raises:
        OutOfRange: the shafts are not parallel, or a day has no such number of hours.
    """
    if duty.shafts == "not_parallel":
        message = "Chain drives need parallel shafts and wheels in one plane."
        raise OutOfRange(Issue(f"{duty.at}.shafts", "shafts_not_parallel", message))
    if duty.shafts == "vertical":
        trace.warn(
            "vertical_shafts",
            "The shafts stand vertical: the ratings are for horizontal ones, and the strands need guides from below.",
            field=f"{duty.at}.shafts",
        )
    if duty.material == "stainless_steel":
        trace.warn(
            "rating_basis_differs",
            "The ratings are those of heat-treated carbon steel chain; no standard rates stainless chain, which "
            "carries and lasts less. Take the derating from the maker of the chain.",
            field=f"{duty.at}.material",
        )
    low_c, high_c = RATED_AMBIENT_C
    if duty.ambient_temperature_c is not None and not low_c <= duty.ambient_temperature_c <= high_c:
        trace.warn(
            "temperature_outside",
            f"{duty.ambient_temperature_c:g} degC lies outside the {low_c:g} to {high_c:g} degC for which the ratings "
            "are made (recalled from ISO 10823, verify): oil, hardness and clearances change.",
            field=f"{duty.at}.ambient_temperature_c",
        )
    if duty.hours_per_day is not None:
        _check_hours(duty.hours_per_day, duty.at, trace, hours_note)


def _check_hours(hours_per_day: float, at: str, trace: Trace, note: str | None) -> None:
    if hours_per_day > 24.0:
        message = f"{hours_per_day:g} hours a day were sent; a day has 24."
        raise OutOfRange(Issue(f"{at}.hours_per_day", "hours_out_of_range", message, 24.0, hours_per_day))
    rated_life = (
        f"the ratings rest on {RATED_LIFE_H} h at full load, {RATED_LIFE_H / hours_per_day:.0f} days of such use; the "
        "printed service factors hold no hours, so they change no factor"
    )
    trace.assume(f"{at}.hours_per_day", hours_per_day, "given", rated_life if note is None else note)


def _question_speed_unit(duty: DriveDuty, trace: Trace) -> None:
    """Ask whether rad/s was meant where an odd number is just a motor's nameplate speed in rad/s."""
    speed = duty.driver_speed_rpm
    if speed % 5 == 0:
        return
    for nameplate in MOTOR_SPEEDS_RPM:
        if abs(speed - nameplate * pi / 30.0) < 0.5:
            trace.warn(
                "unit_suspect",
                f"{speed:g} r/min is slow for a motor; {speed:g} rad/s would be its usual {nameplate} r/min. Is the "
                "unit right?",
                severity="info",
                field=f"{duty.at}.driver_speed_rpm",
            )
            return
