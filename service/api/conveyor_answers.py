"""What a sized conveyor answers: capacity, factors, ranked chains, limiter window, and tension from point to point."""

from __future__ import annotations

from math import isfinite
from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.quantities import Presenter, Quantity
from service.calculations.conveyor_candidates import Conditional, Rejection
from service.calculations.conveyor_factors import FactorUsed
from service.calculations.conveyor_limiter import LimiterAnswer
from service.calculations.conveyor_load import SettledLoad
from service.calculations.conveyor_option import ConveyorOption
from service.calculations.conveyor_path import State
from service.calculations.conveyor_sizing import ConveyorSizingResult, Lengthening, Profile, RankedChain, StateTensions

NOISE = 1e-12
"""Share of the greatest tension below which a tension is zero."""

LimitWord = Literal["static_strength", "working_load", "start_peak", "joint_pressure"]
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
    head_pitch_diameter: Quantity
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


def present_conveyor(result: ConveyorSizingResult, chain_lines: int, presenter: Presenter) -> ConveyorSizing:
    """The result in the caller's units."""
    lengthening = result.lengthening
    return ConveyorSizing(
        capacity=_capacity(result.load, presenter),
        factors=[_factor(used, presenter) for used in result.factors],
        passing_count=result.passing_count,
        chains=[_ranked(place, ranked, chain_lines, presenter) for place, ranked in enumerate(result.chains, start=1)],
        conditional_count=result.conditional_count,
        conditional_chains=[_conditional(found, presenter) for found in result.conditional],
        rejected=[ConveyorRejectedCount(reason=reason, count=n) for reason, n in result.rejected_counts.items()],
        nearest_misses=[_miss(miss, presenter) for miss in result.nearest_misses],
        profile=_profile(result.profile, presenter),
        lengthening=UNSET if lengthening is None else _lengthening(lengthening, presenter),
    )


def _optional(value: float | None, kind: str, presenter: Presenter) -> Quantity | UnsetType:
    return UNSET if value is None else presenter.quantity(value, kind)


def _number(value: float | None, presenter: Presenter) -> float | UnsetType:
    return UNSET if value is None else presenter.number(value)


def _capacity(load: SettledLoad, presenter: Presenter) -> ConveyorCapacity:
    depth = None if load.wall_depth_m is None else 1000.0 * load.wall_depth_m
    return ConveyorCapacity(
        load_per_length=presenter.quantity(load.load_kg_m, "mass_per_length"),
        throughput=presenter.quantity(load.throughput_t_h, "mass_flow"),
        fill=_number(load.fill, presenter),
        wall_depth=_optional(depth, "length", presenter),
        wall_resistance_n_per_m=UNSET if depth is None else presenter.number(load.wall_resistance_n_m),
    )


def _factor(used: FactorUsed, presenter: Presenter) -> ConveyorFactor:
    return ConveyorFactor(
        name=used.name,
        value=presenter.number(used.value),
        origin=used.origin,
        source_id=used.source_id or UNSET,
        locator=used.locator or UNSET,
        note=used.note,
    )


def _ranked(place: int, ranked: RankedChain, chain_lines: int, presenter: Presenter) -> RankedConveyorChain:
    return RankedConveyorChain(
        rank=place,
        score=presenter.number(ranked.score),
        score_terms=[
            ConveyorScoreTerm(term=term, value=presenter.number(value)) for term, value in ranked.terms.items()
        ],
        option=_option(ranked.option, chain_lines, presenter),
    )


def _option(option: ConveyorOption, chain_lines: int, presenter: Presenter) -> ConveyorChain:
    force, quantity = presenter.force, presenter.quantity
    strengths, braking = option.strengths, option.braking_power_kw
    return ConveyorChain(
        chain=option.chain.designation,
        size_family=option.chain.size.row.family,
        pitch=presenter.length(option.pitch_mm),
        chain_lines=chain_lines,
        chain_mass=quantity(option.chain_mass_kg_m, "mass_per_length"),
        chain_mass_assumed=option.mass_assumed,
        greatest_tension=force(option.greatest_tension_n),
        one_chain_tension=force(option.one_chain_tension_n),
        starting_tension=force(option.starting_tension_n),
        slack_tension=force(option.slack_tension_n),
        effective_pull=force(option.effective_pull_n),
        starting_effective_pull=force(option.starting_pull_n),
        head_power=presenter.power(option.head_power_kw),
        drive_power=presenter.power(option.drive_power_kw),
        braking_power=presenter.power(braking) if braking > 0 else UNSET,
        head_pitch_diameter=presenter.length(option.head_pitch_diameter_mm),
        head_speed=quantity(option.head_speed_rpm, "rotational_speed"),
        head_torque=quantity(option.head_torque_n_m, "torque"),
        limits=[
            ChainLimit(
                limit=limit.name,
                actual=quantity(limit.actual, "stress" if limit.name == "joint_pressure" else "force"),
                allowed=quantity(limit.allowed, "stress" if limit.name == "joint_pressure" else "force"),
                utilisation=presenter.number(limit.utilisation),
            )
            for limit in option.limits
        ],
        unjudged=list(option.unjudged),
        governed_by=option.governing.name,
        utilisation=presenter.number(option.governing.utilisation),
        minimum_tensile_strength=_optional(strengths.tensile_n, "force", presenter),
        static_factor=_number(strengths.static_factor, presenter),
        working_load=_optional(strengths.working_load_n, "force", presenter),
        design_pull=_optional(strengths.design_pull_n, "force", presenter),
        joint_pressure=_optional(strengths.joint_pressure_n_mm2, "stress", presenter),
        jam_share_of_strength=_number(option.jam_utilisation_of_strength, presenter),
        limiter=_limiter(option.limiter, presenter),
        order_line=_order_line(option, chain_lines),
    )


def _order_line(option: ConveyorOption, chain_lines: int) -> str:
    matched = ", matched as a set" if chain_lines > 1 else ""
    direction = ", state which end runs forward" if option.chain.offset_links else ""
    return (
        f"{chain_lines} line(s) of chain {option.chain.designation}, pitch {option.pitch_mm:g} mm{matched}{direction}"
    )


def _limiter(answer: LimiterAnswer, presenter: Presenter) -> LimiterWindow:
    window = answer.window
    return LimiterWindow(
        shaft_speed=presenter.quantity(answer.shaft_speed_rpm, "rotational_speed"),
        needed_torque=presenter.quantity(answer.needed_n_m, "torque"),
        allowed_torque=_optional(answer.allowed_n_m, "torque", presenter),
        exists=window is not None,
        lowest_setting=UNSET if window is None else presenter.quantity(window.lowest_n_m, "torque"),
        highest_setting=UNSET if window is None else presenter.quantity(window.highest_n_m, "torque"),
        lowest_pin_diameter=_optional(answer.lowest_pin_mm, "length", presenter),
        highest_pin_diameter=_optional(answer.highest_pin_mm, "length", presenter),
        why_none=answer.refusal or "",
        setting=_optional(answer.setting_n_m, "torque", presenter),
        jam_effective_pull=_optional(answer.jam_pull_n, "force", presenter),
        jam_tension=_optional(answer.jam_tension_n, "force", presenter),
    )


def _conditional(found: Conditional, presenter: Presenter) -> ConditionalChain:
    greatest = found.greatest_mass_kg_m
    return ConditionalChain(
        chain=found.chain.designation,
        size_family=found.chain.size.row.family,
        pitch=presenter.length(found.pitch_mm),
        passes_up_to_mass=presenter.quantity(greatest, "mass_per_length") if isfinite(greatest) else UNSET,
        unjudged=list(found.unjudged),
    )


def _miss(miss: Rejection, presenter: Presenter) -> ConveyorMiss:
    return ConveyorMiss(
        chain=miss.chain.designation, reason=miss.reason, utilisation=presenter.number(miss.actual / miss.limit)
    )


def _profile(profile: Profile, presenter: Presenter) -> ConveyorProfile:
    return ConveyorProfile(
        chain=UNSET if profile.chain is None else profile.chain.designation,
        chain_mass=presenter.quantity(profile.chain_mass_kg_m, "mass_per_length"),
        states=[_state(state, profile.point_names, presenter) for state in profile.states],
    )


def _state(state: StateTensions, names: tuple[str, ...], presenter: Presenter) -> ConveyorState:
    path = state.path

    def tension(value: float) -> Quantity:
        # What is left of two tensions that cancel is binary noise.
        return presenter.force(0.0 if abs(value) < NOISE * abs(path.greatest_n) else value)

    return ConveyorState(
        state=state.state,
        effective_pull=tension(path.effective_pull_n),
        greatest_tension=presenter.force(path.greatest_n),
        greatest_at=names[path.tensions_n.index(path.greatest_n)],
        least_tension=tension(path.least_n),
        least_at=names[path.tensions_n.index(path.least_n)],
        points=[
            TensionPoint(point=name, tension=tension(value)) for name, value in zip(names, path.tensions_n, strict=True)
        ],
    )


def _lengthening(lengthening: Lengthening, presenter: Presenter) -> ConveyorLengthening:
    return ConveyorLengthening(
        effective_pull_before=presenter.force(lengthening.effective_pull_before_n),
        effective_pull=presenter.force(lengthening.effective_pull_n),
        greatest_tension_before=presenter.force(lengthening.greatest_tension_before_n),
        greatest_tension=presenter.force(lengthening.greatest_tension_n),
    )
