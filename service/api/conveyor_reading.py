"""Reading what a request says of a conveyor's load, chains, drive, limiter and rules into canonical units."""

from __future__ import annotations

from msgspec import UnsetType

from service.api.conveyor_duty import (
    Attachments,
    ConveyorChains,
    ConveyorDrive,
    ConveyorLoad,
    ConveyorSite,
    HeadWheel,
    LoadBuckets,
    OverloadLimiter,
    SideWalls,
    SizingRules,
)
from service.api.optional_fields import sent
from service.api.quantities import Inputs, Length
from service.calculations import conveyor_input as conveyor
from service.reference.conveyor_factors import ServiceGroup

MILLIMETRES = 1000.0
SECONDS_OF_AN_HOUR = 3600.0


def read_load(load: ConveyorLoad, inputs: Inputs) -> conveyor.Load:
    """The load in canonical units."""
    pieces, section, buckets = sent(load.pieces), sent(load.section), sent(load.buckets)
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
        fill=sent(load.fill),
        density_kg_m3=inputs.optional(load.density, "/load/density"),
        material=sent(load.material),
        friction=sent(load.friction),
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
        discharge=sent(buckets.discharge),
    )


def _walls(walls: SideWalls, inputs: Inputs) -> conveyor.Walls:
    return conveyor.Walls(
        depth_m=_metres(walls.depth, "/load/walls/depth", inputs),
        constant=sent(walls.constant),
        lateral_ratio=sent(walls.lateral_ratio),
        internal_friction_deg=inputs.optional(walls.internal_friction, "/load/walls/internal_friction"),
        wall_friction=sent(walls.wall_friction),
    )


def read_chain_set(chains: ConveyorChains, inputs: Inputs) -> conveyor.ChainSet:
    """The chains in canonical units."""
    shares, rollers, renewed = sent(chains.shares), sent(chains.rollers), sent(chains.lines_renewed)
    at = "/chains/rollers"
    return conveyor.ChainSet(
        chain_lines=int(chains.chain_lines),
        shares=None if shares is None else tuple(shares),
        mass_kg_m=inputs.optional(chains.mass_per_length, "/chains/mass_per_length"),
        mass_where_unknown_kg_m=inputs.optional(chains.mass_where_unknown, "/chains/mass_where_unknown"),
        track=sent(chains.track),
        friction=sent(chains.friction),
        roller_spacing_mm=inputs.optional(chains.roller_spacing, "/chains/roller_spacing"),
        rollers=None
        if rollers is None
        else conveyor.Rollers(
            axle_friction=rollers.axle_friction,
            axle_diameter_mm=inputs.canonical(rollers.axle_diameter, f"{at}/axle_diameter"),
            roller_diameter_mm=inputs.canonical(rollers.roller_diameter, f"{at}/roller_diameter"),
            rolling_arm_mm=inputs.canonical(rollers.rolling_arm, f"{at}/rolling_arm"),
            flange_factor=rollers.flange_factor,
        ),
        running_direction=sent(chains.running_direction),
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
    teeth, wrap = sent(head.teeth), inputs.optional(head.wrap, "/head_wheel/wrap")
    return conveyor.HeadWheel(
        kind=head.kind,
        teeth=None if teeth is None else int(teeth),
        pitch_diameter_mm=inputs.optional(head.pitch_diameter, "/head_wheel/pitch_diameter"),
        wrap_deg=180.0 if wrap is None else wrap,
        grip_friction=sent(head.grip_friction),
    )


def read_drive(drive: ConveyorDrive, inputs: Inputs) -> conveyor.Drive:
    """The drive in canonical units."""
    start = inputs.optional(drive.start_time, "/drive/start_time")
    return conveyor.Drive(
        motor_power_kw=inputs.optional(drive.motor_power, "/drive/motor_power"),
        stall_torque_ratio=sent(drive.stall_torque_ratio),
        efficiency=sent(drive.efficiency),
        start_time_s=None if start is None else start * SECONDS_OF_AN_HOUR,
        starting_friction_ratio=sent(drive.starting_friction_ratio),
    )


def read_limiter(limiter: OverloadLimiter, inputs: Inputs) -> conveyor.Limiter:
    """The limiter in canonical units."""
    pin, at = sent(limiter.pin), "/limiter/pin"
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
        "load": sent(rules.load),
        "shock_frequency": sent(rules.shock_frequency),
        "surroundings": sent(rules.surroundings),
        "daily_hours": sent(rules.daily_hours),
    }
    return conveyor.Rules(
        conditions={group: condition for group, condition in told.items() if condition is not None},
        service_factor=sent(rules.service_factor),
        speed_factor=sent(rules.speed_factor),
        static_factor=sent(rules.static_factor),
        static_rule=sent(rules.static_rule),
        peak_fraction=sent(rules.peak_fraction),
        fatigue_limit_n=inputs.optional(rules.fatigue_limit, "/rules/fatigue_limit"),
        fatigue_fraction=sent(rules.fatigue_fraction),
        surge_share=sent(rules.surge_share),
        allowed_roller_load_n=inputs.optional(rules.allowed_roller_load, "/rules/allowed_roller_load"),
        allowed_roller_pressure_n_mm2=inputs.optional(rules.allowed_roller_pressure, "/rules/allowed_roller_pressure"),
        allowed_joint_pressure_n_mm2=inputs.optional(rules.allowed_joint_pressure, "/rules/allowed_joint_pressure"),
        temperature_c=inputs.optional(rules.temperature, "/rules/temperature"),
        temperature_factor=sent(rules.temperature_factor),
    )


def read_site(site: ConveyorSite) -> conveyor.Site:
    """The surroundings."""
    return conveyor.Site(
        wet=site.wet,
        corrosive=site.corrosive,
        abrasive=site.abrasive,
        combustible_dust=site.combustible_dust,
        lubrication=sent(site.lubrication),
        joints=sent(site.joints),
    )
