"""The whole chain without chance, from artery to envelope, as the published rows are worked out with it.

A deflation catches each beat at some place of the envelope; what is asked here is the envelope itself. So every figure
is the mean over deflations that start a fraction of a beat's fall apart, which the beats of one then fill.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from sim import Instrument, Subject, Technique, measure
from sim.estimate.fixed_ratio import FixedRatio
from sim.results import Oscillogram

PHASES = 12

# The arm on which the published envelope figures are set: 120/80, 29 cm, bladder 13.5 x 26 cm.
FIRST_ARM = Subject(sbp=120, dbp=80, arm_circumference_cm=29)
FIRST_CUFF = Instrument(bladder="13.5x26", resolution_mmhg=0, noise_mmhg=0)


def phased(subject: Subject, instrument: Instrument) -> Instrument:
    """The instrument with PHASES starts, apart by shares of a beat's fall, wide enough for the whole envelope."""
    fall = float(instrument.deflation_mmhg_per_s) * 60 / float(subject.heart_rate)
    start = min(float(subject.sbp) + 85, 325) + fall * np.arange(PHASES) / PHASES
    return instrument.replace(start_mmhg=start, end_mmhg=max(float(subject.dbp) - 60, 12))


def readings(
    subject: Subject, technique: Technique, instrument: Instrument, estimator: FixedRatio
) -> tuple[float, float]:
    """Systolic and diastolic that the estimator shows without chance [mmHg]."""
    reading = measure(subject, technique, phased(subject, instrument), ideal=True, estimator=estimator).reading
    assert reading.ok.all(), reading.reason
    return float(reading.sbp.mean()), float(reading.dbp.mean())


@dataclass(frozen=True)
class Envelope:
    """Amplitude [mmHg] against cuff pressure [mmHg], rising."""

    cuff_mmhg: np.ndarray
    amplitude_mmhg: np.ndarray

    @property
    def peak(self) -> tuple[float, float]:
        """Cuff pressure and height of the peak: the top of a parabola through the highest points."""
        top = self.amplitude_mmhg > 0.985 * self.amplitude_mmhg.max()
        bend, slope, height = np.polyfit(self.cuff_mmhg[top] - 100, self.amplitude_mmhg[top], 2)
        return 100 - slope / (2 * bend), height - slope**2 / (4 * bend)

    def ratio(self, cuff_mmhg: float) -> float:
        """Amplitude at a cuff pressure, over the peak."""
        return float(np.interp(cuff_mmhg, self.cuff_mmhg, self.amplitude_mmhg)) / self.peak[1]

    def crossings(self, share: float) -> tuple[float, float]:
        """Cuff pressures, below and above the peak, where the amplitude is this share of it."""
        level, at = share * self.peak[1], int(np.argmax(self.amplitude_mmhg))
        below = np.interp(level, self.amplitude_mmhg[: at + 1], self.cuff_mmhg[: at + 1])
        above = np.interp(-level, -self.amplitude_mmhg[at:], self.cuff_mmhg[at:])
        return float(below), float(above)

    def width(self, share: float) -> float:
        """How far apart those two are."""
        below, above = self.crossings(share)
        return above - below

    def steepest(self) -> tuple[float, float]:
        """Cuff pressures of the steepest fall above the peak and of the steepest rise below it."""
        slope = np.gradient(self.amplitude_mmhg, self.cuff_mmhg)
        return float(self.cuff_mmhg[np.argmin(slope)]), float(self.cuff_mmhg[np.argmax(slope)])


def envelope(subject: Subject, technique: Technique, instrument: Instrument, step_mmhg: float = 1.0) -> Envelope:
    """The envelope through the beats of all phases: their means over steps of the cuff's pressure."""
    found = measure(subject, technique, phased(subject, instrument), ideal=True).reading.oscillogram
    assert isinstance(found, Oscillogram)
    cuff, amplitude = found.cuff_mmhg[found.kept], found.amplitude_mmhg[found.kept]
    edges = np.arange(cuff.min(), cuff.max() - 2, step_mmhg)
    where = np.digitize(cuff, edges)
    count = np.bincount(where, minlength=len(edges) + 1)[1:]
    has = count > 0
    middle, height = (np.bincount(where, v, minlength=len(edges) + 1)[1:][has] / count[has] for v in (cuff, amplitude))
    return Envelope(middle, height)


@cache
def first_envelope() -> Envelope:
    """The envelope of the first arm."""
    return envelope(FIRST_ARM, Technique(), FIRST_CUFF)


@cache
def first_ratios() -> FixedRatio:
    """Fixed ratios that read the first arm right."""
    return FixedRatio(systolic_ratio=first_envelope().ratio(120), diastolic_ratio=first_envelope().ratio(80))
