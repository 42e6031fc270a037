"""Two estimators on the same recordings: differences with their confidence intervals."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.fields import FieldError
from sim.study.intervals import CONFIDENCE, Estimate, mean, student
from sim.study.origin import Origin
from sim.study.readings import Readings


@dataclass(frozen=True)
class Difference:
    """One pressure, the first estimator minus the second, over the readings that both gave [mmHg].

    mean_error, mean_absolute: of their errors (subjects are independent, their readings are not: Student's interval
    over the subjects' means); root_mean_square: ratio, first over second; sd: ratio of the errors' SDs (both by
    the delta method over subjects, whose coverage a test holds)
    """

    pressure: str
    mean_error: Estimate
    mean_absolute: Estimate
    root_mean_square: Estimate
    sd: Estimate


@dataclass(frozen=True)
class Comparison:
    """A paired comparison. both, first_only, second_only, neither: how many recordings each could read."""

    first: str
    second: str
    against: str
    origin: Origin
    subjects: int
    both: int
    first_only: int
    second_only: int
    neither: int
    failed_share: Estimate
    sbp: Difference
    dbp: Difference


def compare(
    readings: Readings,
    first: str,
    second: str,
    origin: Origin,
    *,
    against: str = "at_measurement",
    confidence: float = CONFIDENCE,
) -> Comparison:
    """Compare two estimators of a study by their errors [mmHg].

    `failed_share` is the share of recordings without a number, first minus second, over subjects. Raises FieldError
    where the two did not read the same recordings.
    """
    a, b = readings.of(first), readings.of(second)
    if a.rows != b.rows or (a["subject"] != b["subject"]).any() or (a["reading"] != b["reading"]).any():
        raise FieldError("second", repr(second), f"an estimator that read the same recordings as {first!r}")
    ok_a, ok_b = a.ok, b.ok
    both = ok_a & ok_b
    failed = _means((~ok_a).astype(float) - (~ok_b).astype(float), a["subject"])
    return Comparison(
        first=first,
        second=second,
        against=against,
        origin=origin,
        subjects=len(failed),
        both=int(both.sum()),
        first_only=int((ok_a & ~ok_b).sum()),
        second_only=int((ok_b & ~ok_a).sum()),
        neither=int((~ok_a & ~ok_b).sum()),
        failed_share=mean(failed, confidence),
        sbp=_difference("sbp", a.take(both), b.take(both), against, confidence),
        dbp=_difference("dbp", a.take(both), b.take(both), against, confidence),
    )


def _difference(pressure: str, a: Readings, b: Readings, against: str, confidence: float) -> Difference:
    errors = a.error(pressure, against), b.error(pressure, against)
    subject = a["subject"]
    _, where, counts = np.unique(subject, return_inverse=True, return_counts=True)
    square, variance = ([_moment(error, where, counts, central) for error in errors] for central in (False, True))
    return Difference(
        pressure=pressure,
        mean_error=mean(_means(errors[0] - errors[1], subject), confidence),
        mean_absolute=mean(_means(np.abs(errors[0]) - np.abs(errors[1]), subject), confidence),
        root_mean_square=_root_ratio(square[0], square[1], confidence),
        sd=_root_ratio(variance[0], variance[1], confidence),
    )


def _moment(error: np.ndarray, where: np.ndarray, counts: np.ndarray, central: bool) -> tuple[float, np.ndarray]:
    """Mean square of all errors, or their variance, and how much each subject moves it, (n,), over itself."""
    if not len(counts):
        return float("nan"), np.empty(0)
    sums, squares = np.bincount(where, error), np.bincount(where, error**2)
    mean_, value = sums.sum() / counts.sum(), squares.sum() / counts.sum()
    moved = (squares - value * counts) / counts.mean()
    if central:
        moved -= 2 * mean_ * (sums - mean_ * counts) / counts.mean()
        value -= mean_**2
    return float(value), moved / value if value > 0 else np.full(len(counts), np.nan)


def _root_ratio(first: tuple[float, np.ndarray], second: tuple[float, np.ndarray], confidence: float) -> Estimate:
    """Square root of a ratio of two moments, its interval by the delta method on the logarithm."""
    n = len(first[1])
    if n < 2 or not (first[0] > 0 and second[0] > 0):
        return Estimate(np.nan, np.nan, np.nan)
    log = (np.log(first[0]) - np.log(second[0])) / 2
    error = float(((first[1] - second[1]) / 2).std(ddof=1) / np.sqrt(n))
    found = student(log, error, n - 1, confidence)
    return Estimate(*(float(np.exp(end)) for end in (found.value, found.low, found.high)))


def _means(values: np.ndarray, subject: np.ndarray) -> np.ndarray:
    """Mean of each subject."""
    _, where, counts = np.unique(subject, return_inverse=True, return_counts=True)
    return np.bincount(where, values) / counts
