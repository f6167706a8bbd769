"""What a conveyor is, in canonical units: its path, its load, its chains, its drive and the caller's own factors."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from service.reference.chains import ChainSize
    from service.reference.conveyor_factors import Discharge, ServiceGroup

Carried = Literal["on_chain", "in_trough", "pushed", "in_buckets", "on_trolleys"]
WheelKind = Literal["toothed", "traction", "pocket"]
StaticRule = Literal["by_speed", "bucket_line", "drag", "elevator", "grain_drag"]
RunningDirection = Literal["narrow_end_forward", "wide_end_forward"]
Lubrication = Literal["none", "oil", "grease"]
Joints = Literal["plain", "hardened", "stainless"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A straight run; its slope is told by an angle or by a lift, level where neither is told."""

    length_m: float
    incline_deg: float | None = None
    lift_m: float | None = None
    loaded: bool = False
    supported: bool = True
    chain_friction: float | None = None
    load_friction: float | None = None
    lengthened_by_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """A guide or rail on which the chain slides round an angle."""

    angle_deg: float
    friction: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Wheel:
    """An idle wheel with the friction of its bearing and of the joints that turn on it."""

    pitch_diameter_mm: float
    wrap_deg: float
    shaft_diameter_mm: float
    bearing_friction: float
    pin_diameter_mm: float = 0.0
    joint_friction: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Ratio:
    """A turn by the ratio of the tensions after and before it."""

    tension_ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Resistance:
    """A force at one place."""

    force_n: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Boot:
    """The boot of an elevator, in which buckets dig."""

    tail_pitch_diameter_mm: float
    digging_factor: float | None = None


Part = Run | Curve | Wheel | Ratio | Resistance | Boot


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """A part of the path with its name; the caller's own, or kind and place."""

    name: str
    part: Part


@dataclass(frozen=True, slots=True, kw_only=True)
class Pieces:
    """Goods that follow each other."""

    mass_kg: float
    spacing_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TroughSection:
    """Inside of a trough, pan or flight space."""

    width_m: float
    depth_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Buckets:
    """Buckets of an elevator."""

    volume_l: float
    spacing_m: float
    depth_m: float | None = None
    discharge: Discharge | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Walls:
    """Side walls or skirts that the material rubs on."""

    depth_m: float | None = None
    constant: float | None = None
    lateral_ratio: float | None = None
    internal_friction_deg: float | None = None
    wall_friction: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What is conveyed and how it rests on chain, trough or bucket."""

    carried: Carried
    throughput_t_h: float | None = None
    load_per_length_kg_m: float | None = None
    pieces: Pieces | None = None
    section: TroughSection | None = None
    buckets: Buckets | None = None
    fill: float | None = None
    density_kg_m3: float | None = None
    material: str | None = None
    friction: float | None = None
    walls: Walls | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rollers:
    """Rollers on which the chain runs, for its friction on the track."""

    axle_friction: float
    axle_diameter_mm: float
    roller_diameter_mm: float
    rolling_arm_mm: float
    flange_factor: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ChainSet:
    """The chains side by side and their friction on the track."""

    chain_lines: int = 1
    shares: tuple[float, ...] | None = None
    mass_kg_m: float | None = None
    mass_where_unknown_kg_m: float | None = None
    track: str | None = None
    friction: float | None = None
    rollers: Rollers | None = None
    running_direction: RunningDirection | None = None
    lines_renewed: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Attached:
    """Slats, pans, flights, buckets or trolleys, for the whole width."""

    mass_kg: float
    spacing_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeUp:
    """What keeps the chain tight: a hanging mass or a force on the wheel that so many strands carry."""

    after: str
    mass_kg: float | None = None
    force_n: float | None = None
    strand_count: int = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadWheel:
    """The driving wheel."""

    kind: WheelKind = "toothed"
    teeth: int | None = None
    pitch_diameter_mm: float | None = None
    wrap_deg: float = 180.0
    grip_friction: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Drive:
    """Motor and start; what is left out is said to be unknown."""

    motor_power_kw: float | None = None
    stall_torque_ratio: float | None = None
    efficiency: float | None = None
    start_time_s: float | None = None
    starting_friction_ratio: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ShearPin:
    """The pins of a shear-pin hub."""

    diameter_mm: float
    shear_strength_n_mm2: float
    circle_radius_mm: float
    sheared_sections: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Limiter:
    """An overload limiter: its scatter, the shaft it sits on and its setting, where they are known."""

    scatter: float
    shaft_speed_rpm: float | None = None
    setting_n_m: float | None = None
    pin: ShearPin | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """Service conditions, or the caller's own factors in their place."""

    conditions: dict[ServiceGroup, str] = field(default_factory=dict)
    service_factor: float | None = None
    speed_factor: float | None = None
    static_factor: float | None = None
    static_rule: StaticRule | None = None
    peak_fraction: float | None = None
    allowed_joint_pressure_n_mm2: float | None = None
    temperature_c: float | None = None
    temperature_factor: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Surroundings that decide on materials and lubrication."""

    wet: bool = False
    corrosive: bool = False
    abrasive: bool = False
    combustible_dust: bool = False
    lubrication: Lubrication | None = None
    joints: Joints | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Which chains may be taken; None leaves the choice open."""

    chains: tuple[ChainSize, ...] | None = None
    families: tuple[str, ...] | None = None
    least_pitch_mm: float | None = None
    greatest_pitch_mm: float | None = None
    limit: int = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class ConveyorSizingInput:
    """A conveyor from the slack side of its drive round to the tight side."""

    path: tuple[Named, ...]
    load: Load
    chains: ChainSet
    chain_speed_m_s: float
    head_wheel: HeadWheel
    attached: Attached | None = None
    take_up: TakeUp | None = None
    slack_tension_n: float = 0.0
    least_tension_n: float = 0.0
    drive: Drive = field(default_factory=Drive)
    limiter: Limiter | None = None
    rules: Rules = field(default_factory=Rules)
    site: Site = field(default_factory=Site)
    choice: Choice = field(default_factory=Choice)
