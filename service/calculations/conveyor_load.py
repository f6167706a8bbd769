"""Load per length and throughput of a conveyor from what is known of them, and side-wall resistance."""

from __future__ import annotations

from math import radians
from typing import TYPE_CHECKING

from service.calculations.refusals import at_field
from service.core.conversions import FREE_FALL_M_S2
from service.core.conveyor_capacity import (
    bucket_load,
    load_from_pieces,
    load_from_section,
    load_from_throughput,
)
from service.core.conveyor_friction import lateral_pressure_ratio, wall_load_by_constant, wall_resistance
from service.core.errors import EngineeringError, Inconsistent, Issue, MoreNeeded, OutOfRange
from service.core.number_text import significant
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.conveyor_factors import FactorBook
    from service.calculations.conveyor_input import Load, Walls
    from service.calculations.trace import Trace

THROUGHPUT_SUSPECT_KG_M = 1000.0
"""Load per length above which a throughput is questioned: a square metre of water (ours)."""
WAYS_TO_TELL = {
    "throughput_t_h": "throughput",
    "load_per_length_kg_m": "load_per_length",
    "pieces": "pieces",
    "fill": "fill",
}
"""Inputs of which each alone determines the load, with the name that each has in a request."""
FILL_IN_PERCENT = 2.0
"""A fill above this is read as a percentage that was meant (ours)."""
DENSITY_LEAST_KG_M3, DENSITY_GREATEST_KG_M3 = 1.0, 25_000.0
"""No bulk is lighter than air nor heavier than the heaviest metal (ours)."""
DENSITY_SUSPECT_KG_M3 = 20.0
"""A density below this reads like t/m3; the lightest of the tables is above 80 kg/m3 (ours)."""


class SettledLoad(Record, frozen=True, kw_only=True):
    """What lies on a metre of the loaded run, and what passes in an hour."""

    load_kg_m: float
    throughput_t_h: float
    fill: float | None
    wall_depth_m: float | None
    wall_resistance_n_m: float


def settle_load(load: Load, speed_m_s: float, book: FactorBook) -> SettledLoad:
    """Load per length, throughput, fill and side-wall resistance.

    Raises:
        Inconsistent: the load is determined twice, or the buckets collide.
        MoreNeeded: too little is known of it.
        OutOfRange: a density that no bulk has.
    """
    trace = book.trace
    _check(load, trace)
    mass, fill = _load_per_length(load, speed_m_s, trace)
    if mass > THROUGHPUT_SUSPECT_KG_M and load.throughput_t_h is not None:
        trace.warn(
            "throughput_suspect",
            f"{significant(load.throughput_t_h)} t/h at {speed_m_s:g} m/s is {significant(mass)} kg on each metre: were"
            f" {significant(load.throughput_t_h)} kg/h meant, that is {significant(mass / 1000)} kg/m?",
            field="load.throughput_t_h",
        )
    if mass == 0:
        trace.warn("empty_running", "No load: the answer is that of the empty conveyor.", severity="info", field="load")
    _question_fill(fill, given=load.fill is not None, trace=trace)
    depth, resistance = _walls(load, mass, book)
    return SettledLoad(
        load_kg_m=mass,
        throughput_t_h=3.6 * speed_m_s * mass,
        fill=fill,
        wall_depth_m=depth,
        wall_resistance_n_m=resistance,
    )


def _check(load: Load, trace: Trace) -> None:
    ways = [name for name in WAYS_TO_TELL if _told(load, name)]
    if len(ways) > 1:
        named = " and ".join(WAYS_TO_TELL[name] for name in ways)
        message = f"{named} each determine the load; send one of them."
        raise Inconsistent(Issue(f"load.{ways[1]}", "over_determined", message))
    if not ways:
        message = "Send the throughput, the load per length, the pieces, or the fill of a section or of buckets."
        raise MoreNeeded(Issue("load.throughput_t_h", "field_required", message))
    if load.section is not None and load.buckets is not None:
        message = "Send section or buckets, not both."
        raise Inconsistent(Issue("load.buckets", "over_determined", message))
    buckets = load.buckets
    if buckets is not None and buckets.depth_m is not None and buckets.spacing_m < buckets.depth_m:
        message = (
            f"Buckets {1000 * buckets.depth_m:g} mm deep every {1000 * buckets.spacing_m:g} mm run into each other."
        )
        issue = Issue("load.buckets.spacing_m", "buckets_collide", message, buckets.depth_m, buckets.spacing_m)
        raise Inconsistent(issue)
    if load.density_kg_m3 is not None:
        _check_density(load.density_kg_m3, trace)


def _told(load: Load, name: str) -> bool:
    return getattr(load, name) is not None


def _check_density(density: float, trace: Trace) -> None:
    if not DENSITY_LEAST_KG_M3 <= density <= DENSITY_GREATEST_KG_M3:
        message = f"No bulk has a density of {density:g} kg/m3."
        hint = "Loose materials lie between about 100 and 3000 kg/m3."
        limit = DENSITY_LEAST_KG_M3 if density < DENSITY_LEAST_KG_M3 else DENSITY_GREATEST_KG_M3
        raise OutOfRange(Issue("load.density_kg_m3", "density_out_of_range", message, limit, density, hint))
    if density < DENSITY_SUSPECT_KG_M3:
        trace.warn(
            "unit_suspect",
            f"A bulk density of {density:g} kg/m3 is lighter than any of the tables: was {density:g} t/m3 meant?",
            field="load.density_kg_m3",
        )


def _load_per_length(load: Load, speed_m_s: float, trace: Trace) -> tuple[float, float | None]:
    if load.load_per_length_kg_m is not None:
        return load.load_per_length_kg_m, None
    if load.pieces is not None:
        pieces = load.pieces
        return trace.take(load_from_pieces, piece_mass_kg=pieces.mass_kg, spacing_m=pieces.spacing_m), None
    if load.throughput_t_h is not None:
        mass = trace.take(load_from_throughput, throughput_t_h=load.throughput_t_h, chain_speed_m_s=speed_m_s)
        if load.density_kg_m3 is None or (load.section is None and load.buckets is None):
            return mass, None
        return mass, mass / _full(load, 1.0, trace)
    if load.section is None and load.buckets is None:
        message = "A fill is that of a section or of buckets: send load.section or load.buckets with it."
        raise MoreNeeded(Issue("load.section", "field_required", message))
    if load.fill is None:
        return 0.0, None
    return _full(load, load.fill, trace), load.fill


def _full(load: Load, fill: float, trace: Trace) -> float:
    """Load per length at a fill of section or buckets.

    Raises:
        MoreNeeded: the density is missing.
    """
    if load.density_kg_m3 is None:
        message = "The load follows from the fill by the bulk density: send load.density."
        hint = "GET /v1/factors/bulk_densities prints densities of materials."
        raise MoreNeeded(Issue("load.density_kg_m3", "density_missing", message, hint=hint))
    if load.buckets is not None:
        buckets = load.buckets
        return trace.take(
            bucket_load,
            bucket_volume_l=buckets.volume_l,
            spacing_m=buckets.spacing_m,
            fill=fill,
            density_kg_m3=load.density_kg_m3,
        )
    section = load.section
    if section is None:
        return 0.0
    return trace.take(
        load_from_section,
        width_m=section.width_m,
        depth_m=section.depth_m,
        fill=fill,
        density_kg_m3=load.density_kg_m3,
    )


def _question_fill(fill: float | None, *, given: bool, trace: Trace) -> None:
    if fill is None or fill <= 1:
        return
    if given and fill > FILL_IN_PERCENT:
        text = f"A fill of {fill:g} is {fill:g} times full: was {fill / 100:g} meant?"
        trace.warn("fraction_or_percent_suspect", text, field="load.fill")
        return
    asked = "was sent" if given else "is what the throughput needs"
    trace.warn(
        "fill_over_one",
        f"A fill of {fill:.4g} {asked}; more than full spills. Take more volume, closer spacing or more speed.",
        field="load.fill" if given else "load.throughput_t_h",
    )


def _walls(load: Load, mass: float, book: FactorBook) -> tuple[float | None, float]:
    """Depth of the material at the walls and its resistance along them.

    Raises:
        MoreNeeded: neither constant, nor material, nor the three figures of the physical relation are known.
    """
    walls = load.walls
    if walls is None:
        if load.carried == "in_trough" and mass > 0:
            book.trace.assume(
                "load.walls", "none", "default", "no friction on side walls; send load.walls where there are"
            )
        return None, 0.0
    if mass == 0:
        return 0.0, 0.0
    depth = _wall_depth(load, walls, mass)
    if walls.wall_friction is not None:
        return depth, _by_pressure(load, walls, depth, walls.wall_friction, book.trace)
    constant = walls.constant
    if constant is not None:
        book.given("wall_constant", constant)
    else:
        constant = _tabulated_constant(load, book)
    along = book.trace.take(wall_load_by_constant, depth_m=depth, wall_constant=constant)
    return depth, FREE_FALL_M_S2 * along


def _wall_depth(load: Load, walls: Walls, mass: float) -> float:
    if walls.depth_m is not None:
        return walls.depth_m
    if load.section is not None and load.density_kg_m3 is not None:
        return mass / (load.section.width_m * load.density_kg_m3)
    message = "The depth of the material at the walls is unknown: send load.walls.depth, or section and density."
    raise MoreNeeded(Issue("load.walls.depth_m", "depth_missing", message))


def _by_pressure(load: Load, walls: Walls, depth: float, friction: float, trace: Trace) -> float:
    if load.density_kg_m3 is None:
        message = "Sideways pressure follows from the bulk density: send load.density."
        raise MoreNeeded(Issue("load.density_kg_m3", "density_missing", message))
    ratio = walls.lateral_ratio
    if ratio is None:
        if walls.internal_friction_deg is None:
            message = "Send load.walls.lateral_ratio or load.walls.internal_friction with the wall friction."
            raise MoreNeeded(Issue("load.walls.lateral_ratio", "field_required", message))
        try:
            ratio = trace.take(lateral_pressure_ratio, internal_friction_rad=radians(walls.internal_friction_deg))
        except EngineeringError as refused:
            raise at_field(refused, {"internal_friction_rad": "internal_friction_deg"}, "load.walls.") from None
    return trace.take(
        wall_resistance,
        density_kg_m3=load.density_kg_m3,
        lateral_ratio=ratio,
        wall_friction=friction,
        depth_m=depth,
    )


def _tabulated_constant(load: Load, book: FactorBook) -> float:
    name = (load.material or "").strip().lower()
    rows = [row for row in book.factors.conveyor.wall_constants.where(system="metric") if row.material == name]
    if not rows:
        known = [row.material for row in book.factors.conveyor.wall_constants.where(system="metric")]
        message = "Side walls need a constant: send load.walls.constant or wall_friction, or a material of the table."
        hint = f"Materials with a constant: {'; '.join(known)}."
        raise MoreNeeded(Issue("load.walls.constant", "friction_missing", message, None, load.material, hint))
    return book.printed("wall_constant", rows[0].constant, rows[0], name)
