"""The statistics of ISO 81060-2, which a device's errors must pass, and what a true performance means for them.

Criterion 1: over all readings (at least 85 subjects with three each) |mean error| <= 5 and SD <= 8 mmHg. Criterion 2:
the SD of the subjects' mean errors stays under a limit that depends on the mean error. The limit is that SD at which
a normal error is tolerable, |error| <= 10 mmHg, with probability 0.85: the same rule that the universal protocol states
(Stergiou GS, et al. J Hypertens 2018;36:472-478, DOI 10.1097/HJH.0000000000001634).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy import stats

from sim.study.intervals import Estimate

# The figures of the two criteria, as above; rules as we understand ISO 81060-2, check them against the standard.
SUBJECTS, READINGS = 85, 3
MEAN_MMHG, SD_MMHG = 5.0, 8.0
TOLERABLE_MMHG, TOLERABLE_SHARE = 10.0, 0.85


def _middles(steps: int) -> np.ndarray:
    """Probabilities in the middle of so many equal steps: the quadratures below sum over quantiles there."""
    return (np.arange(steps) + 0.5) / steps


# Steps of the quadratures. Chosen: with half as many a probability of passing moves by 1e-3, with eight times as many
# by 3e-4; the ends of the interval of `tolerable` by 2e-4 and less.
_FINE, _COARSE = _middles(400), _middles(100)


def tolerable_share(mean_mmhg: np.ndarray | float, sd_mmhg: np.ndarray | float) -> np.ndarray:
    """Probability that a normal error is at most 10 mmHg.

    >>> round(float(tolerable_share(0.0, 6.95)), 3)
    0.85
    """
    mean, sd = np.asarray(mean_mmhg, dtype=float), np.maximum(np.asarray(sd_mmhg, dtype=float), 1e-12)
    return stats.norm.cdf((TOLERABLE_MMHG - mean) / sd) - stats.norm.cdf((-TOLERABLE_MMHG - mean) / sd)


def sd_limit(mean_mmhg: np.ndarray | float) -> np.ndarray:
    """Largest SD [mmHg] of the subjects' mean errors that criterion 2 allows at these mean errors; 0 beyond 5 mmHg.

    >>> sd_limit([0.0, 2.0, 5.0]).round(2).tolist()
    [6.95, 6.65, 4.81]
    """
    mean = np.abs(np.asarray(mean_mmhg, dtype=float))
    low, high = np.full(mean.shape, 1e-6), np.full(mean.shape, 20.0)
    for _ in range(50):  # the share falls as the SD grows
        middle = (low + high) / 2
        fits = tolerable_share(mean, middle) >= TOLERABLE_SHARE
        low, high = np.where(fits, middle, low), np.where(fits, high, middle)
    return np.where(mean <= MEAN_MMHG, low, 0.0)


def criteria(mean_mmhg: Any, sd_mmhg: Any, sd_of_means_mmhg: Any) -> tuple[np.ndarray, np.ndarray]:
    """Whether errors of these means, SDs and SDs of the subjects' means [mmHg] meet criterion 1 and 2; NaN never does.

    Numbers, or arrays of one shape, which is that of both answers.

    >>> [bool(met) for met in criteria(0.0, 7.5, 7.0)]
    [True, False]
    """
    mean = np.asarray(mean_mmhg, dtype=float)
    first = (np.abs(mean) <= MEAN_MMHG) & (np.asarray(sd_mmhg) <= SD_MMHG)
    return first, np.asarray(sd_of_means_mmhg) <= np.where(np.isfinite(mean), sd_limit(mean), -1.0)


@dataclass(frozen=True)
class Passing:
    """Probability that one study of `subjects` passes, for errors that truly have these means and spreads."""

    criterion_1: float
    criterion_2: float
    both: float
    subjects: int


def passing(
    mean_mmhg: float, between_mmhg: float, within_mmhg: float, subjects: int = SUBJECTS, readings: int = READINGS
) -> Passing:
    """Probability of passing with errors = mean + normal between subjects + normal within, of these SDs [mmHg].

    The sample's mean, the scatter of the subjects' means and the scatter within subjects are independent; the
    probability is summed over quantiles of the first two.

    >>> round(passing(mean_mmhg=0.0, between_mmhg=6.95, within_mmhg=0.0).criterion_2, 1)  # truly at the limit
    0.5
    """
    of_means = np.sqrt(between_mmhg**2 + within_mmhg**2 / readings)
    if not np.isfinite(of_means):
        return Passing(np.nan, np.nan, np.nan, subjects)
    mean = mean_mmhg + of_means / np.sqrt(subjects) * stats.norm.ppf(_FINE)
    sd = of_means * np.sqrt(stats.chi2.ppf(_FINE, subjects - 1) / (subjects - 1))
    limit = sd_limit(mean)
    second = sd[None, :] <= limit[:, None]
    left = SD_MMHG**2 * (subjects * readings - 1) - readings * (subjects - 1) * sd**2
    freedom = subjects * (readings - 1)
    within_fits = stats.chi2.cdf(left / within_mmhg**2, freedom) if within_mmhg > 0 else (left >= 0).astype(float)
    first = (np.abs(mean) <= MEAN_MMHG)[:, None] * within_fits[None, :]
    exact_second = stats.chi2.cdf((limit / of_means) ** 2 * (subjects - 1), subjects - 1) if of_means > 0 else limit > 0
    return Passing(float(first.mean()), float(np.mean(exact_second)), float((first * second).mean()), subjects)


def passing_together(first: Passing, second: Passing) -> tuple[float, float]:
    """Least and greatest probability that one study passes in two pressures, whatever binds their errors (the bounds of
    Fréchet M. Ann Univ Lyon A 1951;14:53-77, from memory); NaN where one is not known.

    >>> one = Passing(0.9, 0.9, 0.9, 85)
    >>> [round(bound, 2) for bound in passing_together(one, one)]
    [0.8, 0.9]
    """
    least = np.maximum(first.both + second.both - 1, 0)
    return float(least), float(np.minimum(first.both, second.both))


@dataclass(frozen=True)
class Tolerable:
    """How probable a tolerable error is, and how sure that it is probable enough.

    probability: of |error| <= 10 mmHg under a normal law, with its interval
    confidence: that it is at least 0.85
    """

    probability: Estimate
    confidence: float

    @property
    def ok(self) -> bool:
        """Whether the estimate reaches 0.85, as the protocol asks of a study."""
        return self.probability.value >= TOLERABLE_SHARE


def tolerable(mean_mmhg: float, sd_mmhg: float, n: int, confidence: float = 0.95) -> Tolerable:
    """The universal rule for n independent normal errors with this mean and SD [mmHg] (Stergiou 2018, above).

    What the sample leaves open about the true mean and SD is carried over by their fiducial distributions (mean:
    Student, SD: chi-square), summed over quantiles; tests hold the interval to its nominal coverage.

    >>> round(tolerable(0.0, 6.95, 85).probability.value, 2)
    0.85
    """
    if n < 2 or not np.isfinite(sd_mmhg):
        return Tolerable(Estimate(np.nan, np.nan, np.nan), np.nan)
    sd = sd_mmhg * np.sqrt((n - 1) / stats.chi2.ppf(_FINE, n - 1))
    mean = mean_mmhg + sd[:, None] / np.sqrt(n) * stats.norm.ppf(_COARSE)[None, :]
    shares = tolerable_share(mean, sd[:, None])
    low, high = np.quantile(shares, [(1 - confidence) / 2, (1 + confidence) / 2])
    value = float(tolerable_share(mean_mmhg, sd_mmhg))
    return Tolerable(Estimate(value, float(low), float(high)), float((shares >= TOLERABLE_SHARE).mean()))
