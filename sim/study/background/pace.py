"""How long a study will take on this machine: from one that was carried out, else from a short trial."""

from __future__ import annotations

import math
import time
from dataclasses import dataclass
from functools import lru_cache

from sim.study.background.job import cores, hands
from sim.study.background.plan import Plan
from sim.study.background.runner import Runner
from sim.study.plan import Study
from sim.study.stress import USUAL_PEOPLE

# Processes take so long to start [s], as measured on two busy cores.
START_S = 3.0
TRIED = 48
# Fewer readings say little about the pace of many.
_ENOUGH = 600


@dataclass(frozen=True)
class Pace:
    """A study's time [s], its readings a second, and whether a study here or only a trial of `TRIED` gave them."""

    seconds: float
    per_s: float
    from_study: bool


def expected(plan: Plan, runner: Runner) -> Pace:
    """How long the plan would take from its beginning, with its map [s]. Raises FieldError where it cannot be."""
    readings = plan.subjects * plan.readings
    if plan.mapped:
        readings += len(plan.algorithms) * USUAL_PEOPLE * math.prod(len(axis.values) for axis in plan.axes)
    before = runner.pace(plan.algorithms, _ENOUGH)
    if before is not None:
        return Pace(readings / before, before, True)
    count = hands(plan.study.chunks, cores())
    per_s = _trial(plan.algorithms) * count
    return Pace(readings / per_s + START_S * (count > 1), per_s, False)


@lru_cache(maxsize=32)
def _trial(algorithms: tuple[str, ...]) -> float:
    """Readings/s of one process."""
    study = Study(TRIED, algorithms, readings=1)
    study.measure(0)  # what is worked out once is not counted
    begun = time.perf_counter()
    study.measure(0)
    return TRIED / (time.perf_counter() - begun)


def spoken(seconds: float) -> str:
    """A time as people say it.

    >>> spoken(0.4), spoken(8.2), spoken(50), spoken(200), spoken(9000)
    ('1 s', '8 s', '50 s', '3 min', '2 h 30 min')
    """
    if seconds < 90:
        return f"{max(1, round(seconds))} s"
    minutes = round(seconds / 60)
    return f"{minutes} min" if minutes < 120 else f"{minutes // 60} h {minutes % 60} min"
