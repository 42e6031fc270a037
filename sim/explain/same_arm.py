"""Readings of the same arm, taken in the same way: what one of them cannot say, their mean can.

The person responds (to talk, to cold ...) as people do on average, in every reading. Breathing, beats, noise, how cloth
lies and when an arm moves fall out differently from reading to reading.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from sim.explain.breakdown import Breakdown, breakdown
from sim.record import record
from sim.results import Estimator, Recording, Result, Truth
from sim.setup import Setup

# So many that chance moves their mean by less than a mmHg (readings of an arm at rest have a standard deviation below
# 4), and few enough to be seen one by one and to be made while somebody moves a lever. Half: 1.3 mmHg, double: 0.6.
READINGS = 20
# The readings that everybody sees first: typical ones, in which no words of a lesson are untrue by chance
# (`benchmarks/first_seed.py` finds them). The words are held to them and to very many readings, by a test.
FIRST_SEED = 16


@dataclass(frozen=True, eq=False)
class SameArm:
    """n readings [mmHg] of the same arm in the same way, and the one of them that is looked at.

    found: all of them, with their breakdown;  number: which is looked at, counted from 1
    """

    found: Breakdown
    number: int = 1

    @property
    def count(self) -> int:
        """How many readings there are."""
        return len(self.found.result.recording)

    @property
    def every(self) -> Result:
        """All of them, one row each."""
        return self.found.result

    @cached_property
    def this(self) -> Result:
        """The one that is looked at, as one row."""
        return self.every.take(slice(self.number - 1, self.number))

    @cached_property
    def mean(self) -> Breakdown:
        """Their mean with its breakdown, as one row; without numbers where none has any."""
        return self.found.mean()

    @property
    def with_numbers(self) -> int:
        """How many of them have numbers."""
        return int(self.every.reading.ok.sum())

    @property
    def refused(self) -> dict[str, int]:
        """Why there were no numbers, and how many times, the most frequent first."""
        return dict(Counter(str(r) for r in self.every.reading.reason if r).most_common())


def one_recording(setup: Setup, seed: int, *, ideal: bool = False) -> tuple[Recording, Truth]:
    """One recording of a seed [mmHg], one row, before any algorithm reads it; its truth apart. Raises FieldError."""
    return record(setup.spread(1), None if ideal else np.random.default_rng(seed))


def same_arm(
    setup: Setup,
    seed: int,
    *,
    number: int = 1,
    n: int = READINGS,
    ideal: bool = False,
    estimator: str | Estimator | None = None,
) -> SameArm:
    """The n readings of a seed [mmHg], one row each; only one where `ideal` leaves nothing to chance.

    Raises FieldError as `sim.measure`.

    >>> twenty = same_arm(Setup.of(sbp=130), FIRST_SEED, n=3)
    >>> twenty.count, twenty.with_numbers
    (3, 3)
    """
    rng = None if ideal else np.random.default_rng(seed)
    found = breakdown(setup, rng=rng, n=1 if ideal else n, ideal=ideal, estimator=estimator, average_person=True)
    return SameArm(found, 1 if ideal else number)
