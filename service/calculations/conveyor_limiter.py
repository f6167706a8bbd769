"""Overload of a conveyor: what a stalled motor pulls, what a chain allows, and where a limiter may be set."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.refusals import at_field
from service.core.conveyor_power import pull_of_torque, torque
from service.core.errors import EngineeringError, Inconsistent, Issue, MoreNeeded, NoSolution, OutOfRange
from service.core.forces import effective_pull_n
from service.core.limiter_window import Window, check_setting, pin_diameter, pin_torque, window
from service.core.pocket_wheel import travel_per_turn
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.conveyor_input import Drive, HeadWheel, Limiter
    from service.calculations.trace import Trace

NO_SCATTER = 0.0
"""Scatter of the ideal limiter for which a window is shown where none was sent."""


class Overload(Record, frozen=True, kw_only=True):
    """Pulls of one chain choice that a limiter stands between.

    Attributes:
        starting_pull_n: Effective pull of a sound start.
        slack_n: Tension on the slack side of the drive.
        allowed_tension_n: Greatest momentary tension of all chains together; None where no rule is known.
        stall_pull_n: Effective pull of the stalled motor; None where it is unknown.
    """

    starting_pull_n: float
    slack_n: float
    allowed_tension_n: float | None
    stall_pull_n: float | None


class LimiterAnswer(Record, frozen=True, kw_only=True):
    """Where a limiter may be set on its shaft, or why nowhere; and the jam that is left with it."""

    shaft_speed_rpm: float
    needed_n_m: float
    allowed_n_m: float | None
    window: Window | None
    refusal: str | None
    lowest_pin_mm: float | None
    highest_pin_mm: float | None
    setting_n_m: float | None
    setting_issue: Issue | None
    jam_pull_n: float | None
    jam_tension_n: float | None


def stall_pull(drive: Drive, speed_m_s: float, trace: Trace) -> float | None:
    """Effective pull of the motor held at its stall torque; losses are not taken off, so that it errs upwards."""
    if drive.motor_power_kw is None:
        return None
    if drive.stall_torque_ratio is None:
        trace.warn(
            "stall_torque_missing",
            "The pull of a jam follows from the stall torque of the motor: send drive.stall_torque_ratio of its"
            " data sheet (breakdown or locked-rotor torque over rated torque, whichever is greater).",
            severity="info",
            field="drive.stall_torque_ratio",
        )
        return None
    rated = trace.take(effective_pull_n, power_kw=drive.motor_power_kw, chain_speed_m_s=speed_m_s)
    return drive.stall_torque_ratio * rated


def setting_of(limiter: Limiter | None, trace: Trace) -> float | None:
    """Nominal tripping torque that the caller's limiter has, on its own shaft.

    Raises:
        Inconsistent: both a setting and a pin were sent.
    """
    if limiter is None:
        return None
    pin = limiter.pin
    if pin is None:
        return limiter.setting_n_m
    if limiter.setting_n_m is not None:
        message = "Send the setting or the pin of the limiter, not both: a pin has its torque."
        raise Inconsistent(Issue("limiter.pin", "over_determined", message))
    return trace.take(
        pin_torque,
        pin_diameter_mm=pin.diameter_mm,
        shear_strength_n_mm2=pin.shear_strength_n_mm2,
        pin_circle_radius_mm=pin.circle_radius_mm,
        sheared_sections=pin.sheared_sections,
    )


class LimiterPlace(Record, frozen=True, kw_only=True):
    """The limiter on its shaft: speed ratio to the head shaft, efficiency between the two, scatter and setting."""

    limiter: Limiter | None
    setting_n_m: float | None
    efficiency: float
    pitch_diameter_mm: float
    head_speed_rpm: float

    @property
    def scatter(self) -> float:
        """Scatter of the tripping torque."""
        return NO_SCATTER if self.limiter is None else self.limiter.scatter

    @property
    def shaft_speed_rpm(self) -> float:
        """Speed of the limiter's shaft; the head shaft where none was told."""
        told = None if self.limiter is None else self.limiter.shaft_speed_rpm
        return self.head_speed_rpm if told is None else told

    @property
    def ratio(self) -> float:
        """Speed of the limiter's shaft over that of the head shaft."""
        return self.shaft_speed_rpm / self.head_speed_rpm

    @property
    def losses(self) -> float:
        """Efficiency between limiter and head shaft: one where they are the same shaft."""
        return 1.0 if self.shaft_speed_rpm == self.head_speed_rpm else self.efficiency


def limiter_answer(overload: Overload, place: LimiterPlace, trace: Trace) -> LimiterAnswer:
    """Window of settings, how a setting lies in it, and the pull of a jam with and without the limiter."""
    needed, allowed = torques(overload, place, trace)
    found, refusal = _window(needed, allowed, place.scatter, trace)
    jam = _jam_pull(overload, place, trace)
    pins = _pins(found, place.limiter, trace)
    return LimiterAnswer(
        shaft_speed_rpm=place.shaft_speed_rpm,
        needed_n_m=needed,
        allowed_n_m=allowed,
        window=found,
        refusal=refusal,
        lowest_pin_mm=pins[0],
        highest_pin_mm=pins[1],
        setting_n_m=place.setting_n_m,
        setting_issue=setting_issue(needed, allowed, place),
        jam_pull_n=jam,
        jam_tension_n=None if jam is None else overload.slack_n + jam,
    )


def torques(overload: Overload, place: LimiterPlace, trace: Trace) -> tuple[float, float | None]:
    """Torque of a sound start and torque that the chain allows, both at the limiter's shaft."""
    diameter = place.pitch_diameter_mm
    needed = trace.take(torque, effective_pull_n=overload.starting_pull_n, pitch_diameter_mm=diameter)
    needed /= place.ratio * place.losses
    if overload.allowed_tension_n is None:
        return needed, None
    spare = overload.allowed_tension_n - overload.slack_n
    return needed, trace.take(torque, effective_pull_n=spare, pitch_diameter_mm=diameter) / place.ratio


def _window(needed: float, allowed: float | None, scatter: float, trace: Trace) -> tuple[Window | None, str | None]:
    if needed <= 0:
        return None, "The conveyor drives itself at the start, so a limiter has nothing to hold; look at the brake."
    if allowed is None:
        return None, "No rule says what peak this family of chain may bear: send rules.peak_fraction."
    if allowed <= 0:
        return None, "The slack-side tension alone uses up what the chain may bear."
    try:
        return trace.take(window, needed_n_m=needed, allowed_n_m=allowed, scatter=scatter), None
    except NoSolution as none:
        return None, none.issues[0].message


def setting_issue(needed: float, allowed: float | None, place: LimiterPlace) -> Issue | None:
    """Why the caller's setting does not serve: it trips at starts, or it comes after the chain."""
    if place.setting_n_m is None:
        return None
    # A limit that is unknown leaves its side open: a setting is not refused for it.
    lowest = max(needed, 0.0) / (1 - place.scatter)
    highest = place.setting_n_m if allowed is None else allowed / (1 + place.scatter)
    try:
        check_setting(setting_n_m=place.setting_n_m, allowed=Window(lowest_n_m=lowest, highest_n_m=highest))
    except EngineeringError as refusal:
        return refusal.issues[0]
    return None


def _jam_pull(overload: Overload, place: LimiterPlace, trace: Trace) -> float | None:
    """Greatest effective pull of a jam: of the stalled motor, or of the limiter at the top of its scatter."""
    pulls = [] if overload.stall_pull_n is None else [overload.stall_pull_n]
    if place.setting_n_m is not None:
        trips = trace.take(
            pull_of_torque,
            torque_n_m=place.setting_n_m * (1 + place.scatter),
            gear_ratio=place.ratio,
            efficiency=1.0,
            pitch_diameter_mm=place.pitch_diameter_mm,
        )
        pulls.append(trips)
    return min(pulls, default=None)


def _pins(found: Window | None, limiter: Limiter | None, trace: Trace) -> tuple[float | None, float | None]:
    """Diameters of the caller's kind of pin at both ends of the window."""
    pin = None if limiter is None else limiter.pin
    if found is None or pin is None:
        return None, None

    def diameter(torque_n_m: float) -> float:
        return trace.take(
            pin_diameter,
            torque_n_m=torque_n_m,
            shear_strength_n_mm2=pin.shear_strength_n_mm2,
            pin_circle_radius_mm=pin.circle_radius_mm,
            sheared_sections=pin.sheared_sections,
        )

    return diameter(found.lowest_n_m), diameter(found.highest_n_m)


def check_head_wheel(head: HeadWheel) -> None:
    """Refuse a head wheel whose diameter is unknown or told twice, or whose wrap cannot be.

    Raises:
        OutOfRange: the wrap is none of a wheel.
        Inconsistent: a pitch diameter beside teeth, whose pitch each chain brings along, or teeth of a traction wheel.
        MoreNeeded: teeth, pockets, or the pitch diameter of a wheel without teeth, are missing.
    """
    if not 0.0 < head.wrap_deg <= 360.0:
        message = f"A wrap of {head.wrap_deg:g} degrees is none that a head wheel has; above zero to 360 are possible."
        raise OutOfRange(Issue("head_wheel.wrap_deg", "angle_out_of_range", message, 360.0, head.wrap_deg))
    if head.kind == "toothed":
        if head.teeth is None:
            message = "The head wheel needs its teeth: they set its diameter and the factor of speed and teeth."
            raise MoreNeeded(Issue("head_wheel.teeth", "field_required", message))
        if head.pitch_diameter_mm is not None:
            message = "The teeth and the pitch of each chain set the diameter of a toothed head wheel; leave it out."
            raise Inconsistent(Issue("head_wheel.pitch_diameter_mm", "over_determined", message))
    elif head.kind == "pocket":
        _check_pocket_wheel(head)
    elif head.teeth is not None:
        message = "A traction wheel has no teeth: its pitch diameter sets its speed."
        raise Inconsistent(Issue("head_wheel.teeth", "over_determined", message, None, head.teeth))
    elif head.pitch_diameter_mm is None:
        message = "A traction wheel needs its pitch diameter."
        raise MoreNeeded(Issue("head_wheel.pitch_diameter_mm", "field_required", message))


def _check_pocket_wheel(head: HeadWheel) -> None:
    """A pocket wheel is told by its pockets, each of which takes two links, or by its diameter."""
    if head.teeth is None and head.pitch_diameter_mm is None:
        message = "A pocket wheel needs its pockets, as head_wheel.teeth, or its pitch diameter."
        raise MoreNeeded(Issue("head_wheel.teeth", "field_required", message))
    if head.teeth is None:
        return
    if head.pitch_diameter_mm is not None:
        message = "The pockets and the pitch of each chain set the travel of a pocket wheel; leave its diameter out."
        raise Inconsistent(Issue("head_wheel.pitch_diameter_mm", "over_determined", message))
    try:
        travel_per_turn(pitch_mm=1.0, pockets=head.teeth)
    except EngineeringError as few:
        raise at_field(few, {"pockets": "teeth"}, "head_wheel.") from None
