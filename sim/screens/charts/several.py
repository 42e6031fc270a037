"""The oscillogram of one recording, and where several algorithms took their pressures from it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from sim.figures.colours import DISPLAY, QUIET, TEXT, TRUTH
from sim.figures.numbers import pair, whole
from sim.results import Oscillogram, Pressures, Reading
from sim.screens.charts.beat_marks import ON_CURVE, on_curve
from sim.screens.charts.common import ONE_ROW, Spec, at, axis_x, axis_y, chart, label, layer, number, point, rows, rule

# One shape an algorithm: all have the display's colour.
SHAPES = ("diamond", "square", "triangle-up", "triangle-down", "triangle-right", "cross")
SYMBOLS = ("◆", "■", "▲", "▼", "▶", "✚")
_CURVE_PX, _ROW_PX = 270, 46
# Distances from the top of an algorithm's row, in rows: its name, its pressures.
_NAME_AT, _BAR_AT = 0.34, 0.74
_TICKS = 4


def several(readings: Mapping[str, Reading], truth: Pressures | None) -> Spec | None:
    """Beats and envelope against cuff pressure, and a row for each algorithm below; None where there are no beats."""
    drawn = _drawn(readings)
    if drawn is None:
        return None
    # Below nothing there is no room: the algorithms' rows are there.
    cuff, height = drawn.cuff_mmhg[0], np.maximum(drawn.amplitude_mmhg[0], 0)
    low, high = 10 * np.floor(np.nanmin(cuff) / 10), 10 * np.ceil(np.nanmax(cuff) / 10) + 10
    top = _top(drawn) * 1.2
    unit = top * _ROW_PX / _CURVE_PX
    y = axis_y("height of each beat, mmHg", -unit * len(readings), top)
    y["axis"]["values"] = _ticks(top)
    # High pressure at the left: read from left to right, like a recording of a cuff that empties.
    place = {"x": axis_x("cuff pressure, mmHg", low, high, reverse=True), "y": y}
    layers = [layer(ONE_ROW, rule(QUIET, 1), y=at(0))]
    if truth is not None:
        layers += _true(truth, place, top)
    for kept, mark in ON_CURVE.items():
        which = drawn.kept[0] == kept
        layers.append(layer(rows(2, x=cuff[which], y=height[which]), mark | {"clip": True}, **place))
    layers += _curves(readings, drawn, place)
    for row, (name, reading) in enumerate(readings.items()):
        layers += _taken(reading, SHAPES[row % len(SHAPES)], place)
        layers += _row(row, name, reading, unit, (low + high) / 2)
    return chart(layers, _CURVE_PX + _ROW_PX * len(readings))


def sentence(readings: Mapping[str, Reading], truth: Pressures | None) -> str:
    """What the picture shows, with its numbers."""
    drawn = _drawn(readings)
    text = "No beats were found in this recording."
    if drawn is not None:
        found = int(np.isfinite(drawn.amplitude_mmhg[0]).sum())
        aside = found - int(drawn.kept[0].sum())
        text = f"{found} beats were found (○)" + (f"; {aside} of them set aside as disturbed (×)." if aside else ".")
        grid, curve = drawn.envelope_cuff_mmhg[0], drawn.envelope_mmhg[0]
        if np.isfinite(curve).any():
            at_peak = int(np.nanargmax(curve))
            them = "the rest" if aside else "them"
            text += f" The curve through {them} is highest, {curve[at_peak]:.1f} mmHg, at {grid[at_peak]:.0f} mmHg."
    numbers = [
        f"{SYMBOLS[row % len(SYMBOLS)]} {name} {pair(r.sbp[0], r.dbp[0]) if r.ok[0] else 'gives no reading'}"
        for row, (name, r) in enumerate(readings.items())
    ]
    text += f" Systolic/diastolic: {'; '.join(numbers)} (the stroke between them: the mean)." if numbers else ""
    if truth is not None:
        text += (
            f" The true pressure in the artery under the cuff was {pair(truth.sbp[0], truth.dbp[0])} ({TRUTH.symbol})."
        )
    if len(_different(readings)) > 1:
        text += " Some pair the beats with a slightly different pressure: their curve is dashed, close to the other."
    return text


def _top(drawn: Oscillogram) -> float:
    """Height that the picture has to show: of the beats that were kept, where there are any."""
    height = drawn.amplitude_mmhg[0]
    kept = height[drawn.kept[0]]
    return float(np.nanmax(kept if len(kept) else height)) or 1.0


def _drawn(readings: Mapping[str, Reading]) -> Oscillogram | None:
    """The oscillogram whose beats are drawn: that of the first algorithm which found any."""
    for reading in readings.values():
        found = reading.oscillogram
        if found is not None and np.isfinite(found.amplitude_mmhg[0]).any():
            return found
    return None


def _different(readings: Mapping[str, Reading]) -> list[Oscillogram]:
    """One oscillogram of each kind among those of the algorithms."""
    kinds: dict[bytes, Oscillogram] = {}
    for reading in readings.values():
        found = reading.oscillogram
        if found is not None and np.isfinite(found.envelope_mmhg[0]).any():
            kinds.setdefault(found.envelope_cuff_mmhg.tobytes() + found.envelope_mmhg.tobytes(), found)
    return list(kinds.values())


def _curves(readings: Mapping[str, Reading], drawn: Oscillogram, place: Spec) -> list[Spec]:
    """The envelopes; dashed those that are not through the beats drawn."""
    layers = []
    for found in _different(readings):
        own = np.array_equal(found.envelope_mmhg, drawn.envelope_mmhg) and np.array_equal(
            found.envelope_cuff_mmhg, drawn.envelope_cuff_mmhg
        )
        mark: Spec = {"type": "line", "color": TEXT if own else QUIET, "strokeWidth": 2 if own else 1.4, "clip": True}
        data = rows(2, x=found.envelope_cuff_mmhg[0], y=found.envelope_mmhg[0])
        layers.append(layer(data, mark if own else mark | {"strokeDash": [5, 3]}, **place))
    return layers


def _true(truth: Pressures, place: Spec, top: float) -> list[Spec]:
    """The true pressures, as lines from top to bottom."""
    data = rows(2, x=np.array([truth.sbp[0], truth.dbp[0]]), y=np.full(2, top * 0.97))
    layers = [
        layer(data, rule(TRUTH.colour, dash=[6, 4]) | {"clip": True}, x=place["x"]),
        layer(data, point("circle", 100, TRUTH.colour), **place),
    ]
    for row, side in zip(data["values"], ("right", "left"), strict=False):
        words: Spec = {"text": f"true {row['x']:.0f}", "align": side, "dx": -9 if side == "right" else 9}
        layers += label({"values": [row]}, TRUTH.words, place, **words)
    return layers


def _taken(reading: Reading, shape: str, place: Spec) -> list[Spec]:
    """Systolic and diastolic on the algorithm's own curve."""
    found = reading.oscillogram
    if found is None or not reading.ok[0]:
        return []
    data = on_curve(found, reading.sbp[0], reading.dbp[0])
    return [layer(data, point(shape, 110, DISPLAY.colour, stroke="#FFFFFF", strokeWidth=1), **place)]


def _row(row: int, name: str, reading: Reading, unit: float, middle: float) -> list[Spec]:
    """An algorithm's name, and its three pressures below the curve."""
    name_at, bar_at = -(row + _NAME_AT) * unit, -(row + _BAR_AT) * unit
    shape, symbol = SHAPES[row % len(SHAPES)], SYMBOLS[row % len(SYMBOLS)]
    quiet: Spec = {"fontSize": 13, "fontWeight": 400}
    if not reading.ok[0]:
        words = f"{symbol} {name}: no reading"
        return label(ONE_ROW, QUIET, {"x": at(middle), "y": at((name_at + bar_at) / 2)}, text=words, **quiet)
    sbp, dbp, mean = float(reading.sbp[0]), float(reading.dbp[0]), float(reading.map[0])
    line = {"values": [{"x": sbp, "x2": dbp}]}
    ends = rows(2, x=np.array([sbp, dbp]))
    y = at(bar_at)
    layers = [
        layer(line, rule(DISPLAY.colour, 1.4), x=number("x"), x2={"field": "x2"}, y=y),
        layer(ends, point(shape, 110, DISPLAY.colour), x=number("x"), y=y),
        layer(ONE_ROW, {"type": "tick", "orient": "vertical", "color": DISPLAY.colour, "size": 12, "thickness": 2},
              x=at(mean), y=y),
        *label(ONE_ROW, TEXT, {"x": at((sbp + dbp) / 2), "y": at(name_at)}, text=name, **quiet),
    ]  # fmt: skip
    for value, side in ((sbp, "right"), (dbp, "left")):
        place = {"x": at(value), "y": y}
        layers += label(ONE_ROW, DISPLAY.words, place, text=whole(value), align=side, dx=-10 if side == "right" else 10)
    return layers


def _ticks(top: float) -> list[float]:
    """Round heights from nothing to the top of the curve's part of the axis."""
    rough = top / _TICKS
    size = 10.0 ** np.floor(np.log10(rough))
    step = next(s * size for s in (1, 2, 5, 10) if s * size >= rough)
    return [round(float(v), 6) for v in np.arange(0, top, step)]
