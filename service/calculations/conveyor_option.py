"""One conveyor chain worked out in full: tension, power, torque, limits and limiter with its own mass put back."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

from service.calculations.conveyor_limiter import (
    LimiterAnswer,
    LimiterPlace,
    Overload,
    limiter_answer,
    setting_issue,
    torques,
)
from service.calculations.conveyor_limits import Limit
from service.calculations.conveyor_motion import (
    FatigueLoad,
    PolygonAction,
    RollerLoad,
    fatigue_load,
    polygon_action,
    roller_load,
)
from service.calculations.trace import Trace
from service.core.chain_pull_drive import joint_pressure
from service.core.conveyor_mass import tension_at_mass
from service.core.conveyor_power import design_pull, power, torque
from service.core.forces import breaking_safety
from service.core.pocket_wheel import travel_per_turn
from service.core.sprocket import pitch_diameter
from service.reference.chains import OWN
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.conveyor_candidates import Candidate, ChainSearch
    from service.calculations.conveyor_input import ConveyorSizingInput
    from service.calculations.conveyor_limits import LimitName
    from service.calculations.conveyor_path import State
    from service.calculations.conveyor_stock import StockChain
    from service.core.conveyor_mass import Envelope, MassEnvelopes
    from service.core.errors import Issue


NO_TENSION_N = 1e-3
"""Below this nothing pulls: no factor on strength and no joint pressure is shown (ours)."""


class Factors(Record, frozen=True, kw_only=True):
    """The factors that judge a chain."""

    share: float
    speed: float | None
    service: float
    efficiency: float


class Strengths(Record, frozen=True, kw_only=True):
    """Figures of a chain against the running tension of one chain; None is a hole of the tables."""

    tensile_n: float | None
    static_factor: float | None
    working_load_n: float | None
    design_pull_n: float | None
    joint_pressure_n_mm2: float | None


class ConveyorOption(Record, frozen=True, kw_only=True):
    """A chain for the conveyor; tensions are of all chains together unless the name says one chain."""

    chain: StockChain
    pitch_mm: float
    chain_mass_kg_m: float
    mass_assumed: bool
    greatest_tension_n: float
    one_chain_tension_n: float
    starting_tension_n: float
    slack_tension_n: float
    effective_pull_n: float
    starting_pull_n: float
    head_power_kw: float
    drive_power_kw: float
    braking_power_kw: float
    head_pitch_diameter_mm: float
    head_speed_rpm: float
    head_torque_n_m: float
    limits: tuple[Limit, ...]
    unjudged: tuple[LimitName, ...]
    strengths: Strengths
    polygon: PolygonAction | None
    fatigue: FatigueLoad
    rollers: RollerLoad | None
    limiter: LimiterAnswer
    jam_utilisation_of_strength: float | None

    @property
    def governing(self) -> Limit:
        """The limit that is nearest."""
        return max(self.limits, key=lambda limit: limit.utilisation)


class ConveyorRelations:
    """Works out chains for one conveyor by the equations of the core."""

    def __init__(
        self,
        given: ConveyorSizingInput,
        envelopes: dict[State, MassEnvelopes],
        factors: Factors,
        search: ChainSearch,
        limits: tuple[float | None, float | None],
    ) -> None:
        self.given = given
        self.envelopes = envelopes
        self.factors = factors
        self.search = search
        self.setting_n_m, self.stall_pull_n = limits

    @property
    def starting_state(self) -> State:
        """The state that stands for a start: the start itself, else the running state that pulls most."""
        return next(name for name in ("start", "uneven", "full") if name in self.envelopes)

    def at(self, envelope: Envelope, total_kg_m: float, trace: Trace) -> float:
        """A tension at a chain mass."""
        return trace.take(tension_at_mass, envelope=envelope, chain_mass_kg_m=total_kg_m)

    def evaluate(self, candidate: Candidate, trace: Trace) -> ConveyorOption:
        """A candidate in full."""
        given, factors = self.given, self.factors
        chain, total = candidate.chain, given.chains.chain_lines * candidate.chain_mass_kg_m
        _note_mass(candidate, given, trace)
        demand = self.search.demand.limits
        greatest = self.at(demand.running, total, trace)
        starting = self.at(demand.starting, total, trace)
        pulls = {name: self.at(found.effective_pull, total, trace) for name, found in self.envelopes.items()}
        running = [pull for name, pull in pulls.items() if name != "start"]
        place = self.place(candidate.pitch_mm, trace)
        diameter = place.pitch_diameter_mm
        slack = self.at(self.envelopes[self.starting_state].start, total, trace)
        most = max(0.0, *running)
        overload = self._overload(chain, pulls[self.starting_state], slack)
        limiter = limiter_answer(overload, place, trace)
        speed = given.chain_speed_m_s
        one = factors.share * greatest
        return ConveyorOption(
            chain=chain,
            pitch_mm=candidate.pitch_mm,
            chain_mass_kg_m=candidate.chain_mass_kg_m,
            mass_assumed=candidate.mass_assumed,
            greatest_tension_n=greatest,
            one_chain_tension_n=one,
            starting_tension_n=starting,
            slack_tension_n=slack,
            effective_pull_n=max(running),
            starting_pull_n=pulls[self.starting_state],
            head_power_kw=trace.take(power, effective_pull_n=most, chain_speed_m_s=speed, efficiency=1.0),
            drive_power_kw=trace.take(
                power, effective_pull_n=most, chain_speed_m_s=speed, efficiency=factors.efficiency
            ),
            braking_power_kw=trace.take(
                power, effective_pull_n=max(0.0, -min(running)), chain_speed_m_s=speed, efficiency=1.0
            ),
            head_pitch_diameter_mm=diameter,
            head_speed_rpm=place.head_speed_rpm,
            head_torque_n_m=trace.take(torque, effective_pull_n=most, pitch_diameter_mm=diameter),
            limits=tuple(Limit(*figures) for figures in candidate.limits),
            unjudged=candidate.unjudged,
            polygon=polygon_action(candidate, self.search.limits, place.head_speed_rpm, trace),
            fatigue=fatigue_load(candidate, self.search.limits, trace),
            rollers=roller_load(candidate, self.search.limits, given, trace),
            limiter=limiter,
            jam_utilisation_of_strength=self._jam_share(chain, limiter),
            strengths=self._strengths(chain, one, trace),
        )

    def place(self, pitch_mm: float, trace: Trace) -> LimiterPlace:
        """The head wheel for a pitch of chain, and the limiter beside it."""
        head, speed = self.given.head_wheel, self.given.chain_speed_m_s
        if head.kind == "toothed":
            teeth = head.teeth or 0  # a toothed head wheel without teeth was refused
            diameter = trace.take(pitch_diameter, pitch_mm=pitch_mm, teeth=teeth)
            turns = 60_000.0 * speed / (teeth * pitch_mm)
        elif head.kind == "pocket" and head.teeth is not None:
            # The mean radius at which the chain pulls is that of its travel, not that of the circles of the wheel.
            travel = trace.take(travel_per_turn, pitch_mm=pitch_mm, pockets=head.teeth)
            diameter = travel / pi
            turns = 60_000.0 * speed / travel
        else:
            diameter = head.pitch_diameter_mm or 0.0  # a wheel without either was refused
            turns = 60_000.0 * speed / (pi * diameter)
        return LimiterPlace(
            limiter=self.given.limiter,
            setting_n_m=self.setting_n_m,
            efficiency=self.factors.efficiency,
            pitch_diameter_mm=diameter,
            head_speed_rpm=turns,
        )

    def setting_issue(self, candidate: Candidate) -> Issue | None:
        """Why the limiter of the caller does not serve with a chain; None where it does."""
        total = self.given.chains.chain_lines * candidate.chain_mass_kg_m
        starting = self.envelopes[self.starting_state]
        pull = tension_at_mass(envelope=starting.effective_pull, chain_mass_kg_m=total)
        slack = tension_at_mass(envelope=starting.start, chain_mass_kg_m=total)
        place = self.place(candidate.pitch_mm, Trace())
        needed, allowed = torques(self._overload(candidate.chain, pull, slack), place, Trace())
        return setting_issue(needed, allowed, place)

    def _overload(self, chain: StockChain, starting_pull: float, slack: float) -> Overload:
        fraction = self.search.limits.peak_fraction(chain)
        allowed = None
        if fraction is not None and chain.tensile is not None:
            allowed = fraction * chain.tensile.value * self.search.limits.strength_left / self.factors.share
        return Overload(
            starting_pull_n=starting_pull, slack_n=slack, allowed_tension_n=allowed, stall_pull_n=self.stall_pull_n
        )

    def _jam_share(self, chain: StockChain, limiter: LimiterAnswer) -> float | None:
        if chain.tensile is None or limiter.jam_tension_n is None:
            return None
        return self.factors.share * limiter.jam_tension_n / chain.tensile.value

    def _strengths(self, chain: StockChain, tension_n: float, trace: Trace) -> Strengths:
        """Each strength against the tension of one chain, with its source noted."""
        working = design = tensile = factor = pressure = None
        if chain.tensile is not None:
            tensile = trace.figure(chain.size, chain.tensile.quantity)
            if tension_n > NO_TENSION_N:
                factor = trace.take(breaking_safety, breaking_load_n=tensile, tension_n=tension_n, service_factor=1.0)
        if chain.working is not None and self.factors.speed is not None:
            working = trace.figure(chain.size, "allowable_load")
            design = trace.take(
                design_pull,
                pull_n=tension_n / self.factors.share,
                speed_factor=self.factors.speed,
                service_factor=self.factors.service,
                chain_share=self.factors.share,
            )
        if chain.joint_area_mm2 is not None and tension_n > NO_TENSION_N:
            pressure = self._pressure(chain, tension_n, trace)
        return Strengths(
            tensile_n=tensile,
            static_factor=factor,
            working_load_n=working,
            design_pull_n=design,
            joint_pressure_n_mm2=pressure,
        )

    def _pressure(self, chain: StockChain, tension_n: float, trace: Trace) -> float:
        if chain.size.find("bearing_area") is not None:
            return tension_n / trace.figure(chain.size, "bearing_area")
        return trace.take(
            joint_pressure,
            tension_n=tension_n,
            pin_diameter_mm=trace.figure(chain.size, "pin_diameter"),
            bush_length_mm=trace.figure(chain.size, "bearing_length"),
        )


def _note_mass(candidate: Candidate, given: ConveyorSizingInput, trace: Trace) -> None:
    chain = candidate.chain
    if given.chains.mass_kg_m is None and not candidate.mass_assumed:
        trace.figure(chain.size, "mass_per_length")
    if chain.size.find("pitch") is not None and chain.size.row.source_id != OWN:
        trace.figure(chain.size, "pitch")
