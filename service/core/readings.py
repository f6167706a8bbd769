"""Screening of one wear reading: each test returns a flag with the numbers it saw, never a corrected reading.

The bands are policy of this service (``project-policy``): wide enough for worn chain, narrow enough to tell a slip
of unit or count from wear.
"""

from __future__ import annotations

from math import isclose
from typing import TYPE_CHECKING, NamedTuple

from service.core.elongation import from_length

if TYPE_CHECKING:
    from service.core.elongation import Miscount

IMPLAUSIBLE_PERCENT = 10.0
"""No roller, silent, leaf or conveyor chain still runs at this elongation."""

INCH_RATIO = (22.0, 29.0)
CENTIMETRE_RATIO = (9.5, 10.7)
LINK_PAIR_RATIO = (1.97, 2.10)
HALF_RATIO = (0.985 / 2, 1.05 / 2)
"""Measured over nominal length when a unit or the meaning of a pitch was mistaken."""

FRACTION_BELOW_PERCENT = 0.1
"""A wear or limit below this is more likely a fraction than per cent."""

BEYOND_LIMIT = 1.33
"""Share of the limit above which a miscount is likelier than wear, if the neighbouring count fits."""

SIGMAS = 3.0
"""Distance from the history, in standard deviations, at which a reading no longer belongs to it."""

SERVICE_DAYS_BEFORE_EXACT_IS_ODD = 90.0


class Flag(NamedTuple):
    """One doubt about readings: code, one sentence for the person who measured, and the numbers behind it.

    ``indices`` names the readings of a series in the order in which they were given.
    """

    code: str
    message: str
    numbers: tuple[tuple[str, float], ...] = ()
    indices: tuple[int, ...] = ()


class Expectation(NamedTuple):
    """What the history leads to expect of a reading: elongation and its standard deviation, in per cent."""

    elongation_percent: float
    deviation_percent: float

    def fits(self, elongation_percent: float) -> bool:
        """Whether an elongation lies within three standard deviations of the expected one."""
        return abs(elongation_percent - self.elongation_percent) <= SIGMAS * self.deviation_percent


def unit_suspect(*, length_mm: float, nominal_mm: float) -> Flag | None:
    """Flag a length that fits the chain in another unit: inch for millimetre, centimetre, or the reverse."""
    ratio = length_mm / nominal_mm
    for low, high in (INCH_RATIO, CENTIMETRE_RATIO):
        if low <= ratio <= high or 1 / high <= ratio <= 1 / low:
            return Flag(
                "unit_suspect",
                f"The length is {ratio:.3g} times the nominal length: check the unit (mm, cm or in).",
                (("ratio", ratio), ("length_mm", length_mm), ("nominal_mm", nominal_mm)),
            )
    return None


def link_pair_suspect(*, length_mm: float, nominal_mm: float) -> Flag | None:
    """Flag a length of about twice the nominal: pairs of links, or a double-pitch chain, counted as pitches."""
    ratio = length_mm / nominal_mm
    if not LINK_PAIR_RATIO[0] <= ratio <= LINK_PAIR_RATIO[1]:
        return None
    return Flag(
        "link_pair_suspect",
        "The length is twice the nominal: count from pin to pin, inner and outer links alike, or check for double "
        "pitch.",
        (("ratio", ratio), ("length_mm", length_mm), ("nominal_mm", nominal_mm)),
    )


def double_pitch_suspect(*, length_mm: float, nominal_mm: float) -> Flag | None:
    """Flag a length of about half the nominal: a chain of half the pitch, as double pitch against its base chain."""
    ratio = length_mm / nominal_mm
    if not HALF_RATIO[0] <= ratio <= HALF_RATIO[1]:
        return None
    return Flag(
        "double_pitch_suspect",
        "The length is half the nominal: this looks like the base chain of a double-pitch chain; check the pitch.",
        (("ratio", ratio), ("length_mm", length_mm), ("nominal_mm", nominal_mm)),
    )


_OTHER_UNITS = (
    (25.4, "If inches were written as millimetres"),
    (1 / 25.4, "If millimetres were written as inches"),
    (10.0, "If centimetres were written as millimetres"),
    (0.1, "If millimetres were written as centimetres"),
)


def other_reading(flag: Flag, length_mm: float, count: int, pitch_mm: float, limit_percent: float) -> str | None:
    """What the elongation would be by the unit or the count that was perhaps meant, where that makes sense."""

    def percent(times: float, pitches: int) -> float:
        return from_length(length_mm=times * length_mm, pitch_count=pitches, pitch_mm=pitch_mm)

    if flag.code == "unit_suspect":
        readings = [(percent(times, count), words) for times, words in _OTHER_UNITS]
    else:
        pitches = 2 * count if flag.code == "link_pair_suspect" else max(count // 2, 1)
        readings = [(percent(1.0, pitches), f"Over {pitches} pitches")]
    sensible = [one for one in readings if -1.0 <= one[0] <= 2 * limit_percent]
    return f"{sensible[0][1]} it is {sensible[0][0]:+.2f} %." if sensible else None


def count_suspects(
    *,
    figures: Miscount,
    pitch_count: int,
    limit_percent: float,
    uncertainty_percent: float,
    expected: Expectation | None,
) -> tuple[Flag, ...]:
    """Flag a count that one pitch more or fewer would make plausible.

    With a history the neighbouring count must fit it and the count given must not. Without one the neighbouring
    count must lie between new and the limit, give or take the reading error, while the count given lies below new
    or far beyond the limit.

    Args:
        figures: The elongation as counted and with one pitch fewer and more (``elongation.miscount``).
        pitch_count: Pitches as counted.
        limit_percent: Limit of elongation.
        uncertainty_percent: Half-width of the uncertainty of the elongation.
        expected: What the history leads to expect, if there is one.
    """

    def fits(percent: float, *, upper: float) -> bool:
        if expected is not None:
            return expected.fits(percent)
        return -uncertainty_percent <= percent <= upper

    if fits(figures.as_counted_percent, upper=BEYOND_LIMIT * limit_percent):
        return ()
    flags = []
    for code, count, percent in (
        ("pitch_count_suspect", pitch_count - 1, figures.one_fewer_percent),
        ("pins_not_pitches_suspect", pitch_count - 1, figures.one_fewer_percent),
        ("pitch_count_suspect", pitch_count + 1, figures.one_more_percent),
    ):
        if percent is not None and fits(percent, upper=limit_percent + uncertainty_percent):
            flags.append(_count_flag(code, pitch_count, figures.as_counted_percent, count, percent))
    return tuple(flags)


def _count_flag(code: str, counted: int, as_counted: float, count: int, percent: float) -> Flag:
    reason = f"{counted} pins span {count} pitches" if code == "pins_not_pitches_suspect" else "Count again"
    return Flag(
        code,
        f"{reason}: {counted} pitches give {as_counted:+.2f} %, {count} pitches would give {percent:+.2f} %.",
        (("as_counted_percent", as_counted), ("other_count", count), ("other_percent", percent)),
    )


def fraction_or_percent_suspect(*, field: str, percent: float) -> Flag | None:
    """Flag a percentage so small that it may be a fraction."""
    if not 0 < percent < FRACTION_BELOW_PERCENT:
        return None
    return Flag(
        "fraction_or_percent_suspect",
        f"{field} is {percent:g} %; is {100 * percent:g} % meant?",
        (("percent", percent), ("as_fraction_percent", 100 * percent)),
    )


def shorter_than_nominal(*, elongation_percent: float, uncertainty_percent: float) -> Flag | None:
    """Flag a chain that reads shorter than nominal by more than the reading is uncertain; it is never set to zero."""
    if not elongation_percent < -uncertainty_percent:
        return None
    return Flag(
        "shorter_than_nominal",
        f"The chain reads {elongation_percent:+.2f} %, shorter than new by more than the reading error: check the "
        "count and take up the slack.",
        (("elongation_percent", elongation_percent), ("uncertainty_percent", uncertainty_percent)),
    )


def implausible_elongation(*, elongation_percent: float) -> Flag | None:
    """Flag an elongation that no running chain has."""
    if not abs(elongation_percent) > IMPLAUSIBLE_PERCENT:
        return None
    return Flag(
        "implausible_elongation",
        f"{elongation_percent:+.3g} % is beyond what a running chain can show: check length, count, pitch and unit.",
        (("elongation_percent", elongation_percent), ("bound_percent", IMPLAUSIBLE_PERCENT)),
    )


def nominal_exact_suspect(*, elongation_percent: float, service_days: float | None) -> Flag | None:
    """Flag a chain that has run for months and reads exactly nominal: the table value may have been copied."""
    if service_days is None or service_days < SERVICE_DAYS_BEFORE_EXACT_IS_ODD:
        return None
    if not isclose(elongation_percent, 0.0, abs_tol=1e-9):
        return None
    return Flag(
        "nominal_exact_suspect",
        f"After {service_days:.0f} days the chain reads exactly nominal: was the table value written down?",
        (("elongation_percent", elongation_percent), ("service_days", service_days)),
    )


def pair_unequal(*, elongations_percent: tuple[float, float], uncertainty_percent: float) -> Flag | None:
    """Flag two chains of a pair whose elongations differ by more than the readings are uncertain."""
    first, second = elongations_percent
    difference = abs(first - second)
    if not difference > uncertainty_percent:
        return None
    return Flag(
        "pair_unequal",
        f"The pair differs by {difference:.2f} percentage points, more than the reading error of "
        f"{uncertainty_percent:.2f}.",
        (("difference_percent", difference), ("uncertainty_percent", uncertainty_percent)),
    )
