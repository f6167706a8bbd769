"""How a drive runs: forces in its strands and on its shafts, how often a link meets a tooth, and what may sing."""

from __future__ import annotations

from math import sin
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from service.calculations.drive_option import DriveOption
    from service.calculations.drive_relations import DriveRelations
    from service.calculations.drive_tables import RatedChain

LONG_CENTRES_MM = 1000.0
"""From here on the advice on slack is that of long centres (table ``recommended_sags``, centres over one metre)."""


class Forces(NamedTuple):
    """Tensions and loads over the free span of a strand; None where mass or strength of the chain is not tabled."""

    pull_n: float
    span_m: float
    sag_percent: float
    mass_kg_m: float | None
    slack_n: float | None
    centrifugal_n: float | None
    shaft_load_n: float | None
    tensile_n: float | None
    safety: float | None


class Running(NamedTuple):
    """Meetings of links and teeth, bending of the joints, and frequencies."""

    small_common_factor: int
    small_turns_before_repeat: int
    large_common_factor: int
    large_turns_before_repeat: int
    mesh_frequency_hz: float
    span_frequency_hz: float | None
    flexings_per_hour: float


class Strands(NamedTuple):
    """What the forces in a drive depend on."""

    number: int
    speed_m_s: float
    centre_mm: float
    wrap_rad: float


def forces_of(chain: RatedChain, strands: Strands, r: DriveRelations) -> Forces:
    """Pull, tensions at the advised sag, load on the shafts and safety on the breaking strength."""
    pull = r.pull(power_kw=r.load.power_kw, chain_speed_m_s=strands.speed_m_s)
    sag = r.tables.sag_long if strands.centre_mm > LONG_CENTRES_MM else r.tables.sag
    mass = None if chain.mass_kg_m is None else chain.mass_kg_m * strands.number
    tensile = chain.tensile_n[strands.number - 1]
    span_m = strands.centre_mm * sin(strands.wrap_rad / 2.0) / 1000.0
    slack = centrifugal = shaft = None
    tight = pull
    if mass is not None:
        r.trace.note(sag.used)
        centrifugal = r.centrifugal(mass_per_length_kg_m=mass, chain_speed_m_s=strands.speed_m_s)
        slack = r.sag(mass_per_length_kg_m=mass, span_m=span_m, sag_m=sag.share * span_m)
        shaft = r.shaft_load(tight_tension_n=pull + slack, slack_tension_n=slack, wrap_rad=strands.wrap_rad)
        tight = pull + slack + centrifugal
    safety = None
    if tensile is not None:
        safety = r.breaking(breaking_load_n=tensile, tension_n=tight, service_factor=r.load.service_factor)
    return Forces(pull, span_m, 100.0 * sag.share, mass, slack, centrifugal, shaft, tensile, safety)


def running_of(option: DriveOption, r: DriveRelations) -> Running:
    """How often the same link meets the same tooth, and the frequencies of meshing and of the tight strand."""
    wheels, pitch_count, forces = option.wheels, option.pitch_count, option.forces
    small = r.repeat(teeth=wheels.small, pitch_count=pitch_count)
    large = r.repeat(teeth=wheels.large, pitch_count=pitch_count)
    speed = option.chain_speed_m_s
    laps = r.laps(chain_speed_m_s=speed, pitch_count=pitch_count, pitch_mm=option.chain.pitch_mm)
    frequency = None
    if forces.mass_kg_m is not None and forces.slack_n is not None and forces.centrifugal_n is not None:
        frequency = r.span_frequency(
            order=1,
            span_m=forces.span_m,
            strand_tension_n=forces.pull_n + forces.slack_n + forces.centrifugal_n,
            mass_kg_m=forces.mass_kg_m,
            chain_speed_m_s=speed,
        )
    return Running(
        small_common_factor=small.common_factor,
        small_turns_before_repeat=small.wheel_turns,
        large_common_factor=large.common_factor,
        large_turns_before_repeat=large.wheel_turns,
        mesh_frequency_hz=r.mesh(teeth=wheels.driver, speed_rpm=r.load.driver_speed_rpm),
        span_frequency_hz=frequency,
        flexings_per_hour=r.flexings(laps_per_hour=laps, wheel_count=2),
    )
