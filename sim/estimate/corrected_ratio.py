"""Fixed ratios corrected for the envelope's width and the shape of the pulses.

The ratios at which systolic and diastolic pressure lie depend on the artery's stiffness and on pulse pressure: Ursino
M, Cristalli C. IEEE Trans Biomed Eng 1996;43:761-778 (from memory); the formulas: Chandrasekhar A, et al. Front Physiol
2019;10:1415, DOI 10.3389/fphys.2019.01415. Both leave their mark on the recording. Pulse pressure widens the envelope.
An artery that opens only at the top of the pulse gives narrow pulses above the peak; one that closes only at the foot
gives full ones below it. How much each mark counts is worked out by regression on the reference cohort; this correction
is ours. Amplitudes are heights, paired with the mean pressure of their beat.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.estimate.envelope import crossing, over_peak, peak_of
from sim.estimate.fixed_ratio import DIASTOLIC_RATIO, SYSTOLIC_RATIO
from sim.estimate.oscillogram import USUAL, Builder, usual
from sim.estimate.refusal import reading
from sim.results import Oscillogram, Reading, Recording

# What is measured of an oscillogram.
MARKS = (
    "width above the peak, down to 0.75 of it [mmHg]",
    "width above the peak, down to 0.5 of it [mmHg]",
    "width below the peak, down to 0.75 of it [mmHg]",
    "form of the pulses at the peak",
    "form of the pulses above the peak, where they are 0.4 to 0.75 of it",
    "form of the pulses below the peak, where they are 0.4 to 0.75 of it",
)
# Their mean over the reference cohort, and by how much systolic and diastolic pressure differ from those at the fixed
# ratios for each unit above that mean (sim.study.calibrate_corrected; a test works them out again).
USUAL_MARKS = (23.87, 37.02, 21.97, 0.3911, 0.3449, 0.5544)
SYSTOLIC_BY_MARK = (0.4539, -0.3531, 0.07593, 52.3, -47.32, -9.858)
DIASTOLIC_BY_MARK = (0.2732, -0.1148, 0.09711, 59.83, -4.188, -72.49)
# No correction is larger than this [mmHg]: beyond, the marks are of something else. Chosen here: of 300 simulated
# adults at rest 1 in 100 has more than 11.6 systolic and 7.8 diastolic mmHg (the largest 22.2 and 14.6), of moving arms
# more than 21 and 31. A half and a double change no SD by more than 0.2 mmHg.
MOST_MMHG = 20.0


@dataclass(frozen=True)
class CorrectedRatio:
    """The estimator; call it with a recording.

    systolic_ratio, diastolic_ratio: where the corrections start from, 0 to 1
    build: makes the oscillograms; corrections and ratios are those of the usual ones

    >>> from sim import Subject, measure
    >>> measure(Subject(sbp=130, dbp=85), ideal=True, estimator=CorrectedRatio()).reading.ok
    array([ True])
    """

    systolic_ratio: float = SYSTOLIC_RATIO
    diastolic_ratio: float = DIASTOLIC_RATIO
    build: Builder = USUAL

    def __call__(self, recording: Recording) -> Reading:
        """Readings of n recordings, each with numbers or with a reason."""
        return self.read(self.build(recording))

    def read(self, osc: Oscillogram) -> Reading:
        """Readings from n oscillograms, arrays of shape (n,) [mmHg]."""
        at, peak_mmhg, peak = peak_of(osc)
        unusual = marks(osc) - USUAL_MARKS
        # A mark that cannot be told corrects nothing.
        unusual = np.where(np.isfinite(unusual), unusual, 0.0)
        sbp = crossing(osc, at, self.systolic_ratio * peak, above=True) + _correction(unusual, SYSTOLIC_BY_MARK)
        dbp = crossing(osc, at, self.diastolic_ratio * peak, above=False) + _correction(unusual, DIASTOLIC_BY_MARK)
        return reading(osc, peak, sbp, dbp, peak_mmhg)


def marks(osc: Oscillogram) -> np.ndarray:
    """MARKS of n oscillograms, (n, 6); NaN where one cannot be told."""
    at, peak_mmhg, peak = peak_of(osc)
    assert osc.form is not None
    level = over_peak(osc.amplitude_mmhg, peak)
    flank = osc.kept & (level > 0.4) & (level < 0.75)
    above = osc.cuff_mmhg > peak_mmhg[:, None]
    return np.stack(
        [
            crossing(osc, at, 0.75 * peak, above=True) - peak_mmhg,
            crossing(osc, at, 0.5 * peak, above=True) - peak_mmhg,
            peak_mmhg - crossing(osc, at, 0.75 * peak, above=False),
            usual(osc.form, osc.kept & (level > 0.8)),
            usual(osc.form, flank & above),
            usual(osc.form, flank & ~above),
        ],
        axis=1,
    )


def _correction(unusual: np.ndarray, by_mark: tuple[float, ...]) -> np.ndarray:
    """What to add (n,) [mmHg]."""
    return np.clip((unusual * by_mark).sum(axis=1), -MOST_MMHG, MOST_MMHG)
