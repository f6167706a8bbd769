"""One elongation measurement: which way it was taken, what it gives, and how far it can be out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from service.calculations.takeup_reading import elongation_by_takeup
from service.core import elongation as core
from service.core.errors import Inconsistent, Issue, MoreNeeded, OutOfRange
from service.core.readings import (
    Flag,
    count_suspects,
    double_pitch_suspect,
    fraction_or_percent_suspect,
    implausible_elongation,
    link_pair_suspect,
    nominal_exact_suspect,
    other_reading,
    shorter_than_nominal,
    unit_suspect,
)
from service.core.tape_error import elongation_uncertainty, gauge_interval, maximum_permissible, reading
from service.reference.records import Record, replace

if TYPE_CHECKING:
    from service.calculations.trace import Trace
    from service.reference.chains import ChainSize
    from service.reference.wear import AccuracyClass, WearReference

Method = Literal[
    "length_over_pitches",
    "roller_inside_outside_mean",
    "roller_outside_only",
    "takeup_travel",
    "given_percent",
    "gauge",
]
GaugeResult = Literal["below", "at", "above"]

USUAL_CLASS: AccuracyClass = "II"
USUAL_DIVISION_MM = 1.0
USUAL_DIVISION_INCH_MM = 25.4 / 16
ENOUGH_PITCHES = 10
GAUGE_PITCH_TOLERANCE = 0.005


class Instrument(Record, frozen=True, kw_only=True):
    """What the length was read with; what is not given is assumed and said."""

    accuracy_class: AccuracyClass | None = None
    from_hook: bool = False
    error_mm: float | None = None
    division_mm: float | None = None
    reads_inches: bool = False


class Measurement(Record, frozen=True, kw_only=True):
    """What was written down; exactly one way of measuring."""

    length_mm: float | None = None
    pitch_count: int | None = None
    pins_counted: int | None = None
    inner_length_mm: float | None = None
    outer_length_mm: float | None = None
    pair_length_mm: float | None = None
    takeup_travel_mm: float | None = None
    runs: int | None = None
    loop_pitch_count: int | None = None
    pitches_removed: int | None = None
    pitches_on_wheels: float | None = None
    elongation_percent: float | None = None
    uncertainty_percent: float | None = None
    gauge_result: GaugeResult | None = None
    gauge_threshold_percent: float | None = None
    gauge_resolution_percent: float | None = None
    gauge_pitch_mm: float | None = None
    service_days: float | None = None
    instrument: Instrument


class Measured(Record, frozen=True, kw_only=True):
    """What a measurement gives. A gauge gives bounds only where it says more or less than its threshold."""

    method: Method
    pitch_mm: float
    pitch_count: int | None = None
    length_mm: float | None = None
    elongation_percent: float | None = None
    uncertainty_percent: float | None = None
    low_percent: float | None = None
    high_percent: float | None = None
    pair_elongation_percent: float | None = None
    miscount: core.Miscount | None = None
    flags: tuple[Flag, ...] = ()


def measure(given: Measurement, chain: ChainSize, limit_percent: float, wear: WearReference, trace: Trace) -> Measured:
    """Evaluate a measurement.

    Args:
        given: What was written down.
        chain: The chain, for its nominal pitch and roller.
        limit_percent: Limit that a plausible neighbouring count must not exceed.
        wear: Wear tables.
        trace: Takes equations, assumptions and warnings.

    Raises:
        MoreNeeded: a count is missing, or the length fits another unit or another meaning of pitch.
        Inconsistent: two ways of measuring at once, or counts that contradict each other.
        OutOfRange: no running chain shows such an elongation.
    """
    pitch_mm = trace.figure(chain, "pitch")
    way = _way(given)
    if way == "gauge":
        return _gauge(given, pitch_mm, trace)
    if way == "given_percent":
        return _given_percent(given, pitch_mm, wear, trace)
    if way == "takeup_travel":
        return _takeup(given, pitch_mm, trace)
    count = _count(given, trace)
    length_mm = _length(way, given, chain, trace)
    return _over_pitches(way, given, (length_mm, count, pitch_mm, limit_percent), wear, trace)


def _way(given: Measurement) -> Method:
    ways: dict[Method, bool] = {
        "length_over_pitches": given.length_mm is not None,
        "roller_inside_outside_mean": given.inner_length_mm is not None,
        "roller_outside_only": given.outer_length_mm is not None and given.inner_length_mm is None,
        "takeup_travel": given.takeup_travel_mm is not None,
        "given_percent": given.elongation_percent is not None,
        "gauge": given.gauge_result is not None,
    }
    chosen = [way for way, taken in ways.items() if taken]
    names = "length, outer_length with inner_length, takeup_travel, elongation_percent or gauge_result"
    if not chosen:
        raise MoreNeeded(Issue("", "field_required", f"Send one measurement: {names}."))
    if len(chosen) > 1:
        raise Inconsistent(Issue("", "over_determined", f"Send one measurement only: {names}."))
    if chosen[0] == "roller_inside_outside_mean" and given.outer_length_mm is None:
        raise MoreNeeded(
            Issue("outer_length_mm", "field_required", "The length over the outside of the end rollers is needed too.")
        )
    return chosen[0]


def _count(given: Measurement, trace: Trace) -> int:
    from_pins = None
    if given.pins_counted is not None:
        from_pins = trace.take(core.pitches_between_pins, pins_counted=given.pins_counted)
    if given.pitch_count is None:
        if from_pins is None:
            raise MoreNeeded(
                Issue(
                    "pitch_count",
                    "pitches_missing",
                    "A length says nothing without the number of pitches: count from pin centre to pin centre.",
                    None,
                    None,
                    "Send pitch_count, or pins_counted with the first and the last pin included.",
                )
            )
        return from_pins
    if from_pins is not None and from_pins != given.pitch_count:
        raise Inconsistent(
            Issue(
                "pins_counted",
                "counts_contradict",
                f"{given.pins_counted} pins span {from_pins} pitches, not {given.pitch_count}.",
                None,
                given.pins_counted,
                "Send one of the two.",
            )
        )
    return given.pitch_count


def _length(way: Method, given: Measurement, chain: ChainSize, trace: Trace) -> float:
    if way == "length_over_pitches":
        return given.length_mm or 0.0
    outer_mm = given.outer_length_mm or 0.0
    if way == "roller_inside_outside_mean":
        return trace.take(
            core.mean_of_roller_lengths, inner_length_mm=given.inner_length_mm or 0.0, outer_length_mm=outer_mm
        )
    roller_mm = trace.figure(chain, "roller_diameter")
    trace.warn(
        "roller_play_included",
        "Only the outside of the rollers was measured: wear and play of the rollers are in the reading.",
        field="outer_length_mm",
    )
    return outer_mm - roller_mm


def _over_pitches(
    way: Method, given: Measurement, figures: tuple[float, int, float, float], wear: WearReference, trace: Trace
) -> Measured:
    length_mm, count, pitch_mm, limit_percent = figures
    nominal_mm = count * pitch_mm
    field = "length_mm" if way == "length_over_pitches" else "outer_length_mm"
    for doubt in (unit_suspect, link_pair_suspect, double_pitch_suspect):
        if (flag := doubt(length_mm=length_mm, nominal_mm=nominal_mm)) is not None:
            hint = other_reading(flag, length_mm, count, pitch_mm, limit_percent)
            raise MoreNeeded(Issue(field, flag.code, flag.message, nominal_mm, length_mm, hint))
    percent = trace.take(core.from_length, length_mm=length_mm, pitch_count=count, pitch_mm=pitch_mm)
    _refuse_implausible(percent, field)
    uncertainty = uncertainty_of(given.instrument, length_mm, nominal_mm, wear, trace)
    if count < ENOUGH_PITCHES:
        trace.warn(
            "too_few_pitches",
            f"{count} pitches are few: over at least {ENOUGH_PITCHES} the reading error matters less.",
            field="pitch_count",
        )
    neighbours = trace.take(core.miscount, length_mm=length_mm, pitch_count=count, pitch_mm=pitch_mm)
    flags = list(
        count_suspects(
            figures=neighbours,
            pitch_count=count,
            limit_percent=limit_percent,
            uncertainty_percent=uncertainty,
            expected=None,
        )
    )
    others = (
        shorter_than_nominal(elongation_percent=percent, uncertainty_percent=uncertainty),
        nominal_exact_suspect(elongation_percent=percent, service_days=given.service_days),
    )
    flags.extend(flag for flag in others if flag is not None)
    for flag in flags:
        trace.warn(flag.code, flag.message, field="pitch_count" if "count" in flag.code else field)
    pair = None
    if given.pair_length_mm is not None:
        pair = trace.take(core.from_length, length_mm=given.pair_length_mm, pitch_count=count, pitch_mm=pitch_mm)
        _refuse_implausible(pair, "pair_length_mm")
    return Measured(
        method=way,
        pitch_mm=pitch_mm,
        pitch_count=count,
        length_mm=length_mm,
        elongation_percent=percent,
        uncertainty_percent=uncertainty,
        pair_elongation_percent=pair,
        miscount=neighbours,
        flags=tuple(flags),
    )


def uncertainty_of(
    instrument: Instrument, length_mm: float, nominal_mm: float, wear: WearReference, trace: Trace
) -> float:
    """Half-width of the uncertainty of an elongation read as a length, in percentage points."""
    error_mm, division_mm = instrument_error(instrument, length_mm, wear, trace)
    return trace.take(
        elongation_uncertainty,
        instrument_error_mm=error_mm,
        reading_error_mm=trace.take(reading, division_mm=division_mm),
        nominal_length_mm=nominal_mm,
    )


def instrument_error(
    instrument: Instrument, length_mm: float, wear: WearReference, trace: Trace
) -> tuple[float, float]:
    """Permissible error of the measure and the division it is read to; what is assumed is noted once."""
    error_mm = instrument.error_mm
    if error_mm is None:
        if instrument.accuracy_class is None:
            trace.assume_once("instrument.accuracy_class", USUAL_CLASS, "default", "the usual class of steel tapes")
        row = wear.tape_classes[instrument.accuracy_class or USUAL_CLASS]
        trace.row(row, f"permissible error of class {row.accuracy_class}")
        error_mm = trace.take(
            maximum_permissible,
            length_mm=length_mm,
            error_mm=row.error_mm,
            error_per_metre=row.error_per_metre,
            end_surface_error_mm=row.end_surface_error_mm if instrument.from_hook else 0.0,
        )
    division_mm = instrument.division_mm
    if division_mm is None:
        division_mm = USUAL_DIVISION_INCH_MM if instrument.reads_inches else USUAL_DIVISION_MM
        trace.assume_once("instrument.division", f"{division_mm:g} mm", "default", "smallest division of the scale")
    return error_mm, division_mm


def _refuse_implausible(percent: float, field: str) -> None:
    if (flag := implausible_elongation(elongation_percent=percent)) is not None:
        numbers = dict(flag.numbers)
        hint = f"Is {percent / 100:.2f} % meant?" if field == "elongation_percent" and percent >= 100 else None
        raise OutOfRange(Issue(field, flag.code, flag.message, numbers["bound_percent"], percent, hint))


def _given_percent(given: Measurement, pitch_mm: float, wear: WearReference, trace: Trace) -> Measured:
    percent = given.elongation_percent or 0.0
    _refuse_implausible(percent, "elongation_percent")
    flags: tuple[Flag, ...] = ()
    if (flag := fraction_or_percent_suspect(field="elongation_percent", percent=percent)) is not None:
        flags = (flag,)
        trace.warn(flag.code, flag.message, field="elongation_percent")
    doubt = given.uncertainty_percent
    if doubt is None:
        doubt = wear.thresholds["reading_uncertainty"].value
    short = shorter_than_nominal(elongation_percent=percent, uncertainty_percent=doubt)
    if short is not None:
        flags = (*flags, short)
        trace.warn(short.code, short.message, field="elongation_percent")
    return Measured(
        method="given_percent",
        pitch_mm=pitch_mm,
        pitch_count=given.pitch_count,
        elongation_percent=percent,
        uncertainty_percent=given.uncertainty_percent,
        flags=flags,
    )


def _gauge(given: Measurement, pitch_mm: float, trace: Trace) -> Measured:
    if given.gauge_threshold_percent is None:
        raise MoreNeeded(
            Issue("gauge_threshold_percent", "field_required", "The percentage that the gauge stands for is needed.")
        )
    if given.gauge_pitch_mm is not None and abs(given.gauge_pitch_mm / pitch_mm - 1) > GAUGE_PITCH_TOLERANCE:
        raise Inconsistent(
            Issue(
                "gauge_pitch_mm",
                "gauge_mismatch",
                f"The gauge is made for {given.gauge_pitch_mm:g} mm pitch, the chain has {pitch_mm:g} mm.",
                pitch_mm,
                given.gauge_pitch_mm,
                "Use a gauge for this pitch, or measure a length.",
            )
        )
    resolution = given.gauge_resolution_percent or 0.0
    interval = trace.take(
        gauge_interval,
        result=given.gauge_result or "at",
        threshold_percent=given.gauge_threshold_percent,
        resolution_percent=resolution,
    )
    at = given.gauge_result == "at"
    blank = Measured(method="gauge", pitch_mm=pitch_mm)
    if at:
        _refuse_implausible(given.gauge_threshold_percent, "gauge_threshold_percent")
        return replace(
            blank, elongation_percent=given.gauge_threshold_percent, uncertainty_percent=resolution / 2 or None
        )
    if given.gauge_result == "above":
        return replace(blank, low_percent=interval.low_percent)
    return replace(blank, high_percent=interval.high_percent)


def _takeup(given: Measurement, pitch_mm: float, trace: Trace) -> Measured:
    percent = elongation_by_takeup(given, pitch_mm, trace)
    _refuse_implausible(percent, "takeup_travel_mm")
    return Measured(
        method="takeup_travel",
        pitch_mm=pitch_mm,
        pitch_count=(given.loop_pitch_count or 0) - (given.pitches_removed or 0),
        elongation_percent=percent,
        uncertainty_percent=given.uncertainty_percent,
    )
