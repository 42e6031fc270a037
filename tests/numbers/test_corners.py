"""At the limits of every field a reading is finite, in order and inside what the cuff covered, or there is a reason.

Only some of the corners, and few random cases: `benchmarks/corners.py` goes through all of them.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from sim import Instrument, Subject, measure
from sim.estimate.door import read
from sim.estimate.named import NAMED
from sim.estimate.refusal import NOT_HIGH_ENOUGH, NOT_LOW_ENOUGH, WEAK
from sim.results import Reading, Recording
from sim.setup import FIELDS
from tests.numbers.corners import Case, anywhere, corners, gone_through, limits, of_reading

SEED = 1
# One corner in so many, and so many random cases.
EVERY, RANDOM = 150, 40
# Corners at which the corrected ratios once gave a pressure that the cuff did not pass.
ONCE_OUTSIDE: dict[int, Case] = {  # by the number that its draws have
    2: {"sbp": 260, "dbp": 30},
    70: {"sbp": 60, "dbp": 40},
    434: {"sbp": 120, "dbp": 30, "deflation_mmhg_per_s": 1},
    6038: {"rest_min": 0, "bladder": "5x60"},
    6791: {"noise_mmhg": 2},
    7300: {"bladder": "5x8"},
}


@pytest.fixture(scope="module")
def at_corners():
    return list(corners())


def test_all_corners_of_all_pairs_are_there(at_corners):
    ends = {name: len(limits(name)) for name in FIELDS}
    total = sum(ends.values())
    assert len(at_corners) == (total**2 - sum(count**2 for count in ends.values())) // 2


def test_some_corners(at_corners):
    found = gone_through(at_corners[::EVERY], SEED)
    assert not found.faults
    assert min(found.readings[name] for name in NAMED) > 0.7 * len(at_corners) / EVERY


def test_random_cases():
    found = gone_through([anywhere(np.random.default_rng([SEED, k])) for k in range(RANDOM)], SEED)
    assert not found.faults
    assert min(found.readings[name] for name in NAMED) > 0.3 * RANDOM


@pytest.mark.parametrize("number", ONCE_OUTSIDE)
def test_no_reading_outside_what_the_cuff_covered(number):
    found = gone_through([ONCE_OUTSIDE[number]], SEED, number)
    assert not found.faults
    assert set(found.reasons["corrected-ratio"]) <= {NOT_HIGH_ENOUGH, NOT_LOW_ENOUGH}
    assert found.readings["corrected-ratio"] == 0


def test_a_pressure_beyond_the_recording_is_refused_whoever_gives_it():
    recording = measure(Subject(), instrument=Instrument(start_mmhg=180, end_mmhg=40), ideal=True, n=3).recording

    def wide(_: Recording) -> Reading:
        sbp, dbp = np.array([120.0, 190.0, 120.0]), np.array([80.0, 80.0, 30.0])
        return Reading(sbp, dbp, (sbp + dbp) / 2, dbp, np.full(3, ""))

    reading = read(wide, recording)
    assert reading.reason.tolist() == ["", NOT_HIGH_ENOUGH, NOT_LOW_ENOUGH]
    assert np.isnan(reading.sbp).tolist() == [False, True, True]


@pytest.mark.parametrize("name", NAMED)
def test_beats_without_any_height_are_too_weak(name):
    """Nothing is divided by a peak of no height, as an arm of 59 cm under a bladder of 5 cm once made one."""
    estimator: Any = NAMED[name]
    osc = estimator.build(measure(Subject(), ideal=True).recording)
    flat = replace(osc, amplitude_mmhg=osc.amplitude_mmhg * 0, envelope_mmhg=osc.envelope_mmhg * 0)
    with np.errstate(divide="raise", over="raise", invalid="raise"):
        assert estimator.read(flat).reason.tolist() == [WEAK]


def test_a_fault_is_seen():
    recording = measure(Subject(), ideal=True).recording
    good = read("fixed-ratio", recording)
    assert not list(of_reading(recording, good))
    for sbp, dbp in ((good.sbp + 300, good.dbp), (good.dbp, good.sbp), (good.sbp, good.dbp * np.nan)):
        assert list(of_reading(recording, Reading(sbp, dbp, good.map, good.pulse_rate, good.reason)))
