"""The breakdown: steps from the resting pressure to what was displayed, one for each cause."""

from __future__ import annotations

from textwrap import fill
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.ticker import MaxNLocator

from sim.figures.axes import SMALL, instead, plain
from sim.figures.colours import DISPLAY, KINDS, QUIET, TEXT, TRUTH, Look
from sim.figures.numbers import adding_up, signed, whole

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from sim.explain.breakdown import Breakdown

NAMES = {"sbp": "systolic", "dbp": "diastolic"}
MARGIN_MMHG = 3.0
LABEL_WIDTH = 30  # characters


def draw_breakdown(axes: Axes, breakdown: Breakdown, name: str) -> None:
    """Draw the steps of one number, "sbp" or "dbp", from the resting pressure down to the mean of the readings."""
    plain(axes, f"From truth to display: {NAMES[name]}", "mmHg")
    axes.grid(visible=False, axis="y")
    if breakdown.reason:
        instead(axes, "no breakdown: " + breakdown.reason)
        axes.set_yticks([])
        return
    contributions = breakdown.mean().contributions
    steps = [float(getattr(c, name)[0]) for c in contributions]
    resting = getattr(breakdown.result.truth.resting, name)
    edges = float(resting[0]) + np.concatenate([[0.0], np.cumsum(steps)])
    for i, (contribution, words) in enumerate(zip(contributions, adding_up(steps), strict=True), start=1):
        _draw_step(axes, i, edges[i - 1], edges[i], KINDS[contribution.kind], signed(words))
    last = len(steps) + 1
    _draw_end(axes, 0, edges[0], TRUTH)
    _draw_end(axes, last, edges[-1], DISPLAY)
    axes.set_yticks(
        range(last + 1), ["resting pressure", *(fill(c.cause, LABEL_WIDTH) for c in contributions), _last(breakdown)]
    )
    axes.set_ylim(last + 0.6, -0.6)
    axes.set_xlim(edges.min() - MARGIN_MMHG, edges.max() + MARGIN_MMHG)
    axes.xaxis.set_major_locator(MaxNLocator(integer=True))


def _last(breakdown: Breakdown) -> str:
    count = int(breakdown.result.reading.ok.sum())
    return "display" if count == 1 else f"display, mean of {count}"


def _draw_step(axes: Axes, y: int, start: float, end: float, look: Look, words: str) -> None:
    axes.barh(
        y, end - start, left=start, height=0.62, color=look.colour, hatch=look.hatch, edgecolor="white", linewidth=0.5
    )
    axes.plot([start, start], [y - 1, y], color=QUIET, linewidth=0.7, zorder=0)
    axes.plot([end, end], [y, y + 1], color=QUIET, linewidth=0.7, zorder=0)
    axes.annotate(
        words, (max(start, end), y), xytext=(4, 0), textcoords="offset points", va="center", fontsize=SMALL, color=TEXT
    )


def _draw_end(axes: Axes, y: int, mmhg: float, look: Look) -> None:
    axes.plot([mmhg], [y], marker=look.marker, color=look.colour, markersize=9)
    axes.annotate(
        whole(mmhg),
        (mmhg, y),
        xytext=(9, 0),
        textcoords="offset points",
        va="center",
        fontsize=SMALL,
        color=TEXT,
        fontweight="bold",
    )
