"""Why a log has no mean yet by a rule, or its mean no category: how much is needed, and who says so."""

from __future__ import annotations

from collections.abc import Sequence

from sim.explain.categories import schemes
from sim.explain.schedules import Schedule
from sim.logs.aside import Aside
from sim.logs.log import Entry

# An average is called something only where it comes from so many occasions: "an average of at least two readings on at
# least two occasions", Whelton PK, et al. Hypertension 2018;71:e13-e115, DOI 10.1161/HYP.0000000000000065 (quoted).
LEAST_OCCASIONS, LEAST_READINGS = 2, 2
_BY = "Whelton 2018"


def undecided(waiting: Sequence[Aside]) -> tuple[str, ...]:
    """Why there is no mean while readings on the schedule's days are set aside."""
    if not waiting:
        return ()
    them = "it" if len(waiting) == 1 else "them"
    return (f"{many(len(waiting), 'reading')} cannot be right as written: decide about {them} first",)


def too_short(counting: Sequence[Entry], days: int, schedule: Schedule) -> tuple[str, ...]:
    """Why the rule gives no mean yet. days: on which anything was measured, those that are left out included."""
    found, by = [], f" ({schedule.by})" if schedule.by else ""
    if days < schedule.least_days:
        found.append(f"readings on {many(days, 'day')}, where the schedule needs at least {schedule.least_days}{by}")
    if len(counting) < schedule.least_readings:
        found.append(
            f"{many(len(counting), 'reading')} that {'counts' if len(counting) == 1 else 'count'}, where the schedule "
            f"needs at least {schedule.least_readings}{by}"
        )
    return tuple(found)


def too_few(counting: Sequence[Entry]) -> tuple[str, ...]:
    """Why a mean of too few readings or days has no category, whatever the schedule."""
    days = len({entry.day for entry in counting})
    if days >= LEAST_OCCASIONS and len(counting) >= LEAST_READINGS:
        return ()
    return (
        f"{many(len(counting), 'reading')} on {many(days, 'day')}: a category needs at least two readings on at least "
        f"two days ({_BY})",
    )


def mixed(schedule: Schedule, scheme: str) -> str:
    """What is to be said where rule and categories are not of one guideline, "" where they are."""
    named = schemes()
    if not schedule.scheme:
        return f"the rule is of no guideline; the categories are those of {named[scheme].label}"
    if scheme == schedule.scheme:
        return ""
    return (
        f"the rule goes with the categories of {named[schedule.scheme].label}; these are those of "
        f"{named[scheme].label}: two guidelines are mixed"
    )


def many(count: int, word: str) -> str:
    """A number of things: "1 reading", "2 readings"."""
    return f"{count} {word}" + ("" if count == 1 else "s")
