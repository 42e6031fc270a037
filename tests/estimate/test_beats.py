"""Beats are found where there are beats, and nowhere else."""

import numpy as np
import pytest
from scipy.signal import savgol_coeffs

from sim.body.subject import Subject
from sim.cuff.instrument import Instrument
from sim.estimate.beats import parabola_weights
from sim.estimate.oscillogram import oscillogram
from sim.measurement import measure
from sim.results import Recording
from sim.technique import Technique


def _gaps(subject: Subject, instrument: Instrument, highest_mmhg: float, lowest_mmhg: float) -> np.ndarray:
    """Time from beat to beat over the heart's own interval, in this range of cuff pressures."""
    osc = measure(subject, Technique(), instrument, ideal=True).reading.oscillogram
    assert osc is not None
    used = osc.kept[0] & (osc.cuff_mmhg[0] < highest_mmhg) & (osc.cuff_mmhg[0] > lowest_mmhg)
    return np.diff(osc.time_s[0, used]) * float(subject.heart_rate) / 60


@pytest.mark.parametrize("sampling_hz", [50, 100, 200, 500])
@pytest.mark.parametrize(("sbp", "dbp", "heart_rate"), [(120, 80, 70), (170, 80, 55), (105, 65, 110)])
def test_no_beat_is_missing_between_the_flanks(sbp, dbp, heart_rate, sampling_hz):
    """Near systolic pressure the artery opens for a moment only and the pulse falls as steeply as it rises."""
    subject = Subject(sbp=sbp, dbp=dbp, heart_rate=heart_rate)
    gaps = _gaps(subject, Instrument(sampling_hz=sampling_hz), sbp + 15, dbp - 15)
    assert len(gaps) > 15
    assert gaps == pytest.approx(np.ones(len(gaps)), abs=0.1)


def test_a_beat_in_which_the_valve_lets_the_pressure_drop_is_left_out():
    osc = measure(Subject(), Technique(), Instrument(course="steps", step_mmhg=10), ideal=True).reading.oscillogram
    assert osc is not None
    lost = -np.diff(osc.cuff_mmhg[0, osc.kept[0]])
    # Beats stand in groups on their steps, with a step of 10 mmHg between the groups.
    assert ((lost < 2) | (lost > 6)).mean() > 0.9


@pytest.mark.parametrize("late_s", [0.0, 0.1, 0.3, 0.5, 0.7])
def test_a_beat_under_way_at_the_beginning_is_left_out(late_s):
    """Its foot was not recorded, and its height over what was is anything. The pulses grow slowly there."""
    whole = measure(Subject(), Technique(), Instrument(resolution_mmhg=0), ideal=True).recording
    first = round(late_s * whole.sampling_hz)
    cut = Recording(whole.sampling_hz, whole.pressure_mmhg[:, first:], whole.samples - first)
    osc = oscillogram(cut)
    assert osc.amplitude_mmhg[0, osc.kept[0]][:2] == pytest.approx(osc.amplitude_mmhg[0, osc.kept[0]][1:3], rel=0.05)


@pytest.mark.parametrize("samples", [5, 7, 15, 71])
def test_the_weights_of_the_parabola_are_those_of_savitzky_and_golay(samples):
    np.testing.assert_allclose(parabola_weights(samples), savgol_coeffs(samples, 2), atol=1e-14)
