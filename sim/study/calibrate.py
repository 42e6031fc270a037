"""The characteristic ratios: calibrated on a reference cohort, measured with correct technique.

python -m sim.study.calibrate     works them out again and prints them
"""

from __future__ import annotations

import numpy as np
from scipy.optimize import brentq

from sim.estimate.fixed_ratio import FixedRatio
from sim.measurement import measure
from sim.study.reference import reference_cohort
from sim.study.seeds import calibration_seed

# The reference cohort (sim.study.seeds keeps its seed from scoring an estimator): the first of those seeds. Chosen:
# with so many people the mean error of a reading (SD about 5 mmHg) has a standard error of 0.1 mmHg; a half: 0.16, a
# double: 0.08.
SEED = 20_000
PEOPLE = 2_000


def calibrate(people: int = PEOPLE, seed: int = SEED) -> tuple[float, float]:
    """Systolic and diastolic ratio, 0 to 1, whose mean error against the pressure at measurement is nothing.

    people: how many; seed: one that calibrates. People for whom a trial ratio gives no reading are left out of its
    mean. Raises FieldError on a seed that may score.

    >>> systolic, diastolic = calibrate(people=60)
    >>> 0.4 < systolic < 0.7 < diastolic < 0.9
    True
    """
    rng = np.random.default_rng(calibration_seed(seed))
    subject = reference_cohort(people, rng)
    result = measure(subject, rng=rng)
    osc, truth = result.reading.oscillogram, result.truth.at_measurement
    assert osc is not None

    def systolic_error(ratio: float) -> float:
        return float(np.nanmean(FixedRatio(systolic_ratio=ratio).read(osc).sbp - truth.sbp))

    def diastolic_error(ratio: float) -> float:
        return float(np.nanmean(FixedRatio(diastolic_ratio=ratio).read(osc).dbp - truth.dbp))

    return float(brentq(systolic_error, 0.4, 0.75, xtol=1e-5)), float(brentq(diastolic_error, 0.6, 0.92, xtol=1e-5))


if __name__ == "__main__":
    systolic, diastolic = calibrate()
    print(f"SYSTOLIC_RATIO = {systolic:.4f}\nDIASTOLIC_RATIO = {diastolic:.4f}")  # noqa: T201 - a script's answer
