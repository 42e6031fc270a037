"""Figures with their confidence intervals: means, standard deviations, shares."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import stats

from sim.study.moments import Joint

# Of every interval (common practice).
CONFIDENCE = 0.95


@dataclass(frozen=True)
class Estimate:
    """A figure and its confidence interval in its own unit, mmHg or a share; NaN where the data do not give it."""

    value: float
    low: float
    high: float

    def scaled(self, factor: float) -> Estimate:
        """The same in other units, as a share in per cent; `factor` > 0.

        >>> Estimate(0.5, 0.25, 0.75).scaled(100)
        Estimate(value=50.0, low=25.0, high=75.0)
        """
        return Estimate(self.value * factor, self.low * factor, self.high * factor)


NOTHING = Estimate(np.nan, np.nan, np.nan)


def mean(values: np.ndarray, confidence: float = CONFIDENCE) -> Estimate:
    """Mean of independent values (n,), with Student's interval.

    >>> mean(np.array([1.0, 2.0, 3.0])).value
    2.0
    """
    n = len(values)
    sd = float(values.std(ddof=1)) if n > 1 else np.nan
    return mean_of(float(values.mean()) if n else np.nan, sd, n, confidence)


def mean_of(mean: float, sd: float, n: int, confidence: float = CONFIDENCE) -> Estimate:
    """Mean of n independent values with this mean and SD, in the same unit, with Student's interval.

    >>> mean_of(2.0, 1.0, 3).value
    2.0
    """
    if n < 2:
        return Estimate(mean if n else np.nan, np.nan, np.nan)
    return student(mean, sd / np.sqrt(n), n - 1, confidence)


def student(value: float, error: float, freedom: float, confidence: float = CONFIDENCE) -> Estimate:
    """`value` with Student's interval for its standard error, in the same unit; freedom: degrees of freedom.

    >>> round(student(0.0, 1.0, 10).high, 3)
    2.228
    """
    reach = float(stats.t.ppf((1 + confidence) / 2, freedom) * error)
    return Estimate(value, value - reach, value + reach)


def standard_deviation(sd: float, freedom: float, confidence: float = CONFIDENCE) -> Estimate:
    """An SD of independent normal values, with its chi-square interval, in the same unit; freedom: of its degrees.

    >>> found = standard_deviation(10.0, 9)
    >>> round(found.low, 2), round(found.high, 2)
    (6.88, 18.26)
    """
    tails = (1 + confidence) / 2, (1 - confidence) / 2
    low, high = (float(sd * np.sqrt(freedom / stats.chi2.ppf(tail, freedom))) for tail in tails)
    return Estimate(sd, low, high)


def share(hit: np.ndarray, subject: np.ndarray, confidence: float = CONFIDENCE) -> Estimate:
    """Share of the readings (m,) that are a hit; subject: (m,) whose each is. People are independent, readings not.

    The exact interval (Clopper CJ, Pearson ES. Biometrika 1934;26:404-413, DOI 10.1093/biomet/26.4.404) of as many
    independent readings as would know the share equally well (Korn EL, Graubard BI. Surv Methodol 1998;24:193-201; from
    memory). With one reading each it is the exact interval itself. Where all readings are hits, or none, nothing says
    how they hang together in a person, and each person counts once (chosen, the safe side).

    >>> found = share(np.zeros(30, dtype=bool), np.repeat(np.arange(10), 3))
    >>> found.value, round(found.high, 4)
    (0.0, 0.3085)
    """
    _, where, counts = np.unique(subject, return_inverse=True, return_counts=True)
    return share_of(Joint.of(np.stack([np.bincount(where, hit), counts], axis=1).astype(float)), confidence)


def share_of(each: Joint, confidence: float = CONFIDENCE) -> Estimate:
    """The same share from sums over people, (2,): how many readings of each are a hit, and how many there are."""
    n = each.n
    hits, m = (round(n * value) for value in each.mean.tolist())
    if m == 0:
        return NOTHING
    p = hits / m
    if n < 2:
        return Estimate(p, np.nan, np.nan)
    away = np.array([1.0, -p]) / (m / n)
    variance = max(float(away @ each.product @ away), 0.0) / n / n
    tail = (1 - confidence) / 2
    # Few people know the variance less well than many readings would.
    surer = float(stats.t.ppf(tail, m - 1) / stats.t.ppf(tail, n - 1)) ** 2
    known = n if p in (0.0, 1.0) else surer * (min(m, p * (1 - p) / variance) if variance > 0 else m)
    hits_known = p * known
    low = 0.0 if p == 0 else float(stats.beta.ppf(tail, hits_known, known - hits_known + 1))
    high = 1.0 if p == 1 else float(stats.beta.ppf(1 - tail, hits_known + 1, known - hits_known))
    return Estimate(p, low, high)
