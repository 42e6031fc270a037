"""Contributions as steps from resting pressure to display."""

from __future__ import annotations

from sim.figures.colours import DISPLAY, KINDS, QUIET, TEXT, TRUTH, Look
from sim.figures.numbers import signed
from sim.figures.steps import Step
from sim.say import mark, say
from sim.screens.charts.common import ONE_ROW, Spec, at, axis_x, chart, label, layer, number, point, rule

_ROW_PX = 48
_NAMES = {"sbp": mark("systolic pressure, mmHg"), "dbp": mark("diastolic pressure, mmHg")}
# Fill and edge by kind: told apart without colour as well.
_MARKS: dict[str, Spec] = {
    "response": {"fillOpacity": 0.25, "strokeDash": [5, 3], "strokeWidth": 2},
    "measuring error": {"fillOpacity": 1, "strokeWidth": 1},
    "algorithm": {"fillOpacity": 0.6, "strokeWidth": 2},
    "chance": {"fillOpacity": 0, "strokeDash": [1, 3], "strokeWidth": 2},
}
# In each row the words stand above, the bar below.
_WORDS_AT, _BAR_FROM, _BAR_TO = -0.2, 0.06, 0.4
_MIDDLE = (_BAR_FROM + _BAR_TO) / 2


def steps(found: list[Step], name: str, resting: int, display: str = "") -> Spec:
    """The way from resting pressure to display in one pressure, "sbp" or "dbp"; one row a step; `display`: its name."""
    totals = [float(resting)]
    for step in found:
        totals.append(round(totals[-1] + getattr(step, name), 1))
    last = len(found) + 1
    pad = max(2.0, (max(totals) - min(totals)) * 0.12)
    ends = (min(totals) - pad, max(totals) + pad)
    down: Spec = {"scale": {"domain": [last + 0.55, -0.5], "nice": False}, "axis": None}
    place = {"x": axis_x(say(_NAMES[name]), *ends), "y": number("y") | down}
    links = [{"x": total, "y": i + _MIDDLE, "y2": i + 1 + _MIDDLE} for i, total in enumerate(totals)][:last]
    layers = [layer({"values": links}, rule(QUIET, 1), **place, y2={"field": "y2"})]
    layers += [_bar(i + 1, step, totals) for i, step in enumerate(found)]
    layers += _end(0, f"{TRUTH.symbol} {say('resting pressure')}", totals[0], TRUTH, "circle", ends)
    layers += _end(last, f"{DISPLAY.symbol} {display or say('display')}", totals[-1], DISPLAY, "diamond", ends)
    for i, step in enumerate(found):
        layers += _words(i + 1, f"{step.symbol} {step.short}", signed(getattr(step, name)), ends)
    return chart(layers, _ROW_PX * (last + 1))


def _bar(row: int, step: Step, totals: list[float]) -> Spec:
    fill, edge = (KINDS[step.kind].colour, KINDS[step.kind].words) if step.kind in KINDS else (QUIET, QUIET)
    mark = {"type": "rect", "fill": fill, "stroke": edge, "cornerRadius": 2} | _MARKS.get(step.kind, {})
    data = {"values": [{"x": totals[row - 1], "x2": totals[row], "y": row + _BAR_FROM, "y2": row + _BAR_TO}]}
    return layer(data, mark, x=number("x"), x2={"field": "x2"}, y=number("y"), y2={"field": "y2"})


def _end(row: int, name: str, total: float, look: Look, shape: str, ends: tuple[float, float]) -> list[Spec]:
    """Where the way starts or ends."""
    mark = layer(ONE_ROW, point(shape, 190, look.colour), x=at(total), y=at(row + _MIDDLE))
    return [mark, *_words(row, name, f"{total:.0f}", ends, look.words)]


def _words(row: int, name: str, value: str, ends: tuple[float, float], colour: str = TEXT) -> list[Spec]:
    """The row's name at the left and its number at the right."""
    y = at(row + _WORDS_AT)
    weight = 400 if colour == TEXT else 600
    return [
        *label(ONE_ROW, colour, {"x": at(ends[0]), "y": y}, text=name, align="left", fontWeight=weight),
        *label(ONE_ROW, colour, {"x": at(ends[1]), "y": y}, text=value, align="right"),
    ]
