"""The course of the cuff's pressure that valve or pump drives: steady fall, fall by steps, or steady rise."""

from __future__ import annotations

import numpy as np

from sim.cuff.instrument import Instrument

# The time that the valve takes for one step [s] (assumed).
_STEP_S = 0.3


def course(start_mmhg: np.ndarray, samples: int, instrument: Instrument, sampling_hz: float) -> np.ndarray:
    """Driven cuff pressure (n, samples) [mmHg]; start_mmhg: (n,) its upper end. Rates are means over the whole.

    >>> course(np.array([180.0]), 3, Instrument(deflation_mmhg_per_s=3).spread(1), sampling_hz=1.0)
    array([[180., 177., 174.]])
    """
    time_s = np.arange(samples) / sampling_hz
    rate = instrument.deflation_mmhg_per_s[:, None]
    fallen = rate * time_s
    by_steps = instrument.course == "steps"
    if by_steps.any():
        step = instrument.step_mmhg[by_steps, None]
        each_s = step / rate[by_steps]
        whole, part = np.divmod(time_s, each_s)
        quick_s = np.minimum(_STEP_S, each_s / 2)
        fallen[by_steps] = step * (whole + np.clip((part - (each_s - quick_s)) / quick_s, 0, 1))
    rising = instrument.course == "inflating"
    # A rise covers the same pressures: it ends where a fall would begin.
    fallen[rising] = fallen[rising, ::-1]
    return start_mmhg[:, None] - fallen
