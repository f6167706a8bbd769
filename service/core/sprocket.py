"""What sprockets of every roller-chain standard share: the pitch polygon and the range of teeth."""

from __future__ import annotations

from math import cos, pi, sin

from service.core.equations import Source, equation
from service.core.errors import Inconsistent, Issue, OutOfRange
from service.core.guards import at_least, at_most, positive

FEWEST_TEETH = 3
"""A pitch polygon of fewer sides is not closed (plane geometry)."""

FEWEST_TEETH_OF_FORM = 5
"""Below this the straight part of the ASME tooth form has a negative length: yz changes sign between 4 and 5 teeth
(derived from the form itself); no standard draws a roller-chain tooth with so few."""

FEW_TEETH = 9
"""Least number of teeth in the range of ISO 606 clause 5.10 (memory) and in the handbook table of caliper factors
for ASME sprockets (machinerys-27, secondary). Fewer is answered with a warning."""

MANY_TEETH = 150
"""Largest number of teeth in the range of ISO 606 clause 5.10 (memory). More is answered with a warning."""

MOST_TEETH = 1000
"""Bound of this project on one wheel; no standard's figure."""


def check_polygon(teeth: int) -> None:
    """Refuse a number of teeth that makes no pitch polygon.

    Raises:
        OutOfRange: ``teeth_below_minimum``, ``teeth_above_limit``.
    """
    at_least("teeth", teeth, FEWEST_TEETH, code="teeth_below_minimum")
    at_most("teeth", teeth, MOST_TEETH, code="teeth_above_limit")


def check_form(teeth: int) -> None:
    """Refuse a number of teeth that has no usable tooth form.

    Raises:
        OutOfRange: ``teeth_below_minimum``, ``teeth_above_limit``.
    """
    check_polygon(teeth)
    if teeth < FEWEST_TEETH_OF_FORM:
        message = f"{teeth} teeth have a pitch circle but no usable tooth form; {FEWEST_TEETH_OF_FORM} is the least."
        raise OutOfRange(Issue("teeth", "teeth_below_minimum", message, FEWEST_TEETH_OF_FORM, teeth))


def check_roller(pitch: float, roller_diameter: float, unit: str) -> None:
    """Refuse a roller that is not smaller than the pitch, both in the unit that ends the names of the fields.

    Raises:
        OutOfRange: a dimension is not positive.
        Inconsistent: ``geometry_impossible``.
    """
    field = f"roller_diameter_{unit}"
    positive(f"pitch_{unit}", pitch)
    positive(field, roller_diameter)
    if roller_diameter >= pitch:
        message = f"A roller of {roller_diameter:g} {unit} does not fit a pitch of {pitch:g} {unit}; are they swapped?"
        raise Inconsistent(Issue(field, "geometry_impossible", message, pitch, roller_diameter))


def pitch_diameter_factor(teeth: int) -> float:
    """Pitch diameter in pitches, 1/sin(180°/N)."""
    check_polygon(teeth)
    return 1 / sin(pi / teeth)


def across_factor(teeth: int) -> float:
    """Distance between two gaps as nearly opposite as may be, in pitch diameters.

    With an odd number of teeth no gap lies opposite another; the nearest two are half a tooth angle off.
    """
    return 1.0 if teeth % 2 == 0 else cos(pi / (2 * teeth))


@equation(
    "sprocket.pitch_diameter",
    symbol="d",
    unit="mm",
    sources=(
        Source("iso-606-2015", "clause 5.3.2 and Annex A", "secondary"),
        Source("jis-tooth-form-pages", "table of pitch diameter factors", "secondary"),
        Source("bhandari-3", "eq. (14.1)", "secondary"),
    ),
)
def pitch_diameter(*, pitch_mm: float, teeth: int) -> float:
    """Diameter of the circle through the pin centres of a chain that lies on the wheel.

    Equation:
        d = p / sin(180°/z)

    Args:
        pitch_mm: Chain pitch p, [mm].
        teeth: Number of teeth z, [-]; 3 <= z <= 1000.

    Returns:
        Pitch diameter d, [mm].

    Raises:
        OutOfRange: the pitch is not positive, or the number of teeth makes no wheel.

    Validity: none stated; exact for a pitch polygon with the pitch as its side.
    Deviations: none.
    Sources: iso-606-2015 clause 5.3.2 and Annex A [secondary]; jis-tooth-form-pages factors [secondary];
        bhandari-3 eq. (14.1) [secondary].

    Examples:
        >>> pitch_diameter(pitch_mm=19.05, teeth=17)
        103.67
    """
    positive("pitch_mm", pitch_mm)
    return pitch_mm * pitch_diameter_factor(teeth)
