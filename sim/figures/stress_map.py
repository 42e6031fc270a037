"""The picture of a stress map: shares of readings over two inputs, with as many numbers as can be read."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.figure import FigureBase

from sim.figures.agreement import Picture
from sim.figures.axes import SMALL, plain
from sim.figures.colours import QUIET

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from sim.study.axes import Axis
    from sim.study.stress import StressMap

# What can be read on half a page's width, found by looking: numbers in so many columns and rows of cells, so many ticks
# across and upward, a label of so many letters across and upward.
_MOST_CELLS, _TICKS, _LABEL = (12, 14), (7, 14), (46, 34)


def stress_picture(found: StressMap) -> Picture:
    """Share of readings that are tolerable, and that fail, in %, over two inputs."""
    return Picture(lambda figure: _stress(figure, found), f"{_words(found)} {found.origin}.", 4.2)


def shown(value: float | str) -> str:
    """A value of an axis, to three digits, in the axis's unit.

    >>> shown(49.0909), shown(0.25), shown("jolts")
    ('49.1', '0.25', 'jolts')
    """
    return value if isinstance(value, str) else f"{value:.3g}"


def _stress(figure: FigureBase, found: StressMap) -> None:
    few = all(n <= most for n, most in zip(found.failed.T.shape, _MOST_CELLS, strict=True))
    for axes, values, title in zip(
        figure.subplots(1, 2),
        (found.tolerable, found.failed),
        ("readings within 10 mmHg, %", "readings without a number, %"),
        strict=True,
    ):
        plain(axes, title, _label(found.x, _LABEL[0]), _label(found.y, _LABEL[1]))
        axes.grid(visible=False)
        image = axes.imshow(100 * values, vmin=0, vmax=100, cmap="cividis", origin="lower", aspect="auto")
        _ticks(axes, found)
        if few:
            _numbers(axes, values)
        else:
            bar = figure.colorbar(image, ax=axes)
            bar.ax.tick_params(colors=QUIET, labelsize=SMALL)


def _ticks(axes: Axes, found: StressMap) -> None:
    """Every value where there is room, else every second, third ...; every option, aslant where they are words."""
    words = any(isinstance(value, str) for value in found.x.values)
    places = _places(found.x, _TICKS[0])
    names = [shown(found.x.values[k]) for k in places]
    axes.set_xticks(places, names, rotation=30 if words else 0, ha="right" if words else "center")
    places = _places(found.y, _TICKS[1])
    axes.set_yticks(places, [shown(found.y.values[k]) for k in places])


def _places(axis: Axis, most: int) -> list[int]:
    n = len(axis.values)
    step = 1 if isinstance(axis.values[0], str) else -(-n // most)
    return list(range(0, n, step))


def _numbers(axes: Axes, values: np.ndarray) -> None:
    for (i, j), value in np.ndenumerate(values):
        colour = "black" if value > 0.5 else "white"
        axes.text(j, i, f"{100 * value:.0f}", ha="center", va="center", fontsize=SMALL, color=colour)


def _words(found: StressMap) -> str:
    worst = np.unravel_index(np.argmin(found.tolerable), found.tolerable.shape)
    y, x = found.y.values[worst[0]], found.x.values[worst[1]]
    return (
        f"Stress map of {found.estimator} over {found.x.label.lower()} and {found.y.label.lower()}: tolerable readings "
        f"range from {100 * found.tolerable.min():.0f} % (at {shown(x)} and {shown(y)}) to "
        f"{100 * found.tolerable.max():.0f} %, readings without a number from {100 * found.failed.min():.0f} to "
        f"{100 * found.failed.max():.0f} %."
    )


def _label(axis: Axis, width: int) -> str:
    return "\n".join(textwrap.wrap(f"{axis.label}, {axis.unit}" if axis.unit else axis.label, width))
