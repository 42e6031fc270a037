"""Recordings from the kernel alone: one pressure everywhere under the cuff, constant compliance of its air.

The artery's area follows the exponential law A of sim.body.artery; the cuff pressure is a steady fall R plus
k (A(P - Pc) - A(DBP - Pc)), with Pc = R, or, with feedback, the cuff pressure itself.
"""

from __future__ import annotations

import numpy as np

from sim.body.artery import area
from sim.results import Recording

HEART_RATE = 70.0
_TOP = 0.2


def kernel_recording(
    sbp: float,
    dbp: float,
    a: float = 4.0,
    b: float = 20.0,
    *,
    feedback: bool = False,
    peak_mmhg: float = 3.0,
    rate_mmhg_per_s: float = 3.0,
    sampling_hz: float = 200.0,
    above_mmhg: float = 45.0,
    below_mmhg: float = 45.0,
) -> Recording:
    """One noise-free recording. peak_mmhg: about the largest amplitude."""
    start, end = sbp + above_mmhg, dbp - below_mmhg
    time_s = np.arange(int((start - end) / rate_mmhg_per_s * sampling_hz)) / sampling_hz
    fall = start - rate_mmhg_per_s * time_s
    phase = (time_s * HEART_RATE / 60) % 1
    # A pulse that rises and falls as half waves of a cosine, its top at 0.2 of the beat.
    rise, sink = 0.5 - 0.5 * np.cos(np.pi * phase / _TOP), 0.5 + 0.5 * np.cos(np.pi * (phase - _TOP) / (1 - _TOP))
    artery = dbp + (sbp - dbp) * np.where(phase < _TOP, rise, sink)
    k = peak_mmhg / ((a + b) * (1 - np.exp(-(sbp - dbp) / (a + b))))
    cuff = fall.copy()
    foot = area(dbp - fall, a, b)
    for _ in range(60 if feedback else 1):
        cuff = (
            cuff + 0.7 * (fall + k * (area(artery - cuff, a, b) - foot) - cuff)
            if feedback
            else (fall + k * (area(artery - fall, a, b) - foot))
        )
    return Recording(sampling_hz, cuff[None], np.array([len(cuff)]))
