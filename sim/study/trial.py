"""Many trials by ISO 81060-2's own method, of devices whose true errors are known: how often each passes.

Each trial draws 85 people of a pool (`sim.study.trial_pool`) with replacement, a bootstrap of people, each with all of
the readings; adds the extra error that makes the device truly what was asked; and judges it by both criteria
(`sim.study.standard.criteria`). So a trial's people are distributed as the pool is on average, and not in each trial.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.study.standard import SUBJECTS, criteria
from sim.study.trial_pool import Pool


@dataclass(frozen=True, eq=False)
class Device:
    """What is true of a device in a pressure [mmHg]: mean error, SD of people's mean errors, SD of all its errors."""

    mean: np.ndarray
    sd_of_means: np.ndarray
    sd: np.ndarray

    @property
    def good(self) -> np.ndarray:
        """Whether it truly lies within both criteria, in systolic and diastolic pressure; (2,) without last axis."""
        first, second = criteria(self.mean, self.sd, self.sd_of_means)
        within: np.ndarray = (first & second).all(axis=0)
        return within


def truly(errors: np.ndarray) -> Device:
    """What is true of a device whose errors in all the world are these, (2, m, r) [mmHg]; each answer (2,).

    >>> truly(np.array([[[1.0, 1.0], [3.0, 3.0]], [[0.0, 0.0], [0.0, 0.0]]])).mean
    array([2., 0.])
    """
    return Device(errors.mean(axis=(1, 2)), errors.mean(axis=2).std(axis=1), errors.std(axis=(1, 2)))


@dataclass(frozen=True, eq=False)
class Luck:
    """What became of many trials of one device: shares of them, 0 to 1.

    criterion_1, criterion_2, passed: (2,) each alone and both, by pressure; together: both criteria in both pressures
    """

    trials: int
    device: Device
    criterion_1: np.ndarray
    criterion_2: np.ndarray
    passed: np.ndarray
    together: float


@dataclass(frozen=True, eq=False)
class Draws:
    """What many trials leave to chance, the same for every device: who takes part, and each one's extra error.

    who: (t, s) uniform draws; extra: (2, t, s) standardised
    """

    who: np.ndarray
    extra: np.ndarray


def draws(trials: int, rng: np.random.Generator, subjects: int = SUBJECTS) -> Draws:
    """Draws for so many trials of so many people; shapes (trials, subjects) and (2, trials, subjects).

    >>> draws(3, np.random.default_rng(1)).who.shape
    (3, 85)
    """
    return Draws(rng.random((trials, subjects)), rng.standard_normal((2, trials, subjects)))


def play(errors: np.ndarray, drawn: Draws) -> Luck:
    """Trials of a device whose errors are these, (2, m, r) [mmHg], in people drawn with replacement."""
    zero = np.zeros(2)
    return _played(errors, zero, zero, truly(errors), drawn)


def play_as(errors: np.ndarray, own: np.ndarray, bias: float, sd: float, drawn: Draws) -> Luck | None:
    """Trials of a device made to be truly so, in both pressures alike; None where the algorithm's own SD is larger.

    errors: (2, m, r) against the trial's reference [mmHg]; own: (2, m', r) the algorithm's own errors
    bias: true mean error; sd: true SD of people's mean errors, by an extra error that stays with the person [mmHg]
    """
    before = truly(own)
    if (before.sd_of_means > sd).any():
        return None
    added = np.sqrt(sd**2 - before.sd_of_means**2)
    device = Device(np.full(2, bias), np.full(2, sd), np.hypot(before.sd, added))
    return _played(errors, bias - errors.mean(axis=(1, 2)), added, device, drawn)


def _played(errors: np.ndarray, moved: np.ndarray, added: np.ndarray, device: Device, drawn: Draws) -> Luck:
    who = (drawn.who * errors.shape[1]).astype(np.int64)
    first, second = np.empty((2, 2, len(who)), dtype=bool)
    for p in range(2):
        found = errors[p][who] + (moved[p] + added[p] * drawn.extra[p])[:, :, None]
        means = found.mean(axis=2)
        first[p], second[p] = criteria(
            means.mean(axis=1), found.reshape(len(who), -1).std(axis=1, ddof=1), means.std(axis=1, ddof=1)
        )
    both = first & second
    return Luck(
        len(who), device, first.mean(axis=1), second.mean(axis=1), both.mean(axis=1), float(both.all(axis=0).mean())
    )


@dataclass(frozen=True, eq=False)
class Trials:
    """Trials against one reference, of the algorithm as it is and of devices made to be truly so.

    biases, sds: true mean error and true SD of people's mean errors, in both pressures [mmHg]
    cells: by SD, then by bias; None where the algorithm's own SD is larger than that
    """

    against: str
    biases: tuple[float, ...]
    sds: tuple[float, ...]
    as_it_is: Luck
    cells: tuple[tuple[Luck | None, ...], ...]

    @property
    def played(self) -> list[Luck]:
        """All that were played in the table."""
        return [cell for row in self.cells for cell in row if cell is not None]


def trials(pool: Pool, against: str, biases: tuple[float, ...], sds: tuple[float, ...], drawn: Draws) -> Trials:
    """Every pair of true bias and true SD [mmHg] against one reference, with the same draws. Raises FieldError."""
    following = pool.following(against)
    cells = tuple(tuple(play_as(following, pool.exact, bias, sd, drawn) for bias in biases) for sd in sds)
    return Trials(against, biases, sds, play(pool.errors(against), drawn), cells)
