"""Descriptions of stock items in plain form, parted into chunks; and the check digit of trade item numbers."""

from __future__ import annotations

import re
import unicodedata

MAX_TEXT = 255
"""Longest description that is read; the descriptions of stock systems end at 40 to 255 characters."""

_DASHES = dict.fromkeys(map(ord, "\u2010\u2011\u2012\u2013\u2014\u2212"), "-")
_MARKS = str.maketrans({
    "\u2019": "'", "\u2018": "'", "\u2032": "'", "\u00b4": "'", "`": "'",
    "\u201c": '"', "\u201d": '"', "\u2033": '"', "\u201e": '"',
    "\u2044": "/", "\u00d7": "X", "_": " ", "\u0141": "L", "\u0142": "l", "\u00c6": "AE", "\u00e6": "ae",
})  # fmt: skip
_EDGES = ".,;:!?()[]{}|"
_MARKED = re.compile(r"[.,;:!?()\[\]{}|]")
_PARTED = re.compile(r"[\s;|()\[\]{}]+|,(?!\d)|(?<!\d),|(?<=[A-Z])\.(?=\d)|(?<=[A-Z]{2})\.(?=[A-Z]{2})")
_DECIMAL_COMMA = re.compile(r"\d+(?:[.,]\d+)?(?:MM|CM|M)?(?:X\d+(?:[.,]\d+)?(?:MM)?){0,2}")
_ABBREVIATED = re.compile(r"(?:[A-Z]\.)+[A-Z]?")
_FRACTION = re.compile(r"(?<=\d)\s*(?=[\u00bc-\u00be\u2150-\u215e])")


def plain(*, text: str) -> str:
    """A description in upper case without accents, unusual dashes, quotes and widths of digits.

    Examples:
        >>> plain(text="Förderkette １½″")
        'FORDERKETTE 1 1/2"'
    """
    if text.isascii():
        return " ".join(text.replace("_", " ").replace("`", "'").upper().split())
    joined = unicodedata.normalize("NFKC", _FRACTION.sub(" ", text).translate(_MARKS)).translate(_DASHES | _MARKS)
    if not joined.isascii():
        parted = unicodedata.normalize("NFD", joined)
        joined = "".join(sign for sign in parted if not unicodedata.combining(sign))
    return " ".join(joined.upper().split())


def chunks(*, plain_text: str) -> list[str]:
    """The parts of a plain text between blanks, commas and brackets; a comma inside a number stays.

    Examples:
        >>> chunks(plain_text="CHAIN,ROLLER, 12,7 X 8.51 (N.P.) NO. 3")
        ['CHAIN', 'ROLLER', '12,7', 'X', '8.51', 'NP', 'NO', '3']
    """
    if _MARKED.search(plain_text) is None:
        return plain_text.split()
    found = []
    for part in _PARTED.split(plain_text):
        abbreviated = "." in part and _ABBREVIATED.fullmatch(part) is not None
        chunk = part.replace(".", "") if abbreviated else part.strip(_EDGES)
        if "," in chunk and _DECIMAL_COMMA.fullmatch(chunk) is None:
            found += [piece for piece in chunk.split(",") if piece]
        elif chunk:
            found.append(chunk)
    return found


def check_digit(*, digits: str) -> int:
    """Last digit that a trade item number of 8, 12, 13 or 14 digits must have: weights 3 and 1 from the right.

    Examples:
        >>> check_digit(digits="629104150021")  # without the check digit itself
        3
    """
    weighted = sum(int(digit) * (3 if place % 2 == 0 else 1) for place, digit in enumerate(reversed(digits)))
    return -weighted % 10
