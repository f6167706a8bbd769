"""The second method: corrected power of ISO 10823, and what a textbook's table in kilowatts rates beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.calculations.drive_tables import used_of
from service.core.drive_factors import corrected_power_kw, required_power_kw, tooth_factor_iso, tooth_factor_link_plate
from service.core.interpolation import between_points
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.drive_duty import DriverRunning, SettledDuty
    from service.calculations.drive_option import DriveOption
    from service.calculations.drive_service import PrimeMover
    from service.calculations.drive_tables import DriveTables
    from service.calculations.trace import Trace
    from service.reference.textbook_ratings import KilowattRatingRow

TextbookHole = Literal["chain_not_in_table", "speed_outside_table"]

RUNNING_OF: dict[PrimeMover, DriverRunning] = {
    "engine_fluid_coupled": "smooth_running",
    "electric_motor_or_turbine": "smooth_running",
    "engine_mechanical": "moderate_shocks",
}
"""Class of a driver where none was sent (iso-10823-2004, recalled): motors, turbines and engines with a fluid coupling
run smoothly, engines with mechanical coupling with slight shocks from six cylinders on and moderate ones below."""


class TextbookRating(Record, frozen=True):
    """What the table rates one strand for on 17 teeth, and what it would have to carry there."""

    designation: str
    rated_kw: float
    required_kw: float

    @property
    def utilisation(self) -> float:
        """Required over rated power."""
        return self.required_kw / self.rated_kw


class IsoComparison(Record, frozen=True):
    """Factors and corrected power of one drive; the chart that they enter is a graph that was not read."""

    application_factor: float
    tooth_factor: float
    corrected_power_kw: float
    textbook: TextbookRating | TextbookHole


class IsoMethod:
    """The method for one duty: the application factor is settled once, each drive is then compared."""

    def __init__(self, duty: SettledDuty, tables: DriveTables, trace: Trace) -> None:
        self.duty = duty
        self.tables = tables
        self.trace = trace
        self.application_factor = self._application_factor()
        trace.warn(
            "iso_chart_not_read",
            "The rating charts of ISO 10823 are graphs and are not in the reference: enter the corrected power into "
            "the chart of the standard. The textbook ratings beside it are another table.",
            severity="info",
            field="compare_iso_10823",
        )

    def _application_factor(self) -> float:
        duty, trace = self.duty, self.trace
        if duty.load_class is None:
            note = "the factor sent stands for the application factor of ISO 10823 too"
            trace.assume("application_factor", duty.service_factor, "caller_policy", note)
            return duty.service_factor
        running = duty.driver_running
        if running is None:
            running = RUNNING_OF[duty.prime_mover or "electric_motor_or_turbine"]
            trace.assume(f"{duty.at}.driver_running", running, "default", "class of such a driver, recalled")
        row = self.tables.service_factors["iso", duty.load_class, running]
        trace.note((used_of(row, "application factor"),))
        trace.assume("application_factor", row.factor, "table", f"{duty.load_class}, {running}")
        return row.factor

    def compare(self, option: DriveOption) -> IsoComparison:
        """Tooth factor and corrected power of a drive, and the textbook rating of its chain."""
        take = self.trace.take
        tooth_factor = take(tooth_factor_iso, teeth_small=option.wheels.small)
        corrected = take(
            corrected_power_kw,
            power_kw=self.duty.power_kw,
            application_factor=self.application_factor,
            tooth_factor=tooth_factor,
        )
        return IsoComparison(self.application_factor, tooth_factor, corrected, self._textbook(option))

    def _textbook(self, option: DriveOption) -> TextbookRating | TextbookHole:
        tables = self.tables
        names = (option.chain.designation, *tables.reference.equivalents.same_size(option.chain.designation))
        known = [name for name in names if name in tables.kw_ratings]
        if not known:
            return "chain_not_in_table"
        rows, speed = tables.kw_ratings[known[0]], option.small_speed_rpm
        if not rows[0].speed_rpm <= speed <= rows[-1].speed_rpm:
            return "speed_outside_table"
        take = self.trace.take
        points = tuple((row.speed_rpm, row.power_kw) for row in rows)
        rated = take(between_points, at=speed, points=points, field="driver_speed_rpm")
        self.trace.note(tuple(used_of(row, f"textbook rating of {known[0]}") for row in _around(rows, speed)))
        required = take(
            required_power_kw,
            power_kw=self.duty.power_kw,
            service_factor=self.duty.service_factor,
            design_factor=1.0,
            tooth_factor=take(tooth_factor_link_plate, teeth=option.wheels.small),
            strand_factor=option.strand_factor,
        )
        return TextbookRating(known[0], rated, required)


def _around(rows: tuple[KilowattRatingRow, ...], speed_rpm: float) -> tuple[KilowattRatingRow, ...]:
    """The printed rows on either side of a speed, or the one at it."""
    below = max(row.speed_rpm for row in rows if row.speed_rpm <= speed_rpm)
    above = min(row.speed_rpm for row in rows if row.speed_rpm >= speed_rpm)
    return tuple(row for row in rows if row.speed_rpm in (below, above))
