"""Numbers as messages show them: so many significant digits, and never an exponent."""

from __future__ import annotations

from math import floor, isfinite, log10

SMALLEST_SHOWN = 1e-9
"""Below this a number is shown as zero."""


def significant(value: float, digits: int = 4) -> str:
    """A finite number with so many significant digits, without exponent and without zeros behind the point.

    Digits before the point are never rounded away, so that 50 000 stays 50000.

    Args:
        value: The number.
        digits: Significant digits, one or more.

    Raises:
        ValueError: the number is not finite.

    Examples:
        >>> significant(50_000.4), significant(0.123456), significant(-2.50)
        ('50000', '0.1235', '-2.5')
    """
    if not isfinite(value):
        raise ValueError(f"{value} cannot be shown")
    if abs(value) < SMALLEST_SHOWN:
        return "0"
    places = max(0, digits - 1 - floor(log10(abs(value))))
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
