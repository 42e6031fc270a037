"""How the corrected ratios count the marks of an oscillogram: a regression on the reference cohort.

python -m sim.study.calibrate_corrected     works it out again and prints it
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.estimate.corrected_ratio import marks
from sim.estimate.fixed_ratio import FixedRatio
from sim.measurement import measure
from sim.study.calibrate import PEOPLE, SEED
from sim.study.reference import reference_cohort
from sim.study.seeds import calibration_seed


@dataclass(frozen=True, eq=False)
class Marks:
    """Mean of each mark over the cohort, and what each unit above it adds to either pressure [mmHg], (6,) each."""

    mean: np.ndarray
    systolic: np.ndarray
    diastolic: np.ndarray


def calibrate(people: int = PEOPLE, seed: int = SEED) -> Marks:
    """The regression over people of whom every mark can be told, measured with correct technique; slopes of shape (6,).

    Raises FieldError on a seed that may score.
    """
    rng = np.random.default_rng(calibration_seed(seed))
    subject = reference_cohort(people, rng)
    result = measure(subject, rng=rng, estimator=FixedRatio())
    osc, truth = result.reading.oscillogram, result.truth.at_measurement
    assert osc is not None
    found = marks(osc)
    told = np.isfinite(found).all(axis=1) & result.reading.ok
    mean = found[told].mean(axis=0)
    table = np.column_stack([found[told] - mean, np.ones(int(told.sum()))])

    def slopes(name: str) -> np.ndarray:
        off = (getattr(truth, name) - getattr(result.reading, name))[told]
        return np.linalg.lstsq(table, off, rcond=None)[0][:-1]

    return Marks(mean, slopes("sbp"), slopes("dbp"))


if __name__ == "__main__":
    found = calibrate()
    for name, values in (
        ("USUAL_MARKS", found.mean),
        ("SYSTOLIC_BY_MARK", found.systolic),
        ("DIASTOLIC_BY_MARK", found.diastolic),
    ):
        print(f"{name} = ({', '.join(f'{value:.4g}' for value in values)})")  # noqa: T201 - a script's answer
