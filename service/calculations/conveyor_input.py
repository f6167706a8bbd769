"""What a conveyor is, in canonical units: its path, its load, its chains, its drive and the caller's own factors."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.reference.records import Record, field

if TYPE_CHECKING:
    from service.reference.chains import ChainSize
    from service.reference.conveyor_factors import Discharge, ServiceGroup

Carried = Literal["on_chain", "in_trough", "pushed", "in_buckets", "on_trolleys"]
WheelKind = Literal["toothed", "traction", "pocket"]
StaticRule = Literal["by_speed", "bucket_line", "drag", "elevator", "grain_drag"]
RunningDirection = Literal["narrow_end_forward", "wide_end_forward"]
Lubrication = Literal["none", "oil", "grease"]
Joints = Literal["plain", "hardened", "stainless"]


class Run(Record, frozen=True, kw_only=True):
    """A straight run; its slope is told by an angle or by a lift, level where neither is told."""

    length_m: float
    incline_deg: float | None = None
    lift_m: float | None = None
    loaded: bool = False
    supported: bool = True
    chain_friction: float | None = None
    load_friction: float | None = None
    lengthened_by_m: float = 0.0


class Curve(Record, frozen=True, kw_only=True):
    """A guide or rail on which the chain slides round an angle."""

    angle_deg: float
    friction: float
    radius_mm: float | None = None


class Wheel(Record, frozen=True, kw_only=True):
    """An idle wheel with the friction of its bearing and of the joints that turn on it."""

    pitch_diameter_mm: float
    wrap_deg: float
    shaft_diameter_mm: float
    bearing_friction: float
    pin_diameter_mm: float = 0.0
    joint_friction: float = 0.0


class Ratio(Record, frozen=True, kw_only=True):
    """A turn by the ratio of the tensions after and before it."""

    tension_ratio: float


class Resistance(Record, frozen=True, kw_only=True):
    """A force at one place."""

    force_n: float


class Boot(Record, frozen=True, kw_only=True):
    """The boot of an elevator, in which buckets dig."""

    tail_pitch_diameter_mm: float
    digging_factor: float | None = None


Part = Run | Curve | Wheel | Ratio | Resistance | Boot


class Named(Record, frozen=True, kw_only=True):
    """A part of the path with its name; the caller's own, or kind and place."""

    name: str
    part: Part


class Pieces(Record, frozen=True, kw_only=True):
    """Goods that follow each other."""

    mass_kg: float
    spacing_m: float


class TroughSection(Record, frozen=True, kw_only=True):
    """Inside of a trough, pan or flight space."""

    width_m: float
    depth_m: float


class Buckets(Record, frozen=True, kw_only=True):
    """Buckets of an elevator."""

    volume_l: float
    spacing_m: float
    depth_m: float | None = None
    discharge: Discharge | None = None


class Walls(Record, frozen=True, kw_only=True):
    """Side walls or skirts that the material rubs on."""

    depth_m: float | None = None
    constant: float | None = None
    lateral_ratio: float | None = None
    internal_friction_deg: float | None = None
    wall_friction: float | None = None


class Load(Record, frozen=True, kw_only=True):
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


class Rollers(Record, frozen=True, kw_only=True):
    """Rollers on which the chain runs, for its friction on the track."""

    axle_friction: float
    axle_diameter_mm: float
    roller_diameter_mm: float
    rolling_arm_mm: float
    flange_factor: float


class ChainSet(Record, frozen=True, kw_only=True):
    """The chains side by side and their friction on the track."""

    chain_lines: int = 1
    shares: tuple[float, ...] | None = None
    mass_kg_m: float | None = None
    mass_where_unknown_kg_m: float | None = None
    track: str | None = None
    friction: float | None = None
    rollers: Rollers | None = None
    roller_spacing_mm: float | None = None
    running_direction: RunningDirection | None = None
    lines_renewed: int | None = None


class Attached(Record, frozen=True, kw_only=True):
    """Slats, pans, flights, buckets or trolleys, for the whole width."""

    mass_kg: float
    spacing_m: float


class TakeUp(Record, frozen=True, kw_only=True):
    """What keeps the chain tight: a hanging mass or a force on the wheel that so many strands carry."""

    after: str
    mass_kg: float | None = None
    force_n: float | None = None
    strand_count: int = 2


class HeadWheel(Record, frozen=True, kw_only=True):
    """The driving wheel."""

    kind: WheelKind = "toothed"
    teeth: int | None = None
    pitch_diameter_mm: float | None = None
    wrap_deg: float = 180.0
    grip_friction: float | None = None


class Drive(Record, frozen=True, kw_only=True):
    """Motor and start; what is left out is said to be unknown."""

    motor_power_kw: float | None = None
    stall_torque_ratio: float | None = None
    efficiency: float | None = None
    start_time_s: float | None = None
    starting_friction_ratio: float | None = None


class ShearPin(Record, frozen=True, kw_only=True):
    """The pins of a shear-pin hub."""

    diameter_mm: float
    shear_strength_n_mm2: float
    circle_radius_mm: float
    sheared_sections: int


class Limiter(Record, frozen=True, kw_only=True):
    """An overload limiter: its scatter, the shaft it sits on and its setting, where they are known."""

    scatter: float
    shaft_speed_rpm: float | None = None
    setting_n_m: float | None = None
    pin: ShearPin | None = None


class Rules(Record, frozen=True, kw_only=True):
    """Service conditions, or the caller's own factors in their place."""

    conditions: dict[ServiceGroup, str] = field(default_factory=dict)
    service_factor: float | None = None
    speed_factor: float | None = None
    static_factor: float | None = None
    static_rule: StaticRule | None = None
    peak_fraction: float | None = None
    fatigue_limit_n: float | None = None
    fatigue_fraction: float | None = None
    surge_share: float | None = None
    allowed_joint_pressure_n_mm2: float | None = None
    allowed_roller_load_n: float | None = None
    allowed_roller_pressure_n_mm2: float | None = None
    temperature_c: float | None = None
    temperature_factor: float | None = None


class Site(Record, frozen=True, kw_only=True):
    """Surroundings that decide on materials and lubrication."""

    wet: bool = False
    corrosive: bool = False
    abrasive: bool = False
    combustible_dust: bool = False
    lubrication: Lubrication | None = None
    joints: Joints | None = None


class Choice(Record, frozen=True, kw_only=True):
    """Which chains may be taken; None leaves the choice open."""

    chains: tuple[ChainSize, ...] | None = None
    families: tuple[str, ...] | None = None
    least_pitch_mm: float | None = None
    greatest_pitch_mm: float | None = None
    limit: int = 10


class ConveyorSizingInput(Record, frozen=True, kw_only=True):
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
