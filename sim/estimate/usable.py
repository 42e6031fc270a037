"""What of a recording can be used: short gaps bridged, ends at which the sensor ran into its limit left out."""

from __future__ import annotations

import numpy as np

# Samples that are missing (not finite) for at most so long are bridged by a straight line; a longer gap ends the
# recording [s]. Chosen about as long as an upstroke and its top: a longer line could hide a beat. Of twelve trial
# recordings with gaps of 0.15 s a half ends all too early to read; a double reads them as they are read now.
_BRIDGED_S = 0.25
# A recording that stands at its highest or lowest value for so long has run into a limit of the sensor, or was not yet
# or no longer moving [s]. Chosen longer than a beat stands still. On twelve trial recordings that the sensor cut off,
# and on twelve by steps, half and double read and refuse the same.
_CLIPPED_S = 0.5


def faulty(pressure_mmhg: np.ndarray, sampling_hz: float) -> np.ndarray:
    """Which of n recordings of one length (n, m) have missing samples or ran into a limit, (n,).

    >>> faulty(np.array([[180.0, np.nan, 178.0], [180.0, 179.0, 178.0]]), sampling_hz=100.0)
    array([ True, False])
    """
    if not pressure_mmhg.shape[1]:
        return np.zeros(len(pressure_mmhg), dtype=bool)
    lowest, highest = pressure_mmhg.min(axis=1), pressure_mmhg.max(axis=1)
    # One sample in eight tells.
    few = pressure_mmhg[:, ::8]
    most = 8 * np.maximum(*((few == at[:, None]).sum(axis=1) for at in (lowest, highest)))
    return ~np.isfinite(lowest) | ~np.isfinite(highest) | (most > _CLIPPED_S * sampling_hz)


def mended(pressure_mmhg: np.ndarray, sampling_hz: float) -> tuple[np.ndarray, int]:
    """What can be used of one recording (m,) [mmHg], and the sample of the recording at which that begins.

    >>> values, first = mended(np.array([3.0, np.nan, 1.0]), sampling_hz=100.0)
    >>> values, first
    (array([3., 2., 1.]), 0)
    """
    values = _bridged(pressure_mmhg, _BRIDGED_S * sampling_hz)
    start, end = 0, len(values)
    for limit in (values.min(initial=np.inf), values.max(initial=-np.inf)):
        at = np.flatnonzero(values == limit)
        if len(at) <= _CLIPPED_S * sampling_hz:
            continue
        if at.mean() < len(values) / 2:
            start = max(start, int(at[-1]) + 1)
        else:
            end = min(end, int(at[0]))
    return values[start : max(start, end)], start


def _bridged(values: np.ndarray, most: float) -> np.ndarray:
    """Short gaps filled by straight lines, and the recording ended where a longer one begins."""
    there = np.flatnonzero(np.isfinite(values))
    if not len(there) or there[0] > most:
        return values[:0]
    too_long = np.flatnonzero(np.diff(there) - 1 > most)
    end = there[too_long[0] if len(too_long) else -1] + 1
    return np.interp(np.arange(end), there, values[there])
