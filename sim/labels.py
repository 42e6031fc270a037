"""What only a simulation knows of a recording, to train on: beats, envelope without noise, which samples are movement.

The same plan is recorded once more by a sensor without noise and steps, on an arm that keeps still: the same beats, the
same course of the cuff. Beats begin when the heart's own do (the pulse takes no time to the cuff here); their height is
what that recording rises above the line from foot to foot, over the course that the valve drives. The envelope comes
from a third recording, in which every beat is like the others: it has the mean pressures and the mean rate of the
reading, so it is the curve that belongs to the truth `at_measurement`.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy.ndimage import maximum_filter1d, minimum_filter1d

from sim.blocks import blocks
from sim.body.pulse import Beats
from sim.body.rhythm import early_beats
from sim.chance import Chance
from sim.cuff.movement import movement
from sim.cuff.sensor import sensed
from sim.record import Sweep, planned
from sim.results import Recording, Rows, Truth
from sim.setup import Setup

# From here on what shakes the cuff counts as movement [mmHg]. Chosen: two standard deviations of the usual sensor's
# noise (0.07 mmHg); less cannot be told from noise in one sample. Of recordings with jolts of 2 mmHg 23 % are movement
# then, with a half 27 %, with a double 18 %; of those with an arm to and fro all of it, whichever is taken.
MOVEMENT_FROM_MMHG = 0.15
# A swing passes through zero: samples between two that count, so little apart, count too [s]. Chosen shorter than half
# a swing of the slowest movement there is (0.5 Hz). Without it a tremor of 1 mmHg has a gap in every swing, with it
# four gaps in a recording.
MOVEMENT_JOINED_S = 0.2
# Points of an envelope. Chosen: they lie 2 to 4 mmHg apart, as beats do.
ENVELOPE_POINTS = 64


@dataclass(frozen=True, eq=False, repr=False)
class Labels(Rows):
    """What is true of n recordings. Rows of beats are padded with NaN, and with False where they say yes or no.

    beat_time_s: (n, b) time of the foot of each beat that lies within the recording as a whole [s]
    beat_foot_mmhg: (n, b) what the cuff shows at that time, without noise [mmHg]
    beat_peak_s: (n, b) time of the sample in which the beat is highest [s]
    beat_amplitude_mmhg: (n, b) its height there over the line from foot to foot, without noise [mmHg]
    beat_cuff_mmhg: (n, b) mean pressure in the cuff over the beat, without noise [mmHg]
    beat_early: (n, b) whether the beat came early, where the rhythm has such beats
    envelope_cuff_mmhg: (n, g) cuff pressures, falling evenly [mmHg]
    envelope_mmhg: (n, g) height that every beat would have there, were all alike [mmHg]
    movement: (n, m) whether a sample is movement: MOVEMENT_FROM_MMHG or more, or a short gap between such samples
    """

    beat_time_s: np.ndarray
    beat_foot_mmhg: np.ndarray
    beat_peak_s: np.ndarray
    beat_amplitude_mmhg: np.ndarray
    beat_cuff_mmhg: np.ndarray
    beat_early: np.ndarray
    envelope_cuff_mmhg: np.ndarray
    envelope_mmhg: np.ndarray
    movement: np.ndarray

    @property
    def beats(self) -> np.ndarray:
        """How many beats each recording has, (n,)."""
        return np.isfinite(self.beat_time_s).sum(axis=1)

    def columns(self) -> dict[str, np.ndarray]:
        """How many beats, and how many early ones; the top of the envelope [mmHg]; how many samples are movement."""
        return {
            "beats": self.beats,
            "early": self.beat_early.sum(axis=1),
            "largest_mmhg": self.envelope_mmhg.max(axis=1, initial=0.0),
            "movement": self.movement.sum(axis=1),
        }


def labelled(setup: Setup, rng: np.random.Generator | None) -> tuple[Recording, Truth, Labels]:
    """n recordings [mmHg] and their truth as `sim.record.record` makes them, and their labels.

    Raises FieldError as `record`.

    >>> recording, truth, labels = labelled(Setup.of(heart_rate=60.0).spread(1), np.random.default_rng(1))
    >>> bool(abs(labels.beats[0] - recording.seconds() * truth.pulse_rate[0] / 60) < 2)
    True
    """
    sweep, chance = planned(setup, rng)
    return *sweep.record(chance), labels_of(sweep, chance)


def labels_of(sweep: Sweep, chance: Chance) -> Labels:
    """The labels of the n recordings that this plan makes of these draws."""
    plan = still(sweep, chance)
    start_s, early = plan.beats(chance).start_s, early_beats(plan.setup.subject, chance)
    samples = plan.recorded(start_s)
    whole = _whole(samples / plan.sampling_hz, start_s, plan.sampling_hz)
    time_s, foot, peak_s, amplitude, cuff = _padded(_read_off(plan, chance))
    came_early = np.zeros(time_s.shape, dtype=bool)
    came_early[np.isfinite(time_s)] = early[whole]
    return Labels(
        time_s, foot, peak_s, amplitude, cuff, came_early, *_envelope(plan, chance), _moving(sweep, chance, samples)
    )


def still(sweep: Sweep, chance: Chance) -> Sweep:
    """The same n deflations with a sensor without noise and steps, on arms that keep still: with the same draws, the
    same beats and the same course of the cuff [mmHg]."""
    changes = {"noise_mmhg": 0.0, "resolution_mmhg": 0.0, "converter_bits": 0.0, "movement_mmhg": 0.0}
    return Sweep(sweep.setup.replace(**changes).spread(len(sweep.samples)), chance.fill)


def is_movement(movement_mmhg: np.ndarray, sampling_hz: float) -> np.ndarray:
    """Which samples of what shakes n cuffs, (n, m) [mmHg], count as movement.

    >>> is_movement(np.array([[0.0, 0.2, 0.0, -0.2, 0.0]]), sampling_hz=100.0)
    array([[False,  True,  True,  True, False]])
    """
    half = round(MOVEMENT_JOINED_S * sampling_hz / 2)
    size_mmhg = np.pad(np.abs(movement_mmhg), ((0, 0), (2 * half, 2 * half)))
    # The highest of the surroundings, and of that the lowest: fills gaps of at most 2 * half samples.
    around = minimum_filter1d(maximum_filter1d(size_mmhg, 2 * half + 1, axis=1), 2 * half + 1, axis=1)
    counts: np.ndarray = around[:, 2 * half : size_mmhg.shape[1] - 2 * half] >= MOVEMENT_FROM_MMHG
    return counts


def _moving(sweep: Sweep, chance: Chance, samples: np.ndarray) -> np.ndarray:
    """Which samples (n, m) of recordings of so many samples, (n,), are movement."""
    found = np.zeros((len(samples), samples.max()), dtype=bool)
    technique, sampling_hz = sweep.setup.technique, sweep.sampling_hz
    for rows, length in blocks(samples):
        if (technique.movement_mmhg[rows] > 0).any():
            shaken = movement(technique.take(rows), chance.take(rows, length), length, sampling_hz)
            found[rows, :length] = is_movement(shaken, sampling_hz)
    return found


class _Alike(Sweep):
    """A plan in which all beats of a reading are alike, with its mean pressures and its mean rate."""

    seconds: np.ndarray  # how long the reading was, (n,)

    def beats(self, chance: Chance) -> Beats:
        own, seconds = super().beats(chance), self.seconds
        mean, size = own.mean_pressures(seconds), own.start_s.shape
        start_s = np.arange(size[1]) * (60 / own.mean_rate(seconds))[:, None]
        foot = np.broadcast_to(mean.dbp[:, None], size)
        pulse = np.broadcast_to((mean.sbp - mean.dbp)[:, None], own.pulse_mmhg.shape)
        return Beats(start_s, foot, pulse, own.mixture, own.form_factor)


def _envelope(plan: Sweep, chance: Chance) -> tuple[np.ndarray, np.ndarray]:
    """Cuff pressures (n, g), and the height of a beat there (n, g) [mmHg]."""
    how = plan.setup.instrument.course
    # Neither steps nor a valve that follows the heart: with them no beat is like the one before.
    rate = plan.setup.instrument.LIMITS["deflation_mmhg_per_s"].within(plan.rate_mmhg_per_s)
    steady = {"deflation_mmhg_per_s": rate, "deflation_mmhg_per_beat": 0.0}
    setup = plan.setup.replace(course=np.where(how == "steps", "deflating", how), **steady)
    alike = _Alike(setup.spread(len(how)), chance.fill)
    alike.seconds = plan.recorded(plan.beats(chance).start_s) / plan.sampling_hz
    by_cuff = [row[:, np.argsort(row[4])] for row in _read_off(alike, chance)]
    at = np.array([np.linspace(row[4, -1], row[4, 0], ENVELOPE_POINTS) for row in by_cuff])
    return at, np.array([np.interp(points, row[4], row[3]) for points, row in zip(at, by_cuff, strict=True)])


def _read_off(plan: Sweep, chance: Chance) -> list[np.ndarray]:
    """For each recording of a plan without noise (5, b): time, foot, time of the top, height, mean pressure."""
    recording, start_s = plan.record(chance)[0], plan.beats(chance).start_s
    whole = _whole(recording.samples / plan.sampling_hz, start_s, plan.sampling_hz)
    found = [np.empty((5, 0))] * len(recording)
    for rows, length in blocks(recording.samples):
        part = plan.take(rows)
        driven = sensed(part.driven(start_s[rows], length), part.setup.instrument, np.zeros((len(rows), 1)))
        for row, valve in zip(rows, driven, strict=True):
            feet = np.append(whole[row], False) | np.append(False, whole[row])
            if feet.any():
                found[row] = _one(recording.recorded(row), valve, start_s[row, feet], plan.sampling_hz)
    return found


def _whole(seconds: np.ndarray, start_s: np.ndarray, sampling_hz: float) -> np.ndarray:
    """Which beats (n, k) begin and end within recordings so long, (n,); start_s: (n, k + 1)."""
    whole: np.ndarray = (start_s[:, :-1] >= 0) & (start_s[:, 1:] <= (seconds - 1 / sampling_hz)[:, None])
    return whole


def _one(pressure: np.ndarray, driven: np.ndarray, feet_s: np.ndarray, sampling_hz: float) -> np.ndarray:
    """One recording (m,) on its driven course (m,) [mmHg], read at the feet of its beats (b + 1,) [s]: (5, b)."""
    time_s = np.arange(len(pressure)) / sampling_hz
    above = pressure - driven
    above -= np.interp(time_s, feet_s, np.interp(feet_s, time_s, above))
    edges = list(pairwise(np.ceil(feet_s * sampling_hz).astype(int)))
    tops = [first + int(above[first:last].argmax()) for first, last in edges]
    mean = [pressure[first:last].mean() for first, last in edges]
    foot = np.interp(feet_s[:-1], time_s, pressure)
    return np.array([feet_s[:-1], foot, time_s[tops], above[tops], mean])


def _padded(rows: list[np.ndarray]) -> np.ndarray:
    """Rows of (5, b), as many beats as each has, as (5, n, longest)."""
    most = max(row.shape[1] for row in rows)
    return np.stack([np.pad(row, ((0, 0), (0, most - row.shape[1])), constant_values=np.nan) for row in rows], axis=1)
