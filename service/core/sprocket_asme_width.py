"""Tooth and rim widths of roller-chain sprockets by ASME B29.1, in inches."""

from __future__ import annotations

from service.core.equations import Source, equation
from service.core.guards import positive


@equation(
    "sprocket_asme.face_width_single",
    symbol="t",
    unit="in",
    sources=(
        Source("trade-sprockets-inch", "plate thickness of No. 35 to No. 240", "secondary"),
        Source("asme-b29.1-2011", "maximum tooth width, single strand", "memory"),
    ),
)
def face_width_single(*, inner_width_in: float) -> float:
    """Largest tooth width of a wheel for one strand.

    Equation:
        t = 0.93 W - 0.006

    Args:
        inner_width_in: Nominal width W between the inner plates, [in].

    Returns:
        Largest tooth width t, [in].

    Raises:
        OutOfRange: the width is not positive, or so small that no tooth is left.

    Validity: none stated; W is the nominal inner width of the ASME table, not the least width of ISO 606.
    Deviations: recalled as a relation; all thirteen plate thicknesses of a trade table agree with it to 0.001 in.
    Sources: trade-sprockets-inch plate thickness [secondary]; asme-b29.1-2011 tooth width [memory].

    Examples:
        >>> face_width_single(inner_width_in=0.5)
        0.459
    """
    return _width(inner_width_in, 0.93, 0.006)


@equation(
    "sprocket_asme.face_width_two_three",
    symbol="t",
    unit="in",
    sources=(Source("asme-b29.1-2011", "maximum tooth width, double and triple strand", "memory"),),
)
def face_width_two_three(*, inner_width_in: float) -> float:
    """Largest width of each row of teeth of a wheel for two or three strands.

    Equation:
        t = 0.90 W - 0.006

    Args:
        inner_width_in: Nominal width W between the inner plates, [in].

    Returns:
        Largest tooth width t, [in].

    Raises:
        OutOfRange: the width is not positive, or so small that no tooth is left.

    Validity: none stated.
    Deviations: none known.
    Sources: asme-b29.1-2011 tooth width [memory].

    Examples:
        >>> face_width_two_three(inner_width_in=0.5)
        0.444
    """
    return _width(inner_width_in, 0.90, 0.006)


@equation(
    "sprocket_asme.face_width_four_more",
    symbol="t",
    unit="in",
    sources=(Source("asme-b29.1-2011", "maximum tooth width, quadruple strand and more", "memory"),),
)
def face_width_four_more(*, inner_width_in: float) -> float:
    """Largest width of each row of teeth of a wheel for four strands or more.

    Equation:
        t = 0.86 W - 0.012

    Args:
        inner_width_in: Nominal width W between the inner plates, [in].

    Returns:
        Largest tooth width t, [in].

    Raises:
        OutOfRange: the width is not positive, or so small that no tooth is left.

    Validity: none stated.
    Deviations: also recalled as 0.88 W - 0.006 for four and five strands and 0.86 W - 0.006 for six. The form here
        reproduces the recalled columns of an inch and of a metric table (No. 40: 0.256 in and 6.5 mm; No. 240: 1.602
        in and 40.7 mm), which the others miss, and it is the narrowest of them, so that a wheel made to it enters the
        chain under each reading.
    Sources: asme-b29.1-2011 tooth width [memory].

    Examples:
        >>> face_width_four_more(inner_width_in=0.5)
        0.418
    """
    return _width(inner_width_in, 0.86, 0.012)


@equation(
    "sprocket_asme.overall_width",
    symbol="M",
    unit="in",
    sources=(Source("plane-geometry", "rows of teeth one transverse pitch apart", "derived"),),
)
def overall_width(*, face_width_in: float, transverse_pitch_in: float, strand_count: int) -> float:
    """Width over all rows of teeth of a wheel for several strands.

    Equation:
        M = (n - 1) K + t

    Args:
        face_width_in: Width t of one row of teeth, [in].
        transverse_pitch_in: Transverse pitch K, [in].
        strand_count: Number of strands n, [-]; n >= 1.

    Returns:
        Width M over the rows, [in].

    Raises:
        OutOfRange: a width or the number of strands is not positive.

    Validity: none stated.
    Deviations: none.
    Sources: plane-geometry [derived].

    Examples:
        >>> overall_width(face_width_in=0.444, transverse_pitch_in=0.897, strand_count=2)
        1.341
    """
    positive("face_width_in", face_width_in)
    positive("transverse_pitch_in", transverse_pitch_in)
    positive("strand_count", strand_count)
    return (strand_count - 1) * transverse_pitch_in + face_width_in


def _width(inner_width_in: float, share: float, clearance_in: float) -> float:
    positive("inner_width_in", inner_width_in)
    width = share * inner_width_in - clearance_in
    positive("face_width_in", width)
    return width
