"""A guess, the display and the truth as points, systolic above diastolic, each pressure on a line of its own."""

from __future__ import annotations

from dataclasses import dataclass

from sim.figures.colours import DISPLAY, GUESS, QUIET, TEXT, TRUTH, Look
from sim.figures.numbers import whole
from sim.say import say
from sim.screens.charts.common import Spec, chart, label, layer, number, point, rule

_ROW_PX = 124
# Where things stand in a row, which is one high: its name, the three points, the line with its ticks, their numbers.
_NAMED, _POINTS, _LINE, _TICKS = -0.4, (-0.22, -0.04, 0.14), 0.26, 0.39
_LOOKS = (GUESS, DISPLAY, TRUTH)
_SHAPES: dict[Look, Spec] = {
    GUESS: {"shape": "cross", "angle": 45},
    DISPLAY: {"shape": "diamond"},
    TRUTH: {"shape": "circle"},
}
# Room beyond the outermost points, and at least so much on both sides of the middle [mmHg].
_ROOM, _LEAST = 3.0, 12.0
_STEPS_MMHG, _MOST_TICKS = (5, 10, 20, 50, 100), 6


@dataclass(frozen=True)
class _Row:
    """One pressure: guess, display and truth in this order [mmHg]."""

    place: int
    name: str
    values: tuple[float, float, float]

    @property
    def middle(self) -> float:
        return (min(self.values) + max(self.values)) / 2


def guessed_chart(sbp: tuple[float, float, float], dbp: tuple[float, float, float]) -> Spec:
    """The chart; each pressure as guess, mean display and resting pressure [mmHg]."""
    rows = [_Row(0, say("systolic"), sbp), _Row(1, say("diastolic"), dbp)]
    half = max(_LEAST, *(max(row.values) - row.middle + _ROOM for row in rows))
    x = number("x") | {"scale": {"domain": [-half, half], "nice": False}, "axis": None}
    y = number("y") | {"scale": {"domain": [1.45, -0.48], "nice": False}, "axis": None}
    place: Spec = {"x": x, "y": y}
    return chart([made for row in rows for made in _layers(row, half, place)], 2 * _ROW_PX)


def _layers(row: _Row, half: float, place: Spec) -> list[Spec]:
    layers = [*_scale(row, half, place)]
    for look, value, share in zip(_LOOKS, row.values, _POINTS, strict=True):
        layers += _point(row, look, value, share, place)
    named = label(_spot(-half, row.place + _NAMED), TEXT, place, text=f"{row.name}, mmHg", align="left")
    return [*layers, *named]


def _point(row: _Row, look: Look, value: float, share: float, place: Spec) -> list[Spec]:
    """The point, an upright line from it down to the scale, and its name on the side where there is room."""
    away = value - row.middle
    spot = _spot(away, row.place + share, row.place + _LINE)
    side = {"align": "left", "dx": 12} if away <= 0 else {"align": "right", "dx": -12}
    return [
        layer(spot, rule(look.colour, 1, (3, 3)), **place, y2={"field": "y2"}),
        layer(spot, point("", 130, look.colour) | _SHAPES[look], **place),
        *label(spot, look.words, place, text=f"{say(look.label)} {whole(value)}", **side),
    ]


def _spot(x: float, y: float, y2: float | None = None) -> Spec:
    """A place as data; constants beside hidden axes are more than the charts' library takes."""
    found = {"x": round(x, 3), "y": round(y, 3)}
    return {"values": [found if y2 is None else found | {"y2": round(y2, 3)}]}


def _scale(row: _Row, half: float, place: Spec) -> list[Spec]:
    """The row's line with its ticks and their pressures."""
    step = next(step for step in _STEPS_MMHG if 2 * half / step <= _MOST_TICKS or step == _STEPS_MMHG[-1])
    first = -int(-(row.middle - half) // step) * step
    ticks = range(first, int(row.middle + half) + 1, step)
    y = row.place + _LINE
    line = {"values": [{"x": -half, "x2": half, "y": y}]}
    marks = [{"x": round(tick - row.middle, 2), "y": y, "y2": y + 0.05} for tick in ticks]
    words = [{"x": round(tick - row.middle, 2), "y": row.place + _TICKS, "text": str(tick)} for tick in ticks]
    looks = {"type": "text", "color": QUIET, "fontSize": 12}
    return [
        layer(line, rule(QUIET, 1), **place, x2={"field": "x2"}),
        layer({"values": marks}, rule(QUIET, 1), **place, y2={"field": "y2"}),
        layer({"values": words}, looks, **place, text={"field": "text", "type": "nominal"}),
    ]
