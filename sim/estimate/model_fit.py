"""Fit of an artery's model to the oscillogram: systolic and diastolic are the pressures with which it fits best.

Babbs CF. Oscillometric measurement of systolic and diastolic blood pressures validated in a physiologic mathematical
model. BioMed Eng OnLine 2012;11:56, DOI 10.1186/1475-925X-11-56. Here with the cuff's edges and with what is known of
people's arteries beforehand (sim.estimate.artery_model has the equations): least squares over five numbers of the
person, SBP, DBP, a, b and the artery's size, and one of the cuff, how soft its edges are. Amplitudes are heights,
paired with the pressure of the line from foot to foot under the top.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from sim.estimate.artery_model import DBP, EDGE, LOG_SCALE, SBP, Cuff, amplitude, with_edges, without_edges
from sim.estimate.envelope import crossing, peak_of
from sim.estimate.least_squares import minimise, standard_errors
from sim.estimate.oscillogram import Builder, OscillogramBuilder
from sim.estimate.refusal import reading
from sim.results import Oscillogram, Reading, Recording

# Halves and doubles were tried on 150 simulated adults at rest (errors' SD 4.2 systolic and 3.1 diastolic mmHg, all
# read), with moving arms (jolts of 2 mmHg: 52 % not read) and with atrial fibrillation (1 % not read).

# Bounds of SBP, DBP [mmHg], log a, log b, log scale, e. Chosen wider than any person that the model takes (Subject),
# but for e, above which the lengths of artery in `artery_model` would be negative.
_LOW = np.array([40.0, 20.0, np.log(1.0), np.log(4.0), -15.0, 0.02])
_HIGH = np.array([300.0, 250.0, np.log(20.0), np.log(90.0), 15.0, 0.094])
# What is known beforehand, mean and standard deviation: of a and b that they are near 4 and 20 mmHg and differ between
# people by 30 % (assumed); of e how cuffs that fit differ. Pressures and size are free. A spread of a and b half as
# wide makes diastolic SD at rest 4.0 mmHg, one twice as wide systolic SD 5.3; of e: the mean moves by +0.9 and -0.2
# mmHg.
_USUAL = np.array([0.0, 0.0, np.log(4.0), np.log(20.0), 0.0, 0.07])
_SPREAD = np.array([np.inf, np.inf, 0.3, 0.3, np.inf, 0.012])
# A fit is done when no parameter moves by more than this. Chosen far below the errors: a half and a double move means
# by 0.01 mmHg.
_ENOUGH = np.array([0.02, 0.02, 0.005, 0.005, 0.005, 0.0005])
# Least scatter of the amplitudes about the model that is believed, over the largest one. Chosen for steady, noise-free
# recordings; a half and a double change nothing in these people.
_LEAST_SCATTER = 0.01
# Least sum of products of modelled and recorded heights that a fit begins with [mmHg^2]: any small number, so that its
# logarithm is one. A half and a double change nothing.
_LEAST_LIKENESS = 1e-6
# Scatter over the largest amplitude that the first of two fits takes for granted: of the size seen about the envelope
# (0.035 in the middle person at rest, 0.07 at the most). A half changes SDs by 0.1 mmHg; double: diastolic SD 3.5.
_FIRST_SCATTER = 0.06
# Above this uncertainty there is no reading [mmHg]: the largest at rest is 6.9. Half refuses 9 % at rest and 70 % with
# fibrillation; a double reads 3 % more of the moving arms, and their systolic SD grows from 5.6 to 7.4.
_MOST_SD_MMHG = 8.0
# So many beats must lie beyond a pressure that is found. Chosen: 1 reads 1 % more of the moving arms and errs more
# (systolic SD 11.4 instead of 5.6), 4 refuses 1 % more.
_LEAST_BEYOND = 2
# A pressure shows in the few beats on its flank, and wanders: its mean over the measurement is uncertain by about this
# besides, which no scatter about the model tells (assumed: most of the slow wandering of sim.body.pulse) [mmHg]. With
# it 88 % of systolic and 91 % of diastolic errors at rest lie within 1.96 of the stated SDs, where 95 % would be right.
_WANDER_MMHG = (2.5, 1.5)
# Beats are padded to a multiple of this many, and so many recordings fitted at a time: chosen for memory and pace,
# without effect on any number.
_PAD, _TOGETHER = 16, 64


@dataclass(frozen=True)
class ModelFit:
    """The estimator; call it with a recording. Its readings say how uncertain they are [mmHg].

    edges: whether the cuff's edges are part of the model; without, one pressure is taken to act everywhere under it
    air: whether the cuff's air is taken to be stiffer at higher pressure
    beforehand: whether what is known of arteries and cuffs beforehand is used
    build: makes the oscillograms

    >>> from sim import Subject, measure
    >>> reading = measure(Subject(sbp=130, dbp=85), ideal=True, estimator=ModelFit()).reading
    >>> bool(reading.sbp_sd[0] > 0)
    True
    """

    edges: bool = True
    air: bool = True
    beforehand: bool = True
    build: Builder = field(default=OscillogramBuilder(paired_with="line"))

    def __call__(self, recording: Recording) -> Reading:
        """Readings of n recordings, each with numbers or with a reason."""
        return self.read(self.build(recording))

    def read(self, osc: Oscillogram) -> Reading:
        """Readings from n oscillograms, arrays of shape (n,) [mmHg], with their standard errors."""
        n = len(osc.kept)
        found, error = np.full((n, 6), np.nan), np.full((n, 6), np.nan)
        at, peak_mmhg, peak = peak_of(osc)
        start = self._start(osc, at, peak_mmhg, peak)
        count = osc.kept.sum(axis=1)
        fits = (peak > 0) & (count > len(_LOW))
        padded = -(-count // _PAD) * _PAD
        for length in np.unique(padded[fits]):
            alike = np.flatnonzero(fits & (padded == length))
            for first in range(0, len(alike), _TOGETHER):
                rows = alike[first : first + _TOGETHER]
                found[rows], error[rows] = self._fit(osc.take(rows), int(length), start[rows], peak[rows])
        beyond = osc.cuff_mmhg - found[:, :1], found[:, 1:2] - osc.cuff_mmhg
        covered = [(osc.kept & (side > 0)).sum(axis=1) >= _LEAST_BEYOND for side in beyond]
        sbp, dbp = (np.where(covered[k], found[:, k], np.nan) for k in (SBP, DBP))
        sd = [np.hypot(error[:, k], _WANDER_MMHG[k]) for k in (SBP, DBP)]
        return reading(osc, peak, sbp, dbp, peak_mmhg, sd, _MOST_SD_MMHG)

    def _start(self, osc: Oscillogram, at: np.ndarray, peak_mmhg: np.ndarray, peak: np.ndarray) -> np.ndarray:
        """Where the search begins, (n, 6)."""
        start = np.tile(np.where(np.isfinite(_SPREAD), _USUAL, 0.0), (len(peak), 1))
        for k, share, above, away in ((SBP, 0.55, True, 25.0), (DBP, 0.75, False, -15.0)):
            crossed = crossing(osc, at, share * peak, above)
            start[:, k] = np.where(np.isfinite(crossed), crossed, peak_mmhg + away)
        if not self.edges:
            start[:, EDGE] = 0.0
        return start

    def _fit(self, osc: Oscillogram, length: int, start: np.ndarray, peak: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Parameters and their standard errors, (n, 6), of oscillograms with at most `length` kept beats."""
        there, line, height = _kept(osc, length)
        cuff = with_edges() if self.edges else without_edges()
        low, high = _LOW.copy(), _HIGH.copy()
        if not self.edges:
            low[EDGE] = high[EDGE] = 0.0

        def fit(begin: np.ndarray, scatter: np.ndarray, enough: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
            def residual(parameters: np.ndarray, rows: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
                weight = there[rows] / scatter[rows, None]
                return self._residual(parameters, line[rows], height[rows], weight, cuff)

            return minimise(residual, begin, low, high, enough)

        modelled = amplitude(start, line, height, cuff, self.air)[0] * there
        # Noise alone may look like pulses upside down.
        alike = np.maximum((modelled * height).sum(axis=1), _LEAST_LIKENESS)
        start[:, LOG_SCALE] = np.log(alike / (modelled**2).sum(axis=1))
        found, _ = fit(start, _FIRST_SCATTER * peak, 20 * _ENOUGH)
        # How far the beats scatter about the first fit says how far what is known beforehand counts in the second.
        off = (amplitude(found, line, height, cuff, self.air)[0] - height) * there
        scatter = np.maximum(_scatter(off, there), _LEAST_SCATTER * peak)
        found, normal = fit(found, scatter, _ENOUGH)
        return found, standard_errors(normal, found, low, high)

    def _residual(
        self, parameters: np.ndarray, line: np.ndarray, height: np.ndarray, weight: np.ndarray, cuff: Cuff
    ) -> tuple[np.ndarray, np.ndarray]:
        """Model less recorded amplitude, and parameters less what is known of them, in standard deviations; slopes."""
        model, slopes = amplitude(parameters, line, height, cuff, self.air)
        off, slopes = (model - height) * weight, slopes * weight[:, :, None]
        if not self.beforehand:
            return off, slopes
        known = np.isfinite(_SPREAD)
        known[EDGE] &= self.edges
        per = np.where(known, 1 / _SPREAD, 0.0)[known]
        n = len(parameters)
        off = np.concatenate([off, (parameters[:, known] - _USUAL[known]) * per], axis=1)
        extra = np.broadcast_to(np.eye(6)[known] * per[:, None], (n, int(known.sum()), 6))
        return off, np.concatenate([slopes, extra], axis=1)


def _kept(osc: Oscillogram, length: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The kept beats of n oscillograms moved to the left, (n, length): whether there (1 or 0), line, height [mmHg]."""
    order = np.argsort(~osc.kept, axis=1, kind="stable")[:, :length]

    def moved(values: np.ndarray, filled: float) -> np.ndarray:
        whole = np.full((len(values), length), filled)
        whole[:, : order.shape[1]] = np.take_along_axis(np.where(osc.kept, values, filled), order, axis=1)
        return whole

    return moved(np.ones(osc.kept.shape), 0.0), moved(osc.cuff_mmhg, 100.0), moved(osc.amplitude_mmhg, 0.0)


def _scatter(off: np.ndarray, there: np.ndarray) -> np.ndarray:
    """Standard deviation (n,) of the residuals (n, m), larger where neighbours are alike: then they count for fewer.

    With a correlation r from beat to beat, m beats are worth m (1 - r) / (1 + r) independent ones. A fit takes some of
    the correlation away, about two beats' worth for each parameter.
    """
    count = np.maximum(there.sum(axis=1), 1)
    square = (off**2).sum(axis=1)
    alike = (off[:, 1:] * off[:, :-1]).sum(axis=1) / np.where(square > 0, square, 1.0) + 10 / count
    alike = np.clip(alike, 0.0, 0.85)
    return np.sqrt(square / np.maximum(count - 5, 1) * (1 + alike) / (1 - alike))
