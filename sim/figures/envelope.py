"""The envelope: how large each beat was at each cuff pressure, and where the numbers were taken."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from sim.figures.axes import instead, plain, point
from sim.figures.colours import DISPLAY, QUIET, RESTING, TEXT
from sim.figures.recording import falls, recorded

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from sim.results import Oscillogram, Result


def draw_envelope(axes: Axes, result: Result, row: int = 0) -> None:
    """Draw the beats of one reading and the curve through them, with the true and the displayed pressures on it.

    Left to right is the order in time: the axis falls where the cuff emptied.
    """
    falling = falls(recorded(result, row)[1])
    label = f"cuff pressure, mmHg ({'falling' if falling else 'rising'})"
    plain(axes, "The envelope: how large each beat was", label, "beat's height, mmHg")
    oscillogram = result.reading.oscillogram
    if oscillogram is None or not np.isfinite(oscillogram.amplitude_mmhg[row]).any():
        instead(axes, "no beats found")
        return
    _draw_beats(axes, oscillogram, row)
    cuff, curve = _curve(oscillogram, row)
    axes.plot(cuff, curve, color=TEXT, linewidth=1.4)
    peak = cuff[np.argmax(curve)] if curve.size else np.nan
    for name in ("sbp", "dbp"):
        for look, values, above in ((RESTING, result.truth.resting, False), (DISPLAY, result.reading.pressures, True)):
            mmhg = float(getattr(values, name)[row])
            left_of_peak = (mmhg > peak) == falling
            point(axes, mmhg, _height(cuff, curve, mmhg), look, mmhg, above, left_of_peak)
    axes.set_ylim(bottom=0)
    if falling:
        axes.invert_xaxis()


def _draw_beats(axes: Axes, oscillogram: Oscillogram, row: int) -> None:
    cuff, height = oscillogram.cuff_mmhg[row], oscillogram.amplitude_mmhg[row]
    kept = oscillogram.kept[row].astype(bool)
    left_out = ~kept & (height > 0)
    axes.plot(cuff[kept], height[kept], ".", color=QUIET, markersize=6)
    if left_out.any():
        axes.plot(cuff[left_out], height[left_out], "x", color=QUIET, markersize=6)


def _curve(oscillogram: Oscillogram, row: int) -> tuple[np.ndarray, np.ndarray]:
    """The envelope in order of rising cuff pressure, without its padding."""
    cuff, curve = oscillogram.envelope_cuff_mmhg[row], oscillogram.envelope_mmhg[row]
    there = np.isfinite(cuff) & np.isfinite(curve)
    order = np.argsort(cuff[there])
    return cuff[there][order], curve[there][order]


def _height(cuff_mmhg: np.ndarray, curve_mmhg: np.ndarray, mmhg: float) -> float:
    if not cuff_mmhg.size:
        return float("nan")
    return float(np.interp(mmhg, cuff_mmhg, curve_mmhg, left=np.nan, right=np.nan))
