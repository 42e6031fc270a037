"""Which schedule, and how many readings, for a mean that is close to the resting pressure with a stated probability."""

from __future__ import annotations

from dataclasses import dataclass, replace

from scipy.optimize import brentq

from sim.explain.averaging import NONE, Law, Systematic, error_of, expected_first, mean_error
from sim.explain.schedules import LIMITS, Schedule, longer, without_dropping
from sim.explain.variation import Variation, usual
from sim.fields import FieldError, Limit
from sim.say import say
from sim.texts import real_minus

# What may be asked for (chosen here). Closer than 1 mmHg no display shows; 5 mmHg is the mean error that ISO 81060-2
# allows a device (sim.study.standard). A probability of 0.5 is that of a coin.
MARGIN = Limit(1, 30, 5, 0.5, "mmHg", "How close")
PROBABILITY = Limit(0.5, 0.999, 0.95, 0.01, "", "With which probability")
# So many times a schedule is repeated at the most before "none is enough" is said. Chosen: a week a year for a life.
MOST_REPEATS = 50


@dataclass(frozen=True)
class Scored:
    """One schedule: the law of its error, and the probability to be within the margin in systolic and in diastolic."""

    schedule: Schedule
    error: Law
    within_sbp: float
    within_dbp: float


@dataclass(frozen=True)
class Needed:
    """How long a schedule must be kept.

    days: days, or visits; None where no number up to the limit is enough
    repeats: how often the schedule as it is has to be kept, in periods of their own; None where none is enough
    best: the highest probability that any number of readings within one period reaches
    why: in words, where `days` is None
    """

    days: int | None
    repeats: int | None
    best: float
    why: str


@dataclass(frozen=True)
class Dropped:
    """What leaving out the first buys and costs, of one pressure [mmHg].

    less_bias: how much of the mean's bias goes;  more_sd: how much its SD grows;  gain: how much its root mean
    square error falls (negative: it grows)
    """

    less_bias: float
    more_sd: float
    gain: float


def score(
    plan: Schedule,
    systematic: Systematic = NONE,
    *,
    variation: Variation | None = None,
    margin: float = 5.0,
    over: str = "months",
) -> Scored:
    """The error [mmHg] of one schedule; the usual variation of its place unless another is given. Raises FieldError.

    >>> from sim.explain.schedules import schedule
    >>> round(score(schedule("home-week"), over="weeks").within_sbp, 2)
    0.92
    """
    _check("margin", margin, MARGIN)
    error = mean_error(plan, variation or usual(plan.place), systematic, over=over)
    return Scored(plan, error, error.within(margin), error.within(margin, "dbp"))


def needed(
    plan: Schedule,
    systematic: Systematic = NONE,
    *,
    variation: Variation | None = None,
    margin: float = 5.0,
    probability: float = 0.95,
    over: str = "months",
    name: str = "sbp",
) -> Needed:
    """How many days of this schedule, and how many repeats of it, put the mean within the margin; see `Needed`.

    >>> needed(Schedule(1, 2, 2), over="weeks", probability=0.8).days
    4
    """
    _check("margin", margin, MARGIN)
    _check("probability", probability, PROBABILITY)
    varies = variation or usual(plan.place)
    days, best = None, 0.0
    for candidate in longer(plan):
        reached = mean_error(candidate, varies, systematic, over=over).within(margin, name)
        best = max(best, reached)
        if reached >= probability:
            days = candidate.days
            break
    repeats = _repeats(plan, varies, systematic, margin, probability, name)
    return Needed(days, repeats, best, "" if days else _why(plan, varies, systematic, margin, probability, over, name))


def dropped(
    plan: Schedule, systematic: Systematic = NONE, *, variation: Variation | None = None, name: str = "sbp"
) -> Dropped:
    """What the schedule's leaving out of first readings or days buys, against counting all of the same readings.

    The mean is compared with the pressure of these weeks.

    >>> from sim.explain.schedules import schedule
    >>> bool(dropped(schedule("home-week")).less_bias >= 0)
    True
    """
    varies = variation or usual(plan.place)
    less, more = (mean_error(p, varies, systematic, over="weeks") for p in (plan, without_dropping(plan)))
    sd = f"sd_{name}"
    return Dropped(
        getattr(more, name) - getattr(less, name),
        getattr(less, sd) - getattr(more, sd),
        more.rms(name) - less.rms(name),
    )


def first_day_worth_dropping(plan: Schedule, variation: Variation, name: str = "sbp") -> float:
    """How much higher the first day must be for leaving it out to lower the root mean square error [mmHg]."""
    keep = without_dropping(plan).layout()

    def gain(first_day: float) -> float:
        spread = replace(getattr(variation, name), first_day=first_day)
        changed = replace(variation, **{name: spread})
        whole = error_of(keep, changed, over="weeks")
        return whole.rms(name) - error_of(plan.layout(), changed, over="weeks").rms(name)

    return float(brentq(gain, 0.0, 40.0))


def _repeats(
    plan: Schedule, variation: Variation, systematic: Systematic, margin: float, probability: float, name: str
) -> int | None:
    """Means of the whole schedule in several periods, averaged: everything but the bias falls with their number."""
    once = mean_error(plan, variation, systematic, over="months")
    sd = f"sd_{name}"
    for count in range(1, MOST_REPEATS + 1):
        if replace(once, **{sd: getattr(once, sd) / count**0.5}).within(margin, name) >= probability:
            return count
    return None


def _why(
    plan: Schedule,
    variation: Variation,
    systematic: Systematic,
    margin: float,
    probability: float,
    over: str,
    name: str,
) -> str:
    bias = getattr(systematic, name) + expected_first(plan.layout(), getattr(variation, name))
    if abs(bias) >= margin:
        words = say("a bias of {bias:+.1f} mmHg is in every reading, however often it is repeated", bias=bias)
        return real_minus(words)
    period = getattr(variation, name).period if over == "months" else 0.0
    if Law(bias, bias, period, period).within(margin) < probability:
        return say(
            "whole weeks are higher or lower (SD {period:.1f} mmHg), and all readings of a week share this",
            period=period,
        )
    return say("not even {days:g} days are enough", days=LIMITS["days"].high)


def _check(name: str, value: float, limit: Limit) -> None:
    if not limit.low <= value <= limit.high:
        raise FieldError(name, f"{value:g}", limit.allowed)
