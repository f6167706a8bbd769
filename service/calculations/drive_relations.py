"""The relations of drives bound to the load, the tables and the trace of one request."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.calculations.drive_layout import Centres, Shafts
from service.calculations.drive_ratings import speed_at
from service.core.conversions import MM_PER_INCH
from service.core.forces import (
    breaking_safety,
    centrifugal_tension_n,
    effective_pull_n,
    shaft_load_from_tensions_n,
)
from service.core.lubrication import lubrication_type
from service.core.roller_rating import impact_power
from service.core.roller_rating_newer import link_plate_power_newer, table_end_newer
from service.core.roller_rating_older import galling_speed_older, link_plate_power_older
from service.core.slack import sag_tension_n
from service.core.speeds import (
    chain_speed_ft_min,
    chain_speed_m_s,
    chordal_speed_variation,
    speed_ratio,
)
from service.core.sprocket import pitch_diameter
from service.core.sprocket_asme import hub_diameter_max, outside_diameter
from service.core.wear_limits import elongation_for_large_wheel
from service.core.wrap import teeth_engaged, wrap_large_rad, wrap_small_rad
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.drive_tables import DriveTables, Edition, Lubrication, RatedChain
    from service.calculations.trace import Trace


class DriveLoad(Record, frozen=True, kw_only=True):
    """What a drive must carry, the factors applied, and where its shafts stand."""

    edition: Edition
    power_kw: float
    service_factor: float
    driver_speed_rpm: float
    driven_speed_rpm: float | None
    centres: Centres


class Wheels(Record, frozen=True):
    """Teeth of both wheels; the small one sets the rating, whichever drives."""

    driver: int
    driven: int
    small: int
    large: int

    @classmethod
    def of(cls, driver: int, driven: int) -> Wheels:
        """The wheels of a driver and a driven tooth count."""
        return cls(driver, driven, min(driver, driven), max(driver, driven))


class WheelFigures(Record, frozen=True):
    """What a wheel of one pitch has in every drive; the limit of elongation is that of a loop whose largest it is."""

    pitch_diameter_mm: float
    outside_diameter_mm: float
    chordal_variation_percent: float
    elongation_limit_percent: float


class DriveRelations:
    """The relations, so that inner loops call them at their bare cost, and what every drive of a request shares."""

    __slots__ = (
        "breaking",
        "centrifugal",
        "chordal",
        "edition",
        "engaged",
        "galling",
        "impact",
        "link_plate",
        "load",
        "lubrication",
        "outside",
        "pitch_circle",
        "pull",
        "range_end",
        "ratio",
        "sag",
        "shaft_load",
        "shafts",
        "speed",
        "speed_inch",
        "tables",
        "trace",
        "wear_limit",
        "wheels",
        "wrap_large",
        "wrap_small",
    )

    def __init__(self, load: DriveLoad, tables: DriveTables, trace: Trace) -> None:
        bind = trace.bind
        self.load = load
        self.tables = tables
        self.trace = trace
        self.edition = load.edition
        self.link_plate = bind(link_plate_power_older if load.edition == "older" else link_plate_power_newer)
        self.impact = bind(impact_power)
        if load.edition == "older":
            self.galling = bind(galling_speed_older)
        else:
            self.range_end = bind(table_end_newer)
        self.speed = bind(chain_speed_m_s)
        self.speed_inch = bind(chain_speed_ft_min)
        self.ratio = bind(speed_ratio)
        self.chordal = bind(chordal_speed_variation)
        self.shafts = Shafts(load.centres, trace)
        self.pitch_circle = bind(pitch_diameter)
        self.outside = bind(outside_diameter)
        self.wrap_small = bind(wrap_small_rad)
        # Where each step is written down, the figures of a wheel are computed anew for each request.
        self.wheels: dict[tuple[float, int], WheelFigures] = {} if trace.keeps_steps else tables.wheels
        self.wrap_large = bind(wrap_large_rad)
        self.engaged = bind(teeth_engaged)
        self.pull = bind(effective_pull_n)
        self.centrifugal = bind(centrifugal_tension_n)
        self.sag = bind(sag_tension_n)
        self.shaft_load = bind(shaft_load_from_tensions_n)
        self.breaking = bind(breaking_safety)
        self.lubrication = bind(lubrication_type)
        self.wear_limit = bind(elongation_for_large_wheel)

    def wheel(self, chain: RatedChain, teeth: int) -> WheelFigures:
        """The figures of a wheel, remembered."""
        known = self.wheels.get((chain.pitch_mm, teeth))
        if known is not None:
            return known
        figures = WheelFigures(
            pitch_diameter_mm=self.pitch_circle(pitch_mm=chain.pitch_mm, teeth=teeth),
            outside_diameter_mm=self.outside(pitch_in=chain.pitch_in, teeth=teeth) * MM_PER_INCH,
            chordal_variation_percent=100.0 * self.chordal(teeth=teeth),
            elongation_limit_percent=self.wear_limit(
                teeth_large=teeth,
                tooth_engagement_percent=self.tables.percent_times_teeth,
                general_limit_percent=self.tables.general_limit_percent,
            ),
        )
        self.wheels[chain.pitch_mm, teeth] = figures
        return figures

    def hub_mm(self, chain: RatedChain, teeth: int) -> float:
        """Largest hub that clears the plates of a chain on a wheel."""
        return MM_PER_INCH * self.trace.take(hub_diameter_max, pitch_in=chain.pitch_in, teeth=teeth)

    def rated_strand_hp(self, chain: RatedChain, teeth: int, speed_rpm: float) -> tuple[float, float]:
        """Link-plate and impact rating of one strand."""
        plate = self.link_plate(
            chain_class=chain.chain_class, pitch_in=chain.pitch_in, teeth=teeth, speed_rpm=speed_rpm
        )
        impact = self.impact(chain_class=chain.chain_class, pitch_in=chain.pitch_in, teeth=teeth, speed_rpm=speed_rpm)
        return plate, impact

    def range_end_rpm(self, chain: RatedChain, teeth: int, strand_hp: float, speed_rpm: float) -> float:
        """Speed of the small wheel at which the published ratings end because pins and bushings would gall."""
        if self.edition == "newer":
            return speed_at(self.range_end(teeth=teeth), chain, teeth)
        pull_lbf = 396_000.0 * strand_hp / (chain.pitch_in * teeth * speed_rpm)
        return self.galling(pitch_in=chain.pitch_in, teeth=teeth, tension_lbf=pull_lbf)

    def lubrication_of(self, chain: RatedChain, teeth: int, speed_rpm: float) -> Lubrication | None:
        """Least lubrication for the speed of a wheel; None where the edition's boundary was not read."""
        limits = chain.limits
        if limits is None:
            return None
        if limits.manual_or_drip_max_ft_min is not None and limits.bath_or_disc_max_ft_min is not None:
            kind: Lubrication = self.lubrication(
                chain_speed_ft_min=self.speed_inch(pitch_in=chain.pitch_in, teeth=teeth, speed_rpm=speed_rpm),
                manual_or_drip_limit_ft_min=limits.manual_or_drip_max_ft_min,
                bath_or_disc_limit_ft_min=limits.bath_or_disc_max_ft_min,
            )
            return kind
        slowest = limits.manual_or_drip_max_rpm
        return "manual_or_drip" if slowest is not None and speed_rpm <= slowest else None
