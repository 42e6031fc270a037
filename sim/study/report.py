"""All that a finished study has to say, worked out once for text, page and paper."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from sim.study.agreement import Agreement, score
from sim.study.compare import Comparison, compare
from sim.study.contract import Finding
from sim.study.iso_rules import Rule, distribution
from sim.study.origin import Origin
from sim.study.readings import TRUTHS, Readings
from sim.study.stress import StressMap

# What a report needs of each reading.
COLUMNS = [
    *("subject", "reading", "estimator", "sbp", "dbp", "sbp_sd", "dbp_sd", "reason"),
    *(f"{stage}_{p}" for stage in TRUTHS for p in ("sbp", "dbp")),
    *("amplitude_mmhg", "age_years", "sex", "heart_rate", "arm_circumference_cm", "artery_b_mmhg"),
]
# So many people stand for all in pictures. Chosen: more points only cover each other.
SHOWN = 1500


@dataclass(frozen=True, eq=False)
class Scatter:
    """Subjects' mean errors against the mean of reading and truth, some people for all: arrays (k,) [mmHg]."""

    sbp_middle: np.ndarray
    sbp_error: np.ndarray
    dbp_middle: np.ndarray
    dbp_error: np.ndarray
    subjects: int


@dataclass(frozen=True, eq=False)
class Report:
    """Scores by estimator [mmHg], comparisons of each pair, distribution of the people, stress maps.

    contract: what the first estimator kept of what any must keep
    """

    origin: Origin
    agreements: tuple[Agreement, ...]
    comparisons: tuple[Comparison, ...]
    rules: tuple[Rule, ...]
    scatters: tuple[Scatter, ...]
    maps: tuple[StressMap, ...] = ()
    contract: tuple[Finding, ...] = ()


def report(
    readings: Readings,
    origin: Origin,
    *,
    against: str = "at_measurement",
    maps: tuple[StressMap, ...] = (),
    contract: tuple[Finding, ...] = (),
) -> Report:
    """Score every estimator of a study [mmHg] and compare each pair. Raises FieldError on an unknown truth."""
    names = readings.estimators
    return Report(
        origin=origin,
        agreements=tuple(score(readings, origin, estimator=name, against=against) for name in names),
        comparisons=tuple(compare(readings, a, b, origin, against=against) for a, b in combinations(names, 2)),
        rules=_rules(readings.of(names[0])),
        scatters=tuple(_scatter(readings.of(name), against) for name in names),
        maps=maps,
        contract=contract,
    )


def _rules(mine: Readings) -> tuple[Rule, ...]:
    if "sex" not in mine:
        return ()
    each = mine.take(mine["reading"] == mine["reading"].min())
    pressures = mine["at_measurement_sbp"], mine["at_measurement_dbp"]
    return distribution(*pressures, each["arm_circumference_cm"].astype(float), each["sex"])


def _scatter(mine: Readings, against: str) -> Scatter:
    """Means over each subject's readings that have numbers; every k-th subject where there are many."""
    subjects = np.unique(mine["subject"])
    shown = subjects[:: max(1, -(-len(subjects) // SHOWN))]
    some = mine.take(mine.ok & np.isin(mine["subject"], shown))
    _, where, counts = np.unique(some["subject"], return_inverse=True, return_counts=True)

    def means(values: np.ndarray) -> np.ndarray:
        return np.bincount(where, values) / counts

    error = {p: some.error(p, against) for p in ("sbp", "dbp")}
    return Scatter(
        sbp_middle=means(some["sbp"] - error["sbp"] / 2),
        sbp_error=means(error["sbp"]),
        dbp_middle=means(some["dbp"] - error["dbp"] / 2),
        dbp_error=means(error["dbp"]),
        subjects=len(subjects),
    )
