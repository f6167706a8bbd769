"""Diameters of roller-chain sprockets by ASME B29.1, in the inches of the print."""

from __future__ import annotations

from math import pi, sqrt, tan

from service.core.equations import Source, equation
from service.core.guards import positive
from service.core.sprocket import across_factor, check_polygon, check_roller, pitch_diameter_factor


@equation(
    "sprocket_asme.pitch_diameter",
    symbol="PD",
    unit="in",
    sources=(
        Source("mott-4", "section 7-4, pitch diameter", "published"),
        Source("asme-b29.1-2011", "sprocket diameters", "secondary"),
    ),
)
def pitch_diameter(*, pitch_in: float, teeth: int) -> float:
    """Diameter of the circle through the pin centres of a chain that lies on the wheel.

    Equation:
        PD = P / sin(180°/N)

    Args:
        pitch_in: Chain pitch P, [in].
        teeth: Number of teeth N, [-]; 3 <= N <= 1000.

    Returns:
        Pitch diameter PD, [in].

    Raises:
        OutOfRange: the pitch is not positive, or the number of teeth makes no wheel.

    Validity: none stated; exact for a pitch polygon with the pitch as its side.
    Deviations: none.
    Sources: mott-4 section 7-4 [published]; asme-b29.1-2011 sprocket diameters [secondary].

    Examples:
        >>> pitch_diameter(pitch_in=0.5, teeth=17)
        2.721
    """
    positive("pitch_in", pitch_in)
    return pitch_in * pitch_diameter_factor(teeth)


@equation(
    "sprocket_asme.outside_diameter",
    symbol="OD",
    unit="in",
    sources=(
        Source("asme-b29.1-2011", "approximate outside diameter of turned sprockets", "secondary"),
        Source("jis-tooth-form-pages", "standard outside diameter", "secondary"),
    ),
)
def outside_diameter(*, pitch_in: float, teeth: int) -> float:
    """Outside diameter of a wheel whose blank is turned before the teeth are cut.

    Equation:
        OD = P (0.6 + cot(180°/N))

    Args:
        pitch_in: Chain pitch P, [in].
        teeth: Number of teeth N, [-]; 3 <= N <= 1000.

    Returns:
        Outside diameter OD, [in]; the standard calls it approximate.

    Raises:
        OutOfRange: the pitch is not positive, or the number of teeth makes no wheel.

    Validity: turned blanks. A wheel cut with a topping hob has another diameter, which depends on the hob.
    Deviations: none.
    Sources: asme-b29.1-2011 sprocket diameters [secondary]; jis-tooth-form-pages standard outside diameter
        [secondary].

    Examples:
        >>> outside_diameter(pitch_in=0.375, teeth=20)
        2.593
    """
    positive("pitch_in", pitch_in)
    check_polygon(teeth)
    return pitch_in * (0.6 + 1 / tan(pi / teeth))


@equation(
    "sprocket_asme.bottom_diameter",
    symbol="BD",
    unit="in",
    sources=(
        Source("asme-b29.1-2011", "sprocket diameters", "secondary"),
        Source("machinerys-27", "roller chain, sprocket diameters", "secondary"),
    ),
)
def bottom_diameter(*, pitch_in: float, roller_diameter_in: float, teeth: int) -> float:
    """Diameter of the circle that touches the bottoms of the tooth gaps.

    Equation:
        BD = PD - Dr

    Args:
        pitch_in: Chain pitch P, [in].
        roller_diameter_in: Nominal roller diameter Dr, of a chain without rollers the bush diameter, [in]; Dr < P.
        teeth: Number of teeth N, [-]; 3 <= N <= 1000.

    Returns:
        Bottom diameter BD, [in].

    Raises:
        OutOfRange: a dimension is not positive, or the number of teeth makes no wheel.
        Inconsistent: the roller is not smaller than the pitch.

    Validity: none stated.
    Deviations: none.
    Sources: asme-b29.1-2011 sprocket diameters [secondary]; machinerys-27 roller chain [secondary].

    Examples:
        >>> bottom_diameter(pitch_in=1, roller_diameter_in=0.625, teeth=28)
        8.3064
    """
    check_roller(pitch_in, roller_diameter_in, "in")
    return pitch_in * pitch_diameter_factor(teeth) - roller_diameter_in


@equation(
    "sprocket_asme.caliper_diameter",
    symbol="CD",
    unit="in",
    sources=(
        Source("asme-b29.1-2011", "sprocket diameters", "secondary"),
        Source("machinerys-27", "caliper diameters and caliper factors", "secondary"),
    ),
)
def caliper_diameter(*, pitch_in: float, roller_diameter_in: float, teeth: int) -> float:
    """Distance across the bottoms of two gaps as nearly opposite as may be, the dimension that is inspected.

    Equation:
        even N: CD = PD - Dr;  odd N: CD = PD cos(90°/N) - Dr

    Args:
        pitch_in: Chain pitch P, [in].
        roller_diameter_in: Nominal roller diameter Dr, of a chain without rollers the bush diameter, [in]; Dr < P.
        teeth: Number of teeth N, [-]; 3 <= N <= 1000.

    Returns:
        Caliper diameter CD, [in].

    Raises:
        OutOfRange: a dimension is not positive, or the number of teeth makes no wheel.
        Inconsistent: the roller is not smaller than the pitch.

    Validity: none stated.
    Deviations: some copies set the bracket of the odd case wrongly, PD (cos(90°/N) - Dr); the dimension only comes
        out right as written here.
    Sources: asme-b29.1-2011 sprocket diameters [secondary]; machinerys-27 caliper diameters [secondary].

    Examples:
        >>> caliper_diameter(pitch_in=1, roller_diameter_in=0.625, teeth=17)
        4.7939
    """
    check_roller(pitch_in, roller_diameter_in, "in")
    return pitch_in * pitch_diameter_factor(teeth) * across_factor(teeth) - roller_diameter_in


@equation(
    "sprocket_asme.caliper_tolerance_precision",
    symbol="tolerance",
    unit="in",
    sources=(
        Source("machinerys-27", "minus tolerances on caliper diameters, precision sprockets", "secondary"),
        Source("asme-b29.1-2011", "caliper diameter tolerances", "secondary"),
    ),
)
def caliper_tolerance_precision(*, pitch_in: float, teeth: int) -> float:
    """Minus tolerance on the caliper diameter of a precision sprocket; the plus tolerance is nil.

    Equation:
        0.001 P sqrt(N) + 0.003

    Args:
        pitch_in: Chain pitch P, [in].
        teeth: Number of teeth N, [-]; 3 <= N <= 1000.

    Returns:
        Amount by which the caliper diameter may be small, [in].

    Raises:
        OutOfRange: the pitch is not positive, or the number of teeth makes no wheel.

    Validity: none stated.
    Deviations: the printed table steps in bands of teeth whose lower ends are squares (16, 25, 36, 49, ...) and holds
        the relation at the lower end of each band, rounded to half a thousandth. Its row of 0.75 in stands up to
        0.001 in above the relation from 49 teeth on; the other rows read do not.
    Sources: machinerys-27 minus tolerances on caliper diameters [secondary]; asme-b29.1-2011 [secondary].

    Examples:
        >>> caliper_tolerance_precision(pitch_in=1.5, teeth=36)
        0.012
    """
    positive("pitch_in", pitch_in)
    check_polygon(teeth)
    return 0.001 * pitch_in * sqrt(teeth) + 0.003


@equation(
    "sprocket_asme.caliper_tolerance_commercial",
    symbol="tolerance",
    unit="in",
    sources=(Source("asme-b29.1-2011", "caliper diameter tolerances", "secondary"),),
)
def caliper_tolerance_commercial(*, pitch_in: float, teeth: int) -> float:
    """Minus tolerance on the caliper diameter of a commercial sprocket; the plus tolerance is nil.

    Equation:
        0.002 P sqrt(N) + 0.006

    Args:
        pitch_in: Chain pitch P, [in].
        teeth: Number of teeth N, [-]; 3 <= N <= 1000.

    Returns:
        Amount by which the caliper diameter may be small, [in].

    Raises:
        OutOfRange: the pitch is not positive, or the number of teeth makes no wheel.

    Validity: none stated.
    Deviations: none.
    Sources: asme-b29.1-2011 caliper diameter tolerances [secondary].

    Examples:
        >>> caliper_tolerance_commercial(pitch_in=1.5, teeth=36)
        0.024
    """
    return 2 * caliper_tolerance_precision(pitch_in=pitch_in, teeth=teeth)


@equation(
    "sprocket_asme.over_pins",
    symbol="over-pin",
    unit="in",
    sources=(
        Source("plane-geometry", "pins of the roller's diameter lie with their centres on the pitch circle", "derived"),
        Source("machinerys-27", "roller chain, measurement over pins", "memory"),
    ),
)
def over_pins(*, pitch_in: float, roller_diameter_in: float, teeth: int) -> float:
    """Distance over two gauge pins of the roller's diameter in gaps as nearly opposite as may be.

    Equation:
        even N: PD + Dr;  odd N: PD cos(90°/N) + Dr

    Args:
        pitch_in: Chain pitch P, [in].
        roller_diameter_in: Nominal roller diameter Dr, which is the diameter of the pins, [in]; Dr < P.
        teeth: Number of teeth N, [-]; 3 <= N <= 1000.

    Returns:
        Distance over the pins, [in].

    Raises:
        OutOfRange: a dimension is not positive, or the number of teeth makes no wheel.
        Inconsistent: the roller is not smaller than the pitch.

    Validity: pins of exactly the nominal roller diameter.
    Deviations: none.
    Sources: plane-geometry [derived]; machinerys-27 measurement over pins [memory].

    Examples:
        >>> over_pins(pitch_in=1, roller_diameter_in=0.625, teeth=28)
        9.5564
    """
    return 2 * roller_diameter_in + caliper_diameter(
        pitch_in=pitch_in, roller_diameter_in=roller_diameter_in, teeth=teeth
    )


@equation(
    "sprocket_asme.hub_diameter_max",
    symbol="MHD",
    unit="in",
    sources=(
        Source("asme-b29.1-2011", "maximum hub and groove diameter", "secondary"),
        Source("jis-tooth-form-pages", "largest hub and groove diameter", "secondary"),
    ),
)
def hub_diameter_max(*, pitch_in: float, teeth: int) -> float:
    """Largest diameter of a hub, or of the groove between strands, that clears the link plates.

    Equation:
        MHD = P (cot(180°/N) - 1) - 0.030

    Args:
        pitch_in: Chain pitch P, [in].
        teeth: Number of teeth N, [-]; 3 <= N <= 1000.

    Returns:
        Largest hub or groove diameter MHD, [in]; negative for very few teeth, when no hub clears the plates.

    Raises:
        OutOfRange: the pitch is not positive, or the number of teeth makes no wheel.

    Validity: hubs with square shoulders on standard chain.
    Deviations: metric prints give 0.76 mm for the 0.030 in.
    Sources: asme-b29.1-2011 maximum hub and groove diameter [secondary]; jis-tooth-form-pages [secondary].

    Examples:
        >>> hub_diameter_max(pitch_in=1, teeth=17)
        4.319
    """
    positive("pitch_in", pitch_in)
    check_polygon(teeth)
    return pitch_in * (1 / tan(pi / teeth) - 1) - 0.030
