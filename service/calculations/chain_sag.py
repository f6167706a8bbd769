"""Slack of a strand between two supports: sag, excess length, movement by hand and tension, each from any other."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING

from service.calculations.trace import Outcome, Trace
from service.core.catenary import (
    EndTensions,
    HangingChain,
    end_tensions,
    hanging_chain,
    parabola_tension_error,
    parameter_from_excess,
    parameter_from_sag,
    parameter_from_tension,
)
from service.core.errors import Inconsistent, Issue, MoreNeeded
from service.core.mid_span import excess_from_movement, movement_from_excess
from service.core.pitch_counts import pitches_in_length
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.reference.chains import ChainSize
    from service.reference.sags import RecommendedSags, SagRow, Situation

EXCESSIVE_RATIO = 2.0
"""Times the greatest advised slack at which a strand is called too slack (ours)."""

USUAL_PERCENT = (0.5, 6.0)
"""Numbers that are usual as a percentage of the span and hardly so in millimetres (ours)."""


TAUT_MM = 1e-6
"""Sag or excess below which a strand counts as taut (ours)."""

LONG_CENTRES_MM = 1000.0
"""Centre distance above which less slack is advised (complete-guide-chain, section 7.1.2.1, published)."""


class ChainSagInput(Record, frozen=True, kw_only=True):
    """Supports of a strand, one measure of its slack, and the advice that holds for it."""

    chain: ChainSize | None
    span_mm: float
    rise_mm: float
    sag_mm: float | None
    excess_length_mm: float | None
    movement_mm: float | None
    horizontal_tension_n: float | None
    situations: tuple[Situation, ...]
    sags: RecommendedSags


class SagAdvice(Record, frozen=True, kw_only=True):
    """What one source advises for this strand, in its own measure and in that of the answer."""

    row: SagRow
    least_mm: float | None
    greatest_mm: float | None


class ChainSagResult(Record, frozen=True, kw_only=True):
    """The strand in every measure of slack; tensions where the mass of the chain is known and it is not taut."""

    chord_mm: float
    shape: HangingChain | None
    movement_mm: float
    tensions: EndTensions | None
    parabola_error_percent: float | None
    take_up_travel_mm: float
    excess_pitches: float | None
    advice: tuple[SagAdvice, ...]


def chain_sag(given: ChainSagInput, *, keep_steps: bool = False) -> Outcome[ChainSagResult]:
    """Slack of a strand in every measure.

    Raises:
        Inconsistent: more than one measure of slack was given.
        MoreNeeded: none was given, or the mass that a tension needs.
        OutOfRange: a figure is out of all proportion.
    """
    trace = Trace(keep_steps=keep_steps)
    _check_given(given)
    chord = hypot(given.span_mm, given.rise_mm)
    mass = _mass(given, trace)
    parameter = _parameter(given, chord, mass, trace)
    shape = tensions = error = None
    movement = 0.0
    if parameter is not None:
        shape = trace.take(hanging_chain, span_mm=given.span_mm, rise_mm=given.rise_mm, parameter_mm=parameter)
        movement = trace.take(movement_from_excess, span_mm=chord, excess_length_mm=shape.excess_length_mm)
        if given.rise_mm == 0:
            error = trace.take(parabola_tension_error, span_mm=given.span_mm, parameter_mm=parameter)
        if mass is not None:
            tensions = trace.take(
                end_tensions,
                span_mm=given.span_mm,
                rise_mm=given.rise_mm,
                parameter_mm=parameter,
                mass_per_length_kg_m=mass,
            )
    advice = tuple(_advice(row, chord, trace) for row in given.sags.advice(_situations(given, chord, trace)))
    excess = shape.excess_length_mm if shape else 0.0
    result = ChainSagResult(
        chord_mm=chord,
        shape=shape,
        movement_mm=movement,
        tensions=tensions,
        parabola_error_percent=error,
        take_up_travel_mm=excess / 2,
        excess_pitches=_pitches(given, excess, trace),
        advice=advice,
    )
    _warn(given, result, trace)
    trace.assume("take_up_travel", "two runs", "default", "one wheel of two is moved, which shortens both strands")
    trace.caution("isolate_and_lock_off")
    return Outcome(result, trace)


def _check_given(given: ChainSagInput) -> None:
    ways = {
        "sag_mm": given.sag_mm,
        "excess_length_mm": given.excess_length_mm,
        "movement_mm": given.movement_mm,
        "horizontal_tension_n": given.horizontal_tension_n,
    }
    named = [name for name, value in ways.items() if value is not None]
    names = "sag, excess_length, movement or horizontal_tension"
    if not named:
        raise MoreNeeded(Issue("", "field_required", f"Send one of {names}."))
    if len(named) > 1:
        raise Inconsistent(Issue(named[1], "over_determined", f"Send only one of {names}: each gives the others."))


def _mass(given: ChainSagInput, trace: Trace) -> float | None:
    if given.horizontal_tension_n is not None and given.chain is None:
        raise MoreNeeded(
            Issue("chain", "field_required", "A tension gives a sag only with the mass of the chain: send the chain.")
        )
    if given.chain is None:
        return None
    if given.horizontal_tension_n is None and given.chain.find("mass_per_length") is None:
        trace.warn("mass_not_known", "No mass of this chain is known, so that no tension is given.", severity="info")
        return None
    return trace.figure(given.chain, "mass_per_length")


def _parameter(given: ChainSagInput, chord: float, mass: float | None, trace: Trace) -> float | None:
    """Parameter of the catenary; None for a taut chain."""
    if given.horizontal_tension_n is not None and mass is not None:
        parameter = trace.take(
            parameter_from_tension, horizontal_tension_n=given.horizontal_tension_n, mass_per_length_kg_m=mass
        )
        return None if given.span_mm**2 / 8 < TAUT_MM * parameter else parameter
    if given.sag_mm is not None:
        if given.sag_mm < TAUT_MM:
            return None
        return trace.take(parameter_from_sag, span_mm=given.span_mm, rise_mm=given.rise_mm, sag_mm=given.sag_mm)
    excess = given.excess_length_mm or 0.0
    if given.movement_mm:
        excess = trace.take(excess_from_movement, span_mm=chord, movement_mm=given.movement_mm)
    if excess >= TAUT_MM:
        return trace.take(parameter_from_excess, span_mm=given.span_mm, rise_mm=given.rise_mm, excess_length_mm=excess)
    return None


def _pitches(given: ChainSagInput, excess_mm: float, trace: Trace) -> float | None:
    if given.chain is None:
        return None
    return trace.take(pitches_in_length, length_mm=excess_mm, pitch_mm=trace.figure(given.chain, "pitch"))


def _situations(given: ChainSagInput, chord: float, trace: Trace) -> tuple[Situation, ...]:
    """The situations told, and the length of the strand where it is one of them."""
    if chord <= LONG_CENTRES_MM or "conveyor_return" in given.situations:
        return given.situations
    trace.assume("situations", "centres_over_one_metre", "derived", "the strand is longer than 1 m")
    return (*given.situations, "centres_over_one_metre")


def _advice(row: SagRow, chord: float, trace: Trace) -> SagAdvice:
    trace.row(row, f"advised {row.measure}, {row.situation.replace('_', ' ')}")

    def share(percent: float | None) -> float | None:
        return None if percent is None else chord * percent / 100

    return SagAdvice(row=row, least_mm=share(row.least_percent), greatest_mm=share(row.greatest_percent))


def _warn(given: ChainSagInput, result: ChainSagResult, trace: Trace) -> None:
    if result.shape is None:
        trace.warn("no_slack", "The strand is taut; a chain needs some slack, or joints and bearings are overloaded.")
        return
    limits = [advice.greatest_mm for advice in result.advice if advice.row.measure == "movement" and advice.greatest_mm]
    if limits and result.movement_mm > EXCESSIVE_RATIO * max(limits):
        trace.warn(
            "sag_excessive",
            f"The strand moves {result.movement_mm:.4g} mm at mid-span, {result.movement_mm / max(limits):.3g} times "
            "the greatest advised: take slack out, or support the strand.",
            field=_field(given),
        )
    _warn_of_percent(given, trace)


def _warn_of_percent(given: ChainSagInput, trace: Trace) -> None:
    least, greatest = USUAL_PERCENT
    slack = given.sag_mm or given.movement_mm
    if slack and least <= slack <= greatest and 100 * slack / given.span_mm < least:
        trace.warn(
            "unit_suspect",
            f"{slack:g} mm is {100 * slack / given.span_mm:.2g} % of the span, almost taut; {slack:g} % would be "
            f"{given.span_mm * slack / 100:.4g} mm.",
            field=_field(given),
        )


def _field(given: ChainSagInput) -> str:
    fields: Sequence[tuple[str, float | None]] = (
        ("sag_mm", given.sag_mm),
        ("excess_length_mm", given.excess_length_mm),
        ("movement_mm", given.movement_mm),
    )
    return next((name for name, value in fields if value is not None), "horizontal_tension_n")
