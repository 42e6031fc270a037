"""A published effect beside the model's own, with their intervals."""

from __future__ import annotations

from typing import Any

from sim.figures.colours import QUIET, TEXT
from sim.screens.charts.common import Spec, axis_x, chart

PUBLISHED, MODEL = "#26323B", "#8A6FA8"
Bar = dict[str, Any]


def effects(bars: list[Bar], low: float, high: float) -> Spec:
    """One line each for published and model, systolic and diastolic.

    bars: each with `row` (its name), `value`, `low`, `high` (None where there is none) and `model` (bool)
    low, high: ends of the axis, the same for all findings of a lesson [mmHg]
    """
    order = list(dict.fromkeys(bar["row"] for bar in bars))
    y = {
        "field": "row",
        "type": "nominal",
        "sort": order,
        "scale": {"domain": order, "paddingInner": 0.3},
        "axis": {"title": None, "domain": False, "ticks": False, "labelColor": TEXT, "labelFontSize": 13, "minExtent": 118},
    }
    x = axis_x("difference, mmHg", low, high, field="value", axis={"grid": True})
    layers: list[Spec] = [_zero()]
    for model in (False, True):
        chosen = [bar for bar in bars if bar["model"] == model]
        colour = MODEL if model else PUBLISHED
        spans = [bar for bar in chosen if bar["low"] is not None and bar["high"] is not None]
        points = [bar for bar in chosen if bar["value"] is not None]
        rule = {"type": "rule", "color": colour, "strokeWidth": 9 if model else 2, "opacity": 0.45 if model else 1}
        point = {
            "type": "point",
            "shape": "square" if model else "circle",
            "size": 90,
            "filled": True,
            "color": colour if model else "#FFFFFF",
            "stroke": colour,
            "strokeWidth": 2,
            "opacity": 1,
        }
        ends = {"x": x | {"field": "low"}, "x2": {"field": "high"}, "y": y}
        layers.append({"data": {"values": spans}, "mark": rule, "encoding": ends})
        layers.append({"data": {"values": points}, "mark": point, "encoding": {"x": x, "y": y}})
    return chart(layers, 34 * len(order) + 6)


def _zero() -> Spec:
    """No difference."""
    return {
        "data": {"values": [{}]},
        "mark": {"type": "rule", "color": QUIET, "strokeWidth": 1.5},
        "encoding": {"x": {"datum": 0}},
    }
