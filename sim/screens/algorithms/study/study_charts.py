"""Charts of a study: the standard's limit, errors over pressure, errors over people, maps."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from sim.figures.colours import ALGORITHM, CHANCE, GRID, MEASURING_ERROR, QUIET, RESPONSE, TEXT
from sim.screens.charts.common import ONE_ROW, Spec, at, axis_x, axis_y, chart, label, layer, number, point, rows, rule
from sim.study.agreement import Agreement, Score
from sim.study.axes import Axis
from sim.study.dependence import Dependence
from sim.study.ordered import Part
from sim.study.report import Scatter
from sim.study.standard import MEAN_MMHG, sd_limit
from sim.study.stress import StressMap
from sim.texts import real_minus

# One shape and colour for each algorithm, and for the two pressures; neither is that of truth or display.
_LOOKS = ((ALGORITHM, "square"), (RESPONSE, "triangle-up"), (MEASURING_ERROR, "cross"), (CHANCE, "diamond"))
_SYSTOLIC, _DIASTOLIC = ("#3C4F5C", "circle"), ("#8A6FA8", "triangle-up")
_BAND = "#8A6FA8"


def highest(agreements: tuple[Agreement, ...]) -> float:
    """Upper end of the axis that `criterion` has for both pressures [mmHg]."""
    found = [s.parts.sd_of_means for a in agreements for s in a.scores]
    return max([8.0, *(sd + 1 for sd in found if math.isfinite(sd))])


def criterion(agreements: tuple[Agreement, ...], pressure: str, high: float) -> Spec:
    """SD of the people's mean errors, up to `high`, over mean error: below the line criterion 2 is met."""
    mean = np.linspace(-MEAN_MMHG, MEAN_MMHG, 81)
    limit = rows(x=mean, y=sd_limit(mean))
    shown = [(a.estimator, getattr(a, pressure).parts, k) for k, a in enumerate(agreements)]
    known = [(name, p, k) for name, p, k in shown if math.isfinite(p.mean) and math.isfinite(p.sd_of_means)]
    wide = max([MEAN_MMHG + 1, *(abs(p.mean) + 1 for _, p, _ in known)])
    x, y = axis_x("mean error, mmHg", -wide, wide), axis_y("SD of people's mean errors, mmHg", 0, high)
    layers = [
        layer(limit, {"type": "area", "color": GRID, "opacity": 0.6}, x=x, y=y),
        layer(limit, {"type": "line", "color": TEXT, "strokeWidth": 1.6}, x=x, y=y),
    ]
    names = [name for name, _, _ in known]
    looks = [_LOOKS[k % len(_LOOKS)] for _, _, k in known]
    points = [{"x": round(p.mean, 2), "y": round(p.sd_of_means, 2), "name": name} for name, p, _ in known]
    legend = {"title": None, "orient": "bottom", "columns": 2, "symbolSize": 120}
    by: Spec = {"field": "name", "type": "nominal", "legend": legend}
    colour = by | {"scale": {"domain": names, "range": [look.colour for look, _ in looks]}}
    shape = by | {"scale": {"domain": names, "range": [shape for _, shape in looks]}}
    mark = {"type": "point", "filled": True, "size": 140, "opacity": 1, "stroke": TEXT, "strokeWidth": 1}
    tip = _tip(name="algorithm", x="mean error", y="SD of people's mean errors")
    layers.append(layer({"values": points}, mark, x=x, y=y, color=colour, shape=shape, tooltip=tip))
    words = "criterion 2 is met below the line"
    layers += label(ONE_ROW, QUIET, {"x": at(0), "y": at(0.5)}, text=words, fontSize=13, fontWeight="normal")
    return chart(layers, 280)


def limits(scatter: Scatter, s: Score) -> Spec:
    """Bland-Altman: people's mean errors over the mean of reading and truth, bias and limits of agreement."""
    middle, error = (getattr(scatter, f"{s.pressure}_{what}") for what in ("middle", "error"))
    lines = (s.agreement.bias, s.agreement.lower, s.agreement.upper)
    ends = [v for e in lines for v in (e.value, e.low, e.high) if math.isfinite(v)] + error.tolist()
    x = axis_x("mean of reading and truth, mmHg", float(middle.min()) - 3, float(middle.max()) + 8)
    y = axis_y("reading minus truth, mmHg", min(ends) - 1, max(ends) + 1)
    dot = {"type": "point", "filled": True, "size": 14, "color": QUIET, "opacity": 0.45}
    layers = [layer(rows(1, x=middle, y=error), dot, x=x, y=y)]
    for e, dash in zip(lines, ((), (6, 4), (6, 4)), strict=True):
        if not math.isfinite(e.value):
            continue
        if math.isfinite(e.low):
            band = {"type": "rect", "color": _BAND, "opacity": 0.3}
            layers.append(layer(ONE_ROW, band, y=at(e.low), y2=at(e.high)))
        layers.append(layer(ONE_ROW, rule(TEXT, 1.6, dash), y=at(e.value)))
        place = {"x": {"value": "width"}, "y": at(e.value)}
        layers += label(ONE_ROW, TEXT, place, text=real_minus(f"{e.value:+.1f}"), align="right", dy=-9)
    return chart(layers, 300)


def span(a: Agreement) -> tuple[float, float]:
    """From the lowest to the highest error that `dependence` shows of an algorithm, for the same axis on all [mmHg]."""
    parts = [part for s in a.scores for d in s.by for part in d.parts]
    ends = [part.mean + side * _sd(part) for part in parts for side in (-1, 1)]
    return min(0.0, *ends) - 0.5, max(0.0, *ends) + 0.5


def dependence(systolic: Dependence, diastolic: Dependence, errors_mmhg: tuple[float, float]) -> Spec:
    """Mean and SD of errors in fifths of the people, in order of a quantity, on this axis of errors."""
    values: list[dict[str, Any]] = []
    for d, name in ((systolic, "systolic"), (diastolic, "diastolic")):
        for part in d.parts:
            sd = _sd(part)
            middle = (part.low + part.high) / 2
            row = {"x": round(middle, 2), "y": round(part.mean, 2), "low": round(part.mean - sd, 2)}
            values.append(row | {"high": round(part.mean + sd, 2), "name": name})
    places = [v["x"] for v in values]
    gap = 0.07 * (max(places) - min(places) or 1.0)
    x = axis_x(f"{systolic.label}, {systolic.unit}", min(places) - gap, max(places) + gap)
    y = axis_y("error, mmHg", *errors_mmhg, 32)
    layers = [layer(ONE_ROW, rule(QUIET, 1.2), y=at(0))]
    for name, (colour, shape), side in (("systolic", _SYSTOLIC, -3), ("diastolic", _DIASTOLIC, 3)):
        mine = {"values": [v for v in values if v["name"] == name]}
        aside = {"xOffset": side}
        layers += [
            layer(
                mine,
                {"type": "rule", "color": colour, "opacity": 0.6, **aside},
                x=x,
                y=y | {"field": "low"},
                y2={"field": "high"},
            ),
            layer(mine, {"type": "line", "color": colour, "strokeWidth": 1.2, **aside}, x=x, y=y),
            layer(
                mine,
                point(shape, 55, colour, **aside),
                x=x,
                y=y,
                tooltip=_tip(name="pressure", x="middle of the fifth", y="mean error"),
            ),
        ]
    return chart(layers, 190)


def stress(found: StressMap, which: str) -> Spec:
    """Share of readings in each cell of a map: "tolerable" or "failed"."""
    shares = getattr(found, which)
    values = [
        {"x": _said(found.x.values[j]), "y": _said(found.y.values[i]), "value": round(100 * float(v))}
        for (i, j), v in np.ndenumerate(shares)
    ]
    x, y = _ordered("x", found.x), _ordered("y", found.y, upward=True)
    fill = number("value") | {"scale": {"scheme": "cividis", "domain": [0, 100]}, "legend": None}
    words = {"type": "text", "fontSize": 13}
    contrast = {"condition": {"test": "datum.value > 55", "value": "#222222"}, "value": "#FFFFFF"}
    layers = [
        layer({"values": values}, {"type": "rect"}, x=x, y=y, color=fill),
        layer({"values": values}, words, x=x, y=y, text={"field": "value"}, color=contrast),
    ]
    return chart(layers, 60 + 34 * len(found.y.values))


def _sd(part: Part) -> float:
    return part.sd if math.isfinite(part.sd) else 0.0


def _tip(**titles: str) -> Any:
    """What the pointer is told of a mark."""
    return [{"field": field, "title": title} for field, title in titles.items()]


def _ordered(name: str, axis: Axis, upward: bool = False) -> Spec:
    order = [_said(v) for v in axis.values]
    title = f"{axis.label}, {axis.unit}" if axis.unit else axis.label
    made: Spec = {"title": title, "labelAngle": 0, "grid": False}
    if upward:
        made |= {"titleAngle": 0, "titleAlign": "left", "titleAnchor": "end", "titleX": 0, "titleY": -14}
        made |= {"titleBaseline": "bottom"}
    return {"field": name, "type": "ordinal", "sort": order[::-1] if upward else order, "axis": made}


def _said(value: float | str) -> str:
    return value if isinstance(value, str) else f"{value:g}"
