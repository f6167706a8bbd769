"""``POST /v1/chain-extensions``: whole pitches and parts for lengthening or shortening a conveyor."""

from typing import Annotated, Literal

import msgspec
from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, CalculationRequest, Context, common
from service.api.body import json_body
from service.api.chain_input import ChainName, OwnChain, read_chain
from service.api.contract import Example, operation
from service.api.optional_fields import sent, whole
from service.api.quantities import PRESENTERS, Inputs, Length, Presenter, Quantity
from service.calculations.chain_extension import (
    ChainExtensionInput,
    ChainExtensionResult,
    Extension,
    chain_extension,
)
from service.calculations.chain_links import links_of

Whole = Annotated[float, Meta(ge=1, le=100_000, multiple_of=1, description="Whole number, one or more.")]


class ChainExtensionRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """By how much a conveyor, or with one run a length of chain, is to become longer or shorter."""

    chain: ChainName | UnsetType = UNSET
    own_chain: OwnChain | UnsetType = UNSET
    change: Literal["lengthen", "shorten"] = "lengthen"
    extension: Annotated[Length, Meta(description="Change of the distance of the shafts.")]
    runs: Annotated[
        float, Meta(ge=1, le=16, multiple_of=1, description="Runs of chain that become longer: carrying and return.")
    ] = 2
    chain_lines: Annotated[float, Meta(ge=1, le=100, multiple_of=1, description="Chains side by side.")] = 1
    attachment_spacing: (
        Annotated[float, Meta(le=100_000, multiple_of=1, description="Pitches from attachment to attachment.")]
        | UnsetType
    ) = UNSET
    loop_pitch_count: (
        Annotated[float, Meta(ge=1, le=1_000_000, multiple_of=1, description="Pitches of one line as it stands.")]
        | UnsetType
    ) = UNSET
    elongation_percent: (
        Annotated[float, Meta(ge=0, le=1000, description="Mean elongation of the chain as it stands.")] | UnsetType
    ) = UNSET


class ExtensionChoice(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One whole number of pitches; counts are of one line, negative where they are taken out."""

    pitch_count: int
    chain_length: Quantity
    extension: Quantity
    even: bool
    pattern_kept: Annotated[bool, Meta(description="Attachments stay evenly spaced over the joint.")]
    attachments: int | UnsetType = UNSET
    loop_pitch_count: Annotated[int, Meta(description="Pitches of one line afterwards.")] | UnsetType = UNSET
    loop_pattern_closes: bool | UnsetType = UNSET
    all_lines_pitch_count: int
    phase_error: (
        Annotated[Quantity, Meta(description="Worn chain of as many pitches is longer than new by this.")] | UnsetType
    ) = UNSET


class ExtensionPart(msgspec.Struct, frozen=True, kw_only=True):
    """A line of the parts list, for all lines of chain together."""

    kind: Annotated[
        Literal["chain", "attachments", "connecting_links"], Meta(description="Chain is counted in pitches.")
    ]
    count: int
    note: str


class ChainExtension(msgspec.Struct, frozen=True, kw_only=True):
    """The exact number of pitches, the whole ones about it, the best of them and its parts."""

    pitch: Quantity
    exact_pitches: float
    recommended: Annotated[
        ExtensionChoice, Meta(description="Nearest to the asked length of those that keep every rule.")
    ]
    choices: list[ExtensionChoice]
    parts: list[ExtensionPart]


class ChainExtensionAnswer(Answer[ChainExtension], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/chain-extensions`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/chain-extensions",
        dto=json_body(ChainExtensionRequest),
        **operation(
            "calculate_chain_extension",
            tag="layout",
            summary="Lengthen or shorten a conveyor by whole pitches",
            description=(
                "Pitch counts above and below the asked length that join without an offset link and keep the spacing "
                "of attachments, for every run and line; the length that each really gives, how far worn chain drifts "
                "from new, and the parts to order."
            ),
            examples=EXAMPLES,
        ),
    )
    def calculate_chain_extension(data: JSONBody[ChainExtensionRequest]) -> ChainExtensionAnswer:
        inputs = Inputs()
        outcome = chain_extension(_given(data, inputs, context), keep_steps=data.working == "full")
        return ChainExtensionAnswer(
            result=_present(outcome.result, PRESENTERS[data.units]),
            **common(data, outcome.trace, inputs, context),
        )

    return [calculate_chain_extension]


def _given(data: ChainExtensionRequest, inputs: Inputs, context: Context) -> ChainExtensionInput:
    spacing, loop, worn = data.attachment_spacing, data.loop_pitch_count, data.elongation_percent
    sign = 1 if data.change == "lengthen" else -1
    chain = read_chain(data.chain, data.own_chain, inputs, context.reference).size
    return ChainExtensionInput(
        chain=chain,
        links=links_of(chain, context.reference),
        extension_mm=sign * inputs.canonical(data.extension, "/extension"),
        runs=int(data.runs),
        chain_lines=int(data.chain_lines),
        attachment_spacing=whole(spacing),
        loop_pitch_count=whole(loop),
        elongation_percent=sent(worn),
    )


def _present(result: ChainExtensionResult, presenter: Presenter) -> ChainExtension:
    return ChainExtension(
        pitch=presenter.length(result.pitch_mm),
        exact_pitches=presenter.number(result.exact_pitches),
        recommended=_choice(result.recommended, presenter),
        choices=[_choice(extension, presenter) for extension in result.extensions],
        parts=[ExtensionPart(kind=part.kind, count=part.count, note=part.note) for part in result.parts],
    )


def _choice(extension: Extension, presenter: Presenter) -> ExtensionChoice:
    choice, closes, phase = extension.choice, extension.loop_pattern_closes, extension.phase_error_mm
    return ExtensionChoice(
        pitch_count=choice.pitch_count,
        chain_length=presenter.length(choice.chain_length_mm),
        extension=presenter.length(choice.extension_mm),
        even=choice.even,
        pattern_kept=choice.pattern_kept,
        attachments=UNSET if extension.attachments is None else extension.attachments,
        loop_pitch_count=UNSET if extension.loop_pitch_count is None else extension.loop_pitch_count,
        loop_pattern_closes=UNSET if closes is None else closes,
        all_lines_pitch_count=extension.all_lines_pitch_count,
        phase_error=presenter.known_length(phase),
    )


EXAMPLES = {
    "three_metres_longer": Example(
        "A slat conveyor of the invented Lindholm plant becomes 3 m longer: two lines, an attachment every 4 pitches",
        {
            "own_chain": {"pitch": {"value": 6, "unit": "in"}},
            "extension": {"value": 3, "unit": "m"},
            "chain_lines": 2,
            "attachment_spacing": 4,
            "loop_pitch_count": 216,
            "elongation_percent": 1.2,
        },
    ),
    "length_in_feet": Example(
        "Ten feet of chain in pitches",
        {"chain": "50", "extension": {"value": 10, "unit": "ft"}, "runs": 1, "units": "inch"},
    ),
    "worn_beyond_belief": Example(
        "A percentage that cannot be meant",
        {
            "own_chain": {"pitch": {"value": 152.4, "unit": "mm"}},
            "extension": {"value": 3, "unit": "m"},
            "elongation_percent": 150,
        },
        status=422,
    ),
}
