"""``POST /v1/conveyor-sizings``: pull, power, chains and limiter window of a conveyor or elevator."""

from typing import Annotated

import msgspec
from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, CalculationRequest, Context, common
from service.api.body import json_body
from service.api.chain_input import ChainName, OwnChain, read_chain
from service.api.contract import operation
from service.api.conveyor_answers import ConveyorSizing
from service.api.conveyor_duty import (
    Attachments,
    ConveyorChains,
    ConveyorDrive,
    ConveyorLoad,
    ConveyorSite,
    HeadWheel,
    OverloadLimiter,
    SizingRules,
)
from service.api.conveyor_examples import EXAMPLES
from service.api.conveyor_fields import ChainTakeUp, PathPart, read_path, read_take_up
from service.api.conveyor_presenting import present_conveyor
from service.api.conveyor_reading import (
    read_attached,
    read_chain_set,
    read_drive,
    read_head_wheel,
    read_limiter,
    read_load,
    read_rules,
    read_site,
)
from service.api.optional_fields import sent
from service.api.quantities import PRESENTERS, ForceOrZero, Inputs, Length, Speed
from service.calculations.conveyor_input import Choice, ConveyorSizingInput
from service.calculations.conveyor_sizing import size_conveyor
from service.calculations.conveyor_stock import ConveyorStock
from service.calculations.refusals import Refusals
from service.core.errors import Inconsistent, Issue, OutOfRange
from service.reference.chains import Chains, ChainSize
from service.reference.designations import read_designation

FamilyName = Annotated[str, Meta(min_length=1, max_length=40, pattern="^[a-z0-9_]+$", examples=["mill_welded"])]


class ChainChoice(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Which chains may be taken; every chain of the tables where nothing is sent."""

    chains: (
        Annotated[list[ChainName], Meta(min_length=1, max_length=60, description="Only these sizes.")] | UnsetType
    ) = UNSET
    families: (
        Annotated[list[FamilyName], Meta(min_length=1, max_length=40, description="Ids of `GET /v1/families`.")]
        | UnsetType
    ) = UNSET
    minimum_pitch: Length | UnsetType = UNSET
    maximum_pitch: Length | UnsetType = UNSET


class ConveyorSizingRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A conveyor from the slack side of its drive, in the direction of motion, round to the tight side."""

    path: Annotated[list[PathPart], Meta(min_length=1, max_length=400)]
    load: ConveyorLoad
    chains: ConveyorChains
    chain_speed: Speed
    head_wheel: HeadWheel
    attached: Attachments | UnsetType = UNSET
    take_up: ChainTakeUp | UnsetType = UNSET
    slack_tension: (
        Annotated[ForceOrZero, Meta(description="Least tension on the slack side of the drive, without a take-up.")]
        | UnsetType
    ) = UNSET
    least_tension: (
        Annotated[ForceOrZero, Meta(description="Least tension anywhere, without a take-up; zero otherwise.")]
        | UnsetType
    ) = UNSET
    drive: ConveyorDrive = msgspec.field(default_factory=ConveyorDrive)
    limiter: OverloadLimiter | UnsetType = UNSET
    rules: SizingRules = msgspec.field(default_factory=SizingRules)
    site: ConveyorSite = msgspec.field(default_factory=ConveyorSite)
    choice: ChainChoice = msgspec.field(default_factory=ChainChoice)
    own_chain: Annotated[OwnChain, Meta(description="A chain of your own, judged with those named.")] | UnsetType = (
        UNSET
    )
    limit: Annotated[float, Meta(ge=1, le=50, multiple_of=1, description="Most chains in the answer.")] = 10


class ConveyorSizingAnswer(Answer[ConveyorSizing], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/conveyor-sizings`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""
    stock = ConveyorStock(context.reference)

    @post(
        "/v1/conveyor-sizings",
        dto=json_body(ConveyorSizingRequest),
        **operation(
            "size_conveyor",
            tag="conveyors",
            summary="Size a chain conveyor or elevator",
            description=(
                "Tension at every point of the path, empty, full, unevenly loaded and starting; power and torque of "
                "the head shaft; chains of every family that bear it with their own mass put back, ranked by a score "
                "whose terms are shown; what a jam pulls; and the window in which a shear pin or torque limiter has to "
                "be set, or why there is none. Every factor is a tabulated one with its source or your own."
            ),
            examples=EXAMPLES,
            in_thread=True,
        ),
    )
    def create_conveyor_sizing(data: JSONBody[ConveyorSizingRequest]) -> ConveyorSizingAnswer:
        inputs = Inputs()
        conveyor = _given(data, inputs, context)
        outcome = size_conveyor(conveyor, stock, keep_steps=data.working == "full")
        return ConveyorSizingAnswer(
            result=present_conveyor(outcome.result, conveyor.chains.chain_lines, PRESENTERS[data.units]),
            **common(data, outcome.trace, inputs, context),
        )

    return [create_conveyor_sizing]


def _given(data: ConveyorSizingRequest, inputs: Inputs, context: Context) -> ConveyorSizingInput:
    slack = inputs.optional(data.slack_tension, "/slack_tension")
    least = inputs.optional(data.least_tension, "/least_tension")
    if data.take_up is not UNSET and (slack is not None or least is not None):
        at = "slack_tension_n" if slack is not None else "least_tension_n"
        message = "A take-up sets the tension of the chain; send it or the tension that is wanted, not both."
        raise Inconsistent(Issue(at, "over_determined", message))
    attached, limiter, take_up = sent(data.attached), sent(data.limiter), sent(data.take_up)
    return ConveyorSizingInput(
        path=read_path(data.path, inputs),
        load=read_load(data.load, inputs),
        chains=read_chain_set(data.chains, inputs),
        chain_speed_m_s=inputs.canonical(data.chain_speed, "/chain_speed"),
        head_wheel=read_head_wheel(data.head_wheel, inputs),
        attached=None if attached is None else read_attached(attached, inputs),
        take_up=None if take_up is None else read_take_up(take_up, inputs),
        slack_tension_n=slack or 0.0,
        least_tension_n=least or 0.0,
        drive=read_drive(data.drive, inputs),
        limiter=None if limiter is None else read_limiter(limiter, inputs),
        rules=read_rules(data.rules, inputs),
        site=read_site(data.site),
        choice=_choice(data, inputs, context),
    )


def _choice(data: ConveyorSizingRequest, inputs: Inputs, context: Context) -> Choice:
    choice = data.choice
    families = sent(choice.families)
    refusals = Refusals()
    for index, family in enumerate(families or ()):
        refusals.attempt(context.reference.families.get, family, f"choice.families.{index}")
    sizes = refusals.attempt(_sizes, data, inputs, context)
    refusals.tell()
    return Choice(
        chains=sizes.value,
        families=None if families is None else tuple(families),
        least_pitch_mm=inputs.optional(choice.minimum_pitch, "/choice/minimum_pitch"),
        greatest_pitch_mm=inputs.optional(choice.maximum_pitch, "/choice/maximum_pitch"),
        limit=int(data.limit),
    )


def _sizes(data: ConveyorSizingRequest, inputs: Inputs, context: Context) -> tuple[ChainSize, ...] | None:
    """The chains that the caller names; every unknown name is told."""
    names, own = sent(data.choice.chains), sent(data.own_chain)
    if names is None and own is None:
        return None
    refusals = Refusals()
    read = [
        refusals.attempt(_line, context.reference.chains, name, f"choice.chains.{index}")
        for index, name in enumerate(names or ())
    ]
    refusals.tell()
    sizes = {part.value.designation: part.value for part in read}
    if own is not None:
        size = read_chain(UNSET, own, inputs, context.reference).size
        sizes[f"own {size.designation}"] = size
    return tuple(sizes.values())


def _line(known: Chains, name: str, field: str) -> ChainSize:
    """The size of one chain line.

    Raises:
        OutOfRange: a designation of several strands; a conveyor counts its chains as lines.
    """
    read = read_designation(known, name, field)
    if read.strand_count > 1:
        message = f"{name} is {read.strand_count} strands on one wheel; a conveyor counts separate chains."
        hint = f"Name {read.size.designation} and send chains.chain_lines."
        raise OutOfRange(Issue(field, "strands_out_of_range", message, 1.0, read.strand_count, hint))
    return read.size
