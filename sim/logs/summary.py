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
from sim.explain.probabilities import CategoryChance, Usual, category_chances, usual_pressure
from sim.explain.schedules import Layout, Schedule
from sim.explain.variation import usual
from sim.fields import FieldError
from sim.logs.aside import Aside, decided
from sim.logs.doubts import doubts, remarks
from sim.logs.log import PARTS, Entry, Log
from sim.logs.reasons import mixed, too_few, too_short, undecided
from sim.logs.urgent import Urgent, urgent
from sim.say import mark

COUNTS = mark("counts")
SET_ASIDE, LEFT_OUT = mark("set aside: not counted until you decide"), mark("left out: you decided so")
FIRST_DAY, FIRST_READING = mark("left out: first day"), mark("left out: first of the session")
EXTRA, OTHER_DAYS = mark("more than the schedule asks for"), mark("outside the schedule's days")


@dataclass(frozen=True)
class Row:
    """One entry under the rule: its status (COUNTS or why not), and why it is doubtful or set aside, () where not."""

    entry: Entry
    status: str
    doubts: tuple[str, ...]

    @property
    def doubtful(self) -> bool:
        """Whether it is marked as doubtful; what is set aside or left out is not judged."""
        return bool(self.doubts) and self.status not in (SET_ASIDE, LEFT_OUT)


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
    days: on how many days what counts was measured
    usual: what the readings say of the resting pressure;  category: of the mean;  chances: of each category
    mixed: what is to be said where rule and categories are of different guidelines, or ""
    high: pressures of 180/120 or more that can be, also in rows that do not count;  remarks: on the log as a whole
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
    days: int
    usual: Usual | None
    category: str
    chances: tuple[CategoryChance, ...]
    high: tuple[Urgent, ...]
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
    scheme = scheme or schedule.scheme or next(iter(schemes()))
    categorise(120, 80, scheme, schedule.place)
    whole, days = log, _days(log, schedule, start)
    left = decided(whole, decisions or {})
    log, waiting = left.log, left.waiting
    rows, layout, inside = _rows(log, schedule, days)
    counting = [row.entry for row in rows if row.status == COUNTS]
    sure = [row.entry for row in rows if row.status == COUNTS and not row.doubts]
    open_ = [aside for aside in waiting if aside.entry.day in days]
    figures = None if open_ else _figures(counting)
    measured = len({row.entry.day for row in rows if row.status in (COUNTS, FIRST_DAY, FIRST_READING)})
    short = (*undecided(open_), *too_short(counting, measured, schedule))
    nameless = short or too_few(counting)
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
        rows=_in_order(whole, rows, waiting, left.gone),
        figures=figures,
        without_doubtful=_figures(sure) if figures is not None and len(sure) < len(counting) else None,
        by_part=_by_part(counting) if figures is not None else {},
        missing=tuple(_missing([*(row.entry for row in inside), *(a.entry for a in open_)], schedule, days)),
        aside=waiting,
        short=short,
        nameless=nameless,
        mixed=mixed(schedule, scheme),
        days=len({entry.day for entry in counting}),
        usual=known,
        category=category,
        chances=chances,
        high=urgent(whole, decisions),
        remarks=remarks(log),
    )


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


def _session(entry: Entry, schedule: Schedule) -> int:
    """Which of the day's sessions: by the part of the day where there are two, by even hours where there are more."""
    if schedule.sessions == 1:
        return 0
    if schedule.sessions == len(PARTS) or not entry.timed:
        return PARTS.index(entry.part) if entry.part else 0
    return entry.when.hour * schedule.sessions // 24


def _missing(entries: list[Entry], schedule: Schedule, days: list[date]) -> list[Missing]:
    """What the schedule asks for on its days and the log has not; what waits for a decision is there."""
    found = []
    for day in days:
        there = [entry for entry in entries if entry.day == day]
        for session in range(schedule.sessions):
            count = sum(_session(entry, schedule) == session for entry in there)
            if count < schedule.readings:
                part = PARTS[session] if schedule.sessions == len(PARTS) else ""
                found.append(Missing(day, part, schedule.readings - count))
    if schedule.place != "home" and len(days) < schedule.days and days:
        found += [Missing(days[-1], mark("another visit"), schedule.readings)] * (schedule.days - len(days))
    return found


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
