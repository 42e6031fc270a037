"""An estimator of one's own cannot spoil what others read, and its failure is one line."""

import numpy as np
import pytest

from sim import Subject, measure
from sim.estimate.checked import EstimatorError
from sim.estimate.door import read
from sim.estimate.fixed_ratio import FixedRatio


def _greedy(recording):
    pressure = recording.pressure_mmhg
    pressure -= 2
    return FixedRatio()(recording)


def _wordy(recording):
    raise RuntimeError("one\ntwo")


def test_a_recording_is_for_reading_only():
    recording = measure(Subject(), rng=np.random.default_rng(1), n=2).recording
    before = recording.pressure_mmhg.copy()
    with pytest.raises(EstimatorError, match=r"mine: .*work on a copy \(test_checked.py, line 14\)"):
        read(_greedy, recording, "mine")
    np.testing.assert_array_equal(recording.pressure_mmhg, before)
    assert recording.pressure_mmhg.flags.writeable


def test_a_failure_of_two_lines_is_told_in_one():
    recording = measure(Subject(), rng=np.random.default_rng(1)).recording
    with pytest.raises(EstimatorError) as failed:
        read(_wordy, recording, "mine")
    assert "\n" not in str(failed.value)
