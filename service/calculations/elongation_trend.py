"""Course of wear of one chain from its readings: status, rate, and when each threshold is reached."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.calculations.elongation_check import CAUTIONS, CAUTIONS_LIFTING, ENTER_LIMIT, family_of
from service.calculations.trace import Outcome, Trace
from service.calculations.trend_readings import GivenReading, Series, read_series
from service.calculations.wear_basis import basis_of
from service.calculations.wear_forecast import DAYS_PER_YEAR, Clock, Forecast, clock, forecasts
from service.calculations.wear_lateness import next_inspection, overdue_flag, status_ahead
from service.calculations.wear_limit import ChosenLimit, LimitCase, is_lifting
from service.calculations.wear_times import as_date
from service.calculations.wear_verdict import (
    Confidence,
    Ladder,
    NextStep,
    Observed,
    OwnThresholds,
    Verdict,
    confidence_of,
    headline,
    judge,
    next_step,
)
from service.core.readings import Flag
from service.core.wear_limits import limit_used
from service.core.wear_series import (
    COURSE_FROM,
    Reading,
    accelerating,
    after_run_in,
    course,
    fit_readings,
    in_order,
    miscounted,
    repeated_values,
    segments,
    without_isolated,
)
from service.core.wear_status import NOT_ASSESSABLE
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.measurement import Instrument
    from service.core.trends import Line
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize

TrendQuality = Literal["too_few_readings", "two_point", "no_interval", "fitted"]

FITTED_FROM = 3
"""Readings from which a course is fitted; two give a rate only."""


class ElongationTrendInput(Record, frozen=True, kw_only=True):
    """The readings of one chain with what decides on the limit."""

    chain: ChainSize
    family: str | None
    readings: tuple[GivenReading, ...]
    as_of: str | None
    installed_at: str | None
    instrument: Instrument
    uncertainty_percent: float | None
    case: LimitCase
    observed: Observed
    thresholds: OwnThresholds
    horizon_years: float | None
    inspection_interval_days: float | None
    order_lead_days: float | None


class SectionTrend(Record, frozen=True, kw_only=True):
    """Course of wear of one section of the chain.

    Attributes:
        section: Name of the section; empty where none was sent.
        quality: What the number of readings allows.
        reading_count: Readings of the section that count as this chain's.
        used_count: Readings that the line rests on.
        since: Date of the first reading of the chain that runs now.
        latest_percent: Last reading, as read.
        level_percent: Elongation that the status rests on.
        line: Course of wear, None below two readings.
        status: Status by wear alone.
        governed_by: Whether the readings or the forecast decide on it.
        expected_percent: Elongation by the course at an instant of evaluation after the last reading.
        limit_used: Share of the limit at that level.
        forecasts: When each status begins.
        flags: Doubts with the readings that they concern.
        confidence: How far status and forecast can be trusted.
        next_inspection_days: Days until it should be measured again; None where no dates are known.
        next_inspection: The date of it.
    """

    section: str
    quality: TrendQuality
    reading_count: int
    used_count: int
    since: str | None
    latest_percent: float
    level_percent: float
    expected_percent: float | None
    line: Line | None
    status: str
    governed_by: Literal["wear", "forecast"]
    limit_used: float | None
    forecasts: tuple[Forecast, ...]
    flags: tuple[Flag, ...]
    confidence: Confidence
    next_inspection_days: float | None
    next_inspection: str | None


class ElongationTrendResult(Record, frozen=True, kw_only=True):
    """Course of wear of a chain; the worst section governs."""

    family: str
    lifting: bool
    axis: Literal["days", "usage"]
    usage_unit: str | None
    as_of: str | None
    limit: ChosenLimit
    verdict: Verdict
    governing_section: str
    sections: tuple[SectionTrend, ...]
    headline: str
    next_step: NextStep


def elongation_trend(
    given: ElongationTrendInput, reference: Reference, *, keep_steps: bool = False
) -> Outcome[ElongationTrendResult]:
    """Judge the course of wear of one chain.

    Raises:
        MoreNeeded: readings have neither date nor use, or a length without its count.
        Inconsistent: use in different units, or a chain that is judged by other measures.
        OutOfRange: a date that is none, or one far in the future.
    """
    trace = Trace(keep_steps=keep_steps)
    family = family_of(given.chain, given.family, trace)
    lifting = is_lifting(family)
    limit, steps = basis_of(family, given.case, given.thresholds, reference, trace)
    series = read_series(given, reference, trace)
    analyst = _Analyst(given, reference, series, limit, steps, trace)
    sections = tuple(analyst.section(name) for name in series.section_names)
    worst = max(sections, key=lambda one: (steps.gravity.index(one.status), one.level_percent))
    verdict = judge({worst.governed_by: worst.status}, given.observed, steps, reference.wear, trace)
    _warn_of_flags(sections, trace)
    trace.caution(*CAUTIONS_LIFTING if lifting else CAUTIONS)
    result = ElongationTrendResult(
        family=family,
        lifting=lifting,
        axis=series.axis,
        usage_unit=series.usage_unit,
        as_of=None if series.as_of is None else as_date(series.as_of),
        limit=limit,
        verdict=verdict,
        governing_section=worst.section,
        sections=sections,
        headline=_headline(verdict, worst, limit),
        next_step=next_step(
            verdict=verdict, seen=given.observed, wear=reference.wear, doubt=_doubt(worst, limit, steps)
        ),
    )
    return Outcome(result, trace)


def _headline(verdict: Verdict, worst: SectionTrend, limit: ChosenLimit) -> str:
    level, prefix = worst.level_percent, ""
    if verdict.governed_by == "forecast" and worst.expected_percent is not None:
        level, prefix = worst.expected_percent, "By now about "
    return headline(status=verdict.status, elongation_percent=level, limit_percent=limit.percent, prefix=prefix)


def _warn_of_flags(sections: tuple[SectionTrend, ...], trace: Trace) -> None:
    for flag in dict.fromkeys(flag for section in sections for flag in section.flags):
        field = f"readings.{flag.indices[0]}" if flag.indices else "readings"
        trace.warn(flag.code, flag.message, severity="info" if flag.code in _PLAIN else "caution", field=field)


_PLAIN = {"duplicate_reading", "too_few_readings", "two_point", "no_wear_trend"}


def _doubt(worst: SectionTrend, limit: ChosenLimit, steps: Ladder) -> NextStep | None:
    if limit.percent is None:
        return ENTER_LIMIT
    codes = {flag.code for flag in worst.flags}
    if worst.governed_by == "forecast":
        text = "Measure now: by the course the chain has reached the next status since the last reading."
        return NextStep("measure_now", text)
    last = {flag.code for flag in worst.flags if worst.latest_percent != worst.level_percent}
    if last & {"outlier", "reading_below_trend", "pitch_count_suspect", "pins_not_pitches_suspect"}:
        text = "Measure again before acting: the last reading does not fit the course of the others."
        return NextStep("measure_again", text)
    if worst.status == NOT_ASSESSABLE:
        return NextStep("measure_again", "Measure again: count from pin to pin, under tension, in the same place.")
    if "accelerating" in codes and worst.status in {steps.lowest, "watch"}:
        text = "Wear has become faster: look at lubrication, dirt and load, and measure again soon."
        return NextStep("look_for_cause", text)
    return None


class _Analyst(Record, frozen=True):
    """One request's readings, limit and ladder."""

    given: ElongationTrendInput
    reference: Reference
    series: Series
    limit: ChosenLimit
    steps: Ladder
    trace: Trace

    def figure(self, name: str) -> float:
        """A threshold of the service."""
        return self.reference.wear.thresholds[name].value

    def section(self, name: str) -> SectionTrend:
        """Course of wear of one section."""
        ordered, flags = in_order(self.series.readings_of(name))
        parts, more = segments(ordered)
        part = parts[-1]
        flags = [*self.series.flags_of(name), *flags, *more]
        line: Line | None = None
        quality: TrendQuality = "too_few_readings"
        used = part
        if len(part) >= 2:
            line, quality, used, found = self._course(part, parts)
            flags += found
        else:
            flags.append(_flag("too_few_readings", "One reading gives a status and no rate.", part))
        level = _level(part, line if len(part) >= FITTED_FROM else None, flags)
        time = self._clock(part)
        found_forecasts = self._forecasts(line, level, time)
        allowed = self.given.inspection_interval_days
        inspection = next_inspection(allowed, found_forecasts, time, self.figure("inspection_fraction"))
        expected = None
        if line is not None and line.slope > 0 and time.position > time.measured:
            expected = max(line.at(time.position), level)
        status = self._status(part, level, found_forecasts, inspection, time)
        ahead = status_ahead(self.steps, status, expected, self.limit.percent)
        overdue = overdue_flag(ahead, allowed, found_forecasts, time, part[-1].index)
        if overdue is not None:
            flags.append(overdue)
        return SectionTrend(
            section=name,
            quality=quality,
            reading_count=len(part),
            used_count=len(used) if line is None else line.reading_count,
            since=self.series.date_of(part[0]),
            latest_percent=part[-1].elongation_percent,
            level_percent=level,
            expected_percent=expected,
            line=line,
            status=status if ahead is None else ahead,
            governed_by="wear" if ahead is None else "forecast",
            limit_used=None
            if self.limit.percent is None
            else limit_used(elongation_percent=level, limit_percent=self.limit.percent),
            forecasts=found_forecasts,
            flags=tuple(flags),
            confidence=confidence_of(
                [flag.code for flag in flags], assumed=len(part) < COURSE_FROM or self.series.uncertainty_assumed
            ),
            next_inspection_days=inspection,
            next_inspection=time.date(inspection),
        )

    def _course(
        self, part: list[Reading], parts: list[list[Reading]]
    ) -> tuple[Line, TrendQuality, list[Reading], list[Flag]]:
        fitted = after_run_in(
            part,
            run_in_percent=self.figure("run_in_percent"),
            run_in_until=self.figure("run_in_hours") if self.series.usage_unit == "h" else None,
            keep=COURSE_FROM,
        )
        line, flags = course(fitted, confidence=self.figure("interval_confidence"))
        steady = without_isolated(fitted, {index for flag in flags for index in flag.indices})
        flags += miscounted(part, line, limit_percent=self.limit.percent or self.figure("usual_limit_span"))
        flags += repeated_values(part, line)
        if len(part) == 2:
            flags.append(_flag("two_point", "Two readings give a rate and no interval.", part))
            return line, "two_point", fitted, flags
        if line.slope <= 0:
            flags.append(_flag("no_wear_trend", "The readings do not rise: nothing is extrapolated.", part))
        elif (faster := accelerating(steady, line, ratio=self.figure("acceleration_ratio"))) is not None:
            flag, late = faster
            fitted = late
            flags = [one for one in flags if one.code != "outlier" or one.indices[0] not in flag.indices]
            flags.append(flag)
            confidence = self.figure("interval_confidence") if len(late) >= COURSE_FROM else None
            line = fit_readings(late, confidence=confidence)
        flags += self._rate_doubled(line, parts)
        quality: TrendQuality = "fitted" if line.slope_high != float("inf") else "no_interval"
        return line, quality, fitted, flags

    def _rate_doubled(self, line: Line, parts: list[list[Reading]]) -> list[Flag]:
        before = parts[-2] if len(parts) > 1 else []
        if len(before) < FITTED_FROM or line.reading_count < FITTED_FROM:
            return []
        earlier, _ = course(before, confidence=self.figure("interval_confidence"))
        if earlier.slope <= 0 or line.slope < self.figure("rate_doubled_ratio") * earlier.slope:
            return []
        return [
            Flag(
                "rate_doubled",
                "This chain wears more than twice as fast as the one before it: look at lubrication and wheels.",
                (("slope", line.slope), ("slope_before", earlier.slope)),
            )
        ]

    def _clock(self, part: list[Reading]) -> Clock:
        years = self.given.horizon_years
        if years is None:
            years = self.figure("forecast_horizon_years")
        return clock(
            axis=self.series.axis,
            instants=[self.series.instant_of(reading) for reading in part],
            positions=[reading.position for reading in part],
            as_of=self.series.as_of,
            horizon_days=years * DAYS_PER_YEAR,
        )

    def _forecasts(self, line: Line | None, level: float, time: Clock) -> tuple[Forecast, ...]:
        if self.limit.percent is None:
            return ()
        return forecasts(
            line=line,
            level_percent=level,
            limit_percent=self.limit.percent,
            steps=self.steps,
            time=time,
            trace=self.trace,
        )

    def _status(
        self,
        part: list[Reading],
        level: float,
        found: tuple[Forecast, ...],
        inspection: float | None,
        time: Clock,
    ) -> str:
        if self.limit.percent is None or level < -part[-1].uncertainty_percent:
            return NOT_ASSESSABLE
        status = self.steps.status(
            limit_used(elongation_percent=level, limit_percent=self.limit.percent), self.given.observed.previous_status
        )
        lead = self.given.order_lead_days
        if status == "watch" and lead is not None and time.per_day is not None:
            due = next((one.expected for one in found if one.status == "replace"), None)
            if due is not None and due.days is not None and due.days - lead < (inspection or 0.0):
                self.trace.warn(
                    "lead_time_reached",
                    "The limit is expected before a chain ordered at the next inspection would arrive: order now.",
                    field="order_lead_days",
                )
                return "plan"
        return status


def _flag(code: str, message: str, part: list[Reading]) -> Flag:
    return Flag(code, message, (("readings", float(len(part))),), tuple(reading.index for reading in part[-1:]))


def _level(part: list[Reading], line: Line | None, flags: list[Flag]) -> float:
    """Elongation to judge by: the higher of the last reading and the course, unless the last reading is in doubt."""
    last = part[-1]
    if line is None:
        return last.elongation_percent
    off = {"outlier", "reading_below_trend", "pitch_count_suspect", "pins_not_pitches_suspect"}
    doubted = any(flag.code in off and last.index in flag.indices for flag in flags)
    on_course = line.at(last.position)
    return on_course if doubted else max(on_course, last.elongation_percent)
