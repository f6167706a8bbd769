"""A wheel for silent chain measured over pins."""

from __future__ import annotations

from math import isclose, pi
from typing import TYPE_CHECKING

from service.calculations.measured_wheel import SAME_SHARE, compare_measured, nearest_teeth
from service.core import silent_sprocket, silent_sprocket_small
from service.core.conversions import MM_PER_INCH
from service.core.errors import Issue, NotInReference, OutOfRange

if TYPE_CHECKING:
    from service.calculations.measured_wheel import MeasuredWheel
    from service.calculations.silent_wheel import SilentDiameters, SilentWheelInput
    from service.calculations.trace import Trace


def compare_over_pins(
    given: SilentWheelInput, pitch_in: float, diameters: SilentDiameters | None, trace: Trace
) -> MeasuredWheel | None:
    """A size measured over pins against the computed one, and the pins against those that it is for.

    Raises:
        NotInReference: the wheels of this chain have no size over pins in the reference data.
        OutOfRange: ``gauge_pin_unsuitable``.
    """
    pin, measured = given.gauge_pin_diameter_mm, given.measured_over_pins_mm
    if diameters is None:
        if pin is None and measured is None:
            return None
        field = "gauge_pin_diameter_mm" if measured is None else "measured_over_pins_mm"
        message = "No size over pins of wheels for this chain is in the reference data to compare with."
        raise NotInReference(Issue(field, "form_not_published", message))
    suits = diameters.pin_diameter_mm
    if pin is not None and abs(pin - suits) > SAME_SHARE * suits:
        message = f"A gauge pin of {pin:g} mm does not suit; the size over pins is for pins of {suits:.5g} mm."
        raise OutOfRange(Issue("gauge_pin_diameter_mm", "gauge_pin_unsuitable", message, suits, pin))
    if given.teeth % 2:
        message = f"{given.teeth} teeth are an odd number: the size over pins runs over the longest chord."
        trace.warn("odd_teeth_measured", message, severity="info", field="teeth")
    if measured is None:
        return None
    small = isclose(pitch_in, silent_sprocket_small.PITCH_IN, rel_tol=1e-6)

    def over_pins(teeth: int) -> float:
        if small:
            return silent_sprocket_small.measurement_over_pins(teeth=teeth) * MM_PER_INCH
        return silent_sprocket.measurement_over_pins(pitch_in=pitch_in, teeth=teeth) * MM_PER_INCH

    guess = given.teeth + round((measured - diameters.over_pins_mm) * pi / (pitch_in * MM_PER_INCH))
    return compare_measured(
        trace,
        field="measured_over_pins_mm",
        measured_mm=measured,
        computed_mm=diameters.over_pins_mm,
        minus_tolerance_mm=diameters.over_pins_minus_tolerance_mm,
        teeth=given.teeth,
        nearest=nearest_teeth(over_pins, measured, guess, silent_sprocket.LEAST_TEETH),
        below="The working faces are worn, or the teeth cut thinner.",
    )
