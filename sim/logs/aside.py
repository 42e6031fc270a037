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
from sim.logs.told import place
from sim.say import mark, say

# What an adult's arm may show at all, systolic and diastolic [mmHg]. Chosen here, near the ends of what automatic cuffs
# for adults are commonly built to show (common practice); what lies beyond is read once more before it counts. Of
# 56,000 simulated honest readings at home 0.004 % lie below 60 systolic and 0.04 % below 30 diastolic, none above.
HUMAN_MMHG = {"sbp": (60.0, 260.0), "dbp": (30.0, 160.0)}
_NAMES = {"sbp": mark("systolic"), "dbp": mark("diastolic")}

LEAVE_OUT, COUNT, SWAPPED = "leave-out", "count", "swapped"
DECISIONS = {
    LEAVE_OUT: mark("leave it out"),
    COUNT: mark("it is right as written: count it"),
    SWAPPED: mark("the two numbers were written the wrong way round: I have checked"),
}
# What else may be done about a reading that was written down wrongly: by whoever has the paper, in their own file.
MEND = mark("If the paper or the device says something else, write that into your file and open it again.")


@dataclass(frozen=True)
class Aside:
    """A reading set aside: why, and what may be decided about it, keys of DECISIONS."""

    entry: Entry
    reason: str
    choices: tuple[str, ...]


@dataclass(frozen=True)
class Decided:
    """A log as the decisions make it: what is left, what waits for a decision, what was left out."""

    log: Log
    waiting: tuple[Aside, ...]
    gone: tuple[Aside, ...]


def set_aside(log: Log) -> tuple[Aside, ...]:
    """The readings of a log that cannot be as they stand, in the log's order."""
    found, seen = [], dict[tuple[datetime, float, float], Entry]()
    for entry in log.entries:
        twin = seen.setdefault((entry.when, entry.sbp, entry.dbp), entry) if entry.timed else entry
        if reason := _impossible(entry):
            found.append(Aside(entry, reason, _choices(entry)))
        elif twin is not entry:
            where = place(twin.where) or say("another reading")
            reason = say("the same time and the same numbers as {where}", where=where)
            found.append(Aside(entry, reason, (LEAVE_OUT, COUNT)))
    return tuple(found)


def decided(log: Log, decisions: Mapping[str, str]) -> Decided:
    """The log as the decisions make it.

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
            kept.append(decide(entry, decision))
    waiting = tuple(aside for where, aside in asides.items() if where not in decisions)
    gone = tuple(aside for where, aside in asides.items() if decisions.get(where) == LEAVE_OUT)
    return Decided(replace(log, entries=tuple(kept)), waiting, gone)


def decide(entry: Entry, decision: str) -> Entry:
    """The reading as a decision to count it makes it: with its two numbers the other way round, or as it stands."""
    return replace(entry, sbp=entry.dbp, dbp=entry.sbp) if decision == SWAPPED else entry


def can_be(name: str, value: float) -> bool:
    """Whether an arm may show this, "sbp" or "dbp" [mmHg]."""
    low, high = HUMAN_MMHG[name]
    return low <= value <= high


def perhaps_swapped(sbp: float, dbp: float) -> bool:
    """Whether a pair would be a reading the other way round, and is none as it stands [mmHg]."""
    return dbp > sbp and can_be("sbp", dbp) and can_be("dbp", sbp)


def _choices(entry: Entry) -> tuple[str, ...]:
    swapped = perhaps_swapped(entry.sbp, entry.dbp)
    within = all(LIMITS[name].low <= getattr(entry, name) <= LIMITS[name].high for name in HUMAN_MMHG)
    return (LEAVE_OUT, *([SWAPPED] * swapped), *([COUNT] * (within and entry.sbp > entry.dbp)))


def _impossible(entry: Entry) -> str:
    """Why a reading cannot be; "" where it can."""
    for name, (low, high) in HUMAN_MMHG.items():
        value = getattr(entry, name)
        if not can_be(name, value) and not perhaps_swapped(entry.sbp, entry.dbp):
            return say(
                "{name} {value:g} is hardly possible: {low:g} to {high:g} is what an arm may show",
                name=say(_NAMES[name]),
                value=value,
                low=low,
                high=high,
            )
    if entry.sbp <= entry.dbp:
        return say(
            "systolic {sbp:g} is not above diastolic {dbp:g}: swapped, or mistyped?", sbp=entry.sbp, dbp=entry.dbp
        )
    return ""
