"""Readings that cannot be as they stand: set aside and named, and whoever keeps the log decides about each.

Nothing is deleted and nothing is corrected by us. Until somebody has looked at the paper or the device, there is no
mean that would depend on such a reading.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from sim.fields import FieldError
from sim.logs.log import LIMITS, Entry, Log

# What an adult's arm may show at all, systolic and diastolic [mmHg]. Chosen here, near the ends of what automatic cuffs
# for adults are commonly built to show (common practice); what lies beyond is read once more before it counts.
HUMAN_MMHG = {"sbp": (60.0, 260.0), "dbp": (30.0, 160.0)}
_NAMES = {"sbp": "systolic", "dbp": "diastolic"}

LEAVE_OUT, COUNT, SWAPPED = "leave-out", "count", "swapped"
DECISIONS = {
    LEAVE_OUT: "leave it out",
    COUNT: "it is really so: count it",
    SWAPPED: "the two numbers were written the wrong way round: I have checked",
}


@dataclass(frozen=True)
class Aside:
    """A reading set aside: why, and what may be decided about it, keys of DECISIONS."""

    entry: Entry
    reason: str
    choices: tuple[str, ...]


def set_aside(log: Log) -> tuple[Aside, ...]:
    """The readings of a log that cannot be as they stand, in the log's order."""
    found, seen = [], dict[tuple[datetime, float, float], Entry]()
    for entry in log.entries:
        key = (entry.when.replace(second=0, microsecond=0), entry.sbp, entry.dbp)
        twin = seen.setdefault(key, entry) if entry.timed else entry
        reason = _impossible(entry)
        if reason:
            swapped = entry.dbp > entry.sbp and not _impossible(_exchanged(entry))
            beyond = entry.sbp > entry.dbp
            found.append(Aside(entry, reason, (LEAVE_OUT, *([SWAPPED] * swapped), *([COUNT] * beyond))))
        elif twin is not entry:
            where = twin.where or "another reading"
            found.append(Aside(entry, f"the same time and the same numbers as {where}", (LEAVE_OUT, COUNT)))
    return tuple(found)


def decided(log: Log, decisions: Mapping[str, str]) -> tuple[Log, tuple[Aside, ...], tuple[Aside, ...]]:
    """The log as the decisions make it; what is still to be decided; what was left out by decision.

    decisions: by the reading's place in its file ("line 7"), a key of DECISIONS. The readings still to be decided and
    those left out are not in the log that comes back. Raises FieldError on a decision that cannot be taken.
    """
    asides = {aside.entry.where: aside for aside in set_aside(log)}
    for where, decision in decisions.items():
        if where not in asides:
            known = ", ".join(asides) or "none: no reading of this log is set aside"
            raise FieldError("decide", where, f"a reading that is set aside ({known})")
        if decision not in asides[where].choices:
            raise FieldError("decide", f"{where}={decision}", "one of " + ", ".join(asides[where].choices))
    kept: list[Entry] = []
    for entry in log.entries:
        decision = decisions.get(entry.where, "") if entry.where in asides else COUNT
        if decision in (COUNT, SWAPPED):
            kept.append(_exchanged(entry) if decision == SWAPPED else entry)
    waiting = tuple(aside for where, aside in asides.items() if where not in decisions)
    gone = tuple(aside for where, aside in asides.items() if decisions.get(where) == LEAVE_OUT)
    return replace(log, entries=tuple(kept)), waiting, gone


def _impossible(entry: Entry) -> str:
    """Why a reading cannot be; "" where it can."""
    if entry.sbp <= entry.dbp:
        return f"systolic {entry.sbp:g} is not above diastolic {entry.dbp:g}: swapped, or mistyped?"
    for name, (low, high) in HUMAN_MMHG.items():
        value = getattr(entry, name)
        if not low <= value <= high:
            return f"{_NAMES[name]} {value:g} is hardly possible (from {low:g} to {high:g} is)"
    return ""


def _exchanged(entry: Entry) -> Entry:
    """The reading with its two numbers the other way round."""
    low, high = LIMITS["sbp"].low, LIMITS["sbp"].high
    return replace(entry, sbp=entry.dbp, dbp=entry.sbp) if low <= entry.dbp <= high else entry
