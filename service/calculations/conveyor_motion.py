"""What a conveyor chain goes through as it runs: jerks of its head wheel, laps that tire it, load on its rollers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.core.conveyor_mass import tension_at_mass
from service.core.conveyor_rollers import bore_pressure, load_in_curve, load_on_track
from service.core.conveyor_surge import peak_acceleration, surge_pull
from service.core.speeds import chordal_speed_variation, mesh_frequency_hz
from service.core.strength import pulsating_equivalent
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.conveyor_candidates import Candidate
    from service.calculations.conveyor_input import ConveyorSizingInput
    from service.calculations.conveyor_limits import ChainLimits
    from service.calculations.trace import Trace


class PolygonAction(Record, frozen=True, kw_only=True):
    """How a toothed head wheel jerks the chain, and the pull that it may add to all chains together.

    The pull is that of the share of the mass that the request names, else of all of it, which is an upper bound.
    """

    speed_variation: float
    mesh_frequency_hz: float
    peak_acceleration_m_s2: float
    moved_mass_kg: float
    surge_pull_n: float


class FatigueLoad(Record, frozen=True, kw_only=True):
    """A lap of one chain, as a tension pulsating from zero, and what it bears of that for good."""

    greatest_n: float
    least_n: float
    equivalent_n: float | None
    limit_n: float | None


class RollerLoad(Record, frozen=True, kw_only=True):
    """Greatest load on a roller and its pressure on the bush; the pressure is None where a size lacks a dimension."""

    spacing_mm: float
    load_n: float
    pressure_n_mm2: float | None


def runs_on_rollers(given: ConveyorSizingInput) -> bool:
    """Whether the request speaks of rollers: of their friction, their spacing, or what they may carry."""
    chains, rules = given.chains, given.rules
    track = chains.track or ""
    told = (chains.rollers, chains.roller_spacing_mm, rules.allowed_roller_load_n, rules.allowed_roller_pressure_n_mm2)
    return track.startswith(("rolling", "top_roller")) or any(value is not None for value in told)


def polygon_action(
    candidate: Candidate, limits: ChainLimits, head_speed_rpm: float, trace: Trace
) -> PolygonAction | None:
    """Jerk of a toothed head wheel on a chain; None where no teeth drive."""
    demand = limits.demand
    if demand.teeth is None:
        return None
    mass = limits.moved_kg(_total(candidate, limits))
    following = mass if demand.surge_share is None else demand.surge_share * mass
    acceleration = trace.take(
        peak_acceleration, chain_speed_m_s=demand.chain_speed_m_s, teeth=demand.teeth, pitch_mm=candidate.pitch_mm
    )
    return PolygonAction(
        speed_variation=trace.take(chordal_speed_variation, teeth=demand.teeth),
        mesh_frequency_hz=trace.take(mesh_frequency_hz, teeth=demand.teeth, speed_rpm=head_speed_rpm),
        peak_acceleration_m_s2=acceleration,
        moved_mass_kg=mass,
        surge_pull_n=trace.take(surge_pull, moved_mass_kg=following, peak_acceleration_m_s2=acceleration),
    )


def fatigue_load(candidate: Candidate, limits: ChainLimits, trace: Trace) -> FatigueLoad:
    """The lap of the most loaded chain, by its least and greatest tension."""
    demand, chain = limits.demand, candidate.chain
    total = _total(candidate, limits)
    greatest = demand.share * tension_at_mass(envelope=demand.running, chain_mass_kg_m=total)
    least = min(limits.least_n(total), greatest)
    equivalent = None
    if chain.tensile is not None and 0.0 < greatest < chain.tensile.value:
        equivalent = trace.take(
            pulsating_equivalent,
            greatest_tension_n=greatest,
            least_tension_n=least,
            minimum_tensile_strength_n=chain.tensile.value,
        )
    limit = limits.fatigue_limit_n(chain)
    if chain.dynamic is not None and limit == chain.dynamic.value:
        trace.figure(chain.size, chain.dynamic.quantity)
    return FatigueLoad(greatest_n=greatest, least_n=least, equivalent_n=equivalent, limit_n=limit)


def roller_load(
    candidate: Candidate, limits: ChainLimits, given: ConveyorSizingInput, trace: Trace
) -> RollerLoad | None:
    """Greatest load on a roller along the track or in a curve; None where the request speaks of no rollers.

    Raises:
        OutOfRange: the rollers do not get round a curve.
    """
    if not runs_on_rollers(given):
        return None
    demand, chain = limits.demand, candidate.chain
    rollers, total = demand.rollers, _total(candidate, limits)
    spacing = rollers.spacing_mm
    if spacing is None:
        spacing = candidate.pitch_mm
        trace.assume("chains.roller_spacing_mm", f"{spacing:g} mm", "default", "a roller on every joint")
    resting = tension_at_mass(envelope=rollers.resting, chain_mass_kg_m=total) if rollers.resting else 0.0
    loads = [
        # The mass is that normal to the track already, the greatest of all runs.
        trace.take(
            load_on_track, resting_mass_kg_m=resting, angle_rad=0.0, roller_spacing_mm=spacing, share=demand.share
        )
    ]
    for curve in rollers.curves:
        pull = demand.share * tension_at_mass(envelope=curve.tension, chain_mass_kg_m=total)
        loads.append(trace.take(load_in_curve, tension_n=pull, roller_spacing_mm=spacing, radius_mm=curve.radius_mm))
    pressure = None
    if chain.roller_bore_mm2 is not None:
        pressure = trace.take(
            bore_pressure,
            roller_load_n=max(loads),
            bush_diameter_mm=trace.figure(chain.size, "bush_diameter"),
            roller_width_mm=trace.figure(chain.size, "inner_width"),
        )
    return RollerLoad(spacing_mm=spacing, load_n=max(loads), pressure_n_mm2=pressure)


def _total(candidate: Candidate, limits: ChainLimits) -> float:
    return limits.chain_lines * candidate.chain_mass_kg_m
