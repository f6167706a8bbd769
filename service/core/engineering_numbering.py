"""Numbers of engineering-class chain that state figures: offset sidebar, rivetless, conveyor chain of ISO 1977."""

from __future__ import annotations

import re
from typing import NamedTuple

from service.core.equations import Source, equation
from service.core.errors import Issue, NotInReference

_OFFSET_SIDEBAR = re.compile(r"([0-9]{2})([0-9]{2})")
_RIVETLESS = re.compile(r"X?([1-9])([0-9]{1,2})8")
_ISO_CONVEYOR = re.compile(r"M[CT]?([1-9][0-9]{1,2})")


class NominalJoint(NamedTuple):
    """Nominal pitch and pin that a number states; the table gives the actual figures."""

    pitch_in: float
    pin_diameter_in: float


@equation(
    "engineering_numbering.offset_sidebar",
    symbol="p, d",
    unit="object",
    sources=(Source("asme-b29.10m-1997", "clause 2.2", "secondary"),),
)
def offset_sidebar(*, number: str) -> NominalJoint:
    """Nominal pitch and pin that the number of an offset sidebar chain states.

    Equation:
        four digits: p = first two / 8 in, d = last two / 16 in

    Args:
        number: Number such as 2814, [text].

    Returns:
        Nominal pitch and pin diameter in inches, [object].

    Raises:
        NotInReference: code ``not_a_designation``; the text is no such number.

    Validity: nominal: the actual pitch of 2512 and 3315 is one to two per cent less.
    Deviations: the fractions are illegible in the copy read and are restored from the designations.
    Sources: asme-b29.10m-1997 clause 2.2 [secondary].

    Examples:
        >>> offset_sidebar(number="2814")
        NominalJoint(pitch_in=3.5, pin_diameter_in=0.875)
    """
    found = _OFFSET_SIDEBAR.fullmatch(number)
    if found is None or int(found[1]) == 0 or int(found[2]) == 0:
        raise NotInReference(_no_number(number, "an offset sidebar chain", "2814"))
    return NominalJoint(pitch_in=int(found[1]) / 8, pin_diameter_in=int(found[2]) / 16)


@equation(
    "engineering_numbering.rivetless",
    symbol="p, d",
    unit="object",
    sources=(Source("asme-b29.22-2001", "numbering clause, recalled", "memory"),),
)
def rivetless(*, number: str) -> NominalJoint:
    """Nominal pitch and pin that the number of a rivetless chain states.

    Equation:
        X or nothing, one digit: p in inches; the digits between it and the closing 8: d in eighths of an inch

    Args:
        number: Number such as X458 or 9118, [text].

    Returns:
        Nominal pitch and pin diameter in inches, [object].

    Raises:
        NotInReference: code ``not_a_designation``; the text is no such number.

    Validity: nominal: the actual pitch is a few hundredths of an inch more.
    Deviations: none.
    Sources: asme-b29.22-2001 numbering clause [memory].

    Examples:
        >>> rivetless(number="X458")
        NominalJoint(pitch_in=4.0, pin_diameter_in=0.625)
    """
    found = _RIVETLESS.fullmatch(number)
    if found is None or int(found[2]) == 0:
        raise NotInReference(_no_number(number, "a rivetless chain", "X458"))
    return NominalJoint(pitch_in=float(found[1]), pin_diameter_in=int(found[2]) / 8)


@equation(
    "engineering_numbering.iso_conveyor_strength",
    symbol="Fu",
    unit="kN",
    sources=(Source("iso-1977", "numbering, recalled", "memory"),),
)
def iso_conveyor_strength(*, number: str) -> float:
    """Minimum tensile strength that the number of a conveyor chain of ISO 1977 states.

    Equation:
        M, MT or MC and a number: Fu = number in kN

    Args:
        number: Number such as M56 or MC112, without the pitch, [text].

    Returns:
        Minimum tensile strength Fu, [kN].

    Raises:
        NotInReference: code ``not_a_designation``; the text is no such number.

    Validity: sizes of the standard.
    Deviations: none.
    Sources: iso-1977 numbering [memory].

    Examples:
        >>> iso_conveyor_strength(number="MC56")
        56.0
    """
    found = _ISO_CONVEYOR.fullmatch(number)
    if found is None:
        raise NotInReference(_no_number(number, "a conveyor chain of ISO 1977", "M56"))
    return float(found[1])


def _no_number(number: str, of_what: str, example: str) -> Issue:
    return Issue(
        "number",
        "not_a_designation",
        f"{number[:20]!r} is no number of {of_what}.",
        None,
        number[:20],
        f"{example} shows the form.",
    )
