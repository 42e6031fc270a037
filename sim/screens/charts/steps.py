"""Contributions as steps from resting pressure to display."""

from __future__ import annotations

from sim.figures.colours import DISPLAY, KINDS, QUIET, TEXT, TRUTH
from sim.figures.numbers import signed
from sim.screens.charts.common import HALO, Spec, axis_x, chart
from sim.screens.contributions import Step

_ROW_PX = 48
_NAMES = {"sbp": "systolic", "dbp": "diastolic"}
# Fill and edge by kind: told apart without colour as well.
_MARKS: dict[str, Spec] = {
    "response": {"fillOpacity": 0.25, "strokeDash": [5, 3], "strokeWidth": 2},
    "measuring error": {"fillOpacity": 1, "strokeWidth": 0},
    "algorithm": {"fillOpacity": 0.6, "strokeWidth": 2},
    "chance": {"fillOpacity": 0, "strokeDash": [1, 3], "strokeWidth": 2},
}


def steps(found: list[Step], name: str, resting: int) -> Spec:
    """The way from resting pressure to display in one pressure, "sbp" or "dbp"; one row a step."""
    totals = [float(resting)]
    for step in found:
        totals.append(round(totals[-1] + getattr(step, name), 1))
    last = len(found) + 1
    low, high = min(totals), max(totals)
    pad = max(2.0, (high - low) * 0.12)
    low, high = low - pad, high + pad
    bars = [_bar(i + 1, step, name, totals) for i, step in enumerate(found)]
    ends = [
        _end(0, TRUTH.symbol + " resting pressure", totals[0], TRUTH.colour, "circle", low, high),
        _end(last, DISPLAY.symbol + " display", totals[-1], DISPLAY.colour, "diamond", low, high),
    ]
    links = {
        "data": {"values": [{"x": t, "y": i + 0.23, "y2": i + 1.23} for i, t in enumerate(totals)][: last]},
        "mark": {"type": "rule", "color": QUIET, "strokeWidth": 1},
        "encoding": {"x": _x(low, high, name), "y": _y(last), "y2": {"field": "y2"}},
    }
    words = [_words(i + 1, s.symbol + " " + s.short, signed(getattr(s, name), "−"), low, high) for i, s in enumerate(found)]
    layers = [links, *bars, *[layer for group in (*ends, *words) for layer in group]]
    return chart(layers, _ROW_PX * (last + 1))


def _x(low: float, high: float, name: str) -> Spec:
    return axis_x(f"{_NAMES[name]} pressure, mmHg", round(low, 1), round(high, 1))


def _y(last: int) -> Spec:
    return {"field": "y", "type": "quantitative", "scale": {"domain": [last + 0.55, -0.5], "nice": False}, "axis": None}


def _bar(row: int, step: Step, name: str, totals: list[float]) -> Spec:
    colour = KINDS[step.kind].colour if step.kind in KINDS else QUIET
    mark = {"type": "rect", "fill": colour, "stroke": colour, "cornerRadius": 2} | _MARKS.get(step.kind, {})
    value = {"x": totals[row - 1], "x2": totals[row], "y": row + 0.06, "y2": row + 0.4}
    quantity = {"type": "quantitative"}
    encoding = {"x": {"field": "x"} | quantity, "x2": {"field": "x2"}, "y": {"field": "y"} | quantity, "y2": {"field": "y2"}}
    return {"data": {"values": [value]}, "mark": mark, "encoding": encoding}


def _end(row: int, label: str, at: float, colour: str, shape: str, low: float, high: float) -> list[Spec]:
    place = {"x": {"datum": at}, "y": {"datum": row + 0.23}}
    mark = {"type": "point", "shape": shape, "size": 190, "filled": True, "color": colour, "opacity": 1}
    return [{"data": {"values": [{}]}, "mark": mark, "encoding": place}, *_words(row, label, f"{at:.0f}", low, high, colour)]


def _words(row: int, label: str, value: str, low: float, high: float, colour: str = TEXT) -> list[Spec]:
    """The row's name at the left and its number at the right, above its bar."""
    y = {"datum": row - 0.2}
    bold = 600 if colour != TEXT else 400
    return [
        {
            "data": {"values": [{}]},
            "mark": {"type": "text", "text": words, "align": align, "color": colour, "fontSize": 14, "fontWeight": weight} | ring,
            "encoding": {"x": {"datum": round(edge, 1)}, "y": y},
        }
        for words, align, edge, weight in ((label, "left", low, bold), (value, "right", high, 600))
        for ring in (HALO, {})
    ]
