"""Verdicts on wear in a batch: their counts, and in short the verdict on each chain and once what all rest on."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Annotated, Any, NamedTuple, TypeVar, cast

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import (
    AnswerAssumption,
    AnswerCaution,
    AnswerSource,
    AnswerWarning,
    CalculationRequest,
    Context,
    Versions,
    assumptions_of,
    cautions_of,
    memory_warning,
    sources_of,
)
from service.api.batch_answers import Tally
from service.api.elongation_checks import Governor
from service.api.quantities import PRESENTERS, Inputs, Presenter
from service.api.trend_answers import TrendForecast, TrendGovernor, present_forecast
from service.calculations.elongation_check import ElongationCheckResult
from service.calculations.elongation_trend import ElongationTrendResult, SectionTrend
from service.calculations.wear_verdict import Confidence, NextStepCode, Part
from service.core.wear_status import NOT_ASSESSABLE, DriveStatus, LiftingStatus

if TYPE_CHECKING:
    from collections.abc import Callable

    from service.api.batches import ItemAnswer
    from service.calculations.trace import Outcome, Trace
    from service.units.table import System

RequestType = TypeVar("RequestType", bound=CalculationRequest)
ResultType = TypeVar("ResultType")

WarningCodes = Annotated[list[str], Meta(description="Codes of the warnings of the full answer (`GET /v1/codes`).")]


class ElongationVerdict(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What a full answer comes to; its words, figures and sources are had by `detail` `full` or the single path."""

    status: DriveStatus | UnsetType = UNSET
    lifting_status: LiftingStatus | UnsetType = UNSET
    governed_by: Governor
    confidence: Confidence
    elongation_percent: float | UnsetType = UNSET
    above_percent: float | UnsetType = UNSET
    below_percent: float | UnsetType = UNSET
    limit_percent: float | UnsetType = UNSET
    limit_used_fraction: float | UnsetType = UNSET
    next_step_code: NextStepCode
    replace_together: list[Part] = []
    warnings: WarningCodes = []


class TrendVerdict(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What a full answer comes to, of the section that governs."""

    status: DriveStatus | UnsetType = UNSET
    lifting_status: LiftingStatus | UnsetType = UNSET
    governed_by: TrendGovernor
    governing_section: str = ""
    confidence: Confidence
    level_percent: float
    expected_percent: float | UnsetType = UNSET
    limit_percent: float | UnsetType = UNSET
    limit_used_fraction: float | UnsetType = UNSET
    limit_forecast: Annotated[TrendForecast, Meta(description="When the limit is reached.")] | UnsetType = UNSET
    next_inspection: str | UnsetType = UNSET
    next_step_code: NextStepCode
    replace_together: list[Part] = []
    warnings: WarningCodes = []


class Basis(msgspec.Struct, frozen=True, kw_only=True):
    """What the verdicts of a batch rest on, each thing once for all items."""

    sources: list[AnswerSource]
    assumptions: list[AnswerAssumption]
    cautions: list[AnswerCaution]
    warnings: Annotated[list[AnswerWarning], Meta(description="Figures from memory, named once for all items.")]
    versions: Versions


class Short(NamedTuple):
    """The verdict of one item."""

    result: ElongationVerdict | TrendVerdict
    versions: Versions


class BatchVerdicts(msgspec.Struct, frozen=True, kw_only=True):
    """How many items came to each end; drives and lifting chain are never added up."""

    status: Annotated[dict[str, int], Meta(description="Chains of drives and conveyors by status.")]
    lifting_status: Annotated[dict[str, int], Meta(description="Lifting chains by lifting status.")]
    not_assessable: Annotated[int, Meta(description="Items of either kind whose data allow no verdict.")]
    problems: Annotated[int, Meta(description="Items that were refused.")]


class WearTally(Tally):
    """Counts verdicts on wear by kind of chain."""

    __slots__ = ("_lifting_status", "_status")

    def __init__(self) -> None:
        super().__init__()
        self._status: Counter[str] = Counter()
        self._lifting_status: Counter[str] = Counter()

    def judge(self, one: ItemAnswer[Any]) -> None:
        """Count the status of a drive or of a lifting chain."""
        result: Any = cast("Any", one.answer).result
        if isinstance(result.status, UnsetType):
            self._lifting_status[result.lifting_status] += 1
        else:
            self._status[result.status] += 1

    def verdicts(self, refused: int) -> BatchVerdicts:
        """Drives and lifting chain apart."""
        unknown = self._status.pop(NOT_ASSESSABLE, 0) + self._lifting_status.pop(NOT_ASSESSABLE, 0)
        return BatchVerdicts(
            status=dict(sorted(self._status.items())),
            lifting_status=dict(sorted(self._lifting_status.items())),
            not_assessable=unknown,
            problems=refused,
        )


class BasisKeeper:
    """Gathers what the verdicts of a batch rest on."""

    __slots__ = ("_context", "_lists", "_recalled", "_seen")

    def __init__(self, context: Context) -> None:
        self._context = context
        self._lists: tuple[list[Any], list[Any], list[Any]] = ([], [], [])
        self._recalled: dict[str, None] = {}
        # Most items share one and the same list, which is kept so that its identity stays its own.
        self._seen: dict[int, list[Any]] = {}

    def verdict(
        self,
        data: RequestType,
        evaluate: Callable[[RequestType, Inputs, Context], Outcome[ResultType]],
        shorten: Callable[[Outcome[ResultType], System, list[str]], ElongationVerdict | TrendVerdict],
    ) -> Short:
        """The verdict that a request comes to; what it rests on is noted."""
        inputs = Inputs()
        outcome = evaluate(data, inputs, self._context)
        return Short(shorten(outcome, data.units, self._codes(outcome.trace, inputs)), self._context.versions)

    def _codes(self, trace: Trace, inputs: Inputs) -> list[str]:
        """Codes of the warnings of one item, whose sources, assumptions and cautions are noted."""
        sources, recalled = sources_of(trace, self._context)
        noted: tuple[list[Any], ...] = (
            sources,
            assumptions_of(trace, self._context),
            cautions_of(trace, self._context),
        )
        for kept, shared in zip(self._lists, noted, strict=True):
            if id(shared) not in self._seen:
                self._seen[id(shared)] = shared
                kept.append(shared)
        self._recalled.update(dict.fromkeys(recalled))
        found = dict.fromkeys(reading.code for reading in inputs.readings)
        found |= dict.fromkeys(warning.code for warning in trace.warnings)
        if recalled:
            found["figure_from_memory"] = None
        return list(found)

    def basis(self) -> Basis:
        """What all items rest on."""
        sources, assumptions, cautions = self._lists
        return Basis(
            sources=_merged(sources),
            assumptions=list(dict.fromkeys(one for shared in assumptions for one in shared)),
            cautions=list(dict.fromkeys(one for shared in cautions for one in shared)),
            warnings=memory_warning(list(self._recalled)),
            versions=self._context.versions,
        )


def _merged(lists: list[list[AnswerSource]]) -> list[AnswerSource]:
    uses: dict[tuple[str, str, str], dict[str, None]] = {}
    first: dict[tuple[str, str, str], AnswerSource] = {}
    for shared in lists:
        for source in shared:
            key = (source.id, source.locator, source.confidence)
            first.setdefault(key, source)
            uses.setdefault(key, {}).update(dict.fromkeys(source.used_for))
    return [msgspec.structs.replace(source, used_for=list(uses[key])) for key, source in first.items()]


def check_verdict(outcome: Outcome[ElongationCheckResult], units: System, codes: list[str]) -> ElongationVerdict:
    """The verdict on one reading."""
    result, presenter = outcome.result, PRESENTERS[units]
    measured, verdict = result.measured, result.verdict
    return ElongationVerdict(
        **_status(verdict.status, lifting=result.lifting),
        governed_by=cast("Governor", verdict.governed_by),
        confidence=result.confidence,
        elongation_percent=presenter.known_number(measured.elongation_percent),
        above_percent=presenter.known_number(measured.low_percent),
        below_percent=presenter.known_number(measured.high_percent),
        limit_percent=presenter.known_number(result.limit.percent),
        limit_used_fraction=presenter.known_number(result.limit_used),
        next_step_code=result.next_step.code,
        replace_together=list(verdict.replace_together),
        warnings=codes,
    )


def trend_verdict(outcome: Outcome[ElongationTrendResult], units: System, codes: list[str]) -> TrendVerdict:
    """The verdict on one history."""
    result, presenter = outcome.result, PRESENTERS[units]
    worst = next(one for one in result.sections if one.section == result.governing_section)
    return TrendVerdict(
        **_status(result.verdict.status, lifting=result.lifting),
        governed_by=cast("TrendGovernor", result.verdict.governed_by),
        governing_section=worst.section,
        confidence=worst.confidence,
        level_percent=presenter.number(worst.level_percent),
        expected_percent=presenter.known_number(worst.expected_percent),
        limit_percent=presenter.known_number(result.limit.percent),
        limit_used_fraction=presenter.known_number(worst.limit_used),
        limit_forecast=_limit_forecast(worst, presenter, lifting=result.lifting),
        next_inspection=worst.next_inspection or UNSET,
        next_step_code=result.next_step.code,
        replace_together=list(result.verdict.replace_together),
        warnings=codes,
    )


def _limit_forecast(worst: SectionTrend, presenter: Presenter, *, lifting: bool) -> TrendForecast | UnsetType:
    limit = "remove_from_service" if lifting else "replace"
    found = next((one for one in worst.forecasts if one.status == limit), None)
    return UNSET if found is None else present_forecast(found, presenter)


def _status(status: str, *, lifting: bool) -> dict[str, Any]:
    return {"lifting_status" if lifting else "status": status}
