"""A log of readings: what was written down, in the order of time, and the rows that could not be read."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from sim.fields import Limit
from sim.logs.told import place
from sim.say import mark, say
from sim.texts import printable

# What a row may say to be counted. Wider than any likely pressure: the unlikely is kept and marked, or set aside until
# somebody decides (`sim.logs.doubts`, `sim.logs.aside`). Chosen here.
LIMITS = {
    "sbp": Limit(40, 300, 120, 1, "mmHg", "systolic"),
    "dbp": Limit(20, 220, 80, 1, "mmHg", "diastolic"),
    "pulse": Limit(20, 250, 70, 1, "beats/min", mark("pulse")),
}
# What a row may say to be read at all: so that a digit too many or too few can be shown as it was written. Chosen: up
# to five digits, two more than a pressure has.
READABLE = Limit(0, 99_999, 0, 1, "", "number")
# Rows of a log, those that cannot be read among them: 27 years of two a day.
MOST_ROWS = 20_000
PARTS = (mark("morning"), mark("evening"))
# The parts of a day meet at noon (chosen here).
NOON = 12


class LogError(ValueError):
    """A file that is no log at all: its text says what was expected."""


class RowError(ValueError):
    """One row that cannot be read: its text says what was wrong, the value and what is allowed."""


@dataclass(frozen=True)
class RowFault:
    """A row that could not be read: where it stands, "line 7" or "entry 3", and what is wrong with it.

    sbp, dbp: those of its pressures that could be read all the same [mmHg], None where not
    """

    where: str
    what: str
    sbp: float | None = None
    dbp: float | None = None

    def __str__(self) -> str:
        return f"{place(self.where)}: {self.what}"


@dataclass(frozen=True)
class Entry:
    """One reading as it was written down.

    when: date and time by the clock on the wall; with its offset from UTC where the file gives one
    timed: whether the time of day is known; if not, `when` is midnight
    part: "morning", "evening", or "" where it is not known
    sbp, dbp [mmHg];  pulse [beats/min], None where it was not written down;  where: "line 7", "entry 3"
    """

    when: datetime
    timed: bool
    part: str
    sbp: float
    dbp: float
    pulse: float | None = None
    note: str = ""
    where: str = ""

    @property
    def day(self) -> date:
        """The date."""
        return self.when.date()


@dataclass(frozen=True)
class Log:
    """The readings in the order of time, and the rows that could not be read."""

    entries: tuple[Entry, ...]
    faults: tuple[RowFault, ...] = ()


def judge_rows(rows: int) -> None:
    """Raises LogError where a file has more rows than a log can have."""
    if rows > MOST_ROWS:
        raise LogError(say("more than {most:,} readings: must be at most {most:,}", most=MOST_ROWS))


def make_entry(
    when: datetime,
    timed: bool,
    numbers: dict[str, float | None],
    *,
    part: str = "",
    note: str = "",
    where: str = "",
) -> Entry:
    """An entry of numbers within READABLE; raises RowError, naming the number, its value and what is allowed."""
    for name, limit in LIMITS.items():
        value = numbers.get(name)
        if value is None:
            if name == "pulse":
                continue
            raise RowError(say("no systolic pressure" if name == "sbp" else "no diastolic pressure"))
        if not READABLE.low <= value <= READABLE.high:
            raise RowError(
                say("{name} {value:g}: must be {allowed}", name=say(limit.label), value=value, allowed=limit.allowed)
            )
    if timed:
        part = PARTS[when.hour >= NOON]
    sbp, dbp = numbers["sbp"], numbers["dbp"]
    assert sbp is not None
    assert dbp is not None
    return Entry(when, timed, part, sbp, dbp, numbers.get("pulse"), printable(note).strip(), where)


def make_log(entries: list[Entry], faults: list[RowFault]) -> Log:
    """A log in the order of time; of entries at the same time, and within one part of a day, the file's order stays."""

    def moment(entry: Entry) -> tuple[date, int, int]:
        # Where only the part of the day is known, it stands at that part's beginning.
        if entry.timed:
            return entry.day, entry.when.hour * 60 + entry.when.minute, entry.when.second
        return entry.day, NOON * 60 if entry.part == PARTS[1] else 0, 0

    return Log(tuple(sorted(entries, key=moment)), tuple(faults))
