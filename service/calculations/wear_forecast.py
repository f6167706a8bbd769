"""When each threshold is reached: from a fitted course of wear to positions, days and dates."""

from __future__ import annotations

from datetime import timedelta
from math import isfinite
from typing import TYPE_CHECKING, Literal

from service.calculations.wear_times import as_date, days_between
from service.core.trends import Line, crossing, slope
from service.core.wear_status import reaches
from service.reference.records import Record

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from service.calculations.trace import Trace
    from service.calculations.wear_verdict import Ladder

DAYS_PER_YEAR = 365.25

Axis = Literal["days", "usage"]
ForecastState = Literal["reached", "overdue", "expected", "beyond_horizon", "no_wear_trend", "too_few_readings"]
"""``reached`` by the readings; ``overdue`` by their course, between the last of them and the instant of evaluation."""


class Clock(Record, frozen=True, kw_only=True):
    """How positions of a series become days after the instant of evaluation.

    Attributes:
        axis: Whether positions are days or use.
        as_of: Instant of evaluation; None where the series has no dates.
        position: Position at that instant.
        measured: Position of the last reading.
        late_days: Days from the last reading to that instant; zero where they are not known.
        per_day: Growth of the position in a day; None where the use of a day is not known.
        horizon_days: Crossings beyond this are only called so.
    """

    axis: Axis
    as_of: datetime | None
    position: float
    measured: float
    late_days: float
    per_day: float | None
    horizon_days: float

    def days(self, position: float) -> float | None:
        """Days from the instant of evaluation to a position; negative for one before it."""
        if self.per_day is None or not isfinite(position):
            return None
        return (position - self.position) / self.per_day

    def date(self, days: float | None) -> str | None:
        """The date after so many days, within the horizon."""
        if self.as_of is None or days is None or days > self.horizon_days:
            return None
        return as_date(self.as_of + timedelta(days=days))


class Moment(Record, frozen=True, kw_only=True):
    """One end of a forecast; what is not known or lies beyond the horizon is None."""

    usage: float | None
    days: float | None
    date: str | None


class Forecast(Record, frozen=True, kw_only=True):
    """When one status begins."""

    status: str
    elongation_percent: float
    state: ForecastState
    earliest: Moment | None = None
    expected: Moment | None = None
    latest: Moment | None = None


def clock(
    *,
    axis: Axis,
    instants: Sequence[datetime | None],
    positions: Sequence[float],
    as_of: datetime | None,
    horizon_days: float,
) -> Clock:
    """The clock of a series, positions and instants in the same order.

    The use of a day is the middle rate of use between readings.
    """
    measured, last = positions[-1], instants[-1]
    if as_of is None or last is None:
        late, per_day = 0.0, None
    else:
        # A reading of the day of evaluation may carry a later hour.
        late = max(days_between(last, as_of), 0.0)
        per_day = 1.0 if axis == "days" else _use_per_day(instants, positions)
    return Clock(
        axis=axis,
        as_of=None if last is None else as_of,
        position=measured + late * (per_day or 0.0),
        measured=measured,
        late_days=late,
        per_day=per_day,
        horizon_days=horizon_days,
    )


def _use_per_day(instants: Sequence[datetime | None], positions: Sequence[float]) -> float | None:
    """Middle rate of use between the dated readings; None where they show no use in time."""
    dated = [(instant, position) for instant, position in zip(instants, positions, strict=True) if instant is not None]
    days = [days_between(dated[0][0], instant) for instant, _ in dated]
    if days[-1] <= days[0]:
        return None
    per_day = slope(positions=days, elongations_percent=[position for _, position in dated])
    return per_day if per_day > 0 else None


def forecasts(
    *, line: Line | None, level_percent: float, limit_percent: float, steps: Ladder, time: Clock, trace: Trace
) -> tuple[Forecast, ...]:
    """When each rung of a ladder is reached; nothing is extrapolated from wear that does not rise.

    Args:
        line: Course of wear; None where there are too few readings for one.
        level_percent: Elongation that the status rests on; a rung at or below it is reached.
        limit_percent: Limit of elongation.
        steps: The ladder.
        time: Turns positions into days and dates.
        trace: Takes the equations.
    """
    found = []
    for step in steps.rungs:
        wanted = step.from_fraction * limit_percent
        if reaches(level_percent, wanted):
            found.append(Forecast(status=step.status, elongation_percent=wanted, state="reached"))
        elif line is None:
            found.append(Forecast(status=step.status, elongation_percent=wanted, state="too_few_readings"))
        elif line.slope <= 0:
            found.append(Forecast(status=step.status, elongation_percent=wanted, state="no_wear_trend"))
        else:
            found.append(_expected(line, wanted, step.status, time, trace))
    return tuple(found)


def _expected(line: Line, wanted: float, status: str, time: Clock, trace: Trace) -> Forecast:
    met = trace.take(crossing, line=line, elongation_percent=wanted)
    expected = _moment(met.expected, time)
    beyond = expected.days is not None and expected.days > time.horizon_days
    state: ForecastState = "beyond_horizon" if beyond else "expected"
    if time.measured < met.expected <= time.position:
        state = "overdue"
    return Forecast(
        status=status,
        elongation_percent=wanted,
        state=state,
        earliest=None if not isfinite(met.earliest) else _within(_moment(met.earliest, time), time),
        expected=None if beyond else expected,
        latest=None if beyond or not isfinite(met.latest) else _within(_moment(met.latest, time), time),
    )


def _moment(position: float, time: Clock) -> Moment:
    # What the last reading had not reached was not reached before it.
    position = max(position, time.measured)
    days = time.days(position)
    return Moment(usage=position if time.axis == "usage" else None, days=days, date=time.date(days))


def _within(moment: Moment, time: Clock) -> Moment | None:
    return None if moment.days is not None and moment.days > time.horizon_days else moment
