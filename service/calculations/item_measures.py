"""Figures in item descriptions: whole numbers, decimals and fractions, and dimensions with a cross between them."""

from __future__ import annotations

import re
from fractions import Fraction

from service.core.conversions import MM_PER_INCH

_OVER = r"\d+/(?:64|32|16|8|4|2)(?!\d)"
NUMBER = rf"\d+-{_OVER}|{_OVER}|\d+[.,]\d+|[.,]\d+|\d+"
"""Numbers as the trade writes them; a fraction is of halves down to sixty-fourths, so that 60/80 is none."""
MEASURE = re.compile(rf"({NUMBER})-?([A-Z]+|['\"]+)?")
_ONE = re.compile(rf"({NUMBER})(MM|IN|\"|'')?")
_CROSSED = re.compile(rf"(?:{NUMBER})(?:MM|IN|\"|'')?(?:X(?:{NUMBER})(?:MM|IN|\"|'')?){{1,2}}")

LEAST_LINK_RATIO, GREATEST_LINK_RATIO = 2.2, 6.5
"""Inside length over wire of round-link chain in the tables: from 2.5 to 6."""
LEAST_DECIMAL_MM = 3.5
"""A decimal below is taken for inches: the least roller diameter and inner width of the tables in millimetres are
3.1 mm, and the greatest pitch in inches is 4.5."""


def figure(text: str) -> float:
    """A number such as ``12,7``, ``5/8`` or ``1-1/4``."""
    whole, _, fraction = text.rpartition("-")
    if "/" in fraction:
        top, below = map(int, fraction.split("/"))
        return float(int(whole or 0) + Fraction(top, below))
    return float(text.replace(",", "."))


def dimensions(text: str) -> tuple[str, tuple[float, ...]] | None:
    """Millimetres of ``pitch_width_roller`` or of ``round_link`` (wire and inside length); None if it is neither.

    Examples:
        >>> dimensions("1/2X5/16")
        ('pitch_width_roller', (12.7, 7.9375))
        >>> dimensions("10X30")
        ('round_link', (10.0, 30.0))
    """
    if "X" not in text or _CROSSED.fullmatch(text) is None:
        return None
    found = [(match[1], match[2] or "") for match in _ONE.finditer(text)]
    inch = any("/" in number or unit in ("IN", '"', "''") for number, unit in found)
    values = tuple(_mm(number, unit, inch=inch) for number, unit in found)
    if len(values) == 2 and values[0] and LEAST_LINK_RATIO <= values[1] / values[0] <= GREATEST_LINK_RATIO:
        return "round_link", values
    decimal = any(not number.isdigit() for number, _ in found)
    return ("pitch_width_roller", values) if decimal and values[0] > values[1] > 0 else None


def _mm(number: str, unit: str, *, inch: bool) -> float:
    value = figure(number)
    in_inches = unit in ("IN", '"', "''") or "/" in number
    if unit != "MM" and not in_inches and inch:
        in_inches = number.isdigit() or value < LEAST_DECIMAL_MM
    return value * MM_PER_INCH if in_inches else value
