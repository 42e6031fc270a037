"""What the mean of several readings is off the resting pressure: its distribution in closed form, and simulated.

A reading is the resting pressure, plus a bias that every reading of this person has (a mistake of technique, the
algorithm), plus what first readings are higher, plus independent deviations of period, day, session and reading
(`sim.explain.variation`). The mean of the readings that count is then normal:

    E[mean] - usual   =  bias + sum w_i first_i
    Var[mean]         =  s_period^2 + s_day^2 sum W_day^2 + s_session^2 sum W_session^2 + s_reading^2 sum w_i^2

with w_i the weight of a reading and W the weights summed over a day or a session. Averaging makes the sums of squares
smaller; the bias has no sum and stays.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import hypot, sqrt

import numpy as np
from scipy.stats import norm

from sim.explain.schedules import Layout, Schedule
from sim.explain.variation import Spread, Variation
from sim.fields import FieldError, generator
from sim.say import mark

OVER = {
    "months": mark("the resting pressure over months"),
    "weeks": mark("the resting pressure of these weeks"),
}


@dataclass(frozen=True)
class Systematic:
    """What every reading of a person is off, and what that makes readings scatter more [mmHg].

    sbp, dbp: the bias, the same in all readings of one person
    person_sbp, person_dbp: SD of that bias between people who are measured in the same way
    extra_sbp, extra_dbp: SD by which each reading of one person scatters more because of the mistake
    algorithm_sbp, algorithm_dbp: the part of the bias that correct technique leaves
    """

    sbp: float = 0.0
    dbp: float = 0.0
    person_sbp: float = 0.0
    person_dbp: float = 0.0
    extra_sbp: float = 0.0
    extra_dbp: float = 0.0
    algorithm_sbp: float = 0.0
    algorithm_dbp: float = 0.0


NONE = Systematic()


@dataclass(frozen=True)
class Law:
    """A bivariate normal law of systolic and diastolic [mmHg]: of an error, or of a pressure."""

    sbp: float
    dbp: float
    sd_sbp: float
    sd_dbp: float
    correlation: float = 0.0

    def within(self, margin_mmhg: float, name: str = "sbp") -> float:
        """Probability that one pressure ("sbp", "dbp") lies within so many mmHg of 0.

        >>> round(Law(0.0, 0.0, 5.0, 3.0).within(5.0), 3)
        0.683
        """
        mean, sd = getattr(self, name), getattr(self, f"sd_{name}")
        if sd == 0:
            return float(abs(mean) <= margin_mmhg)
        return float(norm.cdf((margin_mmhg - mean) / sd) - norm.cdf((-margin_mmhg - mean) / sd))

    def interval(self, probability: float = 0.95, name: str = "sbp") -> tuple[float, float]:
        """The middle interval that holds one pressure with this probability [mmHg].

        >>> [round(end, 1) for end in Law(2.0, 0.0, 5.0, 3.0).interval()]
        [-7.8, 11.8]
        """
        half = float(norm.ppf(0.5 + probability / 2)) * getattr(self, f"sd_{name}")
        return getattr(self, name) - half, getattr(self, name) + half

    def rms(self, name: str = "sbp") -> float:
        """Root mean square: bias and scatter together [mmHg].

        >>> Law(3.0, 0.0, 4.0, 3.0).rms()
        5.0
        """
        return hypot(getattr(self, name), getattr(self, f"sd_{name}"))

    def given(self, other: Law) -> Law:
        """This law where another one is known too [mmHg]: the product of both, nearer to the narrower one.

        >>> both = Law(130.0, 80.0, 5.0, 5.0).given(Law(120.0, 80.0, 5.0, 5.0))
        >>> round(both.sbp, 1), round(both.sd_sbp, 2)
        (125.0, 3.54)
        """
        of_self, of_other = np.linalg.inv(self.covariance), np.linalg.inv(other.covariance)
        covariance = np.linalg.inv(of_self + of_other)
        sbp, dbp = covariance @ (of_self @ [self.sbp, self.dbp] + of_other @ [other.sbp, other.dbp])
        sd = np.sqrt(np.diag(covariance))
        return Law(float(sbp), float(dbp), float(sd[0]), float(sd[1]), float(covariance[0, 1] / sd.prod()))

    @property
    def covariance(self) -> np.ndarray:
        """Covariance matrix (2, 2) [mmHg^2].

        >>> Law(0.0, 0.0, 2.0, 3.0, correlation=0.5).covariance
        array([[4., 3.],
               [3., 9.]])
        """
        both = self.correlation * self.sd_sbp * self.sd_dbp
        return np.array([[self.sd_sbp**2, both], [both, self.sd_dbp**2]])

    def moved(self, sbp: float, dbp: float) -> Law:
        """The law moved by so many mmHg.

        >>> Law(1.0, 2.0, 5.0, 3.0).moved(10.0, 0.0).sbp
        11.0
        """
        return replace(self, sbp=self.sbp + sbp, dbp=self.dbp + dbp)


def mean_error(
    plan: Schedule, variation: Variation, systematic: Systematic = NONE, *, over: str = "months", people: bool = False
) -> Law:
    """The law of (mean by this schedule) minus (resting pressure) [mmHg].

    over: whether the resting pressure of "months" is meant, or that of these "weeks", whose own height is then no error
    people: count how people differ in their bias as well, as for a person of whom only the technique is known

    Raises FieldError where schedule and variation are of different places.

    >>> from sim.explain.schedules import schedule
    >>> from sim.explain.variation import usual
    >>> law = mean_error(schedule("home-week"), usual("home"), over="weeks")
    >>> f"{law.sbp:.1f} {law.sd_sbp:.1f} {law.within(5):.2f}"
    '1.0 2.6 0.92'
    """
    _check(plan, variation, over)
    return _law(plan.layout(), variation, systematic, over, people)


def reading_error(
    variation: Variation, systematic: Systematic = NONE, *, over: str = "months", people: bool = False
) -> Law:
    """The law of one reading minus the resting pressure [mmHg]: the first of its session, at home of the first day.

    >>> from sim.explain.variation import usual
    >>> round(reading_error(usual("home")).sd_sbp, 1)
    10.0
    """
    return mean_error(Schedule(1, place=variation.place), variation, systematic, over=over, people=people)


def error_of(
    layout: Layout, variation: Variation, systematic: Systematic = NONE, *, over: str = "months", people: bool = False
) -> Law:
    """As `mean_error` [mmHg], for readings taken as they were: any number of days, sessions and readings.

    Raises FieldError where no reading counts.
    """
    return _law(layout, variation, systematic, over, people)


def expected_first(layout: Layout, spread: Spread) -> float:
    """What first readings and the first day add to the mean [mmHg]."""
    firsts = np.array([*spread.first_readings, 0.0])
    each = firsts[np.minimum(layout.number, len(firsts)) - 1] + np.where(layout.day == 0, spread.first_day, 0.0)
    return float(each[layout.kept].mean())


@dataclass(frozen=True, eq=False)
class Simulated:
    """Readings of people who keep to one schedule.

    sbp, dbp: (people, readings), as taken [mmHg];  layout: which reading is which
    """

    sbp: np.ndarray
    dbp: np.ndarray
    layout: Layout

    def mean(self, name: str = "sbp") -> np.ndarray:
        """Each person's mean of the readings that count, (people,) [mmHg]."""
        return getattr(self, name)[:, self.layout.kept].mean(axis=1)

    def running(self, name: str = "sbp") -> np.ndarray:
        """The mean of the first 1, 2 ... readings that count, (people, counted) [mmHg].

        >>> from sim.explain.schedules import Schedule
        >>> layout = Schedule(1, readings=3).layout()
        >>> Simulated(np.array([[130.0, 120.0, 110.0]]), np.zeros((1, 3)), layout).running()
        array([[130., 125., 120.]])
        """
        kept = getattr(self, name)[:, self.layout.kept]
        return np.cumsum(kept, axis=1) / np.arange(1, kept.shape[1] + 1)


def simulate(
    plan: Schedule,
    variation: Variation,
    systematic: Systematic = NONE,
    *,
    usual_sbp: float | np.ndarray = 0.0,
    usual_dbp: float | np.ndarray = 0.0,
    rng: np.random.Generator,
    people: int,
    over: str = "months",
    differ: bool = False,
) -> Simulated:
    """Draw the readings of `people` who keep to the schedule; `differ`: each has a bias of their own.

    usual_sbp, usual_dbp: resting pressure, one or one for each person [mmHg]

    >>> from sim.explain.schedules import schedule
    >>> from sim.explain.variation import usual
    >>> rng = np.random.default_rng(1)
    >>> simulate(schedule("home-week"), usual("home"), usual_sbp=130.0, rng=rng, people=5).mean().shape
    (5,)
    """
    if people < 1:
        raise FieldError("people", people, "1 or more")
    generator(rng)
    _check(plan, variation, over)
    layout = plan.layout()
    slow, fast = variation.correlation_of_days, variation.correlation_of_readings
    period = _pairs(rng, (people, 1), slow)
    day = _pairs(rng, (people, plan.days), slow)[..., layout.day]
    session = _pairs(rng, (people, plan.days * plan.sessions), slow)[..., layout.session]
    reading = _pairs(rng, (people, len(layout)), fast)
    own = _pairs(rng, (people, 1), slow)
    columns = []
    for k, (name, level) in enumerate((("sbp", usual_sbp), ("dbp", usual_dbp))):
        spread: Spread = getattr(variation, name)
        each = np.array([*spread.first_readings, 0.0])[np.minimum(layout.number, len(spread.first_readings) + 1) - 1]
        each = each + np.where(layout.day == 0, spread.first_day, 0.0) + getattr(systematic, name)
        drawn = spread.day * day[k] + spread.session * session[k]
        drawn = drawn + hypot(spread.reading, getattr(systematic, f"extra_{name}")) * reading[k]
        if over == "months":
            drawn = drawn + spread.period * period[k]
        if differ:
            drawn = drawn + getattr(systematic, f"person_{name}") * own[k]
        columns.append(np.reshape(level, (-1, 1)) + each + drawn)
    return Simulated(columns[0], columns[1], layout)


def _law(layout: Layout, variation: Variation, systematic: Systematic, over: str, people: bool) -> Law:
    """Every level adds its variances and its covariance, made smaller by averaging where it is averaged."""
    s, d, kept = variation.sbp, variation.dbp, layout.kept
    if not kept.any():
        raise FieldError("readings", 0, "at least one that counts")
    slow, fast = variation.correlation_of_days, variation.correlation_of_readings
    single = hypot(s.reading, systematic.extra_sbp), hypot(d.reading, systematic.extra_dbp)
    levels = (
        (s.period, d.period, float(over == "months"), slow),
        (systematic.person_sbp, systematic.person_dbp, float(people), slow),
        (s.day, d.day, _shares(layout.day[kept]), slow),
        (s.session, d.session, _shares(layout.session[kept]), slow),
        (*single, 1 / int(kept.sum()), fast),
    )
    sd_sbp, sd_dbp = (sqrt(sum(level[k] ** 2 * level[2] for level in levels)) for k in (0, 1))
    covariance = sum(one * other * share * correlation for one, other, share, correlation in levels)
    both = sd_sbp * sd_dbp
    sbp, dbp = systematic.sbp + expected_first(layout, s), systematic.dbp + expected_first(layout, d)
    return Law(sbp, dbp, sd_sbp, sd_dbp, covariance / both if both else 0.0)


def _check(plan: Schedule, variation: Variation, over: str) -> None:
    if over not in OVER:
        raise FieldError("over", repr(over), "one of " + ", ".join(OVER))
    if plan.place != variation.place and {plan.place, variation.place} != {"office", "study"}:
        raise FieldError("place", repr(variation.place), f"{plan.place}, where the schedule is kept")


def _shares(groups: np.ndarray) -> float:
    """Sum of the squared weights of groups of equally weighted readings: 1 over their number where they are alike."""
    counts = np.unique(groups, return_counts=True)[1]
    return float(np.square(counts / counts.sum()).sum())


def _pairs(rng: np.random.Generator, shape: tuple[int, ...], correlation: float) -> np.ndarray:
    """Standard normal pairs (2, *shape) with this correlation."""
    one, other = rng.standard_normal((2, *shape))
    return np.stack([one, correlation * one + sqrt(1 - correlation**2) * other])
