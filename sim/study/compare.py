"""Two estimators on the same recordings: differences with their confidence intervals."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.study.intervals import CONFIDENCE, NOTHING, Estimate, mean_of, student
from sim.study.origin import Origin
from sim.study.paired import ABSOLUTE, COUNT, DIFFERENCE, SQUARE, SQUARE_2, SUM, SUM_2, Paired
from sim.study.readings import Readings, joined
from sim.study.sums import PRESSURES, tally


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
    both = joined([readings.of(name) for name in (first, second)])
    (pair,) = tally(both, [against]).pairs
    return compared(pair, (0, 1), origin, against, confidence)


def compared(
    pair: Paired, kinds: tuple[int, int], origin: Origin, against: str, confidence: float = CONFIDENCE
) -> Comparison:
    """A comparison [mmHg] from sums; kinds: numbers of the systolic and the diastolic error held against a truth."""
    failed = float(pair.failed.mean[0]), float(pair.failed.sd[0])
    sbp, dbp = (_difference(p, pair, kind, confidence) for p, kind in zip(PRESSURES, kinds, strict=True))
    return Comparison(
        first=pair.first,
        second=pair.second,
        against=against,
        origin=origin,
        subjects=pair.failed.n,
        both=pair.both,
        first_only=pair.first_only,
        second_only=pair.second_only,
        neither=pair.neither,
        failed_share=mean_of(*failed, pair.failed.n, confidence),
        sbp=sbp,
        dbp=dbp,
    )


def _difference(pressure: str, pair: Paired, kind: int, confidence: float) -> Difference:
    errors, close = pair.errors.at(kind), pair.close.at(kind)
    mean, sd, n = errors.mean, errors.sd, errors.n

    def known(which: int) -> Estimate:
        return mean_of(float(mean[which]), float(sd[which]), n, confidence) if n else mean_of(np.nan, np.nan, 0)

    square, variance = (
        [_moment(mean, *which, central) for which in ((SUM, SQUARE), (SUM_2, SQUARE_2))] for central in (False, True)
    )
    return Difference(
        pressure=pressure,
        mean_error=known(DIFFERENCE),
        mean_absolute=known(ABSOLUTE),
        root_mean_square=_root_ratio(square[0], square[1], errors.product, n, confidence),
        sd=_root_ratio(variance[0], variance[1], errors.product, n, confidence),
        sd_apart=_roots_apart(variance[0], variance[1], errors.product, n, confidence),
        within=mean_of(float(close.mean[0]), float(close.sd[0]), close.n, confidence),
    )


def _moment(mean: np.ndarray, sums: int, squares: int, central: bool) -> tuple[float, np.ndarray]:
    """Mean square of all errors, or their variance, and how much each of a subject's seven sums moves it, over itself.

    mean: (7,) of the subjects' sums (sim.study.paired)
    """
    moved = np.zeros(len(mean))
    if not mean[COUNT] > 0:
        return float("nan"), moved
    mean_error, value = mean[sums] / mean[COUNT], mean[squares] / mean[COUNT]
    moved[squares], moved[COUNT] = 1, -value
    if central:
        moved[sums] -= 2 * mean_error
        moved[COUNT] += 2 * mean_error**2
        value -= mean_error**2
    return float(value), moved / mean[COUNT] / value if value > 0 else np.full(len(mean), np.nan)


def _root_ratio(
    first: tuple[float, np.ndarray], second: tuple[float, np.ndarray], product: np.ndarray, n: int, confidence: float
) -> Estimate:
    """Square root of a ratio of two moments, its interval by the delta method on the logarithm.

    product: (7, 7) sums of products of the subjects' departures
    """
    if n < 2 or not (first[0] > 0 and second[0] > 0):
        return NOTHING
    log = (np.log(first[0]) - np.log(second[0])) / 2
    moved = (first[1] - second[1]) / 2
    error = float(np.sqrt(max(moved @ product @ moved, 0.0) / (n - 1) / n))
    found = student(log, error, n - 1, confidence)
    return Estimate(*(float(np.exp(end)) for end in (found.value, found.low, found.high)))


def _roots_apart(
    first: tuple[float, np.ndarray], second: tuple[float, np.ndarray], product: np.ndarray, n: int, confidence: float
) -> Estimate:
    """Difference of the square roots of two moments, its interval by the delta method; product: as `_root_ratio`."""
    if n < 2 or not (first[0] > 0 and second[0] > 0):
        return NOTHING
    roots = np.sqrt(first[0]), np.sqrt(second[0])
    moved = (roots[0] * first[1] - roots[1] * second[1]) / 2
    error = float(np.sqrt(max(moved @ product @ moved, 0.0) / (n - 1) / n))
    return student(float(roots[0] - roots[1]), error, n - 1, confidence)
