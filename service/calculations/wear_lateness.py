"""A chain that was not measured of late: what its course says of it by now, and when to measure it next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.core.readings import Flag
from service.core.wear_limits import limit_used
from service.core.wear_status import NOT_ASSESSABLE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.calculations.wear_forecast import Clock, Forecast
    from service.calculations.wear_verdict import Ladder

ORDERED_AHEAD = {"plan", "replace", "approaching_limit", "remove_from_service"}
"""Statuses before which a chain should be measured once more."""


def status_ahead(steps: Ladder, status: str, expected_percent: float | None, limit_percent: float | None) -> str | None:
    """The status that the course calls for by now though the readings do not; None if it is none.

    What nobody has measured can call for preparations, and can withdraw a verdict, but cannot condemn a chain.

    Args:
        steps: The ladder.
        status: Status by the readings.
        expected_percent: Elongation by the course at the instant of evaluation, where no reading is as late.
        limit_percent: Limit of elongation.
    """
    if expected_percent is None or limit_percent is None:
        return None
    gravity = steps.gravity
    ahead = steps.status(limit_used(elongation_percent=expected_percent, limit_percent=limit_percent))
    if gravity.index(ahead) > gravity.index(NOT_ASSESSABLE):
        ahead = NOT_ASSESSABLE
    return ahead if gravity.index(ahead) > gravity.index(status) else None


def overdue_flag(
    ahead: str | None, allowed_days: float | None, found: Sequence[Forecast], time: Clock, last: int
) -> Flag | None:
    """The flag of a chain that should have been measured again by now.

    Args:
        ahead: Status that the course calls for by now.
        allowed_days: Longest interval between readings.
        found: The forecasts.
        time: Clock of the series.
        last: Place of the last reading in the list as given.
    """
    late = f"{time.late_days:.0f} days"
    if ahead is not None:
        due = next((one for one in reversed(found) if one.state == "overdue"), None)
        when = "" if due is None or due.expected is None or due.expected.date is None else due.expected.date
        reached = f"{ahead if due is None else due.status} was reached{when and f' about {when}'}"
        message = f"By the course of the readings {reached}, and the last reading is {late} old."
    elif allowed_days is not None and time.late_days > allowed_days:
        message = f"The last reading is {late} old, more than the {allowed_days:g} days allowed."
    else:
        return None
    return Flag("measurement_overdue", f"{message} Measure now.", (("days_since_reading", time.late_days),), (last,))


def next_inspection(
    allowed_days: float | None, found: Sequence[Forecast], time: Clock, fraction: float
) -> float | None:
    """Days to the next inspection: a share of the time to the next rung, at most what the caller allows.

    Args:
        allowed_days: Longest interval between readings.
        found: The forecasts.
        time: Clock of the series.
        fraction: Share of the time to a status before which a chain should be measured once more.
    """
    if time.per_day is None:
        return None
    candidates = [] if allowed_days is None else [max(allowed_days - time.late_days, 0.0)]
    for forecast in found:
        expected = forecast.expected
        if forecast.status in ORDERED_AHEAD and expected is not None and expected.days is not None:
            candidates.append(max(fraction * expected.days, 0.0))
            break
    return min(candidates) if candidates else None
