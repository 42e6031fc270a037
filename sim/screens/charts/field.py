"""The pressure inside the arm under the cuff, with the artery marked."""

from __future__ import annotations

import numpy as np

from sim.cuff.field import PressureField
from sim.figures.colours import TEXT
from sim.say import mark, say
from sim.screens.charts.common import (
    ONE_ROW,
    Spec,
    at,
    axis_x,
    axis_y,
    chart,
    label,
    layer,
    number,
    numbers,
    rows,
    rule,
)
from sim.screens.drawings.shapes import CUFF, HEART

# Pale to dark, one hue: dark is much pressure. None of the colours of truth, display or contributions.
_SHADES = ["#FBF9F5", "#EADFE6", "#C9B5CE", "#9A84AE", "#6A5689", "#3E2F5B"]
_LEGEND: Spec = {
    "title": mark("% of the cuff's pressure"),
    "orient": "bottom",
    "direction": "horizontal",
    "gradientLength": 180,
    "values": [0, 25, 50, 75, 100],
    "titleLimit": 280,
}
# Both charts leave the same room for their upright axis, so that places along the arm stand above one another.
_AXIS_PX = 34
# From here on nearly all of the cuff's pressure arrives.
_WELL_PERCENT = 90


def inside(field: PressureField) -> Spec:
    """A lengthwise section of the arm: shade says how much of the cuff's pressure arrives."""
    along, radius = field.along_cm, field.radius_cm
    dx, dr = float(along[1] - along[0]), float(radius[1] - radius[0])
    # Each cell reaches over its neighbour a little, so that no seams show.
    transforms: list[Spec] = [
        {"window": [{"op": "row_number", "as": "n"}]},
        {"calculate": f"{along[0] - dx / 2:.4f} + ((datum.n - 1) % {len(along)}) * {dx:.5f}", "as": "x"},
        {"calculate": f"datum.x + {dx * 1.3:.5f}", "as": "x2"},
        {"calculate": f"{radius[0] - dr / 2:.4f} + floor((datum.n - 1) / {len(along)}) * {dr:.5f}", "as": "y"},
        {"calculate": f"datum.y + {dr * 1.3:.5f}", "as": "y2"},
        {"calculate": "datum.data * 100", "as": "percent"},
    ]
    top = field.arm_radius_cm + 1.3
    y = axis_y(say("across the arm, cm"), -top, top, _AXIS_PX)
    scale = {"domain": [0, 110], "range": _SHADES, "clamp": True}
    shade = number("percent") | {"scale": scale, "legend": _LEGEND | {"title": say(_LEGEND["title"])}}
    data = {"values": numbers(field.share.ravel(), 3)}
    cells = {"type": "rect", "clip": True}
    edges = {"x2": {"field": "x2"}, "y2": {"field": "y2"}}
    picture = layer(data, cells, *transforms, x=_along(field), y=y, color=shade, **edges)
    return chart([picture, _cuff(field), *_artery(field)], 250)


def along_artery(field: PressureField) -> Spec:
    """The share of the cuff's pressure that reaches the artery, along its length."""
    data = rows(2, x=field.along_cm, y=100 * _at_artery(field))
    y = axis_y(say("% reaching the artery"), 0, 112, _AXIS_PX)
    line = layer(data, {"type": "line", "color": HEART, "strokeWidth": 2.4}, x=_along(field), y=y)
    return chart([layer(ONE_ROW, rule(TEXT, 1, [3, 4]), y=at(100)), line], 120)


def sentence(field: PressureField) -> str:
    """What the section shows, with its numbers."""
    share = 100 * _at_artery(field)
    middle = float(np.interp(0.0, field.along_cm, share))
    edge = float(np.interp(field.bladder_half_width_cm, field.along_cm, share))
    well = field.along_cm[share >= _WELL_PERCENT]
    long = say("nowhere along it")
    if len(well):
        long = say("over {cm} cm of its length", cm=f"{well[-1] - well[0]:.0f}")
    return say(
        "The cuff is at the person's mean pressure here; at a higher one the bladder sinks in deeper and grips less. "
        "Under the middle of the bladder {middle} % of the cuff's pressure reaches the artery, where its grip ends "
        "{edge} %; at least {well} % arrives {long}. The shorter that stretch, the higher the cuff's pressure at which "
        "the artery no longer opens, and that is the pressure the display reads.",
        middle=f"{middle:.0f}",
        edge=f"{edge:.0f}",
        well=_WELL_PERCENT,
        long=long,
    )


def _along(field: PressureField) -> Spec:
    return axis_x(say("along the arm, cm from the cuff's middle"), float(field.along_cm[0]), float(field.along_cm[-1]))


def _at_artery(field: PressureField) -> np.ndarray:
    """Share at the artery's radius, for each place along the arm."""
    row = np.clip(np.searchsorted(field.radius_cm, field.artery_radius_cm), 1, len(field.radius_cm) - 1)
    low, high = field.radius_cm[row - 1], field.radius_cm[row]
    weight = (field.artery_radius_cm - low) / (high - low)
    return (1 - weight) * field.share[row - 1] + weight * field.share[row]


def _cuff(field: PressureField) -> Spec:
    """The bladder on both sides of the arm."""
    half, inner, outer = field.bladder_half_width_cm, field.arm_radius_cm + 0.1, field.arm_radius_cm + 0.9
    values = [{"x": -half, "x2": half, "y": side * inner, "y2": side * outer} for side in (-1, 1)]
    edges = {"x2": {"field": "x2"}, "y2": {"field": "y2"}}
    mark = {"type": "rect", "color": CUFF, "cornerRadius": 4}
    return layer({"values": values}, mark, x=number("x"), y=number("y"), **edges)


def _artery(field: PressureField) -> list[Spec]:
    """The artery's line with its name."""
    height = at(field.artery_radius_cm)
    place = {"x": at(field.along_cm[-1]), "y": height}
    return [
        layer(ONE_ROW, rule("#FFFFFF", 5), y=height),
        layer(ONE_ROW, rule(HEART, 2.6), y=height),
        *label(ONE_ROW, HEART, place, text=say("artery"), align="right", dx=-6, dy=-10),
    ]
