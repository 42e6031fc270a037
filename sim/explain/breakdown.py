"""Which mistake cost what: reading less resting pressure as a sum of contributions, exact to the last digit.

Each mistake's contribution is its Shapley value: what it adds to the reading, averaged over every order in which the
mistakes could have been made. So interactions are shared fairly, and the contributions sum exactly. All mixtures of
mistakes are measured with the same draws, without noise, breathing and variation from beat to beat.

    algorithm   a noise-free, steady reading with correct technique, less the resting pressure
    mistakes    what they add to that reading, each a response (the pressure itself changed) or a measuring error
    chance      the rest: the reading as it was, less the noise-free, steady one with the same mistakes

What is drawn of a mistake itself (how strongly this person responds, how this sleeve lies) belongs to the mistake.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import permutations

import numpy as np

from sim.body.responses import response
from sim.body.subject import Subject
from sim.chance import Chance
from sim.cuff.instrument import Instrument
from sim.estimate.door import read
from sim.estimate.named import resolved
from sim.explain.mistakes import Mistake, mistakes
from sim.fields import RESPONSE
from sim.measurement import prepare
from sim.record import Sweep, planned
from sim.results import Estimator, Reading, Result
from sim.setup import Setup
from sim.technique import Technique

# Up to so many mistakes every order is counted; beyond, a balanced few.
_ALL_ORDERS = 5
# Readings made at a time.
_ROWS_TOGETHER = 256

ALGORITHM, CHANCE = "algorithm", "chance"


@dataclass(frozen=True, eq=False)
class Contribution:
    """What one cause adds to n readings: sbp, dbp (n,) [mmHg]; `field` is the input it comes from, or ""

    average: for a response, what it adds to the pressures of people on average, (n,) each; people differ from it
    """

    field: str
    cause: str
    kind: str
    sbp: np.ndarray
    dbp: np.ndarray
    average: tuple[np.ndarray, np.ndarray] | None = None


@dataclass(frozen=True, eq=False)
class Breakdown:
    """Contributions that add up to reading less resting pressure, or the reason why there are none.

    result: the readings, the same that `measure` makes with the same generator
    contributions: empty where `reason` says why there is no breakdown
    """

    result: Result
    contributions: tuple[Contribution, ...]
    reason: str = ""

    def mean(self) -> Breakdown:
        """The breakdown of the mean of the readings that have numbers; arrays of one."""
        ok = self.result.reading.ok
        if not self.contributions:
            return self

        def mean(values: np.ndarray) -> np.ndarray:
            return values[ok].mean(keepdims=True)

        parts = tuple(
            replace(
                c,
                sbp=mean(c.sbp),
                dbp=mean(c.dbp),
                average=None if c.average is None else (mean(c.average[0]), mean(c.average[1])),
            )
            for c in self.contributions
        )
        return replace(self, contributions=parts)


def breakdown(
    subject: Subject | Setup,
    technique: Technique | None = None,
    instrument: Instrument | None = None,
    *,
    rng: np.random.Generator | None = None,
    n: int | None = None,
    ideal: bool = False,
    estimator: str | Estimator | None = None,
) -> Breakdown:
    """n readings and what each cause contributed; arguments and errors as for `sim.measure`.

    There is none where a mixture of the mistakes gives no reading, or no reading has numbers; `reason` says so.
    """
    estimate = resolved(estimator)
    setup = prepare(subject, technique, instrument, rng=rng, n=n, ideal=ideal)
    sweep, chance = planned(setup, None if ideal else rng)
    recording, truth = sweep.record(chance)
    result = Result(recording, read(estimate, recording), truth)
    if not result.reading.ok.any():
        return Breakdown(result, (), str(result.reading.reason[0]))
    found = mistakes(setup)
    orders = _orders(len(found))
    values = _steady_readings(setup, found, orders, chance, estimate)
    for mixture, reading in values.items():
        if not reading.ok.all():
            return Breakdown(result, (), _why_none(found, mixture, reading))
    averages = [_average(setup.technique, mistake) for mistake in found]
    return Breakdown(result, _contributions(found, averages, orders, values, result))


def _orders(count: int) -> list[tuple[int, ...]]:
    """Orders in which `count` mistakes are made one after the other: all, or a balanced few.

    The few are the rotations of one order, forwards and backwards. In them every mistake comes at every place equally
    often, and they pass through count * (count - 1) + 2 mixtures instead of 2 ** count.
    """
    forwards = tuple(range(count))
    if count <= _ALL_ORDERS:
        return list(permutations(forwards))
    rotations = [forwards[k:] + forwards[:k] for k in forwards]
    return rotations + [order[::-1] for order in rotations]


def _steady_readings(
    setup: Setup,
    found: list[Mistake],
    orders: list[tuple[int, ...]],
    chance: Chance,
    estimate: Estimator,
) -> dict[frozenset[int], Reading]:
    """For each mixture of mistakes on the way of the orders, the noise-free and steady readings with it."""
    mixtures = sorted({frozenset(order[:k]) for order in orders for k in range(len(order) + 1)}, key=sorted)
    n = len(chance.cloth)
    together = max(1, _ROWS_TOGETHER // n)
    values = {}
    for first in range(0, len(mixtures), together):
        some = mixtures[first : first + together]
        rows = np.tile(np.arange(n), len(some))
        drawn = chance.take(rows)
        sweep = Sweep(_with_mistakes(setup, found, some, rows), drawn.fill)
        recording, _ = sweep.record(sweep.steady(drawn))
        reading = read(estimate, recording)
        for k, mixture in enumerate(some):
            values[mixture] = reading.take(slice(k * n, (k + 1) * n))
    return values


def _with_mistakes(setup: Setup, found: list[Mistake], mixtures: list[frozenset[int]], rows: np.ndarray) -> Setup:
    """The setup, once for each mixture, with the mistakes outside it put right."""
    taken, values = setup.take(rows), setup.values()
    changes = {}
    for k, mistake in enumerate(found):
        made = np.repeat([k in mixture for mixture in mixtures], len(rows) // len(mixtures))
        changes[mistake.field] = np.where(made, values[mistake.field][rows], mistake.correct[rows])
    return taken.replace(**changes)


def _average(technique: Technique, mistake: Mistake) -> tuple[np.ndarray, np.ndarray] | None:
    """What a response does on average; None for what is none."""
    if mistake.kind != RESPONSE:
        return None
    made = response(technique)
    right = response(technique.replace(**{mistake.field: mistake.correct}))
    return made[0] - right[0], made[1] - right[1]


def _contributions(
    found: list[Mistake],
    averages: list[tuple[np.ndarray, np.ndarray] | None],
    orders: list[tuple[int, ...]],
    values: dict[frozenset[int], Reading],
    result: Result,
) -> tuple[Contribution, ...]:
    """Algorithm, mistakes and chance, for systolic and diastolic."""

    def steps(name: str) -> list[np.ndarray]:
        """For each mistake its mean step over the orders."""
        totals = [np.zeros(len(result.reading.reason)) for _ in found]
        for order in orders:
            for place, k in enumerate(order):
                before, after = frozenset(order[:place]), frozenset(order[: place + 1])
                totals[k] += getattr(values[after], name) - getattr(values[before], name)
        return [total / len(orders) for total in totals]

    none, every = frozenset[int](), frozenset(range(len(found)))
    sbp, dbp = steps("sbp"), steps("dbp")
    resting, reading = result.truth.resting, result.reading
    return (
        Contribution(
            "",
            "the algorithm: what it is off with correct technique and no chance",
            ALGORITHM,
            values[none].sbp - resting.sbp,
            values[none].dbp - resting.dbp,
        ),
        *(
            Contribution(m.field, m.cause, m.kind, s, d, average)
            for m, s, d, average in zip(found, sbp, dbp, averages, strict=True)
        ),
        Contribution(
            "",
            "chance: noise, breathing, differences from beat to beat",
            CHANCE,
            reading.sbp - values[every].sbp,
            reading.dbp - values[every].dbp,
        ),
    )


def _why_none(found: list[Mistake], mixture: frozenset[int], reading: Reading) -> str:
    """Why a mixture without a reading leaves no breakdown."""
    reason = str(reading.reason[~reading.ok][0])
    causes = " and ".join(found[k].cause for k in sorted(mixture)) or "correct technique"
    return f"with {causes} alone there is no reading: {reason}"
