"""Readings of a series as sent, made into readings at positions: dates, use, lengths, and what is left out."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Literal

from service.calculations.measurement import instrument_error
from service.calculations.wear_times import as_date, days_between, read_instant, read_time
from service.core.elongation import from_length, pitches_between_pins
from service.core.errors import EngineeringError, Inconsistent, Issue, MoreNeeded, OutOfRange
from service.core.readings import (
    Flag,
    double_pitch_suspect,
    fraction_or_percent_suspect,
    implausible_elongation,
    link_pair_suspect,
    unit_suspect,
)
from service.core.tape_error import elongation_uncertainty, reading
from service.core.wear_series import Reading, counter_reset, usage_implausible
from service.reference.records import Record, field

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from service.calculations.elongation_trend import ElongationTrendInput
    from service.calculations.trace import Trace
    from service.reference.catalogue import Reference

UsageUnit = Literal["h", "cycles", "km"]


class GivenReading(Record, frozen=True, kw_only=True):
    """One reading as sent."""

    at: str | None = None
    usage: float | None = None
    usage_unit: UsageUnit | None = None
    elongation_percent: float | None = None
    length_mm: float | None = None
    pitch_count: int | None = None
    pins_counted: int | None = None
    section: str = ""
    chain: str = ""
    slack: bool = False


class Series(Record, frozen=True):
    """Readings with positions on one axis, by section, with what was left out."""

    axis: Literal["days", "usage"]
    usage_unit: UsageUnit | None
    as_of: datetime | None
    uncertainty_assumed: bool
    instants: dict[int, datetime] = field(default_factory=dict)
    by_section: dict[str, list[Reading]] = field(default_factory=dict)
    flags: dict[str, list[Flag]] = field(default_factory=dict)

    @property
    def section_names(self) -> list[str]:
        """Sections in the order in which they were sent."""
        return list(self.by_section)

    def readings_of(self, section: str) -> list[Reading]:
        """Readings of a section."""
        return self.by_section[section]

    def flags_of(self, section: str) -> list[Flag]:
        """What was noted while a section was read."""
        return self.flags.get(section, [])

    def instant_of(self, one: Reading) -> datetime | None:
        """Instant of a reading, where it has one."""
        return self.instants.get(one.index)

    def date_of(self, one: Reading) -> str | None:
        """Day of a reading."""
        instant = self.instant_of(one)
        return None if instant is None else as_date(instant)


def read_series(given: ElongationTrendInput, reference: Reference, trace: Trace) -> Series:
    """Read the readings of a request.

    Raises:
        MoreNeeded: a reading without date and use, or a length without its count.
        Inconsistent: use in different units.
        OutOfRange: a date that is none, or one far after the instant of evaluation; every one is named.
    """
    if not given.readings:
        raise MoreNeeded(Issue("readings", "readings_missing", "Send at least one reading."))
    return _SeriesReader(given, reference, trace).read()


class _SeriesReader(Record, frozen=True):
    given: ElongationTrendInput
    reference: Reference
    trace: Trace
    instants: dict[int, datetime] = field(default_factory=dict)
    flags: dict[str, list[Flag]] = field(default_factory=dict)
    left_out: set[int] = field(default_factory=set)

    def read(self) -> Series:
        self._read_times()
        as_of = self._as_of()
        self._leave_out_later(as_of)
        self._leave_out_earlier()
        counts = self._counts()
        axis, unit = self._axis()
        series = Series(axis, unit, as_of, self._assumed(), self.instants, flags=self.flags)
        origin = min(self.instants.values(), default=None)
        pitch_mm = self.trace.figure(self.given.chain, "pitch")
        step = self._percent_step()
        self._doubt_fractions()
        for index, one in enumerate(self.given.readings):
            if index in self.left_out:
                continue
            if axis == "days" and origin is not None:
                position = days_between(origin, self.instants[index])
            else:
                position = one.usage or 0.0
            read = self._reading(index, one, (position, pitch_mm, step, counts.get(index)))
            if read is not None:
                series.by_section.setdefault(one.section, []).append(read)
        if not series.by_section:
            raise _nothing_left()
        return series

    def _read_times(self) -> None:
        issues: list[Issue] = []
        zones = 0
        for index, one in enumerate(self.given.readings):
            if one.at is None:
                continue
            try:
                time = read_time(one.at, f"readings.{index}.at")
            except OutOfRange as error:
                issues.extend(error.issues)
                continue
            zones += time.zone_missing
            if time.instant is None:
                self._leave_out(
                    index, "timestamp_suspect", f"{one.at} is where a calendar begins: an empty field? Left out."
                )
            else:
                self.instants[index] = time.instant
        if issues:
            raise OutOfRange(*issues)
        if zones:
            self.trace.warn(
                "zone_missing",
                f"{zones} times have no zone: they were taken as UTC, which only matters for their order.",
                severity="info",
                field="readings",
            )

    def _as_of(self) -> datetime | None:
        if self.given.as_of is not None:
            return read_instant(self.given.as_of, "as_of")
        last = max(self.instants.values(), default=None)
        if last is not None:
            self.trace.assume(
                "as_of", as_date(last), "default", "the last reading; the clock of the server is not asked"
            )
            self.trace.warn(
                "as_of_defaulted", "as_of was not sent: the last reading was taken.", severity="info", field="as_of"
            )
        return last

    def _leave_out_later(self, as_of: datetime | None) -> None:
        if as_of is None:
            return
        allowed = self.reference.wear.thresholds["future_tolerance_days"].value
        issues = []
        for index, instant in self.instants.items():
            ahead = days_between(as_of, instant)
            if ahead > allowed:
                text = self.given.readings[index].at or ""
                issues.append(
                    Issue(
                        f"readings.{index}.at",
                        "timestamp_in_future",
                        f"{text!r} lies {ahead:.0f} days after as_of.",
                        allowed,
                        text,
                        "Is the year right?",
                    )
                )
            elif ahead > 1:
                self._leave_out(index, "as_of_before_reading", "The reading is later than as_of and was left out.")
        if issues:
            raise OutOfRange(*issues)

    def _leave_out_earlier(self) -> None:
        """Leave out what was read on a chain that is gone.

        Raises:
            MoreNeeded: nothing was read since the chain that runs now was fitted.
        """
        if self.given.installed_at is None:
            return
        installed = read_instant(self.given.installed_at, "installed_at")
        self.left_out.update(index for index, instant in self.instants.items() if instant < installed)
        if len(self.left_out) == len(self.given.readings):
            raise MoreNeeded(
                Issue(
                    "installed_at",
                    "readings_missing",
                    "No reading was taken since the chain was installed: those before it belong to another chain.",
                    None,
                    self.given.installed_at,
                    "Measure the chain that runs now.",
                )
            )

    def _leave_out(self, index: int, code: str, message: str) -> None:
        self.left_out.add(index)
        self._note(index, Flag(code, message, (), (index,)))

    def _note(self, index: int, flag: Flag) -> None:
        self.flags.setdefault(self.given.readings[index].section, []).append(flag)

    def _axis(self) -> tuple[Literal["days", "usage"], UsageUnit | None]:
        kept = [(index, one) for index, one in enumerate(self.given.readings) if index not in self.left_out]
        if not kept:
            raise _nothing_left()
        units = {one.usage_unit for _, one in kept if one.usage_unit is not None}
        if len(units) > 1:
            raise Inconsistent(
                Issue("readings", "usage_unit_mixed", f"Use is given in {' and '.join(sorted(units))}: keep to one.")
            )
        dated = all(index in self.instants for index, _ in kept)
        used = all(one.usage is not None for _, one in kept)
        if not dated and not used:
            missing = next(i for i, one in kept if i not in self.instants)
            raise MoreNeeded(
                Issue(
                    f"readings.{missing}.at",
                    "field_required",
                    "Every reading needs a date, or every reading the use at that time.",
                )
            )
        if used and (not dated or self._use_rises(kept)):
            return "usage", next(iter(units), None)
        return "days", None

    def _use_rises(self, kept: Sequence[tuple[int, GivenReading]]) -> bool:
        ordered = sorted(kept, key=lambda pair: self.instants[pair[0]])
        indices = [index for index, _ in ordered]
        usages = [one.usage or 0.0 for _, one in ordered]
        reset = counter_reset(usages=usages, indices=indices)
        if reset is not None:
            self._note(reset.indices[0], reset)
        elif ordered[0][1].usage_unit == "h":
            days = [days_between(self.instants[indices[0]], self.instants[index]) for index in indices]
            beyond = usage_implausible(days=days, hours=usages, indices=indices)
            if beyond is not None:
                self._note(beyond.indices[0], beyond)
        return reset is None and usages[-1] > usages[0]

    def _assumed(self) -> bool:
        percents = any(one.elongation_percent is not None for one in self.given.readings)
        lengths = any(one.length_mm is not None for one in self.given.readings)
        return (percents and self.given.uncertainty_percent is None) or (
            lengths and self.given.instrument.accuracy_class is None and self.given.instrument.error_mm is None
        )

    def _percent_step(self) -> float:
        """Smallest step in which the percentages of the series are written."""
        exponents = []
        for one in self.given.readings:
            if one.elongation_percent is not None:
                exponent = Decimal(repr(one.elongation_percent)).normalize().as_tuple().exponent
                exponents.append(exponent if isinstance(exponent, int) else 0)
        return float(10.0 ** min(exponents, default=0))

    def _counts(self) -> dict[int, int]:
        """Pitches of each reading that is a length.

        Raises:
            MoreNeeded: a reading without a value, or a length without its count; every such reading is named.
            Inconsistent: a reading with two values, or two counts that contradict each other; likewise.
        """
        counts: dict[int, int] = {}
        faults: list[EngineeringError] = []
        for index, one in enumerate(self.given.readings):
            try:
                count = _count(one, f"readings.{index}")
            except EngineeringError as error:
                faults.append(error)
                continue
            if count is not None:
                counts[index] = count
        if faults:
            raise type(faults[0])(*(issue for fault in faults for issue in fault.issues))
        return counts

    def _reading(
        self, index: int, one: GivenReading, figures: tuple[float, float, float, int | None]
    ) -> Reading | None:
        position, pitch_mm, step, count = figures
        if one.length_mm is None or count is None:
            return self._by_percent(index, one, position, step)
        nominal_mm = count * pitch_mm
        percent = from_length(length_mm=one.length_mm, pitch_count=count, pitch_mm=pitch_mm)
        for doubt in (unit_suspect, link_pair_suspect, double_pitch_suspect):
            if (flag := doubt(length_mm=one.length_mm, nominal_mm=nominal_mm)) is not None:
                self._leave_out(index, flag.code, f"{flag.message} Left out.")
                return None
        if self._implausible(index, percent):
            return None
        error_mm, division_mm = instrument_error(self.given.instrument, one.length_mm, self.reference.wear, self.trace)
        uncertainty = elongation_uncertainty(
            instrument_error_mm=error_mm,
            reading_error_mm=reading(division_mm=division_mm),
            nominal_length_mm=nominal_mm,
        )
        return Reading(
            index,
            position,
            percent,
            self._widened(index, one, uncertainty),
            100 * division_mm / nominal_mm,
            one.chain,
            one.length_mm,
            count,
            pitch_mm,
        )

    def _doubt_fractions(self) -> None:
        """Ask of a series whose percentages are all tiny whether they are fractions."""
        readings = self.given.readings
        if len(readings) < 3 or any((one.elongation_percent or 0) >= 0.1 for one in readings):
            return
        for index, one in enumerate(readings):
            if one.elongation_percent is None or index in self.left_out:
                continue
            doubt = fraction_or_percent_suspect(field="elongation_percent", percent=one.elongation_percent)
            if doubt is not None:
                self._note(index, Flag(doubt.code, doubt.message, doubt.numbers, (index,)))

    def _by_percent(self, index: int, one: GivenReading, position: float, step: float) -> Reading | None:
        percent = one.elongation_percent or 0.0
        if self._implausible(index, percent):
            return None
        uncertainty = self.given.uncertainty_percent
        if uncertainty is None:
            row = self.reference.wear.thresholds["reading_uncertainty"]
            uncertainty = row.value
            self.trace.row(row, "uncertainty of a percentage")
            self.trace.assume_once(
                "uncertainty_percent", uncertainty, "default", "policy of this service; send your own"
            )
        return Reading(index, position, percent, self._widened(index, one, uncertainty), step, one.chain)

    def _widened(self, index: int, one: GivenReading, uncertainty: float) -> float:
        """A slack reading is worth less: its uncertainty is doubled, and it is told."""
        if not one.slack:
            return uncertainty
        self._note(index, Flag("tension_not_applied", "Read on a slack chain: wear is at least this.", (), (index,)))
        return 2 * uncertainty

    def _implausible(self, index: int, percent: float) -> bool:
        flag = implausible_elongation(elongation_percent=percent)
        if flag is not None:
            self._leave_out(index, flag.code, f"{flag.message} Left out.")
        return flag is not None


def _nothing_left() -> MoreNeeded:
    return MoreNeeded(
        Issue(
            "readings",
            "readings_missing",
            "No reading is left to judge by: each lies after as_of, at the start of a calendar, or beyond any chain.",
        )
    )


def _count(one: GivenReading, at: str) -> int | None:
    ways = (one.elongation_percent is not None) + (one.length_mm is not None)
    if ways != 1:
        error: type[EngineeringError] = MoreNeeded if ways == 0 else Inconsistent
        code = "field_required" if ways == 0 else "over_determined"
        raise error(Issue(at, code, "Each reading needs elongation_percent or length with its count, one of the two."))
    if one.length_mm is None:
        return None
    if one.pitch_count is None and one.pins_counted is None:
        raise MoreNeeded(Issue(f"{at}.pitch_count", "pitches_missing", "A length needs pitch_count or pins_counted."))
    from_pins = None if one.pins_counted is None else pitches_between_pins(pins_counted=one.pins_counted)
    if one.pitch_count is None or one.pitch_count == from_pins:
        return from_pins
    if from_pins is not None:
        message = f"{one.pins_counted} pins span {from_pins} pitches, not {one.pitch_count}."
        field = f"{at}.pins_counted"
        raise Inconsistent(Issue(field, "counts_contradict", message, None, one.pins_counted, "Send one of the two."))
    return one.pitch_count
