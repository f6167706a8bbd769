"""``POST /v1/drive-sizings``: every feasible drive of roller, silent or engineering-class chain for a load, ranked."""

import asyncio
from typing import Annotated, Literal

import msgspec
from litestar import post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, CalculationRequest, Context, common
from service.api.body import json_body
from service.api.chain_input import ChainName
from service.api.contract import Example, operation
from service.api.drawings import measure
from service.api.drive_fields import (
    CompareIso,
    Drive,
    Duty,
    Edition,
    ScoreTerm,
    present_drive,
    present_terms,
    read_duty,
    states_strands,
)
from service.api.optional_fields import sent, whole
from service.api.pull_sizing_answers import EngineeringSizing, present_pull_sizing
from service.api.quantities import PRESENTERS, Inputs, Length, Presenter, Quantity
from service.api.silent_drive_fields import SilentLoad, SilentSizing, present_silent_sizing, read_silent_load
from service.calculations.drive_search import DriveConstraints, NamedChain, Reason, Rejection
from service.calculations.drive_sizing import DriveSizingInput, DriveSizingResult, RankedDrive, size_drive
from service.calculations.drive_tables import DriveTables
from service.calculations.refusals import Refusals
from service.calculations.silent_tables import SilentTables
from service.core.conversions import KW_PER_HP
from service.reference.designations import read_designation

_OUTSIDE = (
    "Outside diameter. Of engineering-class wheels, of which none is published, the pitch circle is compared: leave "
    "room for teeth and chain."
)

TeethBound = Annotated[float, Meta(ge=1, le=400, multiple_of=1)]


class Constraints(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What a drive may be; what is left out is open."""

    chains: (
        Annotated[list[ChainName], Meta(min_length=1, max_length=60, description="Only these sizes.")] | UnsetType
    ) = UNSET
    maximum_strand_count: Annotated[float, Meta(ge=1, le=6, multiple_of=1)] = 4
    minimum_small_teeth: Annotated[TeethBound, Meta(description="17 where nothing is sent.")] | UnsetType = UNSET
    maximum_small_teeth: TeethBound = 45
    maximum_large_teeth: Annotated[TeethBound, Meta(description="120 where nothing is sent.")] | UnsetType = UNSET
    maximum_small_diameter: Annotated[Length, Meta(description=_OUTSIDE)] | UnsetType = UNSET
    maximum_large_diameter: Annotated[Length, Meta(description=_OUTSIDE)] | UnsetType = UNSET
    ratio_tolerance_percent: Annotated[float, Meta(ge=0, le=100)] = 3.0
    lubrication_at_hand: Literal["manual_or_drip", "bath_or_disc", "forced_stream"] | UnsetType = UNSET
    driver_bore: (
        Annotated[Length, Meta(description="Shaft that the hub must take; keyway and wall come on top.")] | UnsetType
    ) = UNSET
    driven_bore: (
        Annotated[Length, Meta(description="Shaft that the hub must take; keyway and wall come on top.")] | UnsetType
    ) = UNSET


class DriveSizingRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The load, where the shafts stand, and what the drive may be."""

    duty: Duty
    chain_kind: Annotated[
        Literal["roller", "silent", "engineering", "both", "all"],
        Meta(
            description=(
                "Kinds of chain, each ranked in a list of its own: `both` is roller and silent chain, `all` "
                "engineering-class chain too, which is judged by its chain pull against the tabled allowable load."
            )
        ),
    ] = "roller"
    silent_load: (
        Annotated[SilentLoad, Meta(description="For silent chain, unless `service_factor` of the duty is sent.")]
        | UnsetType
    ) = UNSET
    ratings_edition: Edition = "older"
    centre_distance: Annotated[Length, Meta(description="40 pitches where nothing is sent.")] | UnsetType = UNSET
    minimum_centre_distance: Length | UnsetType = UNSET
    maximum_centre_distance: Length | UnsetType = UNSET
    offset_link_allowed: bool = False
    compare_iso_10823: CompareIso = False
    constraints: Constraints = msgspec.field(default_factory=Constraints)
    limit: Annotated[float, Meta(ge=1, le=50, multiple_of=1, description="Most drives in the answer.")] = 10


class RankedDriveOut(msgspec.Struct, frozen=True, kw_only=True):
    """A drive in the ranking; a lower score ranks better."""

    rank: int
    score: float
    score_terms: list[ScoreTerm]
    drive: Drive


class NearMiss(msgspec.Struct, frozen=True, kw_only=True):
    """A chain that does not serve, why, and by how much."""

    chain: str
    reason: Reason
    explanation: str


class RejectedCount(msgspec.Struct, frozen=True, kw_only=True):
    """How many options failed for one reason."""

    reason: str
    count: int


class DriveSizing(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Drives in order of their score, and why others are not among them.

    Counts and lists beside `silent` and `engineering` are those of roller chain, empty where it was not asked for.
    """

    ratings_edition: Literal["older", "newer"]
    power: Quantity
    service_factor: float
    ratio: float
    feasible_count: Annotated[int, Meta(description="All feasible drives; more strands on equal wheels are left out.")]
    drives: list[RankedDriveOut]
    rejected: list[RejectedCount]
    nearest_misses: list[NearMiss]
    silent: Annotated[SilentSizing, Meta(description="Silent-chain drives, ranked apart.")] | UnsetType = UNSET
    engineering: (
        Annotated[EngineeringSizing, Meta(description="Engineering-class drives by their chain pull, ranked apart.")]
        | UnsetType
    ) = UNSET


class DriveSizingAnswer(Answer[DriveSizing], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/drive-sizings`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""
    tables = DriveTables(context.reference)
    silent_tables = SilentTables(context.reference)

    @post(
        "/v1/drive-sizings",
        dto=json_body(DriveSizingRequest),
        **operation(
            "size_drive",
            tag="drives",
            summary="Size a chain drive",
            description=(
                "Every feasible drive of roller, silent or engineering-class chain for a load, ranked by a score whose "
                "terms are shown: chain and strands, teeth, rating for each kind of failure, lubrication, whole even "
                "pitches with the exact centres, wrap, tensions, shaft load, mass, and what a tooth or strand more "
                "would change. "
                "Nothing feasible is an answer too, with the reasons and the nearest misses."
            ),
            examples=EXAMPLES,
            in_thread=None,
        ),
    )
    async def create_drive_sizing(data: JSONBody[DriveSizingRequest]) -> DriveSizingAnswer:
        if data.chain_kind in {"engineering", "all"}:
            # Every size on every wheel takes milliseconds, for which other requests need not wait.
            return await asyncio.to_thread(answer, data)
        return answer(data)

    def answer(data: DriveSizingRequest) -> DriveSizingAnswer:
        inputs = Inputs()
        outcome = size_drive(_given(data, inputs, context), tables, silent_tables, keep_steps=data.working == "full")
        return DriveSizingAnswer(
            result=_present(outcome.result, data.ratings_edition, PRESENTERS[data.units], context),
            **common(data, outcome.trace, inputs, context),
        )

    return [create_drive_sizing]


def _given(data: DriveSizingRequest, inputs: Inputs, context: Context) -> DriveSizingInput:
    limits = data.constraints
    at = "/constraints"
    return DriveSizingInput(
        duty=read_duty(data.duty, inputs, "duty"),
        edition=data.ratings_edition,
        centre_distance_mm=inputs.optional(data.centre_distance, "/centre_distance"),
        minimum_centre_distance_mm=inputs.optional(data.minimum_centre_distance, "/minimum_centre_distance"),
        maximum_centre_distance_mm=inputs.optional(data.maximum_centre_distance, "/maximum_centre_distance"),
        offset_link_allowed=data.offset_link_allowed,
        constraints=DriveConstraints(
            chains=None if isinstance(limits.chains, UnsetType) else _named(limits.chains, context),
            maximum_strand_count=int(limits.maximum_strand_count),
            minimum_small_teeth=whole(limits.minimum_small_teeth),
            maximum_small_teeth=int(limits.maximum_small_teeth),
            maximum_large_teeth=whole(limits.maximum_large_teeth),
            maximum_small_diameter_mm=inputs.optional(limits.maximum_small_diameter, f"{at}/maximum_small_diameter"),
            maximum_large_diameter_mm=inputs.optional(limits.maximum_large_diameter, f"{at}/maximum_large_diameter"),
            ratio_tolerance_percent=limits.ratio_tolerance_percent,
            lubrication_at_hand=sent(limits.lubrication_at_hand),
            driver_bore_mm=inputs.optional(limits.driver_bore, f"{at}/driver_bore"),
            driven_bore_mm=inputs.optional(limits.driven_bore, f"{at}/driven_bore"),
        ),
        compare_iso_10823=data.compare_iso_10823,
        limit=int(data.limit),
        chain_kind=data.chain_kind,
        silent_load=read_silent_load(data.silent_load),
    )


def _named(names: list[str], context: Context) -> tuple[NamedChain, ...]:
    """The chains that the caller allows; every unknown name is told."""
    refusals = Refusals()
    known = context.reference.chains
    read = [
        refusals.attempt(read_designation, known, name, f"constraints.chains.{index}")
        for index, name in enumerate(names)
    ]
    refusals.tell()
    return tuple(
        NamedChain(part.value.size, part.value.strand_count if states_strands(name, part.value) else None)
        for name, part in zip(names, read, strict=True)
    )


def _present(
    result: DriveSizingResult, edition: Literal["older", "newer"], presenter: Presenter, context: Context
) -> DriveSizing:
    duty, roller = result.duty, result.roller
    ranked, counts, misses = (roller.drives, roller.rejected_counts, roller.nearest_misses) if roller else ((), {}, ())
    answer = DriveSizing(
        ratings_edition=edition,
        power=presenter.power(duty.power_kw),
        service_factor=duty.service_factor,
        ratio=presenter.number(duty.ratio),
        feasible_count=roller.feasible_count if roller else 0,
        drives=[
            _ranked(place, drive, duty.service_factor, presenter, context)
            for place, drive in enumerate(ranked, start=1)
        ],
        rejected=[RejectedCount(reason=reason, count=count) for reason, count in counts.items()],
        nearest_misses=[_miss(miss, presenter) for miss in misses],
    )
    if result.silent is not None:
        answer = msgspec.structs.replace(answer, silent=present_silent_sizing(result.silent, presenter))
    if result.engineering is not None:
        answer = msgspec.structs.replace(answer, engineering=present_pull_sizing(result.engineering, presenter))
    return answer


def _ranked(
    place: int, ranked: RankedDrive, service_factor: float, presenter: Presenter, context: Context
) -> RankedDriveOut:
    also = context.reference.equivalents.same_size(ranked.option.chain.designation)
    return RankedDriveOut(
        rank=place,
        score=presenter.number(ranked.score),
        score_terms=present_terms(ranked.terms, presenter),
        drive=present_drive(ranked.option, service_factor, also, presenter, ranked.iso),
    )


_EXPLANATIONS = {
    "power_beyond_table": "each strand must carry {actual}, the largest allowed wheel carries {limit}",
    "speed_beyond_table": "the small wheel turns at {actual:.0f} r/min, the printed ratings end at {limit:.0f} r/min",
    "ratio_not_met": "the nearest pair of wheels misses the ratio by {actual:.2g} %, {limit:g} % are allowed",
    "large_wheel_too_many_teeth": "the large wheel would need {actual:.0f} teeth, {limit:.0f} are allowed",
    "wheel_too_large": "a wheel would measure {actual} outside, {limit} are allowed",
    "centres_too_short": "the tooth tips need {actual} between centres, {limit} are given",
    "no_even_solution": "the range of centres holds no whole even pitch count: {actual:.0f} is too long already",
    "lubrication_not_at_hand": "its chain speed needs a better lubrication than is at hand",
    "bore_too_large": "a shaft of {actual} does not go into the largest hub of its wheel, {limit}",
}
_LENGTHS = frozenset({"wheel_too_large", "centres_too_short", "bore_too_large"})


def _miss(miss: Rejection, presenter: Presenter) -> NearMiss:
    actual: float | str = miss.actual
    limit: float | str = miss.limit
    if miss.reason == "power_beyond_table":
        actual, limit = (measure(presenter.power(hp * KW_PER_HP)) for hp in (miss.actual, miss.limit))
    elif miss.reason in _LENGTHS:
        actual, limit = (measure(presenter.length(value_mm)) for value_mm in (miss.actual, miss.limit))
    return NearMiss(
        chain=f"{miss.chain.designation}-{miss.strand_count}",
        reason=miss.reason,
        explanation=_EXPLANATIONS[miss.reason].format(actual=actual, limit=limit),
    )


EXAMPLES = {
    "belt_dryer": Example(
        "Belt dryer of the invented Lindholm plant: 7.5 kW from 1450 to 580 r/min at about 700 mm",
        {
            "duty": {
                "power": {"value": 7.5, "unit": "kW"},
                "driver_speed": {"value": 1450, "unit": "r/min"},
                "ratio": 2.5,
                "load_class": "moderate_shock",
                "prime_mover": "electric_motor_or_turbine",
            },
            "centre_distance": {"value": 700, "unit": "mm"},
            "limit": 3,
        },
    ),
    "nothing_fits": Example(
        "A load that no single-strand chain of the named sizes carries",
        {
            "duty": {
                "power": {"value": 100, "unit": "hp"},
                "driver_speed": {"value": 900, "unit": "r/min"},
                "driven_speed": {"value": 300, "unit": "r/min"},
                "load_class": "heavy_shock",
                "prime_mover": "engine_mechanical",
            },
            "constraints": {"chains": ["40", "50"], "maximum_strand_count": 1},
            "units": "inch",
        },
    ),
    "crusher_all_kinds": Example(
        "Crusher feed of the invented Lindholm plant: engineering-class chain beside roller and silent chain",
        {
            "duty": {
                "power": {"value": 15, "unit": "kW"},
                "driver_speed": {"value": 60, "unit": "r/min"},
                "ratio": 2.5,
                "load_class": "heavy_shock",
            },
            "silent_load": {"driven_machine": "kneader or pug mill", "prime_mover_class": "II"},
            "chain_kind": "all",
            "centre_distance": {"value": 2500, "unit": "mm"},
            "limit": 3,
        },
    ),
    "engineering_class": Example(
        "Slow feeder of the invented Lindholm plant by chain pull",
        {
            "duty": {
                "power": {"value": 5.5, "unit": "kW"},
                "driver_speed": {"value": 20, "unit": "r/min"},
                "ratio": 2,
                "load_class": "moderate_shock",
                "hours_per_day": 16,
            },
            "chain_kind": "engineering",
            "constraints": {"minimum_small_teeth": 9},
            "limit": 3,
        },
    ),
    "engineering_nothing_fits": Example(
        "A load beyond the allowable load of every size in the tables",
        {
            "duty": {
                "power": {"value": 90, "unit": "kW"},
                "driver_speed": {"value": 12, "unit": "r/min"},
                "ratio": 2,
                "load_class": "heavy_shock",
            },
            "chain_kind": "engineering",
        },
    ),
    "ratio_too_great": Example(
        "A ratio beyond one stage",
        {
            "duty": {
                "power": {"value": 5, "unit": "kW"},
                "driver_speed": {"value": 1450, "unit": "r/min"},
                "ratio": 40,
                "load_class": "smooth",
            }
        },
        status=422,
    ),
}
