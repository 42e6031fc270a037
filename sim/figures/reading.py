"""One reading in one figure: the recording beside its envelope, with truth and display on both."""

from __future__ import annotations

from typing import TYPE_CHECKING

from matplotlib.figure import Figure

from sim.figures.envelope import draw_envelope
from sim.figures.numbers import pair
from sim.figures.recording import draw_recording

if TYPE_CHECKING:
    from sim.results import Result

SIZE_INCH = (11.0, 4.2)


def reading_figure(result: Result, row: int = 0) -> Figure:
    """The recording and the envelope of one reading, as a Figure without pyplot's global state.

    Raises IndexError where there is no such row.
    """
    resting, said = result.truth.resting, result.reading.pressures
    figure = Figure(figsize=SIZE_INCH, layout="constrained")
    display = pair(said.sbp[row], said.dbp[row]) if result.reading.ok[row] else str(result.reading.reason[row])
    figure.suptitle(
        f"Simulated. Resting pressure {pair(resting.sbp[row], resting.dbp[row])}, display {display} mmHg", fontsize=11
    )
    left, right = figure.subplots(1, 2)
    draw_recording(left, result, row)
    draw_envelope(right, result, row)
    return figure
