"""Fixed ratios: systolic and diastolic where the envelope has fallen to set shares of its peak, mean at the peak.

The two shares are called characteristic ratios. The family: Geddes LA, et al. Ann Biomed Eng 1982;10:271-280,
DOI 10.1007/BF02367308. Amplitudes are paired with the mean pressure of their beat (sim.estimate.oscillogram).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.estimate.oscillogram import oscillogram, usual
from sim.results import Oscillogram, Reading, Recording

# Ratios at which the mean error is nothing over the reference cohort, measured with correct technique
# (sim.study.calibrate; a test works them out again). Published: about 0.5 and 0.8
# (Geddes 1982).
SYSTOLIC_RATIO = 0.5586
DIASTOLIC_RATIO = 0.7643

# The reasons why there may be no reading, and when each holds.
WEAK = "the pulse in the cuff is too weak to read"
FEW = "too few beats while the cuff emptied"
MOVEMENT = "too much movement"
NOT_HIGH_ENOUGH = "the cuff was not pumped high enough: the pulse was already there at the start"
NOT_LOW_ENOUGH = "the measurement ended too early: the pulse had not faded"
REASONS = (WEAK, FEW, MOVEMENT, NOT_HIGH_ENOUGH, NOT_LOW_ENOUGH)

_LEAST_PEAK_MMHG = 0.4
# Beats of at least half the peak: fewer than these do not tell where the envelope runs.
_LEAST_BEATS = 5
# Among beats between the first and last of half the peak: more artefacts than this share is movement; so is
# a scatter of the kept ones about the envelope, over the peak, larger than this.
_MOST_ARTEFACTS = 0.25
_MOST_SCATTER = 0.15


@dataclass(frozen=True)
class FixedRatio:
    """The estimator; call it with a recording.

    systolic_ratio, diastolic_ratio: envelope over its peak at which the pressures are taken, between 0 and 1
    """

    systolic_ratio: float = SYSTOLIC_RATIO
    diastolic_ratio: float = DIASTOLIC_RATIO

    def __call__(self, recording: Recording) -> Reading:
        """Readings of n recordings, each with numbers or with a reason."""
        return self.read(oscillogram(recording))

    def read(self, osc: Oscillogram) -> Reading:
        """Readings from n oscillograms."""
        at, peak_mmhg, peak = peak_of(osc)
        sbp = crossing(osc, at, self.systolic_ratio * peak, above=True)
        dbp = crossing(osc, at, self.diastolic_ratio * peak, above=False)
        reason = why_not(osc, peak, sbp, dbp)
        ok = reason == ""
        rate = 60 / usual(osc.end_s - osc.time_s, osc.kept & (osc.amplitude_mmhg >= 0.3 * peak[:, None]))
        sbp, dbp, mean, rate = (np.where(ok, values, np.nan) for values in (sbp, dbp, peak_mmhg, rate))
        return Reading(sbp, dbp, mean, rate, reason, osc)


def peak_of(osc: Oscillogram) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Grid index, cuff pressure and height of the envelope's peak, each (n,); the top of a parabola through three."""
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


def crossing(osc: Oscillogram, at: np.ndarray, level: np.ndarray, above: bool) -> np.ndarray:
    """Cuff pressure (n,) where the envelope, going up or down in pressure from its peak, first falls to `level`.

    NaN where it does not. The envelope's pressures fall along its grid.
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


def why_not(osc: Oscillogram, peak: np.ndarray, sbp: np.ndarray, dbp: np.ndarray) -> np.ndarray:
    """Why each recording gives no reading, or "": (n,) of the texts in REASONS."""
    there = np.isfinite(osc.amplitude_mmhg)
    amplitude = np.where(there, osc.amplitude_mmhg, 0.0)
    kept = osc.kept
    high = kept & (amplitude >= 0.5 * peak[:, None])
    many = high.sum(axis=1)
    # Beats, kept or not, from the first to the last high one.
    if there.shape[1]:
        first, last = np.argmax(high, axis=1), high.shape[1] - 1 - np.argmax(high[:, ::-1], axis=1)
        place = np.arange(high.shape[1])
        span = there & (place >= first[:, None]) & (place <= last[:, None])
    else:
        span = there
    artefacts = (span & ~kept).sum(axis=1) / np.maximum(span.sum(axis=1), 1)
    residual = np.where(span & kept, amplitude - _envelope_at(osc), 0.0)
    scatter = np.sqrt((residual**2).sum(axis=1) / np.maximum((span & kept).sum(axis=1), 1)) / peak
    nothing = there.sum(axis=1) == 0
    tests = [
        (nothing | (peak < _LEAST_PEAK_MMHG), WEAK),
        (~np.isfinite(peak), FEW),
        ((artefacts > _MOST_ARTEFACTS) | (scatter > _MOST_SCATTER), MOVEMENT),
        (many < _LEAST_BEATS, FEW),
        (~np.isfinite(sbp), NOT_HIGH_ENOUGH),
        (~np.isfinite(dbp), NOT_LOW_ENOUGH),
    ]
    return np.select([test for test, _ in tests], [text for _, text in tests], default="")


def _envelope_at(osc: Oscillogram) -> np.ndarray:
    """The envelope at each beat's cuff pressure, (n, b), by straight lines between its grid."""
    grid = osc.envelope_cuff_mmhg.shape[1]
    start, step = osc.envelope_cuff_mmhg[:, :1], osc.envelope_cuff_mmhg[:, 1:2] - osc.envelope_cuff_mmhg[:, :1]
    known = np.isfinite(osc.cuff_mmhg) & np.isfinite(step)
    place = np.clip(np.where(known, (osc.cuff_mmhg - start) / np.where(step == 0, 1.0, step), 0.0), 0, grid - 1.001)
    left = place.astype(np.int64)
    rows = np.arange(len(place))[:, None]
    low, high = osc.envelope_mmhg[rows, left], osc.envelope_mmhg[rows, left + 1]
    return low + (place - left) * (high - low)
