"""The characteristic ratios in use are those that the reference cohort gives."""

import numpy as np
import pytest

from sim.cuff.bladder import choose
from sim.cuff.instrument import Instrument
from sim.estimate.fixed_ratio import DIASTOLIC_RATIO, SYSTOLIC_RATIO
from sim.measurement import measure
from sim.study.calibrate import PEOPLE, SEED, calibrate
from sim.study.reference import reference_cohort
from sim.technique import Technique


def test_the_ratios_in_use_come_out_again() -> None:
    assert calibrate() == pytest.approx((SYSTOLIC_RATIO, DIASTOLIC_RATIO), abs=2e-4)


def test_the_ratios_lie_within_the_published_spread() -> None:
    """0.52 ± 0.13 at systolic and 0.75 ± 0.12 at diastolic pressure: Gui et al. 2018."""
    assert abs(SYSTOLIC_RATIO - 0.52) < 0.13
    assert abs(DIASTOLIC_RATIO - 0.75) < 0.12


def test_another_cohort_is_read_without_a_mean_error() -> None:
    """People whom the calibration never saw: a mean error within three standard errors (of both means) of nothing."""
    rng = np.random.default_rng(SEED + 1)
    subject = reference_cohort(1000, rng)
    result = measure(subject, Technique(), Instrument(bladder=choose(subject.arm_circumference_cm)), rng=rng)
    for error in (
        result.reading.sbp - result.truth.at_measurement.sbp,
        result.reading.dbp - result.truth.at_measurement.dbp,
    ):
        error = error[np.isfinite(error)]
        assert len(error) > 950
        assert abs(error.mean()) < 3 * error.std() * np.sqrt(1 / len(error) + 1 / PEOPLE)
