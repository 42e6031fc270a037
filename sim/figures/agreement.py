"""Pictures of a study: errors against pressure, against people, and against the standard's limit."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.figure import Figure, FigureBase

from sim.figures.axes import SMALL, instead, plain
from sim.figures.colours import ALGORITHM, CHANCE, MEASURING_ERROR, QUIET, RESPONSE, TEXT
from sim.study.standard import MEAN_MMHG, sd_limit
from sim.texts import real_minus

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from sim.study.agreement import Agreement, Score
    from sim.study.report import Scatter

PRESSURES = ("systolic", "diastolic")
DOTS_PER_INCH = 130
_LOOKS = (ALGORITHM, RESPONSE, CHANCE, MEASURING_ERROR)


@dataclass(frozen=True)
class Picture:
    """A picture that can be drawn on a figure of its own or on a part of a page; words: what it shows.

    width_in, height_in: its size [inches]
    """

    draw: Callable[[FigureBase], None]
    words: str
    height_in: float = 3.8
    width_in: float = 9.0

    def figure(self) -> Figure:
        """The picture alone."""
        figure = Figure(figsize=(self.width_in, self.height_in), layout="constrained")
        self.draw(figure)
        return figure

    @cached_property
    def png(self) -> bytes:
        """The picture as a PNG file, drawn once."""
        buffer = io.BytesIO()
        self.figure().savefig(buffer, format="png", dpi=DOTS_PER_INCH)
        return buffer.getvalue()


def limits_picture(agreement: Agreement, scatter: Scatter) -> Picture:
    """Bland-Altman: each person's mean error against the mean of reading and truth, bias and limits as bands."""
    return Picture(lambda figure: _limits(figure, agreement, scatter), _limits_words(agreement))


def dependence_picture(agreement: Agreement) -> Picture:
    """Mean and SD of the people's errors in fifths of what differs between them."""
    rows = -(-max(1, len(agreement.sbp.by)) // 3)
    return Picture(lambda figure: _dependence(figure, agreement), _dependence_words(agreement), 2.5 * rows + 0.3)


def criterion_picture(agreements: tuple[Agreement, ...]) -> Picture:
    """Where each estimator stands against criterion 2: SD of the people's mean errors over mean error."""
    return Picture(lambda figure: _criterion(figure, agreements), _criterion_words(agreements))


def _limits(figure: FigureBase, agreement: Agreement, scatter: Scatter) -> None:
    pairs = ((scatter.sbp_middle, scatter.sbp_error), (scatter.dbp_middle, scatter.dbp_error))
    for axes, name, s, (middle, error) in zip(figure.subplots(1, 2), PRESSURES, agreement.scores, pairs, strict=True):
        plain(axes, f"{agreement.estimator}, {name}", "mean of reading and truth, mmHg", "reading minus truth, mmHg")
        if not len(error):
            instead(axes, "no readings")
            continue
        axes.plot(middle, error, ".", color=QUIET, markersize=3, alpha=0.5, rasterized=True)
        for line, style in ((s.agreement.bias, "-"), (s.agreement.lower, "--"), (s.agreement.upper, "--")):
            axes.axhline(line.value, color=TEXT, linewidth=1.2, linestyle=style)
            if np.isfinite(line.low):
                axes.axhspan(line.low, line.high, color=ALGORITHM.colour, alpha=0.35, linewidth=0)
            axes.annotate(
                f"  {_off(line.value)}",
                (1, line.value),
                xycoords=("axes fraction", "data"),
                fontsize=SMALL,
                va="center",
            )


def _limits_words(agreement: Agreement) -> str:
    parts = [
        f"{name} bias {_off(s.agreement.bias.value)}, limits {_off(s.agreement.lower.value)} to "
        f"{_off(s.agreement.upper.value)} mmHg"
        for name, s in zip(PRESSURES, agreement.scores, strict=True)
    ]
    return (
        f"Bland-Altman plot of {agreement.estimator}: {'; '.join(parts)}. Dots: people's mean errors; lines: bias and "
        "limits of agreement of a single reading, bands: their 95 % intervals."
    )


def _dependence(figure: FigureBase, agreement: Agreement) -> None:
    count = max(1, len(agreement.sbp.by))
    grid = figure.subplots(-(-count // 3), 3, squeeze=False, sharey=True).ravel()
    for axes, sbp, dbp in zip(grid, agreement.sbp.by, agreement.dbp.by, strict=False):
        plain(axes, "", f"{sbp.label}, {sbp.unit}", "error, mmHg")
        axes.axhline(0, color=TEXT, linewidth=0.8)
        for d, name, look, side in ((sbp, "systolic", ALGORITHM, -1), (dbp, "diastolic", RESPONSE, 1)):
            middle = np.array([(part.low + part.high) / 2 for part in d.parts])
            shift = side * 0.008 * (middle[-1] - middle[0])
            axes.errorbar(
                middle + shift,
                [part.mean for part in d.parts],
                [part.sd for part in d.parts],
                fmt=look.marker + "-",
                color=look.colour,
                markersize=5,
                linewidth=1,
                label=name,
            )
    for axes in grid[len(agreement.sbp.by) :]:
        axes.set_axis_off()
    if agreement.sbp.by:
        grid[0].legend(fontsize=SMALL, frameon=False)
    else:
        instead(grid[0], "too few people")


def _dependence_words(agreement: Agreement) -> str:
    parts = [
        f"{s.label} {_off(s.per_sd.value)}/{_off(d.per_sd.value)}"
        for s, d in zip(agreement.sbp.by, agreement.dbp.by, strict=True)
    ]
    return (
        f"Errors of {agreement.estimator} in fifths of the people, mean and SD. Change for one SD of the quantity, "
        f"systolic/diastolic mmHg: {', '.join(parts) or 'none'}."
    )


def _criterion(figure: FigureBase, agreements: tuple[Agreement, ...]) -> None:
    mean = np.linspace(-MEAN_MMHG, MEAN_MMHG, 201)
    for axes, pressure, name in zip(figure.subplots(1, 2, sharey=True), ("sbp", "dbp"), PRESSURES, strict=True):
        plain(axes, f"criterion 2, {name}", "mean error, mmHg", "SD of people's mean errors, mmHg")
        axes.fill_between(mean, 0, sd_limit(mean), color="#EEEEEE", linewidth=0)
        axes.plot(mean, sd_limit(mean), color=TEXT, linewidth=1.2)
        for k, agreement in enumerate(agreements):
            _point(axes, getattr(agreement, pressure), agreement.estimator, k)
        axes.set_ylim(bottom=0)
        if agreements:
            axes.legend(loc="lower left", fontsize=SMALL, frameon=False)


def _criterion_words(agreements: tuple[Agreement, ...]) -> str:
    parts = [
        f"{a.estimator} {_off(a.sbp.parts.mean)} and {a.sbp.parts.sd_of_means:.1f} systolic, "
        f"{_off(a.dbp.parts.mean)} and {a.dbp.parts.sd_of_means:.1f} diastolic"
        if np.isfinite(a.sbp.parts.sd_of_means)
        else f"{a.estimator} too few people with every reading"
        for a in agreements
    ]
    return f"Mean error and SD of people's mean errors, mmHg: {'; '.join(parts)}. The grey area meets criterion 2."


def _point(axes: Axes, s: Score, name: str, k: int) -> None:
    look = _LOOKS[k % len(_LOOKS)]
    axes.plot(
        s.parts.mean,
        s.parts.sd_of_means,
        look.marker,
        color=look.colour,
        markersize=8,
        markeredgecolor=TEXT,
        label=name,
        linestyle="none",
    )


def _off(value: float) -> str:
    """A signed figure, or that there is none."""
    return real_minus(f"{round(value, 1) + 0.0:+.1f}") if np.isfinite(value) else "none"
