"""Steepest slopes: systolic where the envelope falls steeply above its peak, diastolic where it rises steeply below.

The compliance of the artery is greatest where the pressures inside and outside are equal, so that the envelope changes
fastest where the cuff's pressure passes systolic and diastolic pressure. The family: Chandrasekhar A, Yavarimanesh M,
Hahn JO, Sung SH, Chen CH, Cheng HM, Mukkamala R. Formulas to explain popular oscillometric blood pressure estimation
algorithms. Front Physiol 2019;10:1415, DOI 10.3389/fphys.2019.01415. Amplitudes are heights, paired with the pressure
of the line from foot to foot under the top.

Breathing makes slopes of its own, and the one steepest place is often one of them: so each place of a flank counts, by
a power of its slope (ours). With a large power the one steepest place counts alone, as in the formulas.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from sim.estimate.envelope import crossing, over_peak, peak_of
from sim.estimate.oscillogram import Builder, OscillogramBuilder
from sim.estimate.refusal import reading
from sim.results import Oscillogram, Reading, Recording

# A flank counts as recorded where the envelope falls to this share of its peak. Chosen here, on 300 simulated adults at
# rest (seed 7): 0.275 refuses 50 %, 0.55 0.3 %, 0.8 none.
_RECORDED_TO = 0.55


@dataclass(frozen=True)
class Slope:
    """The estimator; call it with a recording.

    systolic_low_share, diastolic_low_share, high_share: a flank reaches from the last share of the envelope's peak down
        to the first (above the peak) or the second (below it); what lies beyond the first place under it is left out
    power: of the slope, by which a place on the flank counts
    build: makes the oscillograms

    >>> from sim import Subject, measure
    >>> measure(Subject(sbp=130, dbp=85), ideal=True, n=2, estimator=Slope()).reading.ok
    array([ True,  True])
    """

    # Chosen here, on the same people (errors' SD 4.6 systolic and 3.5 diastolic mmHg). Systolic low: half and double
    # make the systolic SD 5.3. Diastolic low: half 3.7, 0.75 4.0. High: 0.8 makes the diastolic SD 4.0, 1 does nothing.
    # Power: half makes the SDs 5.2 and 4.1, a double 5.0 and 3.3, the steepest place alone 6.3 and 4.0.
    systolic_low_share: float = 0.35
    diastolic_low_share: float = 0.5
    high_share: float = 0.95
    power: float = 2.0
    build: Builder = field(default=OscillogramBuilder(paired_with="line"))

    def __call__(self, recording: Recording) -> Reading:
        """Readings of n recordings, each with numbers or with a reason."""
        return self.read(self.build(recording))

    def read(self, osc: Oscillogram) -> Reading:
        """Readings from n oscillograms, arrays of shape (n,) [mmHg]."""
        at, peak_mmhg, peak = peak_of(osc)
        sbp, dbp = (
            self._steep(osc, at, peak, low_share, above)
            for low_share, above in ((self.systolic_low_share, True), (self.diastolic_low_share, False))
        )
        return reading(osc, peak, sbp, dbp, peak_mmhg)

    def _steep(self, osc: Oscillogram, at: np.ndarray, peak: np.ndarray, low_share: float, above: bool) -> np.ndarray:
        """Where the flank above or below the peak is steep, (n,) [mmHg]; NaN where it was not recorded."""
        step = osc.envelope_cuff_mmhg[:, 1:2] - osc.envelope_cuff_mmhg[:, :1]
        # Change of the envelope with cuff pressure; along the grid the pressure falls.
        slope = np.gradient(osc.envelope_mmhg, axis=1) / np.where(step == 0, np.nan, step)
        level = over_peak(osc.envelope_mmhg, peak)
        on = _flank(level, at, low_share, above) & (level <= self.high_share)
        steep = np.where(on & np.isfinite(slope), np.maximum(-slope if above else slope, 0.0), 0.0)
        most = steep.max(axis=1, keepdims=True)
        counts = (steep / np.where(most > 0, most, 1.0)) ** self.power
        total = counts.sum(axis=1)
        place = (counts * np.nan_to_num(osc.envelope_cuff_mmhg)).sum(axis=1) / np.where(total > 0, total, np.nan)
        # Where the flank was not recorded, what is steep of the rest does not tell where it is steepest.
        return np.where(np.isfinite(crossing(osc, at, _RECORDED_TO * peak, above)), place, np.nan)


def _flank(level: np.ndarray, at: np.ndarray, low_share: float, above: bool) -> np.ndarray:
    """Which places of the envelope (n, grid) lie between its peak and the first place under `low_share` of it."""
    place = np.arange(level.shape[1])
    side = place < at[:, None] if above else place > at[:, None]
    under = side & ~(level >= low_share)
    if above:
        return side & (place > np.where(under, place, -1).max(axis=1)[:, None])
    return side & (place < np.where(under, place, level.shape[1]).min(axis=1)[:, None])
