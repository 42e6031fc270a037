"""The pulse and its variation."""

import numpy as np
import pytest

from sim import Subject
from sim.body.pulse import Beats
from sim.cuff.instrument import Instrument
from sim.record import planned
from sim.setup import Setup


def beats_of(subject: Subject, n: int = 400, seed: int | None = 2) -> Beats:
    setup = Setup(subject, instrument=Instrument(deflation_mmhg_per_s=1)).spread(n)
    sweep, chance = planned(setup, None if seed is None else np.random.default_rng(seed))
    return sweep.beats(chance)


@pytest.mark.parametrize("form_factor", [0.33, 0.395, 0.5])
def test_the_mean_of_the_pulse_is_the_form_factor(form_factor: float) -> None:
    beats = beats_of(Subject(sbp=130, dbp=80, form_factor=form_factor, heart_rate=60), n=1, seed=None)
    pressure = beats.pressure(3000, 100.0)[0]
    assert pressure.max() == pytest.approx(130, abs=0.05)
    assert pressure.min() == pytest.approx(80, abs=0.2)
    assert pressure.mean() == pytest.approx(80 + form_factor * 50, abs=0.05)


def step_sd(values: np.ndarray) -> float:
    """Standard deviation of the differences from beat to beat."""
    return float(np.diff(values, axis=1).std())


def test_a_regular_rhythm_varies_little_from_beat_to_beat() -> None:
    """2.4 systolic and 1.1 diastolic (assumed), breathing included; the model's is held within a third."""
    beats = beats_of(Subject())
    assert step_sd(beats.foot_mmhg[:, :-1]) == pytest.approx(1.1, rel=0.35)
    assert step_sd(beats.foot_mmhg[:, :-1] + beats.pulse_mmhg) == pytest.approx(2.4, rel=0.35)


def test_in_atrial_fibrillation_diastolic_pressure_varies_most() -> None:
    """4.9 systolic and 7.5 diastolic (assumed); about 2 and 7 times a regular rhythm's: Olbers J, et al. 2018."""
    beats = beats_of(Subject(rhythm="atrial-fibrillation"))
    assert step_sd(beats.foot_mmhg[:, :-1]) == pytest.approx(7.5, rel=0.35)
    assert step_sd(beats.foot_mmhg[:, :-1] + beats.pulse_mmhg) == pytest.approx(4.9, rel=0.35)


def test_the_beat_after_a_long_interval_is_larger() -> None:
    beats = beats_of(Subject(rhythm="atrial-fibrillation"))
    interval = np.diff(beats.start_s, axis=1)
    before, after = interval[:, :-1].ravel(), beats.pulse_mmhg[:, 1:].ravel()
    assert np.corrcoef(before, after)[0, 1] > 0.7
