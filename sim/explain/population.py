"""A whole population: what a bias and what chance do to who is labelled hypertensive (population.toml).

The label is given where systolic or diastolic reaches its threshold. It is wrong where the resting pressure does not,
and missed where the resting pressure does and the mean that was measured does not. Bias and chance are kept
apart: chance mislabels in both directions and can be averaged away; a bias cannot.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from math import log, log1p, sqrt
from typing import Any

import numpy as np

from sim.data import data
from sim.explain.averaging import Law
from sim.explain.schedules import Schedule
from sim.explain.variation import usual
from sim.fields import FieldError, Limit, generator

# Where a label may begin [mmHg]. By default 140/90, the office threshold of many guidelines; 130/80 is the other in use
# (categories.toml has both with their sources). The ends are chosen.
THRESHOLD = {
    "sbp": Limit(90, 200, 140, 1, "mmHg", "Systolic from which the label is given"),
    "dbp": Limit(50, 130, 90, 1, "mmHg", "Diastolic from which the label is given"),
}
# People drawn. Chosen: with 200,000 a share of one half has a standard error of 0.1 %, with a half or a double as many
# 0.16 and 0.08 %.
PEOPLE = Limit(100, 5_000_000, 200_000, 100, "people", "People drawn")
# A survey's visit: three readings, their mean.
_SURVEY = Schedule(1, 1, 3, place="study")


@dataclass(frozen=True)
class Population:
    """Pressures of a population [mmHg] and where they come from.

    sbp_from: systolic less this is lognormal, unless it is None
    measured: "one visit" where the variation between readings and visits is still in the SDs, else "usual"
    """

    name: str
    label: str
    sbp: float
    sd_sbp: float
    dbp: float
    sd_dbp: float
    correlation: float
    measured: str
    source: str
    id: str
    sure: str
    note: str
    sbp_from: float | None = None

    @property
    def law(self) -> Law:
        """Mean and scatter; normal, whatever the shape.

        >>> law = next(iter(populations().values())).law
        >>> law.sbp > law.dbp
        True
        """
        return Law(self.sbp, self.dbp, self.sd_sbp, self.sd_dbp, self.correlation)

    def draw(self, n: int, rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
        """Systolic and diastolic of n people, (n,) each [mmHg].

        >>> sbp, dbp = next(iter(populations().values())).draw(1000, np.random.default_rng(1))
        >>> sbp.shape, bool(sbp.mean() > dbp.mean())
        ((1000,), True)
        """
        one, other = rng.standard_normal((2, n))
        dbp = self.dbp + self.sd_dbp * (self.correlation * one + sqrt(1 - self.correlation**2) * other)
        if self.sbp_from is None:
            return self.sbp + self.sd_sbp * one, dbp
        over = self.sbp - self.sbp_from
        log_variance = log1p((self.sd_sbp / over) ** 2)
        return self.sbp_from + np.exp(log(over) - log_variance / 2 + sqrt(log_variance) * one), dbp

    def of_usual_pressures(self) -> Population:
        """The same population with the variation of one visit taken out of the SDs [mmHg]; means stay."""
        if self.measured == "usual":
            return self
        spread = usual("study", self.sbp, self.dbp)
        sds, slow, fast = {}, 0.0, 0.0
        for name in ("sbp", "dbp"):
            s = getattr(spread, name)
            sds[name] = sqrt(
                getattr(self, f"sd_{name}") ** 2 - s.period**2 - s.day**2 - s.reading**2 / _SURVEY.readings
            )
        slow = spread.correlation_of_days * (spread.sbp.period * spread.dbp.period + spread.sbp.day * spread.dbp.day)
        fast = spread.correlation_of_readings * spread.sbp.reading * spread.dbp.reading / _SURVEY.readings
        left = self.correlation * self.sd_sbp * self.sd_dbp - slow - fast
        label = self.label.replace("as measured", "resting pressure")
        correlation = left / (sds["sbp"] * sds["dbp"])
        return replace(
            self, label=label, measured="usual", sd_sbp=sds["sbp"], sd_dbp=sds["dbp"], correlation=correlation
        )


@dataclass(frozen=True)
class Share:
    """A share of people, and the standard error that the number of people drawn leaves."""

    value: float
    error: float


@dataclass(frozen=True)
class Labels:
    """Shares of all people: truly at the threshold, labelled so, wrongly labelled, missed."""

    truly: Share
    labelled: Share
    wrongly: Share
    missed: Share


@dataclass(frozen=True)
class Effect:
    """Labels with neither, with the bias alone, with chance alone and with both; people: how many were drawn."""

    neither: Labels
    bias: Labels
    chance: Labels
    both: Labels
    people: int


def populations() -> dict[str, Population]:
    """The populations by name, pressures in mmHg (population.toml has the sources)."""
    return {entry["name"]: Population(**entry) for entry in _data()["population"]}


def published() -> dict[str, dict[str, Any]]:
    """What was published on errors in a population, by name; the keys are explained in population.toml."""
    return {entry["name"]: entry for entry in _data()["published"]}


def population(name: str) -> Population:
    """The population of this name, pressures in mmHg; raises FieldError where there is none."""
    if name not in populations():
        raise FieldError("population", repr(name), "one of " + ", ".join(populations()))
    return populations()[name]


def effect(
    sbp: np.ndarray,
    dbp: np.ndarray,
    bias_sbp: np.ndarray | float,
    bias_dbp: np.ndarray | float,
    chance: Law,
    threshold: tuple[float, float],
    rng: np.random.Generator,
) -> Effect:
    """What a bias and the chance that a mean has left do to labels.

    sbp, dbp: (n,) resting pressures [mmHg];  bias_*: one for all, or one for each person [mmHg]
    chance: the law of (mean measured) minus (resting pressure), apart from the bias
    threshold: systolic and diastolic from which the label is given [mmHg]

    Raises FieldError where a threshold is out of range.

    >>> sbp, dbp = np.array([130.0, 138.0, 150.0]), np.array([80.0, 80.0, 80.0])
    >>> found = effect(sbp, dbp, 5.0, 0.0, Law(0.0, 0.0, 0.0, 0.0), (140.0, 90.0), np.random.default_rng(1))
    >>> round(found.bias.wrongly.value, 2), found.neither.wrongly.value
    (0.33, 0.0)
    """
    for name, value in zip(("sbp", "dbp"), threshold, strict=True):
        limit = THRESHOLD[name]
        if not limit.low <= value <= limit.high:
            raise FieldError(f"threshold {name}", f"{value:g}", limit.allowed)
    one, other = generator(rng).standard_normal((2, len(sbp)))
    off_sbp = chance.sbp + chance.sd_sbp * one
    off_dbp = chance.dbp + chance.sd_dbp * (chance.correlation * one + sqrt(1 - chance.correlation**2) * other)
    true = _reaches(sbp, dbp, threshold)
    shown = {
        "neither": (sbp, dbp),
        "bias": (sbp + bias_sbp, dbp + bias_dbp),
        "chance": (sbp + off_sbp, dbp + off_dbp),
        "both": (sbp + bias_sbp + off_sbp, dbp + bias_dbp + off_dbp),
    }
    cells = {name: _labels(true, _reaches(*values, threshold)) for name, values in shown.items()}
    return Effect(**cells, people=len(sbp))


def _reaches(sbp: np.ndarray, dbp: np.ndarray, threshold: tuple[float, float]) -> np.ndarray:
    return (sbp >= threshold[0]) | (dbp >= threshold[1])


def _labels(true: np.ndarray, labelled: np.ndarray) -> Labels:
    return Labels(*(_share(x) for x in (true, labelled, labelled & ~true, true & ~labelled)))


def _share(rows: np.ndarray) -> Share:
    value = float(rows.mean())
    return Share(value, sqrt(value * (1 - value) / len(rows)))


@lru_cache(maxsize=1)
def _data() -> dict[str, Any]:
    return data("sim.explain", "population.toml")
