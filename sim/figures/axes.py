"""What all axes share: quiet frames, and points of truth and display with their numbers."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from sim.figures.colours import GRID, QUIET, TEXT, Look
from sim.figures.numbers import whole

if TYPE_CHECKING:
    from matplotlib.axes import Axes

SMALL = 9


def plain(axes: Axes, title: str, x_label: str = "", y_label: str = "") -> None:
    """Title and labels in place, the frame reduced to the axes' own lines."""
    axes.set_title(title, loc="left", fontsize=11, color=TEXT)
    axes.set_xlabel(x_label, color=QUIET)
    axes.set_ylabel(y_label, color=QUIET)
    axes.tick_params(colors=QUIET, labelsize=SMALL)
    axes.grid(visible=True, color=GRID, linewidth=0.6)
    axes.set_axisbelow(True)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_color(GRID)


def point(axes: Axes, x: float, y: float, look: Look, mmhg: float, above: bool, rising: bool) -> None:
    """The marker of `look` with its pressure, above or below the line that it lies on, which rises or falls there."""
    if not (math.isfinite(x) and math.isfinite(y)):
        return
    axes.plot([x], [y], marker=look.marker, color=look.colour, markersize=9, markeredgecolor="white", zorder=5)
    right = above != rising  # where the line leaves room
    axes.annotate(
        f"{look.label} {whole(mmhg)}",
        (x, y),
        xytext=(8 if right else -8, 5 if above else -13),
        textcoords="offset points",
        ha="left" if right else "right",
        color=TEXT,
        fontsize=SMALL,
        zorder=6,
    )


def instead(axes: Axes, words: str) -> None:
    """Words in the middle of axes that have nothing to draw."""
    axes.text(0.5, 0.5, words, transform=axes.transAxes, ha="center", va="center", color=QUIET, wrap=True)
