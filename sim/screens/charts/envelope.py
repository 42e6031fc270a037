"""The envelope: how high the beats rise at each cuff pressure, and the points that the algorithm took."""

from __future__ import annotations

import numpy as np

from sim.figures.colours import DISPLAY, QUIET, TEXT, TRUTH
from sim.figures.numbers import pair
from sim.results import Result
from sim.screens.charts.common import HALO, Spec, axis_x, axis_y, chart, rows


def envelope(result: Result) -> Spec | None:
    """Height of the beats against cuff pressure; None where the algorithm kept none."""
    oscillogram = result.reading.oscillogram
    if oscillogram is None or not np.isfinite(oscillogram.amplitude_mmhg[0]).any():
        return None
    cuff, height = oscillogram.cuff_mmhg[0], oscillogram.amplitude_mmhg[0]
    low, high = 10 * np.floor(np.nanmin(cuff) / 10), 10 * np.ceil(np.nanmax(cuff) / 10)
    top = round(float(np.nanmax(height)) * 1.25, 2)
    # Pressure falls as time goes on: read from left to right, like the recording.
    x = axis_x("cuff pressure, mmHg (falling)", low, high, scale={"reverse": True})
    encoding = {"x": x, "y": axis_y("height of each beat, mmHg", 0, top)}
    curve = {
        "data": rows(2, x=oscillogram.envelope_cuff_mmhg[0], y=oscillogram.envelope_mmhg[0]),
        "mark": {"type": "line", "color": TEXT, "strokeWidth": 2},
        "encoding": encoding,
    }
    layers: list[Spec] = [curve]
    for kept in (True, False):
        which = oscillogram.kept[0] == kept
        mark = (
            {"type": "point", "shape": "circle", "size": 36, "color": QUIET, "filled": False, "opacity": 1}
            if kept
            else {"type": "point", "shape": "cross", "angle": 45, "size": 80, "filled": True, "color": QUIET, "opacity": 1}
        )
        layers.append({"data": rows(2, x=cuff[which], y=height[which]), "mark": mark, "encoding": encoding})
    return chart([*_truth(result, encoding, top), *layers, *_taken(result, encoding)], 300)


def sentence(result: Result) -> str:
    """What the envelope shows, with its numbers."""
    reading, at_cuff = result.reading, result.truth.at_cuff
    if not reading.ok[0]:
        return f"No numbers could be taken from these beats: {reading.reason[0]}."
    return (
        f"The beats (○) are tallest at a cuff pressure of {reading.map[0]:.0f} mmHg. On the curve through them the algorithm "
        f"takes systolic {reading.sbp[0]:.0f} on the way up and diastolic {reading.dbp[0]:.0f} on the way down (◆), at fixed "
        f"shares of the greatest height. The true pressures at the cuff were {pair(at_cuff.sbp[0], at_cuff.dbp[0])} (●)."
    )


def _taken(result: Result, encoding: Spec) -> list[Spec]:
    """The display's three pressures, on the curve."""
    reading, oscillogram = result.reading, result.reading.oscillogram
    if oscillogram is None or not reading.ok[0]:
        return []
    pressures = np.array([reading.sbp[0], reading.map[0], reading.dbp[0]])
    grid, curve = oscillogram.envelope_cuff_mmhg[0], oscillogram.envelope_mmhg[0]
    there = np.isfinite(grid) & np.isfinite(curve)
    order = np.argsort(grid[there])
    data = rows(2, x=pressures, y=np.interp(pressures, grid[there][order], curve[there][order]))
    colour = DISPLAY.colour
    diamond = {"type": "point", "shape": "diamond", "size": 150, "filled": True, "color": colour, "opacity": 1}
    layers = [
        {"data": data, "mark": {"type": "rule", "color": colour, "strokeWidth": 1.6}, "encoding": encoding | {"y2": {"datum": 0}}},
        {"data": data, "mark": diamond, "encoding": encoding},
    ]
    # Beside the curve, where there is room: systolic on its left flank, diastolic on its right.
    places = (("systolic", "right", -12, -8), ("mean", "center", 0, -20), ("diastolic", "left", 12, -8))
    for row, (name, align, dx, dy) in zip(data["values"], places, strict=False):
        words = {"type": "text", "text": f"{name} {row['x']:.0f}", "align": align, "dx": dx, "dy": dy}
        words |= {"color": colour, "fontWeight": 600, "fontSize": 14}
        layers += [{"data": {"values": [row]}, "mark": words | ring, "encoding": encoding} for ring in (HALO, {})]
    return layers


def _truth(result: Result, encoding: Spec, top: float) -> list[Spec]:
    """The true pressures at the cuff, as lines."""
    at_cuff = result.truth.at_cuff
    pressures = np.array([at_cuff.sbp[0], at_cuff.dbp[0]])
    data = rows(2, x=pressures, y=np.full(2, top))
    line = {"type": "rule", "color": TRUTH.colour, "strokeDash": [6, 4], "strokeWidth": 1.6}
    circle = {"type": "point", "shape": "circle", "size": 100, "filled": True, "color": TRUTH.colour, "opacity": 1}
    return [
        {"data": data, "mark": line, "encoding": {"x": encoding["x"]}},
        {"data": data, "mark": circle, "encoding": encoding},
    ]
