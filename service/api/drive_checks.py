"""``POST /v1/drive-checks``: rate a drive that exists, at one operating point or at an old and a new one."""

from typing import Annotated, Any, Literal

import msgspec
from litestar import Request, Response, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import JSONBody
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Answer, Context, common
from service.api.body import json_body
from service.api.chain_input import ChainName, OwnChain, read_chain
from service.api.contract import Example, operation
from service.api.drawings import ANSWER_OR_DRAWING, DrawableRequest, answer_or_drawing, notes_of
from service.api.drive_drawings import draw_drive
from service.api.drive_fields import CompareIso, Drive, Duty, Edition, read_duty, states_strands
from service.api.drive_points import DriveChange, Method, present_points
from service.api.optional_fields import sent, whole
from service.api.pull_drive_fields import PullDrive
from service.api.quantities import PRESENTERS, Inputs, Length
from service.api.running_fields import Running
from service.api.silent_drive_fields import SilentDrive, SilentLoad, read_silent_load
from service.calculations.drive_check import DriveCheckInput, check_drive
from service.calculations.drive_tables import DriveTables
from service.calculations.silent_tables import SilentTables
from service.core.errors import Inconsistent, Issue
from service.reference.designations import Designation

WheelTeeth = Annotated[float, Meta(ge=1, le=1000, multiple_of=1, examples=[19])]


class DriveCheckRequest(DrawableRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A drive by its chain and wheels, its duty, and a changed duty where two are to be compared."""

    chain: ChainName | UnsetType = UNSET
    own_chain: (
        Annotated[
            OwnChain, Meta(description="Instead of `chain`: judged by its pull, against the `allowable_load` sent.")
        ]
        | UnsetType
    ) = UNSET
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
    driver_bore: Annotated[Length, Meta(description="Shaft, compared with the largest hub.")] | UnsetType = UNSET
    driven_bore: Annotated[Length, Meta(description="Shaft, compared with the largest hub.")] | UnsetType = UNSET
    joint_friction: (
        Annotated[float, Meta(ge=0, le=1, description="Friction of pin in bush, for the efficiency of the joints.")]
        | UnsetType
    ) = UNSET


class DriveCheck(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """The drive at its operating point, at the changed one, and the difference, by the method that served."""

    method: Annotated[
        Method, Meta(description="Ratings of roller chain, of silent chain, or the pull where no power rating serves.")
    ]
    changed_method: (
        Annotated[Method, Meta(description="Of the changed duty, where its speed calls for another one.")] | UnsetType
    ) = UNSET
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
                "chain is rated by its width; engineering-class chain, a chain of your own figures, and roller chain "
                "slower than its ratings are judged by their pull, each duty by the method that its speed calls for. "
                "The Accept header chooses between these figures and a layout to scale."
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
        result = DriveCheck(**present_points(outcome.result, presenter, context.reference))
        answer = DriveCheckAnswer(result=result, **common(data, outcome.trace, inputs, context))
        notes = notes_of(answer, "at the centre of the driver")
        return await answer_or_drawing(
            request, data, answer, lambda _: draw_drive(given, outcome.result, presenter, notes)
        )

    return [create_drive_check]


def _given(data: DriveCheckRequest, inputs: Inputs, context: Context) -> DriveCheckInput:
    changed = data.changed_duty
    named = read_chain(data.chain, data.own_chain, inputs, context.reference)
    return DriveCheckInput(
        chain=named.size,
        strand_count=_strands(data, named),
        driver_teeth=int(data.driver_teeth),
        driven_teeth=int(data.driven_teeth),
        duty=read_duty(data.duty, inputs, "duty"),
        changed_duty=None if isinstance(changed, UnsetType) else read_duty(changed, inputs, "changed_duty"),
        edition=data.ratings_edition,
        centre_distance_mm=inputs.optional(data.centre_distance, "/centre_distance"),
        pitch_count=whole(data.pitch_count),
        compare_iso_10823=data.compare_iso_10823,
        silent_load=read_silent_load(data.silent_load),
        driver_bore_mm=inputs.optional(data.driver_bore, "/driver_bore"),
        driven_bore_mm=inputs.optional(data.driven_bore, "/driven_bore"),
        joint_friction=sent(data.joint_friction),
    )


def _strands(data: DriveCheckRequest, named: Designation) -> int:
    """The number of strands stated, or that of the designation.

    Raises:
        Inconsistent: the two differ.
    """
    if isinstance(data.strand_count, UnsetType):
        return named.strand_count
    stated = int(data.strand_count)
    if isinstance(data.chain, UnsetType):
        return stated
    if states_strands(data.chain, named) and stated != named.strand_count:
        message = f"{data.chain} names {named.strand_count} strands, strand_count says {stated}; leave one out."
        raise Inconsistent(Issue("strand_count", "over_determined", message, named.strand_count, stated))
    return stated


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
