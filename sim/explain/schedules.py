"""Schedules of measurement: when readings are taken, and which of them count (schedules.toml)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sim.data import data
from sim.explain.variation import PLACES
from sim.fields import FieldError, Limit

# What a schedule may be (chosen here): wider than any published one in schedules.toml, and short enough to be kept.
LIMITS = {
    "days": Limit(1, 60, 7, 1, "days", "Days, or visits in the office"),
    "sessions": Limit(1, 4, 2, 1, "sessions", "Sessions a day"),
    "readings": Limit(1, 10, 2, 1, "readings", "Readings a session"),
    "drop_days": Limit(0, 7, 0, 1, "days", "Days left out at the beginning"),
    "drop_readings": Limit(0, 5, 0, 1, "readings", "Readings left out at the beginning of each session"),
}


@dataclass(frozen=True, eq=False)
class Layout:
    """The readings of a schedule in the order in which they are taken, each array of shape (n,).

    day: 0, 1 ...;  session: counted over all days, 0, 1 ...;  number: within its session, 1, 2 ...
    kept: whether the reading counts towards the mean
    """

    day: np.ndarray
    session: np.ndarray
    number: np.ndarray
    kept: np.ndarray

    def __len__(self) -> int:
        return len(self.day)


@dataclass(frozen=True)
class Schedule:
    """Days, sessions a day and readings a session, and how many of them are left out at the beginning.

    least_days, least_readings: of those that count not as left out; with fewer there is no mean yet by its rule
    scheme: the categories of the same guideline (`sim.explain.categories`), "" where it is no guideline's
    by: who asks for that, in short
    Raises FieldError, naming the number, its value and what is allowed.
    """

    days: int
    sessions: int = 1
    readings: int = 1
    drop_days: int = 0
    drop_readings: int = 0
    least_days: int = 1
    least_readings: int = 1
    place: str = "home"
    name: str = "own"
    label: str = "a schedule of your own"
    scheme: str = ""
    by: str = ""
    source: str = ""
    doi: str = ""
    sure: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        for name, limit in LIMITS.items():
            value = getattr(self, name)
            if value != int(value) or not limit.low <= value <= limit.high:
                raise FieldError(name, f"{value:g}", f"a whole number {limit.allowed}")
        for dropped, of in (("drop_days", "days"), ("drop_readings", "readings")):
            if getattr(self, dropped) >= getattr(self, of):
                raise FieldError(dropped, getattr(self, dropped), f"fewer than {of}, which is {getattr(self, of)}")
        if self.place not in PLACES:
            raise FieldError("place", repr(self.place), "one of " + ", ".join(PLACES))

    @property
    def taken(self) -> int:
        """How many readings are taken.

        >>> Schedule(7, sessions=2, readings=2, drop_days=1).taken
        28
        """
        return self.days * self.sessions * self.readings

    @property
    def counted(self) -> int:
        """How many of them count.

        >>> Schedule(7, sessions=2, readings=2, drop_days=1).counted
        24
        """
        return (self.days - self.drop_days) * self.sessions * (self.readings - self.drop_readings)

    def layout(self) -> Layout:
        """Every reading of the schedule, arrays of shape (n,) for the n that are taken.

        >>> Schedule(2, readings=2, drop_readings=1).layout().kept
        array([False,  True, False,  True])
        """
        day, session, number = (i.ravel() for i in np.indices((self.days, self.sessions, self.readings)))
        kept = (day >= self.drop_days) & (number >= self.drop_readings)
        return Layout(day, day * self.sessions + session, number + 1, kept)


@lru_cache(maxsize=1)
def schedules() -> dict[str, Schedule]:
    """The published schedules, in days, sessions and readings, by name (schedules.toml has the sources)."""
    return {entry["name"]: Schedule(**entry) for entry in data("sim.explain", "schedules.toml")["schedule"]}


def schedule(name: str) -> Schedule:
    """The schedule of this name, in days, sessions and readings; raises FieldError where there is none."""
    if name not in schedules():
        raise FieldError("schedule", repr(name), "one of " + ", ".join(schedules()))
    return schedules()[name]


def without_dropping(plan: Schedule) -> Schedule:
    """The same days, sessions and readings, all of which count.

    >>> without_dropping(Schedule(7, drop_days=1)).counted
    7
    """
    return Schedule(
        plan.days, plan.sessions, plan.readings, place=plan.place, name=plan.name, label=f"{plan.label}, all counted"
    )


def longer(plan: Schedule) -> Iterator[Schedule]:
    """The same schedule over one day more, then two, as far as the limits go (60 days); the first is the plan itself.

    >>> [plan.days for plan in longer(Schedule(58))]
    [58, 59, 60]
    """
    for days in range(plan.days, int(LIMITS["days"].high) + 1):
        yield Schedule(days, plan.sessions, plan.readings, plan.drop_days, plan.drop_readings, place=plan.place)
