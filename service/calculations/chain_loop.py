"""A chain round any number of wheels: its path, the whole pitches that close it, and a take-up to close them with."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.loop_input import ChainLoopInput, read_half_height, read_slide, read_wheels
from service.calculations.loop_warnings import check_driver, hint_at_order, warn_of_contacts, warn_of_order
from service.calculations.trace import Outcome, Trace
from service.core.errors import Issue, NoSolution, OutOfRange
from service.core.loop_conflicts import ClearLoop, clear_loop
from service.core.loops import Loop, Travel, Wheel, speed_ratio, travel_of
from service.core.pitch_counts import neighbours
from service.core.sliding_loops import SlidingLoop, moved
from service.core.take_ups import LengthRange, length_range, travels_for_pitches, wear_reserve
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.core.sliding_loops import Slide

SHOWN_FITS = 4
"""Whole counts shown of those that a take-up allows, the nearest to the given position."""


class LoopFit(Record, frozen=True, kw_only=True):
    """A whole number of pitches, and the slack that it leaves or the travel that takes it up."""

    pitch_count: int
    slack_length_mm: float
    travel_mm: float | None = None
    wear_reserve_percent: float | None = None

    @property
    def offset_link(self) -> bool:
        """Whether the count is odd."""
        return self.pitch_count % 2 == 1

    @property
    def misfit_mm(self) -> float:
        """How far the fit is from the loop as it was given: its slack, or the travel that it needs."""
        return self.slack_length_mm + abs(self.travel_mm or 0.0)


class ChainLoopResult(Record, frozen=True, kw_only=True):
    """Path of the loop as it is to be set, y upwards, and the whole counts that fit it."""

    pitch_mm: float
    travel: Travel
    length_exact_pitches: float
    chosen: LoopFit | None
    fits: tuple[LoopFit, ...]
    wheels: tuple[Wheel, ...]
    loop: Loop
    speed_ratios: tuple[float, ...]
    least_clearance_mm: float
    half_height_mm: float


def chain_loop(given: ChainLoopInput, *, keep_steps: bool = False) -> Outcome[ChainLoopResult]:
    """Path, length and whole pitch counts of a loop.

    Raises:
        OutOfRange: the loop cannot be built, or a wheel or travel is impossible.
        Inconsistent: a pitch diameter does not fit the teeth and the chain.
        MoreNeeded: a wheel has neither teeth nor a pitch diameter.
        NoSolution: the asked pitch count cannot close the loop.
    """
    trace = Trace(keep_steps=keep_steps)
    task = _Task(given, trace)
    as_given = task.clear(task.wheels)
    exact = as_given.loop.length_pitches
    warn_of_order(trace, task.wheels, task.pitch_mm, exact)
    fits = task.fits_round_fixed_wheels(exact) if task.slide is None else task.fits_on(task.slide, exact)
    chosen = min(fits, key=lambda fit: fit.misfit_mm, default=None)
    wheels, clear = task.wheels, as_given
    if task.slide and chosen and chosen.travel_mm:
        wheels = moved(wheels=wheels, slide=task.slide, travel_mm=chosen.travel_mm)
        clear = task.clear(wheels)
    driver = clear.loop.contacts[given.driver_wheel]
    check_driver(trace, driver, given.wrap_rule)
    warn_of_contacts(trace, wheels, clear.loop, given.driver_wheel)
    _warn_of_count(trace, chosen)
    trace.caution("isolate_and_lock_off", "guard_the_drive")
    return Outcome(
        ChainLoopResult(
            pitch_mm=task.pitch_mm,
            travel=task.travel,
            length_exact_pitches=exact,
            chosen=chosen,
            fits=fits,
            wheels=wheels,
            loop=clear.loop,
            speed_ratios=tuple(
                trace.take(speed_ratio, driver=driver, driven=contact) for contact in clear.loop.contacts
            ),
            least_clearance_mm=clear.least_gap_mm,
            half_height_mm=task.half_height_mm,
        ),
        trace,
    )


class _Task:
    """One loop being worked out."""

    def __init__(self, given: ChainLoopInput, trace: Trace) -> None:
        self.given = given
        self.trace = trace
        self.pitch_mm = trace.figure(given.chain, "pitch")
        self.half_height_mm = read_half_height(given, trace)
        self.wheels = read_wheels(given, self.pitch_mm, trace)
        self.slide = read_slide(given)
        self.travel: Travel = given.travel or travel_of(wheels=self.wheels, pitch_mm=self.pitch_mm)
        if given.travel is None:
            trace.assume("travel", self.travel, "derived", "sense in which the wheels are listed along the path")
        if given.y_axis == "down":
            trace.assume("y_axis", "down", "given", "the senses of travel and turning are those seen on the drawing")

    def clear(self, wheels: Sequence[Wheel]) -> ClearLoop:
        """The loop over these wheels.

        Raises:
            OutOfRange: it cannot be built; where another order of the wheels would do, the hint names it.
        """
        try:
            return self.trace.take(
                clear_loop,
                wheels=wheels,
                pitch_mm=self.pitch_mm,
                half_height_mm=self.half_height_mm,
                travel=self.travel,
            )
        except OutOfRange as refusal:
            raise hint_at_order(refusal, wheels, self.pitch_mm) from None

    def fits_round_fixed_wheels(self, exact: float) -> tuple[LoopFit, ...]:
        """The asked count, or the two next ones that go round, with the slack that each leaves."""
        asked, multiple = self.given.pitch_count, self.given.multiple
        above = self.trace.take(neighbours, pitches=exact, multiple=multiple)[1]
        if asked is not None and asked < exact * (1 - 1e-12):
            text = f"{asked} pitches do not go round these wheels; {exact:.6g} are needed, so {above} or more."
            hint = "Take a longer chain, or give the wheel that can be moved as slide."
            raise NoSolution(Issue("pitch_count", "chain_too_short", text, above, asked, hint))
        counts = (above, above + multiple) if asked is None else (asked,)
        return tuple(LoopFit(pitch_count=n, slack_length_mm=(n - exact) * self.pitch_mm) for n in counts)

    def fits_on(self, slide: Slide, exact: float) -> tuple[LoopFit, ...]:
        """The asked count, or those within the travel that are nearest to the loop as given, with their travels."""
        sliding = SlidingLoop(wheels=self.wheels, pitch_mm=self.pitch_mm, travel=self.travel, slide=slide)
        if self.given.pitch_count is not None:
            return (self._fit(sliding, self.given.pitch_count),)
        lengths = self.trace.take(length_range, sliding=sliding)
        multiple = self.given.multiple
        first = neighbours(pitches=lengths.least_pitches, multiple=multiple)[1]
        last = neighbours(pitches=lengths.greatest_pitches, multiple=multiple)[0]
        if first > last:
            self._warn_of_no_count(lengths, last, first)
        near = min(max(neighbours(pitches=exact, multiple=multiple)[0], first), last)
        window = range(near - SHOWN_FITS * multiple, near + (SHOWN_FITS + 1) * multiple, multiple)
        counts = sorted((n for n in window if first <= n <= last), key=lambda n: abs(n - exact))[:SHOWN_FITS]
        return tuple(self._fit(sliding, count) for count in sorted(counts))

    def _fit(self, sliding: SlidingLoop, count: int) -> LoopFit:
        travels = self.trace.take(travels_for_pitches, sliding=sliding, pitch_count=count)
        reserve = self.trace.take(wear_reserve, sliding=sliding, pitch_count=count)
        return LoopFit(
            pitch_count=count, slack_length_mm=0.0, travel_mm=min(travels, key=abs), wear_reserve_percent=reserve
        )

    def _warn_of_no_count(self, lengths: LengthRange, below: int, above: int) -> None:
        word = "whole" if self.given.multiple == 1 else "even"
        self.trace.warn(
            "no_even_solution",
            f"The travel takes up {lengths.least_pitches:.6g} to {lengths.greatest_pitches:.6g} pitches, and no {word} "
            f"count lies between; the nearest are {below} and {above}.",
            field="slide",
        )


def _warn_of_count(trace: Trace, chosen: LoopFit | None) -> None:
    if chosen is None or not chosen.offset_link:
        return
    count = chosen.pitch_count
    trace.warn(
        "odd_pitch_count",
        f"{count} pitches are an odd number: an offset link is needed, which lowers the capacity of the chain; the "
        f"even neighbours are {count - 1} and {count + 1}.",
        field="pitch_count",
    )
