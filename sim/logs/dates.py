"""Dates and times as people write them; what can be read two ways is never guessed."""

from __future__ import annotations

import re
from datetime import date, datetime, time

from sim.logs.log import RowError
from sim.say import mark, say

ORDERS = ("day first", "month first")
_ISO = re.compile(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})")
_DOTS = re.compile(r"([0-9]{1,2})\.\s?([0-9]{1,2})\.\s?([0-9]{4}|[0-9]{2})")
_SLASHES = re.compile(r"([0-9]{1,2})[/-]([0-9]{1,2})[/-]([0-9]{4}|[0-9]{2})")
_TIME = re.compile(r"([0-9]{1,2})[:.h]([0-9]{2})(?::([0-9]{2}))?\s*([AaPp]\.?[Mm]\.?)?")
_HOUR = re.compile(r"([0-9]{1,2})\s*([AaPp]\.?[Mm]\.?)")
# The earliest year of a reading. Chosen: no log is older, and a year typed with a digit too few is found.
EARLIEST = 1900
_TWO_WAYS = mark("date {given}: can be read two ways; write it as 2024-05-31, or say which comes first")


def slash_order(texts: list[str]) -> str | None:
    """Which order the dates with slashes of one file have, "day first" or "month first"; None where nothing tells."""
    first = second = 0
    for text in texts:
        if found := _SLASHES.match(text.strip()):
            first, second = max(first, int(found[1])), max(second, int(found[2]))
    if first > 12 >= second:
        return ORDERS[0]
    return ORDERS[1] if second > 12 >= first else None


def read_date(text: str, order: str | None) -> tuple[date, str]:
    """The date at the beginning of the text and the rest of it; raises RowError."""
    text = text.strip()
    if found := _ISO.match(text):
        parts = int(found[1]), int(found[2]), int(found[3])
    elif found := _DOTS.match(text):
        parts = _year(found[3]), int(found[2]), int(found[1])
    elif found := _SLASHES.match(text):
        one, other = int(found[1]), int(found[2])
        if order is None and one != other:
            raise RowError(say(_TWO_WAYS, given=found[0]))
        month, day = (other, one) if order == ORDERS[0] else (one, other)
        parts = _year(found[3]), month, day
    else:
        raise RowError(say("date {given!r}: must be such as 2024-05-31 or 31.05.2024", given=text[:30]))
    if parts[0] < EARLIEST:
        raise RowError(say("date {given}: the year must be from {earliest} on", given=found[0], earliest=EARLIEST))
    try:
        return date(*parts), text[found.end() :].strip(" T,")
    except ValueError:
        raise RowError(say("date {given}: there is no such day", given=found[0])) from None


def read_time(text: str) -> time:
    """A time of day; raises RowError."""
    text = text.strip()
    found = _TIME.match(text)
    if found:
        hour, minute, second, half = int(found[1]), int(found[2]), int(found[3] or 0), found[4]
    elif found := _HOUR.match(text):
        hour, minute, second, half = int(found[1]), 0, 0, found[2]
    else:
        raise RowError(say("time {given!r}: must be such as 07:30 or 7:30 pm", given=text[:30]))
    if half and 1 <= hour <= 12:
        hour = hour % 12 + (12 if half[0] in "Pp" else 0)
    try:
        return time(hour, minute, second)
    except ValueError:
        raise RowError(say("time {given!r}: there is no such time", given=text[:30])) from None


def at_midnight(day: date) -> datetime:
    """The day as a date and time whose time is not known."""
    return datetime.combine(day, time())


def _year(text: str) -> int:
    return int(text) if len(text) == 4 else 2000 + int(text)
