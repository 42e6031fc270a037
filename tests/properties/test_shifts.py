"""What must shift by as much as the cause, and what must only go up."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim import Instrument, Subject, Technique, measure
from sim.parameters import HYDROSTATIC_MMHG_PER_CM
from tests.properties.strategies import people, seeds, within

# What the recording's steps and its beats (one each 2 to 3 mmHg) can take off a smooth change of the reading [mmHg].
GRAIN_MMHG = 0.4


@given(people(), within(-20, 40), seeds)
def test_height_shifts_all_pressures_at_the_cuff_alike(subject, below_cm, seed):
    truth = measure(subject, Technique(cuff_below_heart_cm=below_cm), rng=np.random.default_rng(seed), n=2).truth
    moved = truth.at_cuff - truth.at_measurement
    for part in (moved.sbp, moved.dbp, moved.map):
        np.testing.assert_allclose(part, HYDROSTATIC_MMHG_PER_CM * below_cm, rtol=0, atol=1e-9)


@given(people(), within(-20, 40), seeds)
def test_height_does_not_move_the_pressure_at_heart_level(subject, below_cm, seed):
    """But for which beats fall into the recording: compared over the same beats, there is no difference."""
    truth = measure(subject, Technique(cuff_below_heart_cm=below_cm), ideal=True).truth
    np.testing.assert_allclose(truth.at_measurement.sbp, subject.sbp, atol=0.01)
    np.testing.assert_allclose(truth.at_measurement.dbp, subject.dbp, atol=0.01)


@given(people(), within(-15, 15), seeds)
def test_a_sensors_offset_shifts_the_reading(subject, offset, seed):
    def read(zero_error):
        instrument = Instrument(zero_error_mmhg=zero_error, resolution_mmhg=0)
        return measure(subject, instrument=instrument, rng=np.random.default_rng(seed)).reading

    plain, shifted = read(0), read(offset)
    assert shifted.reason == plain.reason
    for part in ("sbp", "dbp", "map"):
        # The recording is kept in single precision: 1e-5 of 200 mmHg.
        np.testing.assert_allclose(getattr(shifted, part) - getattr(plain, part), offset, rtol=0, atol=0.02)


@given(people(), within(-10, 10), seeds)
def test_a_sensors_gain_scales_the_reading(subject, percent, seed):
    def read(gain_error):
        instrument = Instrument(gain_error_percent=gain_error, resolution_mmhg=0, noise_mmhg=0)
        return measure(subject, instrument=instrument, rng=np.random.default_rng(seed)).reading

    plain, scaled = read(0), read(percent)
    # The estimator's widths are in mmHg, so that it does not scale to the last digit.
    np.testing.assert_allclose(scaled.sbp / plain.sbp, 1 + percent / 100, rtol=0.004)


def readings(subject, technique, instrument):
    reading = measure(subject, technique, instrument.replace(resolution_mmhg=0), ideal=True).reading
    assert reading.ok.all(), reading.reason
    return reading


def assert_rises(values, least=0.0):
    assert (np.diff(values) > least - GRAIN_MMHG).all(), values
    assert values[-1] - values[0] > least * (len(values) - 1), values


@given(people())
def test_the_lower_the_arm_the_higher_the_reading(subject):
    found = readings(subject, Technique(cuff_below_heart_cm=np.array([-10, 0, 10, 20])), Instrument())
    # 10 cm are 7.8 mmHg at the cuff.
    assert_rises(found.sbp, 6)
    assert_rises(found.dbp, 6)


@settings(max_examples=15)
@given(people(), within(0.24, 0.36, 2))
def test_the_narrower_the_bladder_the_higher_the_reading(subject, narrowest):
    arm = float(subject.arm_circumference_cm)
    names = [f"{share * arm:.1f}x{0.8 * arm:.1f}" for share in (narrowest + 0.06, narrowest + 0.03, narrowest)]
    found = readings(subject, Technique(), Instrument(bladder=np.array(names)))
    assert_rises(found.sbp, 0.4)


@given(people())
def test_the_shorter_the_bladder_the_higher_the_reading_on_the_far_side(subject):
    arm = float(subject.arm_circumference_cm)
    names = [f"{0.45 * arm:.1f}x{share * arm:.1f}" for share in (0.9, 0.7, 0.5)]
    found = readings(subject, Technique(cuff_turned_deg=180), Instrument(bladder=np.array(names)))
    assert_rises(found.sbp, 0.5)


@given(people())
def test_the_more_conical_the_arm_the_higher_the_reading(subject):
    arm = float(subject.arm_circumference_cm)
    instrument = Instrument(bladder=f"{0.4 * arm:.1f}x{0.85 * arm:.1f}")
    found = readings(subject.replace(arm_slant_degrees=np.array([90, 87, 84, 81])), Technique(), instrument)
    assert_rises(found.sbp, 0.2)


@given(people())
def test_the_more_slack_the_higher_the_reading(subject):
    # A bladder of 40 % of the arm: one far too wide can lose width without harm.
    arm = float(subject.arm_circumference_cm)
    instrument = Instrument(bladder=f"{0.4 * arm:.1f}x{0.85 * arm:.1f}")
    found = readings(subject, Technique(slack_cm=np.array([0, 2, 4, 6])), instrument)
    assert_rises(found.sbp, 0.2)


@given(people(), st.sampled_from(["sbp", "dbp"]))
def test_the_higher_the_pressure_the_higher_the_reading(subject, part):
    values = getattr(subject, part) + np.array([0.0, 4.0, 8.0])
    found = readings(subject.replace(**{part: values}), Technique(), Instrument())
    assert_rises(getattr(found, part), 2)


def test_a_turned_cuff_reads_the_same_either_way_round():
    found = readings(Subject(), Technique(cuff_turned_deg=np.array([-90, 90])), Instrument(bladder="12x22"))
    assert found.sbp[0] == pytest.approx(found.sbp[1], abs=1e-3)
