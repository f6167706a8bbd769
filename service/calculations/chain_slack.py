"""Slack of a two-wheel drive: the sag of the slack strand and the centre distance at which it hangs so."""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

from service.core.catenary import hanging_chain, parameter_from_sag
from service.core.chain_length import centre_distance_exact
from service.core.errors import Inconsistent, Issue
from service.core.mid_span import movement_from_excess
from service.core.slack import centre_distance_with_take_off_mm, excess_length_mm
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.trace import Trace
    from service.reference.sags import SagRow

MUCH = 1.5
"""Times the advised slack above which the caller is told; the advice itself says "about" (our choice)."""

SMALL_SAG_PERCENT = 0.5
"""Below this share of the span a sag in mm looks like a percentage sent in the wrong field."""


class SlackInput(Record, frozen=True, kw_only=True):
    """Sag at mid-span of the slack strand, as a length or in per cent of the span, and what is advised."""

    sag_mm: float | None = None
    sag_percent: float | None = None
    advice: tuple[SagRow, ...] = ()


class Slack(Record, frozen=True, kw_only=True):
    """Sag, the chain that it takes, and the centre distance that leaves it."""

    span_mm: float
    sag_mm: float
    sag_percent: float
    excess_length_mm: float
    movement_mm: float
    installed_centre_distance_mm: float
    take_off_centre_distance_mm: float


class TightChain(Record, frozen=True, kw_only=True):
    """A chain stretched straight over its wheels."""

    pitch_mm: float
    pitch_count: int
    teeth_small: int
    teeth_large: int
    radius_difference_mm: float
    centre_distance_mm: float


def slack_of(given: SlackInput, chain: TightChain, trace: Trace) -> Slack | None:
    """The slack that was asked for; None where none was.

    The slack strand is taken as level and as a catenary; its centre distance is the one at which the straight spans,
    the arcs and the excess length of the sagging strand make up the whole pitch count.

    Raises:
        Inconsistent: the sag was sent both as a length and in per cent.
        OutOfRange: the chain would hang deeper than it can.
    """
    if given.sag_mm is None and given.sag_percent is None:
        return None
    if given.sag_mm is not None and given.sag_percent is not None:
        raise Inconsistent(Issue("sag_mm", "over_determined", "Send sag or sag_percent, not both."))
    centre_mm = chain.centre_distance_mm
    take_off_mm = trace.take(centre_distance_with_take_off_mm, centre_distance_mm=centre_mm)
    if not (given.sag_mm or given.sag_percent):
        field = "sag_percent" if given.sag_mm is None else "sag_mm"
        trace.warn("no_slack", "No sag was allowed for; a chain needs some in its slack strand.", field=field)
        span_mm = _span(centre_mm, chain)
        return Slack(
            span_mm=span_mm,
            sag_mm=0.0,
            sag_percent=0.0,
            excess_length_mm=0.0,
            movement_mm=0.0,
            installed_centre_distance_mm=centre_mm,
            take_off_centre_distance_mm=take_off_mm,
        )
    # The parabola comes within a thousandth of the excess; each round of the catenary gains three digits more.
    span_mm = _span(centre_mm, chain)
    sag_mm = _sag(given, span_mm)
    excess_mm = excess_length_mm(span_mm=span_mm, sag_mm=min(sag_mm, span_mm / 10.0))
    for _ in range(SETTLING_ROUNDS):
        previous_mm = centre_mm
        centre_mm = chain.pitch_mm * centre_distance_exact(
            pitch_count=chain.pitch_count - excess_mm / chain.pitch_mm,
            teeth_small=chain.teeth_small,
            teeth_large=chain.teeth_large,
        )
        if abs(centre_mm - previous_mm) <= SETTLED_MM:
            break
        span_mm = _span(centre_mm, chain)
        sag_mm = _sag(given, span_mm)
        parameter_mm = parameter_from_sag(span_mm=span_mm, rise_mm=0.0, sag_mm=sag_mm)
        excess_mm = hanging_chain(span_mm=span_mm, rise_mm=0.0, parameter_mm=parameter_mm).excess_length_mm
    trace.bind(hanging_chain)
    trace.assume("layout", "level", "default", "the slack strand is taken as level")
    slack = Slack(
        span_mm=span_mm,
        sag_mm=sag_mm,
        sag_percent=100.0 * sag_mm / span_mm,
        excess_length_mm=excess_mm,
        movement_mm=trace.take(movement_from_excess, span_mm=span_mm, excess_length_mm=excess_mm),
        installed_centre_distance_mm=centre_mm,
        take_off_centre_distance_mm=take_off_mm,
    )
    _warn(slack, given, trace)
    return slack


SETTLING_ROUNDS = 40
SETTLED_MM = 1e-6
"""A usual sag settles in two or three rounds, the deepest in all of them; no one sets shafts by a millionth of a mm."""


def _sag(given: SlackInput, span_mm: float) -> float:
    return given.sag_mm if given.sag_mm is not None else span_mm * (given.sag_percent or 0.0) / 100.0


def _span(centre_distance_mm: float, chain: TightChain) -> float:
    return sqrt(centre_distance_mm * centre_distance_mm - chain.radius_difference_mm * chain.radius_difference_mm)


def _warn(slack: Slack, given: SlackInput, trace: Trace) -> None:
    if given.sag_mm is not None and slack.sag_percent < SMALL_SAG_PERCENT:
        trace.warn(
            "unit_suspect",
            f"A sag of {slack.sag_mm:g} mm is only {slack.sag_percent:.2f} % of the span of {slack.span_mm:.0f} mm: "
            "were per cent meant? Then send sag_percent.",
            field="sag_mm",
        )
    movement_percent = 100.0 * slack.movement_mm / slack.span_mm
    for row in given.advice:
        if row.measure == "movement" and row.of == "span" and movement_percent > MUCH * (row.greatest_percent or 100.0):
            trace.row(row, "advised slack")
            trace.warn(
                "sag_excessive",
                f"A sag of {slack.sag_percent:.1f} % of the span lets the strand move by {movement_percent:.1f} %; "
                f"about {row.greatest_percent:g} % is advised for an ordinary drive.",
                field="sag_percent",
            )
