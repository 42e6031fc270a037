"""Recordings that an estimator must stand: ordinary ones, and those that break estimators. All are made here, from the
model of the arm; the truth about each is kept beside it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np

from sim.record import record
from sim.results import Pressures, Recording
from sim.setup import Setup

# Twelve different people, chosen: pressures from low to high, slow and fast hearts, thin and thick arms, soft and stiff
# arteries, none at a limit. PEOPLE counts them; the seed is any number that no study scores by habit.
_SBP = [104, 112, 117, 121, 124, 128, 133, 138, 144, 152, 161, 172]
_DBP = [66, 74, 62, 81, 70, 85, 77, 92, 68, 97, 80, 88]
_HEART_RATE = [62, 88, 70, 55, 76, 66, 95, 72, 58, 81, 64, 74]
_ARM_CM = [25, 33, 29, 36, 27, 31, 40, 30, 34, 28, 38, 32]
_ARTERY_B_MMHG = [20, 16, 24, 18, 28, 20, 15, 22, 30, 17, 20, 26]
PEOPLE = len(_SBP)
_SEED = 811


@dataclass(frozen=True, eq=False)
class Taken:
    """n recordings and the pressure in the artery while they were made, (n,) [mmHg]."""

    recording: Recording
    truth: Pressures

    def changed(self, pressure_mmhg: np.ndarray, samples: np.ndarray | None = None) -> Taken:
        """The same with other pressures (n, m) [mmHg] in the recording; samples: (n,) how many of each row count."""
        kept = self.recording.samples if samples is None else samples
        return replace(self, recording=replace(self.recording, pressure_mmhg=pressure_mmhg, samples=kept))

    def copy(self) -> Taken:
        """The same with a recording that may be spoilt: arrays of n rows that nobody else has; shapes stay."""
        return self.changed(self.recording.pressure_mmhg.copy(), self.recording.samples.copy())

    def take(self, rows: Any) -> Taken:
        """Some rows (a mask, indices or a slice): arrays of as many rows, shape (k, m)."""
        return Taken(self.recording.take(rows), self.truth.take(rows))


def people(
    subject: dict[str, Any] | None = None,
    technique: dict[str, Any] | None = None,
    instrument: dict[str, Any] | None = None,
    *,
    ideal: bool = False,
    draw: int = 0,
) -> Taken:
    """The twelve, with some fields of person, technique and instrument changed; `ideal` leaves nothing to chance.

    draw: which draw of chance; pressures of shape (12, m) [mmHg]

    >>> len(people(ideal=True).recording)
    12
    """
    changes = (tuple(sorted((given or {}).items())) for given in (subject, technique, instrument))
    return _people(*changes, ideal, draw).copy()


@lru_cache(maxsize=32)
def _people(subject: tuple, technique: tuple, instrument: tuple, ideal: bool, draw: int) -> Taken:
    usual = {
        "sbp": _SBP,
        "dbp": _DBP,
        "heart_rate": _HEART_RATE,
        "arm_circumference_cm": _ARM_CM,
        "artery_b_mmhg": _ARTERY_B_MMHG,
    }
    setup = Setup.of(**(usual | dict(subject)), **dict(technique), **dict(instrument))
    rng = None if ideal else np.random.default_rng([_SEED, draw])
    recording, truth = record(setup.spread(PEOPLE), rng)
    return Taken(recording, truth.at_measurement)


def without_pulse() -> Recording:
    """Four cuffs that empty on nothing: the fall and the sensor's noise, (4, 4000) [mmHg].

    >>> without_pulse().pressure_mmhg.shape
    (4, 4000)
    """
    time_s = np.arange(4000) / 100
    noise = 0.07 * np.random.default_rng(_SEED).standard_normal((4, len(time_s)))
    return Recording(100.0, 180 - 3 * time_s + noise, np.full(4, len(time_s)))


def weak() -> Taken:
    """Arms whose pulse hardly reaches the cuff: 0.02 to 0.2 mmHg."""
    return people({"artery_scale": tuple(np.geomspace(0.01, 0.08, PEOPLE))})


def clipped(high: bool) -> Taken:
    """A sensor that ends inside the range of the pulse: 12 mmHg below systolic, or 8 above diastolic."""
    taken = people()
    pressure = taken.recording.pressure_mmhg
    if high:
        return taken.changed(np.minimum(pressure, taken.truth.sbp[:, None] - 12))
    return taken.changed(np.maximum(pressure, taken.truth.dbp[:, None] + 8))


def dropped() -> Taken:
    """One sample in a hundred missing, and three short gaps of 15 samples (0.15 s at 100 Hz)."""
    taken = people()
    rng = np.random.default_rng(_SEED)
    pressure = taken.recording.pressure_mmhg.copy()
    pressure[rng.random(pressure.shape) < 0.01] = np.nan
    for at in (0.2, 0.45, 0.7):
        first = (at * taken.recording.samples).astype(int)
        for row in range(PEOPLE):
            pressure[row, first[row] : first[row] + 15] = np.nan
    return taken.changed(pressure)


def later(taken: Taken, seconds: float) -> Taken:
    """The same recordings without their first seconds."""
    skipped = round(seconds * taken.recording.sampling_hz)
    return taken.changed(taken.recording.pressure_mmhg[:, skipped:].copy(), taken.recording.samples - skipped)


def cut(taken: Taken, seconds: float) -> Taken:
    """The first seconds of the recordings.

    >>> cut(people(ideal=True), seconds=2.0).recording.pressure_mmhg.shape
    (12, 200)
    """
    kept = min(round(seconds * taken.recording.sampling_hz), taken.recording.pressure_mmhg.shape[1])
    pressure = taken.recording.pressure_mmhg[:, :kept].copy()
    return taken.changed(pressure, np.minimum(taken.recording.samples, kept))
