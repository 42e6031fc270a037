"""A small neural network that was trained on simulated people: what the envelope and the pulses look like goes in,
how far systolic and diastolic pressure lie from the envelope's peak comes out, and how sure it is of either.

The family: networks on features of the oscillogram, Forouzanfar M, Dajani HR, Groza VZ, Bolic M, Rajan S. IEEE Trans
Instrum Meas 2011, DOI 10.1109/TIM.2011.2123210; deeper ones, Lee S, Chang JH. IEEE Trans Ind Inform 2017;13:461-472,
DOI 10.1109/TII.2016.2612640; a review of all families, Forouzanfar M, Dajani HR, Groza VZ, Bolic M, Rajan S, Batkin I.
IEEE Rev Biomed Eng 2015, DOI 10.1109/RBME.2015.2434215 (abstracts seen). Their inputs are others; those here are ours.

It flatters itself: the model that trained it is the model that makes the recordings it is scored on. How well it would
read real arms nobody knows. Already where arteries follow another law (arctangent) than those of the training, its
diastolic is no better than that of the corrected ratios. The weights are in neural_network.toml;
`python -m sim.study.train_network` makes them. Amplitudes are heights, paired with the mean pressure of their beat.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from functools import lru_cache
from typing import Any

import numpy as np

from sim.data import data
from sim.estimate.checked import NUMBERS, SPREADS
from sim.estimate.envelope import at_beats, crossing, over_peak, peak_of
from sim.estimate.fixed_ratio import DIASTOLIC_RATIO, SYSTOLIC_RATIO
from sim.estimate.oscillogram import USUAL, Builder, usual
from sim.estimate.refusal import reading
from sim.results import Oscillogram, Reading, Recording
from sim.say import mark

# Why there is no reading, besides the reasons of all algorithms.
UNLIKE = mark("the recording is unlike those that the algorithm was trained on")
UNSURE = mark("the algorithm is not sure enough of its numbers")

# What follows was tried on 3,600 other people like those of the training, those of them whom fixed ratios can read: SDs
# of errors at rest 2.9 systolic and 2.5 diastolic mmHg, no reading in 0.5 %; of moving arms 4.6 and 4.3, no reading in
# 23 %, more than 15 mmHg off in 0.6 %.

# Shares of the peak down to which the width of either flank is measured; bounds of the shares between which the form of
# pulses is. Chosen: 0.95 and 0.3 besides gain less than 0.05 mmHg, half as many shares lose 0.1, no forms 0.7 systolic
# and 1.0 diastolic.
WIDTHS_AT = (0.9, 0.8, 0.7, 0.6, 0.5, 0.4)
FORMS_BETWEEN = ((0.6, 0.8), (0.4, 0.6), (0.2, 0.4))
# Beats above these shares of the peak tell interval and scatter; are counted; have the form at the peak. Chosen like
# those in `sim.estimate.oscillogram` and `corrected_ratio`; halves and doubles were not tried.
_CLEAR, _HALF, _TOP = 0.3, 0.5, 0.8
# So many of the training's standard deviations are the most that an input counts. Chosen: trained with a half or a
# double, 2 % of moving arms are more than 15 mmHg off; at rest no SD changes by more than 0.1 mmHg.
_MOST_SDS = 4.0
# Above this uncertainty there is no reading [mmHg], as in `sim.estimate.model_fit`. Chosen: a half refuses 9 % at rest
# and 80 % of the moving arms; a double reads 91 % of these, 2 % of them more than 15 mmHg off.
MOST_SD_MMHG = 8.0


@dataclass(frozen=True, eq=False)
class Weights:
    """What was learned from the training, for k inputs and h hidden units.

    mean, spread, lowest, highest: (k,) of each input there
    hidden: (k, h), hidden_bias: (h,); out: (h, 4), direct: (k, 4), bias: (4,): of systolic above the peak, of diastolic
    above it [mmHg], and of the logarithms of the uncertainty of both
    """

    mean: np.ndarray
    spread: np.ndarray
    lowest: np.ndarray
    highest: np.ndarray
    hidden: np.ndarray
    hidden_bias: np.ndarray
    out: np.ndarray
    direct: np.ndarray
    bias: np.ndarray

    def scaled(self, found: np.ndarray) -> np.ndarray:
        """Inputs (n, k) as standard deviations from the training's mean; one that cannot be told is at the mean."""
        return np.clip(np.where(np.isfinite(found), (found - self.mean) / self.spread, 0.0), -_MOST_SDS, _MOST_SDS)

    def outputs(self, found: np.ndarray) -> np.ndarray:
        """What comes out for inputs (n, k), (n, 4)."""
        scaled = self.scaled(found)
        return np.tanh(scaled @ self.hidden + self.hidden_bias) @ self.out + scaled @ self.direct + self.bias

    def outside(self, found: np.ndarray) -> np.ndarray:
        """Whether an input of n recordings (n, k) lies outside all that was seen in the training, (n,)."""
        return np.asarray(((found < self.lowest) | (found > self.highest)).any(axis=1))


@lru_cache(maxsize=1)
def trained() -> Weights:
    """The weights in neural_network.toml, arrays of the shapes in `Weights`."""
    table = data("sim.estimate", "neural_network.toml")
    return Weights(**{field.name: np.array(table[field.name], dtype=float) for field in fields(Weights)})


@dataclass(frozen=True)
class NeuralNetwork:
    """The estimator; call it with a recording. Its readings say how uncertain they are [mmHg].

    weights: what was learned; None: the program's own
    build: makes the oscillograms; the program's weights are those of the usual ones

    >>> from sim import Subject, measure
    >>> reading = measure(Subject(sbp=130, dbp=85), ideal=True, estimator=NeuralNetwork()).reading
    >>> bool(reading.sbp_sd[0] > 0)
    True
    """

    weights: Weights | None = None
    build: Builder = USUAL

    def __call__(self, recording: Recording) -> Reading:
        """Readings of n recordings, each with numbers or with a reason."""
        return self.read(self.build(recording))

    def read(self, osc: Oscillogram) -> Reading:
        """Readings from n oscillograms, arrays of shape (n,) [mmHg], with the uncertainty that it gives itself."""
        weights = self.weights or trained()
        at, peak_mmhg, peak = peak_of(osc)
        found = inputs(osc)
        out = weights.outputs(found)
        # Where a flank was not recorded, nothing is told of it.
        above = crossing(osc, at, SYSTOLIC_RATIO * peak, above=True)
        below = crossing(osc, at, DIASTOLIC_RATIO * peak, above=False)
        sbp = np.where(np.isfinite(above), peak_mmhg + out[:, 0], np.nan)
        dbp = np.where(np.isfinite(below), peak_mmhg + out[:, 1], np.nan)
        sd = [np.exp(out[:, 2]), np.exp(out[:, 3])]
        told = reading(osc, peak, sbp, dbp, peak_mmhg, sd)
        reasons = ((weights.outside(found), UNLIKE), (np.maximum(*sd) > MOST_SD_MMHG, UNSURE))
        return _without(told, np.select([test for test, _ in reasons], [text for _, text in reasons], ""))


def inputs(osc: Oscillogram) -> np.ndarray:
    """What the network is told of n oscillograms, (n, 25); NaN where one cannot be told.

    In this order: widths of the upper flank and of the lower one [mmHg]; forms of the pulses at the peak, above it and
    below; logarithm of the peak; interval of the beats [s]; scatter about the envelope, over the peak; how many beats
    are higher than half the peak; share of artefacts; how fast the pressure rises [mmHg/s].
    """
    at, peak_mmhg, peak = peak_of(osc)
    assert osc.form is not None
    level = over_peak(osc.amplitude_mmhg, peak)
    above = osc.cuff_mmhg > peak_mmhg[:, None]
    found = [crossing(osc, at, share * peak, above=True) - peak_mmhg for share in WIDTHS_AT]
    found += [peak_mmhg - crossing(osc, at, share * peak, above=False) for share in WIDTHS_AT]
    found.append(usual(osc.form, osc.kept & (level > _TOP)))
    for side in (above, ~above):
        found += [usual(osc.form, osc.kept & side & (level > low) & (level <= high)) for low, high in FORMS_BETWEEN]
    return np.stack([*found, *_beats(osc, level, peak)], axis=1)


def _beats(osc: Oscillogram, level: np.ndarray, peak: np.ndarray) -> list[np.ndarray]:
    """The last six of `inputs`, (n,) each; level: (n, b) height over the peak."""
    clear, there = osc.kept & (level > _CLEAR), np.isfinite(osc.amplitude_mmhg)
    count = there.sum(axis=1)
    off = np.where(clear, level - over_peak(at_beats(osc), peak), 0.0)
    return [
        np.log(np.where(peak > 0, peak, np.nan)),
        usual(osc.end_s - osc.time_s, clear),
        np.sqrt((off**2).sum(axis=1) / np.maximum(clear.sum(axis=1), 1)),
        (osc.kept & (level > _HALF)).sum(axis=1).astype(float),
        (there & ~osc.kept).sum(axis=1) / np.maximum(count, 1),
        _pace(osc, count),
    ]


def _pace(osc: Oscillogram, count: np.ndarray) -> np.ndarray:
    """How fast the cuff's pressure rises from the first beat to the last of `count`, (n,) [mmHg/s]; NaN if none."""
    if not osc.time_s.shape[1]:
        return np.full(len(count), np.nan)
    rows, last = np.arange(len(count)), np.maximum(count - 1, 0)
    seconds = osc.time_s[rows, last] - osc.time_s[:, 0]
    return (osc.cuff_mmhg[rows, last] - osc.cuff_mmhg[:, 0]) / np.where(seconds > 0, seconds, np.nan)


def _without(found: Reading, why: np.ndarray) -> Reading:
    """The reading without the numbers of recordings that had some and for which a reason is given in `why`, (n,)."""
    refused = found.ok & (why != "")
    numbers: dict[str, Any] = {name: np.where(refused, np.nan, getattr(found, name)) for name in NUMBERS + SPREADS}
    return replace(found, **numbers, reason=np.where(refused, why, found.reason))
