"""What a request says of a conveyor's path: runs, turns, boot and take-up."""

from typing import Annotated

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import PlainText
from service.api.optional_fields import sent
from service.api.quantities import Angle, Force, Inputs, Length, Mass, SignedLength
from service.calculations.conveyor_input import (
    Boot,
    Curve,
    Named,
    Part,
    Ratio,
    Resistance,
    Run,
    TakeUp,
    Wheel,
)
from service.core.errors import Inconsistent, Issue, MoreNeeded

Friction = Annotated[float, Meta(ge=0, le=1000, description="Coefficient of friction.", examples=[0.2])]
PartName = Annotated[PlainText, Meta(description="Name of the point at the end of this part.", examples=["tail"])]


class StraightRun(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A straight run in the direction of motion; level where neither incline nor lift is sent."""

    length: Annotated[Length, Meta(description="Along the chain.")]
    incline: Annotated[Angle, Meta(description="To the horizontal; up positive, down negative.")] | UnsetType = UNSET
    lift: Annotated[SignedLength, Meta(description="Height gained; negative for a descent.")] | UnsetType = UNSET
    loaded: Annotated[bool, Meta(description="Whether the run carries the load.")] = False
    supported: Annotated[bool, Meta(description="False for a free span between wheels.")] = True
    chain_friction: Annotated[Friction, Meta(description="Of this run only.")] | UnsetType = UNSET
    load_friction: Annotated[Friction, Meta(description="Of this run only.")] | UnsetType = UNSET
    lengthened_by: Annotated[Length, Meta(description="Part of the length that is new.")] | UnsetType = UNSET


class GuideCurve(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A rail or guide on which the chain slides round an angle."""

    angle: Annotated[Angle, Meta(description="Angle of the turn, zero or more.")]
    friction: Friction
    radius: Annotated[Length, Meta(description="On which the joints run, for the load on rollers.")] | UnsetType = UNSET


class IdleWheel(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A wheel that the chain turns round, with the friction of bearing and joints."""

    pitch_diameter: Length
    wrap: Annotated[Angle, Meta(description="180 degrees where nothing is sent.")] | UnsetType = UNSET
    shaft_diameter: Annotated[Length, Meta(description="In the bearing.")]
    bearing_friction: Friction
    pin_diameter: Annotated[Length, Meta(description="Pin or bush on which the joint turns.")] | UnsetType = UNSET
    joint_friction: Friction | UnsetType = UNSET


class ElevatorBoot(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The boot of an elevator, where the buckets dig."""

    tail_pitch_diameter: Length
    digging_factor: (
        Annotated[float, Meta(ge=0, le=100, description="By the kind of discharge where nothing is sent.")] | UnsetType
    ) = UNSET


class PathPart(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One part of the path: exactly one of run, curve, wheel, tension_ratio, resistance and boot."""

    name: PartName | UnsetType = UNSET
    run: StraightRun | UnsetType = UNSET
    curve: GuideCurve | UnsetType = UNSET
    wheel: IdleWheel | UnsetType = UNSET
    tension_ratio: (
        Annotated[float, Meta(gt=0, le=1000, description="Tension after a turn over tension before it.")] | UnsetType
    ) = UNSET
    resistance: Annotated[Force, Meta(description="Pull of a plough, scraper or seal.")] | UnsetType = UNSET
    boot: ElevatorBoot | UnsetType = UNSET


class ChainTakeUp(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What keeps the chain tight: a hanging mass, or the force of screw or spring on the take-up wheel."""

    after: Annotated[
        PlainText, Meta(description="Name of the part at whose end it stands; `drive` for the slack side.")
    ]
    mass: Annotated[Mass, Meta(description="Of the weight with its wheel and frame.")] | UnsetType = UNSET
    force: Annotated[Force, Meta(description="Of screw or spring on all its strands.")] | UnsetType = UNSET
    strand_count: Annotated[
        float, Meta(ge=1, le=16, multiple_of=1, description="Strands that carry it: two for a wheel.")
    ] = 2


_KINDS = ("run", "curve", "wheel", "tension_ratio", "resistance", "boot")


def read_path(parts: list[PathPart], inputs: Inputs) -> tuple[Named, ...]:
    """The path in canonical units; parts without a name are called by kind and place.

    Raises:
        Inconsistent: a part is several things at once.
        MoreNeeded: a part is nothing.
    """
    return tuple(_named(part, index, inputs) for index, part in enumerate(parts))


def _named(part: PathPart, index: int, inputs: Inputs) -> Named:
    told = [kind for kind in _KINDS if not isinstance(getattr(part, kind), UnsetType)]
    if len(told) > 1:
        message = f"Part {index + 1} of the path is {' and '.join(told)}; send each as a part of its own."
        raise Inconsistent(Issue(f"path.{index}.{told[1]}", "over_determined", message))
    if not told:
        message = f"Part {index + 1} of the path is nothing: send one of {', '.join(_KINDS)}."
        raise MoreNeeded(Issue(f"path.{index}", "field_required", message))
    default = f"{told[0].replace('_', ' ')} {index + 1}"
    return Named(name=sent(part.name) or default, part=_part(part, f"/path/{index}/{told[0]}", inputs))


def _part(part: PathPart, at: str, inputs: Inputs) -> Part:
    if not isinstance(part.run, UnsetType):
        return _run(part.run, at, inputs)
    if not isinstance(part.curve, UnsetType):
        return Curve(
            angle_deg=inputs.canonical(part.curve.angle, f"{at}/angle"),
            friction=part.curve.friction,
            radius_mm=inputs.optional(part.curve.radius, f"{at}/radius"),
        )
    if not isinstance(part.wheel, UnsetType):
        return _wheel(part.wheel, at, inputs)
    if not isinstance(part.boot, UnsetType):
        diameter = inputs.canonical(part.boot.tail_pitch_diameter, f"{at}/tail_pitch_diameter")
        return Boot(tail_pitch_diameter_mm=diameter, digging_factor=sent(part.boot.digging_factor))
    if not isinstance(part.resistance, UnsetType):
        return Resistance(force_n=inputs.canonical(part.resistance, at))
    return Ratio(tension_ratio=sent(part.tension_ratio) or 1.0)


def _run(run: StraightRun, at: str, inputs: Inputs) -> Run:
    lift = inputs.optional(run.lift, f"{at}/lift")
    new = inputs.optional(run.lengthened_by, f"{at}/lengthened_by")
    return Run(
        length_m=inputs.canonical(run.length, f"{at}/length") / 1000.0,
        incline_deg=inputs.optional(run.incline, f"{at}/incline"),
        lift_m=None if lift is None else lift / 1000.0,
        loaded=run.loaded,
        supported=run.supported,
        chain_friction=sent(run.chain_friction),
        load_friction=sent(run.load_friction),
        lengthened_by_m=0.0 if new is None else new / 1000.0,
    )


def _wheel(wheel: IdleWheel, at: str, inputs: Inputs) -> Wheel:
    wrap = inputs.optional(wheel.wrap, f"{at}/wrap")
    return Wheel(
        pitch_diameter_mm=inputs.canonical(wheel.pitch_diameter, f"{at}/pitch_diameter"),
        wrap_deg=180.0 if wrap is None else wrap,
        shaft_diameter_mm=inputs.canonical(wheel.shaft_diameter, f"{at}/shaft_diameter"),
        bearing_friction=wheel.bearing_friction,
        pin_diameter_mm=inputs.optional(wheel.pin_diameter, f"{at}/pin_diameter") or 0.0,
        joint_friction=sent(wheel.joint_friction) or 0.0,
    )


def read_take_up(take_up: ChainTakeUp, inputs: Inputs) -> TakeUp:
    """The take-up in canonical units."""
    return TakeUp(
        after=take_up.after,
        mass_kg=inputs.optional(take_up.mass, "/take_up/mass"),
        force_n=inputs.optional(take_up.force, "/take_up/force"),
        strand_count=int(take_up.strand_count),
    )
