"""The pressure inside the arm under the cuff, with the artery marked."""

from __future__ import annotations

import numpy as np

from sim.cuff.field import PressureField
from sim.figures.colours import TEXT
from sim.screens.charts.common import Spec, axis_x, axis_y, chart, numbers
from sim.screens.drawings.shapes import CUFF, HEART

# Pale to dark, one hue: dark is much pressure. None of the colours of truth, display or contributions.
_SHADES = ["#FBF9F5", "#EADFE6", "#C9B5CE", "#9A84AE", "#6A5689", "#3E2F5B"]
# From here on nearly all of the cuff's pressure arrives.
_WELL_PERCENT = 90
_TICKS = {"axis": {"minExtent": 34}}


def inside(field: PressureField) -> Spec:
    """A lengthwise section of the arm: shade says how much of the cuff's pressure arrives."""
    along, radius = field.along_cm, field.radius_cm
    dx, dr = float(along[1] - along[0]), float(radius[1] - radius[0])
    columns = len(along)
    data = {"values": numbers(np.minimum(field.share, 1.2).ravel(), 3)}
    transforms = [
        {"window": [{"op": "row_number", "as": "n"}]},
        {"calculate": f"{along[0] - dx / 2:.4f} + ((datum.n - 1) % {columns}) * {dx:.5f}", "as": "x"},
        {"calculate": f"datum.x + {dx * 1.3:.5f}", "as": "x2"},
        {"calculate": f"{radius[0] - dr / 2:.4f} + floor((datum.n - 1) / {columns}) * {dr:.5f}", "as": "y"},
        {"calculate": f"datum.y + {dr * 1.3:.5f}", "as": "y2"},
        {"calculate": "datum.data * 100", "as": "percent"},
    ]
    top = field.arm_radius_cm + 1.3
    x = axis_x("along the arm, cm from the cuff's middle", round(float(along[0]), 2), round(float(along[-1]), 2))
    y = axis_y("across the arm, cm", -round(top, 2), round(top, 2), **_TICKS)
    shade = {
        "field": "percent",
        "type": "quantitative",
        "scale": {"domain": [0, 110], "range": _SHADES, "clamp": True},
        "legend": {
            "title": "% of the cuff's pressure",
            "orient": "bottom",
            "direction": "horizontal",
            "gradientLength": 180,
            "values": [0, 25, 50, 75, 100],
            "titleLimit": 280,
        },
    }
    picture = {
        "data": data,
        "transform": transforms,
        "mark": {"type": "rect", "clip": True},
        "encoding": {"x": x, "x2": {"field": "x2"}, "y": y, "y2": {"field": "y2"}, "color": shade},
    }
    return chart([picture, *_cuff(field), *_artery(field)], 250)


def along_artery(field: PressureField) -> Spec:
    """The share of the cuff's pressure that reaches the artery, along its length."""
    share = _at_artery(field)
    data = {"values": [{"x": a, "y": s} for a, s in zip(numbers(field.along_cm, 2), numbers(100 * share, 1), strict=True)]}
    x = axis_x("along the arm, cm from the cuff's middle", round(float(field.along_cm[0]), 2), round(float(field.along_cm[-1]), 2))
    line = {
        "data": data,
        "mark": {"type": "line", "color": HEART, "strokeWidth": 2.4},
        "encoding": {"x": x, "y": axis_y("% reaching the artery", 0, 112, **_TICKS)},
    }
    full = {"data": {"values": [{}]}, "mark": {"type": "rule", "color": TEXT, "strokeDash": [3, 4]}, "encoding": {"y": {"datum": 100}}}
    return chart([full, line], 120)


def sentence(field: PressureField) -> str:
    """What the section shows, with its numbers."""
    share = 100 * _at_artery(field)
    middle = float(np.interp(0.0, field.along_cm, share))
    edge = float(np.interp(field.bladder_half_width_cm, field.along_cm, share))
    well = field.along_cm[share >= _WELL_PERCENT]
    long = f"over {well[-1] - well[0]:.0f} cm of its length" if len(well) else "nowhere along it"
    return (
        f"Under the middle of the bladder {middle:.0f} % of the cuff's pressure reaches the artery, at the bladder's edge "
        f"{edge:.0f} %; at least {_WELL_PERCENT} % arrives {long}. The shorter that stretch, the higher the cuff's pressure at "
        "which the artery no longer opens, and that is the pressure the display reads."
    )


def _at_artery(field: PressureField) -> np.ndarray:
    """Share at the artery's radius, for each place along the arm."""
    row = np.clip(np.searchsorted(field.radius_cm, field.artery_radius_cm), 1, len(field.radius_cm) - 1)
    low, high = field.radius_cm[row - 1], field.radius_cm[row]
    weight = (field.artery_radius_cm - low) / (high - low)
    return (1 - weight) * field.share[row - 1] + weight * field.share[row]


def _cuff(field: PressureField) -> list[Spec]:
    """The bladder on both sides of the arm."""
    half, inner, outer = field.bladder_half_width_cm, field.arm_radius_cm + 0.1, field.arm_radius_cm + 0.9
    values = [{"a": -half, "b": half, "c": s * inner, "d": s * outer} for s in (-1, 1)]
    kind = {"type": "quantitative"}
    encoding = {"x": {"field": "a"} | kind, "x2": {"field": "b"}, "y": {"field": "c"} | kind, "y2": {"field": "d"}}
    return [{"data": {"values": values}, "mark": {"type": "rect", "color": CUFF, "cornerRadius": 4}, "encoding": encoding}]


def _artery(field: PressureField) -> list[Spec]:
    """The artery's line with its name."""
    height = {"datum": round(field.artery_radius_cm, 3)}
    data = {"values": [{}]}
    label = {"type": "text", "text": "artery", "align": "right", "dx": -6, "dy": -9, "color": HEART, "fontWeight": 600, "fontSize": 14}
    return [
        {"data": data, "mark": {"type": "rule", "color": "#FFFFFF", "strokeWidth": 5}, "encoding": {"y": height}},
        {"data": data, "mark": {"type": "rule", "color": HEART, "strokeWidth": 2.6}, "encoding": {"y": height}},
        {"data": data, "mark": label, "encoding": {"y": height, "x": {"datum": round(float(field.along_cm[-1]), 2)}}},
    ]
