"""Why a log has no mean yet by a rule, or its mean no category: how much is needed, and who says so."""

from __future__ import annotations

from collections.abc import Sequence

from sim.explain.categories import schemes
from sim.explain.schedules import Schedule
from sim.logs.aside import Aside
from sim.logs.log import Entry
from sim.logs.told import many
from sim.say import say

# An average is called something only where it comes from so many occasions: "an average of at least two readings on at
# least two occasions", Whelton PK, et al. Hypertension 2018;71:e13-e115, DOI 10.1161/HYP.0000000000000065 (quoted).
LEAST_OCCASIONS, LEAST_READINGS = 2, 2
_BY = "Whelton 2018"


def undecided(waiting: Sequence[Aside]) -> tuple[str, ...]:
    """Why there is no mean while readings on the schedule's days are set aside."""
    if not waiting:
        return ()
    if len(waiting) == 1:
        return (say("1 reading cannot be right as written: decide about it first"),)
    return (say("{n} readings cannot be right as written: decide about them first", n=len(waiting)),)


def too_short(counting: Sequence[Entry], days: int, schedule: Schedule) -> tuple[str, ...]:
    """Why the rule gives no mean yet. days: on which anything was measured, those that are left out included."""
    found, by = [], f" ({schedule.by})" if schedule.by else ""
    if days < schedule.least_days:
        words = say(
            "readings on {days}, where the schedule needs at least {least}",
            days=many(days, "day"),
            least=schedule.least_days,
        )
        found.append(words + by)
    if len(counting) < schedule.least_readings:
        if len(counting) == 1:
            words = say(
                "1 reading that counts, where the schedule needs at least {least}", least=schedule.least_readings
            )
        else:
            counts = {"n": len(counting), "least": schedule.least_readings}
            words = say("{n} readings that count, where the schedule needs at least {least}", **counts)
        found.append(words + by)
    return tuple(found)


def too_few(counting: Sequence[Entry]) -> tuple[str, ...]:
    """Why a mean of too few readings or days has no category, whatever the schedule."""
    days = len({entry.day for entry in counting})
    if days >= LEAST_OCCASIONS and len(counting) >= LEAST_READINGS:
        return ()
    return (
        say(
            "{readings} on {days}: a category needs at least two readings on at least two days ({by})",
            readings=many(len(counting), "reading"),
            days=many(days, "day"),
            by=_BY,
        ),
    )


def mixed(schedule: Schedule, scheme: str) -> str:
    """What is to be said where rule and categories are not of one guideline, "" where they are."""
    named = schemes()
    if not schedule.scheme:
        return say("the rule is of no guideline; the categories are those of {scheme}", scheme=say(named[scheme].label))
    if scheme == schedule.scheme:
        return ""
    return say(
        "the rule goes with the categories of {own}; these are those of {scheme}: two guidelines are mixed",
        own=say(named[schedule.scheme].label),
        scheme=say(named[scheme].label),
    )
