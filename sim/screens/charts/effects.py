"""A published effect beside the model's own, with their intervals."""

from __future__ import annotations

from typing import Any

from sim.figures.colours import QUIET, TEXT
from sim.say import say
from sim.screens.charts.common import BACKGROUND, ONE_ROW, Spec, at, axis_x, chart, layer, point, rule

PUBLISHED, MODEL = "#26323B", "#8A6FA8"
_LINES: dict[str, Spec] = {
    "published": rule(PUBLISHED, 2),
    "model": rule(MODEL, 9) | {"opacity": 0.45},
}
_POINTS: dict[str, Spec] = {
    "published": point("circle", 90, BACKGROUND, stroke=PUBLISHED, strokeWidth=2),
    "model": point("square", 90, MODEL, stroke=MODEL, strokeWidth=2),
}
Bar = dict[str, Any]


def effects(bars: list[Bar], low: float, high: float) -> Spec:
    """Systolic and diastolic, each with a line for what was published and one for the model.

    bars: each with `row` ("systolic", "diastolic"), `kind` ("published", "model"), `value`, `low`, `high` (None
        where there is none)
    low, high: ends of the axis, the same for all findings of a lesson [mmHg]
    """
    names = list(dict.fromkeys(bar["row"] for bar in bars))
    kinds = [kind for kind in _LINES if any(bar["kind"] == kind for bar in bars)]
    axis = {"title": None, "domain": False, "ticks": False, "labelColor": TEXT, "labelFontSize": 14, "minExtent": 66}
    scale = {"domain": names, "paddingInner": 0.25, "paddingOuter": 0.1}
    place: Spec = {
        "y": {"field": "row", "type": "nominal", "sort": names, "scale": scale, "axis": axis},
        "yOffset": {"field": "kind", "type": "nominal", "sort": kinds, "scale": {"domain": kinds}},
    }
    x = axis_x(say("difference, mmHg"), low, high, grid=True)
    layers = [layer(ONE_ROW, rule(QUIET, 1.5), x=at(0))]
    for kind in kinds:
        chosen = [bar for bar in bars if bar["kind"] == kind]
        spans = [bar for bar in chosen if bar["low"] is not None and bar["high"] is not None]
        points = [bar for bar in chosen if bar["value"] is not None]
        ends = {"x": x | {"field": "low"}, "x2": {"field": "high"}}
        layers.append(layer({"values": spans}, _LINES[kind], **ends, **place))
        layers.append(layer({"values": points}, _POINTS[kind], x=x | {"field": "value"}, **place))
    return chart(layers, (16 * len(kinds) + 8) * len(names))
