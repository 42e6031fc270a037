"""What cannot be in a data set: recordings, truth and inputs that were read, held against each other."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from sim.files.units import PRESSURE_MMHG, SAMPLING_HZ
from sim.results import Recording, Truth

_HIGHEST_RATE = 400.0


def amiss(recording: Recording, truth: Truth, inputs: Mapping[str, np.ndarray]) -> str:
    """What does not go together, in words, or ""."""
    if np.ndim(recording.samples) != 1:
        return "samples must be one number for each recording"
    r, n = recording, len(recording)
    stages = (truth.resting, truth.at_measurement, truth.at_cuff)
    truths = [np.asarray(getattr(stage, name)) for stage in stages for name in ("sbp", "dbp", "map")]
    rate = np.asarray(truth.pulse_rate)
    if n < 1:
        return "it holds none"
    if any(values.dtype.kind not in "fiu" for values in (r.pressure_mmhg, r.samples, rate, *truths)):
        return "pressures, samples and truth must be numbers"
    if r.pressure_mmhg.ndim != 2:
        return "pressure_mmhg must have a row for each recording"
    if any(values.shape != (n,) for values in truths) or len(r.pressure_mmhg) != n:
        return f"there are {n} recordings, and each needs one row of samples and one true pressure"
    if rate.shape != (n,) or not ((rate > 0) & (rate <= _HIGHEST_RATE)).all():
        return f"each recording needs one true_pulse_rate, above 0 and up to {_HIGHEST_RATE:g} beats/min"
    if any(np.shape(values) != (n,) for values in inputs.values()):
        return "each input needs one value for each recording"
    if not SAMPLING_HZ[0] <= r.sampling_hz <= SAMPLING_HZ[1]:
        return f"sampling_hz must be from {SAMPLING_HZ[0]:g} to {SAMPLING_HZ[1]:g} Hz, not {r.sampling_hz:g}"
    if not ((r.samples >= 2) & (r.samples <= r.pressure_mmhg.shape[1])).all():
        return "samples must count the samples of each recording, at least 2"
    if r.samples.dtype.kind == "f" and (r.samples % 1 != 0).any():
        return "samples must be whole numbers"
    low, high = np.fmin.reduce(r.pressure_mmhg, axis=1), np.fmax.reduce(r.pressure_mmhg, axis=1)
    if np.isnan(low).any():
        return "each recording must hold a pressure, and one holds none"
    if not ((low >= PRESSURE_MMHG[0]) & (high <= PRESSURE_MMHG[1])).all():
        return f"pressures must be from {PRESSURE_MMHG[0]:g} to {PRESSURE_MMHG[1]:g} mmHg"
    if not all(((values >= PRESSURE_MMHG[0]) & (values <= PRESSURE_MMHG[1])).all() for values in truths):
        return f"true pressures must be from {PRESSURE_MMHG[0]:g} to {PRESSURE_MMHG[1]:g} mmHg"
    return ""
