"""What a sized conveyor answers: capacity, factors, ranked chains, limiter window, and tension from point to point."""

from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.quantities import Quantity
from service.calculations.conveyor_limits import LimitName
from service.calculations.conveyor_path import State

LimitWord = Annotated[
    LimitName,
    Meta(
        description=(
            "`fatigue` is the lap of a chain as a tension pulsating from zero; `surge_peak` the running tension with "
            "the pull of polygon action; `roller_load` and `roller_pressure` that of a roller on its bush."
        )
    ),
]
StateWord = Annotated[
    State,
    Meta(
        description=(
            "Empty; all loaded runs full; `uneven`: full only where the load adds to the pull; `start`: the worst of "
            "them with starting friction and acceleration."
        )
    ),
]


class ConveyorCapacity(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What lies on a metre and passes in an hour."""

    load_per_length: Quantity
    throughput: Quantity
    fill: Annotated[float, Meta(description="Of section or buckets; above 1 it spills.")] | UnsetType = UNSET
    wall_depth: Quantity | UnsetType = UNSET
    wall_resistance_n_per_m: Annotated[float, Meta(description="Along both walls, for one metre.")] | UnsetType = UNSET


class ConveyorFactor(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A factor that was used, and whose it is."""

    name: str
    value: float
    origin: Literal["given", "table", "derived", "default"]
    source_id: str | UnsetType = UNSET
    locator: str | UnsetType = UNSET
    note: str = ""


class ChainLimit(msgspec.Struct, frozen=True, kw_only=True):
    """A limit of one chain; forces are the actual tension of one chain and the greatest that is allowed."""

    limit: LimitWord
    actual: Quantity
    allowed: Quantity
    utilisation: float


class LimiterWindow(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Nominal settings on the limiter's shaft between which it neither trips at starts nor comes after the chain."""

    shaft_speed: Quantity
    needed_torque: Annotated[Quantity, Meta(description="Of a sound start.")]
    allowed_torque: Annotated[Quantity, Meta(description="At the allowed peak of the chain.")] | UnsetType = UNSET
    exists: bool
    lowest_setting: Quantity | UnsetType = UNSET
    highest_setting: Quantity | UnsetType = UNSET
    lowest_pin_diameter: Quantity | UnsetType = UNSET
    highest_pin_diameter: Quantity | UnsetType = UNSET
    why_none: str = ""
    setting: Annotated[Quantity, Meta(description="That of the request.")] | UnsetType = UNSET
    jam_effective_pull: (
        Annotated[Quantity, Meta(description="Of the stalled motor, or of the limiter at the top of its scatter.")]
        | UnsetType
    ) = UNSET
    jam_tension: Annotated[Quantity, Meta(description="Of all chains together.")] | UnsetType = UNSET


class ChainPolygonAction(msgspec.Struct, frozen=True, kw_only=True):
    """How a toothed head wheel jerks the chain; without `rules.surge_share` the pull is that of the whole mass."""

    speed_variation: Annotated[float, Meta(description="Greatest less least speed over the greatest.")]
    mesh_frequency_hz: float
    peak_acceleration_m_s2: float
    moved_mass: Annotated[Quantity, Meta(description="Of the full conveyor.")]
    surge_pull: Annotated[Quantity, Meta(description="May be added to all chains together.")]


class ChainLap(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Tensions of one chain in a lap, and what of them tires it."""

    greatest_tension: Quantity
    least_tension: Quantity
    pulsating_equivalent: (
        Annotated[Quantity, Meta(description="Tension pulsating from zero that tires it as much.")] | UnsetType
    ) = UNSET
    fatigue_limit: Annotated[Quantity, Meta(description="Pulsating from zero; of one chain.")] | UnsetType = UNSET


class ChainRollerLoad(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Greatest load on one roller, along the track or in a curve."""

    spacing: Quantity
    load: Quantity
    pressure: Annotated[Quantity, Meta(description="On the bush, over the inner width.")] | UnsetType = UNSET


class ConveyorChain(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A chain with its own mass put back into the pull; tensions are of all chains together unless named otherwise."""

    chain: Annotated[str, Meta(examples=["WH124"])]
    size_family: str
    pitch: Quantity
    chain_lines: int
    chain_mass: Annotated[Quantity, Meta(description="Of one chain.")]
    chain_mass_assumed: bool
    greatest_tension: Annotated[Quantity, Meta(description="Running, in the worst state.")]
    one_chain_tension: Annotated[Quantity, Meta(description="Of the most loaded chain.")]
    starting_tension: Quantity
    slack_tension: Quantity
    effective_pull: Annotated[Quantity, Meta(description="Greatest of the running states; negative where it drives.")]
    starting_effective_pull: Quantity
    head_power: Quantity
    drive_power: Quantity
    braking_power: (
        Annotated[Quantity, Meta(description="To hold back in the state that drives itself.")] | UnsetType
    ) = UNSET
    head_pitch_diameter: Annotated[Quantity, Meta(description="Of pockets the diameter that the travel answers to.")]
    head_speed: Quantity
    head_torque: Quantity
    limits: list[ChainLimit]
    unjudged: Annotated[list[LimitWord], Meta(description="Limits for which the tables or the request lack a figure.")]
    governed_by: LimitWord
    utilisation: float
    minimum_tensile_strength: Quantity | UnsetType = UNSET
    static_factor: Annotated[float, Meta(description="Tensile strength over running tension.")] | UnsetType = UNSET
    working_load: Quantity | UnsetType = UNSET
    design_pull: Annotated[Quantity, Meta(description="Of one chain, to set against its working load.")] | UnsetType = (
        UNSET
    )
    joint_pressure: Quantity | UnsetType = UNSET
    polygon_action: ChainPolygonAction | UnsetType = UNSET
    lap: ChainLap
    rollers: ChainRollerLoad | UnsetType = UNSET
    jam_share_of_strength: Annotated[float, Meta(description="Jam tension over tensile strength.")] | UnsetType = UNSET
    limiter: LimiterWindow
    order_line: str


class ConveyorScoreTerm(msgspec.Struct, frozen=True, kw_only=True):
    """One term of the score (weights: `GET /v1/tables/conveyor_ranking`)."""

    term: Literal["mass", "fitness", "unjudged", "recalled", "small_reserve"]
    value: float


class RankedConveyorChain(msgspec.Struct, frozen=True, kw_only=True):
    """A chain in the ranking; a lower score ranks better."""

    rank: int
    score: float
    score_terms: list[ConveyorScoreTerm]
    option: ConveyorChain


class ConditionalChain(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A chain whose mass the tables do not hold: it passes up to a mass, so ask its maker."""

    chain: str
    size_family: str
    pitch: Quantity
    passes_up_to_mass: (
        Annotated[Quantity, Meta(description="Of one chain; left out where any mass passes.")] | UnsetType
    ) = UNSET
    unjudged: list[LimitWord]


class ConveyorMiss(msgspec.Struct, frozen=True, kw_only=True):
    """A chain that does not pass, and by how much."""

    chain: str
    reason: str
    utilisation: float


class ConveyorRejectedCount(msgspec.Struct, frozen=True, kw_only=True):
    """How many chains failed for one reason."""

    reason: str
    count: int


class TensionPoint(msgspec.Struct, frozen=True, kw_only=True):
    """Tension at a named point."""

    point: str
    tension: Quantity


class ConveyorState(msgspec.Struct, frozen=True, kw_only=True):
    """Tension from point to point in one state, of all chains together."""

    state: StateWord
    effective_pull: Quantity
    greatest_tension: Quantity
    greatest_at: str
    least_tension: Quantity
    least_at: str
    points: list[TensionPoint]


class ConveyorProfile(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Tensions with the best chain, else with the nearest miss, else with the mass that was sent."""

    chain: str | UnsetType = UNSET
    chain_mass: Annotated[Quantity, Meta(description="Of one chain.")]
    states: list[ConveyorState]


class ConveyorLengthening(msgspec.Struct, frozen=True, kw_only=True):
    """What the new length makes of the pull, with the same chain."""

    effective_pull_before: Quantity
    effective_pull: Quantity
    greatest_tension_before: Quantity
    greatest_tension: Quantity


class ConveyorSizing(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Capacity, factors, chains in order of their score, and the tensions of the best."""

    capacity: ConveyorCapacity
    factors: list[ConveyorFactor]
    passing_count: Annotated[int, Meta(description="Chains of known or assumed mass that pass.")]
    chains: list[RankedConveyorChain]
    conditional_count: int
    conditional_chains: list[ConditionalChain]
    rejected: list[ConveyorRejectedCount]
    nearest_misses: list[ConveyorMiss]
    profile: ConveyorProfile
    lengthening: ConveyorLengthening | UnsetType = UNSET
