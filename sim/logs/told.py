"""Counts, days and places of a log in the language that is spoken."""

from __future__ import annotations

import re
from datetime import date

from sim.say import mark, say

# What is counted: one of it, and several.
_COUNTED = {
    "reading": (mark("{n} reading"), mark("{n} readings")),
    "day": (mark("{n} day"), mark("{n} days")),
    "more reading": (mark("{n} more reading"), mark("{n} more readings")),
    "more session": (mark("{n} more session"), mark("{n} more sessions")),
}
_MONTHS = (
    *(mark("Jan"), mark("Feb"), mark("Mar"), mark("Apr"), mark("May"), mark("Jun")),
    *(mark("Jul"), mark("Aug"), mark("Sep"), mark("Oct"), mark("Nov"), mark("Dec")),
)
_WEEKDAYS = (mark("Mon"), mark("Tue"), mark("Wed"), mark("Thu"), mark("Fri"), mark("Sat"), mark("Sun"))
_PLACES = {"line": mark("line {number}"), "entry": mark("entry {number}")}


def many(count: int, word: str) -> str:
    """A number of things: "1 reading", "2 readings"."""
    return say(_COUNTED[word][count != 1], n=count)


def month(day: date) -> str:
    """The month in three letters."""
    return say(_MONTHS[day.month - 1])


def weekday(day: date) -> str:
    """The day of the week in three letters."""
    return say(_WEEKDAYS[day.weekday()])


def short(day: date, year: bool = False) -> str:
    """A day as people write it.

    >>> short(date(2024, 5, 3)), short(date(2024, 5, 3), year=True)
    ('03 May', '03 May 2024')
    """
    return f"{day:%d} {month(day)}" + (f" {day:%Y}" if year else "")


def place(where: str) -> str:
    """Where a reading stands in its file, as `Entry.where` has it: "line 7", "line 7 morning_1" or "entry 3"."""
    found = re.match(r"(line|entry) (\d+)", where)
    return say(_PLACES[found[1]], number=found[2]) + where[found.end() :] if found else where
