"""Reading of a quantity as people write it: fractions, feet and inches, decimal comma; what is unclear is asked.

Nothing is assumed: a dash between a whole number and a fraction joins them, a comma before three digits is asked for,
and a text of which any part is left over is refused with that part named.
"""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction
from typing import NamedTuple

from service.core.errors import Issue, MoreNeeded, OutOfRange

MAX_TEXT = 60
"""Longest text that is read; the longest sound one has about 20 characters."""
INCHES_PER_FOOT = 12

_DASHES = dict.fromkeys(map(ord, "\u2010\u2011\u2012\u2013\u2014\u2212\ufe63\uff0d"), "-")
_MARKS = str.maketrans({
    "\u2019": "'", "\u2018": "'", "\u2032": "'", "\u00b4": "'", "`": "'",
    "\u201c": '"', "\u201d": '"', "\u2033": '"', "\u201e": '"',
    "\u2044": "/", "\u2215": "/",
})  # fmt: skip
_GROUPED = re.compile(r"\d{1,3}(?:[ ,.']\d{3})+(?:[.,]\d+)?|\d+[.,]\d+[.,]\d+", re.ASCII)
_THREE_BEHIND_POINT = re.compile(r"[1-9]\d{0,2}\.\d{3}", re.ASCII)
_NUMBER = re.compile(
    r"(?P<whole>\d+)(?P<joint>\s*-\s*|\s+|\.)(?P<part>\d+)\s*/\s*(?P<of>\d+)"
    r"|(?P<top>\d+)\s*/\s*(?P<below>\d+)"
    r"|(?P<decimal>\d+(?:[.,]\d*)?|[.,]\d+)",
    re.ASCII,
)
_FEET = re.compile(r"\s*(?:'(?!')|(?:ft|foot|feet)\b\.?)\s*-?\s*(?=$|\d|[.,]\d)", re.IGNORECASE)
_INCHES = re.compile(r"\s*(?:\"|''|(?:in|inch|inches)\b\.?)\s*", re.IGNORECASE)


class QuantityText(NamedTuple):
    """What a text states.

    Attributes:
        magnitude: The number, exact to a float; of feet and inches together the inches.
        unit: The unit as it was written, ``in`` for feet and inches together.
        plain: The number as it was read.
        joined_by_point: Whether a point stood between the whole number and its fraction, as in ``1.1/2``.
        point_before_three: Whether three digits stood behind a point, which some write between thousands.
    """

    magnitude: float
    unit: str
    plain: str
    joined_by_point: bool = False
    point_before_three: bool = False


def read(*, text: str) -> QuantityText:
    r"""Read one quantity with its unit as it was written; an empty unit is for the caller to refuse.

    Args:
        text: Such as ``1-1/2"``, ``1½ in``, ``38,1 mm`` or ``5' 3-1/4"``.

    Raises:
        MoreNeeded: ``number_ambiguous`` with the readings it could have.
        OutOfRange: ``text_unreadable`` naming the part that failed, or ``text_too_long``.

    Examples:
        >>> read(text="5' 3-1/4\"")
        QuantityText(magnitude=63.25, unit='in', plain='5 ft 3-1/4 in', joined_by_point=False, point_before_three=False)
        >>> read(text="38,1mm").magnitude
        38.1
    """
    if len(text) > MAX_TEXT:
        raise OutOfRange(Issue("text", "text_too_long", f"The text has {len(text)} characters.", float(MAX_TEXT)))
    plain = _plain(text)
    sign, rest = (-1, plain[1:].lstrip()) if plain.startswith("-") else (1, plain.removeprefix("+").lstrip())
    _refuse_groups(text, rest)
    value, shown, end, by_point = _number(text, rest, 0)
    if (feet := _FEET.match(rest, end)) is not None:
        return _feet(text, sign * value, shown, rest[feet.end() :], by_point=by_point)
    unit = rest[end:].strip()
    if re.match(r"[\d.,/-]|'(?!')", unit):
        raise _unreadable(text, unit)
    return QuantityText(
        magnitude=float(sign * value),
        unit=unit,
        plain=_signed(sign, shown),
        joined_by_point=by_point,
        point_before_three=_THREE_BEHIND_POINT.fullmatch(rest[:end]) is not None,
    )


def _feet(text: str, feet: Fraction, shown: str, rest: str, *, by_point: bool) -> QuantityText:
    """Feet, and inches where any follow; their mark is not guessed."""
    shown = _signed(-1 if feet < 0 else 1, shown)
    if not rest:
        return QuantityText(magnitude=float(feet), unit="ft", plain=shown, joined_by_point=by_point)
    inches, shown_inches, end, inches_by_point = _number(text, rest, 0)
    plain = f"{shown} ft {shown_inches} in"
    mark = _INCHES.match(rest, end)
    if mark is None and not rest[end:].strip():
        message = f"{text.strip()!r} has no mark after {shown_inches}: inches?"
        raise MoreNeeded(_asked(text, message, f"Write {shown}' {shown_inches}\"."), candidates=(plain,))
    if mark is None or mark.end() != len(rest):
        raise _unreadable(text, rest[end:] if mark is None else rest[mark.end() :])
    if inches >= INCHES_PER_FOOT or feet.denominator != 1:
        raise _unreadable(text, rest, "inches after whole feet are fewer than 12")
    whole = INCHES_PER_FOOT * abs(feet) + inches
    return QuantityText(
        magnitude=float(-whole if feet < 0 else whole), unit="in", plain=plain, joined_by_point=inches_by_point
    )


def _plain(text: str) -> str:
    """Typographic fractions, dashes, quotes and widths of digits made plain."""
    parted = "".join(map(_plain_sign, text.translate(_MARKS)))
    return " ".join(parted.translate(_DASHES | _MARKS).split())


def _plain_sign(sign: str) -> str:
    if unicodedata.category(sign) == "No":
        # Raised figures stay as they are, so that they are refused.
        return f" {unicodedata.normalize('NFKC', sign)}" if "FRACTION" in unicodedata.name(sign, "") else sign
    return unicodedata.normalize("NFKC", sign)


def _refuse_groups(text: str, rest: str) -> None:
    """Digits in groups of three may be thousands or decimals; only a single point says which."""
    found = _GROUPED.match(rest)
    if found is None or re.match(r"\s*/", rest[found.end() :]):
        return
    grouped = found[0]
    marks = re.sub(r"\d", "", grouped)
    if marks == "." or (marks in (",", ".") and grouped.startswith("0")):
        return
    digits = re.sub(r"\D", "", grouped)
    last = len(re.split(r"\D", grouped)[-1])
    decimal = f"{digits[:-last]}.{digits[-last:]}"
    thousands = digits if last == 3 else decimal
    readings = [decimal, thousands] if marks == "," else [thousands]
    message = f"{grouped!r} can be read as {' or '.join(readings)}."
    raise MoreNeeded(_asked(text, message, "Send it without separators of thousands."), candidates=tuple(readings))


def _number(text: str, rest: str, start: int) -> tuple[Fraction, str, int, bool]:
    """Value, plain form and end of the number at a place, and whether a point joins its fraction."""
    found = _NUMBER.match(rest, start)
    if found is None:
        raise _unreadable(text, rest[start:])
    if found["decimal"] is not None:
        plain = found["decimal"].replace(",", ".").rstrip(".")
        return Fraction(plain), plain, found.end(), False
    below = int(found["of"] or found["below"])
    top = int(found["part"] or found["top"])
    if below == 0:
        raise _unreadable(text, found[0], "division by zero")
    if found["whole"] is None:
        return Fraction(top, below), f"{top}/{below}", found.end(), False
    if top >= below:
        raise _unreadable(text, found[0], "the fraction after a whole number is less than one")
    plain = f"{int(found['whole'])}-{top}/{below}"
    return int(found["whole"]) + Fraction(top, below), plain, found.end(), found["joint"] == "."


def _signed(sign: int, shown: str) -> str:
    return f"-{shown}" if sign < 0 else shown


def _asked(text: str, message: str, hint: str) -> Issue:
    return Issue("text", "number_ambiguous", message, None, text, hint)


def _unreadable(text: str, part: str, reason: str = "no quantity is written so") -> OutOfRange:
    message = f"{text.strip()!r} cannot be read at {part.strip()!r}: {reason}."
    hint = "Write one number and its unit, such as 1-1/2 in, 38.1 mm or 5' 3-1/4\"."
    return OutOfRange(Issue("text", "text_unreadable", message, None, text, hint))
