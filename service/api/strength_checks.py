"""``POST /v1/strength-checks``: a chain against its tensile, yield and fatigue strength."""

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
from service.api.optional_fields import sent
from service.api.quantities import PRESENTERS, Force, ForceOrZero, Inputs, Length, Presenter, Quantity
from service.calculations.strength_check import StrengthCheckInput, StrengthCheckResult, strength_check

Factor = Annotated[float, Meta(gt=0, le=1000)]
Fraction = Annotated[float, Meta(gt=0, le=1)]


class StrengthCheckRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A chain and its tensions; the wanted factor and the strengths that the tables lack may be sent along."""

    chain: ChainName | UnsetType = UNSET
    own_chain: OwnChain | UnsetType = UNSET
    peak_tension: Annotated[Force, Meta(description="Greatest tension of all strands, starts and jams included.")]
    working_tension: Annotated[
        Force | UnsetType, Meta(description="Greatest tension that repeats with every lap; without it no fatigue.")
    ] = UNSET
    least_tension: Annotated[
        ForceOrZero | UnsetType, Meta(description="Least tension of the same lap; taken as zero where it is left out.")
    ] = UNSET
    minimum_static_factor: Annotated[
        Factor | UnsetType, Meta(description="Factor on tensile strength that your rule asks for; there is no default.")
    ] = UNSET
    yield_fraction: Annotated[
        Fraction | UnsetType, Meta(description="Yield as a fraction of tensile strength, where you know it.")
    ] = UNSET
    fatigue_limit: Annotated[
        Force | UnsetType, Meta(description="Fatigue limit pulsating from zero, where you know it.")
    ] = UNSET
    bearing_length: Annotated[
        Length | UnsetType, Meta(description="Length of bush or barrel on the pin of one strand, for joint pressure.")
    ] = UNSET
    estimate_unpublished: Annotated[
        bool,
        Meta(
            description="Whether yield and fatigue limit that nobody published are estimated as usual for the family."
        ),
    ] = False


class GoverningStrength(msgspec.Struct, frozen=True, kw_only=True):
    """The strength that is reached first when all loads grow in the same measure."""

    mode: Literal["fatigue", "yield", "ultimate"]
    utilisation: Annotated[float, Meta(description="Used share of that strength, the wanted factor included.")]
    load_multiple: Annotated[float, Meta(description="Multiple of the loads that reaches it.")]


class StrengthCheck(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Each strength with what the tensions leave of it; what is unknown is left out."""

    minimum_tensile_strength: Quantity
    static_factor: Annotated[float, Meta(description="Tensile strength over peak tension; no measure of life.")]
    yield_load: Quantity | UnsetType = UNSET
    margin_to_yield: Annotated[float, Meta(description="Unused share of the yield load at the peak.")] | UnsetType = (
        UNSET
    )
    fatigue_limit: Quantity | UnsetType = UNSET
    pulsating_equivalent: Annotated[
        Quantity | UnsetType, Meta(description="Tension pulsating from zero that tires the chain as much.")
    ] = UNSET
    joint_pressure: Annotated[
        Quantity | UnsetType, Meta(description="Pin on bush at the working tension; no published limit is held.")
    ] = UNSET
    governing: GoverningStrength


class StrengthCheckAnswer(Answer[StrengthCheck], frozen=True, kw_only=True, omit_defaults=True):
    """Answer of `POST /v1/strength-checks`."""


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""

    @post(
        "/v1/strength-checks",
        dto=json_body(StrengthCheckRequest),
        **operation(
            "check_strength",
            tag="strength",
            summary="Tensile, yield and fatigue strength of a chain",
            description=(
                "Factor on tensile strength at the greatest tension, margin to yield, and the repeated tension as a "
                "tension pulsating from zero against the fatigue limit; and which of the three is reached first. What "
                "nobody published is left out unless an estimate is asked for."
            ),
            examples=EXAMPLES,
        ),
    )
    def check_strength(data: JSONBody[StrengthCheckRequest]) -> StrengthCheckAnswer:
        inputs = Inputs()
        fractions = context.reference.factors.strength.fractions
        outcome = strength_check(_given(data, inputs, context), fractions, keep_steps=data.working == "full")
        return StrengthCheckAnswer(
            result=_present(outcome.result, PRESENTERS[data.units]),
            **common(data, outcome.trace, inputs, context),
        )

    return [check_strength]


def _given(data: StrengthCheckRequest, inputs: Inputs, context: Context) -> StrengthCheckInput:
    chain = read_chain(data.chain, data.own_chain, inputs, context.reference)
    factor, fraction = data.minimum_static_factor, data.yield_fraction
    return StrengthCheckInput(
        chain=chain.size,
        strand_count=chain.strand_count,
        peak_tension_n=inputs.canonical(data.peak_tension, "/peak_tension"),
        working_tension_n=inputs.optional(data.working_tension, "/working_tension"),
        least_tension_n=inputs.optional(data.least_tension, "/least_tension"),
        minimum_static_factor=sent(factor),
        yield_fraction=sent(fraction),
        fatigue_limit_n=inputs.optional(data.fatigue_limit, "/fatigue_limit"),
        bearing_length_mm=inputs.optional(data.bearing_length, "/bearing_length"),
        estimate_unpublished=data.estimate_unpublished,
    )


def _present(result: StrengthCheckResult, presenter: Presenter) -> StrengthCheck:
    pressure, margin = result.joint_pressure_n_mm2, result.margin_to_yield
    return StrengthCheck(
        minimum_tensile_strength=presenter.force(result.minimum_tensile_strength_n),
        static_factor=presenter.number(result.static_factor),
        yield_load=presenter.known(result.yield_load_n, "force"),
        margin_to_yield=presenter.known_number(margin),
        fatigue_limit=presenter.known(result.fatigue_limit_n, "force"),
        pulsating_equivalent=presenter.known(result.pulsating_equivalent_n, "force"),
        joint_pressure=presenter.known(pressure, "stress"),
        governing=GoverningStrength(
            mode=result.governing.mode,
            utilisation=presenter.number(result.governing.utilisation),
            load_multiple=presenter.number(result.governing.load_multiple),
        ),
    )


EXAMPLES = {
    "mixer_drive": Example(
        "The mixer drive of the invented Lindholm plant: a repeated pull and the peak of its start",
        {
            "chain": "16B",
            "peak_tension": {"value": 9.5, "unit": "kN"},
            "working_tension": {"value": 3.2, "unit": "kN"},
            "least_tension": {"value": 0.2, "unit": "kN"},
            "minimum_static_factor": 5,
            "estimate_unpublished": True,
        },
    ),
    "own_figures": Example(
        "A chain that the tables do not hold, by the figures of its drawing, in inch units",
        {
            "own_chain": {
                "name": "drag chain",
                "pitch": {"value": 6, "unit": "in"},
                "pin_diameter": {"value": 0.75, "unit": "in"},
                "minimum_tensile_strength": {"value": 40000, "unit": "lbf"},
            },
            "peak_tension": {"value": 8000, "unit": "lbf"},
            "working_tension": {"value": 4200, "unit": "lbf"},
            "bearing_length": {"value": 3, "unit": "in"},
            "units": "inch",
        },
    ),
    "peak_below_working": Example(
        "A peak that lies below the working tension",
        {
            "chain": "80",
            "peak_tension": {"value": 2, "unit": "kN"},
            "working_tension": {"value": 3, "unit": "kN"},
        },
        status=422,
    ),
}
