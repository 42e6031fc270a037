"""Two estimators on the same recordings: differences with their confidence intervals."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.fields import FieldError
from sim.study.intervals import CONFIDENCE, NOTHING, Estimate, mean, student
from sim.study.origin import Origin
from sim.study.readings import Readings

# An error that counts as small [mmHg]: the least of the three that `sim.study.agreement` counts.
CLOSE_MMHG = 5


@dataclass(frozen=True)
class Difference:
    """One pressure, the first estimator minus the second, over the readings that both gave [mmHg].

    mean_error, mean_absolute: of their errors (subjects are independent, their readings are not: Student's interval
    over the subjects' means); root_mean_square: ratio, first over second; sd, sd_apart: ratio and difference of the
    errors' SDs (all three by the delta method over subjects)
    within: difference of the shares of all recordings with an error within 5 mmHg, one without a number is outside
    (Student's interval over the subjects' shares)

    Tests hold the intervals to a bootstrap over subjects and to their coverage.
    """

    pressure: str
    mean_error: Estimate
    mean_absolute: Estimate
    root_mean_square: Estimate
    sd: Estimate
    sd_apart: Estimate
    within: Estimate


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
        sbp=_difference("sbp", a, b, against, confidence),
        dbp=_difference("dbp", a, b, against, confidence),
    )


def _difference(pressure: str, a: Readings, b: Readings, against: str, confidence: float) -> Difference:
    close = [x.ok & (np.abs(x.error(pressure, against)) <= CLOSE_MMHG) for x in (a, b)]
    both = a.ok & b.ok
    errors = a.error(pressure, against)[both], b.error(pressure, against)[both]
    subject = a["subject"][both]
    _, where, counts = np.unique(subject, return_inverse=True, return_counts=True)
    square, variance = ([_moment(error, where, counts, central) for error in errors] for central in (False, True))
    return Difference(
        pressure=pressure,
        mean_error=mean(_means(errors[0] - errors[1], subject), confidence),
        mean_absolute=mean(_means(np.abs(errors[0]) - np.abs(errors[1]), subject), confidence),
        root_mean_square=_root_ratio(square[0], square[1], confidence),
        sd=_root_ratio(variance[0], variance[1], confidence),
        sd_apart=_roots_apart(variance[0], variance[1], confidence),
        within=mean(_means(close[0].astype(float) - close[1], a["subject"]), confidence),
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
        return NOTHING
    log = (np.log(first[0]) - np.log(second[0])) / 2
    error = float(((first[1] - second[1]) / 2).std(ddof=1) / np.sqrt(n))
    found = student(log, error, n - 1, confidence)
    return Estimate(*(float(np.exp(end)) for end in (found.value, found.low, found.high)))


def _roots_apart(first: tuple[float, np.ndarray], second: tuple[float, np.ndarray], confidence: float) -> Estimate:
    """Difference of the square roots of two moments, its interval by the delta method."""
    n = len(first[1])
    if n < 2 or not (first[0] > 0 and second[0] > 0):
        return NOTHING
    roots = np.sqrt(first[0]), np.sqrt(second[0])
    moved = (roots[0] * first[1] - roots[1] * second[1]) / 2
    return student(float(roots[0] - roots[1]), float(moved.std(ddof=1) / np.sqrt(n)), n - 1, confidence)


def _means(values: np.ndarray, subject: np.ndarray) -> np.ndarray:
    """Mean of each subject."""
    _, where, counts = np.unique(subject, return_inverse=True, return_counts=True)
    return np.bincount(where, values) / counts
