"""A log under a schedule's rule: which readings count, their mean and spread, what is missing, and how sure it is.

Readings that cannot be as they stand are set aside until somebody decides. Every other reading of the days that the
rule asks for counts, doubtful ones included, unless the rule leaves it out: those of the first day, the first of a
session, or more readings of a session than the rule asks for, so that nobody measures until the number pleases. Nothing
is corrected.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from sim.explain.averaging import Law
from sim.explain.categories import categorise, schemes
from sim.explain.impossible import words
from sim.explain.probabilities import CategoryChance, Usual, category_chances, usual_pressure
from sim.explain.schedules import Layout, Schedule
from sim.explain.variation import usual
from sim.fields import FieldError
from sim.logs.aside import Aside, decided
from sim.logs.doubts import doubts, remarks
from sim.logs.log import PARTS, Entry, Log

COUNTS = "counts"
SET_ASIDE, LEFT_OUT = "set aside: not counted until you decide", "left out: you decided so"
# An average is called something only where it comes from so many occasions: "an average of at least two readings on at
# least two occasions", Whelton PK, et al. Hypertension 2018;71:e13-e115, DOI 10.1161/HYP.0000000000000065 (quoted).
LEAST_OCCASIONS = 2
FIRST_DAY, FIRST_READING = "left out: first day", "left out: first of the session"
EXTRA, OTHER_DAYS = "more than the schedule asks for", "outside the schedule's days"


@dataclass(frozen=True)
class Row:
    """One entry under the rule: its status (COUNTS or why not), and why it is doubtful, () where it is not."""

    entry: Entry
    status: str
    doubts: tuple[str, ...]


@dataclass(frozen=True)
class Figures:
    """Mean, standard deviation and range of n readings [mmHg]; the SD of a single one is None."""

    n: int
    sbp: float
    dbp: float
    sd_sbp: float | None
    sd_dbp: float | None
    range_sbp: tuple[float, float]
    range_dbp: tuple[float, float]


@dataclass(frozen=True)
class Missing:
    """Readings that the schedule asks for and the log has not: day, part of the day ("" for any), how many."""

    day: date
    part: str
    readings: int


@dataclass(frozen=True)
class Summary:
    """A log under a schedule's rule.

    figures: of what counts; None where nothing does.  without_doubtful: the same without the doubtful ones, None
        where there are none or nothing is left
    by_part: figures of the mornings and of the evenings, where both are known
    aside: readings that cannot be as they stand and are not decided about; where they would matter there is no mean
    short: why the rule gives no mean yet, () where it does
    nameless: why the mean has no category, () where it has one
    usual: what the readings say of the usual pressure;  category: of the mean;  chances: of each category
    mixed: what is to be said where rule and categories are of different guidelines, or ""
    high: entries of 180/120 or more that can be;  remarks: on the log as a whole
    """

    schedule: Schedule
    scheme: str
    first: date | None
    last: date | None
    rows: tuple[Row, ...]
    figures: Figures | None
    without_doubtful: Figures | None
    by_part: dict[str, Figures]
    missing: tuple[Missing, ...]
    aside: tuple[Aside, ...]
    short: tuple[str, ...]
    nameless: tuple[str, ...]
    mixed: str
    usual: Usual | None
    category: str
    chances: tuple[CategoryChance, ...]
    high: tuple[Entry, ...]
    remarks: tuple[str, ...]


def summarise(
    log: Log,
    schedule: Schedule,
    scheme: str | None = None,
    *,
    start: date | None = None,
    decisions: Mapping[str, str] | None = None,
    over: str = "months",
    population: Law | None = None,
) -> Summary:
    """Apply the schedule's rule to a log.

    scheme: whose categories; None: those that go with the schedule
    start: the schedule's first day; None: so that its last day is the log's last
    decisions: about readings that cannot be as they stand (`sim.logs.aside`)
    over, population: as for `sim.explain.probabilities.usual_pressure`

    Raises FieldError on a scheme that does not exist, a start after the log's end, a decision that cannot be taken.
    """
    goes_with = schedule.scheme or next(iter(schemes()))
    scheme = scheme or goes_with
    categorise(120, 80, scheme, schedule.place)
    whole, days = log, _days(log, schedule, start)
    log, waiting, gone = decided(whole, decisions or {})
    rows, layout, inside = _rows(log, schedule, days)
    counting = [row.entry for row in rows if row.status == COUNTS]
    sure = [row.entry for row in rows if row.status == COUNTS and not row.doubts]
    open_ = [aside for aside in waiting if aside.entry.day in days]
    figures = None if open_ else _figures(counting)
    short = (*_undecided(open_), *_short(rows, schedule))
    nameless = short or _few_occasions(counting)
    known: Usual | None = None
    chances: tuple[CategoryChance, ...] = ()
    category = ""
    if figures is not None:
        sbp, dbp = (np.array([getattr(row.entry, name) for row in inside]) for name in ("sbp", "dbp"))
        varies = usual(schedule.place, figures.sbp, figures.dbp)
        known = usual_pressure(sbp, dbp, layout, varies, over=over, population=population)
        if not nameless:
            chances = tuple(category_chances(known, scheme, schedule.place))
            category = str(categorise(figures.sbp, figures.dbp, scheme, schedule.place))
    return Summary(
        schedule=schedule,
        scheme=scheme,
        first=days[0] if days else None,
        last=days[-1] if days else None,
        rows=_in_order(whole, rows, waiting, gone),
        figures=figures,
        without_doubtful=_figures(sure) if figures is not None and len(sure) < len(counting) else None,
        by_part=_by_part(counting) if figures is not None else {},
        missing=tuple(_missing(inside, schedule, days)),
        aside=waiting,
        short=short,
        nameless=nameless,
        mixed=_mixed(schedule, scheme, goes_with),
        usual=known,
        category=category,
        chances=chances,
        high=high_entries(whole),
        remarks=remarks(log),
    )


def high_entries(log: Log) -> tuple[Entry, ...]:
    """Readings of 180/120 or more that can be: a pair whose systolic is not above diastolic says nothing."""
    limit = words()["advice"]
    high = (e for e in log.entries if e.sbp >= limit["high_sbp"] or e.dbp >= limit["high_dbp"])
    return tuple(e for e in high if e.sbp > e.dbp)


def _days(log: Log, schedule: Schedule, start: date | None) -> list[date]:
    """The schedule's days: consecutive at home; in the office those on which anything was measured."""
    if not log.entries:
        return []
    first, last = log.entries[0].day, log.entries[-1].day
    if start is not None and start > last:
        raise FieldError("start", start.isoformat(), f"a day up to the log's last, {last.isoformat()}")
    if schedule.place != "home":
        visits = sorted({e.day for e in log.entries if start is None or e.day >= start})
        return visits[-schedule.days :] if start is None else visits[: schedule.days]
    begin = start or max(first, last - timedelta(days=schedule.days - 1))
    return [begin + timedelta(days=k) for k in range(schedule.days)]


def _rows(log: Log, schedule: Schedule, days: list[date]) -> tuple[list[Row], Layout, list[Row]]:
    """Every entry with its status; and those on the schedule's days, with where they stand in it."""
    doubtful = doubts(log)
    taken: dict[tuple[int, int], int] = {}
    rows, inside = [], []
    places: list[tuple[int, int, int, bool]] = []
    for entry, reasons in zip(log.entries, doubtful, strict=True):
        if entry.day not in days:
            rows.append(Row(entry, OTHER_DAYS, reasons))
            continue
        day = days.index(entry.day)
        session = day * schedule.sessions + _session(entry, schedule)
        number = taken[day, session] = taken.get((day, session), 0) + 1
        if number > schedule.readings:
            status = EXTRA
        elif day < schedule.drop_days:
            status = FIRST_DAY
        else:
            status = FIRST_READING if number <= schedule.drop_readings else COUNTS
        rows.append(Row(entry, status, reasons))
        inside.append(rows[-1])
        places.append((day, session, number, status == COUNTS))
    columns = np.array(places, dtype=int).reshape(-1, 4).T
    return rows, Layout(columns[0], columns[1], columns[2], columns[3].astype(bool)), inside


def _in_order(log: Log, rows: list[Row], waiting: tuple[Aside, ...], gone: tuple[Aside, ...]) -> tuple[Row, ...]:
    """The rows of what counts or not, and of what is set aside or left out, in the order of the whole log."""
    others = [Row(a.entry, SET_ASIDE, (a.reason,)) for a in waiting] + [
        Row(a.entry, LEFT_OUT, (a.reason,)) for a in gone
    ]
    place = {entry.where: k for k, entry in enumerate(log.entries)}
    return tuple(sorted([*rows, *others], key=lambda row: place.get(row.entry.where, 0))) if others else tuple(rows)


def _undecided(waiting: list[Aside]) -> tuple[str, ...]:
    """Why there is no mean while readings on the schedule's days are set aside."""
    if not waiting:
        return ()
    them = "it" if len(waiting) == 1 else "them"
    return (f"{_many(len(waiting), 'reading')} cannot be as written: decide about {them} first",)


def _few_occasions(counting: list[Entry]) -> tuple[str, ...]:
    """Why a mean of too few occasions has no category."""
    occasions = len({entry.day for entry in counting})
    if occasions >= LEAST_OCCASIONS:
        return ()
    return (
        f"{_many(len(counting), 'reading')} on {_many(occasions, 'day')}: a category needs at least two readings on "
        "at least two days (Whelton 2018)",
    )


def _mixed(schedule: Schedule, scheme: str, goes_with: str) -> str:
    if not schedule.scheme or scheme == goes_with:
        return ""
    named = schemes()
    return (
        f"the rule goes with the categories of {named[goes_with].label}; these are those of {named[scheme].label}: "
        "two guidelines are mixed"
    )


def _session(entry: Entry, schedule: Schedule) -> int:
    """Which of the day's sessions: by the part of the day where there are two, by even hours where there are more."""
    if schedule.sessions == 1:
        return 0
    if schedule.sessions == len(PARTS) or not entry.timed:
        return PARTS.index(entry.part) if entry.part else 0
    return entry.when.hour * schedule.sessions // 24


def _missing(inside: list[Row], schedule: Schedule, days: list[date]) -> list[Missing]:
    """What the schedule asks for on its days and the log has not."""
    found = []
    for day in days:
        there = [row.entry for row in inside if row.entry.day == day]
        for session in range(schedule.sessions):
            count = sum(_session(entry, schedule) == session for entry in there)
            if count < schedule.readings:
                part = PARTS[session] if schedule.sessions == len(PARTS) else ""
                found.append(Missing(day, part, schedule.readings - count))
    if schedule.place != "home" and len(days) < schedule.days and days:
        found += [Missing(days[-1], "another visit", schedule.readings)] * (schedule.days - len(days))
    return found


def _short(rows: list[Row], schedule: Schedule) -> tuple[str, ...]:
    """Why the rule gives no mean yet."""
    counted = [row.entry for row in rows if row.status == COUNTS]
    days = {row.entry.day for row in rows if row.status in (COUNTS, FIRST_DAY, FIRST_READING)}
    found = []
    if len(days) < schedule.least_days:
        found.append(
            f"readings on {_many(len(days), 'day')}, where the schedule asks for at least {schedule.least_days}"
        )
    if len(counted) < schedule.least_readings:
        said = f"{_many(len(counted), 'reading')} that count, where the schedule asks for at least"
        found.append(f"{said} {schedule.least_readings}")
    return tuple(found)


def _many(count: int, word: str) -> str:
    return f"{count} {word}" + ("" if count == 1 else "s")


def _by_part(entries: list[Entry]) -> dict[str, Figures]:
    found = {part: _figures([e for e in entries if e.part == part]) for part in PARTS}
    return {part: figures for part, figures in found.items() if figures} if all(found.values()) else {}


def _figures(entries: list[Entry]) -> Figures | None:
    if not entries:
        return None
    sbp, dbp = (np.array([getattr(e, name) for e in entries]) for name in ("sbp", "dbp"))
    sds = (float(sbp.std(ddof=1)), float(dbp.std(ddof=1))) if len(entries) > 1 else (None, None)
    ranges = ((float(v.min()), float(v.max())) for v in (sbp, dbp))
    return Figures(len(entries), float(sbp.mean()), float(dbp.mean()), *sds, *ranges)
