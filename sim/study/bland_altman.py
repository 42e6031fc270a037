"""Bland-Altman: bias and limits of agreement, with confidence intervals, repeated readings allowed for."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import stats

from sim.study.components import components
from sim.study.intervals import CONFIDENCE, Estimate, student

# 95 % of a normal law lie within so many standard deviations (1.95996); the limits of Bland and Altman 1999, cited
# below.
LIMIT_SDS = 1.96

SINGLE = "one difference a subject: Bland JM, Altman DG. Stat Methods Med Res 1999;8:135-160"
REPEATED = (
    "several differences a subject, true value varying: Bland JM, Altman DG. J Biopharm Stat 2007;17:571-582; "
    "intervals of the limits by Zou GY. Stat Methods Med Res 2013;22:630-642"
)


@dataclass(frozen=True)
class BlandAltman:
    """Differences' bias and limits of agreement [mmHg]; sd: of a single difference of a new subject."""

    bias: Estimate
    sd: float
    lower: Estimate
    upper: Estimate
    method: str


def bland_altman(
    difference_mmhg: np.ndarray, subject: np.ndarray | None = None, confidence: float = CONFIDENCE
) -> BlandAltman:
    """Bias and limits of finite differences (m,); subject: (m,) whose each is, None where each has its own.

    Single differences: limits at 1.96 SD, their standard error SD sqrt(1/n + 1.96^2 / (2 (n - 1))) (Bland and Altman
    1999, DOI 10.1177/096228029900800204; from memory). Several a subject: the SD of a single difference comes from the
    variances between and within subjects (sim.study.components), the bias from the subjects' means, and the intervals
    of the limits from those of bias and variance put together (Zou 2013, DOI 10.1177/0962280211402548; from memory).
    Tests hold the intervals to their nominal coverage.

    >>> found = bland_altman(np.array([-2.0, 0.0, 1.0, 5.0]))
    >>> round(found.bias.value, 2), round(found.lower.value, 2), round(found.upper.value, 2)
    (1.0, -4.77, 6.77)
    """
    parts = components(difference_mmhg, np.arange(len(difference_mmhg)) if subject is None else subject)
    if parts.readings == parts.subjects:
        return _single(parts.mean, parts.sd, parts.subjects, confidence)
    n, many = parts.subjects, parts.readings
    if n < 2:
        nothing = Estimate(np.nan, np.nan, np.nan)
        return BlandAltman(Estimate(parts.mean, np.nan, np.nan), np.nan, nothing, nothing, REPEATED)
    bias = student(parts.mean_of_subjects, parts.sd_of_means / np.sqrt(n), max(n - 1, 1), confidence)
    # Variance of a single difference as the sum of two independent estimates.
    outer, inner = parts.sd_of_means**2, (1 - 1 / parts.harmonic) * parts.within**2
    total = outer + inner
    tail = (1 - confidence) / 2
    high = total + np.hypot(*(v * (f / stats.chi2.ppf(tail, f) - 1) for v, f in ((outer, n - 1), (inner, many - n))))
    low = total - np.hypot(*(v * (1 - f / stats.chi2.ppf(1 - tail, f)) for v, f in ((outer, n - 1), (inner, many - n))))
    sd = float(np.sqrt(total))
    reach = stats.norm.ppf(1 - tail) * parts.sd_of_means / np.sqrt(n)
    wider = float(np.hypot(reach, LIMIT_SDS * (np.sqrt(high) - sd)))
    closer = float(np.hypot(reach, LIMIT_SDS * (sd - np.sqrt(max(low, 0.0)))))
    lower, upper = bias.value - LIMIT_SDS * sd, bias.value + LIMIT_SDS * sd
    return BlandAltman(
        bias,
        sd,
        Estimate(lower, lower - wider, lower + closer),
        Estimate(upper, upper - closer, upper + wider),
        REPEATED,
    )


def _single(mean: float, sd: float, n: int, confidence: float) -> BlandAltman:
    freedom = max(n - 1, 1)
    error = sd * np.sqrt(1 / max(n, 1) + LIMIT_SDS**2 / (2 * freedom))
    lower, upper = (student(mean + side * LIMIT_SDS * sd, error, freedom, confidence) for side in (-1, 1))
    return BlandAltman(student(mean, sd / np.sqrt(max(n, 1)), freedom, confidence), sd, lower, upper, SINGLE)
