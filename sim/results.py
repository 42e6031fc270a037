"""What a reading leaves behind: the recording, the truth kept apart from it, the reading."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any, Protocol, Self

import numpy as np


class Rows:
    """Base of the results: dataclasses whose arrays have one row a reading."""

    def take(self, rows: Any) -> Self:
        """The same result for some rows (an index array, mask or slice)."""
        copy = object.__new__(type(self))
        for field in fields(self):  # type: ignore[arg-type]
            value = getattr(self, field.name)
            if isinstance(value, (Rows, np.ndarray)):
                value = value.take(rows) if isinstance(value, Rows) else value[rows]
            object.__setattr__(copy, field.name, value)
        return copy


@dataclass(frozen=True, eq=False)
class Pressures(Rows):
    """Systolic, diastolic and mean pressure of n readings [mmHg], each of shape (n,)."""

    sbp: np.ndarray
    dbp: np.ndarray
    map: np.ndarray

    def __sub__(self, other: Pressures) -> Pressures:
        return Pressures(self.sbp - other.sbp, self.dbp - other.dbp, self.map - other.map)


@dataclass(frozen=True, eq=False)
class Recording(Rows):
    """All that an estimator may see: cuff pressure over time.

    sampling_hz: one rate for all n recordings [Hz]
    pressure_mmhg: (n, m) [mmHg]; after the end of a shorter recording NaN
    samples: (n,) how many samples of each row were recorded
    """

    sampling_hz: float
    pressure_mmhg: np.ndarray
    samples: np.ndarray

    @property
    def time_s(self) -> np.ndarray:
        """Time of each sample, shape (m,) [s]."""
        return np.arange(self.pressure_mmhg.shape[1]) / self.sampling_hz

    def __len__(self) -> int:
        return len(self.samples)


@dataclass(frozen=True, eq=False)
class Truth(Rows):
    """The true pressure in the artery at each stage, kept apart from the recording.

    resting: usual pressure at rest at heart level, what a reading is meant to find
    at_measurement: at heart level during the reading, mean over its beats
    at_cuff: the same with the height of the arm
    """

    resting: Pressures
    at_measurement: Pressures
    at_cuff: Pressures


@dataclass(frozen=True, eq=False)
class Oscillogram(Rows):
    """Beats found in n recordings, and the envelope drawn through them; NaN pads the rows.

    time_s: (n, b) time of each beat's foot [s]
    end_s: (n, b) time of the next beat's foot [s]
    peak_s: (n, b) time of each beat's top [s]
    cuff_mmhg: (n, b) mean recorded pressure over the beat, which its amplitude is paired with [mmHg]
    amplitude_mmhg: (n, b) height of the beat's top over the line from foot to foot [mmHg]
    kept: (n, b) whether the beat was used, False where it was rejected as an artefact
    envelope_cuff_mmhg: (n, g) cuff pressures, falling or rising evenly [mmHg]
    envelope_mmhg: (n, g) the smooth curve through the kept amplitudes [mmHg]
    form: (n, b) mean height of the beat over the line from foot to foot, over the height of its top
    """

    time_s: np.ndarray
    end_s: np.ndarray
    peak_s: np.ndarray
    cuff_mmhg: np.ndarray
    amplitude_mmhg: np.ndarray
    kept: np.ndarray
    envelope_cuff_mmhg: np.ndarray
    envelope_mmhg: np.ndarray
    form: np.ndarray | None = None


@dataclass(frozen=True, eq=False)
class Reading(Rows):
    """What the display would show, not rounded; all numbers NaN where there is no reading.

    sbp, dbp, map: (n,) [mmHg];  pulse_rate: (n,) [beats/min]
    reason: (n,) why there is no reading, in plain words; "" where there is one
    oscillogram: the beats and envelope that the numbers were taken from, where the estimator keeps them
    sbp_sd, dbp_sd: (n,) how uncertain the estimator holds its numbers, as standard deviations [mmHg], where it says so
    """

    sbp: np.ndarray
    dbp: np.ndarray
    map: np.ndarray
    pulse_rate: np.ndarray
    reason: np.ndarray
    oscillogram: Oscillogram | None = None
    sbp_sd: np.ndarray | None = None
    dbp_sd: np.ndarray | None = None

    @property
    def ok(self) -> np.ndarray:
        """Whether there is a reading, shape (n,), as `is_reading` says."""
        return is_reading(self.sbp, self.dbp, self.reason)

    @property
    def pressures(self) -> Pressures:
        """Systolic, diastolic and mean [mmHg]."""
        return Pressures(self.sbp, self.dbp, self.map)


class Estimator(Protocol):
    """An algorithm: anything that can be called with a recording and gives a reading; it sees nothing else.

    It reads all n rows of a recording at once, and leaves the recording as it is. Everything that calls one goes
    through `sim.estimate.door.read`.
    """

    def __call__(self, recording: Recording, /) -> Reading:
        """Readings of n recordings, arrays of shape (n,)."""
        ...


def is_reading(sbp: np.ndarray, dbp: np.ndarray, reason: np.ndarray) -> np.ndarray:
    """Whether there is a reading, everywhere in this program: finite pressures, systolic above diastolic, no reason
    against it. All arrays are of shape (n,), pressures in mmHg.

    >>> is_reading(np.array([120.0, 80.0, np.nan]), np.array([80.0, 120.0, 80.0]), np.array(["", "", ""]))
    array([ True, False, False])
    """
    return np.isfinite(sbp) & np.isfinite(dbp) & (sbp > dbp) & (reason == "")


@dataclass(frozen=True, eq=False)
class Result(Rows):
    """n readings: the recording, what an estimator read from it, and the truth."""

    recording: Recording
    reading: Reading
    truth: Truth

    @property
    def bias(self) -> Pressures:
        """Reading less resting pressure [mmHg]; NaN where there is no reading."""
        return self.reading.pressures - self.truth.resting
