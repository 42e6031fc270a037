"""Cohorts that score estimators: arteries of one law, correct technique, a seed that calibrates nothing."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from sim.cuff.bladder import choose
from sim.cuff.instrument import Instrument
from sim.estimate.fixed_ratio import FixedRatio
from sim.measurement import measure
from sim.results import Estimator, Result
from sim.study.reference import reference_cohort
from sim.technique import Technique

SEED = 4711
PEOPLE = 250


@lru_cache(maxsize=4)
def measured(law: str, steady: bool) -> Result:
    """People whose stiffness (30 %), pulse pressure, arms and pulses vary; `steady` hearts leave nothing to chance."""
    subject = reference_cohort(PEOPLE, np.random.default_rng(SEED)).replace(artery_law=law)
    instrument = Instrument(bladder=choose(subject.arm_circumference_cm))
    return measure(subject, Technique(), instrument, rng=np.random.default_rng(SEED + 1), ideal=steady)


def errors(estimator: Estimator, law: str, steady: bool) -> dict[str, np.ndarray]:
    """Errors of systolic and diastolic against the pressure at measurement [mmHg]; NaN where there is no reading."""
    result = measured(law, steady)
    reading, truth = estimator(result.recording), result.truth.at_measurement
    return {"sbp": reading.sbp - truth.sbp, "dbp": reading.dbp - truth.dbp}


def root_mean_square(values: np.ndarray) -> float:
    """Of those that are numbers."""
    return float(np.sqrt(np.nanmean(values**2)))


def share_of_fixed_ratio(estimator: Estimator, law: str, steady: bool) -> dict[str, float]:
    """Root mean square error over that of the fixed ratios, with the figures printed."""
    ours, theirs = errors(estimator, law, steady), errors(FixedRatio(), law, steady)
    shares = {}
    for name in ("sbp", "dbp"):
        shares[name] = root_mean_square(ours[name]) / root_mean_square(theirs[name])
        hearts = "steady" if steady else "varying"
        print(
            f"{type(estimator).__name__}, {law}, {hearts} hearts, {name}: mean {np.nanmean(ours[name]):+.2f} SD "
            f"{np.nanstd(ours[name]):.2f} RMS {root_mean_square(ours[name]):.2f}, {100 * shares[name]:.0f} % of the "
            f"fixed ratio's {root_mean_square(theirs[name]):.2f} mmHg"
        )
    return shares
