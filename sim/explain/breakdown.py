"""What each mistake added: reading minus resting pressure as a sum of contributions, exact to the last digit.

Each mistake's contribution is its Shapley value: what it adds to the reading, averaged over every order in which the
mistakes could have been made. So interactions are shared fairly, and the contributions sum exactly.

    algorithm   a noise-free, steady reading with correct technique, less the resting pressure
    mistakes    what they add, each a response (the pressure itself changed) or a measuring error
    chance      the rest: noise, breathing, differences from beat to beat

Mixtures of mistakes that are the same in every reading are measured on a noise-free, steady arm: once, where all
readings are of one arm. Movement and cloth fall out differently in every reading (`mistakes.DRAWN`): these come last,
and what they add is measured with the reading's own chance, with and without them.
"""

from __future__ import annotations

import copy
from dataclasses import dataclass, replace
from itertools import permutations

import numpy as np

from sim.body.responses import response, responses
from sim.body.subject import Subject
from sim.chance import FILL_DRAWS, Chance
from sim.cuff.instrument import Instrument
from sim.estimate.door import read
from sim.estimate.named import resolved
from sim.explain.mistakes import DRAWN, Mistake, mistakes
from sim.fields import RESPONSE
from sim.measurement import prepare
from sim.record import Sweep, planned
from sim.results import Estimator, Reading, Result
from sim.say import mark, say
from sim.setup import Setup
from sim.technique import Technique

# Up to so many mistakes every order is counted; beyond, a balanced few. Chosen for pace: 5 have 120 orders and 32
# mixtures to be measured, 10 have 3.6 million orders; the sum is exact either way.
_ALL_ORDERS = 5
# Steady readings made at a time: chosen for memory (as many minutes of recording are 12 MB), without effect on any
# number.
_ROWS_TOGETHER = 256

ALGORITHM, CHANCE = mark("algorithm"), mark("chance")


@dataclass(frozen=True, eq=False)
class Contribution:
    """What one cause adds to n readings: sbp, dbp (n,) [mmHg]; `field` is the input it comes from, or ""

    spread: for a response, how far people differ in it, as standard deviations (n,) each
    """

    field: str
    cause: str
    kind: str
    sbp: np.ndarray
    dbp: np.ndarray
    spread: tuple[np.ndarray, np.ndarray] | None = None


@dataclass(frozen=True, eq=False)
class Breakdown:
    """Contributions [mmHg], (n,) each, that add up to reading minus resting pressure, or the reason why there are none.

    result: the readings, the same that `measure` makes with the same generator
    contributions: empty where `reason` says why there is no breakdown
    """

    result: Result
    contributions: tuple[Contribution, ...]
    reason: str = ""

    def mean(self) -> Breakdown:
        """The breakdown of the mean [mmHg] of the readings that have numbers, (1,) each. A mean has no recording."""
        ok = self.result.reading.ok

        def mean(values: np.ndarray) -> np.ndarray:
            return values[ok].mean(keepdims=True)

        parts = tuple(
            replace(
                c,
                sbp=mean(c.sbp),
                dbp=mean(c.dbp),
                spread=None if c.spread is None else (mean(c.spread[0]), mean(c.spread[1])),
            )
            for c in self.contributions
        )
        return Breakdown(self.result.mean(), parts, self.reason)


def breakdown(
    subject: Subject | Setup,
    technique: Technique | None = None,
    instrument: Instrument | None = None,
    *,
    rng: np.random.Generator | None = None,
    n: int | None = None,
    ideal: bool = False,
    estimator: str | Estimator | None = None,
    average_person: bool = False,
) -> Breakdown:
    """n readings and what each cause contributed, (n,) [mmHg]; arguments and errors as for `sim.measure`.

    There is none where a mixture of the mistakes gives no reading, or no reading has numbers; `reason` says so. Shapley
    values: Shapley LS. In: Contributions to the Theory of Games II, 1953:307-317 (from memory).

    >>> from sim import Subject
    >>> found = breakdown(Subject(), Technique(cuff_below_heart_cm=10), ideal=True)
    >>> total = sum(float(part.sbp[0]) for part in found.contributions)
    >>> abs(total - float(found.result.bias.sbp[0])) < 1e-9
    True
    """
    estimate = resolved(estimator)
    setup = prepare(subject, technique, instrument, rng=rng, n=n, ideal=ideal)
    rng = None if ideal else rng
    made = _Made(copy.deepcopy(rng), estimate, average_person)
    result, chance = made.with_chance(setup, rng)
    if not result.reading.ok.any():
        return Breakdown(result, (), say(str(result.reading.reason[0])))
    found = mistakes(setup)
    fixed, drawn = ([m for m in found if (m.field in DRAWN) == wanted] for wanted in (False, True))
    steady = made.steady(_right(setup, drawn), fixed, chance)
    noisy = made.noisy(setup, drawn) | {frozenset(range(len(drawn))): result.reading}
    why = _why_none(fixed, steady, np.ones(len(result.recording), bool)) or _why_none(drawn, noisy, result.reading.ok)
    if why:
        return Breakdown(result, (), why)
    parts = _contributions(setup.technique, fixed, drawn, steady, noisy, result)
    order = {"": -1} | {m.field: k for k, m in enumerate(found)}
    middle = sorted(parts[1:-1], key=lambda part: order[part.field])
    return Breakdown(result, (parts[0], *middle, parts[-1]))


Mixtures = dict[frozenset[int], Reading]


@dataclass(frozen=True, eq=False)
class _Made:
    """How readings are made. rng: as it was before the first were; None leaves nothing to chance."""

    rng: np.random.Generator | None
    estimate: Estimator
    average_person: bool

    def with_chance(self, setup: Setup, rng: np.random.Generator | None) -> tuple[Result, Chance]:
        """Readings with all that is left to chance, and the draws."""
        sweep, chance = planned(setup, rng)
        if self.average_person:
            chance = chance.of_average_person()
        recording, truth = sweep.record(chance)
        return Result(recording, read(self.estimate, recording), truth), chance

    def noisy(self, setup: Setup, drawn: list[Mistake]) -> Mixtures:
        """For each mixture of these mistakes but the last, which has them all, the readings with the same draws."""
        return {
            # A copy draws the same for each; a longer recording only draws on.
            mixture: self.with_chance(_right(setup, _left_out(drawn, mixture)), copy.deepcopy(self.rng))[0].reading
            for mixture in _mixtures(_orders(len(drawn)))[:-1]
        }

    def steady(self, setup: Setup, found: list[Mistake], chance: Chance) -> Mixtures:
        """For each mixture of mistakes on the way of the orders, the noise-free and steady readings with it.

        Readings that differ in nothing but chance are made once.
        """
        n = len(chance.cloth)
        alike = all(_same(value) for value in [*setup.values().values(), *chance.response.values()])
        base = np.zeros(1, dtype=int) if alike else np.arange(n)
        mixtures = _mixtures(_orders(len(found)))
        together = max(1, _ROWS_TOGETHER // len(base))
        values = {}
        for first in range(0, len(mixtures), together):
            some = mixtures[first : first + together]
            rows = np.tile(base, len(some))
            # Where the cuff begins and ends is chance, too: here it is in the middle.
            sweep = Sweep(_with_mistakes(setup, found, some, rows), np.full((len(rows), FILL_DRAWS), 0.5))
            recording, _ = sweep.record(sweep.steady(chance.take(rows)))
            reading = read(self.estimate, recording)
            for k, mixture in enumerate(some):
                part = reading.take(slice(k * len(base), (k + 1) * len(base)))
                values[mixture] = part.take(np.zeros(n, dtype=int)) if alike else part
        return values


def _same(values: np.ndarray) -> bool:
    """Whether all rows are the same."""
    return bool((values == values[:1]).all())


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


def _mixtures(orders: list[tuple[int, ...]]) -> list[frozenset[int]]:
    """All mixtures on the way of the orders, the one with every mistake last."""
    mixtures = {frozenset(order[:k]) for order in orders for k in range(len(order) + 1)}
    return sorted(mixtures, key=lambda mixture: (len(mixture), sorted(mixture)))


def _left_out(found: list[Mistake], mixture: frozenset[int]) -> list[Mistake]:
    return [mistake for k, mistake in enumerate(found) if k not in mixture]


def _right(setup: Setup, found: list[Mistake]) -> Setup:
    """The setup with these mistakes put right."""
    return setup.replace(**{mistake.field: mistake.correct for mistake in found})


def _with_mistakes(setup: Setup, found: list[Mistake], mixtures: list[frozenset[int]], rows: np.ndarray) -> Setup:
    """The setup, once for each mixture, with the mistakes outside it put right."""
    taken, values = setup.take(rows), setup.values()
    changes = {}
    for k, mistake in enumerate(found):
        made = np.repeat([k in mixture for mixture in mixtures], len(rows) // len(mixtures))
        changes[mistake.field] = np.where(made, values[mistake.field][rows], mistake.correct[rows])
    return taken.replace(**changes)


def _spread(technique: Technique, mistake: Mistake) -> tuple[np.ndarray, np.ndarray] | None:
    """How far people differ in a response; None for what is none."""
    if mistake.kind != RESPONSE:
        return None
    made, right = (_spreads(t) for t in (technique, technique.replace(**{mistake.field: mistake.correct})))
    return made[0] - right[0], made[1] - right[1]


def _spreads(technique: Technique) -> tuple[np.ndarray, np.ndarray]:
    """Of all responses together: a response grows evenly with its draw."""
    far, mean = response(technique, {field: np.ones(technique.size) for field in responses()}), response(technique)
    return far[0] - mean[0], far[1] - mean[1]


def _steps(orders: list[tuple[int, ...]], values: Mixtures, name: str) -> list[np.ndarray]:
    """For each mistake its mean step over the orders."""
    totals = [np.zeros_like(getattr(values[frozenset()], name)) for _ in orders[0]]
    for order in orders:
        for place, k in enumerate(order):
            before, after = frozenset(order[:place]), frozenset(order[: place + 1])
            totals[k] += getattr(values[after], name) - getattr(values[before], name)
    return [total / len(orders) for total in totals]


def _contributions(
    technique: Technique, fixed: list[Mistake], drawn: list[Mistake], steady: Mixtures, noisy: Mixtures, result: Result
) -> tuple[Contribution, ...]:
    """Algorithm, mistakes and chance, for systolic and diastolic."""
    none, every = frozenset[int](), frozenset(range(len(fixed)))
    resting = result.truth.resting
    algorithm = (steady[none].sbp - resting.sbp, steady[none].dbp - resting.dbp)
    chance = (noisy[none].sbp - steady[every].sbp, noisy[none].dbp - steady[every].dbp)
    made = [
        Contribution(m.field, m.cause, m.kind, s, d, _spread(technique, m))
        for found, values in ((fixed, steady), (drawn, noisy))
        for m, s, d in zip(found, *(_steps(_orders(len(found)), values, name) for name in ("sbp", "dbp")), strict=True)
    ]
    return (
        Contribution(
            "",
            say("the algorithm: its error with correct technique and without random variation"),
            ALGORITHM,
            *algorithm,
        ),
        *made,
        Contribution("", say("random variation: noise, breathing, differences from beat to beat"), CHANCE, *chance),
    )


def _why_none(found: list[Mistake], values: Mixtures, needed: np.ndarray) -> str:
    """Why a mixture without a reading leaves no breakdown; "" where all needed rows have one."""
    for mixture, reading in values.items():
        missing = needed & ~reading.ok
        if missing.any():
            causes = say(" and ").join(found[k].cause for k in sorted(mixture)) or say("correct technique")
            why = say(str(reading.reason[missing][0]))
            return say("with {causes} alone there is no reading: {reason}", causes=causes, reason=why)
    return ""
