"""The layout of a conveyor settled: slopes of its runs, ratios of its turns, digging in the boot, and the take-up."""

from __future__ import annotations

from math import asin, atan, degrees, log, radians, sin
from typing import TYPE_CHECKING

from service.calculations.conveyor_factors import question_friction
from service.calculations.conveyor_input import Boot, Curve, Named, Part, Ratio, Resistance, Run, Wheel
from service.calculations.conveyor_path import ConveyorPath
from service.calculations.refusals import at_field
from service.core.conversions import KG_PER_POUND, MM_PER_FOOT, MM_PER_INCH, N_PER_LBF
from service.core.conveyor_capacity import digging_pull, load_from_pieces
from service.core.conveyor_friction import curve_ratio, wheel_ratio
from service.core.conveyor_pull import Lump, Turn, gravity_take_up_tension
from service.core.errors import EngineeringError, Inconsistent, Issue, MoreNeeded, NotInReference, OutOfRange

if TYPE_CHECKING:
    from service.calculations.conveyor_factors import FactorBook
    from service.calculations.conveyor_input import ConveyorSizingInput, TakeUp
    from service.calculations.conveyor_load import SettledLoad
    from service.calculations.trace import Trace

LIFT_AGREES = 0.005
"""Within this share of the length an angle and a lift tell the same slope (ours)."""

GREATEST_CURVE_DEG = 360.0
"""A guide curve goes round once at most; more turns are more curves (ours)."""

GREATEST_RATIO = 1000.0
"""Tension ratio of all turns together beyond which a path is no conveyor (ours)."""

AT_DRIVE = "drive"
"""Name of the start of the path, the slack side of the drive."""


def settle_path(
    given: ConveyorSizingInput,
    load: SettledLoad,
    frictions: tuple[float, float],
    book: FactorBook,
) -> ConveyorPath:
    """The path with slopes, turns, boot, attached mass and take-up settled.

    Raises:
        Inconsistent, MoreNeeded, OutOfRange, NotInReference: a part, a name or the take-up does not hold together.
    """
    parts = given.path
    _check_names(parts)
    if not any(isinstance(named.part, Run) for named in parts):
        raise MoreNeeded(Issue("path", "field_required", "A conveyor has at least one run."))
    attached = given.attached
    attached_kg_m = 0.0
    if attached is not None:
        attached_kg_m = book.trace.take(load_from_pieces, piece_mass_kg=attached.mass_kg, spacing_m=attached.spacing_m)
    point = 0 if given.take_up is None else _place(given.take_up, parts)
    return ConveyorPath(
        parts=parts,
        angles_rad=tuple(_angle(named.part, index, book.trace) for index, named in enumerate(parts)),
        load=load,
        load_rests_on_chain=given.load.carried in {"on_chain", "in_buckets", "on_trolleys"},
        rides_on_chain=given.load.carried in {"on_chain", "in_buckets", "on_trolleys"} and given.load.friction is None,
        chain_friction=frictions[0],
        load_friction=frictions[1],
        attached_kg_m=attached_kg_m,
        chain_lines=given.chains.chain_lines,
        least_tension_n=given.least_tension_n,
        slack_tension_n=given.slack_tension_n,
        take_up_tension_n=None if given.take_up is None else _take_up_tension(given.take_up, book.trace),
        take_up_point=point,
        fixed=_fixed(parts, given, load, book),
    )


def _check_names(parts: tuple[Named, ...]) -> None:
    seen: dict[str, int] = {AT_DRIVE: -1}
    for index, named in enumerate(parts):
        if named.name in seen:
            message = f"Two points of the path are called {named.name[:60]!r}; each needs a name of its own."
            raise Inconsistent(Issue(f"path.{index}.name", "name_repeated", message, None, named.name[:60]))
        seen[named.name] = index


def _place(take_up: TakeUp, parts: tuple[Named, ...]) -> int:
    if take_up.after == AT_DRIVE:
        return 0
    for index, named in enumerate(parts, start=1):
        if named.name == take_up.after:
            return index
    names = ", ".join([AT_DRIVE, *(named.name for named in parts)][:20])
    message = f"No part of the path is called {take_up.after[:60]!r}."
    raise NotInReference(
        Issue("take_up.after", "point_not_on_path", message, None, take_up.after[:60], f"Known: {names}.")
    )


def _take_up_tension(take_up: TakeUp, trace: Trace) -> float:
    """Tension in the strand at the take-up.

    Raises:
        Inconsistent: both mass and force were sent.
        MoreNeeded: neither.
    """
    if take_up.mass_kg is not None and take_up.force_n is not None:
        message = "Send the mass or the force of the take-up, not both."
        raise Inconsistent(Issue("take_up.force_n", "over_determined", message))
    if take_up.mass_kg is not None:
        return trace.take(gravity_take_up_tension, take_up_mass_kg=take_up.mass_kg, strand_count=take_up.strand_count)
    if take_up.force_n is None:
        raise MoreNeeded(Issue("take_up.mass_kg", "field_required", "A take-up needs its mass or its force."))
    return take_up.force_n / take_up.strand_count


def _angle(part: Part, index: int, trace: Trace) -> float:
    """Angle of a run, up positive; zero for what is no run.

    Raises:
        OutOfRange: beyond the vertical, or a lift greater than the length.
        MoreNeeded: the angle reads like a percentage against the lift.
        Inconsistent: angle and lift tell different slopes.
    """
    if not isinstance(part, Run):
        return 0.0
    at = f"path.{index}.run"
    for name in ("chain_friction", "load_friction"):
        value = getattr(part, name)
        if value is not None:
            question_friction(f"{at}.{name}", value, trace)
    _check_slope(part, at)
    if part.lengthened_by_m >= part.length_m:
        message = f"A run of {part.length_m:g} m cannot have been lengthened by {part.lengthened_by_m:g} m."
        raise OutOfRange(
            Issue(f"{at}.lengthened_by_m", "geometry_impossible", message, part.length_m, part.lengthened_by_m)
        )
    if part.lift_m is not None:
        return asin(part.lift_m / part.length_m)
    return radians(part.incline_deg or 0.0)


def _check_slope(run: Run, at: str) -> None:
    incline, lift, length = run.incline_deg, run.lift_m, run.length_m
    if incline is not None and abs(incline) > 90:
        message = f"An incline of {incline:g} degrees lies beyond the vertical."
        hint = "Give a descending run a negative incline, in the direction in which the chain runs."
        raise OutOfRange(Issue(f"{at}.incline_deg", "angle_out_of_range", message, 90.0, incline, hint))
    if lift is not None and abs(lift) > length:
        message = f"A run of {length:g} m cannot rise or fall {lift:g} m."
        hint = "The length is measured along the chain, not level."
        raise OutOfRange(Issue(f"{at}.lift_m", "geometry_impossible", message, length, lift, hint))
    if incline is None or lift is None or abs(length * sin(radians(incline)) - lift) <= LIFT_AGREES * length:
        return
    for sine in (sin(atan(incline / 100)), incline / 100):
        if abs(length * sine - lift) <= LIFT_AGREES * length:
            message = f"{incline:g} degrees do not lift {lift:g} m over {length:g} m; {incline:g} per cent do."
            hint = f"If per cent are meant, send {degrees(asin(lift / length)):.4g} deg or the lift alone."
            raise MoreNeeded(Issue(f"{at}.incline_deg", "angle_or_percent", message, None, incline, hint))
    message = f"{incline:g} degrees over {length:g} m lift {length * sin(radians(incline)):.4g} m, not {lift:g} m."
    raise Inconsistent(Issue(f"{at}.lift_m", "over_determined", message, None, lift, "Send the incline or the lift."))


def _fixed(
    parts: tuple[Named, ...], given: ConveyorSizingInput, load: SettledLoad, book: FactorBook
) -> dict[int, Turn | Lump]:
    fixed: dict[int, Turn | Lump] = {}
    for index, named in enumerate(parts):
        part = named.part
        if isinstance(part, Resistance):
            fixed[index] = Lump(force_n=part.force_n)
        elif isinstance(part, Boot):
            fixed[index] = Lump(force_n=_digging(part, index, given, load, book))
        elif not isinstance(part, Run):
            fixed[index] = Turn(tension_ratio=_turn_ratio(part, index, book.trace))
    product = 1.0
    for index, section in fixed.items():
        product *= section.tension_ratio if isinstance(section, Turn) else 1.0
        if product > GREATEST_RATIO:
            raise _beyond_ratio(f"path.{index}", None)
    return fixed


def _beyond_ratio(field: str, received: float | None) -> OutOfRange:
    message = (
        f"The turns up to here multiply the tension by more than {GREATEST_RATIO:g}; no chain gets round such a path."
    )
    return OutOfRange(Issue(field, "ratio_above_limit", message, GREATEST_RATIO, received))


def _turn_ratio(part: Curve | Wheel | Ratio, index: int, trace: Trace) -> float:
    if isinstance(part, Ratio):
        if part.tension_ratio < 1:
            message = f"A tension ratio of {part.tension_ratio:g} would be a turn that pulls; friction only adds."
            field_name = f"path.{index}.tension_ratio"
            raise OutOfRange(Issue(field_name, "ratio_below_one", message, 1.0, part.tension_ratio))
        return part.tension_ratio
    if isinstance(part, Curve):
        question_friction(f"path.{index}.curve.friction", part.friction, trace)
        if not 0.0 <= part.angle_deg <= GREATEST_CURVE_DEG:
            message = f"A curve turns the chain by zero to {GREATEST_CURVE_DEG:g} degrees, not by {part.angle_deg:g}."
            hint = "Send each turn of a spiral as a curve of its own."
            field = f"path.{index}.curve.angle_deg"
            raise OutOfRange(Issue(field, "angle_out_of_range", message, GREATEST_CURVE_DEG, part.angle_deg, hint))
        if part.friction * radians(part.angle_deg) > log(GREATEST_RATIO):
            raise _beyond_ratio(f"path.{index}.curve.friction", part.friction)
        return trace.take(curve_ratio, friction=part.friction, wrap_rad=radians(part.angle_deg))
    try:
        return trace.take(
            wheel_ratio,
            joint_friction=part.joint_friction,
            pin_diameter_mm=part.pin_diameter_mm,
            bearing_friction=part.bearing_friction,
            shaft_diameter_mm=part.shaft_diameter_mm,
            wheel_radius_mm=part.pitch_diameter_mm / 2.0,
            wrap_rad=radians(part.wrap_deg),
        )
    except EngineeringError as refused:
        fields = {"wrap_rad": "wrap_deg", "wheel_radius_mm": "pitch_diameter_mm"}
        raise at_field(refused, fields, f"path.{index}.wheel.") from None


def _digging(boot: Boot, index: int, given: ConveyorSizingInput, load: SettledLoad, book: FactorBook) -> float:
    """Pull of the buckets that fill themselves in the boot.

    Raises:
        MoreNeeded: neither a factor nor the kind of discharge was sent.
    """
    factor = boot.digging_factor
    if factor is not None:
        book.given("digging_factor", factor)
    else:
        discharge = None if given.load.buckets is None else given.load.buckets.discharge
        if discharge is None:
            message = "The digging pull needs load.buckets.discharge, or the boot's own digging_factor."
            raise MoreNeeded(Issue(f"path.{index}.boot.digging_factor", "field_required", message))
        row = book.factors.conveyor.digging_factors.where(discharge=discharge)[0]
        factor = book.printed("digging_factor", row.factor, row, "the unit of the tail diameter is inferred as inches")
    pull_lbf = book.trace.take(
        digging_pull,
        load_lb_ft=load.load_kg_m * MM_PER_FOOT / 1000.0 / KG_PER_POUND,
        tail_pitch_diameter_in=boot.tail_pitch_diameter_mm / MM_PER_INCH,
        digging_factor=factor,
    )
    return pull_lbf * N_PER_LBF
