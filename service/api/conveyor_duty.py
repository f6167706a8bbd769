"""What a request says of a conveyor's load, chains, head wheel, drive, limiter and rules."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import PlainText
from service.api.conveyor_fields import Friction
from service.api.drive_fields import given
from service.api.quantities import (
    Angle,
    Density,
    Duration,
    Inputs,
    Length,
    Mass,
    MassFlow,
    MassPerLength,
    Power,
    RotationalSpeed,
    Stress,
    Temperature,
    Torque,
    Volume,
)
from service.calculations import conveyor_input as conveyor
from service.reference.conveyor_factors import Discharge, ServiceGroup

Factor = Annotated[float, Meta(ge=1e-6, le=1000)]
Fraction = Annotated[float, Meta(ge=1e-6, le=1)]
MILLIMETRES = 1000.0
SECONDS_OF_AN_HOUR = 3600.0


class LoadPieces(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Goods that follow each other."""

    mass: Annotated[Mass, Meta(description="Of one piece.")]
    spacing: Annotated[Length, Meta(description="From one to the next.")]


class LoadSection(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Inside of a trough, pan or flight space."""

    width: Length
    depth: Length


class LoadBuckets(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Buckets of an elevator; their mass is that of `attached`."""

    volume: Volume
    spacing: Length
    depth: Annotated[Length, Meta(description="Along the chain; to see that they do not collide.")] | UnsetType = UNSET
    discharge: Discharge | UnsetType = UNSET


class SideWalls(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Side walls or skirts: by the constant of the material's table, or by pressure and friction."""

    depth: Annotated[Length, Meta(description="Of the material; from the section otherwise.")] | UnsetType = UNSET
    constant: Annotated[Factor, Meta(description="Metric side-wall constant c.")] | UnsetType = UNSET
    lateral_ratio: Annotated[float, Meta(ge=0, le=10)] | UnsetType = UNSET
    internal_friction: Annotated[Angle, Meta(description="Angle of internal friction.")] | UnsetType = UNSET
    wall_friction: Friction | UnsetType = UNSET


class ConveyorLoad(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is conveyed: one of throughput, load_per_length, pieces and fill, and how it rests."""

    carried: Annotated[
        Literal["on_chain", "in_trough", "pushed", "in_buckets", "on_trolleys"],
        Meta(
            description="On slats or pans, dragged in a trough, pushed on a bed, lifted in buckets, hung on trolleys."
        ),
    ]
    throughput: MassFlow | UnsetType = UNSET
    load_per_length: MassPerLength | UnsetType = UNSET
    pieces: LoadPieces | UnsetType = UNSET
    section: LoadSection | UnsetType = UNSET
    buckets: LoadBuckets | UnsetType = UNSET
    fill: Annotated[float, Meta(gt=0, le=1000, description="Filled share of section or bucket.")] | UnsetType = UNSET
    density: Density | UnsetType = UNSET
    material: (
        Annotated[PlainText, Meta(description="As in the tables of friction and side walls.", examples=["coal"])]
        | UnsetType
    ) = UNSET
    friction: Annotated[Friction, Meta(description="Of the load on its bed.")] | UnsetType = UNSET
    walls: SideWalls | UnsetType = UNSET


class TrackRollers(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Rollers on which the chain runs."""

    axle_friction: Friction
    axle_diameter: Length
    roller_diameter: Length
    rolling_arm: Length
    flange_factor: Annotated[float, Meta(ge=1, le=100)]


class ConveyorChains(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The chains side by side, and one of track, friction and rollers."""

    chain_lines: Annotated[float, Meta(ge=1, le=100, multiple_of=1, description="Chains side by side.")] = 1
    shares: (
        Annotated[
            list[Fraction],
            Meta(min_length=1, max_length=100, description="Share of each chain; 1.2 over their number otherwise."),
        ]
        | UnsetType
    ) = UNSET
    mass_per_length: Annotated[MassPerLength, Meta(description="Of one chain, in place of any table.")] | UnsetType = (
        UNSET
    )
    mass_where_unknown: (
        Annotated[MassPerLength, Meta(description="Of one chain where the tables hold none.")] | UnsetType
    ) = UNSET
    track: (
        Annotated[
            Literal[
                "sliding_dry",
                "sliding_lubricated",
                "rolling_planning_value",
                "rolling_large_roller_dry",
                "rolling_large_roller_lubricated",
                "rolling_standard_roller_dry",
                "rolling_standard_roller_lubricated",
                "top_roller_dry",
                "top_roller_lubricated",
                "drag_chain_on_trough",
                "drag_bars_on_guides",
            ],
            Meta(description="Condition of `GET /v1/factors/track_frictions`."),
        ]
        | UnsetType
    ) = UNSET
    friction: Annotated[Friction, Meta(description="Your own, of the chain on its track.")] | UnsetType = UNSET
    rollers: TrackRollers | UnsetType = UNSET
    running_direction: (
        Annotated[
            Literal["narrow_end_forward", "wide_end_forward"], Meta(description="Of chain with offset links or hooks.")
        ]
        | UnsetType
    ) = UNSET
    lines_renewed: (
        Annotated[float, Meta(ge=0, le=100, multiple_of=1, description="Chains of the set that are renewed.")]
        | UnsetType
    ) = UNSET


class Attachments(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Slats, pans, flights, buckets or trolleys, for the whole width."""

    mass: Annotated[Mass, Meta(description="Of one, with its fixings.")]
    spacing: Annotated[Length, Meta(description="A whole number of pitches.")]


class HeadWheel(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The driving wheel: teeth, or for a wheel without teeth its pitch diameter."""

    kind: Literal["toothed", "traction", "pocket"] = "toothed"
    teeth: Annotated[float, Meta(ge=3, le=400, multiple_of=1, examples=[12])] | UnsetType = UNSET
    pitch_diameter: Length | UnsetType = UNSET
    wrap: Annotated[Angle, Meta(description="180 degrees where nothing is sent.")] | UnsetType = UNSET
    grip_friction: Annotated[Friction, Meta(description="Of the chain on a traction wheel.")] | UnsetType = UNSET


class ConveyorDrive(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Motor and start."""

    motor_power: Annotated[Power, Meta(description="Rated.")] | UnsetType = UNSET
    stall_torque_ratio: (
        Annotated[float, Meta(gt=0, le=20, description="Greatest torque of the held motor over rated torque.")]
        | UnsetType
    ) = UNSET
    efficiency: Annotated[Fraction, Meta(description="From motor to head shaft.")] | UnsetType = UNSET
    start_time: Annotated[Duration, Meta(description="To full speed.")] | UnsetType = UNSET
    starting_friction_ratio: (
        Annotated[float, Meta(ge=1, le=20, description="Friction at the start over friction in motion.")] | UnsetType
    ) = UNSET


class LimiterPin(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The pins of a shear-pin hub."""

    diameter: Annotated[Length, Meta(description="In the notch.")]
    shear_strength: Annotated[Stress, Meta(description="Ultimate, of the bar that the pins are cut from.")]
    circle_radius: Annotated[Length, Meta(description="Of the pins about the shaft.")]
    sheared_sections: Annotated[float, Meta(ge=1, le=100, multiple_of=1)] = 1


class OverloadLimiter(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A torque limiter or shear pin; without setting and pin the answer gives its window."""

    scatter: Annotated[float, Meta(ge=0, lt=1, description="Of the tripping torque, as a fraction of the setting.")]
    shaft_speed: Annotated[RotationalSpeed, Meta(description="Of its shaft; the head shaft otherwise.")] | UnsetType = (
        UNSET
    )
    setting: Annotated[Torque, Meta(description="Nominal.")] | UnsetType = UNSET
    pin: LimiterPin | UnsetType = UNSET


class SizingRules(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Service conditions, and factors of your own in place of the tabulated ones."""

    load: Literal["uniform", "moderate_shock", "heavy_shock"] | UnsetType = UNSET
    shock_frequency: Literal["infrequent", "frequent"] | UnsetType = UNSET
    surroundings: Literal["clean", "moderately_dirty", "exposed_or_very_dirty"] | UnsetType = UNSET
    daily_hours: Literal["8_to_10_h", "10_to_24_h"] | UnsetType = UNSET
    service_factor: Factor | UnsetType = UNSET
    speed_factor: Factor | UnsetType = UNSET
    static_factor: Annotated[Factor, Meta(description="Tensile strength over running tension.")] | UnsetType = UNSET
    static_rule: (
        Annotated[
            Literal["by_speed", "bucket_line", "drag", "elevator", "grain_drag"],
            Meta(description="Printed rule for the static factor; by speed where nothing is sent."),
        ]
        | UnsetType
    ) = UNSET
    peak_fraction: (
        Annotated[Fraction, Meta(description="Share of tensile strength that a single peak may reach.")] | UnsetType
    ) = UNSET
    allowed_joint_pressure: Annotated[Stress, Meta(description="No table holds one.")] | UnsetType = UNSET
    temperature: Annotated[Temperature, Meta(description="Of the chain.")] | UnsetType = UNSET
    temperature_factor: Fraction | UnsetType = UNSET


class ConveyorSite(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Surroundings that decide on joints and lubrication."""

    wet: bool = False
    corrosive: bool = False
    abrasive: bool = False
    combustible_dust: bool = False
    lubrication: Literal["none", "oil", "grease"] | UnsetType = UNSET
    joints: Annotated[Literal["plain", "hardened", "stainless"], Meta(description="Intended.")] | UnsetType = UNSET


def read_load(load: ConveyorLoad, inputs: Inputs) -> conveyor.Load:
    """The load in canonical units."""
    pieces, section, buckets = given(load.pieces), given(load.section), given(load.buckets)
    return conveyor.Load(
        carried=load.carried,
        throughput_t_h=inputs.optional(load.throughput, "/load/throughput"),
        load_per_length_kg_m=inputs.optional(load.load_per_length, "/load/load_per_length"),
        pieces=None
        if pieces is None
        else conveyor.Pieces(
            mass_kg=inputs.canonical(pieces.mass, "/load/pieces/mass"),
            spacing_m=inputs.canonical(pieces.spacing, "/load/pieces/spacing") / MILLIMETRES,
        ),
        section=None
        if section is None
        else conveyor.TroughSection(
            width_m=inputs.canonical(section.width, "/load/section/width") / MILLIMETRES,
            depth_m=inputs.canonical(section.depth, "/load/section/depth") / MILLIMETRES,
        ),
        buckets=None if buckets is None else _buckets(buckets, inputs),
        fill=given(load.fill),
        density_kg_m3=inputs.optional(load.density, "/load/density"),
        material=given(load.material),
        friction=given(load.friction),
        walls=None if isinstance(load.walls, UnsetType) else _walls(load.walls, inputs),
    )


def _metres(length: Length | UnsetType, pointer: str, inputs: Inputs) -> float | None:
    value = inputs.optional(length, pointer)
    return None if value is None else value / MILLIMETRES


def _buckets(buckets: LoadBuckets, inputs: Inputs) -> conveyor.Buckets:
    return conveyor.Buckets(
        volume_l=inputs.canonical(buckets.volume, "/load/buckets/volume"),
        spacing_m=inputs.canonical(buckets.spacing, "/load/buckets/spacing") / MILLIMETRES,
        depth_m=_metres(buckets.depth, "/load/buckets/depth", inputs),
        discharge=given(buckets.discharge),
    )


def _walls(walls: SideWalls, inputs: Inputs) -> conveyor.Walls:
    return conveyor.Walls(
        depth_m=_metres(walls.depth, "/load/walls/depth", inputs),
        constant=given(walls.constant),
        lateral_ratio=given(walls.lateral_ratio),
        internal_friction_deg=inputs.optional(walls.internal_friction, "/load/walls/internal_friction"),
        wall_friction=given(walls.wall_friction),
    )


def read_chain_set(chains: ConveyorChains, inputs: Inputs) -> conveyor.ChainSet:
    """The chains in canonical units."""
    shares, rollers, renewed = given(chains.shares), given(chains.rollers), given(chains.lines_renewed)
    at = "/chains/rollers"
    return conveyor.ChainSet(
        chain_lines=int(chains.chain_lines),
        shares=None if shares is None else tuple(shares),
        mass_kg_m=inputs.optional(chains.mass_per_length, "/chains/mass_per_length"),
        mass_where_unknown_kg_m=inputs.optional(chains.mass_where_unknown, "/chains/mass_where_unknown"),
        track=given(chains.track),
        friction=given(chains.friction),
        rollers=None
        if rollers is None
        else conveyor.Rollers(
            axle_friction=rollers.axle_friction,
            axle_diameter_mm=inputs.canonical(rollers.axle_diameter, f"{at}/axle_diameter"),
            roller_diameter_mm=inputs.canonical(rollers.roller_diameter, f"{at}/roller_diameter"),
            rolling_arm_mm=inputs.canonical(rollers.rolling_arm, f"{at}/rolling_arm"),
            flange_factor=rollers.flange_factor,
        ),
        running_direction=given(chains.running_direction),
        lines_renewed=None if renewed is None else int(renewed),
    )


def read_attached(attached: Attachments, inputs: Inputs) -> conveyor.Attached:
    """The attachments in canonical units."""
    return conveyor.Attached(
        mass_kg=inputs.canonical(attached.mass, "/attached/mass"),
        spacing_m=inputs.canonical(attached.spacing, "/attached/spacing") / MILLIMETRES,
    )


def read_head_wheel(head: HeadWheel, inputs: Inputs) -> conveyor.HeadWheel:
    """The head wheel in canonical units."""
    teeth, wrap = given(head.teeth), inputs.optional(head.wrap, "/head_wheel/wrap")
    return conveyor.HeadWheel(
        kind=head.kind,
        teeth=None if teeth is None else int(teeth),
        pitch_diameter_mm=inputs.optional(head.pitch_diameter, "/head_wheel/pitch_diameter"),
        wrap_deg=180.0 if wrap is None else wrap,
        grip_friction=given(head.grip_friction),
    )


def read_drive(drive: ConveyorDrive, inputs: Inputs) -> conveyor.Drive:
    """The drive in canonical units."""
    start = inputs.optional(drive.start_time, "/drive/start_time")
    return conveyor.Drive(
        motor_power_kw=inputs.optional(drive.motor_power, "/drive/motor_power"),
        stall_torque_ratio=given(drive.stall_torque_ratio),
        efficiency=given(drive.efficiency),
        start_time_s=None if start is None else start * SECONDS_OF_AN_HOUR,
        starting_friction_ratio=given(drive.starting_friction_ratio),
    )


def read_limiter(limiter: OverloadLimiter, inputs: Inputs) -> conveyor.Limiter:
    """The limiter in canonical units."""
    pin, at = given(limiter.pin), "/limiter/pin"
    return conveyor.Limiter(
        scatter=limiter.scatter,
        shaft_speed_rpm=inputs.optional(limiter.shaft_speed, "/limiter/shaft_speed"),
        setting_n_m=inputs.optional(limiter.setting, "/limiter/setting"),
        pin=None
        if pin is None
        else conveyor.ShearPin(
            diameter_mm=inputs.canonical(pin.diameter, f"{at}/diameter"),
            shear_strength_n_mm2=inputs.canonical(pin.shear_strength, f"{at}/shear_strength"),
            circle_radius_mm=inputs.canonical(pin.circle_radius, f"{at}/circle_radius"),
            sheared_sections=int(pin.sheared_sections),
        ),
    )


def read_rules(rules: SizingRules, inputs: Inputs) -> conveyor.Rules:
    """The rules in canonical units."""
    told: dict[ServiceGroup, str | None] = {
        "load": given(rules.load),
        "shock_frequency": given(rules.shock_frequency),
        "surroundings": given(rules.surroundings),
        "daily_hours": given(rules.daily_hours),
    }
    return conveyor.Rules(
        conditions={group: condition for group, condition in told.items() if condition is not None},
        service_factor=given(rules.service_factor),
        speed_factor=given(rules.speed_factor),
        static_factor=given(rules.static_factor),
        static_rule=given(rules.static_rule),
        peak_fraction=given(rules.peak_fraction),
        allowed_joint_pressure_n_mm2=inputs.optional(rules.allowed_joint_pressure, "/rules/allowed_joint_pressure"),
        temperature_c=inputs.optional(rules.temperature, "/rules/temperature"),
        temperature_factor=given(rules.temperature_factor),
    )


def read_site(site: ConveyorSite) -> conveyor.Site:
    """The surroundings."""
    return conveyor.Site(
        wet=site.wet,
        corrosive=site.corrosive,
        abrasive=site.abrasive,
        combustible_dust=site.combustible_dust,
        lubrication=given(site.lubrication),
        joints=given(site.joints),
    )
