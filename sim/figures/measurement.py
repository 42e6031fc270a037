"""One page for readings of one person: recording, oscillations, envelope, and why the display differs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Patch

from sim import PARAMETERS_VERSION, __version__
from sim.figures.breakdown import draw_breakdown
from sim.figures.colours import DISPLAY, KINDS, QUIET, TEXT, TRUTH
from sim.figures.envelope import draw_envelope
from sim.figures.numbers import SIMULATED, pair, signed
from sim.figures.recording import draw_oscillations, draw_recording

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from sim.explain.breakdown import Breakdown

SIZE_INCH = (11.0, 11.5)
HEIGHTS = (0.55, 3.2, 1.5, 3.2, 0.35)  # header, recording and envelope, oscillations, steps, legend


def measurement_figure(breakdown: Breakdown) -> Figure:
    """The figure of a breakdown's readings; where there are several, the first with numbers is the one drawn.

    The breakdown is that of their mean.
    """
    result, row = breakdown.result, drawn_row(breakdown)
    figure = Figure(figsize=SIZE_INCH, layout="constrained")
    grid = figure.add_gridspec(5, 2, height_ratios=HEIGHTS)
    _draw_numbers(figure.add_subplot(grid[0, :]), breakdown, row)
    draw_recording(figure.add_subplot(grid[1, 0]), result, row)
    draw_envelope(figure.add_subplot(grid[1, 1]), result, row)
    draw_oscillations(figure.add_subplot(grid[2, :]), result, row)
    systolic, diastolic = figure.add_subplot(grid[3, 0]), figure.add_subplot(grid[3, 1])
    draw_breakdown(systolic, breakdown, "sbp")
    draw_breakdown(diastolic, breakdown, "dbp")
    if not breakdown.reason:
        diastolic.tick_params(labelleft=False)
        _same_scale(systolic, diastolic)
    _draw_kinds(figure.add_subplot(grid[4, :]), breakdown)
    return figure


def drawn_row(breakdown: Breakdown) -> int:
    """Which reading the figure draws: the first with numbers, or else the first."""
    return int(np.argmax(breakdown.result.reading.ok))


def caption(breakdown: Breakdown) -> str:
    """What the figure shows, in sentences with its numbers, for those who read rather than look."""
    result, row = breakdown.result, drawn_row(breakdown)
    resting, reading = result.truth.resting, result.reading
    truth = f"The resting pressure is {pair(resting.sbp[row], resting.dbp[row])} mmHg"
    if not reading.ok[row]:
        return f"{truth}; the display shows no numbers: {reading.reason[row]}."
    shown = f"{truth}; {_which(breakdown, row)} shows {pair(reading.sbp[row], reading.dbp[row])}."
    if breakdown.reason:
        return f"{shown} There is no breakdown: {breakdown.reason}."
    parts = "; ".join(
        f"{c.cause} {signed(float(c.sbp[0]))}/{signed(float(c.dbp[0]))}" for c in breakdown.mean().contributions
    )
    return f"{shown} Steps from the resting pressure to the display, systolic/diastolic in mmHg: {parts}."


def _which(breakdown: Breakdown, row: int) -> str:
    n = len(breakdown.result.recording)
    return "the display" if n == 1 else f"reading {row + 1} of {n}"


def _draw_numbers(axes: Axes, breakdown: Breakdown, row: int) -> None:
    """The two numbers that matter, large, at the top."""
    resting, reading = breakdown.result.truth.resting, breakdown.result.reading
    ok, n = bool(reading.ok[row]), len(breakdown.result.recording)
    shown = pair(reading.sbp[row], reading.dbp[row]) if ok else "no numbers"
    words = "systolic/diastolic in mmHg" if ok else str(reading.reason[row])
    if n > 1:
        words += f"; this is {_which(breakdown, row)}, and the steps at the bottom are those of their mean"
    axes.set_axis_off()
    truth = f"{TRUTH.symbol} resting pressure {pair(resting.sbp[row], resting.dbp[row])}"
    _large(axes, 0.0, truth, TRUTH.colour)
    _large(axes, 0.5, f"{DISPLAY.symbol} display {shown}", DISPLAY.colour)
    axes.text(0.0, 0.0, words, color=TEXT, fontsize=9, va="bottom")


def _large(axes: Axes, left: float, words: str, colour: str) -> None:
    """A number with its name, and beside it that it is simulated, for whoever sees it alone."""
    number = axes.text(left, 1.0, words, color=colour, fontsize=17, fontweight="bold", va="top")
    axes.annotate(
        SIMULATED,
        (1.0, 0.2),
        xycoords=number,
        xytext=(6, 0),
        textcoords="offset points",
        color=QUIET,
        fontsize=9,
        fontweight="bold",
    )


def _same_scale(*several: Axes) -> None:
    """Let a mmHg be as long in each of the axes, so that their steps can be compared."""
    span = max(float(np.diff(axes.get_xlim())[0]) for axes in several)
    for axes in several:
        middle = float(np.mean(axes.get_xlim()))
        axes.set_xlim(middle - span / 2, middle + span / 2)


def _draw_kinds(axes: Axes, breakdown: Breakdown) -> None:
    """What the patterns of the steps mean, and what this page is not."""
    axes.set_axis_off()
    present = set() if breakdown.reason else {c.kind for c in breakdown.contributions}
    patches = [
        Patch(facecolor=look.colour, hatch=look.hatch, edgecolor="white", label=look.label)
        for kind, look in KINDS.items()
        if kind in present
    ]
    if patches:
        axes.legend(handles=patches, loc="upper center", ncols=len(patches), frameon=False, fontsize=9)
    origin = f"Simulated, for learning; no medical device. cuffbias {__version__}, parameters {PARAMETERS_VERSION}"
    axes.text(0.5, 0.0, origin, fontsize=8, color=QUIET, ha="center", va="top")
