"""Marks of beats, kept or not, and places on the envelope through them."""

from __future__ import annotations

import numpy as np

from sim.figures.colours import QUIET, TEXT
from sim.results import Oscillogram
from sim.screens.charts.common import Spec, point, rows

IN_TIME: dict[bool, Spec] = {
    True: point("circle", 34, "#FFFFFF", stroke=TEXT, strokeWidth=1.4),
    False: point("cross", 70, QUIET, angle=45),
}
ON_CURVE: dict[bool, Spec] = {
    True: point("circle", 36, QUIET, filled=False),
    False: point("cross", 80, QUIET, angle=45),
}


def on_curve(found: Oscillogram, *pressures_mmhg: float) -> Spec:
    """Pressures with the height of the envelope there, as a chart's data."""
    grid, curve = found.envelope_cuff_mmhg[0], found.envelope_mmhg[0]
    there = np.isfinite(grid) & np.isfinite(curve)
    order = np.argsort(grid[there])
    pressures = np.array(pressures_mmhg)
    return rows(2, x=pressures, y=np.interp(pressures, grid[there][order], curve[there][order]))
