"""The envelope of every calculation: what is asked in common, and what every answer carries beside its result."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Annotated, Generic, Literal, TypedDict, TypeVar

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service import __version__
from service.api.problems import pointer_of
from service.api.quantities import PRESENTERS, Inputs, Presenter, Quantity
from service.settings import MOST_BATCH_BYTES

if TYPE_CHECKING:
    from service.calculations.trace import Assumption, Check, Step, Trace
    from service.reference.catalogue import Reference

ResultType = TypeVar("ResultType")

PlainText = Annotated[str, Meta(min_length=1, max_length=128, pattern=r"^[^\x00-\x1f\x7f]*$")]


class CalculationRequest(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What every calculation can be asked beside its own fields."""

    units: Annotated[Literal["metric", "inch"], Meta(description="Units of the answer.")] = "metric"
    working: Annotated[
        Literal["none", "full"], Meta(description="`full` adds each evaluated equation with inputs and source.")
    ] = "none"
    client_ref: Annotated[PlainText, Meta(description="Reference of the caller, echoed.")] | UnsetType = UNSET


class CheckResult(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """An actual value against its limit."""

    name: str
    actual: Quantity
    limit: Quantity
    sense: Annotated[Literal["at_most", "at_least"], Meta(description="How the actual value must lie to the limit.")]
    utilisation: Annotated[float, Meta(description="Used share of the limit; above 1 the check fails.")]
    verdict: Literal["pass", "fail"]
    note: str = ""


class AnswerWarning(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What the caller should know though there is an answer; codes are listed at `GET /v1/codes`."""

    code: str
    severity: Literal["info", "caution", "danger"]
    message: str
    pointer: str | UnsetType = UNSET


class AnswerAssumption(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A value that was not sent, and where it came from."""

    field: str
    value: str
    origin: Literal["given", "default", "derived", "table", "caller_policy"]
    note: str = ""


class AnswerSource(msgspec.Struct, frozen=True, kw_only=True):
    """A publication that the answer rests on, the place in it, how it was seen, and what was taken from it."""

    id: str
    title: str
    edition: str
    locator: str
    confidence: Literal["published", "secondary", "memory", "derived", "practice"]
    used_for: list[str]


class AnswerCaution(msgspec.Struct, frozen=True, kw_only=True):
    """A safety caution."""

    code: str
    severity: Literal["info", "caution", "danger"]
    text: str


class WorkingStep(msgspec.Struct, frozen=True, kw_only=True):
    """One evaluated equation (`GET /v1/equations`), in the units that its source prints."""

    equation: str
    symbol: str
    unit: str
    values: dict[str, float]
    inputs: dict[str, float]
    source_id: str
    locator: str


class Versions(msgspec.Struct, frozen=True, kw_only=True):
    """What produced the answer: same body and same versions give the same bytes."""

    api: str
    engine: str
    data: str


class Answer(msgspec.Struct, Generic[ResultType], frozen=True, kw_only=True, omit_defaults=True):
    """Result of a calculation with everything that it rests on."""

    result: ResultType
    checks: list[CheckResult]
    warnings: list[AnswerWarning]
    assumptions: list[AnswerAssumption]
    sources: list[AnswerSource]
    cautions: list[AnswerCaution]
    versions: Versions
    working: list[WorkingStep] | UnsetType = UNSET
    client_ref: str | UnsetType = UNSET


class Common(TypedDict):
    """The fields of an answer beside its result."""

    checks: list[CheckResult]
    warnings: list[AnswerWarning]
    assumptions: list[AnswerAssumption]
    sources: list[AnswerSource]
    cautions: list[AnswerCaution]
    versions: Versions
    working: list[WorkingStep] | UnsetType
    client_ref: str | UnsetType


@dataclass(frozen=True, slots=True)
class Context:
    """What handlers share: the reference data, the versions that every answer names, and the bound on batches."""

    reference: Reference
    versions: Versions
    most_batch_bytes: int
    sources_seen: dict[tuple[object, ...], tuple[list[AnswerSource], list[str]]] = field(default_factory=dict)
    cautions_seen: dict[tuple[str, ...], list[AnswerCaution]] = field(default_factory=dict)
    assumptions_seen: dict[tuple[Assumption, ...], list[AnswerAssumption]] = field(default_factory=dict)

    @classmethod
    def of(cls, reference: Reference, most_batch_bytes: int = MOST_BATCH_BYTES) -> Context:
        """The context of loaded reference data."""
        versions = Versions(api="v1", engine=__version__, data=reference.data_version)
        return cls(reference, versions, most_batch_bytes)


def common(request: CalculationRequest, trace: Trace, inputs: Inputs, context: Context) -> Common:
    """The fields of an answer beside its result, from what the calculation noted."""
    presenter = PRESENTERS[request.units]
    sources, recalled = sources_of(trace, context)
    warnings = [
        AnswerWarning(code=reading.code, severity=reading.severity, message=reading.message, pointer=reading.pointer)
        for reading in inputs.readings
    ]
    warnings += [
        AnswerWarning(
            code=warning.code,
            severity=warning.severity,
            message=warning.message,
            pointer=UNSET if warning.field is None else pointer_of(warning.field),
        )
        for warning in trace.warnings
    ]
    warnings += memory_warning(recalled)
    return Common(
        checks=[_check(check, presenter) for check in trace.checks],
        warnings=warnings,
        assumptions=assumptions_of(trace, context),
        sources=sources,
        cautions=cautions_of(trace, context),
        versions=context.versions,
        working=[_step(step, presenter) for step in trace.steps] if request.working == "full" else UNSET,
        client_ref=request.client_ref,
    )


def memory_warning(recalled: list[str]) -> list[AnswerWarning]:
    """The caveat of figures that were recalled; none where there are none."""
    if not recalled:
        return []
    message = f"Recalled, not found in print, so verify before you rely on it: {'; '.join(recalled)}."
    return [AnswerWarning(code="figure_from_memory", severity="caution", message=message)]


def _check(check: Check, presenter: Presenter) -> CheckResult:
    def present(value: float) -> Quantity:
        if check.kind == "-":
            return Quantity(presenter.number(value), "-")
        return presenter.quantity(value, check.kind)

    return CheckResult(
        name=check.name,
        actual=present(check.actual),
        limit=present(check.limit),
        sense=check.sense,
        utilisation=presenter.number(check.utilisation),
        verdict="pass" if check.passes else "fail",
        note=check.note,
    )


def _step(step: Step, presenter: Presenter) -> WorkingStep:
    source = step.equation.sources[0]
    return WorkingStep(
        equation=step.equation.id,
        symbol=step.equation.symbol,
        unit=step.equation.unit,
        values={name: presenter.number(value) for name, value in step.values.items()},
        inputs={name: presenter.number(value) for name, value in step.inputs.items()},
        source_id=source.id,
        locator=source.locator,
    )


MOST_KEPT = 2048
"""Lists of each kind that are kept to be shared by answers."""


def assumptions_of(trace: Trace, context: Context) -> list[AnswerAssumption]:
    """Assumptions of an answer; most requests leave the same fields out, so their lists are kept and shared."""
    key = tuple(trace.assumptions)
    known = context.assumptions_seen.get(key)
    if known is None:
        if len(context.assumptions_seen) >= MOST_KEPT:
            context.assumptions_seen.clear()
        known = context.assumptions_seen[key] = [
            AnswerAssumption(
                field=pointer_of(assumption.field),
                value=assumption.value if isinstance(assumption.value, str) else f"{assumption.value:.12g}",
                origin=assumption.origin,
                note=assumption.note,
            )
            for assumption in key
        ]
    return known


def cautions_of(trace: Trace, context: Context) -> list[AnswerCaution]:
    """Cautions of an answer; there are few sets of them, so their lists are kept and shared."""
    key = tuple(trace.cautions)
    known = context.cautions_seen.get(key)
    if known is None:
        known = context.cautions_seen[key] = [
            AnswerCaution(code=caution.code, severity=caution.severity, text=caution.text)
            for caution in context.reference.cautions.named(*key)
        ]
    return known


def sources_of(trace: Trace, context: Context) -> tuple[list[AnswerSource], list[str]]:
    """Sources of an answer; the same relations and figures come again and again, so their lists are kept and shared."""
    key = trace.used_key()
    known = context.sources_seen.get(key)
    if known is None:
        if len(context.sources_seen) >= MOST_KEPT:
            context.sources_seen.clear()
        known = context.sources_seen[key] = _sources(trace, context.reference)
    return known


def _sources(trace: Trace, reference: Reference) -> tuple[list[AnswerSource], list[str]]:
    grouped: dict[tuple[str, str, str], AnswerSource] = {}
    recalled: list[str] = []
    for used in trace.used():
        key = (used.source_id, used.locator, used.confidence)
        found = grouped.get(key)
        if found is None:
            publication = reference.publications[used.source_id]
            found = grouped[key] = AnswerSource(
                id=used.source_id,
                title=publication.title,
                edition=publication.edition,
                locator=used.locator,
                confidence=used.confidence,
                used_for=[],
            )
        found.used_for.append(used.used_for)
        if used.confidence == "memory":
            recalled.append(used.used_for)
    return list(grouped.values()), recalled
