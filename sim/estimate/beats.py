"""Beats in a recording: where each begins, how high it is over the falling pressure.

Works on recordings of one length, n at a time; arrays of beats are flat, in order of reading and time.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.ndimage import correlate1d

# All chosen here. What a half and a double do was tried with the fixed ratios on 300 simulated adults each (cohort,
# seed 7; other people scatter by about a mmHg): at rest (errors' SD 5.1 systolic and 3.8 diastolic mmHg, no reading in
# 0 %), with an arm that moves (jolts of 2 mmHg: none in 44 %, off by more than 20 mmHg in 4 %), with atrial
# fibrillation (none in 0.3 %), and with a cuff that empties by steps (none in 1 %). What is not named hardly changes.

# Before slopes and tops are taken, a parabola is fitted through so much of the recording around each sample [s]. A
# running mean would flatten the short pulses of a cuff near systolic pressure, and change what a ratio means. A half
# moves the mean at rest by +0.3, a double by -1.8 mmHg systolic: ratios belong to it.
_SMOOTH_S = 0.07
# The slope is taken over this time [s]: about an upstroke's. Half: none in 3 % by steps and 2 % with fibrillation.
_SLOPE_S = 0.06
# An upstroke is the steepest place within this time to either side: half the shortest beat interval, at 200 per
# minute [s]. Half and double: no change at rest ...
_ALONE_S = 0.15
# ... and steeper than this share of the steepest one within this time [s] to either side, which leaves out the second,
# smaller rise of a beat; in 1.6 s beats even a heart of 40 a minute. Share 0.25: by steps none in 8 %; 0.9: none in
# 13 % at rest. Time 0.8: no change at rest; 3.2: none in 55 % of moving arms, and +1.3 mmHg with fibrillation.
_SHARE, _NEAR_S = 0.5, 1.6
# The valve has let the pressure drop within a beat whose steepest fall is more than this share of its steepest rise,
# and which loses more than so many times the pressure that its length would have it lose. By steps, double either: none
# in 11 to 15 %; half of the second moves systolic at rest by -0.7 mmHg, since it takes beats near systolic pressure
# away.
_FALL, _LOST = 0.8, 1.5
# The foot lies in this time before the upstroke, the top within this time after it [s]. Foot, by steps: half +0.8,
# double -4.3 mmHg systolic and none in 7 %; top: no change.
_FOOT_S, _TOP_S = 0.3, 0.4


@dataclass(frozen=True)
class Beats:
    """Beats from foot to foot, flat arrays of one entry a beat.

    row: which recording; foot, end, top: samples of its foot, of the next foot, of its top;
    height_mmhg: height of the top over the line from foot to foot; mean_height_mmhg: of the whole beat over that line;
    cuff_mmhg: mean pressure over the beat; line_mmhg: pressure of the line under the top
    """

    row: np.ndarray
    foot: np.ndarray
    end: np.ndarray
    top: np.ndarray
    height_mmhg: np.ndarray
    mean_height_mmhg: np.ndarray
    cuff_mmhg: np.ndarray
    line_mmhg: np.ndarray


def find_beats(pressure_mmhg: np.ndarray, sampling_hz: float) -> Beats:
    """Beats of recordings (n, m) [mmHg] at a rate [Hz], all of them recorded to the end.

    >>> from sim import Subject, measure
    >>> recording = measure(Subject(heart_rate=60), ideal=True).recording
    >>> beats = find_beats(recording.pressure_mmhg[:, : recording.samples[0]], recording.sampling_hz)
    >>> round(float(np.median(beats.end - beats.foot)) / recording.sampling_hz, 1)
    1.0
    """

    def samples(seconds: float) -> int:
        return max(1, round(seconds * sampling_hz))

    # Single precision: good to 1e-5 mmHg, and half the time.
    window = parabola_weights(max(5, samples(_SMOOTH_S) | 1))
    smooth = correlate1d(pressure_mmhg.astype(np.float32), window, axis=1, mode="nearest")
    reach = max(1, samples(_SLOPE_S) // 2)
    slope = np.zeros_like(smooth)
    slope[:, reach:-reach] = smooth[:, 2 * reach :] - smooth[:, : -2 * reach]
    # Against the mean fall or rise, so that a slope of nothing means no pulse.
    m = pressure_mmhg.shape[1]
    trend = (smooth[:, -1:] - smooth[:, :1]) / (m - 1)
    slope -= trend * 2 * reach

    alone = _running_maximum(slope, samples(_ALONE_S))
    near = _running_maximum(alone, samples(_NEAR_S) - samples(_ALONE_S))
    row, upstroke = np.nonzero((slope == alone) & (slope > _SHARE * near) & (slope > 0))

    before = upstroke[:, None] + np.arange(-samples(_FOOT_S), 1)
    window = smooth.ravel().take((row * m)[:, None] + np.clip(before, 0, m - 1)) - before * trend[row]
    # The last of equal values is nearest to the upstroke.
    foot = upstroke - np.argmin(window[:, ::-1], axis=1)
    foot = np.maximum(foot, 0)

    follows = np.flatnonzero((row[1:] == row[:-1]) & (foot[1:] > foot[:-1]))
    row, end, upstroke, foot = row[follows], foot[follows + 1], upstroke[follows], foot[follows]
    # Near systolic pressure a beat falls as steeply as it rises, but it comes back to where it began. Where it does
    # not, the valve has let the pressure drop: no beat to use.
    steepest_fall = -np.minimum.reduceat(slope.ravel(), _pieces(row, foot, end, m))[::2] if len(row) else np.empty(0)
    lost = smooth[row, foot] - smooth[row, end]
    dropped = (steepest_fall > _FALL * slope[row, upstroke]) & (lost > -_LOST * trend[row, 0] * (end - foot))
    # A beat that was under way when the recording began has no foot in it.
    whole = ~(dropped & (lost > 0)) & (foot > 0)
    row, end, upstroke, foot = row[whole], end[whole], upstroke[whole], foot[whole]
    foot_mmhg = smooth[row, foot]
    fall = (smooth[row, end] - foot_mmhg) / (end - foot)
    after = np.minimum(upstroke[:, None] + np.arange(samples(_TOP_S) + 1), end[:, None])
    over = smooth.ravel().take((row * m)[:, None] + after) - foot_mmhg[:, None]
    over = over - fall[:, None] * (after - foot[:, None])  # in double precision from here
    best = np.argmax(over, axis=1)
    every = np.arange(len(row))
    total = np.add.reduceat(pressure_mmhg.ravel(), _pieces(row, foot, end, m))[::2] if len(row) else np.empty(0)
    cuff_mmhg = total / (end - foot)
    top = after[every, best]
    return Beats(
        row=row,
        foot=foot,
        end=end,
        top=top,
        height_mmhg=over[every, best],
        mean_height_mmhg=cuff_mmhg - foot_mmhg - fall * (end - foot - 1) / 2,
        cuff_mmhg=cuff_mmhg,
        line_mmhg=foot_mmhg + fall * (top - foot),
    )


def _pieces(row: np.ndarray, foot: np.ndarray, end: np.ndarray, m: int) -> np.ndarray:
    """Bounds for `reduceat` over flattened recordings: every other piece is a beat, from its foot to before its end."""
    return np.stack([row * m + foot, row * m + end], axis=1).ravel()


@lru_cache(maxsize=16)
def parabola_weights(samples: int) -> np.ndarray:
    """Weights (samples,), an odd number, of the least-squares parabola's value at the middle (Savitzky A, Golay MJE.
    Anal Chem 1964;36:1627-1639, DOI 10.1021/ac60214a047).

    >>> parabola_weights(5).round(4)
    array([-0.0857,  0.3429,  0.4857,  0.3429, -0.0857])
    """
    place = np.linspace(-1, 1, samples)
    return np.linalg.pinv(np.vander(place, 3))[-1]


def _running_maximum(values: np.ndarray, reach: int) -> np.ndarray:
    """Largest value within `reach` samples to either side, (n, m); windows are joined out of two halves."""
    wide, span, window = np.pad(values, ((0, 0), (reach, reach)), mode="edge"), 1, 2 * reach + 1
    while span < window:
        step = min(span, window - span)
        wide = np.maximum(wide[:, :-step], wide[:, step:])
        span += step
    return wide
