"""What a length reading can say: permissible error of the measure, reading error, warmth, and their sum."""

from __future__ import annotations

from math import ceil, inf, sqrt
from typing import NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Issue, OutOfRange
from service.core.guards import not_negative, positive


@equation(
    "tape_error.maximum_permissible",
    symbol="MPE",
    unit="mm",
    sources=(Source("uk-si-2016-1153", "schedule 1I chapter 1, paragraph 2 and table 1", "published"),),
)
def maximum_permissible(
    *, length_mm: float, error_mm: float, error_per_metre: float, end_surface_error_mm: float
) -> float:
    """Maximum permissible error of a tape or rule between two marks, or from an end surface.

    Equation:
        MPE = a + b L + c, L in metres rounded up to the next whole metre

    Args:
        length_mm: Measured length, [mm]; > 0.
        error_mm: Fixed part a of the accuracy class, [mm]; a >= 0.
        error_per_metre: Part b for each metre of the accuracy class, mm per metre, [-]; b >= 0.
        end_surface_error_mm: Part c where the length begins at a surface such as a hook; 0 between marks, [mm].

    Returns:
        Error, positive or negative, [mm].

    Raises:
        OutOfRange: the length is not positive or a part is negative.

    Validity: at 20 °C; tapes of 5 m and longer under 50 N pull or as marked; a measure that is new or as good.
    Deviations: none.
    Sources: uk-si-2016-1153, the same text as annex X of Directive 2014/32/EU [published].

    Examples:
        >>> maximum_permissible(length_mm=2032, error_mm=0.3, error_per_metre=0.2, end_surface_error_mm=0)
        0.9
    """
    positive("length_mm", length_mm)
    not_negative("error_mm", error_mm)
    not_negative("error_per_metre", error_per_metre)
    not_negative("end_surface_error_mm", end_surface_error_mm)
    return error_mm + error_per_metre * ceil(length_mm / 1000) + end_surface_error_mm


@equation(
    "tape_error.reading",
    symbol="r",
    unit="mm",
    sources=(Source("common-practice", "reading to the nearest division", "practice"),),
)
def reading(*, division_mm: float) -> float:
    """Error of reading a scale to its nearest division.

    Equation:
        r = d/2

    Args:
        division_mm: Smallest division d of the scale, or last digit written down, [mm]; d > 0.

    Returns:
        Error, positive or negative, [mm].

    Raises:
        OutOfRange: the division is not positive.

    Validity: eye square to the scale.
    Deviations: none.
    Sources: common-practice [practice].

    Examples:
        >>> reading(division_mm=25.4 / 16)
        0.79
    """
    positive("division_mm", division_mm)
    return division_mm / 2


@equation(
    "tape_error.elongation_uncertainty",
    symbol="U",
    unit="%",
    sources=(
        Source("jcgm-100-2008", "5.1.2 law of propagation for uncorrelated inputs", "memory"),
        Source("plane-geometry", "independent errors of a length, as share of the nominal length", "derived"),
    ),
)
def elongation_uncertainty(*, instrument_error_mm: float, reading_error_mm: float, nominal_length_mm: float) -> float:
    """Uncertainty of an elongation from the errors of its length.

    Equation:
        U = 100 sqrt(MPE^2 + r^2)/(n p)

    Args:
        instrument_error_mm: Permissible error MPE of the measure, [mm]; >= 0.
        reading_error_mm: Reading error r, [mm]; >= 0.
        nominal_length_mm: Nominal length n p, [mm]; > 0.

    Returns:
        Half-width U of the band about the elongation, in percentage points, [%].

    Raises:
        OutOfRange: an error is negative or the length is not positive.

    Validity: errors independent of each other; slack, a wrong count and a worn hook are not in it.
    Deviations: none.
    Sources: jcgm-100-2008 [memory]; plane-geometry [derived].

    Examples:
        >>> elongation_uncertainty(instrument_error_mm=0.5, reading_error_mm=0.5, nominal_length_mm=304.8)
        0.23
    """
    not_negative("instrument_error_mm", instrument_error_mm)
    not_negative("reading_error_mm", reading_error_mm)
    positive("nominal_length_mm", nominal_length_mm)
    combined_mm = sqrt(instrument_error_mm**2 + reading_error_mm**2)
    return 100 * combined_mm / nominal_length_mm


class Interval(NamedTuple):
    """Where an elongation lies, in per cent; an end is infinite where a gauge does not say."""

    low_percent: float
    high_percent: float


_GAUGE_RESULTS = ("below", "at", "above")


@equation(
    "tape_error.gauge_interval",
    symbol="e",
    unit="object",
    sources=(Source("common-practice", "what a go/no-go or stepped gauge tells", "practice"),),
)
def gauge_interval(*, result: str, threshold_percent: float, resolution_percent: float) -> Interval:
    """Interval of elongation that a gauge leaves open.

    Equation:
        below: e < t;  above: e > t;  at: t - q/2 <= e <= t + q/2

    Args:
        result: Outcome ``below``, ``at`` or ``above``, [text].
        threshold_percent: Threshold or reading t, [%].
        resolution_percent: Step q of the gauge; only used for ``at``, [%]; q >= 0.

    Returns:
        Interval, [object]; open ends are infinite. It is no value and enters no trend.

    Raises:
        OutOfRange: another outcome, or a negative resolution.

    Validity: a gauge for this pitch, tips between rollers or pins as its maker says; roller wear enters the reading.
    Deviations: none.
    Sources: common-practice [practice].

    Examples:
        >>> gauge_interval(result="at", threshold_percent=2, resolution_percent=0.5)
        Interval(low_percent=1.75, high_percent=2.25)
    """
    not_negative("resolution_percent", resolution_percent)
    if result not in _GAUGE_RESULTS:
        raise OutOfRange(
            Issue("result", "enum_unknown", "A gauge result is one of below, at, above.", None, result[:40])
        )
    half = resolution_percent / 2
    return {
        "below": Interval(-inf, threshold_percent),
        "at": Interval(threshold_percent - half, threshold_percent + half),
        "above": Interval(threshold_percent, inf),
    }[result]


@equation(
    "tape_error.thermal_growth",
    symbol="e",
    unit="%",
    sources=(Source("plane-geometry", "definition of the coefficient of linear expansion", "derived"),),
)
def thermal_growth(*, expansion_per_kelvin: float, temperature_difference_c: float) -> float:
    """Growth of a chain that is warmer than the measure it is read against.

    Equation:
        e = 100 a dT

    Args:
        expansion_per_kelvin: Coefficient of linear expansion a, one over kelvin, [-]; a >= 0.
        temperature_difference_c: Temperature of the chain less that at which the measure reads true, [°C].

    Returns:
        Growth e, [%] of the length; no wear.

    Raises:
        OutOfRange: the coefficient is negative.

    Validity: uniform temperature; a steel tape as warm as a steel chain cancels it.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> thermal_growth(expansion_per_kelvin=11.5e-6, temperature_difference_c=30)
        0.0345
    """
    not_negative("expansion_per_kelvin", expansion_per_kelvin)
    return 100 * expansion_per_kelvin * temperature_difference_c
