"""One reading as plain numbers that the browser draws from."""

from __future__ import annotations

from typing import Any

import numpy as np

from sim.explain.playback import Playback
from sim.figures.numbers import pair, whole
from sim.results import Oscillogram, Recording, Result
from sim.screens.watch.moments import moments

# Samples handed over per second: enough for the shape of a pulse on a screen.
_HZ = 50.0
# Where no beats were found, pulses are shown over the mean of the recording around them, taken over this time [s].
_AROUND_S = 1.0


def track(played: Playback, estimator: str = "fixed-ratio") -> dict[str, Any]:
    """Everything about one reading that is drawn; pressures in hundredths of mmHg, shares in per mille.

    estimator: name of the one that the reading is from
    """
    result = played.result
    every = max(1, round(result.recording.sampling_hz / _HZ))
    shown = result.recording.recorded()
    truth = result.truth.at_cuff
    return {
        "seconds": result.recording.seconds(),
        "step": every / result.recording.sampling_hz,
        "cuff": _whole(100 * shown[::every]),
        "pulses": _whole(100 * pulses(result.recording, result.reading.oscillogram)[::every]),
        "artery": _whole(100 * played.artery_mmhg[::every]),
        "outside": _whole(100 * played.outside_mmhg[::every]),
        "opening": _whole(1000 * played.opening[::every]),
        "truth": [round(float(truth.sbp[0]), 1), round(float(truth.dbp[0]), 1)],
        "truthWords": [whole(truth.sbp[0]), whole(truth.dbp[0])],
        "moments": [{"time": round(m.time_s, 2), "words": m.words} for m in moments(played, estimator)],
        **_beats(result.reading.oscillogram),
        **_reading(result),
    }


def pulses(recording: Recording, oscillogram: Oscillogram | None) -> np.ndarray:
    """The recording over the line from foot to foot of its beats, (m,) [mmHg]."""
    shown = recording.recorded()
    count = len(shown)
    level = shown - np.linspace(shown[0], shown[-1], count)
    feet = np.empty(0, dtype=int)
    if oscillogram is not None:
        feet_s = np.concatenate([oscillogram.time_s[0], oscillogram.end_s[0]])
        feet = np.unique(np.round(feet_s[np.isfinite(feet_s)] * recording.sampling_hz).astype(int))
        feet = feet[feet < count]
    if len(feet) < 2:
        width = max(1, round(_AROUND_S * recording.sampling_hz))
        padded = np.pad(level, (width // 2, width - 1 - width // 2), mode="edge")
        return level - np.convolve(padded, np.full(width, 1 / width), mode="valid")
    return level - np.interp(np.arange(count), feet, level[feet])


def _beats(oscillogram: Oscillogram | None) -> dict[str, Any]:
    """The beats as [time of their end, cuff pressure, height, kept], and the curve as [cuff pressure, height]."""
    if oscillogram is None:
        return {"beats": [], "curve": []}
    there = np.isfinite(oscillogram.amplitude_mmhg[0])
    columns = (oscillogram.end_s, oscillogram.cuff_mmhg, oscillogram.amplitude_mmhg)
    rows = np.stack([column[0][there] for column in columns], axis=1).round(2).tolist()
    kept = oscillogram.kept[0][there].tolist()
    grid, curve = oscillogram.envelope_cuff_mmhg[0], oscillogram.envelope_mmhg[0]
    known = np.isfinite(grid) & np.isfinite(curve)
    return {
        "beats": [[*row, int(k)] for row, k in zip(rows, kept, strict=True)],
        "curve": np.stack([grid[known], curve[known]], axis=1).round(2).tolist(),
    }


def _reading(result: Result) -> dict[str, Any]:
    """The display: its words, and the points that it was taken at as [pressure, height on the curve]."""
    reading, oscillogram = result.reading, result.reading.oscillogram
    if not reading.ok[0]:
        return {"display": "", "points": [], "pointWords": []}
    points: list[list[float]] = []
    if oscillogram is not None:
        grid, curve = oscillogram.envelope_cuff_mmhg[0], oscillogram.envelope_mmhg[0]
        order = np.argsort(grid)
        taken = np.array([reading.sbp[0], reading.map[0], reading.dbp[0]])
        points = np.stack([taken, np.interp(taken, grid[order], curve[order])], axis=1).round(2).tolist()
    words = [whole(value) for value in (reading.sbp[0], reading.map[0], reading.dbp[0])]
    return {"display": pair(reading.sbp[0], reading.dbp[0]), "points": points, "pointWords": words}


def _whole(values: np.ndarray) -> list[int]:
    return np.round(values).astype(int).tolist()
