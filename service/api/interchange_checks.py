"""``POST /v1/interchange-checks``: may this chain take the place of that one, or run on this wheel."""

from typing import Annotated

import msgspec
from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, CalculationRequest, Context, common
from service.api.body import json_body
from service.api.chain_sheets import Provenance, provenance
from service.api.contract import Example, operation
from service.api.interchange_input import ChainSide, WheelSide, read_chain_side, read_wheel_side
from service.api.optional_fields import sent
from service.api.quantities import PRESENTERS, Inputs, Presenter, Quantity
from service.calculations.interchange_check import InterchangeInput, InterchangeResult, check_interchange
from service.calculations.interchange_consequences import Capacity
from service.calculations.interchange_findings import Agreement, Dimension, Interface
from service.calculations.interchange_lifting import Application
from service.calculations.interchange_sides import Known
from service.calculations.refusals import Refusals
from service.reference.figures import Side
from service.reference.interchange import Purpose, Suitability, Verdict

VerdictWord = Annotated[
    Verdict,
    Meta(description="Step of the closed scale; `interchange_verdicts` at `GET /v1/tables` says what each means."),
]


class InterchangeRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is to be fitted, and either the chain that is there or the wheel that is there."""

    purpose: Annotated[Purpose, Meta(description="What is to be fitted, and to what.")]
    replacement: Annotated[ChainSide, Meta(description="The chain that is to be fitted, or from which parts come.")]
    installed: Annotated[ChainSide, Meta(description="The chain that is there.")] | UnsetType = UNSET
    wheel: Annotated[WheelSide, Meta(description="The wheel, for `chain_on_wheel`.")] | UnsetType = UNSET
    application: Annotated[Application, Meta(description="What round-link chain has to do.")] | UnsetType = UNSET
    same_make: Annotated[bool, Meta(description="Whether all parts come from one maker.")] | UnsetType = UNSET


class ComparedFigure(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One interface figure of both sides."""

    name: str
    interface: Interface
    agreement: Annotated[
        Agreement,
        Meta(
            description=(
                "`as_printed`: one size by its standards, the prints differ by rounding; `fits` and `interferes`: a "
                "tooth in its room."
            )
        ),
    ]
    there: Annotated[Quantity, Meta(description="Of the installed chain or the wheel.")] | UnsetType = UNSET
    replacement: Quantity | UnsetType = UNSET
    there_side: Side | UnsetType = UNSET
    replacement_side: Side | UnsetType = UNSET
    difference: Annotated[Quantity, Meta(description="Replacement less what is there.")] | UnsetType = UNSET
    tolerance: Annotated[Quantity, Meta(description="Difference that counts as none.")] | UnsetType = UNSET
    tolerance_provenance: Provenance | UnsetType = UNSET


class InterchangeReason(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One reason with the verdict that it imposes by itself; the gravest of all is the answer."""

    code: str
    sentence: str
    verdict: Annotated[Verdict, Meta(description="Left out for a remark.")] | UnsetType = UNSET
    change_together: list[str]
    advice: str = ""
    provenance: Provenance


class StrengthRatio(msgspec.Struct, frozen=True, kw_only=True):
    """Strengths of one name, side by side."""

    quantity: str
    installed: Quantity
    replacement: Quantity
    ratio: Annotated[float, Meta(description="Replacement over installed.")]


class MissingFact(msgspec.Struct, frozen=True, kw_only=True):
    """What has to be found out, and how."""

    code: str
    how: str


class Interchange(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """The verdict, the figures compared, the reasons, what follows and what is missing."""

    verdict: VerdictWord
    meaning: str
    suits_purpose: Annotated[Suitability, Meta(description="Whether the purpose asked for is met.")]
    figures: list[ComparedFigure]
    reasons: list[InterchangeReason]
    change_together: Annotated[list[str], Meta(description="Parts to be changed with the chain.")]
    strength: (
        Annotated[StrengthRatio, Meta(description="Left out where no strength of one name is known of both.")]
        | UnsetType
    ) = UNSET
    to_find_out: list[MissingFact]


class InterchangeAnswer(Answer[Interchange], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/interchange-checks`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/interchange-checks",
        dto=json_body(InterchangeRequest),
        **operation(
            "check_interchange",
            tag="choice",
            summary="Whether one chain may replace another, be joined to it, or run on a wheel",
            description=(
                "A verdict on a closed scale, every interface figure side by side, each reason with its source, what "
                "has to be changed together, and what to measure where the question stays open. The verdict is the "
                "same whichever chain is sent as installed; strength and parts are not."
            ),
            examples=EXAMPLES,
        ),
    )
    def check_interchange_(data: JSONBody[InterchangeRequest]) -> InterchangeAnswer:
        return answer(data, context)

    return [check_interchange_]


def answer(data: InterchangeRequest, context: Context) -> InterchangeAnswer:
    """The answer to one question."""
    inputs = Inputs()
    outcome = check_interchange(_given(data, inputs, context), context.reference, keep_steps=data.working == "full")
    return InterchangeAnswer(
        result=_present(outcome.result, PRESENTERS[data.units]), **common(data, outcome.trace, inputs, context)
    )


def _given(data: InterchangeRequest, inputs: Inputs, context: Context) -> InterchangeInput:
    reference, refusals = context.reference, Refusals()
    replacement = refusals.attempt(read_chain_side, data.replacement, "replacement", inputs, reference)
    installed = wheel = None
    if not isinstance(data.installed, UnsetType):
        installed = refusals.attempt(read_chain_side, data.installed, "installed", inputs, reference)
    if not isinstance(data.wheel, UnsetType):
        wheel = refusals.attempt(read_wheel_side, data.wheel, inputs, reference)
    refusals.tell()
    return InterchangeInput(
        purpose=data.purpose,
        replacement=replacement.value,
        installed=None if installed is None else installed.value,
        wheel=None if wheel is None else wheel.value,
        application=data.application or None,
        same_make=sent(data.same_make),
    )


def _present(result: InterchangeResult, presenter: Presenter) -> Interchange:
    parts = dict.fromkeys(part for row in result.reasons for part in row.parts.split())
    return Interchange(
        verdict=result.verdict.verdict,
        meaning=result.verdict.meaning,
        suits_purpose=result.suits,
        figures=[_figure(dimension, result.purpose, presenter) for dimension in result.dimensions],
        reasons=[
            InterchangeReason(
                code=row.reason,
                sentence=row.sentence,
                verdict=row.verdict(result.purpose) or UNSET,
                change_together=row.parts.split(),
                advice=row.advice,
                provenance=provenance(row),
            )
            for row in result.reasons
        ],
        change_together=list(parts),
        strength=UNSET if result.capacity is None else _strength(result.capacity, presenter),
        to_find_out=[MissingFact(code=row.code, how=row.how) for row in result.missing],
    )


def _figure(dimension: Dimension, purpose: Purpose, presenter: Presenter) -> ComparedFigure:
    there, replacement = dimension.first, dimension.second
    if purpose == "chain_on_wheel":
        there, replacement = replacement, there
    difference = None
    if there is not None and replacement is not None:
        difference = replacement.value - there.value
    allowed = dimension.allowed
    return ComparedFigure(
        name=dimension.name,
        interface=dimension.interface,
        agreement=dimension.agreement,
        there=_length(there, presenter),
        replacement=_length(replacement, presenter),
        there_side=UNSET if there is None else there.side,
        replacement_side=UNSET if replacement is None else replacement.side,
        difference=presenter.known_length(difference),
        tolerance=presenter.known_length(allowed),
        tolerance_provenance=UNSET if dimension.tolerance is None else provenance(dimension.tolerance),
    )


def _length(known: Known | None, presenter: Presenter) -> Quantity | UnsetType:
    return UNSET if known is None else presenter.length(known.value)


def _strength(capacity: Capacity, presenter: Presenter) -> StrengthRatio:
    return StrengthRatio(
        quantity=capacity.quantity,
        installed=presenter.force(capacity.installed_n),
        replacement=presenter.force(capacity.replacement_n),
        ratio=presenter.number(capacity.ratio),
    )


EXAMPLES = {
    "inch_for_metric": Example(
        "The invented Lindholm plant stocks 80 and needs 16B",
        {"purpose": "whole_chain", "installed": {"chain": "16B-1"}, "replacement": {"chain": "80-1"}},
    ),
    "heavy_link_in_plain_chain": Example(
        "A connecting link of the heavy series for a plain chain",
        {"purpose": "connecting_link", "installed": {"chain": "60"}, "replacement": {"chain": "60H"}, "units": "inch"},
    ),
    "double_pitch_on_stock_wheel": Example(
        "Double-pitch chain on a stock wheel of 17 teeth",
        {"purpose": "chain_on_wheel", "replacement": {"chain": "2080"}, "wheel": {"chain": "80B17"}},
    ),
    "silent_by_pitch_and_width": Example(
        "Silent chain of which pitch and width are known",
        {
            "purpose": "section",
            "installed": {
                "own_chain": {"pitch": {"value": 0.5, "unit": "in"}},
                "family": "silent",
                "nominal_width": {"value": 2, "unit": "in"},
            },
            "replacement": {"chain": "SC408"},
        },
    ),
    "leaf_on_teeth": Example(
        "Leaf chain on a toothed wheel",
        {"purpose": "chain_on_wheel", "replacement": {"chain": "BL634"}, "wheel": {"chain": "60", "teeth": 21}},
        status=422,
    ),
}
