"""What each explanation can add to a display, beside the gap that is to be explained."""

from __future__ import annotations

import math

from sim.explain.impossible import REALLY, Explanation, Judgement
from sim.figures.colours import DISPLAY, MEASURING_ERROR, QUIET, TEXT, TRUTH
from sim.say import mark, say
from sim.screens.charts.common import ONE_ROW, Spec, at, axis_x, chart, label, layer, point, rule
from sim.texts import real_minus

_ROW_PX = 58


def spans(found: Judgement, name: str) -> Spec:
    """One row an explanation, in one pressure, "sbp" or "dbp"; the gap as a line through all of them."""
    listed = [e for e in found.explanations if getattr(e, name) is not None]
    gap = found.gap_sbp if name == "sbp" else found.gap_dbp
    ends = [v for e in listed for v in (getattr(e, name).low, getattr(e, name).high)] + [0.0, gap or 0.0]
    low, high = 10 * math.floor(min(ends) / 10 - 0.2), 10 * math.ceil(max(ends) / 10 + 0.2)
    bottom = len(found.explanations) - 0.3
    x = axis_x(say("systolic: adds, mmHg" if name == "sbp" else "diastolic: adds, mmHg"), low, high, grid=True)
    y: Spec = {"field": "y", "type": "quantitative", "axis": None}
    y |= {"scale": {"domain": [bottom, -1.0 if gap is not None else -0.6], "nice": False}}
    layers: list[Spec] = [layer(ONE_ROW, rule(QUIET, 1.5), x=at(0))]
    said: list[Spec] = []
    if gap is not None:
        layers.append(layer(ONE_ROW, rule(DISPLAY.colour, 2), x=at(gap)))
        place = {"x": at(gap), "y": at(-0.8)}
        align = "right" if gap > (low + high) / 2 else "left"
        text = real_minus(f"{DISPLAY.symbol} {say('the gap, {gap:+.0f}', gap=gap)}")
        said += label(ONE_ROW, DISPLAY.words, place, text=text, align=align)
    for row, e in enumerate(found.explanations):
        span = getattr(e, name)
        if span is not None:
            data: Spec = {"values": [{"y": row + 0.2, "x": round(span.low, 1), "x2": round(span.high, 1)}]}
            middle: Spec = {"values": [{"y": row + 0.2, "x": round(span.mean, 1)}]}
            own = e.kind in ("mistake", "all mistakes")
            colour, square = (MEASURING_ERROR.colour, MEASURING_ERROR.words) if own else (QUIET, QUIET)
            layers.append(layer(data, rule(colour, 8) | {"opacity": 0.5}, x=x, x2={"field": "x2"}, y=y))
            layers.append(layer(middle, point("square", 80, square), x=x, y=y))
        elif e.cause == REALLY and gap:
            data = {"values": [{"y": row + 0.2, "x": 0, "x2": round(gap, 1)}]}
            layers.append(layer(data, rule(TRUTH.colour, 8) | {"opacity": 0.5}, x=x, x2={"field": "x2"}, y=y))
        said += label(ONE_ROW, TEXT, {"x": at(low), "y": at(row - 0.18)}, text=_name(e), align="left", fontWeight=400)
    # What has no field comes last: a layer with an axis of its own after it is not drawn.
    return chart(layers + said, _ROW_PX * len(found.explanations) + 30)


def sentence(found: Judgement) -> str:
    """The same in words, the verdicts included."""
    said = []
    for e in found.explanations:
        if e.sbp is None or e.dbp is None:
            said.append(f"{say(e.cause)}: {say(e.verdict)}")
            continue
        span = say(
            "{sbp_low:+.0f} to {sbp_high:+.0f} systolic, {dbp_low:+.0f} to {dbp_high:+.0f} diastolic",
            sbp_low=e.sbp.low,
            sbp_high=e.sbp.high,
            dbp_low=e.dbp.low,
            dbp_high=e.dbp.high,
        )
        said.append(f"{say(e.cause)}: {span}, {say(e.verdict)}")
    return real_minus("; ".join(said)) + "."


def _name(e: Explanation) -> str:
    words = {
        "all mistakes": mark("all that was seen"),
        "chance": mark("ordinary variation"),
        "both": mark("ordinary variation and all that was seen"),
    }
    name = say(words.get(e.kind, e.cause))
    return name if len(name) <= 44 else name[:43] + "…"
