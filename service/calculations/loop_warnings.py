"""What to tell about a loop that can be built, and what to try where it cannot."""

from __future__ import annotations

from math import atan2, copysign, degrees, hypot, pi
from typing import TYPE_CHECKING

from service.calculations.trace import Check
from service.core.errors import EngineeringError, OutOfRange
from service.core.loop_conflicts import LOOPED_WRAP_RAD, clear_loop
from service.core.loops import Contact, Loop, Span, Wheel, tangent

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.calculations.trace import Trace
    from service.reference.drive_proportions import ProportionRow

FEW_TEETH = 3
"""Teeth in mesh below which a toothed wheel is reported (practice of the trade, no publication read)."""

SHORTER_BY = 1e-3
"""Share by which another order of the wheels has to be shorter before it is named (ours)."""


def check_driver(trace: Trace, contact: Contact, rule: ProportionRow) -> None:
    """Hold the wrap of the driving wheel against the published least wrap."""
    trace.row(rule, "least wrap of a driving wheel")
    trace.check(Check("wrap_of_driver", contact.wrap_deg, rule.value, "angle", "at_least"))


def warn_of_contacts(trace: Trace, wheels: Sequence[Wheel], loop: Loop, driver: int) -> None:
    """Tell of toothed wheels with few teeth in mesh, and what the other side would give where they do not drive."""
    for index, (wheel, contact) in enumerate(zip(wheels, loop.contacts, strict=True)):
        if wheel.teeth is None or contact.pitches >= FEW_TEETH:
            continue
        mesh = f"Wheel {index + 1} has {contact.pitches:.3g} teeth in mesh ({contact.wrap_deg:.4g} degrees)"
        if index == driver:
            text = f"{mesh}; a driving wheel needs {FEW_TEETH} or more so that the chain does not jump."
            trace.warn("teeth_engaged_few", text, field=f"wheels.{index}")
        else:
            text = f"{mesh}; {_other_side(wheels, index, loop)}"
            trace.warn("wrap_small", text, field=f"wheels.{index}")


def _other_side(wheels: Sequence[Wheel], index: int, loop: Loop) -> str:
    """What the wheel would be wrapped by with the chain passing it on its other side."""
    other = "inside" if wheels[index].side == "outside" else "outside"
    after = (index + 1) % len(wheels)
    radius = -loop.contacts[index].signed_radius_mm
    try:
        arriving = _strand(wheels, index - 1, loop.contacts[index - 1].signed_radius_mm, index, radius)
        leaving = _strand(wheels, index, radius, after, loop.contacts[after].signed_radius_mm)
    except OutOfRange:
        return f"{other} the loop there is no path."
    wrap = copysign(1, radius) * (leaving.direction_rad - arriving.direction_rad) % (2 * pi)
    if wrap > LOOPED_WRAP_RAD:
        return f"{other} the loop it would not be touched."
    return f"{other} the loop it would be wrapped by {degrees(wrap):.4g} degrees."


def _strand(wheels: Sequence[Wheel], start: int, start_radius: float, end: int, end_radius: float) -> Span:
    return tangent(
        start_x_mm=wheels[start].x_mm,
        start_y_mm=wheels[start].y_mm,
        start_signed_radius_mm=start_radius,
        end_x_mm=wheels[end].x_mm,
        end_y_mm=wheels[end].y_mm,
        end_signed_radius_mm=end_radius,
    )


def warn_of_order(trace: Trace, wheels: Sequence[Wheel], pitch_mm: float, length_pitches: float) -> None:
    """Tell of an order of the wheels that gives a shorter loop without crossings."""
    better = _order_around(wheels, pitch_mm)
    if better and better[1] < length_pitches * (1 - SHORTER_BY):
        text = (
            f"In the order {_named(better[0])} the chain would be {better[1]:.6g} pitches long and not "
            f"{length_pitches:.6g}: is the order that of the path?"
        )
        trace.warn("order_suspect", text, field="wheels")


def hint_at_order(refusal: OutOfRange, wheels: Sequence[Wheel], pitch_mm: float) -> OutOfRange:
    """The refusal, with an order of the wheels that would do in the hint of strands that cross."""
    better = _order_around(wheels, pitch_mm) if any(i.code == "path_crosses" for i in refusal.issues) else None
    if better is None:
        return refusal
    hint = f"In the order {_named(better[0])} the strands do not cross."
    return OutOfRange(*(i._replace(hint=hint) if i.code == "path_crosses" else i for i in refusal.issues))


def _order_around(wheels: Sequence[Wheel], pitch_mm: float) -> tuple[list[int], float] | None:
    """The order in which the wheels stand round their middle, and the loop in it; None if it is the order given."""
    count = len(wheels)
    x, y = sum(wheel.x_mm for wheel in wheels) / count, sum(wheel.y_mm for wheel in wheels) / count
    around = sorted(
        range(count),
        key=lambda i: (atan2(wheels[i].y_mm - y, wheels[i].x_mm - x), hypot(wheels[i].x_mm - x, wheels[i].y_mm - y)),
    )
    start = around.index(0)
    around = around[start:] + around[:start]
    if count < 4 or around in ([*range(count)], [0, *range(count - 1, 0, -1)]):
        return None
    try:
        found = clear_loop(
            wheels=[wheels[i] for i in around], pitch_mm=pitch_mm, half_height_mm=0.0, travel="counter_clockwise"
        )
    except EngineeringError:
        return None
    return around, found.loop.length_pitches


def _named(order: Sequence[int]) -> str:
    return ", ".join(str(index + 1) for index in order)
