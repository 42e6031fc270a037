"""What the sensor makes of the cuff's pressure: calibration, drift, noise, the steps of its converter."""

from __future__ import annotations

import numpy as np

from sim.cuff.instrument import Instrument


def sensed(cuff_mmhg: np.ndarray, instrument: Instrument, noise: np.ndarray) -> np.ndarray:
    """Recorded pressure (n, m) [mmHg] of a cuff pressure (n, m), with standardised noise (n, m).

    >>> wrong = Instrument(gain_error_percent=2, zero_error_mmhg=1).spread(1)
    >>> sensed(np.array([[100.0, 200.0]]), wrong, np.zeros((1, 2)))
    array([[103., 205.]])
    """
    seen = cuff_mmhg * (1 + instrument.gain_error_percent[:, None] / 100)
    seen += instrument.zero_error_mmhg[:, None]
    if (instrument.drift_mmhg != 0).any():
        seen += instrument.drift_mmhg[:, None] * np.linspace(0, 1, seen.shape[1])
    seen += instrument.noise_mmhg.astype(np.float32)[:, None] * noise
    converted = instrument.converter_bits > 0
    full = instrument.full_scale_mmhg
    step = np.where(converted, full / 2**instrument.converter_bits, instrument.resolution_mmhg)[:, None]
    coarse = np.flatnonzero(step > 0)
    if len(coarse):
        rows = slice(None) if len(coarse) == len(seen) else coarse
        whole = seen[rows] / step[rows]
        np.round(whole, out=whole)
        whole *= step[rows]
        seen[rows] = whole
    if converted.any():
        seen[converted] = np.clip(seen[converted], 0, full[converted, None] - step[converted])
    return seen
