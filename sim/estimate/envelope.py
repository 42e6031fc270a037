"""Points of an envelope: its peak, where it crosses a level, its height at a pressure."""

from __future__ import annotations

import numpy as np

from sim.results import Oscillogram


def peak_of(osc: Oscillogram) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Grid index, cuff pressure and height of the envelope's peak, (n,) [mmHg]; the top of a parabola through three.

    >>> from sim import Subject, measure
    >>> osc = measure(Subject(sbp=120, dbp=80), ideal=True).reading.oscillogram
    >>> at, peak_mmhg, height_mmhg = peak_of(osc)
    >>> bool(80 < peak_mmhg[0] < 120), at.shape
    (True, (1,))
    """
    rows = np.arange(len(osc.envelope_mmhg))
    known = np.isfinite(osc.envelope_mmhg[:, 0])
    envelope = np.where(known[:, None], osc.envelope_mmhg, 0.0)
    at = np.clip(np.argmax(envelope, axis=1), 1, envelope.shape[1] - 2)
    left, middle, right = (envelope[rows, at + i] for i in (-1, 0, 1))
    bend = left - 2 * middle + right
    shift = np.where(bend < 0, (left - right) / (2 * np.where(bend < 0, bend, -1.0)), 0.0)
    shift = np.clip(shift, -1, 1)
    step = osc.envelope_cuff_mmhg[:, 1] - osc.envelope_cuff_mmhg[:, 0]
    height = middle - (left - right) * shift / 4
    peak_mmhg = osc.envelope_cuff_mmhg[rows, at] + shift * step
    return at, np.where(known, peak_mmhg, np.nan), np.where(known, height, np.nan)


def over_peak(values: np.ndarray, peak_mmhg: np.ndarray) -> np.ndarray:
    """Values (n,) or (n, m) over the height of the peak (n,) [mmHg]; NaN where no peak stands above 0.

    >>> over_peak(np.array([[1.0, 2.0], [1.0, 2.0]]), np.array([4.0, 0.0]))
    array([[0.25, 0.5 ],
           [ nan,  nan]])
    """
    height = np.where(peak_mmhg > 0, peak_mmhg, np.nan)
    return values / (height if values.ndim == 1 else height[:, None])


def crossing(osc: Oscillogram, at: np.ndarray, level: np.ndarray, above: bool) -> np.ndarray:
    """Cuff pressure (n,) [mmHg] where the envelope, going up or down from its peak, first falls to `level` (n,) [mmHg].

    at: (n,) grid index of the peak. NaN where it does not fall so far. The envelope's pressures fall along its grid.

    >>> from sim import Subject, measure
    >>> osc = measure(Subject(sbp=120, dbp=80), ideal=True).reading.oscillogram
    >>> at, peak_mmhg, height_mmhg = peak_of(osc)
    >>> bool(crossing(osc, at, height_mmhg / 2, above=True)[0] > peak_mmhg[0])
    True
    """
    envelope, cuff = osc.envelope_mmhg, osc.envelope_cuff_mmhg
    n, grid = envelope.shape
    place = np.arange(grid)
    under = envelope < level[:, None]
    rows = np.arange(n)
    if above:
        outside = np.where(under & (place < at[:, None]), place, -1).max(axis=1)
        inside = outside + 1
    else:
        outside = np.where(under & (place > at[:, None]), place, grid).min(axis=1)
        inside = outside - 1
    found = (outside >= 0) & (outside < grid)
    o, i = np.clip(outside, 0, grid - 1), np.clip(inside, 0, grid - 1)
    rise = envelope[rows, i] - envelope[rows, o]
    share = (level - envelope[rows, o]) / np.where(found & (rise > 0), rise, 1.0)
    return np.where(found, cuff[rows, o] + share * (cuff[rows, i] - cuff[rows, o]), np.nan)


def at_beats(osc: Oscillogram) -> np.ndarray:
    """The envelope at each beat's cuff pressure, (n, b) [mmHg], by straight lines between its grid."""
    grid = osc.envelope_cuff_mmhg.shape[1]
    start, step = osc.envelope_cuff_mmhg[:, :1], osc.envelope_cuff_mmhg[:, 1:2] - osc.envelope_cuff_mmhg[:, :1]
    known = np.isfinite(osc.cuff_mmhg) & np.isfinite(step)
    place = np.clip(np.where(known, (osc.cuff_mmhg - start) / np.where(step == 0, 1.0, step), 0.0), 0, grid - 1.001)
    left = place.astype(np.int64)
    rows = np.arange(len(place))[:, None]
    low, high = osc.envelope_mmhg[rows, left], osc.envelope_mmhg[rows, left + 1]
    return low + (place - left) * (high - low)
