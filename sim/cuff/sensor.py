"""What the sensor makes of the cuff's pressure: movement on top, calibration, noise, resolution."""

from __future__ import annotations

import numpy as np

from sim.chance import BURSTS_OVER_S, Chance
from sim.cuff.instrument import Instrument


def sensed(cuff_mmhg: np.ndarray, instrument: Instrument, noise: np.ndarray) -> np.ndarray:
    """Recorded pressure (n, m) [mmHg] of a cuff pressure (n, m), with standardised noise (n, m)."""
    seen = cuff_mmhg * (1 + instrument.gain_error_percent[:, None] / 100)
    seen += instrument.zero_error_mmhg[:, None]
    seen += instrument.noise_mmhg.astype(np.float32)[:, None] * noise
    step = instrument.resolution_mmhg[:, None]
    if (step > 0).any():
        fine = np.where(step > 0, step, 1.0)
        seen = np.where(step > 0, np.round(seen / fine) * fine, seen)
    return seen


def movement(size_mmhg: np.ndarray, chance: Chance, samples: int, sampling_hz: float) -> np.ndarray:
    """Bursts that a moving arm leaves in n cuffs, (n, samples) [mmHg].

    size_mmhg: (n,) standard deviation of a burst's height. On average one burst in four seconds, half a second to
    two seconds long, swinging one to three times a second (all assumed).
    """
    total = np.zeros((len(size_mmhg), samples))
    middle_s, half_s = chance.bursts[..., 0] * BURSTS_OVER_S, 0.25 + 0.75 * chance.bursts[..., 1]
    # Beyond twice its half length a burst has faded to nothing.
    first, last = (np.clip((middle_s + k * 2 * half_s) * sampling_hz, 0, samples).astype(int) for k in (-1, 1))
    for row, burst in zip(*np.nonzero((size_mmhg > 0)[:, None] & (first < last)), strict=True):
        here = slice(first[row, burst], last[row, burst])
        away_s = np.arange(here.start, here.stop) / sampling_hz - middle_s[row, burst]
        pace, swing = chance.bursts[row, burst, 2:]
        swings = np.sin(2 * np.pi * ((1 + 2 * pace) * away_s + swing))
        height = size_mmhg[row] * chance.burst_size[row, burst]
        total[row, here] += height * swings * np.exp(-2 * (away_s / half_s[row, burst]) ** 2)
    return total
