"""Bland-Altman: bias and limits of agreement, with confidence intervals, repeated readings allowed for.

Which method it is depends on the design, and every result names it.

One difference a person: Bland JM, Altman DG. Stat Methods Med Res 1999;8:135-160, DOI 10.1177/096228029900800204.

Several a person: Bland JM, Altman DG. J Biopharm Stat 2007;17:571-582, DOI 10.1080/10543400701329422, tell two designs
apart. Where the true value varies, each reading has its own true value and makes one difference with it. Where the true
value is constant in a person, the readings of the two methods are no pairs. Zou GY. Stat Methods Med Res
2013;22:630-642, DOI 10.1177/0962280211402548, has intervals for the limits of both, with each person's mean weighing
the same.

The formulas are from memory; tests hold them to the examples of both papers and to their nominal coverage.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats

from sim.fields import FieldError
from sim.study.components import Components, components
from sim.study.intervals import CONFIDENCE, NOTHING, Estimate, standard_deviation, student

# 95 % of a normal law lie within so many standard deviations (1.95996); the limits of Bland and Altman 1999.
LIMIT_SDS = 1.96

SINGLE = "one difference a person: Bland JM, Altman DG. Stat Methods Med Res 1999;8:135-160"
_ZOU = "every person's mean weighs the same: Zou GY. Stat Methods Med Res 2013;22:630-642"
VARYING = f"several differences a person, true value varying; {_ZOU}"
CONSTANT = f"several readings a person, true value constant; {_ZOU}"
ALL_ALIKE = "every reading weighs the same: Bland JM, Altman DG. J Biopharm Stat 2007;17:571-582"


@dataclass(frozen=True)
class BlandAltman:
    """Differences' bias and limits of agreement [mmHg]; sd: of a single difference of a new person."""

    bias: Estimate
    sd: Estimate
    lower: Estimate
    upper: Estimate
    method: str


def bland_altman(
    difference_mmhg: np.ndarray, subject: np.ndarray | None = None, confidence: float = CONFIDENCE
) -> BlandAltman:
    """Bias and limits of finite differences (m,); subject: (m,) whose each is, None where each has its own.

    Single differences: limits at 1.96 SD, their standard error SD sqrt(1/n + 1.96^2 / (2 (n - 1))) (Bland and Altman
    1999). Several a person: true value varying.

    >>> found = bland_altman(np.array([-2.0, 0.0, 1.0, 5.0]))
    >>> round(found.bias.value, 2), round(found.lower.value, 2), round(found.upper.value, 2)
    (1.0, -4.77, 6.77)
    """
    each = np.arange(len(difference_mmhg)) if subject is None else subject
    return limits(components(difference_mmhg, each), confidence=confidence)


def limits(parts: Components, method: str = VARYING, confidence: float = CONFIDENCE) -> BlandAltman:
    """Bias and limits [mmHg] of differences with these means and spreads.

    method: VARYING, or CONSTANT where the true values that the readings are held against are one for each person: then
    the differences differ within a person as the readings do, and what `replicated` says is the same
    """
    if parts.readings == parts.subjects:
        return _single(parts.mean, parts.sd, parts.subjects, confidence)
    return _layered(parts.mean_of_subjects, parts.sd_of_means, [parts], method, confidence)


def replicated(
    first_mmhg: np.ndarray,
    first_subject: np.ndarray,
    second_mmhg: np.ndarray,
    second_subject: np.ndarray,
    confidence: float = CONFIDENCE,
) -> BlandAltman:
    """First minus second where the true value is constant in a person: readings (k,) and (m,) that are no pairs.

    Each person has one or more readings of both, not the same number of them. Raises FieldError where the people of the
    two are not the same.

    >>> who = np.array([0, 0, 1, 1, 1])
    >>> found = replicated(np.array([5.0, 7.0, 8.0, 9.0, 10.0]), who, np.array([5.0, 7.0]), np.array([0, 1]))
    >>> found.bias.value, found.method.split(";")[0]
    (1.5, 'several readings a person, true value constant')
    """
    if not np.array_equal(np.unique(first_subject), np.unique(second_subject)):
        raise FieldError("second_subject", f"{len(np.unique(second_subject))} people", "the same people as the first's")
    parts = [components(first_mmhg, first_subject), components(second_mmhg, second_subject)]
    means = _means(first_mmhg, first_subject) - _means(second_mmhg, second_subject)
    if all(p.readings == p.subjects for p in parts):
        return bland_altman(means, confidence=confidence)
    spread = float(means.std(ddof=1)) if len(means) > 1 else np.nan
    return _layered(float(means.mean()), spread, parts, CONSTANT, confidence)


def all_alike(parts: Components) -> tuple[float, float, float]:
    """Bias and limits [mmHg] as Bland and Altman 2007 have them where the true value varies: no person's mean, every
    reading weighs the same. They give no intervals. Where all people have equally many readings, as `bland_altman`.

    >>> found = all_alike(components(np.array([1.0, 3.0, 5.0, 7.0]), np.array([0, 0, 1, 1])))
    >>> [round(value, 2) for value in found]
    [4.0, -1.88, 9.88]
    """
    reach = LIMIT_SDS * parts.total
    return parts.mean, parts.mean - reach, parts.mean + reach


def _means(values: np.ndarray, subject: np.ndarray) -> np.ndarray:
    """Of each person."""
    _, where, counts = np.unique(subject, return_inverse=True, return_counts=True)
    return np.bincount(where, values) / counts


def _layered(
    mean: float, sd_of_means: float, parts: Sequence[Components], method: str, confidence: float
) -> BlandAltman:
    """From mean and SD of the people's mean differences, and the layers of the readings behind them.

    The variance of a single difference is a sum of independent estimates: that of the means, and what a mean of several
    readings has less than a single one. The interval of such a sum is put together from theirs (Zou 2013).
    """
    n = parts[0].subjects
    if n < 2:
        return BlandAltman(Estimate(mean, np.nan, np.nan), NOTHING, NOTHING, NOTHING, method)
    of_means = sd_of_means**2
    layers = [((1 - 1 / p.harmonic) * p.within**2, p.readings - n) for p in parts if p.readings > n]
    sd = _root(_sum([(of_means, n - 1), *layers], confidence))
    error = np.sqrt(of_means / n)
    bias = student(mean, float(error), n - 1, confidence)
    reach = stats.norm.ppf((1 + confidence) / 2) * error
    wider, closer = (float(np.hypot(reach, LIMIT_SDS * (end - sd.value))) for end in (sd.high, sd.low))
    lower, upper = (bias.value + side * LIMIT_SDS * sd.value for side in (-1, 1))
    return BlandAltman(
        bias,
        sd,
        Estimate(lower, lower - wider, lower + closer),
        Estimate(upper, upper - closer, upper + wider),
        method,
    )


def _sum(variances: Sequence[tuple[float, int]], confidence: float) -> Estimate:
    """A sum of independent variances, each with its degrees of freedom, and its interval."""
    tail = (1 - confidence) / 2
    total = sum(v for v, _ in variances)
    high = np.sqrt(sum((v * (f / stats.chi2.ppf(tail, f) - 1)) ** 2 for v, f in variances))
    low = np.sqrt(sum((v * (1 - f / stats.chi2.ppf(1 - tail, f))) ** 2 for v, f in variances))
    return Estimate(total, float(total - low), float(total + high))


def _root(variance: Estimate) -> Estimate:
    return Estimate(*(float(np.sqrt(max(v, 0.0))) for v in (variance.value, variance.low, variance.high)))


def _single(mean: float, sd: float, n: int, confidence: float) -> BlandAltman:
    freedom = max(n - 1, 1)
    error = sd * np.sqrt(1 / max(n, 1) + LIMIT_SDS**2 / (2 * freedom))
    lower, upper = (student(mean + side * LIMIT_SDS * sd, error, freedom, confidence) for side in (-1, 1))
    bias = student(mean, sd / np.sqrt(max(n, 1)), freedom, confidence)
    return BlandAltman(bias, standard_deviation(sd, freedom, confidence), lower, upper, SINGLE)
