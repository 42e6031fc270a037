"""The oscillogram: amplitude of the beats against cuff pressure, and the smooth envelope through it.

Every estimator here takes a builder, any callable from Recording to Oscillogram, so that this step can be exchanged.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from sim.blocks import blocks
from sim.estimate.beats import Beats, find_beats
from sim.estimate.usable import faulty, mended
from sim.fields import FieldError
from sim.results import Oscillogram, Recording

Builder = Callable[[Recording], Oscillogram]

# All chosen here; halves and doubles were tried as in `sim.estimate.beats`, on the same people.

# Steps of the envelope. Half moves the mean at rest by 0.06 mmHg, double by 0.01.
_GRID = 96
# A beat is an artefact where its interval is outside these shares of the median interval ... With fibrillation no
# reading in 82 % for a lower end of 0.9, in 15 % for an upper end of 1.2; 0.225 and 4: no change but for moving arms.
_INTERVAL = (0.45, 2.0)
# ... or its amplitude further from the median of so many neighbours, itself the middle one, than this share of it and
# this much more [mmHg]. Neighbours: 3 read only 40 % of moving arms, and worse; 15 refuse 5 % by steps. Share: double:
# none in 11 % by steps; half, and either of mmHg: within 3 % everywhere.
_NEIGHBOURS = 7
_AMPLITUDE_SHARE, _AMPLITUDE_MMHG = 0.4, 0.2
# The usual interval is told by beats of at least this share of the largest amplitude: the rest may be noise. Half: no
# change at rest; double: none in 4 % by steps and 57 % of moving arms.
_CLEAR_SHARE = 0.3


# What the height of a beat can mean. A triangle has twice the height of its mean, hence the 2 of "area".
AMPLITUDES: dict[str, Callable[[Beats], np.ndarray]] = {
    "height": lambda beats: beats.height_mmhg,
    "area": lambda beats: 2 * beats.mean_height_mmhg,
    "upper": lambda beats: beats.height_mmhg - beats.mean_height_mmhg,
}
PAIRED_WITH: dict[str, Callable[[Beats], np.ndarray]] = {
    "mean": lambda beats: beats.cuff_mmhg,
    "line": lambda beats: beats.line_mmhg,
}


@dataclass(frozen=True)
class OscillogramBuilder:
    """Builds oscillograms; call it with a recording.

    amplitude: of a beat over the line from its foot to the next: "height" of its top (peak to peak), "area" under it
        (as the height of the triangle with that area), or "upper", its top over its own mean (one-sided)
    paired_with: the cuff pressure of an amplitude: "mean" recorded over the beat, or of the "line" under its top. The
        mean is the higher, by the beat's mean height less what the cuff loses from top to mid-beat.
    smoothing_mmhg: width (as of a bell curve) of the local fit that draws the envelope [mmHg] ...
    smoothing_beats: ... or so many beats, where they are far apart

    Raises FieldError, naming the field, the value and what is allowed.

    >>> OscillogramBuilder(smoothing_mmhg=0)
    Traceback (most recent call last):
        ...
    sim.fields.FieldError: smoothing_mmhg = 0: must be from 0.5 to 30 mmHg
    """

    amplitude: str = "height"
    paired_with: str = "mean"
    # Chosen here. Half of either moves the mean at rest by less than 0.1 mmHg; double: systolic by +1.2 and +1.5 mmHg,
    # and the latter refuses 9 % of cuffs that empty by steps.
    smoothing_mmhg: float = 6.0
    smoothing_beats: float = 2.5

    def __post_init__(self) -> None:
        for field, choices in (("amplitude", AMPLITUDES), ("paired_with", PAIRED_WITH)):
            if getattr(self, field) not in choices:
                raise FieldError(field, repr(getattr(self, field)), "one of " + ", ".join(choices))
        for field, low, high, unit in (("smoothing_mmhg", 0.5, 30, "mmHg"), ("smoothing_beats", 0.5, 10, "beats")):
            if not low <= getattr(self, field) <= high:
                raise FieldError(field, f"{getattr(self, field):g}", f"from {low:g} to {high:g} {unit}")

    def __call__(self, recording: Recording) -> Oscillogram:
        """Beats and envelopes of n recordings; arrays of (n, beats) and (n, grid), padded with NaN.

        Short gaps are bridged and clipped ends left out (sim.estimate.usable).
        """
        n, hz = len(recording), recording.sampling_hz
        parts = []
        for rows, length in blocks(np.minimum(recording.samples, recording.pressure_mmhg.shape[1])):
            pressure = recording.pressure_mmhg[rows, :length]
            bad = faulty(pressure, hz)
            if not bad.all():
                parts.append((rows[~bad], self._block(pressure[~bad], hz)))
            for row in np.flatnonzero(bad):
                values, first = mended(pressure[row], hz)
                columns = self._block(values[None], hz)
                parts.append((rows[row : row + 1], (*(times + first / hz for times in columns[:3]), *columns[3:])))
        widths = [max((c[k].shape[1] for _, c in parts), default=_GRID if k in (6, 7) else 0) for k in range(9)]
        whole = [np.full((n, width), np.nan) for width in widths]
        whole[5] = np.zeros((n, widths[5]), dtype=bool)
        for rows, columns in parts:
            for target, values in zip(whole, columns, strict=True):
                target[rows, : values.shape[1]] = values
        return Oscillogram(*whole)

    def _block(self, pressure_mmhg: np.ndarray, sampling_hz: float) -> tuple[np.ndarray, ...]:
        """The fields of an oscillogram, in their order, for a few recordings of one length (n, m)."""
        n, m = pressure_mmhg.shape
        if m < sampling_hz:
            nothing = np.empty((n, 0))
            time_s, end_s, peak_s, cuff, amplitude, form = (nothing,) * 6
        else:
            beats = find_beats(pressure_mmhg, sampling_hz)
            counts = np.bincount(beats.row, minlength=n)
            place = np.arange(len(beats.row)) - np.repeat(np.cumsum(counts) - counts, counts)

            # To a multiple of 16, so that sums over a row run alike whatever the other rows have.
            most = -(-int(counts.max(initial=0)) // 16) * 16

            def padded(values: np.ndarray) -> np.ndarray:
                """One value a beat as (n, beats), filled up with NaN."""
                table = np.full((n, most), np.nan)
                table[beats.row, place] = values
                return table

            time_s, end_s, peak_s = (padded(at / sampling_hz) for at in (beats.foot, beats.end, beats.top))
            cuff, amplitude = padded(PAIRED_WITH[self.paired_with](beats)), padded(AMPLITUDES[self.amplitude](beats))
            form = padded(beats.mean_height_mmhg / np.where(beats.height_mmhg > 0, beats.height_mmhg, np.nan))
        kept = keep(amplitude, end_s - time_s)
        envelope = smooth(cuff, amplitude, kept, self.smoothing_mmhg, self.smoothing_beats)
        return time_s, end_s, peak_s, cuff, amplitude, kept, *envelope, form


USUAL = OscillogramBuilder()


def oscillogram(recording: Recording) -> Oscillogram:
    """The usual oscillogram: heights, paired with the mean pressure of their beats; (n, beats) and (n, grid) [mmHg].

    >>> from sim import Subject, measure
    >>> oscillogram(measure(Subject(), ideal=True, n=2).recording).envelope_mmhg.shape
    (2, 96)
    """
    return USUAL(recording)


def keep(amplitude_mmhg: np.ndarray, interval_s: np.ndarray) -> np.ndarray:
    """Which beats are no artefacts, (n, b).

    amplitude_mmhg: (n, b) [mmHg]; interval_s: (n, b) time to the next beat's foot [s]; NaN pads both

    >>> height = np.array([[1.0, 1.2, 1.4, 9.0, 1.8, 2.0, 2.2]])
    >>> keep(height, np.ones((1, 7))).astype(int)
    array([[1, 1, 1, 0, 1, 1, 1]])
    """
    there = np.isfinite(amplitude_mmhg)
    if not there.any():
        return there
    amplitude = np.where(there, amplitude_mmhg, 0.0)
    clear = there & (amplitude >= _CLEAR_SHARE * amplitude.max(axis=1, keepdims=True))
    usual_s = usual(interval_s, clear)[:, None]
    regular = (interval_s >= _INTERVAL[0] * usual_s) & (interval_s <= _INTERVAL[1] * usual_s)
    # Beyond the last beat its amplitude is repeated, so that its neighbours are real ones.
    last = np.maximum(there.sum(axis=1) - 1, 0)
    filled = np.where(there, amplitude, amplitude[np.arange(len(last)), last][:, None])
    reach = _NEIGHBOURS // 2
    windows = sliding_window_view(np.pad(filled, ((0, 0), (reach, reach)), mode="edge"), _NEIGHBOURS, axis=1)
    around = np.sort(windows, axis=2)[:, :, reach]
    alike = np.abs(amplitude - around) <= _AMPLITUDE_SHARE * around + _AMPLITUDE_MMHG
    return there & regular & alike


def usual(values: np.ndarray, counted: np.ndarray) -> np.ndarray:
    """Median of the counted values of each row, (n,); NaN where a row has none.

    >>> usual(np.array([[1.0, 5.0, 9.0]]), np.array([[True, False, True]]))
    array([5.])
    """
    if not values.shape[1]:
        return np.full(len(values), np.nan)
    ordered = np.sort(np.where(counted, values, np.nan), axis=1)
    count = counted.sum(axis=1)
    rows = np.arange(len(count))
    low, high = np.maximum(count - 1, 0) // 2, count // 2
    return np.where(count > 0, (ordered[rows, low] + ordered[rows, np.minimum(high, values.shape[1] - 1)]) / 2, np.nan)


def smooth(
    cuff_mmhg: np.ndarray,
    amplitude_mmhg: np.ndarray,
    kept: np.ndarray,
    width_mmhg: float = 6.0,
    width_beats: float = 2.5,
) -> tuple[np.ndarray, np.ndarray]:
    """Cuff pressures (n, grid), falling evenly over the kept beats, and the envelope there [mmHg].

    cuff_mmhg, amplitude_mmhg, kept: (n, b) of the beats; width_mmhg, width_beats: of the bell curve, the wider counts

    At each place a parabola is fitted to the beats around it, weighted by a bell curve of their distance (local
    regression: Cleveland WS. J Am Stat Assoc 1979;74:829-836, DOI 10.1080/01621459.1979.10481038; from memory): unlike
    a running mean it does not flatten the top. NaN where fewer than three beats were kept.

    >>> cuff = np.linspace(140, 60, 41)[None]
    >>> grid, envelope = smooth(cuff, 3 - ((cuff - 95) / 30) ** 2, np.ones((1, 41), dtype=bool))
    >>> round(float(envelope.max()), 2), round(float(grid[0, envelope.argmax()]))
    (3.0, 95)
    """
    n, most = cuff_mmhg.shape
    count = kept.sum(axis=1)
    if most == 0:
        return np.full((n, _GRID), np.nan), np.full((n, _GRID), np.nan)
    x = np.where(kept, cuff_mmhg, np.nan)
    low = np.min(np.where(kept, cuff_mmhg, np.inf), axis=1)
    high = np.max(np.where(kept, cuff_mmhg, -np.inf), axis=1)
    known = (count >= 3) & (high > low)
    low, high = np.where(known, low, 0.0), np.where(known, high, 1.0)
    width = np.maximum(width_mmhg, width_beats * (high - low) / np.maximum(count - 1, 1))
    grid = high[:, None] + (low - high)[:, None] * np.linspace(0, 1, _GRID)

    # Single precision for the many small products, double for the few sums.
    counted = kept.astype(np.float32)[:, None, :]
    apart = np.where(kept, x, 0.0)[:, None, :] - grid[:, :, None]
    apart /= width[:, None, None]
    away = apart.astype(np.float32)
    np.clip(away, -6, 6, out=away)
    y = np.where(kept, amplitude_mmhg, 0.0).astype(np.float32)[:, :, None]
    weight = np.exp(-0.5 * away * away) * counted
    ones = np.ones((n, most, 1), dtype=np.float32)
    s, t = [], []
    for power in range(5):
        s.append((weight @ ones)[..., 0].astype(float))
        if power < 3:
            t.append((weight @ y)[..., 0].astype(float))
        if power < 4:
            weight *= away
    # A trace of ridge holds the parabola where one beat alone is near.
    s0, s1, s2, s3, s4 = s[0] + 1e-6, s[1], s[2] + 1e-4, s[3], s[4] + 1e-3
    c0, c1, c2 = s2 * s4 - s3 * s3, s2 * s3 - s1 * s4, s1 * s3 - s2 * s2
    determinant = s0 * c0 + s1 * c1 + s2 * c2
    envelope = (c0 * t[0] + c1 * t[1] + c2 * t[2]) / determinant
    return np.where(known[:, None], grid, np.nan), np.where(known[:, None], envelope, np.nan)
