"""The steps that are shown add up to the difference of the two numbers that are shown."""

import math

import numpy as np
import pytest

from sim import Instrument, Subject, Technique, breakdown
from sim.figures import steps as contributions


@pytest.mark.parametrize("seed", range(12))
def test_tenths_add_up_to_the_difference_in_whole_mmhg(seed):
    technique = Technique(cuff_below_heart_cm=7, talking="conversation", sleeve_mm=4)
    found = breakdown(Subject(128.4, 81.7), technique, Instrument("13.5x26"), rng=np.random.default_rng(seed))
    steps = contributions.steps(found)
    for name in ("sbp", "dbp"):
        shown = [getattr(step, name) for step in steps]
        resting = getattr(found.result.truth.resting, name)[0]
        display = getattr(found.result.reading, name)[0]
        assert all(round(value, 1) == value for value in shown)
        assert math.isclose(math.fsum(shown), round(display) - round(resting), abs_tol=1e-9)
        # No step but the last, which is rounding itself, is off by a whole tenth.
        for step, part in zip(steps, found.contributions, strict=False):
            assert abs(getattr(step, name) - getattr(part, name)[0]) < 0.1


def test_rounding_never_exceeds_what_rounding_two_numbers_can():
    for seed in range(20):
        found = breakdown(Subject(), Technique(), Instrument("13.5x26"), rng=np.random.default_rng(seed))
        last = contributions.steps(found)[-1]
        assert last.kind == contributions.ROUNDING
        assert abs(last.sbp) <= 0.6
        assert abs(last.dbp) <= 0.6


def test_without_a_reading_there_are_no_steps_but_a_reason():
    found = breakdown(Subject(), Technique(movement_mmhg=20), Instrument("13.5x26"), rng=np.random.default_rng(1))
    assert contributions.steps(found) == []
    reason = str(found.result.reading.reason[0])
    assert reason
    assert reason in contributions.sentence(found)
