"""Fixed ratios: systolic and diastolic where the envelope has fallen to set shares of its peak, mean at the peak.

The two shares are called characteristic ratios. The family: Geddes LA, et al. Ann Biomed Eng 1982;10:271-280,
DOI 10.1007/BF02367308. Amplitudes are heights, paired with the mean pressure of their beat (sim.estimate.oscillogram).
"""

from __future__ import annotations

from dataclasses import dataclass

from sim.estimate.envelope import crossing, peak_of
from sim.estimate.oscillogram import USUAL, Builder
from sim.estimate.refusal import reading
from sim.results import Oscillogram, Reading, Recording

# Ratios at which the mean error is nothing over the reference cohort, measured with correct technique
# (sim.study.calibrate; a test works them out again). Published: about 0.5 and 0.8
# (Geddes 1982).
SYSTOLIC_RATIO = 0.5635
DIASTOLIC_RATIO = 0.7678


@dataclass(frozen=True)
class FixedRatio:
    """The estimator; call it with a recording.

    systolic_ratio, diastolic_ratio: envelope over its peak at which the pressures are taken, 0 to 1
    build: makes the oscillograms; the ratios above are those of the usual ones

    >>> from sim import Subject, measure
    >>> recording = measure(Subject(sbp=130, dbp=85), ideal=True).recording
    >>> reading = FixedRatio(systolic_ratio=0.5)(recording)
    >>> bool(reading.sbp[0] > FixedRatio()(recording).sbp[0])  # a lower share lies farther out
    True
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
        sbp = crossing(osc, at, self.systolic_ratio * peak, above=True)
        dbp = crossing(osc, at, self.diastolic_ratio * peak, above=False)
        return reading(osc, peak, sbp, dbp, peak_mmhg)
