"""What figures say in fault finding: elongation against its limit, wrap of the small wheel, slack, and a pair."""

from __future__ import annotations

from math import degrees, sqrt
from typing import TYPE_CHECKING

from service.calculations.chain_slack import MUCH
from service.calculations.elongation_check import PLAUSIBLE_WITHOUT_LIMIT_PERCENT, family_of, unequal_pair
from service.calculations.measurement import Measurement, measure
from service.calculations.trace import Check
from service.calculations.wear_limit import LimitCase, choose_limit
from service.core.errors import Inconsistent, Issue, MoreNeeded, OutOfRange
from service.core.guards import at_least, at_most
from service.core.sprocket import FEWEST_TEETH, MOST_TEETH, pitch_diameter
from service.core.wear_limits import limit_used
from service.core.wear_status import reaches
from service.core.wrap import WRAP_MIN_DEG, wrap_small_rad
from service.reference.records import Record

if TYPE_CHECKING:
    from service.calculations.measurement import Measured
    from service.calculations.trace import Trace
    from service.reference.catalogue import Reference
    from service.reference.chains import ChainSize
    from service.reference.sags import SagRow, Situation

FULL_TURN_DEG = 360.0

Fact = tuple[str, str]
"""What a figure says: field and value of table ``fault_evidence``."""


class FigureInput(Record, frozen=True, kw_only=True):
    """Figures that were measured or are known of the drive."""

    chain: ChainSize | None = None
    family: str | None = None
    measurement: Measurement | None = None
    case: LimitCase
    wrap_deg: float | None = None
    centre_distance_mm: float | None = None
    mid_span_movement_mm: float | None = None
    span_mm: float | None = None
    slack_situations: tuple[Situation, ...] = ()


def judge_figures(given: FigureInput, reference: Reference, trace: Trace) -> list[Fact]:
    """What the figures say, each against its limit.

    Raises:
        EngineeringError: a figure is impossible, or another is needed to judge it.
    """
    return [*_elongation(given, reference, trace), *_wrap(given, trace), *_slack(given, reference, trace)]


def _elongation(given: FigureInput, reference: Reference, trace: Trace) -> list[Fact]:
    if given.measurement is None:
        return []
    if given.chain is None:
        raise MoreNeeded(
            Issue("chain", "field_required", "A wear reading needs its chain: send chain (a designation) or own_chain.")
        )
    limit = choose_limit(family_of(given.chain, given.family, trace), given.case, reference, trace)
    plausible = limit.percent or PLAUSIBLE_WITHOUT_LIMIT_PERCENT
    measured = measure(given.measurement, given.chain, plausible, reference.wear, trace)
    facts = _pair(measured)
    if limit.percent is None or measured.elongation_percent is None:
        return facts
    trace.check(
        Check("elongation_percent", measured.elongation_percent, limit.percent, note=f"limit: {limit.condition}")
    )
    used = trace.take(limit_used, elongation_percent=measured.elongation_percent, limit_percent=limit.percent)
    near, watch = (reference.wear.thresholds[name] for name in ("drive_plan", "drive_watch"))
    trace.row(near, "share of the limit that counts as near")
    trace.row(watch, "share of the limit that counts as far from it")
    if reaches(used, 1.0):
        facts.append(("elongation", "at_or_over_limit"))
    elif reaches(used, near.value):
        facts.append(("elongation", "near_limit"))
    elif not reaches(used, watch.value):
        facts.append(("elongation", "far_from_limit"))
    return facts


def _pair(measured: Measured) -> list[Fact]:
    second = measured.pair_elongation_percent
    if second is None or measured.uncertainty_percent is None:
        return []
    return [("pair", "equal" if unequal_pair(measured, second) is None else "unequal")]


def _wrap(given: FigureInput, trace: Trace) -> list[Fact]:
    wrap_deg = given.wrap_deg
    if wrap_deg is not None and not 0.0 < wrap_deg < FULL_TURN_DEG:
        message = f"A wrap of {wrap_deg:g} degrees cannot be: it lies between none and a whole turn."
        raise OutOfRange(Issue("wrap_deg", "angle_out_of_range", message, FULL_TURN_DEG, wrap_deg))
    diameters = _pitch_diameters(given, trace)
    if wrap_deg is None and diameters is not None and given.centre_distance_mm is not None:
        small_mm, large_mm = diameters
        wrap_deg = degrees(
            trace.take(
                wrap_small_rad,
                pitch_diameter_small_mm=small_mm,
                pitch_diameter_large_mm=large_mm,
                centre_distance_mm=given.centre_distance_mm,
            )
        )
    if wrap_deg is None:
        return []
    enough = trace.check(
        Check("wrap_small_wheel", wrap_deg, WRAP_MIN_DEG, kind="angle", sense="at_least", note="recommended, mott-4")
    )
    return [("wrap", "within_advice" if enough else "below_advice")]


def _pitch_diameters(given: FigureInput, trace: Trace) -> tuple[float, float] | None:
    small, large = given.case.small_wheel_teeth, given.case.large_wheel_teeth
    if given.chain is None or small is None or large is None:
        return None
    if small > large:
        message = f"The small wheel has {small} teeth and the large one {large}: exchange them."
        raise Inconsistent(Issue("small_wheel_teeth", "range_reversed", message, large, small))
    at_least("small_wheel_teeth", small, FEWEST_TEETH, code="teeth_below_minimum")
    at_most("large_wheel_teeth", large, MOST_TEETH, code="teeth_above_limit")
    pitch_mm = trace.figure(given.chain, "pitch")
    return (
        trace.take(pitch_diameter, pitch_mm=pitch_mm, teeth=small),
        trace.take(pitch_diameter, pitch_mm=pitch_mm, teeth=large),
    )


def _slack(given: FigureInput, reference: Reference, trace: Trace) -> list[Fact]:
    movement_mm = given.mid_span_movement_mm
    if movement_mm is None:
        return []
    row = next(row for row in reference.sags.advice(given.slack_situations) if row.measure == "movement")
    trace.row(row, "advised movement of the slack strand")
    base_mm = _base(given, row, trace)
    if movement_mm > base_mm:
        message = f"A movement of {movement_mm:g} mm is more than the strand of {base_mm:.0f} mm is long."
        raise Inconsistent(Issue("mid_span_movement_mm", "sag_excessive", message, base_mm, movement_mm))
    percent = 100.0 * movement_mm / base_mm
    least, greatest = row.least_percent or 0.0, row.greatest_percent or 100.0
    advised = f"about {greatest:g}" if least == greatest else f"{least:g} to {greatest:g}"
    trace.check(
        Check(
            "mid_span_movement_percent",
            percent,
            greatest,
            note=f"per cent of the {row.of.replace('_', ' ')}; {advised} is advised",
        )
    )
    if percent > MUCH * greatest:
        return [("slack", "above_advice")]
    return [("slack", "below_advice" if percent * MUCH < least else "within_advice")]


def _base(given: FigureInput, row: SagRow, trace: Trace) -> float:
    """The length that the advice is a share of: the span or the centre distance, one for the other if need be."""
    span_mm = given.span_mm
    diameters = _pitch_diameters(given, trace)
    if span_mm is None and given.centre_distance_mm is not None and diameters is not None:
        half_difference_mm = (diameters[1] - diameters[0]) / 2.0
        if half_difference_mm < given.centre_distance_mm:
            span_mm = sqrt(given.centre_distance_mm**2 - half_difference_mm**2)
    wanted, other = (span_mm, given.centre_distance_mm)
    if row.of == "centre_distance":
        wanted, other = other, wanted
    if wanted is not None:
        return wanted
    if other is None:
        raise MoreNeeded(
            Issue("span_mm", "field_required", "Send span, the free length of the slack strand, or centre_distance.")
        )
    trace.assume(row.of, "as the other", "default", "span and centre distance differ little for wheels of like size")
    return other
