"""What a reading leaves behind: the recording, the truth kept apart from it, the reading."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any, Protocol, Self

import numpy as np

from sim import shown

if TYPE_CHECKING:
    from matplotlib.figure import Figure


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

    def columns(self) -> dict[str, np.ndarray]:
        """What a table of these results holds, one value a row: every array of shape (n,), by its name."""
        found: dict[str, np.ndarray] = {}
        for field in fields(self):  # type: ignore[arg-type]
            value = getattr(self, field.name)
            if isinstance(value, Rows):
                found |= {f"{field.name}.{name}": column for name, column in value.columns().items()}
            elif isinstance(value, np.ndarray) and value.ndim == 1:
                found[field.name] = value
        return found

    def __repr__(self) -> str:
        return shown.text(type(self).__name__, self.columns())

    def _repr_html_(self) -> str:
        return shown.html(type(self).__name__, self.columns())

    def to_frame(self) -> Any:
        """A pandas.DataFrame with one row for each reading, columns as `columns()` names them.

        Raises ImportError where pandas is not installed.
        """
        return shown.frame(self.columns())


@dataclass(frozen=True, eq=False, repr=False)
class Pressures(Rows):
    """Systolic, diastolic and mean pressure of n readings [mmHg], each of shape (n,)."""

    sbp: np.ndarray
    dbp: np.ndarray
    map: np.ndarray

    def __sub__(self, other: Pressures) -> Pressures:
        return Pressures(self.sbp - other.sbp, self.dbp - other.dbp, self.map - other.map)


@dataclass(frozen=True, eq=False, repr=False)
class Recording(Rows):
    """All that an estimator may see: cuff pressure over time.

    sampling_hz: one rate for all n recordings [Hz]
    pressure_mmhg: (n, m) [mmHg]; after the end of a shorter recording NaN
    samples: (n,) how many samples of each row were recorded
    """

    sampling_hz: float
    pressure_mmhg: np.ndarray
    samples: np.ndarray

    def columns(self) -> dict[str, np.ndarray]:
        """Length, and the highest and lowest pressure recorded."""
        return {
            "samples": self.samples,
            "seconds": self.samples / self.sampling_hz,
            "highest_mmhg": np.nanmax(self.pressure_mmhg, axis=1),
            "lowest_mmhg": np.nanmin(self.pressure_mmhg, axis=1),
        }

    def recorded(self, row: int = 0) -> np.ndarray:
        """The samples of one row, without what pads them, (samples,) [mmHg]."""
        return self.pressure_mmhg[row, : int(self.samples[row])]

    def seconds(self, row: int = 0) -> float:
        """How long one row was recorded [s]."""
        return float(self.samples[row] / self.sampling_hz)

    @property
    def time_s(self) -> np.ndarray:
        """Time of each sample, shape (m,) [s]."""
        return np.arange(self.pressure_mmhg.shape[1]) / self.sampling_hz

    def __len__(self) -> int:
        return len(self.samples)


@dataclass(frozen=True, eq=False, repr=False)
class Truth(Rows):
    """The true pressure in the artery at each stage, and the heart's true rate, kept apart from the recording.

    resting: resting pressure at rest at heart level, what a reading is meant to find
    at_measurement: at heart level during the reading, mean over its beats
    at_cuff: the same with the height of the arm
    pulse_rate: (n,) mean rate of the heart during the reading [beats/min]
    """

    resting: Pressures
    at_measurement: Pressures
    at_cuff: Pressures
    pulse_rate: np.ndarray


@dataclass(frozen=True, eq=False, repr=False)
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

    def columns(self) -> dict[str, np.ndarray]:
        """How many beats were found and how many were kept, and the largest of these [mmHg]."""
        kept = np.where(self.kept.astype(bool), self.amplitude_mmhg, 0.0)
        return {
            "beats": np.isfinite(self.time_s).sum(axis=1),
            "kept": self.kept.astype(bool).sum(axis=1),
            "largest_mmhg": kept.max(axis=1, initial=0.0),
        }


@dataclass(frozen=True, eq=False, repr=False)
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

    def columns(self) -> dict[str, np.ndarray]:
        """The numbers of each reading, or why there are none."""
        optional = {"sbp_sd": self.sbp_sd, "dbp_sd": self.dbp_sd}
        numbers = {"sbp": self.sbp, "dbp": self.dbp, "map": self.map, "pulse_rate": self.pulse_rate}
        return numbers | {k: v for k, v in optional.items() if v is not None} | {"reason": self.reason}

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


@dataclass(frozen=True, eq=False, repr=False)
class Result(Rows):
    """n readings: the recording, what an estimator read from it, and the truth."""

    recording: Recording
    reading: Reading
    truth: Truth

    def columns(self) -> dict[str, np.ndarray]:
        """Display, resting pressure and the difference of the two; why there is no reading."""
        said, resting, bias = self.reading.pressures, self.truth.resting, self.bias
        pairs = {"display": said, "resting": resting, "bias": bias}
        numbers = {f"{what}.{name}": getattr(p, name) for what, p in pairs.items() for name in ("sbp", "dbp")}
        return numbers | {"reason": self.reading.reason}

    def plot(self, row: int = 0) -> Figure:
        """The recording of one reading and its envelope, with truth and display, as a matplotlib Figure.

        Raises IndexError where there is no such row.
        """
        from sim.figures.reading import reading_figure  # here, so that results do not wait for matplotlib

        return reading_figure(self, row)

    @property
    def bias(self) -> Pressures:
        """Reading minus resting pressure [mmHg]; NaN where there is no reading."""
        return self.reading.pressures - self.truth.resting

    def mean(self) -> Result:
        """The mean of the readings that have numbers, and of the truth about them, as one row without a recording.

        Where none has numbers, the first says why.
        """
        ok = self.reading.ok
        rows = np.flatnonzero(ok) if ok.any() else np.array([0])

        def of(record: Any) -> Any:
            return type(record)(**{name: value[rows].mean(keepdims=True) for name, value in vars(record).items()})

        reading = self.reading
        numbers = {
            name: getattr(reading, name)[rows].mean(keepdims=True) for name in ("sbp", "dbp", "map", "pulse_rate")
        }
        true_rate = self.truth.pulse_rate[rows].mean(keepdims=True)
        truth = Truth(of(self.truth.resting), of(self.truth.at_measurement), of(self.truth.at_cuff), true_rate)
        return Result(self.recording.take(rows[:0]), Reading(**numbers, reason=reading.reason[rows[:1]]), truth)
