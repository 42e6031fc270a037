"""The recording: cuff pressure over time with the beats that the algorithm found in it."""

from __future__ import annotations

import numpy as np

from sim.figures.colours import DISPLAY, QUIET, TEXT, TRUTH
from sim.figures.numbers import pair
from sim.results import Result
from sim.screens.charts.common import HALO, Spec, axis_x, axis_y, chart, evenly, rows

# The line is drawn through at most so many points: a screen has no more columns.
_POINTS = 1600


def pressure(result: Result) -> Spec:
    """Cuff pressure over time, the beats on it, and the lines of display and truth at the cuff."""
    shown = result.recording.pressure_mmhg[0, : int(result.recording.samples[0])]
    every = max(1, len(shown) // _POINTS)
    step = every / result.recording.sampling_hz
    data, transforms = evenly(shown[::every], 0.0, round(step, 6), 1)
    end = float(len(shown) / result.recording.sampling_hz)
    low, high = float(np.nanmin(shown)), float(np.nanmax(shown))
    low, high = 10 * np.floor(low / 10), 10 * np.ceil(high / 10)
    x = axis_x("time, s", 0, round(end, 1))
    y = axis_y("cuff pressure, mmHg", low, high)
    line = {
        "data": data,
        "transform": transforms,
        "mark": {"type": "line", "color": TEXT, "strokeWidth": 1.3},
        "encoding": {"x": x, "y": y},
    }
    lines, names = _levels(result, end)
    return chart([*lines, line, *_beats(result), *names], 280)


def beats(result: Result) -> Spec | None:
    """How high each beat rose over the falling pressure, over time; None where no beats were kept."""
    oscillogram = result.reading.oscillogram
    if oscillogram is None or not np.isfinite(oscillogram.amplitude_mmhg[0]).any():
        return None
    end = float(result.recording.samples[0] / result.recording.sampling_hz)
    top = float(np.nanmax(oscillogram.amplitude_mmhg[0])) * 1.1
    layers = []
    for kept in (True, False):
        which = oscillogram.kept[0] == kept
        data = rows(2, x=oscillogram.peak_s[0][which], y=oscillogram.amplitude_mmhg[0][which])
        encoding = {"x": axis_x("time, s", 0, round(end, 1)), "y": axis_y("height of each beat, mmHg", 0, round(top, 2))}
        stem = {"mark": {"type": "rule", "color": TEXT if kept else QUIET, "strokeWidth": 2}, "encoding": encoding | {"y2": {"datum": 0}}}
        if not kept:
            stem["mark"]["strokeDash"] = [2, 3]
        layers += [stem | {"data": data}, {"data": data, "mark": _mark(kept), "encoding": encoding}]
    return chart(layers, 130)


def sentence(result: Result) -> str:
    """What the recording shows, with its numbers."""
    shown = result.recording.pressure_mmhg[0, : int(result.recording.samples[0])]
    seconds = len(shown) / result.recording.sampling_hz
    text = f"The cuff's pressure falls from {shown[0]:.0f} to {shown[-1]:.0f} mmHg in {seconds:.0f} seconds."
    oscillogram = result.reading.oscillogram
    if oscillogram is not None:
        found = np.isfinite(oscillogram.amplitude_mmhg[0])
        kept = int((oscillogram.kept[0] & found).sum())
        rejected = int(found.sum()) - kept
        text += f" The algorithm found {found.sum():.0f} beats, each a small rise in the falling pressure (○)"
        text += f", and set {rejected} aside as disturbed (×)." if rejected else "."
    at_cuff = result.truth.at_cuff
    if result.reading.ok[0]:
        text += f" From these alone the display shows {pair(result.reading.sbp[0], result.reading.dbp[0])} (◆)."
    return text + f" The true pressure in the artery at the cuff was {pair(at_cuff.sbp[0], at_cuff.dbp[0])} (●)."


def _mark(kept: bool) -> Spec:
    if kept:
        return {"type": "point", "shape": "circle", "size": 34, "filled": True, "color": "#FFFFFF", "stroke": TEXT, "strokeWidth": 1.4, "opacity": 1}
    return {"type": "point", "shape": "cross", "angle": 45, "size": 70, "filled": True, "color": QUIET, "opacity": 1}


def _beats(result: Result) -> list[Spec]:
    """A mark on the recording at the top of each beat."""
    oscillogram = result.reading.oscillogram
    if oscillogram is None:
        return []
    recording = result.recording.pressure_mmhg[0]
    time = oscillogram.peak_s[0]
    there = np.isfinite(time)
    at = np.clip(np.round(np.where(there, time, 0) * result.recording.sampling_hz).astype(int), 0, len(recording) - 1)
    height = np.where(there, recording[at], np.nan)
    layers = []
    for kept in (True, False):
        which = there & (oscillogram.kept[0] == kept)
        encoding = {"x": {"field": "x", "type": "quantitative"}, "y": {"field": "y", "type": "quantitative"}}
        layers.append({"data": rows(2, x=time[which], y=height[which]), "mark": _mark(kept), "encoding": encoding})
    return layers


def _levels(result: Result, end: float) -> tuple[list[Spec], list[Spec]]:
    """Level lines, and their names: systolic and diastolic of the truth at the cuff, and of the display."""
    lines, names = [], []
    for look, pressures, dash in ((TRUTH, result.truth.at_cuff, [6, 4]), (DISPLAY, result.reading.pressures, [1, 0])):
        left = look is TRUTH
        y = {"field": "y", "type": "quantitative"}
        place = {"y": y, "x": {"datum": 0 if left else round(end, 1)}}
        data = rows(1, y=np.array([pressures.sbp[0], pressures.dbp[0]]))
        for row in data["values"]:
            row["label"] = f"{look.label} {row['y']:.0f}"
        line = {"type": "rule", "color": look.colour, "strokeDash": dash, "strokeWidth": 1.6}
        symbol = {"type": "point", "shape": "circle" if left else "diamond", "size": 90, "filled": True, "opacity": 1}
        words = {"type": "text", "align": "left" if left else "right", "dx": 8 if left else -10, "dy": -12}
        words |= {"color": look.colour, "fontWeight": 600, "fontSize": 14}
        lines.append({"data": data, "mark": line, "encoding": {"y": y}})
        lines.append({"data": data, "mark": symbol | {"color": look.colour}, "encoding": place})
        for ring in (HALO, {}):
            names.append({"data": data, "mark": words | ring, "encoding": place | {"text": {"field": "label"}}})
    return lines, names
