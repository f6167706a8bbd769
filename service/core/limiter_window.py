"""Where an overload limiter may be set: above what the machine needs to start, below what its chain may bear."""

from __future__ import annotations

from math import pi, sqrt
from typing import NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Issue, NoSolution, OutOfRange
from service.core.guards import at_least, not_negative, positive


class Window(NamedTuple):
    """Nominal settings between which a limiter neither trips at a start nor lets the chain be overloaded."""

    lowest_n_m: float
    highest_n_m: float


@equation(
    "limiter_window.window",
    symbol="M",
    unit="object",
    sources=(Source("plane-geometry", "scatter of the limiter on both sides of its setting", "derived"),),
)
def window(*, needed_n_m: float, allowed_n_m: float, scatter: float) -> Window:
    """Nominal torque settings of a limiter that trips within a scatter of its setting.

    Equation:
        M_low = M_needed/(1 - x);  M_high = M_allowed/(1 + x)

    Args:
        needed_n_m: Greatest torque of a sound start M_needed, at the limiter's shaft, [N·m]; M_needed > 0.
        allowed_n_m: Torque at which the chain meets its allowed momentary load M_allowed, same shaft, [N·m].
        scatter: Scatter of the tripping torque x as a fraction of the setting, [-]; 0 <= x < 1.

    Returns:
        Lowest and highest nominal setting, [object].

    Raises:
        OutOfRange: a value is not finite or outside its range.
        NoSolution: code ``limiter_no_window``; a limiter of this scatter would trip at starts or come too late.

    Validity: a limiter on a slower shaft than the motor; energy of the turning parts behind it left out.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> window(needed_n_m=900, allowed_n_m=2200, scatter=0.1)
        Window(lowest_n_m=1000.0, highest_n_m=2000.0)
    """
    positive("needed_n_m", needed_n_m)
    positive("allowed_n_m", allowed_n_m)
    not_negative("scatter", scatter)
    if not scatter < 1:
        raise OutOfRange(Issue("scatter", "scatter_above_one", "A scatter of 1 or more leaves no setting.", 1, scatter))
    lowest, highest = needed_n_m / (1 - scatter), allowed_n_m / (1 + scatter)
    if lowest > highest:
        message = (
            f"No setting: a start needs {lowest:g} N·m nominal, the chain allows {highest:g} N·m."
            " The chain is too weak for this drive, or the drive too strong."
        )
        raise NoSolution(
            Issue("allowed_n_m", "limiter_no_window", message, lowest, highest, "Soften the start or take more chain.")
        )
    return Window(lowest_n_m=lowest, highest_n_m=highest)


@equation(
    "limiter_window.pin_torque",
    symbol="M",
    unit="N·m",
    sources=(Source("plane-geometry", "round pins sheared at a radius", "derived"),),
)
def pin_torque(
    *, pin_diameter_mm: float, shear_strength_n_mm2: float, pin_circle_radius_mm: float, sheared_sections: int
) -> float:
    """Torque at which a shear-pin hub parts.

    Equation:
        M = n (pi/4) d^2 tau R/1000

    Args:
        pin_diameter_mm: Diameter of the pin in its notch d, [mm]; d > 0.
        shear_strength_n_mm2: Ultimate shear strength of the pin's material tau, [N/mm2]; tau > 0.
        pin_circle_radius_mm: Radius of the pins about the shaft R, [mm]; R > 0.
        sheared_sections: Sections that part together n: pins times planes, [-]; n >= 1.

    Returns:
        Parting torque M, [N·m].

    Raises:
        OutOfRange: a value is not finite or outside its range.

    Validity: clean shear between hard bushes with no gap; the strength is that of the bar the pins are cut from.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> pin_torque(pin_diameter_mm=10, shear_strength_n_mm2=400, pin_circle_radius_mm=100, sheared_sections=1)
        3141.59
    """
    positive("pin_diameter_mm", pin_diameter_mm)
    positive("shear_strength_n_mm2", shear_strength_n_mm2)
    positive("pin_circle_radius_mm", pin_circle_radius_mm)
    at_least("sheared_sections", sheared_sections, 1, code="must_be_positive")
    area = pi / 4 * pin_diameter_mm * pin_diameter_mm
    return sheared_sections * area * shear_strength_n_mm2 * pin_circle_radius_mm / 1000


@equation(
    "limiter_window.pin_diameter",
    symbol="d",
    unit="mm",
    sources=(Source("plane-geometry", "round pins sheared at a radius, solved for the diameter", "derived"),),
)
def pin_diameter(
    *, torque_n_m: float, shear_strength_n_mm2: float, pin_circle_radius_mm: float, sheared_sections: int
) -> float:
    """Pin diameter for a wanted parting torque.

    Equation:
        d = sqrt[4000 M/(pi n tau R)]

    Args:
        torque_n_m: Wanted parting torque M, [N·m]; M > 0.
        shear_strength_n_mm2: Ultimate shear strength of the pin's material tau, [N/mm2]; tau > 0.
        pin_circle_radius_mm: Radius of the pins about the shaft R, [mm]; R > 0.
        sheared_sections: Sections that part together n: pins times planes, [-]; n >= 1.

    Returns:
        Pin diameter in the notch d, [mm].

    Raises:
        OutOfRange: a value is not finite or outside its range.

    Validity: as for ``limiter_window.pin_torque``, whose inverse it is.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> pin_diameter(torque_n_m=3141.59, shear_strength_n_mm2=400, pin_circle_radius_mm=100, sheared_sections=1)
        10.000
    """
    positive("torque_n_m", torque_n_m)
    positive("shear_strength_n_mm2", shear_strength_n_mm2)
    positive("pin_circle_radius_mm", pin_circle_radius_mm)
    at_least("sheared_sections", sheared_sections, 1, code="must_be_positive")
    return sqrt(4000 * torque_n_m / (pi * sheared_sections * shear_strength_n_mm2 * pin_circle_radius_mm))


def check_setting(*, setting_n_m: float, allowed: Window) -> None:
    """Refuse a setting outside its window.

    Raises:
        OutOfRange: code ``limiter_too_low`` below the window, ``limiter_ineffective`` above it.
    """
    positive("setting_n_m", setting_n_m)
    if setting_n_m < allowed.lowest_n_m:
        message = f"A limiter set to {setting_n_m:g} N·m trips at sound starts, which need {allowed.lowest_n_m:g} N·m."
        raise OutOfRange(Issue("setting_n_m", "limiter_too_low", message, allowed.lowest_n_m, setting_n_m))
    if setting_n_m > allowed.highest_n_m:
        message = (
            f"A limiter set to {setting_n_m:g} N·m comes after the chain, which allows {allowed.highest_n_m:g} N·m."
        )
        raise OutOfRange(Issue("setting_n_m", "limiter_ineffective", message, allowed.highest_n_m, setting_n_m))
