"""``POST /v1/load-chain-wear-checks``: wear of round-link load chain by links, worst link and diameter."""

from typing import Annotated, Literal, cast

import msgspec
from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, CalculationRequest, Context, PlainText, common
from service.api.body import json_body
from service.api.chain_input import ChainName
from service.api.contract import Example, operation
from service.api.optional_fields import sent, whole
from service.api.quantities import PRESENTERS, Inputs, Length, Presenter, Quantity
from service.api.wear_input import Percent
from service.calculations.load_chain_wear import (
    Criterion,
    HoistDrive,
    LoadChainWearInput,
    LoadChainWearResult,
    load_chain_wear,
)
from service.calculations.wear_verdict import HEADLINE_LENGTH, NEXT_STEP_LENGTH
from service.core.errors import Inconsistent, Issue, MoreNeeded
from service.core.wear_status import LiftingStatus
from service.reference.chains import ChainSize, own_size
from service.reference.designations import read_designation
from service.reference.wear import Finding

LinkCount = Annotated[float, Meta(ge=1, le=1000, multiple_of=1, description="Links within the length.")]


class OwnLink(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A round-link chain that the tables do not hold, by the figures stamped on it."""

    name: PlainText = "own chain"
    wire_diameter: Length
    pitch: Annotated[Length, Meta(description="Inside length of a new link.")]


class LoadChainWearRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Measures of one load chain; the limits of the hoist's manual come first."""

    chain: ChainName | UnsetType = UNSET
    own_link: OwnLink | UnsetType = UNSET
    hoist_drive: Annotated[HoistDrive, Meta(description="Whether the hoist is driven by hand or power.")] | (
        UnsetType
    ) = UNSET
    link_count: LinkCount | UnsetType = UNSET
    inside_length: Annotated[Length, Meta(description="Inside the end links of the worst stretch.")] | UnsetType = UNSET
    outside_length: Annotated[Length, Meta(description="Over the end links of the worst stretch.")] | UnsetType = UNSET
    unused_outside_length: Annotated[Length, Meta(description="As many unused links of the same chain.")] | (
        UnsetType
    ) = UNSET
    single_link_length: Annotated[Length, Meta(description="Inside length of the worst link.")] | UnsetType = UNSET
    diameter: Annotated[Length, Meta(description="At the crown of the most worn link.")] | UnsetType = UNSET
    diameter_across: Annotated[Length, Meta(description="The same section at right angles.")] | UnsetType = UNSET
    maker_limit_percent: Annotated[Percent, Meta(description="Elongation limit of the manual.")] | UnsetType = UNSET
    maker_limit_links: Annotated[LinkCount, Meta(description="Links that this limit is for.")] | UnsetType = UNSET
    maker_single_link_limit_percent: Percent | UnsetType = UNSET
    maker_diameter_loss_percent: Percent | UnsetType = UNSET
    findings: Annotated[list[Finding], Meta(max_length=25, description="What was found beside.")] | UnsetType = UNSET


class LoadChainCriterion(msgspec.Struct, frozen=True, kw_only=True):
    """One measure against its limit; at the limit the chain is out."""

    criterion: Criterion
    measured_percent: float
    limit_percent: float
    limit_origin: Literal["given", "table"]
    limit_used_fraction: float
    lifting_status: LiftingStatus


class LoadChainWear(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Every criterion, and the gravest; never a word that the chain may lift."""

    pitch: Quantity
    wire_diameter: Quantity
    mean_diameter: Quantity | UnsetType = UNSET
    criteria: list[LoadChainCriterion]
    lifting_status: LiftingStatus
    governed_by: Annotated[str, Meta(description="A criterion, or `finding`.")]
    headline: Annotated[str, Meta(max_length=HEADLINE_LENGTH)]
    next_step: Annotated[str, Meta(max_length=NEXT_STEP_LENGTH)]


class LoadChainWearAnswer(Answer[LoadChainWear], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/load-chain-wear-checks`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/load-chain-wear-checks",
        dto=json_body(LoadChainWearRequest),
        **operation(
            "check_load_chain_wear",
            tag="wear",
            summary="Wear of round-link load chain",
            description=(
                "Length over links, the worst single link, the diameter at the crown and findings, each against the "
                "limit of the hoist's manual or, where that is silent, a published rule. The gravest governs; nothing "
                "is averaged over links. The answer is advisory: a competent person decides."
            ),
            examples=EXAMPLES,
        ),
    )
    def check_load_chain_wear(data: JSONBody[LoadChainWearRequest]) -> LoadChainWearAnswer:
        return answer(data, context)

    return [check_load_chain_wear]


def answer(data: LoadChainWearRequest, context: Context) -> LoadChainWearAnswer:
    """The answer to one request."""
    inputs = Inputs()
    outcome = load_chain_wear(_given(data, inputs, context), context.reference, keep_steps=data.working == "full")
    return LoadChainWearAnswer(
        result=_present(outcome.result, PRESENTERS[data.units]),
        **common(data, outcome.trace, inputs, context),
    )


def read_link(chain: str | UnsetType, own_link: OwnLink | UnsetType, inputs: Inputs, context: Context) -> ChainSize:
    """The round-link chain that a request means.

    Raises:
        Inconsistent: both a designation and own figures were sent, or a link too short for the next two.
        MoreNeeded: neither was sent, or the designation may mean several sizes.
        NotInReference: the designation is unknown.
    """
    named, own = sent(chain), sent(own_link)
    if named is not None and own is not None:
        raise Inconsistent(Issue("own_link", "over_determined", "Send chain or own_link, not both."))
    if named is not None:
        return read_designation(context.reference.chains, named).size
    if own is None:
        raise MoreNeeded(Issue("chain", "field_required", "Send chain (a designation) or own_link (your figures)."))
    pitch_mm = inputs.canonical(own.pitch, "/own_link/pitch")
    wire_mm = inputs.canonical(own.wire_diameter, "/own_link/wire_diameter")
    if not pitch_mm > 2 * wire_mm:
        message = f"A link of {wire_mm:g} mm wire and {pitch_mm:g} mm inside lets no other in."
        hint = "Were the two swapped? The pitch is the inside length of one link."
        raise Inconsistent(Issue("own_link.pitch_mm", "geometry_impossible", message, 2 * wire_mm, pitch_mm, hint))
    figures = {"pitch": pitch_mm, "wire_diameter": wire_mm}
    return own_size(own.name, figures, family="round_link", field="own_link")


def _given(data: LoadChainWearRequest, inputs: Inputs, context: Context) -> LoadChainWearInput:
    return LoadChainWearInput(
        chain=read_link(data.chain, data.own_link, inputs, context),
        hoist_drive=sent(data.hoist_drive),
        link_count=whole(data.link_count),
        inside_length_mm=inputs.optional(data.inside_length, "/inside_length"),
        outside_length_mm=inputs.optional(data.outside_length, "/outside_length"),
        unused_outside_length_mm=inputs.optional(data.unused_outside_length, "/unused_outside_length"),
        single_link_length_mm=inputs.optional(data.single_link_length, "/single_link_length"),
        diameter_mm=inputs.optional(data.diameter, "/diameter"),
        diameter_across_mm=inputs.optional(data.diameter_across, "/diameter_across"),
        maker_limit_percent=sent(data.maker_limit_percent),
        maker_limit_links=whole(data.maker_limit_links),
        maker_single_link_limit_percent=sent(data.maker_single_link_limit_percent),
        maker_diameter_loss_percent=sent(data.maker_diameter_loss_percent),
        findings=() if isinstance(data.findings, UnsetType) else tuple(dict.fromkeys(data.findings)),
    )


def _present(result: LoadChainWearResult, presenter: Presenter) -> LoadChainWear:
    return LoadChainWear(
        pitch=presenter.length(result.pitch_mm),
        wire_diameter=presenter.length(result.wire_diameter_mm),
        mean_diameter=presenter.known_length(result.mean_diameter_mm),
        criteria=[
            LoadChainCriterion(
                criterion=one.criterion,
                measured_percent=presenter.number(one.measured_percent),
                limit_percent=presenter.number(one.limit_percent),
                limit_origin=one.origin,
                limit_used_fraction=presenter.number(one.limit_used),
                lifting_status=cast("LiftingStatus", one.status),
            )
            for one in result.criteria
        ],
        lifting_status=cast("LiftingStatus", result.status),
        governed_by=result.governed_by,
        headline=result.headline,
        next_step=result.next_step,
    )


EXAMPLES = {
    "yearly_examination": Example(
        "Hand hoist of the invented Lindholm plant: 11 links and the thinnest section",
        {
            "chain": "EN 818-7 10x30",
            "hoist_drive": "hand",
            "link_count": 11,
            "inside_length": {"value": 335.2, "unit": "mm"},
            "diameter": {"value": 9.1, "unit": "mm"},
            "diameter_across": {"value": 9.5, "unit": "mm"},
        },
    ),
    "against_unused_links": Example(
        "A powered hoist, outside length against unused links of the same chain",
        {
            "own_link": {"wire_diameter": {"value": 7, "unit": "mm"}, "pitch": {"value": 21, "unit": "mm"}},
            "hoist_drive": "power",
            "link_count": 15,
            "outside_length": {"value": 333.0, "unit": "mm"},
            "unused_outside_length": {"value": 329.0, "unit": "mm"},
        },
    ),
    "sling_chain": Example(
        "Sling chain is judged by other rules",
        {"chain": "EN 818-3 7", "hoist_drive": "hand", "single_link_length": {"value": 22, "unit": "mm"}},
        status=422,
    ),
}
