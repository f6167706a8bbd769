"""Numbers of leaf chain: series, pitch and lacing that a number states, and its other name."""

from __future__ import annotations

import re
from typing import Literal, NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Issue, NotInReference
from service.core.guards import positive

Series = Literal["AL", "BL", "LH", "LL"]

_NUMBER = re.compile(r"(AL|BL|LH|LL)([0-9]{1,2})([1-9])([1-9])")
PITCH_UNITS_PER_INCH: dict[str, int] = {"AL": 8, "BL": 8, "LH": 16, "LL": 16}
"""Eighths of an inch after AL and BL (asme-b29.8-2002 clause 1.2), sixteenths after LH and LL."""
PLATE_DEPTH_PITCHES = 0.95
"""asme-b29.8-2002 clause 1.3: greatest plate depth of series BL."""


class LeafNumber(NamedTuple):
    """What the number of a leaf chain states."""

    series: str
    pitch_in: float
    pin_link_plates: int
    articulating_plates: int


@equation(
    "leaf_numbering.read",
    symbol="p, lacing",
    unit="object",
    sources=(
        Source("asme-b29.8-2002", "clause 1.2", "published"),
        Source("trade-leaf-ll", "LL series table", "secondary"),
    ),
)
def read(*, number: str) -> LeafNumber:
    """Series, pitch and lacing that the number of a leaf chain states.

    Equation:
        BL, AL: p = n/8 in;  LH, LL: p = n/16 in;  the last two digits are the plates in the pin link and in the
        articulating link

    Args:
        number: Number such as BL634 or LH1234, without blanks, [text].

    Returns:
        Series, pitch in inches and the two counts of plates, [object].

    Raises:
        NotInReference: code ``not_a_designation``; the text is no number of a leaf chain.

    Validity: that a size of this number is made is for the tables to say.
    Deviations: none.
    Sources: asme-b29.8-2002 clause 1.2 [published]; trade-leaf-ll [secondary].

    Examples:
        >>> read(number="BL523")
        LeafNumber(series='BL', pitch_in=0.625, pin_link_plates=2, articulating_plates=3)
    """
    found = _NUMBER.fullmatch(number)
    if found is None or int(found[2]) == 0:
        raise NotInReference(_no_number(number))
    return LeafNumber(
        series=found[1],
        pitch_in=int(found[2]) / PITCH_UNITS_PER_INCH[found[1]],
        pin_link_plates=int(found[3]),
        articulating_plates=int(found[4]),
    )


@equation(
    "leaf_numbering.other_name",
    symbol="number",
    unit="text",
    sources=(Source("trade-leaf-bl", "BL series table, LH numbers beside BL", "secondary"),),
)
def other_name(*, number: str) -> str:
    """International name of a BL chain, or the BL name of an LH chain.

    Equation:
        BL n ab = LH (2n) ab, the international number with two digits for the pitch

    Args:
        number: Number of series BL or LH, without blanks, [text].

    Returns:
        Number of the other system, [text].

    Raises:
        NotInReference: code ``not_a_designation``, or ``no_other_name`` for a series with one name only, or an LH
            number whose pitch is no whole number of eighths.

    Validity: two names of one series with small differences of rounding between inch and metric tables.
    Deviations: none.
    Sources: trade-leaf-bl [secondary].

    Examples:
        >>> other_name(number="BL634")
        'LH1234'
    """
    chain = read(number=number)
    lacing = f"{chain.pin_link_plates}{chain.articulating_plates}"
    if chain.series == "BL":
        return f"LH{int(16 * chain.pitch_in):02d}{lacing}"
    if chain.series == "LH" and (8 * chain.pitch_in).is_integer():
        return f"BL{int(8 * chain.pitch_in)}{lacing}"
    message = f"{number[:20]} has one name only; BL and LH are the two names of one series."
    raise NotInReference(Issue("number", "no_other_name", message, None, number[:20]))


@equation(
    "leaf_numbering.plate_depth_max",
    symbol="H",
    unit="mm",
    sources=(Source("asme-b29.8-2002", "clause 1.3", "published"),),
)
def plate_depth_max(*, pitch_mm: float) -> float:
    """Greatest depth of the plates of series BL.

    Equation:
        H = 0.95 p

    Args:
        pitch_mm: Pitch p, [mm]; p > 0.

    Returns:
        Depth H, [mm]; the depth itself is allowed.

    Raises:
        OutOfRange: the pitch is not a finite number above zero.

    Validity: series BL; LL and AL have shallower plates.
    Deviations: none.
    Sources: asme-b29.8-2002 clause 1.3 [published].

    Examples:
        >>> plate_depth_max(pitch_mm=19.05)
        18.098
    """
    positive("pitch_mm", pitch_mm)
    return PLATE_DEPTH_PITCHES * pitch_mm


def _no_number(number: str) -> Issue:
    return Issue(
        "number",
        "not_a_designation",
        f"{number[:20]!r} is no number of a leaf chain.",
        None,
        number[:20],
        "BL634 and LH1234 show the form: series, pitch, plates of the pin link, plates of the articulating link.",
    )
