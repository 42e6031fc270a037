"""How probable each category is, given readings: what they say of the resting pressure is a law, not a number.

The mean of the readings, and the scatter that such a mean has (`sim.explain.averaging`), give a law of the usual
pressure: with no view beforehand the normal law around the mean; with a view of the population the product of the two,
which lies nearer to the population's mean the fewer the readings. What every reading is off is not known and not in it.

The category is at most the k-th where both pressures lie below where the next one begins, so its probability is a
difference of values of the bivariate normal distribution function.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from math import inf, sqrt

import numpy as np
from scipy.special import ndtr, ndtri
from scipy.stats import chi2, t

from sim.explain.averaging import Law, error_of
from sim.explain.categories import Category, scheme_named
from sim.explain.schedules import Layout
from sim.explain.variation import PRIOR_DEGREES, Variation, usual

# Categories begin at whole numbers, and 119.6 counts as 120: half of the display's step of 1 mmHg.
ROUNDING_MMHG = 0.5
# Nodes of Gauss's rule: with 32 a probability is off by 3e-8, with 64 by 2e-9, with 128 by 1e-10 (correlation 0.7).
_NODES = 64
# Shares of the law of the width: the probability of a category moves by 1e-4 from 200 to 3,200 (4 degrees of freedom),
# by 2e-4 from 100.
_SCALES = 200


@dataclass(frozen=True)
class Usual:
    """What is known of someone's resting pressure: the law of it, and how sure its width is.

    degrees: degrees of freedom of a multivariate t law of that centre and scale; inf: normal
    factor: how much more than usual these readings scatter from day to day (1: as usual); None where that is not known
    """

    law: Law
    degrees: float = inf
    factor: float | None = None

    def interval(self, probability: float = 0.95, name: str = "sbp") -> tuple[float, float]:
        """The middle interval that holds one resting pressure with this probability [mmHg].

        >>> [round(end, 1) for end in Usual(Law(130.0, 80.0, 5.0, 3.0)).interval()]
        [120.2, 139.8]
        """
        half = float(t.ppf(0.5 + probability / 2, self.degrees)) * getattr(self.law, f"sd_{name}")
        centre = getattr(self.law, name)
        return centre - half, centre + half


@dataclass(frozen=True)
class CategoryChance:
    """One category, how probable it is, and from where it begins [mmHg]."""

    name: str
    probability: float
    sbp_from: float
    dbp_from: float


def usual_pressure(
    sbp: np.ndarray,
    dbp: np.ndarray,
    layout: Layout,
    variation: Variation,
    *,
    over: str = "months",
    population: Law | None = None,
    learn: bool = True,
) -> Usual:
    """What readings say of the resting pressure.

    sbp, dbp: (n,) the readings [mmHg];  layout: when each was taken, and which count
    over: the resting pressure of "months" or of these "weeks"
    population: the law of resting pressures of people like this one, where it shall count
    learn: weigh the readings' own scatter from day to day against the published one, and own that people differ in it

    First readings that are known to be higher are not taken off: the mean is the one that the schedule gives.
    Raises FieldError where no reading counts.

    >>> from sim.explain.schedules import schedule
    >>> layout = schedule("home-week").layout()
    >>> readings = np.full(len(layout), 130.0), np.full(len(layout), 80.0)
    >>> usual_pressure(*readings, layout, usual("home"), learn=False).law.sbp
    130.0
    """
    kept = layout.kept
    spread = error_of(layout, variation, over=over)
    mean = Law(
        float(np.mean(np.asarray(sbp)[kept])),
        float(np.mean(np.asarray(dbp)[kept])),
        spread.sd_sbp,
        spread.sd_dbp,
        spread.correlation,
    )
    if not learn:
        return Usual(mean.given(population) if population else mean)
    if len(np.unique(layout.day[kept])) < 2:
        # One day says nothing of how much this person varies: no surer than the published SDs let anyone be.
        return Usual(mean.given(population) if population else mean, PRIOR_DEGREES)
    factor, degrees = _own_scatter(np.asarray(sbp)[kept], np.asarray(dbp)[kept], layout, variation)
    own = error_of(layout, variation.scaled(factor), over=over)
    mean = replace(mean, sd_sbp=own.sd_sbp, sd_dbp=own.sd_dbp, correlation=own.correlation)
    return Usual(mean.given(population) if population else mean, degrees, factor)


def category_chances(known: Usual | Law, scheme: str, place: str = "office") -> list[CategoryChance]:
    """The probability that the resting pressure lies in each category, lowest first; they add up to 1.

    >>> [round(c.probability, 2) for c in category_chances(Law(129, 79, 5, 3), "acc-aha-2017")]
    [0.02, 0.29, 0.68, 0.02]
    """
    of_usual = known if isinstance(known, Usual) else Usual(known)
    categories = scheme_named(scheme).at(place)
    below = [0.0, *(_below(of_usual, *_lowest(categories[k:])) for k in range(1, len(categories))), 1.0]
    return [
        CategoryChance(c.name, max(0.0, below[k + 1] - below[k]), c.sbp_from, c.dbp_from)
        for k, c in enumerate(categories)
    ]


def given_one_reading(
    sbp: float, dbp: float, place: str = "office", *, population: Law | None = None, over: str = "months"
) -> Usual:
    """What one reading [mmHg] says of the resting pressure of someone who varies as is usual at this place.

    Raises FieldError where there is no such place.

    >>> low, high = given_one_reading(135.0, 85.0).interval()
    >>> low < 135 < high
    True
    """
    one = Layout(np.zeros(1, int), np.zeros(1, int), np.ones(1, int), np.ones(1, bool))
    variation = usual(place, sbp, dbp)
    numbers = np.array([sbp]), np.array([dbp])
    return usual_pressure(*numbers, one, variation, over=over, population=population, learn=False)


def _lowest(categories: tuple[Category, ...]) -> tuple[float, float]:
    """Where the lowest of these or any higher one begins, systolic and diastolic [mmHg]."""
    return min(c.sbp_from for c in categories) - ROUNDING_MMHG, min(c.dbp_from for c in categories) - ROUNDING_MMHG


def _below(known: Usual, sbp: float, dbp: float) -> float:
    """Probability that both pressures lie below these.

    A t law is a normal one whose width is drawn: the mean over even shares of the chi-square law of that width.
    """
    law = known.law
    scales = _widths(known.degrees)
    a, b = ((limit - centre) / max(sd, 1e-9) for limit, centre, sd in _sides(law, sbp, dbp))
    return float(np.mean(bivariate_normal(a * scales, b * scales, law.correlation)))


def _sides(law: Law, sbp: float, dbp: float) -> tuple[tuple[float, float, float], ...]:
    return (sbp, law.sbp, law.sd_sbp), (dbp, law.dbp, law.sd_dbp)


def bivariate_normal(a: np.ndarray, b: np.ndarray, correlation: float) -> np.ndarray:
    """P(X < a, Y < b) of standard normal X, Y, for arrays of one shape (n,).

    The integral of P(Y < b | x) over the share of x below a, by Gauss's rule.

    >>> round(float(bivariate_normal(np.zeros(1), np.zeros(1), 0.5)[0]), 4)
    0.3333
    """
    nodes, weights = _gauss()
    share = ndtr(a)[:, None] * (nodes + 1) / 2
    x = ndtri(np.clip(share, 1e-300, 1 - 1e-16))
    given_x = ndtr((b[:, None] - correlation * x) / sqrt(1 - correlation**2))
    return ndtr(a) * (given_x * weights).sum(axis=1) / 2


@lru_cache(maxsize=1)
def _gauss() -> tuple[np.ndarray, np.ndarray]:
    return np.polynomial.legendre.leggauss(_NODES)


@lru_cache(maxsize=64)
def _widths(degrees: float) -> np.ndarray:
    """Even shares of the law of what a t law's width is divided by."""
    if not np.isfinite(degrees):
        return np.ones(1)
    middles = (np.arange(_SCALES) + 0.5) / _SCALES
    return np.sqrt(chi2.ppf(middles, degrees) / degrees)


def _own_scatter(sbp: np.ndarray, dbp: np.ndarray, layout: Layout, variation: Variation) -> tuple[float, float]:
    """How many times as much as usual these readings scatter from day to day, and with how many degrees of freedom.

    The variance of the days' means over the expected one, mean of systolic and diastolic, weighed with the usual
    scatter, which counts as PRIOR_DEGREES.
    """
    day, session = layout.day[layout.kept], layout.session[layout.kept]
    days = np.unique(day)
    ratios = []
    for name, values in (("sbp", sbp), ("dbp", dbp)):
        spread = getattr(variation, name)
        found = np.var([values[day == d].mean() for d in days], ddof=1)
        sessions = np.mean([_shares(session[day == d]) for d in days])
        readings = np.mean([1 / (day == d).sum() for d in days])
        ratios.append(found / (spread.day**2 + spread.session**2 * sessions + spread.reading**2 * readings))
    own = len(days) - 1
    return sqrt((PRIOR_DEGREES + own * np.mean(ratios)) / (PRIOR_DEGREES + own)), PRIOR_DEGREES + own


def _shares(groups: np.ndarray) -> float:
    counts = np.unique(groups, return_counts=True)[1]
    return float(np.square(counts / counts.sum()).sum())
