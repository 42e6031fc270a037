"""A log as paper diaries are laid out: a day a row, and columns for its mornings and evenings.

    date,morning_1,morning_2,evening_1,evening_2
    2024-05-31,143/90,138/88/72,,141/87

What can be meant in two ways is refused: two columns of one name, or a column of pulses or times beside several
readings of a day.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from sim.logs.cells import readable, reading
from sim.logs.dates import at_midnight, read_date
from sim.logs.log import PARTS, Entry, LogError, RowError, RowFault, make_entry
from sim.say import say

# The words of both languages of headings that are read anyway (`sim.logs.read_csv`): English and a few besides.
WORDS = {
    **dict.fromkeys(("morning", "mornings", "am", "a.m.", "morgens", "matin", "manana", "mattina"), PARTS[0]),
    **dict.fromkeys(("evening", "evenings", "pm", "p.m.", "abends", "soir", "noche", "sera"), PARTS[1]),
}
# What stands in a cell where no reading was taken.
NOTHING = ("", "-", "–", "—", "/", "x")
EXPECTED = "a diary with columns date, morning and evening, or morning_1, morning_2, evening_1 and so on"
_HEADING = re.compile(r"(" + "|".join(sorted(map(re.escape, WORDS), key=len, reverse=True)) + r")(?![a-z])\s*(.*)")
_NOT_BESIDE = {
    "sbp": "systolic pressures",
    "dbp": "diastolic pressures",
    "pair": "readings",
    "time": "times",
    "when": "dates with times",
    "part": "parts of the day",
    "pulse": "pulses (write them into the cell: 143/90/72)",
}


@dataclass(frozen=True)
class Column:
    """A column of readings: where it stands, how it is called, its part of the day, its number, 0 without one."""

    place: int
    name: str
    part: str
    number: int


def columns(headings: list[str], meant: dict[str, int], where: str) -> tuple[Column, ...]:
    """The columns of a diary in the order of a day; () where the table is no diary.

    headings: plain, in small letters;  meant: the other columns by what they mean, and their places

    Raises LogError where it can be meant in two ways.
    """
    found = [_column(place, heading, where) for place, heading in enumerate(headings) if _HEADING.fullmatch(heading)]
    if not found:
        return ()
    if beside := [words for name, words in _NOT_BESIDE.items() if name in meant]:
        raise LogError(f"{where}: a column of {beside[0]} beside {found[0].name}: must be {EXPECTED}")
    if "date" not in meant:
        raise LogError(f"{where}: no column date: must be {EXPECTED}")
    for part in PARTS:
        numbers = [column.number for column in found if column.part == part]
        if len(set(numbers)) < len(numbers) or (0 in numbers and len(numbers) > 1):
            names = ", ".join(column.name for column in found if column.part == part)
            raise LogError(f"{where}: the columns {names} can be meant in two ways: must be {part}_1, {part}_2 ...")
    return tuple(sorted(found, key=lambda column: (PARTS.index(column.part), column.number)))


def entries(
    row: list[str], day: str, found: tuple[Column, ...], order: str | None, note: str, where: str
) -> list[Entry | RowFault]:
    """The readings of a row, and a fault for each cell that is none.

    day: its date;  order: as for `sim.logs.read_csv.read_csv`

    Raises RowError where the date is none.
    """
    if not day:
        raise RowError(say("no date"))
    when, rest = read_date(day, order)
    if rest:
        raise RowError(
            say("date {given!r}: must be a date alone, since morning and evening have columns", given=day[:30])
        )
    made: list[Entry | RowFault] = []
    for column in found:
        text = row[column.place] if column.place < len(row) else ""
        if text.lower() in NOTHING:
            continue
        place = f"{where} {column.name}"
        try:
            numbers = reading(text, column.name)
            made.append(make_entry(at_midnight(when), False, numbers, part=column.part, note=note, where=place))
        except RowError as error:
            made.append(RowFault(place, str(error), **readable(text)))
    return made


def _column(place: int, heading: str, where: str) -> Column:
    found = _HEADING.fullmatch(heading)
    assert found is not None
    if found[2] and not (found[2].isascii() and found[2].isdecimal() and len(found[2]) < 3 and int(found[2])):
        raise LogError(f"{where}: column {heading[:30]!r}: must be such as {found[1]} or {found[1]}_1")
    part, number = WORDS[found[1]], int(found[2] or 0)
    return Column(place, part + (f"_{number}" if number else ""), part, number)
