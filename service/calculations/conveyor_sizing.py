"""Conveyor sizing: pull of every point, the chains that bear it with their own mass, and the window of a limiter."""

from __future__ import annotations

from collections import Counter
from math import inf
from typing import TYPE_CHECKING

from service.calculations.conveyor_candidates import Candidate, ChainSearch, Conditional, Demand, Rejection
from service.calculations.conveyor_factors import (
    FactorBook,
    FactorUsed,
    chain_speed_factor,
    composite_service_factor,
    load_friction,
    share_of_one_chain,
    static_factor,
    temperature_factor,
    track_friction,
)
from service.calculations.conveyor_layout import settle_path
from service.calculations.conveyor_limiter import check_head_wheel, setting_of, stall_pull
from service.calculations.conveyor_limits import CurveRollers, LimitDemand, RollerDemand
from service.calculations.conveyor_load import SettledLoad, settle_load
from service.calculations.conveyor_named import check_named, check_setting_of_all, driven
from service.calculations.conveyor_option import ConveyorOption, ConveyorRelations, Factors
from service.calculations.conveyor_path import ConveyorPath, Loaded, State, states_of
from service.calculations.conveyor_stock import PURPOSE_OF
from service.calculations.conveyor_warnings import check_given, warn_of_answer
from service.calculations.refusals import Refusals
from service.calculations.trace import Outcome, Trace
from service.core.conveyor_mass import Envelope, MassEnvelopes, tension_at_mass, upper_envelope
from service.core.errors import Issue, OutOfRange
from service.core.number_text import significant
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.calculations.conveyor_input import ConveyorSizingInput
    from service.calculations.conveyor_stock import ConveyorStock, StockChain, Suited
    from service.core.conveyor_pull import PathTensions
    from service.reference.conveyor_factors import RankingTerm


class RankedChain(Record, frozen=True):
    """A chain in the ranking; a lower score ranks better."""

    option: ConveyorOption
    score: float
    terms: dict[RankingTerm, float]


class StateTensions(Record, frozen=True, kw_only=True):
    """Tension from point to point in one state of the conveyor."""

    state: State
    path: PathTensions


class Profile(Record, frozen=True, kw_only=True):
    """Tensions of every state with one chain; the chain is None where they leave its mass out."""

    chain: StockChain | None
    chain_mass_kg_m: float
    point_names: tuple[str, ...]
    states: tuple[StateTensions, ...]


class Lengthening(Record, frozen=True, kw_only=True):
    """The same conveyor before its runs became longer, with the same chain."""

    effective_pull_n: float
    greatest_tension_n: float
    effective_pull_before_n: float
    greatest_tension_before_n: float


class ConveyorSizingResult(Record, frozen=True, kw_only=True):
    """Load, factors, ranking, what would pass with a light enough chain, and the tensions of the best."""

    load: SettledLoad
    factors: tuple[FactorUsed, ...]
    chains: tuple[RankedChain, ...]
    conditional: tuple[Conditional, ...]
    passing_count: int
    conditional_count: int
    rejected_counts: dict[str, int]
    nearest_misses: tuple[Rejection, ...]
    profile: Profile
    lengthening: Lengthening | None


class _Settled(Record, frozen=True, kw_only=True):
    """Everything that does not depend on a chain."""

    load: SettledLoad
    path: ConveyorPath
    states: tuple[Loaded, ...]
    factors: Factors
    static: float
    temperature: float | None
    setting_n_m: float | None


def size_conveyor(
    given: ConveyorSizingInput, stock: ConveyorStock, *, keep_steps: bool = False
) -> Outcome[ConveyorSizingResult]:
    """Tensions, power and limiter window of a conveyor with each chain that bears it, ranked.

    Raises:
        Inconsistent, MoreNeeded, OutOfRange, NotInReference: the conveyor does not hold together, a factor is in no
            table, or no chain leaves room for the limiter that was sent.
    """
    trace = Trace(keep_steps=keep_steps)
    book = FactorBook(trace, stock.factors)
    settled = _settle(given, book)
    envelopes = {loaded.state: settled.path.envelopes(loaded, trace) for loaded in settled.states}
    search = ChainSearch(_demand(given, settled, envelopes), stock)
    named = None if given.choice.chains is None else tuple(stock.named(size) for size in given.choice.chains)
    if named is not None:
        check_named(named, given, trace)
    stall = stall_pull(given.drive, given.chain_speed_m_s, trace)
    relations = ConveyorRelations(given, envelopes, settled.factors, search, (settled.setting_n_m, stall))
    # Chains that the caller named are not held to the grades of their family; a search is.
    suited = stock.suited(PURPOSE_OF[given.load.carried], given.head_wheel.kind)
    candidates = list(search.candidates(suited.chains if named is None else driven(named, given, search)))
    candidates = check_setting_of_all(candidates, relations, search)
    if not candidates:
        _refuse_weak_take_up(search)
    ranked = _ranked(candidates, stock)
    chains = tuple(
        RankedChain(relations.evaluate(candidate, trace), score, dict(candidate.terms))
        for score, _, candidate in ranked[: given.choice.limit]
    )
    misses = sorted((miss for miss in search.rejections if miss.limit > 0), key=lambda miss: miss.actual / miss.limit)
    profile = _profile(settled, _shown(given, chains, misses), envelopes, trace)
    result = ConveyorSizingResult(
        load=settled.load,
        factors=tuple(book.used),
        chains=chains,
        conditional=tuple(_by_fitness(search.conditional, given)[: given.choice.limit]),
        passing_count=len(candidates),
        conditional_count=len(search.conditional),
        rejected_counts=_rejected(search, suited if named is None else None),
        nearest_misses=tuple(misses[:5]),
        profile=profile,
        lengthening=_lengthening(settled, profile, envelopes, trace),
    )
    trace.note(stock.ranking_used)
    warn_of_answer(given, settled.path, result, stock.factors, trace)
    return Outcome(result, trace)


def _rejected(search: ChainSearch, suited: Suited | None) -> dict[str, int]:
    """How many chains failed for each reason."""
    counts: Counter[str] = Counter({} if suited is None else suited.left_out)
    counts.update(miss.reason for miss in search.rejections)
    return dict(counts)


def _settle(given: ConveyorSizingInput, book: FactorBook) -> _Settled:
    """Everything that does not depend on a chain; parts that do not need each other refuse together."""
    trace = book.trace
    refusals = Refusals()
    refusals.attempt(check_given, given, trace)
    refusals.attempt(check_head_wheel, given.head_wheel)
    load = refusals.attempt(settle_load, given.load, given.chain_speed_m_s, book)
    track = refusals.attempt(track_friction, given, book)
    share = refusals.attempt(share_of_one_chain, given.chains, book)
    speed = refusals.attempt(chain_speed_factor, given, book)
    service = refusals.attempt(composite_service_factor, given.rules, book)
    static = refusals.attempt(static_factor, given, book)
    setting = refusals.attempt(setting_of, given.limiter, trace)
    hot = temperature_factor(given.rules, book)
    refusals.tell()
    on_load = load_friction(given.load, track.value, book)
    path = settle_path(given, load.value, (track.value, on_load), book)
    return _Settled(
        load=load.value,
        path=path,
        states=tuple(states_of(path, given, book)),
        factors=Factors(
            share=share.value, speed=speed.value, service=service.value, efficiency=_efficiency(given, book)
        ),
        static=static.value,
        temperature=hot,
        setting_n_m=setting.value,
    )


def _efficiency(given: ConveyorSizingInput, book: FactorBook) -> float:
    if given.drive.efficiency is not None:
        return book.given("drive_efficiency", given.drive.efficiency)
    note = "power at the head shaft; losses of gear and drive come on top"
    return book.default("drive_efficiency", 1.0, note, "drive.efficiency")


def _demand(given: ConveyorSizingInput, settled: _Settled, envelopes: dict[State, MassEnvelopes]) -> Demand:
    choice = given.choice
    return Demand(
        limits=_limit_demand(given, settled, envelopes),
        chain_lines=given.chains.chain_lines,
        purpose=PURPOSE_OF[given.load.carried],
        spacing_mm=None if given.attached is None else 1000.0 * given.attached.spacing_m,
        mass_kg_m=given.chains.mass_kg_m,
        mass_where_unknown_kg_m=given.chains.mass_where_unknown_kg_m,
        families=None if choice.families is None else frozenset(choice.families),
        least_pitch_mm=choice.least_pitch_mm or 0.0,
        greatest_pitch_mm=choice.greatest_pitch_mm or inf,
    )


def _limit_demand(given: ConveyorSizingInput, settled: _Settled, envelopes: dict[State, MassEnvelopes]) -> LimitDemand:
    """What any chain must bear: tensions by chain mass, and the factors and allowables that they are judged with."""
    rules, path, head = given.rules, settled.path, given.head_wheel
    running = [found for state, found in envelopes.items() if state != "start"]
    speed = settled.factors.speed
    full = next(loaded for loaded in settled.states if loaded.state == "full")
    steady = tuple(loaded for loaded in settled.states if loaded.state != "start")
    return LimitDemand(
        running=_joined([found.greatest for found in running]),
        starting=_joined([found.greatest for found in envelopes.values()]),
        least_negated=_joined([found.least_negated for found in envelopes.values()]),
        least_tension_n=given.least_tension_n,
        moved=path.moved_by_mass(full),
        teeth=head.teeth if head.kind == "toothed" else None,
        chain_speed_m_s=given.chain_speed_m_s,
        rollers=RollerDemand(
            resting=path.rests_by_mass(full),
            curves=tuple(CurveRollers(radius_mm=r, tension=tension) for r, tension in path.curve_tensions(steady)),
            spacing_mm=given.chains.roller_spacing_mm,
        ),
        chain_lines=given.chains.chain_lines,
        share=settled.factors.share,
        static_factor=settled.static,
        working_factor=None if speed is None else speed * settled.factors.service,
        fatigue_limit_n=rules.fatigue_limit_n,
        fatigue_fraction=rules.fatigue_fraction,
        surge_share=rules.surge_share,
        peak_fraction=rules.peak_fraction,
        temperature_factor=settled.temperature,
        allowed_joint_pressure_n_mm2=rules.allowed_joint_pressure_n_mm2,
        allowed_roller_load_n=rules.allowed_roller_load_n,
        allowed_roller_pressure_n_mm2=rules.allowed_roller_pressure_n_mm2,
    )


def _joined(envelopes: Sequence[Envelope]) -> Envelope:
    """One envelope over several."""
    return upper_envelope(lines=[line for envelope in envelopes for line in envelope])


def _refuse_weak_take_up(search: ChainSearch) -> None:
    """Refuse a take-up that leaves every chain slack.

    Raises:
        OutOfRange: code ``take_up_too_weak``.
    """
    slack = [miss for miss in search.rejections if miss.reason == "take_up_too_weak"]
    if slack and not search.conditional and not any(miss.limit > 0 for miss in search.rejections):
        message = (
            f"The take-up leaves a point of the path slack by {significant(-max(miss.actual for miss in slack))} N."
        )
        hint = "Take more force or mass, or place it where the tension is least."
        raise OutOfRange(Issue("take_up", "take_up_too_weak", message, None, None, hint))


def _ranked(candidates: list[Candidate], stock: ConveyorStock) -> list[tuple[float, int, Candidate]]:
    """Candidates by their score; the mass term is added here, since it needs the lightest of all."""
    lightest = min((candidate.chain_mass_kg_m for candidate in candidates), default=1.0)
    scored = []
    for place, candidate in enumerate(candidates):
        candidate.terms["mass"] = stock.weights["mass"] * (candidate.chain_mass_kg_m / lightest - 1.0)
        scored.append((sum(candidate.terms.values()), place, candidate))
    # Of two chains that score alike the one that is used more is the smaller.
    return sorted(scored, key=lambda one: (one[0], -one[2].utilisation, one[1]))


def _by_fitness(conditional: list[Conditional], given: ConveyorSizingInput) -> list[Conditional]:
    """Chains without a mass, the best suited family first, then the one with the least to spare."""
    purpose = PURPOSE_OF[given.load.carried]
    return sorted(
        conditional,
        key=lambda found: (-found.chain.grades.get(purpose, 0), len(found.unjudged), found.greatest_mass_kg_m),
    )


def _profile(settled: _Settled, weighed: _Weighed, envelopes: dict[State, MassEnvelopes], trace: Trace) -> Profile:
    """Tensions of every state with a chain of a mass."""
    total = settled.path.chain_lines * weighed.mass_kg_m

    def tensions(loaded: Loaded) -> StateTensions:
        start = tension_at_mass(envelope=envelopes[loaded.state].start, chain_mass_kg_m=total)
        return StateTensions(state=loaded.state, path=settled.path.tensions(loaded, total, start, trace))

    names = [named.name for named in settled.path.parts[:-1]]
    return Profile(
        chain=weighed.chain,
        chain_mass_kg_m=weighed.mass_kg_m,
        point_names=("drive, slack side", *names, "drive, tight side"),
        states=tuple(tensions(loaded) for loaded in settled.states),
    )


class _Weighed(Record, frozen=True):
    """A chain, where there is one, and the mass with which the tensions are shown."""

    chain: StockChain | None
    mass_kg_m: float


def _shown(given: ConveyorSizingInput, chains: tuple[RankedChain, ...], misses: list[Rejection]) -> _Weighed:
    """The best chain, else the nearest miss of known mass, else the mass that was sent, else none."""
    if chains:
        return _Weighed(chains[0].option.chain, chains[0].option.chain_mass_kg_m)
    for miss in misses:
        if miss.chain_mass_kg_m:
            return _Weighed(miss.chain, miss.chain_mass_kg_m)
    return _Weighed(None, given.chains.mass_kg_m or given.chains.mass_where_unknown_kg_m or 0.0)


def _lengthening(
    settled: _Settled, profile: Profile, envelopes: dict[State, MassEnvelopes], trace: Trace
) -> Lengthening | None:
    before = settled.path.shortened()
    if before is None:
        return None
    running = [loaded for loaded in settled.states if loaded.state != "start"]
    earlier = [before.envelopes(loaded, trace) for loaded in running]
    now = [envelopes[loaded.state] for loaded in running]
    total = settled.path.chain_lines * profile.chain_mass_kg_m

    def most(found: list[MassEnvelopes], name: str) -> float:
        return max(tension_at_mass(envelope=getattr(one, name), chain_mass_kg_m=total) for one in found)

    return Lengthening(
        effective_pull_n=most(now, "effective_pull"),
        greatest_tension_n=most(now, "greatest"),
        effective_pull_before_n=most(earlier, "effective_pull"),
        greatest_tension_before_n=most(earlier, "greatest"),
    )
