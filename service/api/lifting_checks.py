"""``POST /v1/lifting-checks``: leaf, roller and hoist chain that carries a load, against the limits that apply."""

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
from service.api.load_chain_wear_checks import OwnLink, read_link
from service.api.optional_fields import sent, whole
from service.api.quantities import PRESENTERS, Force, Inputs, Length, Mass, Presenter, Quantity, Temperature
from service.calculations.lifting_check import LiftingCheckInput, LiftingCheckResult, LiftingTables, lifting_check
from service.core.conversions import FREE_FALL_M_S2
from service.core.errors import Inconsistent, Issue, MoreNeeded
from service.reference.chains import ChainSize

Count = Annotated[float, Meta(ge=1, le=16, multiple_of=1)]


class LiftingCheckRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A load, how it hangs on its chains, and the factor or limit that applies; nothing here is a permission."""

    chain: ChainName | UnsetType = UNSET
    own_chain: OwnChain | UnsetType = UNSET
    own_link: Annotated[OwnLink | UnsetType, Meta(description="Round-link chain by its marked size.")] = UNSET
    mass: Annotated[Mass | UnsetType, Meta(description="Mass lifted, attachments included; or send load.")] = UNSET
    load: Annotated[Force | UnsetType, Meta(description="Weight lifted, attachments included; or send mass.")] = UNSET
    chain_lines: Annotated[Count, Meta(description="Separate chains that carry the load.")] = 1
    load_share: Annotated[
        Literal["equalised", "each_takes_all"] | UnsetType,
        Meta(description="How several chains share; where it is left out each is checked with the whole load."),
    ] = UNSET
    reeving: Annotated[
        Count | UnsetType, Meta(description="Falls of each chain that the load hangs on: 1 direct, 2 in a block.")
    ] = UNSET
    acceleration_m_s2: (
        Annotated[float, Meta(ge=0, le=50, description="Greatest upward acceleration, braking of a descent included.")]
        | UnsetType
    ) = UNSET
    efficiency: Annotated[float, Meta(gt=0, le=1, description="Of the wheels above the load.")] | UnsetType = UNSET
    shock: Annotated[
        Literal["smooth", "some_shock", "heavy_shock"] | UnsetType,
        Meta(description="How the load comes on; some_shock is that of lift trucks. Leaf and roller chain."),
    ] = UNSET
    safety_factor: Annotated[
        Annotated[float, Meta(gt=0, le=100)] | UnsetType,
        Meta(description="Factor on tensile strength of your machine's standard; there is no default."),
    ] = UNSET
    sheave_diameter: Annotated[Length | UnsetType, Meta(description="On which the plates of leaf chain run.")] = UNSET
    hoist_drive: Annotated[Literal["hand", "power"] | UnsetType, Meta(description="Of round-link chain.")] = UNSET
    chain_type: Annotated[Literal["T", "DAT", "DT"] | UnsetType, Meta(description="Type of EN 818-7.")] = UNSET
    grade: Annotated[
        Literal["30", "43", "70", "80", "100"] | UnsetType, Meta(description="Grade marked on welded chain.")
    ] = UNSET
    marked_limit: Annotated[
        Mass | UnsetType,
        Meta(
            description="Of the hoist with all its chains and falls, as marked on it or in its manual; it comes first."
        ),
    ] = UNSET
    temperature: Annotated[Temperature | UnsetType, Meta(description="Of the chain.")] = UNSET
    lifts_people: Annotated[bool, Meta(description="Whether people are lifted, which is refused.")] = False


class LiftingCheck(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Tension of one chain and what it is set against. The status speaks of the figures entered and of nothing else."""

    status: Annotated[
        Literal["within_entered_limits", "outside_entered_limits", "not_assessable"],
        Meta(description="`not_assessable` where no print rates the chain at its temperature."),
    ]
    tension: Annotated[Quantity, Meta(description="Greatest tension of one fall.")]
    chain_travel_ratio: Annotated[int, Meta(description="Way of the chain over way of the load.")]
    minimum_tensile_strength: Quantity | UnsetType = UNSET
    required_tensile_strength: Quantity | UnsetType = UNSET
    factor: (
        Annotated[float, Meta(description="Tensile strength over tension, without the service factor.")] | UnsetType
    ) = UNSET
    working_load_limit: Quantity | UnsetType = UNSET
    load_of_chain: (
        Annotated[Quantity, Meta(description="Tension of one fall as a mass, set against a printed limit.")] | UnsetType
    ) = UNSET
    load_of_hoist: (
        Annotated[Quantity, Meta(description="On all chains and falls, set against the marked limit.")] | UnsetType
    ) = UNSET
    link_stress: Annotated[Quantity, Meta(description="Mean stress in both legs of a link.")] | UnsetType = UNSET
    least_sheave_diameter: Quantity | UnsetType = UNSET


class LiftingCheckAnswer(Answer[LiftingCheck], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/lifting-checks`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""
    reference = context.reference
    factors = reference.factors
    temperatures = factors.conveyor.temperature_factors
    tables = LiftingTables(reference.chains, factors.strength, reference.working_load_limits, temperatures)

    @post(
        "/v1/lifting-checks",
        dto=json_body(LiftingCheckRequest),
        **operation(
            "check_lifting_chain",
            tag="strength",
            summary="Chain that lifts, against factor or working load limit",
            description=(
                "Tension of one chain from load, falls and sharing; leaf and roller chain against the factor of the "
                "caller's rule, hoist chain against its marked or printed working load limit, and the least sheave. "
                "The answer is a calculation and no permission to lift."
            ),
            examples=EXAMPLES,
        ),
    )
    def check_lifting_chain(data: JSONBody[LiftingCheckRequest]) -> LiftingCheckAnswer:
        inputs = Inputs()
        outcome = lifting_check(_given(data, inputs, context), tables, keep_steps=data.working == "full")
        return LiftingCheckAnswer(
            result=_present(outcome.result, PRESENTERS[data.units]),
            **common(data, outcome.trace, inputs, context),
        )

    return [check_lifting_chain]


def _given(data: LiftingCheckRequest, inputs: Inputs, context: Context) -> LiftingCheckInput:
    return LiftingCheckInput(
        chain=_chain(data, inputs, context),
        mass_kg=_mass(data, inputs),
        chain_lines=int(data.chain_lines),
        reeving=whole(data.reeving),
        load_share=sent(data.load_share),
        acceleration_m_s2=sent(data.acceleration_m_s2),
        efficiency=sent(data.efficiency),
        shock=sent(data.shock),
        safety_factor=sent(data.safety_factor),
        sheave_diameter_mm=inputs.optional(data.sheave_diameter, "/sheave_diameter"),
        hoist_drive=sent(data.hoist_drive),
        chain_type=sent(data.chain_type),
        grade=sent(data.grade),
        marked_limit_kg=inputs.optional(data.marked_limit, "/marked_limit"),
        temperature_c=inputs.optional(data.temperature, "/temperature"),
        lifts_people=data.lifts_people,
    )


def _chain(data: LiftingCheckRequest, inputs: Inputs, context: Context) -> ChainSize:
    """The chain by its designation, its figures, or the size marked on its links."""
    if isinstance(data.own_link, UnsetType):
        return read_chain(data.chain, data.own_chain, inputs, context.reference).size
    if not isinstance(data.own_chain, UnsetType):
        raise Inconsistent(Issue("own_link", "over_determined", "Send own_chain or own_link, not both."))
    return read_link(data.chain, data.own_link, inputs, context)


def _mass(data: LiftingCheckRequest, inputs: Inputs) -> float:
    mass = inputs.optional(data.mass, "/mass")
    load = inputs.optional(data.load, "/load")
    if load is None:
        if mass is None:
            raise MoreNeeded(Issue("mass", "field_required", "Send what is lifted, as mass or as load."))
        return mass
    if mass is not None:
        raise Inconsistent(Issue("load", "over_determined", "Send mass or load, not both: they say the same."))
    return load / FREE_FALL_M_S2


def _present(result: LiftingCheckResult, presenter: Presenter) -> LiftingCheck:
    return LiftingCheck(
        status=result.status,
        tension=presenter.force(result.tension_n),
        chain_travel_ratio=result.chain_travel_ratio,
        minimum_tensile_strength=presenter.known(result.minimum_tensile_strength_n, "force"),
        required_tensile_strength=presenter.known(result.required_tensile_strength_n, "force"),
        factor=presenter.known_number(result.factor),
        working_load_limit=presenter.known(result.working_load_limit_kg, "mass"),
        load_of_chain=presenter.known(result.load_of_chain_kg, "mass"),
        load_of_hoist=presenter.known(result.load_of_hoist_kg, "mass"),
        link_stress=presenter.known(result.link_stress_n_mm2, "stress"),
        least_sheave_diameter=presenter.known(result.least_sheave_diameter_mm, "length"),
    )


EXAMPLES = {
    "truck_mast": Example(
        "A lift truck of the invented Lindholm plant: two leaf chains, the rule of its standard entered",
        {
            "chain": "BL834",
            "mass": {"value": 2.6, "unit": "t"},
            "chain_lines": 2,
            "load_share": "equalised",
            "reeving": 1,
            "shock": "some_shock",
            "safety_factor": 5,
            "sheave_diameter": {"value": 120, "unit": "mm"},
        },
    ),
    "hand_hoist": Example(
        "A hand hoist with two falls of 8 x 24 chain",
        {
            "chain": "EN 818-7 8x24",
            "mass": {"value": 3, "unit": "t"},
            "reeving": 2,
            "hoist_drive": "hand",
            "chain_type": "T",
        },
    ),
    "factor_missing": Example(
        "No safety factor was sent, and there is no default",
        {"chain": "LL1644", "mass": {"value": 900, "unit": "kg"}, "reeving": 1, "shock": "smooth"},
        status=422,
    ),
}
