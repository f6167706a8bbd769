"""Times of wear readings: RFC 3339 text to instants, with what looks mistyped told or refused."""

from __future__ import annotations

import re
from datetime import UTC, datetime

from service.core.errors import Issue, OutOfRange
from service.reference.records import Record

FIRST_YEAR = 1950
"""No wear reading kept anywhere is older."""

_TEXT = re.compile(r"(\d{4})-(\d{2})-(\d{2})([Tt ]\d{2}:\d{2}(:\d{2}(\.\d{1,9})?)?([Zz]|[+-]\d{2}:\d{2})?)?")
_LOCAL = re.compile(r"\d{1,4}[/.\-]\d{1,2}[/.\-]\d{1,4}")
_ZERO_OF_COMPUTERS = ("1970-01-01", "1900-01-00", "1900-01-01", "1899-12-30", "1899-12-31", "1904-01-01")
"""Where the calendars of operating systems and spreadsheets begin: an empty field turned into a date."""


class ReadTime(Record, frozen=True):
    """An instant as read: without an offset it is taken as UTC; an empty field turned into a date has no instant."""

    instant: datetime | None
    zone_missing: bool = False


def read_time(text: str, field: str) -> ReadTime:
    """Read an RFC 3339 date or date and time.

    Raises:
        OutOfRange: ``date_ambiguous`` or ``date_invalid``, at the field named.
    """
    if text.startswith(_ZERO_OF_COMPUTERS):
        return ReadTime(None)
    found = _TEXT.fullmatch(text)
    if found is None:
        raise OutOfRange(_unreadable(text, field))
    try:
        instant = datetime.fromisoformat(text)
    except ValueError:
        hint = None
        if int(found[2]) > 12 and int(found[3]) <= 12:
            hint = f"Are day and month exchanged? {found[1]}-{found[3]}-{found[2]} would be a date."
        message = f"{text!r} is no date of the calendar."
        raise OutOfRange(Issue(field, "date_invalid", message, None, text, hint)) from None
    if instant.year < FIRST_YEAR:
        raise OutOfRange(Issue(field, "date_invalid", f"{text!r} lies before {FIRST_YEAR}.", FIRST_YEAR, text))
    missing = instant.tzinfo is None
    return ReadTime(
        instant.replace(tzinfo=UTC) if missing else instant.astimezone(UTC),
        zone_missing=missing and found[4] is not None,
    )


def read_instant(text: str, field: str) -> datetime:
    """Read a date that an answer hangs on; the zero of a calendar is none.

    Raises:
        OutOfRange: as ``read_time``, and ``date_invalid`` for the zero of a calendar.
    """
    instant = read_time(text, field).instant
    if instant is None:
        message = f"{text!r} is where a calendar begins: an empty field?"
        raise OutOfRange(Issue(field, "date_invalid", message, None, text, "Leave the field out, or send the date."))
    return instant


def _unreadable(text: str, field: str) -> Issue:
    hint = "Send RFC 3339: 2025-02-01 or 2025-02-01T08:00:00Z."
    if _LOCAL.fullmatch(text) and not text[:4].isdecimal():
        return Issue(field, "date_ambiguous", f"{text!r} can be read in more than one order.", None, text, hint)
    return Issue(field, "date_invalid", f"{text[:40]!r} is no RFC 3339 date.", None, text[:40], hint)


def days_between(first: datetime, second: datetime) -> float:
    """Days from one instant to another."""
    return (second - first).total_seconds() / 86400


def as_date(instant: datetime) -> str:
    """The day of an instant in UTC."""
    return instant.date().isoformat()
