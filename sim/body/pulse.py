"""Arterial pressure over time: pulse shape, breathing, variation from beat to beat."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import lru_cache

import numpy as np
from scipy.interpolate import PchipInterpolator

from sim.body.rhythm import rhythm, wander
from sim.body.subject import Subject
from sim.chance import Chance
from sim.parameters import (
    BREATH_LEVEL_MMHG,
    BREATH_PULSE_SHARE,
    DEEP_BREATH_LEVEL_MMHG,
    DEEP_BREATH_PULSE_SHARE,
    WANDER_SD_DBP_MMHG,
    WANDER_SD_SBP_MMHG,
)
from sim.results import Pressures

# Two pulse shapes from foot (0) to top (1), one early and narrow, one late and full, with the top at the same
# phase: any mixture of them has foot 0 and top 1, and its mean is the same mixture of their means. Drawn by us;
# what matters here is the mean, which at the upper arm is 0.395 ± 0.025 (Bos WJW, et al. J Hypertens
# 2007;25:751-755), and that there is an upstroke and a notch.
_TOP_PHASE = 0.2
_NARROW = ((0, 0), (0.03, 0.06), (0.1, 0.62), (0.2, 1), (0.28, 0.72), (0.36, 0.40), (0.40, 0.33), (0.44, 0.36),
           (0.52, 0.30), (0.7, 0.14), (0.85, 0.05), (1, 0))  # fmt: skip
_FULL = ((0, 0), (0.03, 0.06), (0.1, 0.62), (0.2, 1), (0.28, 0.96), (0.36, 0.80), (0.40, 0.71), (0.44, 0.72),
         (0.52, 0.66), (0.7, 0.42), (0.85, 0.20), (1, 0))  # fmt: skip
_STEPS = 8192


@dataclass(frozen=True, eq=False)
class Beats:
    """The beats of n readings: k beats each.

    start_s: (n, k + 1) time of each beat's foot, the first at or before 0 [s]
    foot_mmhg: (n, k + 1) pressure at each foot [mmHg]
    pulse_mmhg: (n, k) height of each beat's top over the line from foot to foot [mmHg]
    mixture: (n,) share of the full shape in the pulse
    form_factor: (n,)
    """

    start_s: np.ndarray
    foot_mmhg: np.ndarray
    pulse_mmhg: np.ndarray
    mixture: np.ndarray
    form_factor: np.ndarray

    def take(self, rows: np.ndarray) -> Beats:
        """The beats of some of the n readings; rows: their numbers, (k,)."""
        return Beats(*(getattr(self, f.name)[rows] for f in fields(self)))

    @property
    def top_mmhg(self) -> np.ndarray:
        """Systolic pressure of each beat, (n, k) [mmHg]."""
        foot, rise = self.foot_mmhg[:, :-1], np.diff(self.foot_mmhg, axis=1)
        top: np.ndarray = foot + _TOP_PHASE * rise + self.pulse_mmhg
        return top

    def mean_rate(self, duration_s: np.ndarray) -> np.ndarray:
        """Mean rate of the heart over the beats that lie within each recording, (n,) [beats/min].

        Where no whole beat does, the rate of the one under way at its beginning.
        """
        counted = self._within(duration_s)
        counted[:, 0] |= ~counted.any(axis=1)
        seconds = np.where(counted, np.diff(self.start_s, axis=1), 0.0).sum(axis=1)
        return 60 * counted.sum(axis=1) / seconds

    def _within(self, duration_s: np.ndarray) -> np.ndarray:
        """Which beats (n, k) begin and end in each recording."""
        counted: np.ndarray = (self.start_s[:, :-1] >= 0) & (self.start_s[:, 1:] <= duration_s[:, None])
        return counted

    def mean_pressures(self, duration_s: np.ndarray) -> Pressures:
        """Systolic, diastolic and mean pressure, mean over the beats that lie within each recording [mmHg]."""
        counted = self._within(duration_s)
        count = np.maximum(counted.sum(axis=1), 1)
        foot, rise = self.foot_mmhg[:, :-1], np.diff(self.foot_mmhg, axis=1)

        def mean(values: np.ndarray) -> np.ndarray:
            return np.where(counted, values, 0.0).sum(axis=1) / count

        return Pressures(
            sbp=mean(self.top_mmhg),
            dbp=mean(foot),
            map=mean(foot + rise / 2 + self.form_factor[:, None] * self.pulse_mmhg),
        )

    def pressure(self, samples: int, sampling_hz: float) -> np.ndarray:
        """Pressure in the artery at heart level, (n, samples), single precision [mmHg]."""
        n = len(self.pulse_mmhg)
        edge = np.clip(np.ceil(self.start_s * sampling_hz), 0, samples).astype(np.int64)
        edge[:, -1] = samples
        counts = np.diff(edge, axis=1).ravel()

        def over_beat(values: np.ndarray) -> np.ndarray:
            """One value a beat, repeated over the samples of the beat."""
            return np.repeat(values.astype(np.float32).ravel(), counts).reshape(n, samples)

        length_s = np.diff(self.start_s, axis=1)
        phase = np.arange(samples, dtype=np.float32) * over_beat(1 / (length_s * sampling_hz))
        phase -= over_beat(self.start_s[:, :-1] / length_s)
        step = (phase * _STEPS).astype(np.intp)
        both = _shapes().take(step, mode="clip")
        shape = both.imag * self.mixture.astype(np.float32)[:, None]
        shape += both.real
        shape *= over_beat(self.pulse_mmhg)
        shape += over_beat(self.foot_mmhg[:, :-1])
        phase *= over_beat(np.diff(self.foot_mmhg, axis=1))
        shape += phase
        return shape


def beats(subject: Subject, sbp: np.ndarray, dbp: np.ndarray, deep: np.ndarray, chance: Chance) -> Beats:
    """The beats of n readings around the given pressures, as many as the draws hold.

    sbp, dbp: (n,) pressure at heart level during the reading [mmHg]; deep: (n,) whether breathing is deep
    """
    beat = rhythm(subject, deep, chance)
    level = beat.swing * np.where(deep, DEEP_BREATH_LEVEL_MMHG, BREATH_LEVEL_MMHG)[:, None]
    foot = dbp[:, None] + level + wander(chance.beats[:, :, 2], WANDER_SD_DBP_MMHG) + beat.foot_mmhg
    top = sbp[:, None] + level + wander(chance.beats[:, :, 1], WANDER_SD_SBP_MMHG) + beat.top_mmhg
    foot_ends = np.concatenate([foot, foot[:, -1:]], axis=1)
    line_at_top = foot + _TOP_PHASE * np.diff(foot_ends, axis=1)
    share = np.where(deep, DEEP_BREATH_PULSE_SHARE, BREATH_PULSE_SHARE)[:, None]
    pulse = np.maximum(top - line_at_top, 1.0) * (1 + share * beat.swing) * beat.pulse_share
    low, high = shape_means()
    return Beats(beat.start_s, foot_ends, pulse, (subject.form_factor - low) / (high - low), subject.form_factor)


@lru_cache(maxsize=1)
def _shapes() -> np.ndarray:
    """The narrow shape and, as an imaginary part, what the full shape has over it, at _STEPS even phases.

    One look finds both.
    """
    phase = (np.arange(_STEPS) + 0.5) / _STEPS
    narrow, full = (PchipInterpolator(*np.transpose(knots))(phase) for knots in (_NARROW, _FULL))
    both = narrow.astype(np.complex64)
    both.imag = full - narrow
    return both


@lru_cache(maxsize=1)
def shape_means() -> tuple[float, float]:
    """Form factors, 0 to 1, of the narrow and of the full shape.

    >>> low, high = shape_means()
    >>> low < 0.395 < high  # the mean that is published lies between
    True
    """
    both = _shapes()
    low = float(np.ascontiguousarray(both.real).mean(dtype=float))
    return low, low + float(np.ascontiguousarray(both.imag).mean(dtype=float))
