"""All that a finished study has to say, worked out once for text, page and paper."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.study.agreement import Agreement, scored
from sim.study.compare import Comparison, compared
from sim.study.contract import Finding
from sim.study.iso_rules import Rule
from sim.study.origin import Origin
from sim.study.stress import StressMap
from sim.study.sums import Of, Sums


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
    sums: Sums,
    origin: Origin,
    *,
    against: str = "at_measurement",
    maps: tuple[StressMap, ...] = (),
    contract: tuple[Finding, ...] = (),
) -> Report:
    """Score every estimator of a study [mmHg], compare each pair, from sums. Raises FieldError on an unknown truth."""
    kinds = sums.kind("sbp", against), sums.kind("dbp", against)
    return Report(
        origin=origin,
        agreements=tuple(scored(sums, name, origin, against) for name in sums.by_estimator),
        comparisons=tuple(compared(pair, kinds, origin, against) for pair in sums.pairs),
        rules=() if sums.people is None else sums.people.rules,
        scatters=tuple(_scatter(of, kinds) for of in sums.by_estimator.values()),
        maps=maps,
        contract=contract,
    )


def _scatter(of: Of, kinds: tuple[int, int]) -> Scatter:
    sbp, dbp = (of.shown[:, kind] for kind in kinds)
    return Scatter(sbp[:, 0], sbp[:, 1], dbp[:, 0], dbp[:, 1], of.subjects)
