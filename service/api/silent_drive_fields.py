"""What requests and answers about silent-chain drives have in common."""

from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import PlainText
from service.api.drawings import measure
from service.api.drive_fields import ScoreTerm, present_terms
from service.api.optional_fields import sent
from service.api.quantities import Presenter, Quantity
from service.calculations import silent_service
from service.calculations.silent_drive import SilentOption
from service.calculations.silent_search import SilentMiss, SilentReason
from service.calculations.silent_sizing import RankedSilent, SilentSizingResult
from service.core.conversions import KW_PER_HP, M_S_PER_FT_MIN, MM_PER_INCH


class SilentLoad(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The load of a silent-chain drive, which has sets of service factors of its own."""

    driven_machine: Annotated[PlainText, Meta(description="As in `GET /v1/tables/silent_service_factors`.")]
    service_set: Annotated[
        Literal["by_prime_mover_class", "by_drive_and_hours"],
        Meta(
            description=(
                "The two sets differ and are never mixed. `by_drive_and_hours` is recalled, and only its column of "
                "motors at 10 hours a day."
            )
        ),
    ] = "by_prime_mover_class"
    prime_mover_class: (
        Annotated[Literal["I", "II", "III"], Meta(description="As in `GET /v1/tables/silent_prime_mover_classes`.")]
        | UnsetType
    ) = UNSET
    peak_load_percent: (
        Annotated[float, Meta(ge=100, le=10_000, description="Momentary peak in per cent of the rated load.")]
        | UnsetType
    ) = UNSET


def read_silent_load(load: SilentLoad | UnsetType) -> silent_service.SilentLoad | None:
    """The load as the calculation takes it."""
    if isinstance(load, UnsetType):
        return None
    return silent_service.SilentLoad(
        driven_machine=load.driven_machine,
        service_set=load.service_set,
        prime_mover_class=sent(load.prime_mover_class),
        peak_load_percent=sent(load.peak_load_percent),
    )


class SilentDrive(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One silent-chain drive; the tables hold neither mass nor strength of it, so that the pull stands alone."""

    chain: Annotated[str, Meta(description="Number of pitch and width.", examples=["SC608"])]
    pitch: Quantity
    nominal_width: Quantity
    guide: Annotated[str, Meta(description="Guide of this size in the table of widths.")]
    guide_by_rule: Annotated[
        Literal["centre", "side_or_centre"], Meta(description="Guide that the standard asks of this width.")
    ]
    driver_teeth: int
    driven_teeth: int
    ratio: float
    ratio_error_percent: float | UnsetType = UNSET
    driven_speed: Quantity
    chain_speed: Quantity
    service_factor: float
    design_power: Quantity
    rated_power_per_width: Annotated[Quantity, Meta(description="kW/mm, or hp/in in inch units.")]
    rated_power: Annotated[
        Quantity, Meta(description="Of the whole width, less for an offset section; there is no strand factor.")
    ]
    required_width: Annotated[Quantity, Meta(description="For the design power, and for an offset section if any.")]
    utilisation: float
    margin: Quantity
    pitch_count: int
    offset_section: bool
    centre_distance: Quantity
    wrap_small_wheel: Quantity
    wrap_large_wheel: Quantity
    teeth_engaged: float
    chordal_speed_variation_percent: Annotated[
        float, Meta(description="Of fixed joint centres: an upper bound for silent chain.")
    ]
    effective_pull: Quantity
    small_diameter_over_chain: Annotated[Quantity, Meta(description="For the clearance of a casing, new chain.")]
    large_diameter_over_chain: Quantity
    small_pitch_diameter: Quantity
    large_pitch_diameter: Quantity
    order_line: str


def present_silent(option: SilentOption, service_factor: float, presenter: Presenter) -> SilentDrive:
    """A drive in the caller's units."""
    number, of = presenter.number, presenter.of
    length, power, angle = of("length"), of("power"), of("angle")
    width, wheels, error = option.width, option.wheels, option.ratio_error_percent
    return SilentDrive(
        chain=option.designation,
        pitch=length(width.pitch_mm),
        nominal_width=length(width.width_in * MM_PER_INCH),
        guide=width.size.row.series,
        guide_by_rule=option.guide_rule,
        driver_teeth=wheels.driver,
        driven_teeth=wheels.driven,
        ratio=number(option.ratio),
        ratio_error_percent=UNSET if error is None else number(error),
        driven_speed=of("rotational_speed")(option.driven_speed_rpm),
        chain_speed=presenter.speed(option.chain_speed_m_s),
        service_factor=service_factor,
        design_power=power(option.design_power_kw),
        rated_power_per_width=_per_width(option, presenter),
        rated_power=power(option.rated_power_kw),
        required_width=length(option.required_width_mm),
        utilisation=number(option.utilisation),
        margin=power(option.rated_power_kw - option.design_power_kw),
        pitch_count=option.pitch_count,
        offset_section=option.offset_section,
        centre_distance=length(option.centre_distance_mm),
        wrap_small_wheel=angle(option.wrap_small_deg),
        wrap_large_wheel=angle(option.wrap_large_deg),
        teeth_engaged=number(option.teeth_engaged),
        chordal_speed_variation_percent=number(option.chordal_variation_percent),
        effective_pull=presenter.force(option.effective_pull_n),
        small_diameter_over_chain=length(option.small_diameter_over_chain_mm),
        large_diameter_over_chain=length(option.large_diameter_over_chain_mm),
        small_pitch_diameter=length(option.small_pitch_diameter_mm),
        large_pitch_diameter=length(option.large_pitch_diameter_mm),
        order_line=_order_line(option),
    )


def _per_width(option: SilentOption, presenter: Presenter) -> Quantity:
    one_kw = presenter.power(1.0)
    if one_kw.unit == "kW":
        return Quantity(presenter.number(option.rated_hp_per_in * KW_PER_HP / MM_PER_INCH), "kW/mm")
    return Quantity(presenter.number(option.rated_hp_per_in), "hp/in")


def _order_line(option: SilentOption) -> str:
    wheels = option.wheels
    section = "offset section of the same maker" if option.offset_section else "connecting pin of the same maker"
    row = option.width.size.row
    guide = row.series.replace("_", " ")
    return (
        f"1 silent chain {option.designation} ({row.standard}), {guide}, {option.pitch_count} pitches, {section}; "
        f"1 wheel {wheels.driver} teeth and 1 wheel {wheels.driven} teeth for {option.designation}, {guide}"
    )


class RankedSilentDrive(msgspec.Struct, frozen=True, kw_only=True):
    """A silent-chain drive in the ranking of its own list; a lower score ranks better."""

    rank: int
    score: float
    score_terms: list[ScoreTerm]
    drive: SilentDrive


class SilentNearMiss(msgspec.Struct, frozen=True, kw_only=True):
    """A pitch of which no chain serves, and why."""

    pitch: Quantity
    reason: SilentReason
    explanation: str


class SilentSizing(msgspec.Struct, frozen=True, kw_only=True):
    """Silent-chain drives in order of their score, rated by one named generation of the tables."""

    ratings_generation: str
    service_factor: float
    feasible_count: int
    drives: list[RankedSilentDrive]
    misses: list[SilentNearMiss]


def present_silent_sizing(result: SilentSizingResult, presenter: Presenter) -> SilentSizing:
    """The list in the caller's units."""
    return SilentSizing(
        ratings_generation=result.generation,
        service_factor=result.service_factor,
        feasible_count=result.feasible_count,
        drives=[
            _ranked(place, ranked, result.service_factor, presenter)
            for place, ranked in enumerate(result.drives, start=1)
        ],
        misses=[_miss(miss, presenter) for miss in result.misses],
    )


def _ranked(place: int, ranked: RankedSilent, service_factor: float, presenter: Presenter) -> RankedSilentDrive:
    return RankedSilentDrive(
        rank=place,
        score=presenter.number(ranked.score),
        score_terms=present_terms(ranked.terms, presenter),
        drive=present_silent(ranked.option, service_factor, presenter),
    )


_EXPLANATIONS = {
    "not_rated": "the ratings of this pitch were not read",
    "speed_outside_table": "the small wheel turns at {actual:.0f} r/min, the ratings run to {limit:.0f} r/min there",
    "ratio_not_met": "no pair of wheels with rated teeth meets the ratio within {limit:g} %",
    "power_beyond_table": "a width of {actual} is needed, the widest standard one is {limit}",
    "wheel_too_large": "a wheel with its chain would measure {actual}, {limit} are allowed",
    "centres_too_short": "the chains on the wheels need {actual} between centres, {limit} are given",
    "no_even_solution": "the range of centres holds no whole even pitch count: {actual:.0f} is too long already",
    "lubrication_not_at_hand": "the chain runs at {actual}, hand or drip oiling ends at {limit}",
}
_MM = {"power_beyond_table": MM_PER_INCH, "wheel_too_large": 1.0, "centres_too_short": 1.0}
"""Reasons that compare lengths, and what makes millimetres of them."""


def _miss(miss: SilentMiss, presenter: Presenter) -> SilentNearMiss:
    actual: float | str = miss.actual
    limit: float | str = miss.limit
    if miss.reason in _MM:
        scale = _MM[miss.reason]
        actual, limit = (measure(presenter.length(scale * value)) for value in (miss.actual, miss.limit))
    elif miss.reason == "lubrication_not_at_hand":
        actual, limit = (measure(presenter.speed(M_S_PER_FT_MIN * value)) for value in (miss.actual, miss.limit))
    return SilentNearMiss(
        pitch=presenter.length(miss.pitch_in * MM_PER_INCH),
        reason=miss.reason,
        explanation=_EXPLANATIONS[miss.reason].format(actual=actual, limit=limit),
    )
