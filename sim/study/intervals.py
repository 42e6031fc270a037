"""Figures with their confidence intervals: means, standard deviations, shares."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import stats

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


def mean(values: np.ndarray, confidence: float = CONFIDENCE) -> Estimate:
    """Mean of independent values (n,), with Student's interval.

    >>> mean(np.array([1.0, 2.0, 3.0])).value
    2.0
    """
    n = len(values)
    if n < 2:
        return Estimate(float(values.mean()) if n else np.nan, np.nan, np.nan)
    return student(float(values.mean()), float(values.std(ddof=1) / np.sqrt(n)), n - 1, confidence)


def student(value: float, error: float, freedom: float, confidence: float = CONFIDENCE) -> Estimate:
    """`value` with Student's interval for its standard error, in the same unit; freedom: degrees of freedom.

    >>> round(student(0.0, 1.0, 10).high, 3)
    2.228
    """
    reach = float(stats.t.ppf((1 + confidence) / 2, freedom)) * error
    return Estimate(value, value - reach, value + reach)


def share(count: int, of: int, confidence: float = CONFIDENCE) -> Estimate:
    """A share of independent events, with the exact interval (Clopper CJ, Pearson ES. Biometrika 1934;26:404-413,
    DOI 10.1093/biomet/26.4.404), as scipy has it.

    >>> round(share(0, 10).high, 4)
    0.3085
    """
    if of == 0:
        return Estimate(np.nan, np.nan, np.nan)
    found = stats.binomtest(count, of).proportion_ci(confidence, method="exact")
    return Estimate(count / of, float(found.low), float(found.high))
