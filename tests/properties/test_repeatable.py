"""The same draws give the same result, whatever else is measured with them; inputs stay as they were."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim import Instrument, Subject, Technique, measure
from sim.estimate.fixed_ratio import FixedRatio
from sim.record import Sweep, planned
from sim.setup import Setup
from tests.properties.strategies import people, seeds, techniques, within

MANY: dict[str, Any] = {
    "subject": Subject(sbp=[110, 150, 130, 124], dbp=[70, 95, 78, 76], arm_circumference_cm=[24, 36, 29, 41]),
    "technique": Technique(cuff_below_heart_cm=[0, 12, 0, -5], talking=["no", "no", "conversation", "no"]),
    "instrument": Instrument(bladder=["small adult", "adult", "13.5x26", "large adult"]),
}


def same(one, other):
    for part in ("sbp", "dbp", "map", "pulse_rate"):
        np.testing.assert_array_equal(getattr(one.reading, part), getattr(other.reading, part))
    np.testing.assert_array_equal(one.recording.pressure_mmhg, other.recording.pressure_mmhg)
    for stage in ("resting", "at_measurement", "at_cuff"):
        np.testing.assert_array_equal(getattr(one.truth, stage).sbp, getattr(other.truth, stage).sbp)


@settings(max_examples=10)
@given(people(), techniques(), seeds)
def test_same_seed_same_result(subject, technique, seed):
    one, other = (measure(subject, technique, rng=np.random.default_rng(seed), n=2) for _ in range(2))
    same(one, other)


def test_another_seed_is_another_reading():
    one, other = (measure(Subject(), rng=np.random.default_rng(seed)).reading.sbp for seed in (1, 2))
    assert one != other


@given(seeds, within(1, 6), within(2, 12))
def test_the_deflation_rate_does_not_change_the_beats(seed, rate, other_rate):
    def beats(mmhg_per_s):
        setup = Setup.of(deflation_mmhg_per_s=mmhg_per_s).spread(2)
        sweep, chance = planned(setup, np.random.default_rng(seed))
        return sweep.beats(chance)

    one, other = beats(rate), beats(other_rate)
    # The last beat drawn, past the end of the recording, does not know the foot that follows.
    shared = min(one.pulse_mmhg.shape[1], other.pulse_mmhg.shape[1]) - 1
    for name in ("start_s", "foot_mmhg", "pulse_mmhg"):
        np.testing.assert_allclose(getattr(one, name)[:, :shared], getattr(other, name)[:, :shared], rtol=1e-12)


@given(seeds)
def test_the_sensors_noise_does_not_change_the_truth(seed):
    noisy, quiet = (
        measure(Subject(), instrument=Instrument(noise_mmhg=noise), rng=np.random.default_rng(seed)).truth
        for noise in (0.5, 0)
    )
    assert noisy.at_measurement.sbp == quiet.at_measurement.sbp


def test_arms_measured_together_are_measured_as_each_alone():
    together = measure(**MANY, ideal=True)
    for row in range(4):
        alone = measure(**{name: record.take([row]) for name, record in MANY.items()}, ideal=True)
        samples = int(alone.recording.samples[0])
        assert together.recording.samples[row] == samples
        # Single precision: sums over places may be taken in another order.
        np.testing.assert_allclose(
            together.recording.pressure_mmhg[row, :samples], alone.recording.pressure_mmhg[0], atol=1e-3
        )
        assert np.isnan(together.recording.pressure_mmhg[row, samples:]).all()
        for part in ("sbp", "dbp", "map", "pulse_rate"):
            assert getattr(together.reading, part)[row] == pytest.approx(getattr(alone.reading, part)[0], abs=0.01)


@settings(max_examples=10)
@given(seeds, st.lists(st.integers(0, 3), min_size=1, max_size=4, unique=True))
def test_some_of_the_arms_with_their_draws_are_as_in_the_whole(seed, rows):
    rows = np.array(rows)
    setup = Setup(**MANY).spread(4)
    whole, chance = planned(setup, np.random.default_rng(seed))
    recording, truth = whole.record(chance)
    part = Sweep(setup.take(rows), chance.fill[rows])
    of_part, true_part = part.record(chance.take(rows))
    length = of_part.pressure_mmhg.shape[1]
    np.testing.assert_allclose(of_part.pressure_mmhg, recording.pressure_mmhg[rows, :length], atol=0.025)
    np.testing.assert_allclose(true_part.at_cuff.sbp, truth.at_cuff.sbp[rows], rtol=1e-12)


def test_the_reading_comes_from_the_recording_alone():
    result = measure(**MANY, rng=np.random.default_rng(5))
    again = FixedRatio()(result.recording)
    np.testing.assert_array_equal(result.reading.sbp, again.sbp)
    np.testing.assert_array_equal(result.reading.reason, again.reason)


def test_inputs_stay_as_they_were():
    sbp = np.array([120.0, 140.0])
    technique = {"slack_cm": np.array([0.0, 3.0])}
    for array in (sbp, technique["slack_cm"]):
        array.flags.writeable = False
    subject = Subject(sbp=sbp)
    before = {name: getattr(subject, name).copy() for name in subject.LIMITS}
    result = measure(subject, Technique(**technique), rng=np.random.default_rng(0))
    np.testing.assert_array_equal(sbp, [120, 140])
    for name, values in before.items():
        np.testing.assert_array_equal(getattr(subject, name), values)
    pressure = result.recording.pressure_mmhg.copy()
    FixedRatio()(result.recording)
    np.testing.assert_array_equal(result.recording.pressure_mmhg, pressure)


def test_without_chance_no_generator_is_asked():
    rng = np.random.default_rng(9)
    state = rng.bit_generator.state
    one, other = measure(Subject(), rng=rng, ideal=True), measure(Subject(), ideal=True)
    assert rng.bit_generator.state == state
    same(one, other)
