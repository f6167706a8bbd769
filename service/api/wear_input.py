"""What wear requests have in common: the case that decides on the limit, the instrument, what was seen."""

from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import CalculationRequest
from service.api.chain_input import OwnChain, Teeth, read_chain
from service.api.optional_fields import sent, whole
from service.api.quantities import Inputs, Length
from service.calculations.measurement import Instrument
from service.calculations.wear_limit import CentreType, LimitCase, round_link_refused
from service.calculations.wear_verdict import Observed, OwnThresholds
from service.core.errors import MoreNeeded
from service.reference.catalogue import Reference
from service.reference.chains import ChainSize
from service.reference.wear import AccuracyClass, Finding, SprocketState

ChainFamily = Literal[
    "roller",
    "double_pitch_roller",
    "silent",
    "leaf",
    "hoist_roller",
    "conveyor",
    "engineering_steel",
    "welded_steel_drag",
    "other",
]
"""Families that a caller's own chain may have."""

Status = Literal[
    "ok",
    "watch",
    "plan",
    "replace",
    "stop",
    "within_entered_limits",
    "approaching_limit",
    "remove_from_service",
    "not_assessable",
]

PitchCount = Annotated[float, Meta(ge=1, le=100_000, multiple_of=1, description="Pitches, counted pin to pin.")]
PinCount = Annotated[
    float, Meta(ge=2, le=100_001, multiple_of=1, description="Pins counted, the first and the last included.")
]
Percent = Annotated[float, Meta(gt=0, le=100, description="Per cent, not a fraction.")]
Fraction = Annotated[float, Meta(gt=0, le=10, description="Share of the limit.")]


class MeasuringInstrument(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Tape, rule or calliper; what is left out is assumed and said in the answer."""

    accuracy_class: Annotated[AccuracyClass, Meta(description="Class marked on the tape.")] | UnsetType = UNSET
    from_hook: Annotated[bool, Meta(description="Whether the length begins at the hook or end of the tape.")] = False
    error: Annotated[Length, Meta(description="Permissible error of a calliper or other measure.")] | UnsetType = UNSET
    division: Annotated[Length, Meta(description="Smallest division read.")] | UnsetType = UNSET


class StatusThresholds(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The caller's own shares of the limit at which a status begins; the limit itself is always `replace`."""

    watch_fraction: Fraction | UnsetType = UNSET
    plan_fraction: Fraction | UnsetType = UNSET
    stop_fraction: Fraction | UnsetType = UNSET
    hysteresis_fraction: Annotated[float, Meta(ge=0, le=0.5, description="How far a share falls before it counts.")] | (
        UnsetType
    ) = UNSET


class WearRequest(CalculationRequest, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What every wear request says: what decides on the limit, what was seen, and the caller's policy."""

    family: Annotated[ChainFamily, Meta(description="Family of `own_chain`; roller if left out.")] | UnsetType = UNSET
    large_wheel_teeth: Annotated[Teeth, Meta(description="Teeth of the largest wheel of the loop.")] | UnsetType = UNSET
    small_wheel_teeth: Annotated[Teeth, Meta(description="Teeth of the smallest wheel.")] | UnsetType = UNSET
    centre_type: Annotated[CentreType, Meta(description="Whether slack can be taken up.")] | UnsetType = UNSET
    parallel_chains: Annotated[bool, Meta(description="Whether two or more chains run side by side as one.")] = False
    smooth_running: Annotated[bool, Meta(description="Whether smooth running matters, as in timing or printing.")] = (
        False
    )
    limit_percent: Annotated[Percent, Meta(description="The caller's own limit of elongation.")] | UnsetType = UNSET
    findings: (
        Annotated[list[Finding], Meta(max_length=25, description="What was found beside the length.")] | UnsetType
    ) = UNSET
    sprocket_state: Annotated[SprocketState, Meta(description="What the teeth look like.")] | UnsetType = UNSET
    previous_status: Annotated[Status, Meta(description="Status told last, for the hysteresis.")] | UnsetType = UNSET
    thresholds: StatusThresholds = StatusThresholds()


def read_worn_chain(
    chain: str | UnsetType, own_chain: OwnChain | UnsetType, inputs: Inputs, reference: Reference
) -> ChainSize:
    """The chain to judge by its pitches.

    Raises:
        EngineeringError: as ``read_chain``; ``family_wrong_route`` for round-link chain, whatever its use.
    """
    try:
        return read_chain(chain, own_chain, inputs, reference).size
    except MoreNeeded as error:
        if any(issue.code == "application_needed" for issue in error.issues):
            raise round_link_refused(str(chain)) from None
        raise


def read_case(case: WearRequest) -> LimitCase:
    """What decides on the limit."""
    return LimitCase(
        large_wheel_teeth=whole(case.large_wheel_teeth),
        small_wheel_teeth=whole(case.small_wheel_teeth),
        centre_type=sent(case.centre_type),
        parallel_chains=case.parallel_chains,
        smooth_running=case.smooth_running,
        limit_percent=sent(case.limit_percent),
    )


def read_observed(case: WearRequest) -> Observed:
    """What was seen."""
    return Observed(
        findings=() if isinstance(case.findings, UnsetType) else tuple(dict.fromkeys(case.findings)),
        sprocket_state=sent(case.sprocket_state),
        parallel_chains=case.parallel_chains,
        previous_status=sent(case.previous_status),
    )


def read_thresholds(case: WearRequest) -> OwnThresholds:
    """The caller's own thresholds."""
    own = case.thresholds
    return OwnThresholds(
        watch=sent(own.watch_fraction),
        plan=sent(own.plan_fraction),
        stop=sent(own.stop_fraction),
        hysteresis=sent(own.hysteresis_fraction),
    )


def read_instrument(
    instrument: MeasuringInstrument, inputs: Inputs, length: Length | UnsetType, pointer: str = "/instrument"
) -> Instrument:
    """The instrument; a length sent in inches or feet was read in inches."""
    return Instrument(
        accuracy_class=sent(instrument.accuracy_class),
        from_hook=instrument.from_hook,
        error_mm=inputs.optional(instrument.error, f"{pointer}/error"),
        division_mm=inputs.optional(instrument.division, f"{pointer}/division"),
        reads_inches=not isinstance(length, UnsetType) and length.unit in {"in", "ft"},
    )
