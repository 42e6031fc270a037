"""How much readings of one person vary with nothing done wrong: published figures (variation.toml), put into levels.

A reading differs from the resting pressure by the sum of independent deviations:

    period    weeks that are higher or lower than the person's resting pressure; all readings of a schedule share it
    day       days, or visits in the office
    session   morning and evening of one day
    reading   readings minutes apart

and, always in the same direction, by what the first readings of a session and the first day at home are higher.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import sqrt
from typing import Any

from sim.data import data
from sim.fields import FieldError, Limit

PLACES = {
    "home": "at home",
    "office": "in the office, ordinary practice",
    "study": "at study visits, everything standardised",
}
# What an SD may be, and what a first reading or day may add [mmHg]. Chosen about four times the largest figure of
# variation.toml.
SD = Limit(0, 40, 5, 0.1, "mmHg", "Standard deviation")
FIRST = Limit(-20, 40, 0, 0.1, "mmHg", "What a first reading or day is higher")
# Against these degrees of freedom a log's own scatter weighs: people's SDs at home spread by 36 % of their mean
# (8.6 ± 3.1, figure day-to-day-home). Readings on some 26 days each (the median in the same people: Kikuya M, et al.
# Hypertension 2008;52:1045, seen) would alone spread by 14 %; the rest, 33 %, is what SDs of 1 / (2 * 0.33 ** 2) = 4.6
# degrees of freedom spread by; rounded down.
PRIOR_DEGREES = 4.0


@dataclass(frozen=True)
class Figure:
    """One published figure of variation, systolic and diastolic (None where not published), in `unit`, mmHg or %.

    spread: how far people differ in it;  second: of the second reading, where the figure is of the first
    """

    what: str
    sbp: float
    unit: str
    source: str
    id: str
    population: str
    sure: str
    note: str
    dbp: float | None = None
    spread_sbp: float | None = None
    spread_dbp: float | None = None
    sbp_second: float = 0.0
    dbp_second: float = 0.0


@dataclass(frozen=True)
class Spread:
    """Standard deviations of the levels, and what first readings and the first day are higher, of one pressure [mmHg].

    first_readings: of the first, the second ... reading of a session; later ones 0
    Raises FieldError.
    """

    period: float
    day: float
    session: float
    reading: float
    first_readings: tuple[float, ...] = ()
    first_day: float = 0.0

    def __post_init__(self) -> None:
        for name in ("period", "day", "session", "reading"):
            _check(name, getattr(self, name), SD)
        for value in (*self.first_readings, self.first_day):
            _check("first", value, FIRST)

    @property
    def total(self) -> float:
        """Standard deviation of one reading [mmHg].

        >>> Spread(period=0.0, day=3.0, session=0.0, reading=4.0).total
        5.0
        """
        return sqrt(self.period**2 + self.day**2 + self.session**2 + self.reading**2)

    def scaled(self, factor: float) -> Spread:
        """Days, sessions and readings that vary by so many times as much.

        >>> Spread(period=2.0, day=3.0, session=0.0, reading=4.0).scaled(2.0).reading
        8.0
        """
        levels = (self.day * factor, self.session * factor, self.reading * factor)
        return Spread(self.period, *levels, self.first_readings, self.first_day)


@dataclass(frozen=True)
class Variation:
    """How readings vary at one place: systolic, diastolic, and how the two go together.

    correlation_of_days: of the deviations of periods, days and sessions;  correlation_of_readings: of the rest
    """

    place: str
    sbp: Spread
    dbp: Spread
    correlation_of_days: float
    correlation_of_readings: float

    def scaled(self, factor: float) -> Variation:
        """A person whose readings and days vary so many times as much as usual; SDs in mmHg."""
        both = self.sbp.scaled(factor), self.dbp.scaled(factor)
        return Variation(self.place, *both, self.correlation_of_days, self.correlation_of_readings)


@lru_cache(maxsize=1)
def figures() -> dict[str, Figure]:
    """The published figures by name, in mmHg or % (variation.toml has the sources)."""
    return {name: Figure(**entry) for name, entry in _data()["figure"].items()}


def usual(place: str, sbp: float | None = None, dbp: float | None = None) -> Variation:
    """The usual variation at a place ("home", "office", "study") of someone with this resting pressure [mmHg].

    The pressure only turns coefficients of variation into mmHg. Raises FieldError where there is no such place.

    >>> round(usual("home").sbp.total, 1)
    10.0
    """
    if place not in PLACES:
        raise FieldError("place", repr(place), "one of " + ", ".join(PLACES))
    assumed = _data()["assumed"]
    make = {"home": _home, "office": _office, "study": _study}[place]
    return Variation(
        place,
        make("sbp", float(assumed["sbp"] if sbp is None else sbp)),
        make("dbp", float(assumed["dbp"] if dbp is None else dbp)),
        assumed["correlation_of_days"],
        assumed["correlation_of_readings"],
    )


def _home(name: str, pressure: float) -> Spread:
    """Readings from one study, days from the second less the readings, the period from the third less both."""
    reading, day, session = _days_at_home(name)
    first = figures()["first-readings-survey"]
    period = _period(name, pressure)
    return Spread(period, day, session, reading, _firsts(first, name), _figure("first-day-home", name))


def _days_at_home(name: str) -> tuple[float, float, float]:
    reading = _figure("within-visit-healthy", name)
    of_days = _figure("day-to-day-home", name) ** 2 - reading**2
    shared = _data()["assumed"]["shared_by_a_day"]
    return reading, sqrt(shared * of_days), sqrt((1 - shared) * of_days)


def _period(name: str, pressure: float) -> float:
    """A week of two readings twice a day has some chance left; the rest of its variation is the weeks' own."""
    reading, day, session = _days_at_home(name)
    return _left(_figure("weekly-mean-home", name, pressure), day**2 / 7 + session**2 / 14 + reading**2 / 28)


def _office(name: str, pressure: float) -> Spread:
    """Visits are what readings and the period leave of the variation between visits."""
    reading = _figure("two-readings-practice", name)
    period = _period(name, pressure)
    of_visits = _left(_figure("office-practice", name, pressure), reading**2 + period**2)
    return Spread(period, of_visits, 0.0, reading, _firsts(figures()["first-readings-visit"], name))


def _study(name: str, pressure: float) -> Spread:
    """The three visits were weeks apart at most, so that the period adds to their variation."""
    reading, assumed = _figure("within-visit-healthy", name), _data()["assumed"]
    of_means = _figure("study-visits", "sbp") * assumed[name] / assumed["sbp"]
    of_visits = _left(of_means, reading**2 / 3)
    first = figures()["first-readings-survey"]
    return Spread(_period(name, pressure), of_visits, 0.0, reading, _firsts(first, name))


def _left(total: float, variance: float) -> float:
    """The SD that is left of `total` less a variance; 0 where nothing is left, as at very low pressures."""
    return sqrt(max(0.0, total**2 - variance))


def _figure(figure: str, name: str, pressure: float = 0.0) -> float:
    """A figure in mmHg; a coefficient of variation is the same for both pressures unless published apart."""
    found = figures()[figure]
    value = found.sbp if name == "sbp" or found.dbp is None else found.dbp
    return value * pressure / 100 if found.unit == "%" else value


def _firsts(figure: Figure, name: str) -> tuple[float, ...]:
    if name == "sbp":
        return figure.sbp, figure.sbp_second
    assert figure.dbp is not None
    return figure.dbp, figure.dbp_second


def _check(name: str, value: float, limit: Limit) -> None:
    if not limit.low <= value <= limit.high:
        raise FieldError(name, f"{value:g}", limit.allowed)


@lru_cache(maxsize=1)
def _data() -> dict[str, Any]:
    return data("sim.explain", "variation.toml")
