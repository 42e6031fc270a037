"""Two observers with a stethoscope: what they read before and after each reading of a device, on the same arm.

The order of the same-arm sequential method: observers, device, observers, device ... observers; the reference of a
device's reading is the mean of what the observers read before it and after it (Stergiou GS, et al. J Hypertens
2018;36:472-478, DOI 10.1097/HJH.0000000000001634, table 1 seen; the mean of before and after: as we understand
ISO 81060-2). The observers always use correct technique at heart level, whatever the device's technique is.

What they read is built from four parts:

1. **Beats.** The cuff falls, and a beat is heard while its systolic pressure is above the cuff and its diastolic one
   below. The first beat heard gives systolic, the last one diastolic pressure. So a reading stands on two single beats.
   The model's own beats give this.
2. **The person.** A listener differs from the artery, and from person to person by another amount, which stays.
   Published, no mechanism here.
3. **The observer.** Two observers who hear the same sounds do not read the same. Published.
4. **The scale.** Each reads to 2 mmHg, and likes 0 as the last digit. Published.

Left out: an observer who reads high or low in every reading; that a listener's difference goes with age, pulse pressure
or arm; sounds that go on to zero, or that stop for a while (auscultatory gap).
"""

from __future__ import annotations

import copy
from dataclasses import dataclass

import numpy as np

from sim.body.pulse import beats
from sim.body.subject import Subject
from sim.chance import Chance, Source

# Listener minus artery [mmHg], systolic and diastolic. Mean: Picone DS, Schultz MG, Otahal P, et al. J Am Coll Cardiol
# 2017;70:572-586, DOI 10.1016/j.jacc.2017.05.064 (abstract seen): -5.7 (-8.0 to -3.5) and +5.5 (3.5 to 7.5), of cuffs,
# with a listener or without; the abstract gives no SD. SD of the differences: Dankel SJ, et al. Curr Hypertens Rep
# 2019;21, DOI 10.1007/s11906-019-0929-8 (abstract seen): 10.32 (9.29 to 11.36) and 7.92 (7.35 to 8.50), of cuffs too,
# with means of -4.55 and +6.20. Studies differ: by sounds alone -14 ± 9.6 and -0.3 ± 5.2 in 40 patients (Celler
# BG, et al. J Hypertens 2024;42:873-882, DOI 10.1097/HJH.0000000000003651, abstract seen).
PUBLISHED_MEAN, PUBLISHED_SD = (-5.7, 5.5), (10.32, 7.92)
# What all but the person's lasting part gives for one observer's reading minus the artery [mmHg], mean and SD, measured
# here on 2,000 people of the survey (0.4 of each mean comes from drawing again, below). The lasting part is what is
# left of the published figures.
_BEATS_MEAN, _BEATS_SD = (0.1, 0.6), (4.0, 2.8)
LASTING_MEAN = tuple(p - b for p, b in zip(PUBLISHED_MEAN, _BEATS_MEAN, strict=True))
LASTING_SD = tuple(float(np.sqrt(p**2 - b**2)) for p, b in zip(PUBLISHED_SD, _BEATS_SD, strict=True))
# The sounds last for this share of the pulse pressure at least: a lasting part that leaves less is drawn again. Chosen.
_LEAST_SHARE = 0.25
# SD of the difference between two trained observers who hear the same sounds [mmHg]: 2.2 and 3.7 systolic, 2.4 and 1.9
# diastolic, in two rounds on recordings of ten people; the root of the mean square is used. Murray A, et al.
# Variability in blood pressure measurements from recorded auscultation sounds, Computing in Cardiology 2019, ISBN
# 978-1-7281-6936-1 (abstract of the programme seen). 311 observers of all kinds: SD of 5 to 6 (Neufeld PD, Johnson DL.
# Observer error in blood pressure measurement, abstract seen; CMAJ 1986, from memory).
BETWEEN_OBSERVERS_SD = (3.04, 2.16)
# Readings of the two that differ by more are taken again: as we understand ISO 81060-2, from memory [mmHg].
MOST_BETWEEN_MMHG = 4.0
SCALE_MMHG = 2.0
# Share of readings that end in 0: 31 % instead of 20 % among 11 specialised nurses, 52,827 readings. Graves JW, et al.
# Am J Hypertens 2006;19:567-572, DOI 10.1016/j.amjhyper.2005.04.004 (abstract seen). Assumed: a reading that would end
# in 8 or 2 is read as the 0 beside it, with this probability, which gives the 31 %.
ZERO_SHARE = 0.31
_TO_ZERO = (ZERO_SHARE - 0.2) / 0.4
# The cuff falls by 2 to 3 mmHg/s (guidelines), with a slow heart by as much a beat; from and to so far beyond the
# pressures (chosen) [mmHg].
_FALL_MMHG, _BEYOND_MMHG = 2.5, 30.0
_SPARE_BEATS = 1.4


@dataclass(frozen=True, eq=False)
class Listened:
    """What two observers read of n people around r readings of a device [mmHg]; first axis systolic, diastolic.

    each: (2, n, r + 1, 2) every reading of each of the two observers
    lasting: (2, n) how far a person's listener lies from the artery in every reading
    """

    each: np.ndarray
    lasting: np.ndarray

    @property
    def readings(self) -> np.ndarray:
        """Mean of the two observers, (2, n, r + 1)."""
        mean: np.ndarray = self.each.mean(axis=3)
        return mean

    @property
    def reference(self) -> np.ndarray:
        """Reference of each reading of the device, (2, n, r): mean of the observers' readings before and after."""
        both = self.readings
        mean: np.ndarray = (both[:, :, :-1] + both[:, :, 1:]) / 2
        return mean

    @property
    def span(self) -> np.ndarray:
        """How far a person's highest reference reading lies above the lowest, (2, n)."""
        return np.ptp(self.readings, axis=2)


def listened(people: Subject, readings: int, rng: np.random.Generator) -> Listened:
    """Two observers before, between and after `readings` readings of a device, for n people [mmHg].

    `rng` is left as it is: the draws come from a generator made of a copy, so that who asks for the listener too gets
    the same recordings.

    >>> found = listened(Subject(sbp=[120, 150]), 3, np.random.default_rng(1))
    >>> found.each.shape, found.reference.shape
    ((2, 2, 4, 2), (2, 2, 3))
    """
    source = Source(Source(copy.deepcopy(rng)).child("listener"))
    n, k = people.size, readings + 1
    everybody = people.spread(n)
    lasting = _lasting(everybody, source.child("person"))
    heard = _heard(everybody.take(np.repeat(np.arange(n), k)), source).reshape(2, n, k)
    return Listened(_read(heard + lasting[:, :, None], source), lasting)


def _lasting(people: Subject, rng: np.random.Generator) -> np.ndarray:
    """How far each person's listener lies from the artery in every reading, (2, n) [mmHg]."""
    pulse = people.sbp - people.dbp
    found = np.empty((2, people.size))
    left = np.arange(people.size)
    while len(left):
        drawn = rng.standard_normal((2, len(left)))
        found[:, left] = np.array(LASTING_MEAN)[:, None] + np.array(LASTING_SD)[:, None] * drawn
        left = left[pulse[left] + found[0, left] - found[1, left] < _LEAST_SHARE * pulse[left]]
    return found


def _heard(people: Subject, source: Source) -> np.ndarray:
    """Cuff pressure at the first and at the last beat heard, (2, m) [mmHg], of m people; the artery's where none is."""
    fall = _FALL_MMHG * np.minimum(1, people.heart_rate / 60)
    start = people.sbp + _BEYOND_MMHG
    seconds = (start - people.dbp + _BEYOND_MMHG) / fall
    most = int(np.ceil((seconds * people.heart_rate / 60).max() * _SPARE_BEATS)) + 4
    chance = Chance.draw(source, people.size, most, 1)
    found = beats(people, people.sbp, people.dbp, np.zeros(people.size, dtype=bool), chance)
    cuff = start[:, None] - fall[:, None] * found.start_s[:, :-1]
    audible = (cuff < found.top_mmhg) & (cuff > found.foot_mmhg[:, :-1])
    rows = np.arange(people.size)
    first, last = audible.argmax(axis=1), audible.shape[1] - 1 - audible[:, ::-1].argmax(axis=1)
    ends = np.stack([cuff[rows, first], cuff[rows, last]])
    return np.where(audible.any(axis=1), ends, np.stack([people.sbp, people.dbp]))


def _read(heard: np.ndarray, source: Source) -> np.ndarray:
    """What each of the two observers reads of what is heard, (2, n, k) [mmHg]: (2, n, k, 2)."""
    rng = source.child("observers")
    found = np.empty((*heard.shape, 2))
    sd = np.broadcast_to(np.array(BETWEEN_OBSERVERS_SD)[:, None, None] / np.sqrt(2), heard.shape)
    again = np.ones(heard.shape, dtype=bool)
    while again.any():
        drawn = rng.standard_normal((int(again.sum()), 2))
        found[again] = _on_scale(heard[again][:, None] + sd[again][:, None] * drawn, rng)
        again = np.abs(np.diff(found, axis=3)[..., 0]) > MOST_BETWEEN_MMHG
    return found


def _on_scale(mmhg: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """Pressures of any shape as observers read them off the scale [mmHg]: to 2 mmHg, and rather to a 0."""
    marks = np.round(mmhg / SCALE_MMHG) * SCALE_MMHG
    zero = np.round(marks / 10) * 10
    taken = (np.abs(marks - zero) == SCALE_MMHG) & (rng.random(mmhg.shape) < _TO_ZERO)
    return np.where(taken, zero, marks)
