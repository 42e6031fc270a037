"""A log from a table: one reading a row, in any of the usual spellings, or a diary with columns for the parts of a day.

A row that cannot be read is named.
"""

from __future__ import annotations

import csv
import io
import re
from datetime import datetime

from sim.logs import diary
from sim.logs.cells import number, readable, reading
from sim.logs.dates import at_midnight, read_date, read_time, slash_order
from sim.logs.log import PARTS, Entry, Log, LogError, RowError, RowFault, judge_rows, make_entry, make_log
from sim.say import mark, say
from sim.spreadsheets import from_cell

# Headings by what they mean: English, and the commonest of other languages that use these columns.
COLUMNS = {
    "date": ("date", "day", "datum", "fecha", "data"),
    "time": ("time", "clock", "uhrzeit", "zeit", "heure", "hora", "ora"),
    "when": ("datetime", "date and time", "date/time", "timestamp", "when"),
    "part": ("part", "session", "part of day", "time of day", "tageszeit"),
    "sbp": ("sbp", "systolic", "sys", "upper", "systolisch", "systolique", "sistolica"),
    "dbp": ("dbp", "diastolic", "dia", "lower", "diastolisch", "diastolique", "diastolica"),
    "pair": ("bp", "blood pressure", "pressure", "reading", "blutdruck"),
    "pulse": ("pulse", "heart rate", "hr", "pulse rate", "puls", "pouls", "pulso"),
    "note": ("note", "notes", "comment", "remark", "remarks", "bemerkung"),
}
_MEANING = {heading: name for name, headings in COLUMNS.items() for heading in headings}
_NO_HEADINGS = ("date", "time", "sbp", "dbp", "pulse", "note")
_PART_WORDS = {
    "morning": PARTS[0],
    "am": PARTS[0],
    "a.m.": PARTS[0],
    "m": PARTS[0],
    "evening": PARTS[1],
    "pm": PARTS[1],
    "p.m.": PARTS[1],
    "e": PARTS[1],
}
EXPECTED = mark("a table with columns date, time, sbp, dbp, and pulse and note if there are any")


def read_csv(text: str, order: str | None = None) -> Log:
    """The log in the text of a table with commas, semicolons or tabs.

    order: "day first" or "month first" for dates such as 03/04/2024; found from the file where it tells by itself

    Rows that cannot be read become faults. Raises LogError where there is no such table.
    """
    rows = _rows(text)
    if not rows:
        raise LogError(say("the file is empty: must be {expected}", expected=say(EXPECTED)))
    in_parts = _diary(rows)
    columns, rows = (_meant(rows[0][1]), rows[1:]) if in_parts else _columns(rows)
    day = "date" if "date" in columns else "when"
    order = order or slash_order([_cell(row, columns, day) for _, row in rows])
    entries: list[Entry] = []
    faults: list[RowFault] = []
    for line, row in rows:
        where = f"line {line}"
        try:
            if in_parts:
                note = from_cell(_cell(row, columns, "note"))
                made = diary.entries(row, _cell(row, columns, "date"), in_parts, order, note, where)
                entries += [each for each in made if isinstance(each, Entry)]
                faults += [each for each in made if isinstance(each, RowFault)]
                judge_rows(len(entries) + len(faults))
            else:
                entries.append(_entry(row, columns, order, where))
        except RowError as error:
            faults.append(RowFault(where, str(error), **_readable(row, columns)))
    return make_log(entries, faults)


def _diary(rows: list[tuple[int, list[str]]]) -> tuple[diary.Column, ...]:
    """The columns of the parts of a day, () where the table has a reading a row."""
    line, headings = rows[0]
    return diary.columns([_plain(cell) for cell in headings], _meant(headings), f"line {line}")


def _meant(headings: list[str]) -> dict[str, int]:
    """Where each column stands, by what its heading means."""
    found: dict[str, int] = {}
    for place, heading in enumerate(map(_plain, headings)):
        if heading in _MEANING:
            found.setdefault(_MEANING[heading], place)
    return found


def _cell(row: list[str], columns: dict[str, int], name: str) -> str:
    place = columns.get(name)
    return row[place] if place is not None and place < len(row) else ""


def _readable(row: list[str], columns: dict[str, int]) -> dict[str, float | None]:
    """The pressures that can be read in a row that as a whole cannot."""
    texts = {n: row[columns[n]] for n in ("sbp", "dbp", "pair") if n in columns and columns[n] < len(row)}
    if pair := texts.pop("pair", ""):
        return readable(pair)
    found: dict[str, float | None] = {}
    for name, text in texts.items():
        try:
            found[name] = number(name, text.strip())
        except RowError:
            found[name] = None
    return found


def _rows(text: str) -> list[tuple[int, list[str]]]:
    """Rows that hold anything, each with the line on which it ends in the file."""
    if "\x00" in text:
        raise LogError(say("the file is no text: must be {expected}", expected=say(EXPECTED)))
    first = next((line for line in text.splitlines() if line.strip()), "")
    separator = max(";\t,", key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    rows = []
    try:
        for row in reader:
            cells = [cell.strip() for cell in row]
            if any(cells):
                rows.append((reader.line_num, cells))
                judge_rows(len(rows) - 1)
    except csv.Error as error:
        raise LogError(f"line {reader.line_num} cannot be taken apart: {error}") from None
    return rows


def _columns(rows: list[tuple[int, list[str]]]) -> tuple[dict[str, int], list[tuple[int, list[str]]]]:
    """Where each column stands, and the rows below the headings."""
    found = _meant(rows[0][1])
    if not found:
        if not any(cell[:1].isdigit() for cell in rows[0][1]):
            headings = ", ".join(rows[0][1])[:80]
            told = {"line": rows[0][0], "headings": headings, "expected": say(EXPECTED)}
            raise LogError(say("line {line}: headings {headings!r}: must be {expected}", **told))
        return {name: place for place, name in enumerate(_NO_HEADINGS)}, rows
    missing = [
        words
        for words, names in (("date", {"date", "when"}), ("sbp", {"sbp", "pair"}), ("dbp", {"dbp", "pair"}))
        if not names & set(found)
    ]
    if missing:
        told = {"line": rows[0][0], "missing": say(" and no column ").join(missing), "expected": say(EXPECTED)}
        raise LogError(say("line {line}: no column {missing}: must be {expected}", **told))
    return found, rows[1:]


def _plain(heading: str) -> str:
    """A heading without its unit: 'Systolic (mmHg)' is 'systolic'."""
    return re.sub(r"[\[(].*?[\])]|mmhg|bpm", "", heading.lower()).strip(" _").replace("_", " ")


def _entry(row: list[str], columns: dict[str, int], order: str | None, where: str) -> Entry:
    def cell(name: str) -> str:
        return _cell(row, columns, name)

    when, timed = _when(cell("when") or cell("date"), cell("time"), order)
    numbers: dict[str, float | None]
    if cell("pair"):
        numbers = reading(cell("pair"))
        if cell("pulse") and numbers["pulse"] is not None:
            words = mark("reading {given!r}: has a pulse, and so has its column; must be in one place")
            raise RowError(say(words, given=cell("pair")[:30]))
    else:
        numbers = {"sbp": number("systolic", cell("sbp")), "dbp": number("diastolic", cell("dbp"))}
    if cell("pulse"):
        numbers["pulse"] = number("pulse", cell("pulse"))
    part = _part(cell("part"), cell("time"))
    return make_entry(when, timed, numbers, part=part, note=from_cell(cell("note")), where=where)


def _when(day: str, clock: str, order: str | None) -> tuple[datetime, bool]:
    if not day:
        raise RowError(say("no date"))
    found, rest = read_date(day, order)
    clock = clock or rest
    if not clock or clock.lower() in _PART_WORDS:
        return at_midnight(found), False
    return datetime.combine(found, read_time(clock)), True


def _part(part: str, clock: str) -> str:
    word = (part or clock).lower()
    if part and word not in _PART_WORDS:
        raise RowError(say("part of the day {given!r}: must be morning or evening", given=part[:30]))
    return _PART_WORDS.get(word, "")
