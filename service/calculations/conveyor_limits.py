"""What a conveyor asks of one chain against what the chain bears: one limit for each way in which it may fail."""

from __future__ import annotations

from math import inf, isfinite
from typing import TYPE_CHECKING, Literal

from service.core.conversions import FREE_FALL_M_S2
from service.core.conveyor_mass import Envelope, Line, greatest_mass, tension_at_mass
from service.core.conveyor_surge import peak_acceleration, surge_pull
from service.core.strength import greatest_tension_at_limit, pulsating_equivalent
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Iterator

    from service.calculations.conveyor_stock import StockChain

LimitName = Literal[
    "static_strength",
    "working_load",
    "fatigue",
    "start_peak",
    "surge_peak",
    "joint_pressure",
    "roller_load",
    "roller_pressure",
]

RUNNING_LIMITS: frozenset[LimitName] = frozenset({"static_strength", "working_load"})
"""Limits that the running tension of one chain is held against as it is."""
STRESSES: frozenset[LimitName] = frozenset({"joint_pressure", "roller_pressure"})
"""Limits that are told as a stress; the others are forces."""


class CurveRollers(Record, frozen=True, kw_only=True):
    """A guide curve of known radius, with the greatest tension of all chains there by their mass."""

    radius_mm: float
    tension: Envelope


class RollerDemand(Record, frozen=True, kw_only=True):
    """What rests on the rollers of all chains, by their mass; the rollers are one pitch apart where nobody says.

    Attributes:
        resting: Mass normal to the track on a metre, [kg/m], the greatest of all runs.
        curves: Guide curves of known radius.
        spacing_mm: From one roller to the next.
    """

    resting: Envelope
    curves: tuple[CurveRollers, ...]
    spacing_mm: float | None


class LimitDemand(Record, frozen=True, kw_only=True):
    """Tensions by chain mass, and the factors and allowables that they are judged with."""

    running: Envelope
    starting: Envelope
    least_negated: Envelope
    least_tension_n: float
    moved: Line
    teeth: int | None
    chain_speed_m_s: float
    rollers: RollerDemand
    chain_lines: int
    share: float
    static_factor: float
    working_factor: float | None
    fatigue_limit_n: float | None
    fatigue_fraction: float | None
    surge_share: float | None
    peak_fraction: float | None
    temperature_factor: float | None
    allowed_joint_pressure_n_mm2: float | None
    allowed_roller_load_n: float | None
    allowed_roller_pressure_n_mm2: float | None


class Limit(Record, frozen=True):
    """Something that a tension, load or pressure must stay within."""

    name: LimitName
    actual: float
    allowed: float

    @property
    def utilisation(self) -> float:
        """Used share."""
        return self.actual / self.allowed


LimitFigures = tuple[LimitName, float, float]
"""A limit before it is shown: name, actual and allowed; hundreds of chains are judged so for the few that are shown."""


class Judged(Record, frozen=True):
    """What one chain bears of each limit that can be judged, and the limits that cannot."""

    limits: list[LimitFigures]
    unjudged: tuple[LimitName, ...]


class ChainLimits:
    """Holds chains of a mass and pitch against one demand; each costs a few sums however long the path is.

    Attributes:
        strength_left: Share of the strength that is left at the temperature; none where nobody says it.
    """

    def __init__(self, demand: LimitDemand) -> None:
        self.demand = demand
        self.strength_left = demand.temperature_factor or 0.0
        self._accelerations: dict[float, float] = {}

    @property
    def chain_lines(self) -> int:
        """Chains side by side."""
        return self.demand.chain_lines

    def peak_fraction(self, chain: StockChain) -> float | None:
        """Share of tensile strength that a single peak may reach: the caller's, else that printed for the family."""
        if self.demand.peak_fraction is not None:
            return self.demand.peak_fraction
        return None if chain.peak_rule is None else chain.peak_rule.fraction_max

    def fatigue_limit_n(self, chain: StockChain) -> float | None:
        """Tension pulsating from zero that one chain bears for good: the caller's, else that of the tables."""
        demand = self.demand
        if demand.fatigue_limit_n is not None:
            return demand.fatigue_limit_n
        if demand.fatigue_fraction is not None:
            return None if chain.tensile is None else demand.fatigue_fraction * chain.tensile.value
        return None if chain.dynamic is None else chain.dynamic.value

    def allowed(self, chain: StockChain) -> list[tuple[LimitName, float | None]]:
        """What is allowed of each limit; None where a hole leaves it unjudged.

        A limit that does not apply is left out: a pressure or roller load that nobody limits, a working load without a
        factor of speed, a surge where no teeth drive or nobody says how much of the mass follows it.
        """
        demand, left = self.demand, self.strength_left
        tensile, working, fatigue = chain.tensile, chain.working, self.fatigue_limit_n(chain)
        fraction = self.peak_fraction(chain)
        peak = None if tensile is None or fraction is None else tensile.value * left * fraction
        found: list[tuple[LimitName, float | None]] = [
            ("static_strength", None if tensile is None else tensile.value * left / demand.static_factor),
            ("fatigue", None if fatigue is None else fatigue * left),
            ("start_peak", peak),
        ]
        if demand.working_factor is not None:
            found.insert(1, ("working_load", None if working is None else working.value * left / demand.working_factor))
        if demand.teeth is not None and demand.surge_share is not None:
            found.append(("surge_peak", peak))
        if demand.allowed_joint_pressure_n_mm2 is not None:
            pressure = None if chain.joint_area_mm2 is None else demand.allowed_joint_pressure_n_mm2
            found.append(("joint_pressure", pressure))
        if demand.allowed_roller_load_n is not None:
            found.append(("roller_load", demand.allowed_roller_load_n))
        if demand.allowed_roller_pressure_n_mm2 is not None:
            bore = None if chain.roller_bore_mm2 is None else demand.allowed_roller_pressure_n_mm2
            found.append(("roller_pressure", bore))
        return found

    def judge(self, chain: StockChain, pitch_mm: float, total_kg_m: float) -> Judged:
        """The limits of a chain when all chains together have a mass."""
        demand = self.demand
        running = demand.share * tension_at_mass(envelope=demand.running, chain_mass_kg_m=total_kg_m)
        limits: list[LimitFigures] = []
        unjudged: list[LimitName] = []
        for name, allowed in self.allowed(chain):
            if allowed is None:
                unjudged.append(name)
            elif name in RUNNING_LIMITS:
                limits.append((name, running, allowed))
            else:
                limits.append((name, self._actual(name, chain, pitch_mm, total_kg_m, running), allowed))
        return Judged(limits, tuple(unjudged))

    def _actual(
        self, name: LimitName, chain: StockChain, pitch_mm: float, total_kg_m: float, running_n: float
    ) -> float:
        demand = self.demand
        if name == "fatigue":
            return self.equivalent_n(chain, total_kg_m, running_n)
        if name == "start_peak":
            return demand.share * tension_at_mass(envelope=demand.starting, chain_mass_kg_m=total_kg_m)
        if name == "surge_peak":
            return running_n + demand.share * self.surge_n(pitch_mm, total_kg_m)
        if name == "joint_pressure":
            return running_n / (chain.joint_area_mm2 or inf)
        area = (chain.roller_bore_mm2 or inf) if name == "roller_pressure" else 1.0
        return self.roller_load_n(pitch_mm, total_kg_m) / area

    def equivalent_n(self, chain: StockChain, total_kg_m: float, running_n: float) -> float:
        """Tension pulsating from zero that tires one chain as much as a lap between its least and greatest tension."""
        least = min(self.least_n(total_kg_m), running_n)
        # From zero the greatest tension is its own equivalent; without a strength, or beyond it, Goodman's line has no
        # place, and the greatest tension itself errs upwards.
        if least == 0.0 or chain.tensile is None or not 0.0 < running_n < chain.tensile.value:
            return running_n
        return pulsating_equivalent(
            greatest_tension_n=running_n, least_tension_n=least, minimum_tensile_strength_n=chain.tensile.value
        )

    def least_n(self, total_kg_m: float) -> float:
        """Least tension of one chain anywhere in any state."""
        demand = self.demand
        least = demand.least_tension_n
        if demand.least_negated:
            least = max(0.0, -tension_at_mass(envelope=demand.least_negated, chain_mass_kg_m=total_kg_m))
        return demand.share * least

    def curve_too_tight(self, pitch_mm: float) -> bool:
        """Whether rollers so far apart do not get round a curve of known radius."""
        rollers = self.demand.rollers
        return any((rollers.spacing_mm or pitch_mm) > 2.0 * curve.radius_mm for curve in rollers.curves)

    def acceleration_m_s2(self, pitch_mm: float) -> float:
        """Greatest acceleration by polygon action; none where no teeth drive."""
        demand = self.demand
        if demand.teeth is None:
            return 0.0
        known = self._accelerations.get(pitch_mm)
        if known is None:
            known = peak_acceleration(chain_speed_m_s=demand.chain_speed_m_s, teeth=demand.teeth, pitch_mm=pitch_mm)
            self._accelerations[pitch_mm] = known
        return known

    def moved_kg(self, total_kg_m: float) -> float:
        """Mass of the whole full conveyor that follows the head wheel."""
        return self.demand.moved.slope * total_kg_m + self.demand.moved.offset

    def surge_n(self, pitch_mm: float, total_kg_m: float) -> float:
        """Pull that polygon action adds to all chains together with the share of the mass that follows it."""
        following = (self.demand.surge_share or 0.0) * self.moved_kg(total_kg_m)
        return surge_pull(moved_mass_kg=following, peak_acceleration_m_s2=self.acceleration_m_s2(pitch_mm))

    def roller_load_n(self, pitch_mm: float, total_kg_m: float) -> float:
        """Greatest load on one roller, on the track or in a curve."""
        rollers, share = self.demand.rollers, self.demand.share
        spacing = rollers.spacing_mm or pitch_mm
        resting = tension_at_mass(envelope=rollers.resting, chain_mass_kg_m=total_kg_m) if rollers.resting else 0.0
        loads = [share * resting * FREE_FALL_M_S2 * spacing / 1000.0]
        for curve in rollers.curves:
            pull = tension_at_mass(envelope=curve.tension, chain_mass_kg_m=total_kg_m)
            loads.append(share * pull * spacing / curve.radius_mm)
        return max(loads)

    def greatest_mass(self, chain: StockChain, pitch_mm: float) -> tuple[float, tuple[LimitName, ...]]:
        """Greatest mass of all chains together with which a chain of unknown mass keeps every limit.

        Raises:
            NoSolution: it keeps them with no mass at all.
        """
        unjudged: list[LimitName] = []
        greatest = inf
        for name, allowed in self.allowed(chain):
            if allowed is None:
                unjudged.append(name)
                continue
            for envelope, limit in self._by_mass(name, chain, pitch_mm, allowed):
                greatest = min(greatest, greatest_mass(envelope=envelope, limit_n=limit))
        return greatest, tuple(unjudged)

    def _by_mass(
        self, name: LimitName, chain: StockChain, pitch_mm: float, allowed: float
    ) -> Iterator[tuple[Envelope, float]]:
        """What grows with the mass of all chains, and what it must stay within."""
        demand = self.demand
        if name == "start_peak":
            yield demand.starting, allowed / demand.share
        elif name == "surge_peak":
            factor = 3.0 * self.acceleration_m_s2(pitch_mm) * (demand.surge_share or 0.0)
            moved = demand.moved
            yield (
                tuple(
                    Line(line.slope + factor * moved.slope, line.offset + factor * moved.offset)
                    for line in demand.running
                ),
                allowed / demand.share,
            )
        elif name == "fatigue" and chain.tensile is not None and allowed < chain.tensile.value:
            # Under a take-up the least tension falls with the mass: the lap is taken to begin at zero there.
            least = 0.0 if demand.least_negated else demand.share * demand.least_tension_n
            greatest = greatest_tension_at_limit(
                pulsating_limit_n=allowed, least_tension_n=least, minimum_tensile_strength_n=chain.tensile.value
            )
            yield demand.running, greatest / demand.share
        elif name in {"roller_load", "roller_pressure"}:
            force = allowed * (chain.roller_bore_mm2 or inf) if name == "roller_pressure" else allowed
            if isfinite(force):
                yield from self._rollers_by_mass(pitch_mm, force)
        else:
            tension = allowed * (chain.joint_area_mm2 or inf) if name == "joint_pressure" else allowed
            yield demand.running, tension / demand.share

    def _rollers_by_mass(self, pitch_mm: float, force_n: float) -> Iterator[tuple[Envelope, float]]:
        rollers = self.demand.rollers
        spacing = rollers.spacing_mm or pitch_mm
        if rollers.resting:
            yield rollers.resting, force_n / (self.demand.share * FREE_FALL_M_S2 * spacing / 1000.0)
        for curve in rollers.curves:
            yield curve.tension, force_n * curve.radius_mm / (self.demand.share * spacing)
