"""Readings of 180/120 or more in a log: what to do about them comes before any mean.

Every pressure that can be one is looked at, also in a row whose other number cannot be, or that could not be read. A
pair that was perhaps written the wrong way round says nothing by its second number: 146 may be its systolic.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sim.explain.impossible import words
from sim.logs.aside import LEAVE_OUT, Aside, can_be, decide, decided, perhaps_swapped
from sim.logs.log import Entry, Log
from sim.say import say


@dataclass(frozen=True)
class Urgent:
    """A reading of 180/120 or more: where it stands in the file, when it was taken, "" where that cannot be read.

    sbp, dbp: as it stands [mmHg], None where that cannot be read
    """

    where: str
    when: str
    sbp: float | None
    dbp: float | None

    @property
    def pair(self) -> str:
        """Both numbers as they are written, "?" for one that cannot be read."""
        return "/".join("?" if value is None else f"{value:.0f}" for value in (self.sbp, self.dbp))


def urgent(log: Log, decisions: Mapping[str, str] | None = None) -> tuple[Urgent, ...]:
    """The readings of a log that are 180/120 or more, in its order, then those of rows that could not be read.

    decisions: as for `sim.logs.aside.decided`; one that is counted is high by both its numbers
    """
    left = decided(log, decisions or {})
    counted = {entry.where: entry for entry in left.log.entries}
    found = []
    for entry in log.entries:
        mine = counted.get(entry.where)
        if _high(mine.sbp, mine.dbp) if mine else _can_be_high(entry.sbp, entry.dbp):
            found.append(_of(mine or entry))
    unread = (fault for fault in log.faults if _can_be_high(fault.sbp, fault.dbp))
    return (*found, *(Urgent(fault.where, "", fault.sbp, fault.dbp) for fault in unread))


def urgent_if_so(waiting: Iterable[Aside]) -> tuple[Aside, ...]:
    """Those of the readings set aside that would be 180/120 or more by something that may be decided about them."""
    return tuple(
        aside
        for aside in waiting
        if not _can_be_high(aside.entry.sbp, aside.entry.dbp)
        and any(
            _high(counted.sbp, counted.dbp)
            for counted in (decide(aside.entry, choice) for choice in aside.choices if choice != LEAVE_OUT)
        )
    )


def when(entry: Entry) -> str:
    """Day, and time or part of the day."""
    return f"{entry.day} " + (f"{entry.when:%H:%M}" if entry.timed else say(entry.part))


def _of(entry: Entry) -> Urgent:
    return Urgent(entry.where, when(entry).strip(), entry.sbp, entry.dbp)


def _high(sbp: float, dbp: float) -> bool:
    limit = words()["advice"]
    return sbp >= limit["high_sbp"] or dbp >= limit["high_dbp"]


def _can_be_high(sbp: float | None, dbp: float | None) -> bool:
    """Whether one of the pressures is high and can be one."""
    if sbp is not None and can_be("sbp", sbp) and _high(sbp, 0):
        return True
    swapped = sbp is not None and dbp is not None and perhaps_swapped(sbp, dbp)
    return dbp is not None and can_be("dbp", dbp) and _high(0, dbp) and not swapped
