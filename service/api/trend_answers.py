"""How the course of wear of a chain is told on the wire."""

from typing import Annotated, Literal, cast

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.elongation_checks import ElongationLimit, present_limit
from service.api.quantities import Presenter
from service.api.wear_input import Status
from service.calculations.elongation_trend import ElongationTrendResult, SectionTrend, TrendQuality
from service.calculations.wear_forecast import Forecast, ForecastState, Moment
from service.calculations.wear_verdict import HEADLINE_LENGTH, NEXT_STEP_LENGTH, Confidence, NextStepCode, Part
from service.core.wear_status import DriveStatus, LiftingStatus

TrendGovernor = Literal["wear", "finding", "forecast"]


class TrendMoment(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A point of a forecast in use, days from `as_of`, and date, as far as they are known; past ones are negative."""

    usage: float | UnsetType = UNSET
    days: float | UnsetType = UNSET
    date: str | UnsetType = UNSET


class TrendForecast(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """When one status begins: 90 % interval about the expected moment, where it is known."""

    status: Status
    elongation_percent: float
    state: ForecastState
    earliest: TrendMoment | UnsetType = UNSET
    expected: TrendMoment | UnsetType = UNSET
    latest: TrendMoment | UnsetType = UNSET


class TrendFlag(msgspec.Struct, frozen=True, kw_only=True):
    """A doubt, the readings that it concerns, and the numbers behind it; its words stand in `warnings`."""

    code: str
    readings: list[int]
    numbers: dict[str, float]


class TrendSection(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Course of wear of one section of the chain."""

    section: str = ""
    quality: TrendQuality
    reading_count: int
    used_count: Annotated[int, Meta(description="Readings that the course rests on.")]
    since: Annotated[str, Meta(description="First reading of the chain that runs now.")] | UnsetType = UNSET
    latest_percent: Annotated[float, Meta(description="Last reading, as read.")]
    level_percent: Annotated[float, Meta(description="Elongation by the last reading or the course at it.")]
    expected_percent: (
        Annotated[float, Meta(description="Elongation by the course at `as_of`, where no reading is as late.")]
        | UnsetType
    ) = UNSET
    limit_used_fraction: float | UnsetType = UNSET
    rate: Annotated[float, Meta(description="Per cent for each unit of the axis.")] | UnsetType = UNSET
    rate_low: float | UnsetType = UNSET
    rate_high: float | UnsetType = UNSET
    status: Status
    governed_by: Annotated[
        Literal["wear", "forecast"], Meta(description="Whether the readings or their course decide on the status.")
    ]
    confidence: Confidence
    forecasts: list[TrendForecast] = []
    flags: list[TrendFlag] = []
    next_inspection_days: float | UnsetType = UNSET
    next_inspection: str | UnsetType = UNSET


class ElongationTrend(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Course of wear; `status` for drives, `lifting_status` for lifting chain; the worst section governs."""

    family: str
    axis: Annotated[Literal["days", "usage"], Meta(description="What the course runs over.")]
    axis_unit: Annotated[str, Meta(description="Unit of the axis: d, or that of the use.")]
    as_of: str | UnsetType = UNSET
    limit: ElongationLimit
    status: DriveStatus | UnsetType = UNSET
    lifting_status: LiftingStatus | UnsetType = UNSET
    governed_by: Annotated[
        TrendGovernor,
        Meta(description="`forecast`: not measured of late, and by the course the next status is reached."),
    ]
    governing_section: str = ""
    headline: Annotated[str, Meta(max_length=HEADLINE_LENGTH)]
    next_step: Annotated[str, Meta(max_length=NEXT_STEP_LENGTH)]
    next_step_code: Annotated[NextStepCode, Meta(description="The next step for a rule; its words say more.")]
    replace_together: list[Part] = []
    sections: list[TrendSection]


def present_trend(result: ElongationTrendResult, presenter: Presenter) -> ElongationTrend:
    """The course of wear on the wire."""
    status = result.verdict.status
    return ElongationTrend(
        family=result.family,
        axis=result.axis,
        axis_unit="d" if result.axis == "days" else result.usage_unit or "",
        as_of=result.as_of or UNSET,
        limit=present_limit(result.limit, presenter),
        status=UNSET if result.lifting else cast("DriveStatus", status),
        lifting_status=cast("LiftingStatus", status) if result.lifting else UNSET,
        governed_by=cast("TrendGovernor", result.verdict.governed_by),
        governing_section=result.governing_section,
        headline=result.headline,
        next_step=result.next_step.text,
        next_step_code=result.next_step.code,
        replace_together=list(result.verdict.replace_together),
        sections=[_section(one, presenter) for one in result.sections],
    )


def _section(one: SectionTrend, presenter: Presenter) -> TrendSection:
    line = one.line
    bounded = line is not None and line.slope_high != float("inf")
    return TrendSection(
        section=one.section,
        quality=one.quality,
        reading_count=one.reading_count,
        used_count=one.used_count,
        since=one.since or UNSET,
        latest_percent=presenter.number(one.latest_percent),
        level_percent=presenter.number(one.level_percent),
        expected_percent=presenter.known_number(one.expected_percent),
        limit_used_fraction=presenter.known_number(one.limit_used),
        rate=UNSET if line is None else presenter.number(line.slope),
        rate_low=presenter.number(line.slope_low) if line is not None and bounded else UNSET,
        rate_high=presenter.number(line.slope_high) if line is not None and bounded else UNSET,
        status=cast("Status", one.status),
        governed_by=one.governed_by,
        confidence=one.confidence,
        forecasts=[present_forecast(forecast, presenter) for forecast in one.forecasts],
        flags=[
            TrendFlag(
                code=flag.code,
                readings=list(flag.indices),
                numbers={name: presenter.number(value) for name, value in flag.numbers},
            )
            for flag in one.flags
        ],
        next_inspection_days=presenter.known_number(one.next_inspection_days),
        next_inspection=one.next_inspection or UNSET,
    )


def present_forecast(forecast: Forecast, presenter: Presenter) -> TrendForecast:
    """One forecast on the wire."""
    return TrendForecast(
        status=cast("Status", forecast.status),
        elongation_percent=presenter.number(forecast.elongation_percent),
        state=forecast.state,
        earliest=_moment(forecast.earliest, presenter),
        expected=_moment(forecast.expected, presenter),
        latest=_moment(forecast.latest, presenter),
    )


def _moment(moment: Moment | None, presenter: Presenter) -> TrendMoment | UnsetType:
    if moment is None:
        return UNSET
    return TrendMoment(
        usage=presenter.known_number(moment.usage), days=presenter.known_number(moment.days), date=moment.date or UNSET
    )
