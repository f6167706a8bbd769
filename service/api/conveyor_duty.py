"""What a request says of a conveyor's load, chains, head wheel, drive, limiter and rules."""

from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import PlainText
from service.api.conveyor_fields import Friction
from service.api.quantities import (
    Angle,
    Density,
    Duration,
    Force,
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
from service.reference.conveyor_factors import Discharge

Factor = Annotated[float, Meta(ge=1e-6, le=1000)]
Fraction = Annotated[float, Meta(ge=1e-6, le=1)]


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
    roller_spacing: (
        Annotated[Length, Meta(description="From one roller of a chain to the next; one pitch where nothing is sent.")]
        | UnsetType
    ) = UNSET
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
    """The driving wheel: teeth, of a pocket wheel its pockets, or for a wheel without teeth its pitch diameter."""

    kind: Literal["toothed", "traction", "pocket"] = "toothed"
    teeth: (
        Annotated[float, Meta(ge=3, le=400, multiple_of=1, examples=[12], description="Or pockets, of two links each.")]
        | UnsetType
    ) = UNSET
    pitch_diameter: Length | UnsetType = UNSET
    wrap: Annotated[Angle, Meta(description="180 degrees where nothing is sent.")] | UnsetType = UNSET
    grip_friction: Annotated[float, Meta(ge=0, le=10, description="Of the chain on a traction wheel.")] | UnsetType = (
        UNSET
    )


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
    fatigue_limit: (
        Annotated[Force, Meta(description="Of one chain, pulsating from zero; of the tables otherwise.")] | UnsetType
    ) = UNSET
    fatigue_fraction: (
        Annotated[Fraction, Meta(description="Fatigue limit over tensile strength, in place of both.")] | UnsetType
    ) = UNSET
    surge_share: (
        Annotated[
            float,
            Meta(
                ge=0,
                le=1,
                description="Share of the moved mass that follows polygon action; with it the surge is judged.",
            ),
        ]
        | UnsetType
    ) = UNSET
    allowed_joint_pressure: Annotated[Stress, Meta(description="No table holds one.")] | UnsetType = UNSET
    allowed_roller_load: (
        Annotated[Force, Meta(description="On one roller, as its maker states it; no table holds one.")] | UnsetType
    ) = UNSET
    allowed_roller_pressure: (
        Annotated[Stress, Meta(description="Of a roller on its bush; no table holds one.")] | UnsetType
    ) = UNSET
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
