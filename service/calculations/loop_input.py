"""What is asked about a loop, and its wheels made ready for the core: y upwards, radii known."""

from __future__ import annotations

from math import radians
from typing import TYPE_CHECKING, Literal

from service.core.conversions import MM_PER_INCH
from service.core.errors import Issue, MoreNeeded, OutOfRange
from service.core.loops import Side, Travel, Wheel
from service.core.pitch_circles import pitch_radius
from service.core.sliding_loops import Slide
from service.core.sprocket_asme import outside_diameter
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.trace import Trace
    from service.reference.chains import ChainSize
    from service.reference.drive_proportions import ProportionRow


class LoopWheelInput(Record, frozen=True, kw_only=True):
    """One wheel in path order: toothed by its teeth, plain by its pitch diameter."""

    x_mm: float
    y_mm: float
    side: Side
    teeth: float | None
    pitch_diameter_mm: float | None
    outside_diameter_mm: float | None


class SlideInput(Record, frozen=True, kw_only=True):
    """A wheel that can be moved, by its index, and the ends of its travel; the angle runs from the x to the y axis."""

    wheel: int
    direction_deg: float
    minimum_travel_mm: float
    maximum_travel_mm: float


class ChainLoopInput(Record, frozen=True, kw_only=True):
    """A chain, its wheels in path order, and what is free."""

    chain: ChainSize
    wheels: tuple[LoopWheelInput, ...]
    travel: Travel | None
    y_axis: Literal["up", "down"]
    driver_wheel: int
    slide: SlideInput | None
    pitch_count: int | None
    offset_link_allowed: bool
    wrap_rule: ProportionRow

    @property
    def upwards(self) -> int:
        """Sign that turns the caller's y upwards."""
        return 1 if self.y_axis == "up" else -1

    @property
    def multiple(self) -> int:
        """Number that a pitch count must be a multiple of."""
        return 1 if self.offset_link_allowed else 2


def read_half_height(given: ChainLoopInput, trace: Trace) -> float:
    """Half the plate height of the chain in mm, or nothing where it is not known."""
    if given.chain.find("inner_plate_height") is not None:
        return trace.figure(given.chain, "inner_plate_height") / 2
    note = "no plate height of this chain is known, so that clearances are those of its pitch line"
    trace.assume("own_chain.inner_plate_height", 0.0, "default", note)
    return 0.0


def read_wheels(given: ChainLoopInput, pitch_mm: float, trace: Trace) -> tuple[Wheel, ...]:
    """The wheels with y upwards.

    Raises:
        MoreNeeded: a wheel has neither teeth nor a pitch diameter.
        OutOfRange: teeth are impossible, or a wheel is named that is not there.
    """
    _check_indexes(given)
    return tuple(_wheel(given, index, pitch_mm, trace) for index in range(len(given.wheels)))


def read_slide(given: ChainLoopInput) -> Slide | None:
    """The slide with y upwards."""
    slide = given.slide
    if slide is None:
        return None
    return Slide(
        wheel=slide.wheel,
        direction_rad=given.upwards * radians(slide.direction_deg),
        minimum_travel_mm=slide.minimum_travel_mm,
        maximum_travel_mm=slide.maximum_travel_mm,
    )


def _check_indexes(given: ChainLoopInput) -> None:
    last = len(given.wheels) - 1
    named = {"driver_wheel": given.driver_wheel}
    if given.slide:
        named["slide.wheel"] = given.slide.wheel
    issues = [
        Issue(field, "wheel_unknown", f"There is no wheel {index}; they count from 0 to {last}.", last, index)
        for field, index in named.items()
        if index > last >= 0
    ]
    if issues:
        raise OutOfRange(*issues)


def _wheel(given: ChainLoopInput, index: int, pitch_mm: float, trace: Trace) -> Wheel:
    wheel = given.wheels[index]
    radius = _pitch_radius(wheel, index, pitch_mm, trace)
    return Wheel(
        x_mm=wheel.x_mm,
        y_mm=given.upwards * wheel.y_mm,
        pitch_radius_mm=radius,
        outside_radius_mm=_outside_radius(given, index, radius, pitch_mm, trace),
        teeth=wheel.teeth,
        side=wheel.side,
    )


def _pitch_radius(wheel: LoopWheelInput, index: int, pitch_mm: float, trace: Trace) -> float:
    field = f"wheels.{index}.teeth"
    if wheel.teeth is not None and (2 * wheel.teeth) % 1:
        text = f"Wheel {index + 1} has {wheel.teeth:g} teeth; a whole number is needed, or a half at double pitch."
        raise OutOfRange(Issue(field, "must_be_whole", text, None, wheel.teeth))
    if wheel.pitch_diameter_mm is not None:
        return wheel.pitch_diameter_mm / 2
    if wheel.teeth is None:
        text = f"Wheel {index + 1} needs its teeth, or its pitch diameter if it is plain."
        raise MoreNeeded(Issue(field, "field_required", text))
    try:
        return trace.take(pitch_radius, teeth=wheel.teeth, pitch_mm=pitch_mm)
    except OutOfRange as refusal:
        raise OutOfRange(refusal.issues[0]._replace(field=field)) from None


def _outside_radius(given: ChainLoopInput, index: int, radius_mm: float, pitch_mm: float, trace: Trace) -> float:
    wheel = given.wheels[index]
    if wheel.outside_diameter_mm is not None:
        return wheel.outside_diameter_mm / 2
    field = f"wheels.{index}.outside_diameter"
    if given.chain.row.family == "roller" and wheel.teeth is not None and not wheel.teeth % 1:
        outside = MM_PER_INCH * trace.take(outside_diameter, pitch_in=pitch_mm / MM_PER_INCH, teeth=int(wheel.teeth))
        trace.assume(field, outside, "derived", "mm, usual outside diameter of a roller chain wheel")
        return max(outside / 2, radius_mm)
    trace.assume(field, 2 * radius_mm, "default", "mm, the pitch circle; what stands out beyond it is not looked at")
    return radius_mm
