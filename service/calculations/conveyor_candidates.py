"""The search for conveyor chains: what each chain's own mass makes of the pull, and which limits it keeps."""

from __future__ import annotations

from math import isclose
from typing import TYPE_CHECKING, Literal

from service.calculations.conveyor_limits import ChainLimits, LimitDemand, LimitFigures, LimitName
from service.core.conveyor_mass import greatest_mass, tension_at_mass
from service.core.errors import NoSolution
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from service.calculations.conveyor_stock import ConveyorStock, Purpose, StockChain
    from service.reference.conveyor_factors import RankingTerm

Reason = Literal[
    "unfit_for_purpose",
    "wheel_unsuitable",
    "family_excluded",
    "pitch_outside",
    "spacing_invalid",
    "strength_not_known",
    LimitName,
    "take_up_too_weak",
    "limiter_outside_window",
    "temperature_outside",
    "curve_too_tight",
]

SPACING_AGREES = 1e-4
"""Part within which a spacing is a whole number of pitches, as in ``conveyor_capacity.pitches_between_attachments``."""

FITNESS_UNKNOWN = 2
"""Grade of a family that is not graded, between poor and good (ours)."""
FIRST_CHOICE = 4


class Demand(Record, frozen=True, kw_only=True):
    """What the conveyor asks of any chain: what it must bear, and what else it must be."""

    limits: LimitDemand
    chain_lines: int
    purpose: Purpose
    spacing_mm: float | None
    mass_kg_m: float | None
    mass_where_unknown_kg_m: float | None
    families: frozenset[str] | None
    least_pitch_mm: float
    greatest_pitch_mm: float


class Candidate(Record, frozen=True):
    """A chain of known or assumed mass that keeps every limit that can be judged."""

    chain: StockChain
    pitch_mm: float
    chain_mass_kg_m: float
    mass_assumed: bool
    limits: list[LimitFigures]
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
        self.limits = ChainLimits(demand.limits)
        self.stock = stock
        self.rejections: list[Rejection] = []
        self.conditional: list[Conditional] = []

    def candidates(self, chains: Iterable[StockChain]) -> Iterator[Candidate]:
        """Chains of known mass that pass."""
        for chain in chains:
            pitch = self._pitch(chain)
            if pitch is None:
                continue
            if self.limits.curve_too_tight(pitch):
                self.rejections.append(Rejection(chain, "curve_too_tight"))
                continue
            if chain.tensile is None and (chain.working is None or self.demand.limits.working_factor is None):
                self.rejections.append(Rejection(chain, "strength_not_known"))
                continue
            if self.demand.limits.temperature_factor is None:
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
        negated = demand.limits.least_negated
        if negated and tension_at_mass(envelope=negated, chain_mass_kg_m=total) > 0:
            least = -tension_at_mass(envelope=negated, chain_mass_kg_m=total)
            self.rejections.append(Rejection(chain, "take_up_too_weak", least, 0.0, mass))
            return None
        judged = self.limits.judge(chain, pitch, total)
        limits, unjudged = judged.limits, judged.unjudged
        utilisation = max([actual / allowed for _, actual, allowed in limits])
        if utilisation > 1.0:
            self.rejections.append(Rejection(chain, *_worst(limits), mass))
            return None
        weights = self.stock.weights
        terms: dict[RankingTerm, float] = {
            "fitness": weights["fitness"] * (FIRST_CHOICE - chain.grades.get(demand.purpose, FITNESS_UNKNOWN)),
            "unjudged": weights["unjudged"] * _holes(unjudged),
            "recalled": weights["recalled"] * chain.recalled,
            "small_reserve": weights["small_reserve"] * max(0.0, utilisation - 0.9),
        }
        return Candidate(chain, pitch, mass, assumed, limits, unjudged, utilisation, terms)

    def _without_mass(self, chain: StockChain, pitch: float) -> None:
        try:
            total, unjudged = self.limits.greatest_mass(chain, pitch)
        except NoSolution:
            self._reject_bare(chain, pitch)
            return
        if self.limits.demand.least_negated:
            total = self._mass_that_take_up_holds(chain, total)
        if total > 0:
            self.conditional.append(Conditional(chain, pitch, total / self.demand.chain_lines, unjudged))

    def _mass_that_take_up_holds(self, chain: StockChain, total: float) -> float:
        try:
            return min(total, greatest_mass(envelope=self.demand.limits.least_negated, limit_n=0.0))
        except NoSolution:
            self.rejections.append(Rejection(chain, "take_up_too_weak"))
            return 0.0

    def _reject_bare(self, chain: StockChain, pitch: float) -> None:
        """Reject a chain that even without a mass of its own is too weak, by its worst limit."""
        self.rejections.append(Rejection(chain, *_worst(self.limits.judge(chain, pitch, 0.0).limits), 0.0))


def _holes(unjudged: tuple[LimitName, ...]) -> int:
    """Figures that the tables lack: one rule holds both peaks, and a working load stands for a fatigue limit."""
    doubled = ("surge_peak" in unjudged) + ("fatigue" in unjudged)
    if "working_load" in unjudged and "fatigue" not in unjudged:
        doubled += 1
    return len(unjudged) - doubled


def _worst(limits: list[LimitFigures]) -> LimitFigures:
    """The limit that is used most."""
    return max(limits, key=lambda limit: limit[1] / limit[2])


def is_whole(spacing_mm: float, pitch_mm: float) -> bool:
    """Whether a spacing is a whole number of pitches."""
    ratio = spacing_mm / pitch_mm
    whole = int(ratio + 0.5)
    return whole >= 1 and isclose(ratio, whole, rel_tol=SPACING_AGREES)
