"""Every reason for no reading is reached through something physical, and the numbers are then missing altogether."""

from __future__ import annotations

import numpy as np
import pytest

from sim import Instrument, Subject, Technique, measure
from sim.estimate.refusal import FEW, MOVEMENT, NOT_HIGH_ENOUGH, NOT_LOW_ENOUGH, REASONS, STEPS, WEAK

CAUSES: dict[str, tuple[str, Subject, Technique, Instrument]] = {
    "a weak pulse": (WEAK, Subject(artery_scale=0.05), Technique(), Instrument()),
    "a thin artery under thick cloth": (WEAK, Subject(artery_scale=0.1), Technique(sleeve_mm=10), Instrument()),
    "fast deflation of a slow heart": (FEW, Subject(heart_rate=36), Technique(), Instrument(deflation_mmhg_per_s=20)),
    "pumped too low": (NOT_HIGH_ENOUGH, Subject(sbp=170, dbp=95), Technique(), Instrument(start_mmhg=140)),
    "arm far down, pumped as usual": (
        NOT_HIGH_ENOUGH,
        Subject(sbp=150, dbp=90),
        Technique(cuff_below_heart_cm=40),
        Instrument(start_mmhg=160),
    ),
    "let down too early": (NOT_LOW_ENOUGH, Subject(sbp=120, dbp=70), Technique(), Instrument(end_mmhg=90)),
    "steps shorter than two beats": (
        STEPS,
        Subject(heart_rate=60),
        Technique(),
        Instrument(course="steps", step_mmhg=14, step_hold_s=1.5),
    ),
    "a moving arm": (MOVEMENT, Subject(), Technique(movement_mmhg=5), Instrument()),
}
READINGS, MOVED_READINGS = 20, 100


def reasons(subject, technique, instrument, n=READINGS):
    return measure(subject, technique, instrument, rng=np.random.default_rng(7), n=n).reading


@pytest.mark.parametrize("cause", CAUSES)
def test_cause_and_reason(cause):
    expected, subject, technique, instrument = CAUSES[cause]
    reading = reasons(subject, technique, instrument, MOVED_READINGS if expected == MOVEMENT else READINGS)
    reasons_, counts = np.unique(reading.reason, return_counts=True)
    # Bursts of movement come by chance and may hide what else there was; all other causes are certain.
    assert reasons_[np.argmax(counts)] == expected, (reasons_, counts)
    if expected != MOVEMENT:
        assert counts.max() >= READINGS - 1, (reasons_, counts)
    for part in ("sbp", "dbp", "map", "pulse_rate"):
        np.testing.assert_array_equal(np.isnan(getattr(reading, part)), reading.reason != "")


def test_every_reason_has_a_cause():
    assert {expected for expected, *_ in CAUSES.values()} == set(REASONS)


def test_without_the_cause_there_is_a_reading():
    assert reasons(Subject(), Technique(), Instrument()).ok.all()
    assert reasons(Subject(heart_rate=36), Technique(), Instrument(deflation_mmhg_per_s=2)).ok.all()


def test_the_estimator_says_why_not_on_recordings_without_a_pulse():
    """A cuff around a bottle: the pressure falls and nothing beats."""
    reading = measure(Subject(artery_scale=0.01), rng=np.random.default_rng(1), n=5).reading
    assert (reading.reason == WEAK).all()


def test_strong_movement_is_called_movement():
    """The heart beats as usual and the cuff empties as it should: what is wrong is the movement."""
    reading = reasons(Subject(), Technique(movement_mmhg=12), Instrument(), MOVED_READINGS)
    refused = reading.reason[~reading.ok]
    assert len(refused) > 0.9 * MOVED_READINGS
    assert (refused == MOVEMENT).mean() > 0.8
