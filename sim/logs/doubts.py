"""Doubtful values of a log: marked, with the reason; never deleted, never corrected.

What cannot be at all is set aside before (`sim.logs.aside`), and plays no part in judging the others.

The limits were chosen here, wide enough that honest readings seldom cross them. A doubtful value may well be right.
"""

from __future__ import annotations

from collections import defaultdict

import numpy as np
from scipy.stats import binom

from sim.logs.log import LIMITS, Entry, Log
from sim.logs.told import place as told_place
from sim.say import mark, say

# All chosen here. What they mark was tried on 2,000 simulated honest logs: adults of `sim.study.cohort`, each a week at
# home of 28 readings with the published variation (`sim.explain.averaging.simulate`).

# Systolic less diastolic [mmHg]: 0.4 % of honest readings lie below the first (at a half 0.07, at a double 8 %) and 0.9
# % above the second (at a half 40 %, at a double none).
LEAST_PULSE_PRESSURE = 15.0
MOST_PULSE_PRESSURE = 110.0
# From the middle of the log: so many mmHg, and so many robust standard deviations. 0.02 % of honest readings; half of
# the first: 0.2 %, half of the second: 0.05 %, double of either: none.
FAR_MMHG = {"sbp": 30.0, "dbp": 20.0}
FAR_SD = 4.0
# From the nearest reading of the same part of the same day [mmHg]. None of the honest sessions (systolic; diastolic
# 0.004 %); at a half 1.7 and 3.5 % of them.
APART_MMHG = {"sbp": 25.0, "dbp": 18.0}
# So many readings that say where the middle is; and so many that say which of two is nearer to it: of three, one
# that is far away leaves the median among the others, of five two do.
FEWEST, FEWEST_TO_TELL = 5, 3
# Last digits: so many readings, and no more often by chance than this. Of 12 readings 6 zeros are remarked on, of 24
# nine; at a half or a double of the probability one zero more or fewer. Of 6 readings it would take 5.
FEWEST_DIGITS = 12
RARE = 0.001
_NAMES = {"sbp": mark("systolic"), "dbp": mark("diastolic")}
_FAR = mark("{name} is {mmhg:.0f} from the middle of the log, {middle:g}")
_APART = mark("{name} is {mmhg:g} from the nearest of the same session")


def doubts(log: Log) -> tuple[tuple[str, ...], ...]:
    """For each entry why it is doubtful, () where it is not."""
    found: list[list[str]] = [_alone(entry) for entry in log.entries]
    for more in (_far(log), _apart(log)):
        for place, reason in more:
            found[place].append(reason)
    return tuple(tuple(reasons) for reasons in found)


def remarks(log: Log) -> tuple[str, ...]:
    """What is doubtful in the log as a whole."""
    found = []
    for name, word in _NAMES.items():
        values = np.array([getattr(e, name) for e in log.entries])
        zeros = int((values % 10 == 0).sum())
        if len(values) >= FEWEST_DIGITS and binom.sf(zeros - 1, len(values), 0.1) < RARE:
            found.append(
                say(
                    "{zeros} of {n} {name} values end in 0, where about {chance:.0f} would by chance: "
                    "were they rounded?",
                    zeros=zeros,
                    n=len(values),
                    name=say(word),
                    chance=len(values) / 10,
                )
            )
    zoned = [e for e in log.entries if e.when.tzinfo is not None and e.timed]
    if zoned and all(not e.when.utcoffset() for e in zoned):
        found.append(say("the times are given in UTC: morning and evening are told apart by that clock"))
    limit = LIMITS["pulse"]
    odd = [e for e in log.entries if e.pulse is not None and not limit.low <= e.pulse <= limit.high]
    if odd:
        listed = ", ".join(say("{pulse:g} in {where}", pulse=e.pulse, where=told_place(e.where)) for e in odd[:5])
        listed += say(" and more") if len(odd) > 5 else ""
        words = mark("a pulse that can hardly be ({listed}) is kept as written; the pressures beside it count")
        found.append(say(words, listed=listed))
    return tuple(found)


def _alone(entry: Entry) -> list[str]:
    """What is doubtful about one entry by itself."""
    pulse_pressure = entry.sbp - entry.dbp
    if pulse_pressure < LEAST_PULSE_PRESSURE:
        return [say("systolic is only {mmhg:g} above diastolic", mmhg=pulse_pressure)]
    if pulse_pressure > MOST_PULSE_PRESSURE:
        return [say("systolic is {mmhg:g} above diastolic", mmhg=pulse_pressure)]
    return []


def _far(log: Log) -> list[tuple[int, str]]:
    """Values far from the middle of the whole log."""
    found = []
    if len(log.entries) < FEWEST:
        return []
    for name, word in _NAMES.items():
        values = np.array([getattr(e, name) for e in log.entries])
        middle = float(np.median(values))
        robust_sd = 1.4826 * float(np.median(np.abs(values - middle)))
        limit = max(FAR_MMHG[name], FAR_SD * robust_sd)
        found += [
            (int(place), say(_FAR, name=say(word), mmhg=abs(values[place] - middle), middle=middle))
            for place in np.flatnonzero(np.abs(values - middle) > limit)
        ]
    return found


def _apart(log: Log) -> list[tuple[int, str]]:
    """Values far from every other one of the same part of the same day.

    Of two that differ so much, the one is meant that lies farther from the middle of the log, where there are readings
    enough to say where that is: a typing error does not make its plausible neighbour doubtful.
    """
    middle = {name: float(np.median([getattr(e, name) for e in log.entries] or [0.0])) for name in _NAMES}
    groups = defaultdict(list)
    for place, entry in enumerate(log.entries):
        groups[entry.day, entry.part].append(place)
    found = []
    for places in groups.values():
        if len(places) < 2:
            continue
        for name, word in _NAMES.items():
            for place in places:
                value = getattr(log.entries[place], name)
                others = [getattr(log.entries[p], name) for p in places if p != place]
                nearest = min(abs(value - other) for other in others)
                outer = abs(value - middle[name]) >= max(abs(other - middle[name]) for other in others)
                if nearest > APART_MMHG[name] and (outer or len(log.entries) < FEWEST_TO_TELL):
                    found.append((place, say(_APART, name=say(word), mmhg=nearest)))
    return found
