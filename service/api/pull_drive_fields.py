"""A drive that is judged by its chain pull, in the caller's units."""

from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.quantities import Presenter, Quantity
from service.calculations.pull_drive import PullOption


class PullDrive(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One drive by its chain pull: engineering-class chain, or roller chain slower than its power ratings."""

    chain: str
    strand_count: int
    driver_teeth: int
    driven_teeth: int
    ratio: float
    driven_speed: Quantity
    chain_speed: Quantity
    service_factor: float
    chain_pull: Quantity
    speed_factor: (
        Annotated[float, Meta(description="Of chain speed and teeth; multiplies the pull. Engineering class only.")]
        | UnsetType
    ) = UNSET
    static_load: Annotated[Quantity, Meta(description="Pull times service factor.")]
    needed_working_load: Annotated[Quantity, Meta(description="Pull times service factor times speed factor.")]
    allowable_load: Quantity
    allowable_load_basis: Annotated[
        Literal["allowable_load", "share_of_tensile_strength"],
        Meta(description="The printed load of the size, or a share of its minimum tensile strength."),
    ]
    utilisation: Annotated[float, Meta(description="The greater of both loads over the allowable one.")]
    power_at_allowable_load: Annotated[
        Quantity, Meta(description="Power at which the greater of both loads reaches the allowable one.")
    ]
    minimum_tensile_strength: Quantity | UnsetType = UNSET
    breaking_safety: float | UnsetType = UNSET
    joint_pressure: (
        Annotated[Quantity, Meta(description="Of one strand: pull over pin diameter times bush length.")] | UnsetType
    ) = UNSET
    pitch_count: int
    centre_distance: Quantity
    wrap_small_wheel: Quantity
    wrap_large_wheel: Quantity
    chordal_speed_variation_percent: float
    small_pitch_diameter: Quantity
    large_pitch_diameter: Quantity
    chain_mass: Quantity | UnsetType = UNSET
    governed_by: Annotated[
        Literal["working_load", "static_load"], Meta(description="The load that comes nearer to the allowable one.")
    ]
    order_line: Annotated[str, Meta(description="Parts in one line for an inquiry.")]
    holes: Annotated[
        list[str], Meta(description="Figures that the tables do not hold, so that no check rests on them.")
    ]


def present_pull(option: PullOption, presenter: Presenter) -> PullDrive:
    """The drive in the caller's units."""
    number, force, of = presenter.number, presenter.force, presenter.of
    case, tensile, safety = option.case, option.tensile_strength_n, option.breaking_safety
    pressure, factor, mass = option.joint_pressure_n_mm2, option.speed_factor, option.chain_mass_kg
    return PullDrive(
        chain=option.designation,
        strand_count=case.strand_count,
        driver_teeth=case.wheels.driver,
        driven_teeth=case.wheels.driven,
        ratio=number(option.ratio),
        driven_speed=of("rotational_speed")(option.driven_speed_rpm),
        chain_speed=presenter.speed(option.chain_speed_m_s),
        service_factor=number(case.service_factor),
        chain_pull=force(option.pull_n),
        speed_factor=UNSET if factor is None else number(factor),
        static_load=force(option.static_load_n),
        needed_working_load=force(option.needed_working_load_n),
        allowable_load=force(option.allowable_load_n),
        allowable_load_basis=option.basis,
        utilisation=number(option.utilisation),
        power_at_allowable_load=presenter.power(option.power_at_allowable_kw),
        minimum_tensile_strength=UNSET if tensile is None else force(tensile),
        breaking_safety=UNSET if safety is None else number(safety),
        joint_pressure=UNSET if pressure is None else of("stress")(pressure),
        pitch_count=option.pitch_count,
        centre_distance=presenter.length(option.centre_distance_mm),
        wrap_small_wheel=of("angle")(option.wrap_small_deg),
        wrap_large_wheel=of("angle")(option.wrap_large_deg),
        chordal_speed_variation_percent=number(option.chordal_variation_percent),
        small_pitch_diameter=presenter.length(option.small_pitch_diameter_mm),
        large_pitch_diameter=presenter.length(option.large_pitch_diameter_mm),
        chain_mass=presenter.known(mass, "mass"),
        governed_by=option.governed_by,
        order_line=_order_line(option),
        holes=list(option.holes),
    )


def _order_line(option: PullOption) -> str:
    name, wheels = option.designation, option.case.wheels
    family = option.case.size.row.family.replace("_", " ")
    kind = "chain" if option.case.size.row.series == "own" else f"{family} chain"
    link = ", offset link included" if option.odd_link else ""
    return (
        f"1 {kind} {name}, {option.pitch_count} pitches{link}, joining parts of the same maker; "
        f"1 wheel {wheels.driver} teeth and 1 wheel {wheels.driven} teeth for {name}"
    )
