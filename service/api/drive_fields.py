"""What requests and answers about drives have in common: the duty going in, one drive coming out."""

from collections.abc import Callable
from functools import lru_cache
from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import PlainText
from service.api.optional_fields import sent
from service.api.quantities import Inputs, Power, Presenter, Quantity, RotationalSpeed, Temperature, Torque, clean
from service.calculations import drive_iso
from service.calculations.drive_duty import DriveDuty
from service.calculations.drive_option import DriveOption
from service.calculations.drive_scores import TERMS, Weights
from service.core.drive_factors import REFERENCE_TEETH_OLDER
from service.reference.chains import fold
from service.reference.designations import Designation

Edition = Annotated[
    Literal["older", "newer"],
    Meta(
        description=(
            "Edition of the ASME power ratings. `older` (1975 on) serves No. 25 to 240; `newer` (current "
            "reproductions) rates higher and was read for No. 25 to 80 only. One answer never mixes them."
        )
    ),
]


CompareIso = Annotated[
    bool,
    Meta(description="Adds the factors and the corrected power of ISO 10823, and a textbook rating in kilowatts."),
]


class Duty(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Load and speed of a drive."""

    power: Annotated[Power, Meta(description="Power transmitted; or send torque.")] | UnsetType = UNSET
    torque: Annotated[Torque, Meta(description="Torque on the driver shaft.")] | UnsetType = UNSET
    driver_speed: RotationalSpeed
    driven_speed: RotationalSpeed | UnsetType = UNSET
    ratio: (
        Annotated[float, Meta(gt=0, le=1000, description="Driver speed over driven speed.", examples=[2.5])] | UnsetType
    ) = UNSET
    service_factor: (
        Annotated[float, Meta(gt=0, le=100, description="Your own factor, instead of load class and prime mover.")]
        | UnsetType
    ) = UNSET
    load_class: Literal["smooth", "moderate_shock", "heavy_shock"] | UnsetType = UNSET
    prime_mover: (
        Annotated[
            Literal["engine_fluid_coupled", "electric_motor_or_turbine", "engine_mechanical"],
            Meta(description="What drives; an electric motor where nothing is sent."),
        ]
        | UnsetType
    ) = UNSET
    driver_running: (
        Annotated[
            Literal["smooth_running", "slight_shocks", "moderate_shocks"],
            Meta(description="Class of the driver in ISO 10823; of the prime mover where nothing is sent."),
        ]
        | UnsetType
    ) = UNSET
    driven_machine: (
        Annotated[PlainText, Meta(description="Instead of load_class: a machine of the printed examples.")] | UnsetType
    ) = UNSET
    hours_per_day: (
        Annotated[
            float,
            Meta(
                gt=0,
                le=1000,
                description=(
                    "Roller chain: shows the rated life in days. Pull method: raises the service factor above 10 "
                    "hours. Silent chain: the set `by_drive_and_hours` serves up to 10."
                ),
            ),
        ]
        | UnsetType
    ) = UNSET
    ambient_temperature: Temperature | UnsetType = UNSET
    material: Literal["carbon_steel", "stainless_steel"] = "carbon_steel"
    shafts: Literal["horizontal", "vertical", "not_parallel"] = "horizontal"


def read_duty(duty: Duty, inputs: Inputs, name: str) -> DriveDuty:
    """The duty that stands under a name in the request, in canonical units."""
    pointer = f"/{name}"
    return DriveDuty(
        at=name,
        power_kw=inputs.optional(duty.power, f"{pointer}/power"),
        torque_n_m=inputs.optional(duty.torque, f"{pointer}/torque"),
        driver_speed_rpm=inputs.canonical(duty.driver_speed, f"{pointer}/driver_speed"),
        driven_speed_rpm=inputs.optional(duty.driven_speed, f"{pointer}/driven_speed"),
        ratio=sent(duty.ratio),
        service_factor=sent(duty.service_factor),
        load_class=sent(duty.load_class),
        prime_mover=sent(duty.prime_mover),
        driver_running=sent(duty.driver_running),
        driven_machine=sent(duty.driven_machine),
        hours_per_day=sent(duty.hours_per_day),
        ambient_temperature_c=inputs.optional(duty.ambient_temperature, f"{pointer}/ambient_temperature"),
        material=duty.material,
        shafts=duty.shafts,
    )


Converter = Callable[[float], Quantity]


class FailureRating(msgspec.Struct, frozen=True, kw_only=True):
    """Power that all strands carry before one kind of failure sets in, at the rated life."""

    failure: Literal["link_plate_fatigue", "roller_bushing_impact"]
    rated_power: Quantity
    utilisation: Annotated[float, Meta(description="Design power over rated power.")]


class ScoreTerm(msgspec.Struct, frozen=True, kw_only=True):
    """One term of the score (weights: `GET /v1/tables/drive_ranking`)."""

    term: str
    value: float


def present_terms(terms: Weights, presenter: Presenter) -> list[ScoreTerm]:
    """The terms of a score by name; half of them are zero, which needs no rounding."""
    number = presenter.number
    return [
        ScoreTerm(term=term, value=number(value) if value else 0.0) for term, value in zip(TERMS, terms, strict=True)
    ]


_rounded = lru_cache(maxsize=1024)(clean)
"""Shares of wheels and strands, of which there are so many only, rid of binary noise."""


@lru_cache(maxsize=4096)
def _listed(convert: Converter, value: float) -> Quantity:
    """A figure of a chain or a wheel, of which there are so many only, in the caller's units."""
    return convert(value)


class WhatIf(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Utilisation after a small change; absent where the tables have no such step."""

    one_tooth_more: float | UnsetType = UNSET
    one_strand_more: float | UnsetType = UNSET
    ten_per_cent_more_load: float


class TextbookRating(msgspec.Struct, frozen=True, kw_only=True):
    """One strand on 17 teeth by a textbook's table in kilowatts, straight between two printed speeds."""

    chain: str
    teeth: int
    rated_power: Quantity
    required_power: Annotated[
        Quantity, Meta(description="Power times service factor over tooth factor (teeth/17)^1.08 and strand factor.")
    ]
    utilisation: float


class IsoComparison(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """The method of ISO 10823 as far as it is in numbers: its charts are graphs and were not read."""

    application_factor: Annotated[float, Meta(description="f1 of driver and driven machine.")]
    tooth_factor: Annotated[float, Meta(description="f2 of the small wheel, (19/teeth)^1.08.")]
    corrected_power: Annotated[Quantity, Meta(description="With which the chart of the standard is entered.")]
    textbook_rating: TextbookRating | UnsetType = UNSET
    textbook_hole: (
        Annotated[
            Literal["chain_not_in_table", "speed_outside_table"], Meta(description="Why there is no textbook rating.")
        ]
        | UnsetType
    ) = UNSET


class Drive(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One drive with every figure that a quotation needs."""

    chain: Annotated[str, Meta(description="Size and strands.", examples=["80-2"])]
    also_listed_as: Annotated[list[str], Meta(description="Same size in another standard.")]
    strand_count: int
    driver_teeth: int
    driven_teeth: int
    ratio: Annotated[float, Meta(description="True ratio of the teeth.")]
    ratio_error_percent: float | UnsetType = UNSET
    driven_speed: Quantity
    chain_speed: Quantity
    service_factor: float
    strand_factor: Annotated[float, Meta(description="Rating of all strands over that of one; less than their number.")]
    design_power: Annotated[Quantity, Meta(description="Power transmitted times service factor.")]
    ratings: list[FailureRating]
    range_end_speed: Annotated[
        Quantity, Meta(description="Speed of the small wheel at which the printed ratings end (pin-bushing galling).")
    ]
    governed_by: Literal["link_plate_fatigue", "roller_bushing_impact", "range_end"]
    utilisation: float
    margin: Annotated[Quantity, Meta(description="Rated less design power; negative where the drive is too weak.")]
    lubrication: Annotated[
        Literal["manual_or_drip", "bath_or_disc", "forced_stream", "not_read"],
        Meta(description="Least lubrication for the chain speed; `not_read` is a hole of the edition."),
    ]
    pitch_count: int
    offset_link: bool
    centre_distance: Annotated[Quantity, Meta(description="Exact, for the whole pitch count and a straight chain.")]
    elongation_limit_percent: Annotated[float, Meta(description="Of the largest wheel, on adjustable centres.")]
    centre_distance_growth: Annotated[
        Quantity,
        Meta(description="Travel of one shaft that takes up that elongation; the least adjustment to provide."),
    ]
    wrap_small_wheel: Quantity
    wrap_large_wheel: Quantity
    teeth_engaged: Annotated[float, Meta(description="Teeth of the small wheel in the chain.")]
    chordal_speed_variation_percent: float
    effective_pull: Quantity
    centrifugal_tension: Quantity | UnsetType = UNSET
    slack_strand_sag_percent: Annotated[
        float, Meta(description="Advised depth of sag of a level slack strand, in per cent of its span.")
    ]
    slack_tension: Annotated[Quantity, Meta(description="At that sag.")] | UnsetType = UNSET
    shaft_load: (
        Annotated[Quantity, Meta(description="From both strand tensions at that sag, without the weight of the wheel.")]
        | UnsetType
    ) = UNSET
    minimum_tensile_strength: (
        Annotated[Quantity, Meta(description="Of all strands; not a working load.")] | UnsetType
    ) = UNSET
    breaking_safety: Annotated[float, Meta(description="Tensile strength over tension with factor.")] | UnsetType = (
        UNSET
    )
    chain_mass: Quantity | UnsetType = UNSET
    small_wheel_outside_diameter: Quantity
    large_wheel_outside_diameter: Quantity
    what_if: WhatIf
    iso_10823: IsoComparison | UnsetType = UNSET
    order_line: Annotated[str, Meta(description="Parts in one line for an inquiry.")]


def _optional(convert: Converter, value: float | None) -> Quantity | UnsetType:
    return UNSET if value is None else convert(value)


def present_drive(
    option: DriveOption,
    service_factor: float,
    also_listed_as: tuple[str, ...],
    presenter: Presenter,
    iso: drive_iso.IsoComparison | None,
) -> Drive:
    """A drive in the caller's units."""
    number, of = presenter.number, presenter.of
    length, force, power, angle = of("length"), of("force"), of("power"), of("angle")
    rotational_speed = of("rotational_speed")
    design = option.design_power_kw
    wheels, forces = option.wheels, option.forces
    safety, error = forces.safety, option.ratio_error_percent
    return Drive(
        chain=option.designation,
        also_listed_as=[f"{name}-{option.strand_count}" for name in also_listed_as],
        strand_count=option.strand_count,
        driver_teeth=wheels.driver,
        driven_teeth=wheels.driven,
        ratio=number(option.ratio),
        ratio_error_percent=UNSET if error is None else number(error),
        driven_speed=rotational_speed(option.driven_speed_rpm),
        chain_speed=presenter.speed(option.chain_speed_m_s),
        service_factor=service_factor,
        strand_factor=option.strand_factor,
        design_power=power(design),
        ratings=[
            FailureRating(
                failure="link_plate_fatigue",
                rated_power=power(option.link_plate_kw),
                utilisation=number(design / option.link_plate_kw),
            ),
            FailureRating(
                failure="roller_bushing_impact",
                rated_power=power(option.impact_kw),
                utilisation=number(design / option.impact_kw),
            ),
        ],
        range_end_speed=rotational_speed(option.range_end_rpm),
        governed_by=option.governed_by,
        utilisation=number(option.utilisation),
        margin=power(option.rated_power_kw - design),
        lubrication=option.lubrication or "not_read",
        pitch_count=option.pitch_count,
        offset_link=option.offset_link,
        centre_distance=length(option.centre_distance_mm),
        elongation_limit_percent=_rounded(option.elongation_limit_percent),
        centre_distance_growth=length(option.centre_distance_growth_mm),
        wrap_small_wheel=angle(option.wrap_small_deg),
        wrap_large_wheel=angle(option.wrap_large_deg),
        teeth_engaged=number(option.teeth_engaged),
        chordal_speed_variation_percent=_rounded(option.chordal_variation_percent),
        effective_pull=force(forces.pull_n),
        centrifugal_tension=_optional(force, forces.centrifugal_n),
        slack_strand_sag_percent=_rounded(forces.sag_percent),
        slack_tension=_optional(force, forces.slack_n),
        shaft_load=_optional(force, forces.shaft_load_n),
        minimum_tensile_strength=UNSET if forces.tensile_n is None else _listed(force, forces.tensile_n),
        breaking_safety=UNSET if safety is None else number(safety),
        chain_mass=_optional(of("mass"), option.chain_mass_kg),
        small_wheel_outside_diameter=_listed(length, option.small_outside_diameter_mm),
        large_wheel_outside_diameter=_listed(length, option.large_outside_diameter_mm),
        what_if=_what_if(option, presenter),
        iso_10823=UNSET if iso is None else _iso(iso, presenter),
        order_line=_order_line(option),
    )


def _iso(iso: drive_iso.IsoComparison, presenter: Presenter) -> IsoComparison:
    number, textbook = presenter.number, iso.textbook
    answer = IsoComparison(
        application_factor=iso.application_factor,
        tooth_factor=number(iso.tooth_factor),
        corrected_power=presenter.power(iso.corrected_power_kw),
    )
    if isinstance(textbook, str):
        return msgspec.structs.replace(answer, textbook_hole=textbook)
    rating = TextbookRating(
        chain=textbook.designation,
        teeth=REFERENCE_TEETH_OLDER,
        rated_power=presenter.power(textbook.rated_kw),
        required_power=presenter.power(textbook.required_kw),
        utilisation=number(textbook.utilisation),
    )
    return msgspec.structs.replace(answer, textbook_rating=rating)


def _what_if(option: DriveOption, presenter: Presenter) -> WhatIf:
    tooth, strand = option.utilisation_one_tooth_more, option.utilisation_one_strand_more
    return WhatIf(
        one_tooth_more=presenter.known_number(tooth),
        one_strand_more=presenter.known_number(strand),
        ten_per_cent_more_load=presenter.number(1.1 * option.utilisation),
    )


def _order_line(option: DriveOption) -> str:
    wheels = option.wheels
    link = "connecting link and offset link" if option.offset_link else "connecting link"
    return (
        f"1 roller chain {option.designation}, {option.pitch_count} pitches, {link} included; "
        f"1 wheel {wheels.driver} teeth and 1 wheel {wheels.driven} teeth for {option.designation}"
    )


def states_strands(name: str, read: Designation) -> bool:
    """Whether a designation says in how many strands the chain stands: ``80-1`` and ``80-2`` do, ``80`` does not."""
    return read.strand_count > 1 or fold(name) == fold(f"{read.size.designation}-1")
