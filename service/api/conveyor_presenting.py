"""A sized conveyor in the caller's units."""

from __future__ import annotations

from msgspec import UNSET

from service.api.conveyor_answers import (
    ChainLap,
    ChainLimit,
    ChainPolygonAction,
    ChainRollerLoad,
    ConditionalChain,
    ConveyorCapacity,
    ConveyorChain,
    ConveyorFactor,
    ConveyorLengthening,
    ConveyorMiss,
    ConveyorProfile,
    ConveyorRejectedCount,
    ConveyorScoreTerm,
    ConveyorSizing,
    ConveyorState,
    LimiterWindow,
    RankedConveyorChain,
    TensionPoint,
)
from service.api.quantities import Presenter, Quantity
from service.calculations.conveyor_candidates import Conditional, Rejection
from service.calculations.conveyor_factors import FactorUsed
from service.calculations.conveyor_limiter import LimiterAnswer
from service.calculations.conveyor_limits import STRESSES
from service.calculations.conveyor_load import SettledLoad
from service.calculations.conveyor_motion import FatigueLoad, PolygonAction, RollerLoad
from service.calculations.conveyor_option import ConveyorOption
from service.calculations.conveyor_sizing import ConveyorSizingResult, Lengthening, Profile, RankedChain, StateTensions

ANY_MASS_KG_M = 1e6
"""A chain that passes with more than this on a metre passes with any mass."""

NOISE = 1e-12
"""Share of the greatest tension below which a tension is zero."""


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


def _capacity(load: SettledLoad, presenter: Presenter) -> ConveyorCapacity:
    depth = None if load.wall_depth_m is None else 1000.0 * load.wall_depth_m
    return ConveyorCapacity(
        load_per_length=presenter.quantity(load.load_kg_m, "mass_per_length"),
        throughput=presenter.quantity(load.throughput_t_h, "mass_flow"),
        fill=presenter.known_number(load.fill),
        wall_depth=presenter.known(depth, "length"),
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
                actual=quantity(limit.actual, "stress" if limit.name in STRESSES else "force"),
                allowed=quantity(limit.allowed, "stress" if limit.name in STRESSES else "force"),
                utilisation=presenter.number(limit.utilisation),
            )
            for limit in option.limits
        ],
        unjudged=list(option.unjudged),
        governed_by=option.governing.name,
        utilisation=presenter.number(option.governing.utilisation),
        minimum_tensile_strength=presenter.known(strengths.tensile_n, "force"),
        static_factor=presenter.known_number(strengths.static_factor),
        working_load=presenter.known(strengths.working_load_n, "force"),
        design_pull=presenter.known(strengths.design_pull_n, "force"),
        joint_pressure=presenter.known(strengths.joint_pressure_n_mm2, "stress"),
        polygon_action=UNSET if option.polygon is None else _polygon(option.polygon, presenter),
        lap=_lap(option.fatigue, presenter),
        rollers=UNSET if option.rollers is None else _rollers(option.rollers, presenter),
        jam_share_of_strength=presenter.known_number(option.jam_utilisation_of_strength),
        limiter=_limiter(option.limiter, presenter),
        order_line=_order_line(option, chain_lines),
    )


def _polygon(action: PolygonAction, presenter: Presenter) -> ChainPolygonAction:
    return ChainPolygonAction(
        speed_variation=presenter.number(action.speed_variation),
        mesh_frequency_hz=presenter.number(action.mesh_frequency_hz),
        peak_acceleration_m_s2=presenter.number(action.peak_acceleration_m_s2),
        moved_mass=presenter.quantity(action.moved_mass_kg, "mass"),
        surge_pull=presenter.force(action.surge_pull_n),
    )


def _lap(load: FatigueLoad, presenter: Presenter) -> ChainLap:
    return ChainLap(
        greatest_tension=presenter.force(load.greatest_n),
        least_tension=presenter.force(load.least_n),
        pulsating_equivalent=presenter.known(load.equivalent_n, "force"),
        fatigue_limit=presenter.known(load.limit_n, "force"),
    )


def _rollers(rollers: RollerLoad, presenter: Presenter) -> ChainRollerLoad:
    return ChainRollerLoad(
        spacing=presenter.length(rollers.spacing_mm),
        load=presenter.force(rollers.load_n),
        pressure=presenter.known(rollers.pressure_n_mm2, "stress"),
    )


def _order_line(option: ConveyorOption, chain_lines: int) -> str:
    matched = ", matched as a set" if chain_lines > 1 else ""
    direction = ", state which end runs forward" if option.chain.offset_links else ""
    lines = "1 line" if chain_lines == 1 else f"{chain_lines} lines"
    return f"{lines} of chain {option.chain.designation}, pitch {option.pitch_mm:g} mm{matched}{direction}"


def _limiter(answer: LimiterAnswer, presenter: Presenter) -> LimiterWindow:
    window = answer.window
    return LimiterWindow(
        shaft_speed=presenter.quantity(answer.shaft_speed_rpm, "rotational_speed"),
        needed_torque=presenter.quantity(answer.needed_n_m, "torque"),
        allowed_torque=presenter.known(answer.allowed_n_m, "torque"),
        exists=window is not None,
        lowest_setting=UNSET if window is None else presenter.quantity(window.lowest_n_m, "torque"),
        highest_setting=UNSET if window is None else presenter.quantity(window.highest_n_m, "torque"),
        lowest_pin_diameter=presenter.known(answer.lowest_pin_mm, "length"),
        highest_pin_diameter=presenter.known(answer.highest_pin_mm, "length"),
        why_none=answer.refusal or "",
        setting=presenter.known(answer.setting_n_m, "torque"),
        jam_effective_pull=presenter.known(answer.jam_pull_n, "force"),
        jam_tension=presenter.known(answer.jam_tension_n, "force"),
    )


def _conditional(found: Conditional, presenter: Presenter) -> ConditionalChain:
    greatest = found.greatest_mass_kg_m
    return ConditionalChain(
        chain=found.chain.designation,
        size_family=found.chain.size.row.family,
        pitch=presenter.length(found.pitch_mm),
        passes_up_to_mass=presenter.quantity(greatest, "mass_per_length") if greatest <= ANY_MASS_KG_M else UNSET,
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
