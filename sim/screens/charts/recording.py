"""The recording: cuff pressure over time with the beats that the algorithm found in it."""

from __future__ import annotations

import numpy as np

from sim.figures.colours import DISPLAY, QUIET, TEXT, TRUTH
from sim.figures.numbers import pair
from sim.results import Result
from sim.say import say
from sim.screens.charts.beat_marks import IN_TIME
from sim.screens.charts.common import Spec, at, axis_x, axis_y, chart, evenly, label, layer, number, point, rows, rule

# The line is drawn through at most about so many points: a screen has no more columns.
_POINTS = 1600


def pressure(result: Result, truth: bool = True) -> Spec:
    """Cuff pressure over time, the beats on it, and the lines of display and, unless it is kept back, of the truth at
    the cuff."""
    shown = result.recording.recorded()
    every = max(1, len(shown) // _POINTS)
    data, transforms = evenly(shown[::every], round(every / result.recording.sampling_hz, 6), 1)
    low, high = 10 * np.floor(np.nanmin(shown) / 10), 10 * np.ceil(np.nanmax(shown) / 10)
    x, y = axis_x(say("time, s"), 0, result.recording.seconds()), axis_y(say("cuff pressure, mmHg"), low, high)
    line = layer(data, {"type": "line", "color": TEXT, "strokeWidth": 1.3}, *transforms, x=x, y=y)
    levels, names = _levels(result, truth)
    return chart([*levels, line, *_beats(result), *names], 280)


def beats(result: Result) -> Spec | None:
    """How high each beat rose over the falling pressure, over time; None where no beats were found."""
    oscillogram = result.reading.oscillogram
    if oscillogram is None or not np.isfinite(oscillogram.amplitude_mmhg[0]).any():
        return None
    top = float(np.nanmax(oscillogram.amplitude_mmhg[0])) * 1.1
    x, y = axis_x(say("time, s"), 0, result.recording.seconds()), axis_y(say("height of each beat, mmHg"), 0, top)
    layers = []
    for kept, mark in IN_TIME.items():
        which = oscillogram.kept[0] == kept
        data = rows(2, x=oscillogram.peak_s[0][which], y=oscillogram.amplitude_mmhg[0][which])
        stem = rule(TEXT, 2) if kept else rule(QUIET, 2, [2, 3])
        layers += [layer(data, stem, x=x, y=y, y2=at(0)), layer(data, mark, x=x, y=y)]
    return chart(layers, 130)


def sentence(result: Result, truth: bool = True) -> str:
    """What the recording shows, with its numbers; `truth`: that of the artery at the cuff, too."""
    shown = result.recording.recorded()
    seconds = result.recording.seconds()
    text = say(
        "The cuff's pressure goes from {start} to {end} mmHg in {seconds} seconds.",
        start=f"{shown[0]:.0f}",
        end=f"{shown[-1]:.0f}",
        seconds=f"{seconds:.0f}",
    )
    oscillogram = result.reading.oscillogram
    if oscillogram is not None:
        found = np.isfinite(oscillogram.amplitude_mmhg[0])
        rejected = int((found & ~oscillogram.kept[0]).sum())
        beats_found = say(
            "The algorithm found {beats} beats, each a small rise on the way (○), and set {aside} aside as disturbed "
            "(×)."
            if rejected
            else "The algorithm found {beats} beats, each a small rise on the way (○).",
            beats=int(found.sum()),
            aside=rejected,
        )
        text += f" {beats_found}"
    reading, at_cuff = result.reading, result.truth.at_cuff
    if reading.ok[0]:
        shows = pair(reading.sbp[0], reading.dbp[0])
        text += " " + say("From these alone the display shows {shown} ({symbol}).", shown=shows, symbol=DISPLAY.symbol)
    if not truth:
        return text
    true = pair(at_cuff.sbp[0], at_cuff.dbp[0])
    told = say("The true pressure in the artery at the cuff was {true} ({symbol}).", true=true, symbol=TRUTH.symbol)
    return f"{text} {told}"


def _beats(result: Result) -> list[Spec]:
    """A mark on the recording at the top of each beat."""
    oscillogram = result.reading.oscillogram
    if oscillogram is None:
        return []
    shown, time = result.recording.recorded(), oscillogram.peak_s[0]
    there = np.isfinite(time)
    sample = np.round(np.where(there, time, 0) * result.recording.sampling_hz).astype(int)
    height = np.where(there, shown[np.clip(sample, 0, len(shown) - 1)], np.nan)
    layers = []
    for kept, mark in IN_TIME.items():
        which = there & (oscillogram.kept[0] == kept)
        layers.append(layer(rows(2, x=time[which], y=height[which]), mark, x=number("x"), y=number("y")))
    return layers


def _levels(result: Result, truth: bool) -> tuple[list[Spec], list[Spec]]:
    """Level lines, and their names: systolic and diastolic of the truth at the cuff, if told, and of the display."""
    lines, names = [], []
    told = ((TRUTH, result.truth.at_cuff),) if truth else ()
    for look, pressures in (*told, (DISPLAY, result.reading.pressures)):
        left = look is TRUTH
        data = rows(1, y=np.array([pressures.sbp[0], pressures.dbp[0]]))
        for row in data["values"]:
            row["label"] = f"{say(look.label)} {row['y']:.0f}"
        place = {"x": at(0 if left else result.recording.seconds()), "y": number("y")}
        lines.append(layer(data, rule(look.colour, dash=[6, 4] if left else []), y=number("y")))
        lines.append(layer(data, point("circle" if left else "diamond", 90, look.colour), **place))
        side = {"align": "left", "dx": 8} if left else {"align": "right", "dx": -10}
        names += label(data, look.words, place | {"text": {"field": "label"}}, dy=-12, **side)
    return lines, names
