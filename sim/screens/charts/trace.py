"""A recording as it is, whether or not the truth is known: cuff pressure over time, and the pulses in it."""

from __future__ import annotations

import numpy as np

from sim.figures.colours import QUIET, TEXT, TRUTH
from sim.figures.numbers import pair
from sim.results import Oscillogram, Pressures, Recording
from sim.screens.charts.beat_marks import IN_TIME
from sim.screens.charts.common import ONE_ROW, Spec, at, axis_x, axis_y, chart, label, layer, numbers, point, rows, rule
from sim.screens.watch.tracks import pulses as over_their_feet

# A line is drawn through at most about so many points: a screen has no more columns.
MOST_POINTS = 1600
# Beats that stand close together have small marks.
_MANY_BEATS, _SMALL = 80, 12


def pressure(recording: Recording, found: Oscillogram | None, truth: Pressures | None) -> Spec:
    """Cuff pressure over time with the beats on it, and the true pressures as level lines where they are known."""
    shown = recording.recorded()
    low, high = _range(shown)
    x, y = axis_x("time, s", 0, recording.seconds()), axis_y("cuff pressure, mmHg", low, high)
    layers = [] if truth is None else _levels(truth)
    return chart([*layers, _line(recording, shown, x, y), *_beats(recording, shown, found, x, y)], 260)


def pulses(recording: Recording, found: Oscillogram | None, between: tuple[float, float] | None = None) -> Spec:
    """The recording over the line from foot to foot of its beats: what the pulse adds to the cuff's pressure.

    between: from which second to which; all of it where that is None
    """
    over = rise(recording, found)
    top = _tallest(over, found)
    start, end = between or (0.0, recording.seconds())
    x, y = axis_x("time, s", start, end), axis_y("pulses alone, mmHg", -0.2 * top, 1.25 * top)
    zero = layer(ONE_ROW, rule(QUIET, 1), y=at(0))
    first, last = (round(second * recording.sampling_hz) for second in (start, end))
    line = _line(recording, over[first : last + 1], x, y, 2, first)
    return chart([zero, line, *_beats(recording, over, found, x, y)], 200)


def around(recording: Recording, found: Oscillogram, pressure_mmhg: float, seconds: float) -> tuple[float, float]:
    """The stretch of a recording, of so many seconds, in which the cuff has a pressure: from second to second."""
    nearest = int(np.nanargmin(np.abs(found.cuff_mmhg[0] - pressure_mmhg)))
    middle = float(found.time_s[0, nearest] + found.end_s[0, nearest]) / 2
    start = max(0.0, min(middle - seconds / 2, recording.seconds() - seconds))
    return start, min(start + seconds, recording.seconds())


def sentence(recording: Recording, found: Oscillogram | None, truth: Pressures | None) -> str:
    """What the recording shows, with its numbers."""
    shown = recording.recorded()
    there = np.flatnonzero(np.isfinite(shown))
    if not len(there):
        return f"In {recording.seconds():.0f} seconds no sample was recorded."
    text = (
        f"The cuff's pressure goes from {shown[there[0]]:.0f} to {shown[there[-1]]:.0f} mmHg in "
        f"{recording.seconds():.0f} seconds, {recording.sampling_hz:g} samples a second."
    )
    missing = len(shown) - len(there)
    if missing:
        text += f" {missing} samples are missing."
    if found is not None:
        beats = np.isfinite(found.amplitude_mmhg[0])
        aside = int((beats & ~found.kept[0]).sum())
        text += f" {int(beats.sum())} beats were found (○)" + (f", {aside} of them set aside (×)." if aside else ".")
    if truth is not None:
        text += f" The true pressure under the cuff was {pair(truth.sbp[0], truth.dbp[0])} ({TRUTH.symbol})."
    return text


def pulses_sentence(recording: Recording, found: Oscillogram | None) -> str:
    """What the pulses show, with their numbers."""
    words = "The same recording without its slow rise or fall (the line from the foot of each beat to the next)"
    if found is None or not found.kept[0].any():
        return f"{words}. No beats could be used."
    tallest = int(np.nanargmax(np.where(found.kept[0], found.amplitude_mmhg[0], np.nan)))
    return (
        f"{words}. The tallest beat that was used rises {found.amplitude_mmhg[0, tallest]:.1f} mmHg, "
        f"{found.peak_s[0, tallest]:.0f} seconds after the start."
    )


def rise(recording: Recording, found: Oscillogram | None) -> np.ndarray:
    """The recording over the line from foot to foot, (m,) [mmHg]; NaN where samples are missing."""
    shown = recording.recorded()
    there = np.isfinite(shown)
    if not there.any():
        return shown
    filled = np.interp(np.arange(len(shown)), np.flatnonzero(there), shown[there])
    whole = Recording(recording.sampling_hz, filled[None], recording.samples)
    return np.where(there, over_their_feet(whole, found), np.nan)


def thinned(values: np.ndarray, most: int = MOST_POINTS) -> tuple[np.ndarray, float]:
    """At most about `most` of the values, and how many samples apart they are.

    Of each stretch the lowest and the highest are kept, in their order, so that no pulse is lost between two points.
    """
    if len(values) <= most:
        return values, 1.0
    width = -(-2 * len(values) // most)
    filled = np.concatenate([values, np.full(-len(values) % width, np.nan)]).reshape(-1, width)
    low, high = (np.argmin(np.where(np.isfinite(filled), sign * filled, np.inf), axis=1) for sign in (1, -1))
    rows_ = np.arange(len(filled))
    first, second = np.minimum(low, high), np.maximum(low, high)
    return np.stack([filled[rows_, first], filled[rows_, second]], axis=1).ravel(), width / 2


def _line(recording: Recording, values: np.ndarray, x: Spec, y: Spec, decimals: int = 1, first: int = 0) -> Spec:
    """A line through values from sample `first` on; where samples are missing it is broken."""
    few, apart = thinned(values)
    step, start = round(apart / recording.sampling_hz, 6), round(first / recording.sampling_hz, 6)
    transforms: list[Spec] = [
        {"window": [{"op": "row_number", "as": "row"}]},
        {"calculate": f"{start!r} + (datum.row - 1) * {step!r}", "as": "x"},
        {"calculate": "datum.data", "as": "y"},
    ]
    mark = {"type": "line", "color": TEXT, "strokeWidth": 1.3, "clip": True}
    return layer({"values": numbers(few, decimals)}, mark, *transforms, x=x, y=y)


def _range(values: np.ndarray) -> tuple[float, float]:
    known = values[np.isfinite(values)]
    if not len(known):
        return 0.0, 100.0
    low, high = 10 * np.floor(known.min() / 10), 10 * np.ceil(known.max() / 10)
    return float(low), float(max(high, low + 10))


def _tallest(over: np.ndarray, found: Oscillogram | None) -> float:
    """Height that the picture of the pulses has to show."""
    if found is not None and found.kept[0].any():
        return max(float(np.nanmax(found.amplitude_mmhg[0][found.kept[0]])), 0.1)
    known = over[np.isfinite(over)]
    return max(float(np.percentile(known, 99)), 0.1) if len(known) else 1.0


def _beats(recording: Recording, values: np.ndarray, found: Oscillogram | None, x: Spec, y: Spec) -> list[Spec]:
    """A mark at the top of each beat that lies on the axis of time."""
    if found is None:
        return []
    time = found.peak_s[0]
    start, end = x["scale"]["domain"]
    there = (time >= start) & (time <= end)
    sample = np.clip(np.round(np.where(there, time, 0) * recording.sampling_hz).astype(int), 0, len(values) - 1)
    height = np.where(there, values[sample], np.nan)
    size = {"size": _SMALL} if there.sum() > _MANY_BEATS else {}
    layers = []
    for kept, mark in IN_TIME.items():
        which = there & (found.kept[0] == kept)
        layers.append(layer(rows(2, x=time[which], y=height[which]), mark | {"clip": True} | size, x=x, y=y))
    return layers


def _levels(truth: Pressures) -> list[Spec]:
    """Level lines at the true systolic and diastolic pressure."""
    layers = []
    for name, value in (("systolic", truth.sbp[0]), ("diastolic", truth.dbp[0])):
        place = {"x": at(0), "y": at(value)}
        layers += [
            layer(ONE_ROW, rule(TRUTH.colour, dash=[6, 4]), y=at(value)),
            layer(ONE_ROW, point("circle", 90, TRUTH.colour), **place),
            *label(ONE_ROW, TRUTH.words, place, text=f"true {name} {value:.0f}", align="left", dx=8, dy=12),
        ]
    return layers
