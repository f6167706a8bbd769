"""``POST /v1/drive-checks``: rate a drive that exists, at one operating point or at an old and a new one."""

from __future__ import annotations

from typing import Annotated, Any, Literal

import msgspec
from litestar import Request, Response, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, Context, common
from service.api.body import json_body
from service.api.chain_input import ChainName
from service.api.contract import Example, operation
from service.api.drawings import ANSWER_OR_DRAWING, DrawableRequest, answer_or_drawing, notes_of
from service.api.drive_drawings import draw_drive
from service.api.drive_fields import (
    CompareIso,
    Drive,
    Duty,
    Edition,
    Running,
    present_drive,
    present_running,
    read_duty,
    states_strands,
)
from service.api.pull_drive_fields import PullDrive, present_pull
from service.api.quantities import PRESENTERS, Inputs, Length, Presenter
from service.api.silent_drive_fields import SilentDrive, SilentLoad, present_silent, read_silent_load
from service.calculations.drive_check import DriveCheckInput, DriveCheckResult, check_drive
from service.calculations.drive_option import DriveOption
from service.calculations.drive_tables import DriveTables
from service.calculations.pull_check import PullCheckResult
from service.calculations.roller_check import RollerCheckResult
from service.calculations.silent_check import SilentCheckResult, SilentPoint
from service.calculations.silent_tables import SilentTables
from service.core.errors import Inconsistent, Issue
from service.reference.designations import Designation, read_designation

WheelTeeth = Annotated[float, Meta(ge=1, le=1000, multiple_of=1, examples=[19])]


class DriveCheckRequest(DrawableRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A drive by its chain and wheels, its duty, and a changed duty where two are to be compared."""

    chain: ChainName
    strand_count: (
        Annotated[
            float,
            Meta(ge=1, le=24, multiple_of=1, description="As in the designation, or 1, where nothing is sent."),
        ]
        | UnsetType
    ) = UNSET
    driver_teeth: Annotated[WheelTeeth, Meta(description="Teeth of the driving wheel.")]
    driven_teeth: Annotated[WheelTeeth, Meta(description="Teeth of the driven wheel.")]
    duty: Duty
    changed_duty: Annotated[Duty, Meta(description="New operating point.")] | UnsetType = UNSET
    ratings_edition: Edition = "older"
    centre_distance: Length | UnsetType = UNSET
    pitch_count: Annotated[float, Meta(ge=1, le=100_000, multiple_of=1)] | UnsetType = UNSET
    compare_iso_10823: CompareIso = False
    silent_load: (
        Annotated[SilentLoad, Meta(description="For silent chain, unless `service_factor` of the duty is sent.")]
        | UnsetType
    ) = UNSET


class DriveChange(msgspec.Struct, frozen=True, kw_only=True):
    """What changes from the first operating point to the second, in per cent of the first."""

    rated_power_percent: float
    design_power_percent: float
    chain_speed_percent: float
    effective_pull_percent: float
    utilisation_before: float
    utilisation_after: float
    governed_by_before: str
    governed_by_after: str
    lubrication_before: str
    lubrication_after: str


class DriveCheck(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """The drive at its operating point, at the changed one, and the difference, by the method that served."""

    method: Annotated[
        Literal["power_ratings", "silent_ratings", "chain_pull"],
        Meta(description="Ratings of roller chain, of silent chain, or the pull where no power rating serves."),
    ]
    verdict: Annotated[Literal["carries", "overloaded"], Meta(description="Whether all checks of the last point pass.")]
    ratings_edition: Literal["older", "newer"] | UnsetType = UNSET
    drive: Annotated[Drive, Meta(description="By `power_ratings`.")] | UnsetType = UNSET
    running: Running | UnsetType = UNSET
    changed_drive: Drive | UnsetType = UNSET
    changed_running: Running | UnsetType = UNSET
    change: DriveChange | UnsetType = UNSET
    ratings_generation: str | UnsetType = UNSET
    silent_drive: Annotated[SilentDrive, Meta(description="By `silent_ratings`.")] | UnsetType = UNSET
    changed_silent_drive: SilentDrive | UnsetType = UNSET
    pull_drive: Annotated[PullDrive, Meta(description="By `chain_pull`.")] | UnsetType = UNSET
    changed_pull_drive: PullDrive | UnsetType = UNSET


class DriveCheckAnswer(Answer[DriveCheck], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/drive-checks`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""
    tables = DriveTables(context.reference)
    silent_tables = SilentTables(context.reference)

    @post(
        "/v1/drive-checks",
        dto=json_body(DriveCheckRequest),
        **operation(
            "check_drive",
            tag="drives",
            summary="Check an existing chain drive",
            description=(
                "Rates a given drive: utilisation for each kind of failure, lubrication, forces, and warnings. With a "
                "changed duty both operating points are rated and compared; more speed is not more capacity. Silent "
                "chain is rated by its width; engineering-class chain, and roller chain slower than its ratings, is "
                "judged by its pull. The Accept header chooses between these figures and a layout to scale."
            ),
            examples=EXAMPLES,
            answer=DriveCheckAnswer,
            produces=ANSWER_OR_DRAWING,
            in_thread=None,
        ),
    )
    async def create_drive_check(
        data: JSONBody[DriveCheckRequest], request: Request[Any, Any, Any]
    ) -> DriveCheckAnswer | Response[bytes]:
        inputs = Inputs()
        given = _given(data, inputs, context)
        outcome = check_drive(given, tables, silent_tables, keep_steps=data.working == "full")
        presenter = PRESENTERS[data.units]
        answer = DriveCheckAnswer(
            result=_present(outcome.result, presenter, context), **common(data, outcome.trace, inputs, context)
        )
        notes = notes_of(answer, "at the centre of the driver")
        return await answer_or_drawing(
            request, data, answer, lambda: draw_drive(given, outcome.result, presenter, notes)
        )

    return [create_drive_check]


def _given(data: DriveCheckRequest, inputs: Inputs, context: Context) -> DriveCheckInput:
    changed = data.changed_duty
    named = read_designation(context.reference.chains, data.chain)
    return DriveCheckInput(
        chain=named.size,
        strand_count=_strands(data, named),
        driver_teeth=int(data.driver_teeth),
        driven_teeth=int(data.driven_teeth),
        duty=read_duty(data.duty, inputs, "duty"),
        changed_duty=None if isinstance(changed, UnsetType) else read_duty(changed, inputs, "changed_duty"),
        edition=data.ratings_edition,
        centre_distance_mm=inputs.optional(data.centre_distance, "/centre_distance"),
        pitch_count=None if isinstance(data.pitch_count, UnsetType) else int(data.pitch_count),
        compare_iso_10823=data.compare_iso_10823,
        silent_load=read_silent_load(data.silent_load),
    )


def _strands(data: DriveCheckRequest, named: Designation) -> int:
    """The number of strands sent, or that of the designation.

    Raises:
        Inconsistent: the two differ.
    """
    if isinstance(data.strand_count, UnsetType):
        return named.strand_count
    sent = int(data.strand_count)
    if states_strands(data.chain, named) and sent != named.strand_count:
        message = f"{data.chain} names {named.strand_count} strands, strand_count says {sent}; leave one out."
        raise Inconsistent(Issue("strand_count", "over_determined", message, named.strand_count, sent))
    return sent


def _present(result: DriveCheckResult, presenter: Presenter, context: Context) -> DriveCheck:
    if isinstance(result, SilentCheckResult):
        return _present_silent(result, presenter)
    if isinstance(result, PullCheckResult):
        last = result.changed or result.point
        return DriveCheck(
            method="chain_pull",
            verdict=_verdict(last.utilisation),
            pull_drive=present_pull(result.point, presenter),
            changed_pull_drive=UNSET if result.changed is None else present_pull(result.changed, presenter),
        )
    return _present_roller(result, presenter, context)


def _verdict(utilisation: float) -> Literal["carries", "overloaded"]:
    return "carries" if utilisation <= 1.0 else "overloaded"


def _present_silent(result: SilentCheckResult, presenter: Presenter) -> DriveCheck:
    def present(point: SilentPoint) -> SilentDrive:
        return present_silent(point.option, point.case.service_factor, presenter)

    return DriveCheck(
        method="silent_ratings",
        verdict=_verdict((result.changed or result.point).option.utilisation),
        ratings_generation=result.generation,
        silent_drive=present(result.point),
        changed_silent_drive=UNSET if result.changed is None else present(result.changed),
    )


def _present_roller(result: RollerCheckResult, presenter: Presenter, context: Context) -> DriveCheck:
    now, changed = result.point, result.changed
    also = context.reference.equivalents.same_size(now.option.chain.designation)
    answer = DriveCheck(
        method="power_ratings",
        verdict=_verdict((changed or now).option.utilisation),
        ratings_edition=now.load.edition,
        drive=present_drive(now.option, now.load.service_factor, also, presenter, now.iso),
        running=present_running(now.running, presenter),
    )
    if changed is None:
        return answer
    return msgspec.structs.replace(
        answer,
        changed_drive=present_drive(changed.option, changed.load.service_factor, also, presenter, changed.iso),
        changed_running=present_running(changed.running, presenter),
        change=_change(now.option, changed.option, presenter),
    )


def _change(before: DriveOption, after: DriveOption, presenter: Presenter) -> DriveChange:
    def growth(new: float, old: float) -> float:
        return presenter.number(100.0 * (new / old - 1.0))

    return DriveChange(
        rated_power_percent=growth(after.rated_power_kw, before.rated_power_kw),
        design_power_percent=growth(after.design_power_kw, before.design_power_kw),
        chain_speed_percent=growth(after.chain_speed_m_s, before.chain_speed_m_s),
        effective_pull_percent=growth(after.forces.pull_n, before.forces.pull_n),
        utilisation_before=presenter.number(before.utilisation),
        utilisation_after=presenter.number(after.utilisation),
        governed_by_before=before.governed_by,
        governed_by_after=after.governed_by,
        lubrication_before=before.lubrication or "not_read",
        lubrication_after=after.lubrication or "not_read",
    )


_DUTY = {
    "power": {"value": 11, "unit": "kW"},
    "driver_speed": {"value": 720, "unit": "r/min"},
    "load_class": "moderate_shock",
    "prime_mover": "electric_motor_or_turbine",
}

EXAMPLES = {
    "sorting_line": Example(
        "Sorting line of the invented Lindholm plant",
        {
            "chain": "80",
            "driver_teeth": 17,
            "driven_teeth": 42,
            "duty": _DUTY,
            "centre_distance": {"value": 900, "unit": "mm"},
        },
    ),
    "thirty_per_cent_faster": Example(
        "The same line sped up by 30 % at the same pull",
        {
            "chain": "80",
            "driver_teeth": 17,
            "driven_teeth": 42,
            "duty": _DUTY,
            "changed_duty": {
                **_DUTY,
                "power": {"value": 14.3, "unit": "kW"},
                "driver_speed": {"value": 936, "unit": "r/min"},
            },
            "pitch_count": 100,
        },
    ),
    "wheels_exchanged": Example(
        "Speeds and teeth that fit only the other way round",
        {
            "chain": "80",
            "driver_teeth": 57,
            "driven_teeth": 19,
            "duty": {**_DUTY, "driven_speed": {"value": 240, "unit": "r/min"}},
            "centre_distance": {"value": 900, "unit": "mm"},
        },
        status=422,
    ),
}
