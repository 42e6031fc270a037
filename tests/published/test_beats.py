"""Beats and pulse rate against a general-purpose library for biosignals, on the simulated oscillations.

NeuroKit2: Makowski D, et al. Behav Res Methods 2021;53:1689-1696, DOI 10.3758/s13428-020-01516-y. It is given the
recording less its steady fall, and finds peaks by a method of its own (Elgendi M, et al. PLoS One 2013;8:e76585).
"""

from __future__ import annotations

import neurokit2 as nk
import numpy as np
import pytest
from scipy.signal import butter, sosfiltfilt

from sim import Instrument, Subject, measure

CASES = {
    "slow": {"heart_rate": 50},
    "usual": {"heart_rate": 70},
    "quick": {"heart_rate": 110},
    "high pressure": {"heart_rate": 65, "sbp": 170, "dbp": 95},
    "strong breathing": {"heart_rate": 75, "breathing_per_min": 8},
}


def found_by_neurokit(pressure, sampling_hz):
    """Times of the pulses' peaks [s]."""
    wave = sosfiltfilt(butter(2, 0.5, "highpass", fs=sampling_hz, output="sos"), pressure)
    return (
        nk.ppg_findpeaks(nk.ppg_clean(wave, sampling_rate=int(sampling_hz)), int(sampling_hz))["PPG_Peaks"]
        / sampling_hz
    )


@pytest.mark.parametrize("name", CASES)
def test_beats_and_pulse_rate(name):
    result = measure(Subject(**CASES[name]), instrument=Instrument(sampling_hz=100), rng=np.random.default_rng(4))
    osc = result.reading.oscillogram
    assert osc is not None
    theirs = found_by_neurokit(result.recording.pressure_mmhg[0, : result.recording.samples[0]], 100.0)

    # Where the pulse is clear: beats of at least half the peak.
    kept = osc.kept[0] & (osc.amplitude_mmhg[0] >= 0.5 * np.nanmax(osc.envelope_mmhg[0]))
    ours = osc.peak_s[0, kept]
    assert len(ours) >= 8
    away = np.abs(ours[:, None] - theirs).min(axis=1)
    assert np.median(away) < 0.05
    assert (away < 0.15).mean() >= 0.95
    # And none of theirs in that stretch is missed.
    inside = theirs[(theirs > ours[0] - 0.1) & (theirs < ours[-1] + 0.1)]
    every = osc.peak_s[0, np.isfinite(osc.peak_s[0])]  # a beat may be found and be smaller than half the peak
    found = every[(every > ours[0] - 0.1) & (every < ours[-1] + 0.1)]
    assert abs(len(inside) - len(found)) <= 1

    rate = 60 / np.median(np.diff(inside))
    # Two medians of intervals that scatter by some per cent, over the same beats or nearly.
    assert result.reading.pulse_rate[0] == pytest.approx(rate, rel=0.03)
