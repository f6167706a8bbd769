"""How a drive runs: forces in its strands and on its shafts, how often a link meets a tooth, and what may sing."""

from __future__ import annotations

from math import sin
from typing import TYPE_CHECKING, NamedTuple

from service.core.articulation import (
    flexings_per_hour,
    joint_loss,
    laps_per_hour,
    repeat,
    slide_per_flexing,
    span_frequency,
    wear_index,
)
from service.core.chain_pull_drive import joint_pressure
from service.core.speeds import mesh_frequency_hz
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.drive_relations import DriveRelations, Wheels
    from service.calculations.drive_tables import RatedChain
    from service.calculations.trace import Trace
    from service.reference.chains import ChainSize

LONG_CENTRES_MM = 1000.0
"""From here on the advice on slack is that of long centres (table ``recommended_sags``, centres over one metre)."""


class Forces(Record, frozen=True):
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


class Joint(Record, frozen=True):
    """Pressure in a joint of the tight strand, its sliding in a lap, its wear index and what it leaves of the power."""

    pressure_n_mm2: float
    slide_per_lap_mm: float
    wear_index: float
    efficiency: float | None


class Running(Record, frozen=True):
    """Meetings of links and teeth, bending of the joints, and frequencies."""

    small_common_factor: int
    small_turns_before_repeat: int
    large_common_factor: int
    large_turns_before_repeat: int
    mesh_frequency_hz: float
    span_frequency_hz: float | None
    flexings_per_hour: float
    joint: Joint | None


class Strands(Record, frozen=True):
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


class Turning(Record, frozen=True):
    """Wheels, chain and speed, from which the running of a drive follows."""

    wheels: Wheels
    pitch_mm: float
    pitch_count: int
    chain_speed_m_s: float
    driver_speed_rpm: float


class TautStrand(Record, frozen=True):
    """Free span, whole tension and mass per length of the tight strand."""

    span_m: float
    tension_n: float
    mass_kg_m: float


class JointMeasures(NamedTuple):
    """Pin diameter and length of the bush on it, of one strand."""

    pin_mm: float
    bush_mm: float


class JointLoad(Record, frozen=True):
    """A joint with the tensions of one strand that it turns under, and its friction where the caller states one."""

    measures: JointMeasures
    tight_n: float
    slack_n: float
    friction: float | None


def joint_measures(size: ChainSize, trace: Trace) -> tuple[JointMeasures | None, tuple[str, ...]]:
    """Measures of the joint, and the figures that the tables do not hold.

    The bush of roller chain reaches through both inner plates: inner width and two plate thicknesses.
    """
    whole = size.find("bearing_length") is not None
    parts = ("bearing_length",) if whole else ("inner_width", "plate_thickness")
    missing = tuple(name for name in ("pin_diameter", *parts) if size.find(name) is None)
    if missing:
        of_pin = tuple(name for name in missing if name == "pin_diameter")
        return None, of_pin if of_pin == missing else (*of_pin, "bearing_length")
    lengths_mm = [trace.figure(size, name) for name in parts]
    bush_mm = lengths_mm[0] if whole else lengths_mm[0] + 2.0 * lengths_mm[1]
    return JointMeasures(trace.figure(size, "pin_diameter"), bush_mm), ()


def running_of(
    turning: Turning, trace: Trace, *, strand: TautStrand | None = None, joint: JointLoad | None = None
) -> Running:
    """How often the same link meets the same tooth, the frequencies of meshing and of the tight strand, and the joints.

    Raises:
        OutOfRange: a wheel has fewer than three teeth.
    """
    take, wheels = trace.take, turning.wheels
    small = take(repeat, teeth=wheels.small, pitch_count=turning.pitch_count)
    large = take(repeat, teeth=wheels.large, pitch_count=turning.pitch_count)
    laps = take(
        laps_per_hour,
        chain_speed_m_s=turning.chain_speed_m_s,
        pitch_count=turning.pitch_count,
        pitch_mm=turning.pitch_mm,
    )
    frequency = None
    if strand is not None:
        frequency = take(
            span_frequency,
            order=1,
            span_m=strand.span_m,
            strand_tension_n=strand.tension_n,
            mass_kg_m=strand.mass_kg_m,
            chain_speed_m_s=turning.chain_speed_m_s,
        )
    return Running(
        small_common_factor=small.common_factor,
        small_turns_before_repeat=small.wheel_turns,
        large_common_factor=large.common_factor,
        large_turns_before_repeat=large.wheel_turns,
        mesh_frequency_hz=take(mesh_frequency_hz, teeth=wheels.driver, speed_rpm=turning.driver_speed_rpm),
        span_frequency_hz=frequency,
        flexings_per_hour=take(flexings_per_hour, laps_per_hour=laps, wheel_count=2),
        joint=None if joint is None else _joint(joint, turning, laps, trace),
    )


def _joint(joint: JointLoad, turning: Turning, laps: float, trace: Trace) -> Joint:
    take, wheels = trace.take, turning.wheels
    pin_mm, bush_mm = joint.measures
    tight = take(joint_pressure, tension_n=joint.tight_n, pin_diameter_mm=pin_mm, bush_length_mm=bush_mm)
    slides_mm = [take(slide_per_flexing, pin_diameter_mm=pin_mm, teeth=teeth) for teeth in (wheels.small, wheels.large)]
    index = take(
        wear_index,
        tight_pressure_n_mm2=tight,
        slack_pressure_n_mm2=tight * joint.slack_n / joint.tight_n,
        slide_small_mm=slides_mm[0],
        slide_large_mm=slides_mm[1],
        laps_per_hour=laps,
    )
    lost = None
    if joint.friction is not None:
        lost = take(
            joint_loss,
            joint_friction=joint.friction,
            pin_diameter_mm=pin_mm,
            pitch_mm=turning.pitch_mm,
            teeth_driver=wheels.driver,
            teeth_driven=wheels.driven,
            tight_tension_n=joint.tight_n,
            slack_tension_n=joint.slack_n,
        )
    return Joint(tight, 2.0 * sum(slides_mm), index, None if lost is None else 1.0 - lost)
