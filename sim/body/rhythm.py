"""When the heart beats, and what the time between two beats does to the pressure.

**Regular.** The rate of a reading lies around the usual one by one draw, the same for all of its beats; from beat to
beat the interval wanders slowly and swings with the breath: it is longer while the pressure is high (assumed: the
baroreflex and the breath then go together).

**Atrial fibrillation.** Every interval is a draw of its own, and does not heed the breath.

**Early beats.** A regular rhythm in which, now and then, a beat comes early, after a share of an interval, and the next
one at its usual time: the pause makes up for what was lost. The early heart is half filled and its pulse is weak; the
beat after the pause is a little larger.

While the heart waits the pressure runs off, so the foot of a beat lies the lower the longer the interval before it.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from sim import parameters as p
from sim.body.subject import Subject
from sim.chance import Chance


@dataclass(frozen=True, eq=False)
class Rhythm:
    """The rhythm of n readings, k beats each.

    start_s: (n, k + 1) time of each beat's foot, the first at or before 0 [s]
    swing: (n, k) place in the breath at each beat, from -1 to 1
    foot_mmhg, top_mmhg: (n, k) what the interval before adds to diastolic and systolic pressure [mmHg]
    pulse_share: (n, k) height of the pulse over its usual height
    """

    start_s: np.ndarray
    swing: np.ndarray
    foot_mmhg: np.ndarray
    top_mmhg: np.ndarray
    pulse_share: np.ndarray


def rhythm(subject: Subject, deep: np.ndarray, chance: Chance) -> Rhythm:
    """The rhythm of n readings, as many beats as the draws hold. deep: (n,) deep breathing."""
    fibrillation = subject.rhythm == "atrial-fibrillation"
    extra = early_beats(subject, chance)
    white = chance.beats[:, :, 0]
    off = np.where(fibrillation[:, None], white * p.FIBRILLATION_INTERVAL_CV, wander(white, p.INTERVAL_WANDER_CV))
    usual_s = 60 / (subject.heart_rate * (1 + _rate_share(fibrillation, chance)))
    swing = _swing(subject, deep, chance, usual_s, off)
    share = np.where(deep, p.DEEP_BREATH_INTERVAL_SHARE, p.BREATH_INTERVAL_SHARE) * ~fibrillation
    off = np.clip(off + share[:, None] * swing, -0.5, 0.9) + _shift(extra)
    start_s = _starts(usual_s, off, chance)
    before = np.concatenate([np.zeros((len(off), 1)), off[:, :-1]], axis=1)
    irregular = fibrillation | (subject.rhythm == "early-beats")
    foot = p.RUN_OFF_DBP_MMHG * before * irregular[:, None]
    # With early beats only the share of the pulse says how large it is.
    top = np.where(fibrillation[:, None], p.FIBRILLATION_SBP_MMHG * before, foot)
    return Rhythm(start_s, swing, foot, top, _pulse_share(extra))


def wander(draws: np.ndarray, sd: float) -> np.ndarray:
    """Slow wandering from beat to beat (n, k) with a standard deviation, out of independent draws (n, k).

    >>> wander(np.random.default_rng(1).standard_normal((2, 5)), 3.0).shape
    (2, 5)
    """
    beats = np.sqrt(1 - p.WANDER_LEFT**2) * np.ascontiguousarray(draws.T)
    beats[0] = draws[:, 0]
    for before, now in pairwise(beats):
        now += p.WANDER_LEFT * before
    return sd * beats.T


def _rate_share(fibrillation: np.ndarray, chance: Chance) -> np.ndarray:
    """How far the rate of each reading lies from the usual one, as a share of it, (n,)."""
    return np.clip(chance.rate, -3, 3) * np.where(fibrillation, p.FIBRILLATION_RATE_CV, p.RATE_CV)


def early_beats(subject: Subject, chance: Chance) -> np.ndarray:
    """Which beats come early, (n, k): never the first, and never two in succession."""
    # Of the beats that can come early, those after a beat that did not.
    free = (subject.early_beat_share / (1 - subject.early_beat_share))[:, None]
    asked = (chance.early < free) & (subject.rhythm == "early-beats")[:, None]
    asked[:, 0] = False
    for before, now in pairwise(asked.T):
        now &= ~before
    return asked


def _shift(early: np.ndarray) -> np.ndarray:
    """What early beats take from the interval before them and give to the one after, as a share of it, (n, k)."""
    shift = np.zeros(early.shape)
    shift[:, :-1] -= (1 - p.EARLY_COUPLING) * early[:, 1:]
    return shift + (1 - p.EARLY_COUPLING) * early


def _pulse_share(early: np.ndarray) -> np.ndarray:
    """Height of each pulse over its usual height, (n, k)."""
    share = np.where(early, p.EARLY_PULSE, 1.0)
    share[:, 1:] += (p.AFTER_EARLY_PULSE - 1) * early[:, :-1]
    return share


def _swing(subject: Subject, deep: np.ndarray, chance: Chance, usual_s: np.ndarray, off: np.ndarray) -> np.ndarray:
    """Place in the breath at each beat, (n, k), without regard to how the breath moves the beats a little."""
    at_s = _starts(usual_s, off, chance)[:, :-1]
    per_min = np.where(deep, p.DEEP_BREATHS_PER_MIN, subject.breathing_per_min)[:, None]
    return np.sin(2 * np.pi * (at_s * per_min / 60 + chance.breath[:, None])) * chance.breathing


def _starts(usual_s: np.ndarray, off: np.ndarray, chance: Chance) -> np.ndarray:
    """Times (n, k + 1) at which beats of these intervals begin [s]; off: (n, k) their departure, as a share."""
    length_s = usual_s[:, None] * (1 + off)
    start_s = np.zeros((len(off), off.shape[1] + 1))
    np.cumsum(length_s, axis=1, out=start_s[:, 1:])
    return start_s - (chance.first_beat * length_s[:, 0])[:, None]
