"""The search for conveyor chains: what each chain's own mass makes of the pull, and which limits it keeps."""

from __future__ import annotations

from math import inf, isclose
from typing import TYPE_CHECKING, Literal

from service.core.conveyor_mass import Envelope, greatest_mass, tension_at_mass
from service.core.errors import NoSolution
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from service.calculations.conveyor_stock import ConveyorStock, Purpose, StockChain
    from service.reference.conveyor_factors import RankingTerm

LimitName = Literal["static_strength", "working_load", "start_peak", "joint_pressure"]
Reason = Literal[
    "unfit_for_purpose",
    "wheel_unsuitable",
    "family_excluded",
    "pitch_outside",
    "spacing_invalid",
    "strength_not_known",
    "static_strength",
    "working_load",
    "start_peak",
    "joint_pressure",
    "take_up_too_weak",
    "limiter_outside_window",
    "temperature_outside",
]

SPACING_AGREES = 1e-4
"""Part within which a spacing is a whole number of pitches, as in ``conveyor_capacity.pitches_between_attachments``."""

FITNESS_UNKNOWN = 2
"""Grade of a family that is not graded, between poor and good (ours)."""
FIRST_CHOICE = 4


class Demand(Record, frozen=True, kw_only=True):
    """What the conveyor asks of any chain: tensions by chain mass, and the factors that they are judged with."""

    running: Envelope
    starting: Envelope
    least_negated: Envelope
    chain_lines: int
    share: float
    static_factor: float
    working_factor: float | None
    peak_fraction: float | None
    temperature_factor: float | None
    allowed_joint_pressure_n_mm2: float | None
    purpose: Purpose
    spacing_mm: float | None
    mass_kg_m: float | None
    mass_where_unknown_kg_m: float | None
    families: frozenset[str] | None
    least_pitch_mm: float
    greatest_pitch_mm: float


class Limit(Record, frozen=True):
    """Something that a tension or pressure must stay within."""

    name: LimitName
    actual: float
    allowed: float

    @property
    def utilisation(self) -> float:
        """Used share."""
        return self.actual / self.allowed


class Candidate(Record, frozen=True):
    """A chain of known or assumed mass that keeps every limit that can be judged."""

    chain: StockChain
    pitch_mm: float
    chain_mass_kg_m: float
    mass_assumed: bool
    limits: tuple[Limit, ...]
    unjudged: tuple[LimitName, ...]
    utilisation: float
    terms: dict[RankingTerm, float]


class Conditional(Record, frozen=True):
    """A chain whose mass the tables do not hold, and the greatest mass with which it would pass."""

    chain: StockChain
    pitch_mm: float
    greatest_mass_kg_m: float
    unjudged: tuple[LimitName, ...]


class Rejection(Record, frozen=True):
    """Why a chain does not serve, by how much, and with what mass it was judged."""

    chain: StockChain
    reason: Reason
    actual: float = 0.0
    limit: float = 0.0
    chain_mass_kg_m: float | None = None


class ChainSearch:
    """Walks the chains; each costs a few sums however long the path is."""

    def __init__(self, demand: Demand, stock: ConveyorStock) -> None:
        self.demand = demand
        self.stock = stock
        self.rejections: list[Rejection] = []
        self.conditional: list[Conditional] = []

    def candidates(self, chains: Iterable[StockChain]) -> Iterator[Candidate]:
        """Chains of known mass that pass."""
        for chain in chains:
            pitch = self._pitch(chain)
            if pitch is None:
                continue
            if chain.tensile is None and (chain.working is None or self.demand.working_factor is None):
                self.rejections.append(Rejection(chain, "strength_not_known"))
                continue
            if self.demand.temperature_factor is None:
                self.rejections.append(Rejection(chain, "temperature_outside"))
                continue
            mass, assumed = self._mass(chain)
            if mass is None:
                self._without_mass(chain, pitch)
                continue
            found = self._judged(chain, pitch, mass, assumed=assumed)
            if found is not None:
                yield found

    def _pitch(self, chain: StockChain) -> float | None:
        """The longest pitch that suits, or None with the reason noted."""
        demand = self.demand
        if demand.families is not None and chain.family not in demand.families:
            self.rejections.append(Rejection(chain, "family_excluded"))
            return None
        within = [p for p in chain.pitches_mm if demand.least_pitch_mm <= p <= demand.greatest_pitch_mm]
        fitting = [p for p in within if demand.spacing_mm is None or is_whole(demand.spacing_mm, p)]
        if fitting:
            return max(fitting)
        self.rejections.append(Rejection(chain, "spacing_invalid" if within else "pitch_outside"))
        return None

    def _mass(self, chain: StockChain) -> tuple[float | None, bool]:
        if self.demand.mass_kg_m is not None:
            return self.demand.mass_kg_m, False
        if chain.mass_kg_m is not None:
            return chain.mass_kg_m, False
        return self.demand.mass_where_unknown_kg_m, True

    def _judged(self, chain: StockChain, pitch: float, mass: float, *, assumed: bool) -> Candidate | None:
        demand = self.demand
        total = demand.chain_lines * mass
        if demand.least_negated and tension_at_mass(envelope=demand.least_negated, chain_mass_kg_m=total) > 0:
            least = -tension_at_mass(envelope=demand.least_negated, chain_mass_kg_m=total)
            self.rejections.append(Rejection(chain, "take_up_too_weak", least, 0.0, mass))
            return None
        limits, unjudged = self.limits(chain, total)
        worst = max(limits, key=lambda limit: limit.actual / limit.allowed)
        utilisation = worst.actual / worst.allowed
        if utilisation > 1.0:
            self.rejections.append(Rejection(chain, worst.name, worst.actual, worst.allowed, mass))
            return None
        weights = self.stock.weights
        terms: dict[RankingTerm, float] = {
            "fitness": weights["fitness"] * (FIRST_CHOICE - chain.grades.get(demand.purpose, FITNESS_UNKNOWN)),
            "unjudged": weights["unjudged"] * len(unjudged),
            "recalled": weights["recalled"] * chain.recalled,
            "small_reserve": weights["small_reserve"] * max(0.0, utilisation - 0.9),
        }
        return Candidate(chain, pitch, mass, assumed, limits, unjudged, utilisation, terms)

    def limits(self, chain: StockChain, total_kg_m: float) -> tuple[tuple[Limit, ...], tuple[LimitName, ...]]:
        """What one chain bears of each limit that can be judged, and the limits that cannot."""
        share = self.demand.share
        running = share * tension_at_mass(envelope=self.demand.running, chain_mass_kg_m=total_kg_m)
        starting = share * tension_at_mass(envelope=self.demand.starting, chain_mass_kg_m=total_kg_m)
        limits: list[Limit] = []
        unjudged: list[LimitName] = []
        for name, allowed in self.allowed(chain):
            if allowed is None:
                unjudged.append(name)
            elif name == "joint_pressure":
                limits.append(Limit(name, running / (chain.joint_area_mm2 or inf), allowed))
            else:
                limits.append(Limit(name, starting if name == "start_peak" else running, allowed))
        return tuple(limits), tuple(unjudged)

    def allowed(self, chain: StockChain) -> Iterator[tuple[LimitName, float | None]]:
        """Greatest tension of one chain, or joint pressure, by each limit; None where a hole leaves it unjudged.

        A limit that does not apply is left out: a joint pressure that nobody limits, a working load without a factor
        of speed.
        """
        demand = self.demand
        left = self.strength_left
        tensile, working = chain.tensile, chain.working
        yield "static_strength", None if tensile is None else tensile.value * left / demand.static_factor
        if demand.working_factor is not None:
            yield "working_load", None if working is None else working.value * left / demand.working_factor
        fraction = self.peak_fraction(chain)
        yield "start_peak", None if tensile is None or fraction is None else tensile.value * left * fraction
        if demand.allowed_joint_pressure_n_mm2 is not None:
            yield (
                "joint_pressure",
                None if chain.joint_area_mm2 is None else demand.allowed_joint_pressure_n_mm2,
            )

    @property
    def strength_left(self) -> float:
        """Share of the strength that is left at the temperature; none where nobody says it."""
        return self.demand.temperature_factor or 0.0

    def peak_fraction(self, chain: StockChain) -> float | None:
        """Share of tensile strength that a single peak may reach: the caller's, else that printed for the family."""
        if self.demand.peak_fraction is not None:
            return self.demand.peak_fraction
        return None if chain.peak_rule is None else chain.peak_rule.fraction_max

    def _without_mass(self, chain: StockChain, pitch: float) -> None:
        demand = self.demand
        run_limit, start_limit = inf, inf
        unjudged: list[LimitName] = []
        for name, allowed in self.allowed(chain):
            if allowed is None:
                unjudged.append(name)
            elif name == "start_peak":
                start_limit = allowed
            else:
                tension = (
                    allowed * chain.joint_area_mm2 if name == "joint_pressure" and chain.joint_area_mm2 else allowed
                )
                run_limit = min(run_limit, tension)
        try:
            total = min(
                greatest_mass(envelope=envelope, limit_n=limit / demand.share)
                for envelope, limit in ((demand.running, run_limit), (demand.starting, start_limit))
                if limit < inf
            )
        except NoSolution:
            self._reject_bare(chain)
            return
        if demand.least_negated:
            total = self._mass_that_take_up_holds(chain, total)
        if total > 0:
            self.conditional.append(Conditional(chain, pitch, total / demand.chain_lines, tuple(unjudged)))

    def _mass_that_take_up_holds(self, chain: StockChain, total: float) -> float:
        try:
            return min(total, greatest_mass(envelope=self.demand.least_negated, limit_n=0.0))
        except NoSolution:
            self.rejections.append(Rejection(chain, "take_up_too_weak"))
            return 0.0

    def _reject_bare(self, chain: StockChain) -> None:
        """Reject a chain that even without a mass of its own is too weak, by its worst limit."""
        worst = max(self.limits(chain, 0.0)[0], key=lambda limit: limit.actual / limit.allowed)
        self.rejections.append(Rejection(chain, worst.name, worst.actual, worst.allowed, 0.0))


def is_whole(spacing_mm: float, pitch_mm: float) -> bool:
    """Whether a spacing is a whole number of pitches."""
    ratio = spacing_mm / pitch_mm
    whole = int(ratio + 0.5)
    return whole >= 1 and isclose(ratio, whole, rel_tol=SPACING_AGREES)
