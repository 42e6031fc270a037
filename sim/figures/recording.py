"""The recording: cuff pressure over time, and the oscillations that ride on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from sim.figures.axes import instead, plain, point
from sim.figures.colours import DISPLAY, QUIET, RESTING, TEXT

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from sim.results import Result


def draw_recording(axes: Axes, result: Result, row: int = 0) -> None:
    """Draw the cuff pressure of one reading, with the pressures that were true at rest and those displayed.

    The markers sit where the cuff passes these pressures.
    """
    time_s, pressure_mmhg = recorded(result, row)
    plain(axes, "The recording", "time, s", "cuff pressure, mmHg")
    axes.plot(time_s, pressure_mmhg, color=TEXT, linewidth=0.9)
    axes.margins(x=0.01)
    for name in ("sbp", "dbp"):
        for look, values, above in (
            (RESTING, result.truth.resting, False),
            (DISPLAY, result.reading.pressures, True),
        ):
            mmhg = float(getattr(values, name)[row])
            point(axes, _passed_s(time_s, pressure_mmhg, mmhg), mmhg, look, mmhg, above, not falls(pressure_mmhg))


def draw_oscillations(axes: Axes, result: Result, row: int = 0) -> None:
    """Draw what is left of the cuff pressure above the line from foot to foot of its beats."""
    time_s, pressure_mmhg = recorded(result, row)
    plain(axes, "Oscillations: each beat above its foot", "time, s", "mmHg")
    oscillogram = result.reading.oscillogram
    feet_s = np.array([]) if oscillogram is None else oscillogram.time_s[row]
    feet_s = feet_s[np.isfinite(feet_s)]
    if oscillogram is None or len(feet_s) < 2:
        instead(axes, "no beats found")
        return
    fall_mmhg = np.interp(time_s, feet_s, np.interp(feet_s, time_s, pressure_mmhg), left=np.nan, right=np.nan)
    axes.plot(time_s, pressure_mmhg - fall_mmhg, color=TEXT, linewidth=0.7)
    _mark_rejected(axes, oscillogram.peak_s[row], oscillogram.amplitude_mmhg[row], oscillogram.kept[row])
    axes.margins(x=0.01)


def _mark_rejected(axes: Axes, peak_s: np.ndarray, amplitude_mmhg: np.ndarray, kept: np.ndarray) -> None:
    rejected = ~kept.astype(bool) & np.isfinite(peak_s)
    if rejected.any():
        axes.plot(
            peak_s[rejected],
            amplitude_mmhg[rejected],
            "x",
            color=QUIET,
            markersize=6,
            label="beat left out as disturbed",
        )
        axes.legend(frameon=False, fontsize=8, loc="upper right")


def recorded(result: Result, row: int) -> tuple[np.ndarray, np.ndarray]:
    """Time [s] and cuff pressure [mmHg] of one reading, without its padding."""
    samples = int(result.recording.samples[row])
    return result.recording.time_s[:samples], result.recording.pressure_mmhg[row, :samples]


def falls(pressure_mmhg: np.ndarray) -> bool:
    """Whether the cuff emptied while it was read."""
    return bool(pressure_mmhg[0] > pressure_mmhg[-1])


def _passed_s(time_s: np.ndarray, pressure_mmhg: np.ndarray, mmhg: float) -> float:
    """When the pressure first passes a value, falling or rising; NaN where it never does."""
    passed = np.flatnonzero(pressure_mmhg <= mmhg if falls(pressure_mmhg) else pressure_mmhg >= mmhg)
    return float(time_s[passed[0]]) if passed.size and passed[0] > 0 else float("nan")
