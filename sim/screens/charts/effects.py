"""A published effect beside the model's own, with their intervals."""

from __future__ import annotations

from typing import Any

from sim.figures.colours import QUIET, TEXT
from sim.screens.charts.common import BACKGROUND, Spec, axis_x, chart

PUBLISHED, MODEL = "#26323B", "#8A6FA8"
_LINES: dict[str, Spec] = {
    "published": {"type": "rule", "color": PUBLISHED, "strokeWidth": 2},
    "model": {"type": "rule", "color": MODEL, "strokeWidth": 9, "opacity": 0.45},
}
_POINT: Spec = {"type": "point", "size": 90, "filled": True, "strokeWidth": 2, "opacity": 1}
_POINTS: dict[str, Spec] = {
    "published": _POINT | {"shape": "circle", "color": BACKGROUND, "stroke": PUBLISHED},
    "model": _POINT | {"shape": "square", "color": MODEL, "stroke": MODEL},
}
Bar = dict[str, Any]


def effects(bars: list[Bar], low: float, high: float) -> Spec:
    """Systolic and diastolic, each with a line for what was published and one for the model.

    bars: each with `row` ("systolic", "diastolic"), `kind` ("published", "model"), `value`, `low`, `high` (None
        where there is none)
    low, high: ends of the axis, the same for all findings of a lesson [mmHg]
    """
    rows = list(dict.fromkeys(bar["row"] for bar in bars))
    kinds = [kind for kind in ("published", "model") if any(bar["kind"] == kind for bar in bars)]
    y: Spec = {
        "field": "row",
        "type": "nominal",
        "sort": rows,
        "scale": {"domain": rows, "paddingInner": 0.25, "paddingOuter": 0.1},
        "axis": {"title": None, "domain": False, "ticks": False, "labelColor": TEXT, "labelFontSize": 14, "minExtent": 66},
    }
    offset: Spec = {"field": "kind", "type": "nominal", "sort": kinds, "scale": {"domain": kinds}}
    x = axis_x("difference, mmHg", low, high, field="value", axis={"grid": True})
    layers: list[Spec] = [_zero()]
    for kind in kinds:
        chosen = [bar for bar in bars if bar["kind"] == kind]
        spans = [bar for bar in chosen if bar["low"] is not None and bar["high"] is not None]
        points = [bar for bar in chosen if bar["value"] is not None]
        ends = {"x": x | {"field": "low"}, "x2": {"field": "high"}, "y": y, "yOffset": offset}
        layers.append({"data": {"values": spans}, "mark": _LINES[kind], "encoding": ends})
        layers.append({"data": {"values": points}, "mark": _POINTS[kind], "encoding": {"x": x, "y": y, "yOffset": offset}})
    return chart(layers, (16 * len(kinds) + 8) * len(rows))


def _zero() -> Spec:
    """No difference."""
    return {
        "data": {"values": [{}]},
        "mark": {"type": "rule", "color": QUIET, "strokeWidth": 1.5},
        "encoding": {"x": {"datum": 0}},
    }
