"""The envelope: how high the beats rise at each cuff pressure, and the points that the algorithm took."""

from __future__ import annotations

import numpy as np

from sim.figures.colours import DISPLAY, TEXT, TRUTH
from sim.figures.numbers import pair
from sim.results import Result
from sim.say import say
from sim.screens.charts.beat_marks import ON_CURVE, on_curve
from sim.screens.charts.common import Spec, at, axis_x, axis_y, chart, label, layer, point, rows, rule


def envelope(result: Result) -> Spec | None:
    """Height of the beats against cuff pressure; None where the algorithm found none."""
    oscillogram = result.reading.oscillogram
    if oscillogram is None or not np.isfinite(oscillogram.amplitude_mmhg[0]).any():
        return None
    cuff, height = oscillogram.cuff_mmhg[0], oscillogram.amplitude_mmhg[0]
    # Room beyond the beats for the name of the systolic point, on phones too.
    low, high = 10 * np.floor(np.nanmin(cuff) / 10), 10 * np.ceil(np.nanmax(cuff) / 10) + 10
    top = float(np.nanmax(height)) * 1.25
    # High pressure at the left: read from left to right, like a recording of a cuff that empties.
    x = axis_x(say("cuff pressure, mmHg"), low, high, reverse=True)
    place = {"x": x, "y": axis_y(say("height of each beat, mmHg"), 0, top)}
    curve = rows(2, x=oscillogram.envelope_cuff_mmhg[0], y=oscillogram.envelope_mmhg[0])
    layers = [layer(curve, {"type": "line", "color": TEXT, "strokeWidth": 2}, **place)]
    for kept, mark in ON_CURVE.items():
        which = oscillogram.kept[0] == kept
        layers.append(layer(rows(2, x=cuff[which], y=height[which]), mark, **place))
    return chart([*_truth(result, place, top), *layers, *_taken(result, place)], 300)


def sentence(result: Result) -> str:
    """What the envelope shows, with its numbers."""
    reading, at_cuff = result.reading, result.truth.at_cuff
    truth = say(
        "The true pressures at the cuff were {pressure} ({symbol}).",
        pressure=pair(at_cuff.sbp[0], at_cuff.dbp[0]),
        symbol=TRUTH.symbol,
    )
    if not reading.ok[0]:
        why = say(str(reading.reason[0]))
        return say("No numbers could be taken from these beats: {reason}.", reason=why) + " " + truth
    taken = say(
        "The beats (○) are tallest at a cuff pressure of {peak} mmHg. On the curve through them the algorithm takes "
        "systolic {sbp} above that and diastolic {dbp} below it ({symbol}), at fixed shares of the greatest height.",
        peak=f"{reading.map[0]:.0f}",
        sbp=f"{reading.sbp[0]:.0f}",
        dbp=f"{reading.dbp[0]:.0f}",
        symbol=DISPLAY.symbol,
    )
    return f"{taken} {truth}"


def _taken(result: Result, place: Spec) -> list[Spec]:
    """The display's three pressures, on the curve."""
    reading, oscillogram = result.reading, result.reading.oscillogram
    if oscillogram is None or not reading.ok[0]:
        return []
    data = on_curve(oscillogram, reading.sbp[0], reading.map[0], reading.dbp[0])
    layers = [
        layer(data, rule(DISPLAY.colour), **place, y2=at(0)),
        layer(data, point("diamond", 150, DISPLAY.colour), **place),
    ]
    # Beside the curve, where there is room: systolic on its left flank, diastolic on its right.
    sides = ((say("systolic"), "right", -12, -8), (say("mean"), "center", 0, -20), (say("diastolic"), "left", 12, -8))
    for row, (name, align, dx, dy) in zip(data["values"], sides, strict=False):
        words = f"{name} {row['x']:.0f}"
        layers += label({"values": [row]}, DISPLAY.words, place, text=words, align=align, dx=dx, dy=dy)
    return layers


def _truth(result: Result, place: Spec, top: float) -> list[Spec]:
    """The true pressures at the cuff, as lines."""
    at_cuff = result.truth.at_cuff
    data = rows(2, x=np.array([at_cuff.sbp[0], at_cuff.dbp[0]]), y=np.full(2, top))
    return [
        layer(data, rule(TRUTH.colour, dash=[6, 4]), x=place["x"]),
        layer(data, point("circle", 100, TRUTH.colour), **place),
    ]
