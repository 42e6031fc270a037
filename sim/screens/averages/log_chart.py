"""A log over time: systolic and diastolic, what counts, what does not, what is doubtful."""

from __future__ import annotations

from sim.figures.colours import DISPLAY, QUIET, TEXT
from sim.figures.numbers import pair
from sim.logs.log import LIMITS
from sim.logs.summary import COUNTS, Row, Summary
from sim.logs.told import many, short
from sim.say import say
from sim.screens.charts.common import Spec, axis_y, chart, layer, point, rule

_SHAPES = {"sbp": "triangle-up", "dbp": "triangle-down"}
# Where a reading stands in its day if only the part of the day is known.
_MORNING, _EVENING = 7, 19
# So many readings are drawn, the latest ones: a screen has no room for more.
_MOST = 600


def timeline(found: Summary) -> Spec:
    """Filled marks count, hollow ones do not; a ring says doubtful; lines are the means."""
    values = [_value(row, name) for row in found.rows[-_MOST:] if _fits(row) for name in _SHAPES]
    numbers = [v["y"] for v in values] or [60.0, 180.0]
    y = axis_y("mmHg", 10 * (min(numbers) // 10), 10 * (max(numbers) // 10 + 1))
    days = {v["x"][:10] for v in values}
    axis = {
        "title": None,
        "format": say("%-d %b"),
        "grid": True,
        "tickCount": {"interval": "day", "step": max(1, len(days) // 6)},
    }
    x: Spec = {"field": "x", "type": "temporal", "axis": axis | {"labelOverlap": "greedy"}, "scale": {"padding": 12}}
    layers: list[Spec] = []
    if found.figures is not None:
        means: Spec = {"values": [{"y": round(found.figures.sbp, 1)}, {"y": round(found.figures.dbp, 1)}]}
        layers.append(layer(means, rule(DISPLAY.colour, 2), y=y))
    for name, shape in _SHAPES.items():
        mine = [v for v in values if v["name"] == name]
        counts, others = ([v for v in mine if v["counts"] is kept] for kept in (True, False))
        hollow = point(shape, 70, QUIET, filled=False, strokeWidth=1.6)
        layers.append(layer({"values": others}, hollow, x=x, y=y, tooltip=_tip()))
        layers.append(layer({"values": counts}, point(shape, 70, TEXT), x=x, y=y, tooltip=_tip()))
    doubtful = [v for v in values if v["doubtful"]]
    layers.append(layer({"values": doubtful}, point("circle", 320, TEXT, filled=False, strokeWidth=1.6), x=x, y=y))
    return chart(layers, 320)


def _tip() -> Spec:
    return {"field": "words", "type": "nominal", "title": say("reading")}


def sentence(found: Summary) -> str:
    """The same in words."""
    counting = sum(row.status == COUNTS for row in found.rows)
    doubtful = sum(row.doubtful for row in found.rows)
    others = len(found.rows) - counting
    one = say("{n} counts (filled)" if counting == 1 else "{n} count (filled)", n=counting)
    other = say("{n} does not (hollow)" if others == 1 else "{n} do not (hollow)", n=others)
    text = say("{all}, of which {some} and {others}.", all=many(len(found.rows), "reading"), some=one, others=other)
    if beyond := sum(not _fits(row) for row in found.rows[-_MOST:]):
        text += " " + say("{n} lies beyond the picture." if beyond == 1 else "{n} lie beyond the picture.", n=beyond)
    if len(found.rows) > _MOST:
        text += " " + say("The latest {most} are drawn.", most=_MOST)
    if doubtful:
        text += " " + say("{n} is doubtful (ringed)." if doubtful == 1 else "{n} are doubtful (ringed).", n=doubtful)
    if found.figures is not None:
        means = pair(found.figures.sbp, found.figures.dbp)
        text += " " + say("The lines are the means, {means} mmHg.", means=means)
    return text


def _fits(row: Row) -> bool:
    """Whether a reading is drawn: a digit too many would leave no room for the others."""
    return all(LIMITS[name].low <= getattr(row.entry, name) <= LIMITS[name].high for name in _SHAPES)


def _value(row: Row, name: str) -> Spec:
    entry = row.entry
    when = entry.when.replace(tzinfo=None)
    if not entry.timed:
        when = when.replace(hour=_EVENING if entry.part == "evening" else _MORNING)
    return {
        "x": when.isoformat(timespec="minutes"),
        "y": getattr(entry, name),
        "name": name,
        "counts": row.status == COUNTS,
        "doubtful": row.doubtful,
        "words": f"{short(when)} {when:%H:%M}, {pair(entry.sbp, entry.dbp)}: {say(row.status)}",
    }
