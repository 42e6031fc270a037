"""The fan: where the mean lies after one reading, two, three ... and what it narrows around."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sim.explain.averaging import Law
from sim.figures.colours import DISPLAY, QUIET, TRUTH, Look
from sim.say import say
from sim.screens.charts.common import Spec, at, axis_x, axis_y, chart, label, layer, point, rows, rule

# Bands of the fan, by the probability that they hold.
_SHADES = {0.95: 0.16, 0.5: 0.3}
# From so much on, the value that the fan narrows around is said to be another than the resting pressure.
_APART_MMHG = 0.5


@dataclass(frozen=True)
class Fan:
    """What the fan is drawn from.

    laws: of (mean of the first 1, 2 ... readings that count) minus (resting pressure);  usual: that pressure [mmHg]
    towards: what the mean would come to with any number of readings [mmHg]
    drawn: (people, counted) means of some people [mmHg];  name: "sbp" or "dbp"
    """

    laws: list[Law]
    usual: float
    towards: float
    drawn: np.ndarray
    name: str = "sbp"


def fan(found: Fan) -> Spec:
    """Bands over the number of readings, some people's means, the truth and where the means go."""
    n = np.arange(1, len(found.laws) + 1, dtype=float)
    edges = {p: np.array([law.interval(p, found.name) for law in found.laws]) + found.usual for p in _SHADES}
    ends = [edges[0.95].min(), edges[0.95].max(), found.usual, found.towards]
    low, high = 5 * np.floor(min(ends) / 5 - 0.3), 5 * np.ceil(max(ends) / 5 + 0.3)
    end = max(2.0, float(n[-1]))
    x = axis_x(say("readings averaged"), 1, end)
    x["axis"] |= {"tickMinStep": 1, "format": "d"}
    y = axis_y(
        say("mean of systolic readings, mmHg" if found.name == "sbp" else "mean of diastolic readings, mmHg"), low, high
    )
    layers = [_band(n, edges[p], shade, x, y) for p, shade in _SHADES.items()]
    layers.append(_people(n, found.drawn, x, y))
    go = say("the means go to {mmhg:.0f}", mmhg=found.towards)
    usual = say("resting pressure {mmhg:.0f}", mmhg=found.usual)
    if abs(found.towards - found.usual) >= _APART_MMHG:
        layers += _level(found.towards, DISPLAY, (), "diamond", go, end, "right", y)
    layers += _level(found.usual, TRUTH, (6, 4), "circle", usual, 1.0, "left", y)
    return chart(layers, 330)


def sentence(found: Fan) -> str:
    """What the fan shows, with its numbers."""
    first, last = (found.laws[k].interval(0.95, found.name) for k in (0, -1))
    count = len(found.laws)
    ends = {"low": found.usual + first[0], "high": found.usual + first[1]}
    start = say("One reading lies with 95 % probability between {low:.0f} and {high:.0f}", **ends)
    ends = {"low": found.usual + last[0], "high": found.usual + last[1]}
    more = say("; the mean of {n} readings between {low:.0f} and {high:.0f}", n=count, **ends) if count > 1 else ""
    return f"{start}{more}. {_narrows(found)}"


def _narrows(found: Fan) -> str:
    """What the fan narrows around, with its numbers."""
    away = found.towards - found.usual
    if abs(away) < _APART_MMHG:
        return say("The fan narrows around the resting pressure, {usual:.0f} (●).", usual=found.usual)
    values = {"towards": found.towards, "away": abs(away), "usual": found.usual}
    if away > 0:
        words = say(
            "The fan narrows around {towards:.0f}, {away:.0f} above the resting pressure of {usual:.0f}", **values
        )
    else:
        words = say(
            "The fan narrows around {towards:.0f}, {away:.0f} below the resting pressure of {usual:.0f}", **values
        )
    return f"{words} (●): {say('averaging does not bring it nearer.')}"


def _band(n: np.ndarray, edges: np.ndarray, shade: float, x: Spec, y: Spec) -> Spec:
    # One reading alone has no width: a second point of the same height makes the band seen.
    if len(n) == 1:
        n, edges = np.array([1.0, 2.0]), np.repeat(edges, 2, axis=0)
    mark = {"type": "area", "color": DISPLAY.colour, "opacity": shade}
    return layer(rows(1, x=n, y=edges[:, 0], top=edges[:, 1]), mark, x=x, y=y, y2={"field": "top"})


def _people(n: np.ndarray, drawn: np.ndarray, x: Spec, y: Spec) -> Spec:
    """A thin line for each of some people, a dot where there is only one reading."""
    who = np.repeat(np.arange(len(drawn)), len(n)).astype(float)
    line = {"type": "line", "color": QUIET, "strokeWidth": 1, "opacity": 0.55}
    mark = point("circle", 16, QUIET, opacity=0.7) if len(n) == 1 else line
    data = rows(1, x=np.tile(n, len(drawn)), y=drawn.ravel(), who=who)
    return layer(data, mark, x=x, y=y, detail={"field": "who", "type": "nominal"})


def _level(
    height: float, look: Look, dash: Sequence[int], shape: str, words: str, place: float, align: str, y: Spec
) -> list[Spec]:
    """A level line with its mark and its name."""
    data: Spec = {"values": [{"y": round(height, 1)}]}
    where = {"x": at(place), "y": y}
    said = {"text": words, "align": align, "dx": 10 if align == "left" else -12, "dy": -12}
    return [
        layer(data, rule(look.colour, 1.8, dash), y=y),
        layer(data, point(shape, 110, look.colour), **where),
        *label(data, look.words, where, **said),
    ]
