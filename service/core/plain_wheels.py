"""Wheels without teeth: sheaves of leaf chain and traction wheels of barrel chain."""

from __future__ import annotations

from service.core.equations import Source, equation
from service.core.guards import positive


@equation(
    "plain_wheels.flange_diameter",
    symbol="Df",
    unit="mm",
    sources=(Source("trade-leaf-practice", "sheaves: flange diameter", "secondary"),),
)
def flange_diameter(*, tread_diameter_mm: float, plate_height_mm: float) -> float:
    """Flange diameter of a sheave for leaf chain.

    Equation:
        Df = D + H

    Args:
        tread_diameter_mm: Diameter D on which the plate edges run, [mm]; D > 0.
        plate_height_mm: Plate depth H of the chain, [mm]; H > 0.

    Returns:
        Flange diameter Df at least, [mm].

    Raises:
        OutOfRange: a dimension is not positive.

    Validity: practice of the trade; the standard's own sheave table was not read.
    Deviations: none.
    Sources: trade-leaf-practice sheaves [secondary].

    Examples:
        >>> flange_diameter(tread_diameter_mm=127, plate_height_mm=24)
        151
    """
    positive("tread_diameter_mm", tread_diameter_mm)
    positive("plate_height_mm", plate_height_mm)
    return tread_diameter_mm + plate_height_mm


@equation(
    "plain_wheels.traction_pitch_diameter",
    symbol="PD",
    unit="mm",
    sources=(Source("plane-geometry", "barrel lying on a plain rim", "derived"),),
)
def traction_pitch_diameter(*, tread_diameter_mm: float, seating_diameter_mm: float) -> float:
    """Diameter of the circle through the joints of a barrel chain on a plain rim.

    Equation:
        PD = D + d

    Args:
        tread_diameter_mm: Diameter D of the rim, [mm]; D > 0.
        seating_diameter_mm: Diameter d of the barrel or roller that lies on the rim, [mm]; d > 0.

    Returns:
        Pitch diameter PD, [mm].

    Raises:
        OutOfRange: a dimension is not positive.

    Validity: the barrels lie on the rim and the side bars clear it.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> traction_pitch_diameter(tread_diameter_mm=600, seating_diameter_mm=44.45)
        644.45
    """
    positive("tread_diameter_mm", tread_diameter_mm)
    positive("seating_diameter_mm", seating_diameter_mm)
    return tread_diameter_mm + seating_diameter_mm
